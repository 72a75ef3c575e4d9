//! Look-alikes that name nothing, too much, or the plant itself.
use super::prelude::*;

pub const CHECK: Check = Check {
    code: "look-alike-form",
    severity: Error,
    title: "A look-alike names not exactly one plant",
    explanation: "A look-alike is one other plant: a `weed` or a `turf` of the book, or, where it has no entry, an `other` by name. \
        Give exactly one of the three, and never the plant itself.",
    bad: &[Piece {
        file: "weeds/saw-rosette.yaml",
        yaml: "look_alikes:\n  - {weed: saw-rosette, tell: it has teeth, source: memory}",
    }],
    good: &[Piece {
        file: "weeds/saw-rosette.yaml",
        yaml: "look_alikes:\n  - {weed: winter-star, tell: \"winter star: leaf edge smooth\", source: memory}",
    }],
    run,
    needs_all: false,
};

fn run(book: &Book<'_>, found: &mut Findings) {
    for (id, weed) in &book.known.weeds {
        for (index, other) in weed.look_alikes.iter().enumerate() {
            let named = [&other.weed, &other.turf, &other.other]
                .iter()
                .filter(|o| o.is_some())
                .count();
            let at = At::file(format!("weeds/{id}.yaml"))
                .to("look_alikes")
                .to(index);
            if named != 1 {
                found
                    .add(at, format!("this look-alike of {id} names {named} plants"))
                    .help("give exactly one of `weed`, `turf` and `other`");
            } else if other.weed.as_ref() == Some(id) {
                found
                    .add(
                        at.to("weed"),
                        format!("{id} is named as its own look-alike"),
                    )
                    .help("name the other plant");
            }
        }
    }
}
