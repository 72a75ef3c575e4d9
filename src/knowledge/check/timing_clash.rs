//! Control at a time at which the active does not work.
use super::prelude::*;
use crate::knowledge::form::active::Timing;

pub const CHECK: Check = Check {
    code: "timing-clash",
    severity: Warning,
    title: "A row speaks of a time at which the active is not used",
    explanation: "An active that only works before weeds come up cannot control grown plants, and the other way round. The row's \
        `timing` is not among the active's own: either the row is mistaken, or the active's `timing` is incomplete, and \
        then the choice would leave a treatment out or offer it at the wrong time.",
    bad: &[Piece {
        file: "actives/placebuline.yaml",
        yaml: "controls:\n  - {weed: tuft-millet, timing: post, rating: good, source: guide-a}",
    }],
    good: &[Piece {
        file: "actives/placebuline.yaml",
        yaml: "controls:\n  - {weed: tuft-millet, timing: pre, rating: good, source: guide-a}",
    }],
    run,
    needs_all: false,
};

fn run(book: &Book<'_>, found: &mut Findings) {
    for one in rated(book.known).filter(|one| !one.timing.is_empty()) {
        // Young plants lie between the two: an active for grown plants works on them, and some for bare soil do.
        let works = |t: Timing| one.timing.contains(&t) || t == Timing::EarlyPost;
        for (index, row) in one.controls.iter().enumerate() {
            if !works(row.timing) && row.rating > crate::knowledge::form::active::Control::Poor {
                let word = serde_json::to_value(row.timing).ok();
                let word = word
                    .as_ref()
                    .and_then(|w| w.as_str())
                    .unwrap_or_default()
                    .to_owned();
                found
                    .add(
                        one.at.clone().to("controls").to(index).to("timing"),
                        format!(
                            "{} against {}: used {word}, but its own `timing` does not have that",
                            one.id, row.weed
                        ),
                    )
                    .about(format!("{} against {} {word}", one.id, row.weed))
                    .help("mend the row's `timing`, or add it to the `timing` of the active")
                    .also(
                        "the times at which it works",
                        one.at.clone().to("timing").to("is"),
                    );
            }
        }
    }
}
