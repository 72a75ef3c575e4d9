//! Months and temperatures on statements about a mixture.
use super::prelude::*;

pub const CHECK: Check = Check {
    code: "limit-on-mixture",
    severity: Error,
    title: "A statement about a mixture has months or a temperature that would not be kept",
    explanation: "On the statements of single actives the tool keeps `months`, `above_f` and `below_f`: outside them the statement \
        proves nothing. On a mixture they would be read and not kept, so a limit there looks safe and is not.",
    bad: &[Piece {
        file: "mixtures.yaml",
        yaml: "- id: demosulf+inventol\n  actives: [demosulf, inventol]\n  turf:\n    - {turf: demo-warm-grass, stage: established, rating: tolerant, below_f: 85, source: guide-a}",
    }],
    good: &[Piece {
        file: "mixtures.yaml",
        yaml: "- id: demosulf+inventol\n  actives: [demosulf, inventol]\n  turf:\n    - {turf: demo-warm-grass, stage: established, rating: tolerant, condition: not above 85 F, source: guide-a}",
    }],
    run,
    needs_all: false,
};

fn run(book: &Book<'_>, found: &mut Findings) {
    for (index, mixture) in book.known.mixtures.iter().enumerate() {
        for (row, said) in mixture.turf.iter().enumerate() {
            let limits = [
                ("months", !said.months.is_empty()),
                ("above_f", said.above_f.is_some()),
                ("below_f", said.below_f.is_some()),
            ];
            for (key, _) in limits.into_iter().filter(|(_, there)| *there) {
                let at = At::file("mixtures.yaml")
                    .to(index)
                    .to("turf")
                    .to(row)
                    .to(key);
                found
                    .add(
                        at,
                        format!("{key} is not kept for the mixture {}", mixture.id),
                    )
                    .help(
                        "put the limit on the statements of its actives, or say it in `condition`",
                    );
            }
        }
    }
}
