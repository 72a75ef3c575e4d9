//! Sources that call themselves published although nobody read them.
use super::prelude::*;
use crate::knowledge::form::source::Evidence;

pub const CHECK: Check = Check {
    code: "published-unread",
    severity: Error,
    title: "A source counts as published, but nothing of it was read",
    explanation: "`evidence: published` means that somebody had the text before their eyes. The key `read` says which part \
        (`full`, `abstract`, `table 3`). A title alone proves nothing: say what was read, or write `evidence: memory`.",
    bad: &[Piece {
        file: "sources.yaml",
        yaml: "guide-a: {evidence: published, by: Invented Extension, title: Guide A}",
    }],
    good: &[Piece {
        file: "sources.yaml",
        yaml: "guide-a: {evidence: published, by: Invented Extension, title: Guide A, read: pages 3 to 9}",
    }],
    run,
    needs_all: false,
};

fn run(book: &Book<'_>, found: &mut Findings) {
    for (id, source) in &book.known.sources {
        let read = source.read.as_deref().unwrap_or("").trim().to_lowercase();
        let unread = read.is_empty()
            || [
                "title", "nothing", "none", "n/a", "no", "not ", "unread", "?",
            ]
            .iter()
            .any(|word| read == word.trim() || (word.len() > 3 && read.starts_with(word)));
        if source.evidence == Evidence::Published && unread {
            found
                .add(
                    At::file("sources").to(id),
                    format!("{id} calls itself published, but nothing of it was read"),
                )
                .help("say in `read` which part was read, or write `evidence: memory`");
        }
    }
}
