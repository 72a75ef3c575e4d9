//! Trade names.
use super::prelude::*;

pub const CHECK: Check = Check {
    code: "trade-mark",
    severity: Error,
    title: "A text holds a trade name",
    explanation: "The book names active ingredients by their common names and groups by their numbers. Products change their contents \
        under the same name from country to country and year to year, so a trade name may lead to the wrong bottle.",
    bad: &[Piece {
        file: "actives/inventol.yaml",
        yaml: "notes:\n  - {text: Sold as Lawnshine®., source: memory}",
    }],
    good: &[Piece {
        file: "actives/inventol.yaml",
        yaml: "notes:\n  - {text: Sold as a liquid., source: memory}",
    }],
    run,
    needs_all: false,
};

fn run(book: &Book<'_>, found: &mut Findings) {
    for leaf in book.leaves {
        // Titles of documents are quoted as they are.
        let marked = leaf
            .value
            .as_str()
            .is_some_and(|t| t.contains(['\u{ae}', '\u{2122}']));
        if marked && &*leaf.file != "sources" {
            found
                .add(leaf.at(), "a trade mark stands here")
                .help("name the active ingredient by its common name");
        }
    }
}
