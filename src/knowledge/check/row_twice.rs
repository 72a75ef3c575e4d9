//! The same row written down twice.
use super::prelude::*;

pub const CHECK: Check = Check {
    code: "row-twice",
    severity: Error,
    title: "The same statement stands here twice",
    explanation: "Two rows say the same of the same case from the same source. Counted twice, one voice would look like two. \
        Keep one.",
    bad: &[Piece {
        file: "actives/placebuline.yaml",
        yaml: "controls:\n  - {weed: tuft-millet, timing: pre, rating: good, source: guide-a}\n  - {weed: tuft-millet, timing: pre, rating: good, source: guide-a}",
    }],
    good: &[Piece {
        file: "actives/placebuline.yaml",
        yaml: "controls:\n  - {weed: tuft-millet, timing: pre, rating: good, source: guide-a}\n  - {weed: tuft-millet, timing: pre, rating: good, source: guide-b}",
    }],
    run,
    needs_all: false,
};

fn run(book: &Book<'_>, found: &mut Findings) {
    for one in rated(book.known) {
        for (index, row) in one.turf.iter().enumerate() {
            if let Some(twin) = one.turf[..index].iter().position(|r| r == row) {
                tell(&one, "turf", index, twin, found);
            }
        }
        for (index, row) in one.controls.iter().enumerate() {
            if let Some(twin) = one.controls[..index].iter().position(|r| r == row) {
                tell(&one, "controls", index, twin, found);
            }
        }
    }
}

fn tell(one: &Rated<'_>, list: &str, index: usize, twin: usize, found: &mut Findings) {
    let at = |index: usize| one.at.clone().to(list).to(index);
    found
        .add(at(index), format!("{}: this row stands here twice", one.id))
        .help("keep one of the two")
        .also("the same row", at(twin));
}
