//! Limits of a statement that would be read and not kept.
use super::prelude::*;

pub const CHECK: Check = Check {
    code: "limit-on-mixture",
    severity: Error,
    title: "A mixture's row carries a limit that would not be kept",
    explanation: "The choice keeps `months`, `above_f` and `below_f` of the rows of single actives. On a row of a mixture they would be \
        read and passed over, as if the statement held all year. Put the limit on the rows of its actives, or say it in \
        `condition`, which is always shown.",
    bad: &[Piece {
        file: "mixtures.yaml",
        yaml: "- id: demosulf+inventol\n  actives: [demosulf, inventol]\n  turf:\n    - {turf: demo-cool-grass, stage: established, rating: intermediate, months: [4, 5], source: guide-b}",
    }],
    good: &[Piece {
        file: "mixtures.yaml",
        yaml: "- id: demosulf+inventol\n  actives: [demosulf, inventol]\n  turf:\n    - {turf: demo-cool-grass, stage: established, rating: intermediate, condition: in spring, source: guide-b}",
    }],
    run,
    needs_all: false,
};

fn run(book: &Book<'_>, found: &mut Findings) {
    for leaf in book.leaves {
        let limit = ["months", "above_f", "below_f"].contains(&leaf.key.as_str());
        if limit && leaf.at.file == "mixtures.yaml" {
            found
                .add(
                    leaf.at.clone(),
                    format!("{} is not kept for mixtures", leaf.key),
                )
                .help("put the limit on the rows of its actives, or say it in `condition`");
        }
    }
}
