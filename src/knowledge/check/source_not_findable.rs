//! Published sources that nobody could find again.
use super::prelude::*;
use crate::knowledge::form::source::Evidence;

pub const CHECK: Check = Check {
    code: "source-not-findable",
    severity: Warning,
    title: "A published source cannot be found again",
    explanation: "Whoever doubts a value must be able to look it up. A published source needs an address or the journal or \
        series that it stands in; a title alone is not enough.",
    bad: &[Piece {
        file: "sources.yaml",
        yaml: "guide-c: {evidence: published, title: A leaflet, read: full}",
    }],
    good: &[Piece {
        file: "sources.yaml",
        yaml: "guide-c: {evidence: published, by: Invented College, title: A leaflet, publication: Invented Leaflets 7, read: full}",
    }],
    run,
    needs_all: false,
};

fn run(book: &Book<'_>, found: &mut Findings) {
    for (id, source) in &book.known.sources {
        let findable =
            source.address.is_some() || source.publication.is_some() || source.by.is_some();
        if source.evidence == Evidence::Published && !findable {
            found
                .add(
                    At::file("sources").to(id),
                    format!("{id} has neither author, address nor publication"),
                )
                .help("add `address`, `publication` or at least `by`");
        }
    }
}
