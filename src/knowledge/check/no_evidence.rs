//! Values that rest on nothing.
use super::prelude::*;

pub const CHECK: Check = Check {
    code: "no-evidence",
    severity: Error,
    title: "A value rests on nothing",
    explanation: "Every value says what it rests on, because people act on it. Name the source that was read; where nothing \
        was read write `memory`, which is honest and is shown as such. An empty list is neither.",
    bad: &[Piece {
        file: "turf/demo-cool-grass.yaml",
        yaml: "source: []",
    }],
    good: &[Piece {
        file: "turf/demo-cool-grass.yaml",
        yaml: "source: memory",
    }],
    run,
    needs_all: false,
};

fn run(book: &Book<'_>, found: &mut Findings) {
    for leaf in book.leaves {
        let empty = leaf.value.as_array().is_some_and(Vec::is_empty)
            || leaf.value.as_str().is_some_and(|s| s.trim().is_empty());
        if empty && (&*leaf.key == "source" || &*leaf.key == "authority_source") {
            found
                .add(leaf.at(), "this value rests on nothing")
                .help("name the source that was read, or write `memory`");
        }
    }
}
