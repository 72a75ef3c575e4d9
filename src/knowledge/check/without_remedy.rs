//! Weeds against which the book has nothing.
use super::prelude::*;
use crate::knowledge::form::active::Control;

pub const CHECK: Check = Check {
    code: "without-remedy",
    severity: Note,
    title: "Nothing in the book is known to control a weed",
    explanation: "No active controls this weed fairly or well. That may be how it is, or a gap: look whether a source says more, and see \
        that the entry at least says what helps without chemicals.",
    bad: &[Piece {
        file: "actives/placebuline.yaml",
        yaml: "controls:\n  - {weed: tuft-millet, timing: pre, rating: poor, source: guide-a}",
    }],
    good: &[Piece {
        file: "actives/placebuline.yaml",
        yaml: "controls:\n  - {weed: tuft-millet, timing: pre, rating: good, source: guide-a}",
    }],
    run,
    needs_all: false,
};

fn run(book: &Book<'_>, found: &mut Findings) {
    if book.known.actives.is_empty() {
        return;
    }
    for (id, weed) in &book.known.weeds {
        let helped = rated(book.known)
            .flat_map(|r| r.controls.iter())
            .any(|r| &r.weed == id && r.confidence.is_none() && r.rating >= Control::Fair);
        if helped {
            continue;
        }
        let other = &weed.without_chemicals;
        let by_hand =
            other.by_hand.is_some() || !other.cultural.is_empty() || !other.mechanical.is_empty();
        let message = if by_hand {
            format!("no active is known to control {id}")
        } else {
            format!("no active is known to control {id}, and nothing without chemicals either")
        };
        found.add(At::file(format!("weeds/{id}.yaml")), message);
    }
}
