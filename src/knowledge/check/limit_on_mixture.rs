//! Limits of a statement that the choice would read and not keep.
use super::prelude::*;

pub const CHECK: Check = Check {
    code: "limit-on-mixture",
    severity: Error,
    title: "A mixture carries a limit that is not kept",
    explanation: "Months and air temperatures of a statement are kept for single actives. On a row of a mixture they would be read and \
        not kept, so a treatment could be offered outside of them. Put the limit on the rows of the actives, or say it in `condition`.",
    bad: &[Piece {
        file: "mixtures.yaml",
        yaml: "- id: demosulf+inventol\n  actives: [demosulf, inventol]\n  turf:\n    - {turf: demo-warm-grass, stage: established, rating: sensitive, below_f: 80, source: guide-a}",
    }],
    good: &[Piece {
        file: "mixtures.yaml",
        yaml: "- id: demosulf+inventol\n  actives: [demosulf, inventol]\n  turf:\n    - {turf: demo-warm-grass, stage: established, rating: sensitive, condition: below 80 F, source: guide-a}",
    }],
    run,
    needs_all: false,
};

fn run(book: &Book<'_>, found: &mut Findings) {
    for leaf in book.leaves.iter().filter(|l| l.at.file == "mixtures.yaml") {
        if ["months", "above_f", "below_f"].contains(&leaf.key.as_str()) {
            found
                .add(
                    leaf.at.clone(),
                    format!("{} is not kept for mixtures", leaf.key),
                )
                .help("put the limit on the rows of its actives, or say it in `condition`");
        }
    }
}
