//! Sources that no value rests on.
use super::prelude::*;
use std::collections::BTreeSet;

pub const CHECK: Check = Check {
    code: "unused-source",
    severity: Warning,
    title: "No value rests on a source",
    explanation: "A source that nothing names is either left over, or the values that were read in it name another by \
        mistake, most often `memory`. Name it where it was used, or take it away.",
    bad: &[Piece {
        file: "sources.yaml",
        yaml: "guide-z: {evidence: published, by: Invented Extension, title: Guide Z, read: full}",
    }],
    good: &[
        Piece {
            file: "sources.yaml",
            yaml: "guide-z: {evidence: published, by: Invented Extension, title: Guide Z, read: full}",
        },
        Piece {
            file: "weeds/winter-star.yaml",
            yaml: "source: guide-z",
        },
    ],
    run,
    needs_all: true,
};

fn run(book: &Book<'_>, found: &mut Findings) {
    let used: BTreeSet<&str> = book
        .leaves
        .iter()
        .filter(|leaf| &*leaf.key == "source" || &*leaf.key == "authority_source")
        .filter_map(|leaf| leaf.value.as_str())
        .collect();
    for id in book
        .known
        .sources
        .keys()
        .filter(|id| !used.contains(id.as_str()))
    {
        found
            .add(
                At::file("sources").to(id),
                format!("no value rests on {id}"),
            )
            .help("name it where it was used, or take it away");
    }
}
