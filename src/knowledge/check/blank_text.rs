//! Texts with nothing in them, or with signs that do not print.
use super::prelude::*;

pub const CHECK: Check = Check {
    code: "blank-text",
    severity: Error,
    title: "A text is blank, or holds signs that cannot be printed",
    explanation: "A blank name or sentence leaves a hole in the note, and invisible signs (control characters, marks that turn the \
        direction of writing) can make a page say something else than it seems to. Write the text, or leave the key out.",
    bad: &[Piece {
        file: "weeds/winter-star.yaml",
        yaml: "names: [\"  \"]",
    }],
    good: &[Piece {
        file: "weeds/winter-star.yaml",
        yaml: "names: [winter star]",
    }],
    run,
    needs_all: false,
};

/// Keys that must hold at least one entry.
const FULL: [&str; 4] = ["names", "states", "is", "fields"];

fn run(book: &Book<'_>, found: &mut Findings) {
    for leaf in book.leaves {
        // A value without a source has a check of its own.
        if &*leaf.key == "source" || &*leaf.key == "authority_source" {
            continue;
        }
        if leaf.value.as_array().is_some_and(Vec::is_empty) && FULL.contains(&&*leaf.key) {
            found
                .add(leaf.at(), format!("`{}` is empty", leaf.key))
                .help("write at least one, or leave the key out");
        }
        let Some(text) = leaf.value.as_str() else {
            continue;
        };
        if text.trim().is_empty() {
            found
                .add(leaf.at(), format!("`{}` is blank", leaf.key))
                .help("write the text, or leave the key out");
        } else if text.chars().any(unseen) {
            found
                .add(
                    leaf.at(),
                    format!("`{}` holds a sign that cannot be seen", leaf.key),
                )
                .help("type the text anew; such signs come in by copying");
        }
    }
}

/// Control characters, and the marks of the Unicode standard that turn the direction of writing or have no width.
fn unseen(c: char) -> bool {
    (c.is_control() && c != '\n' && c != '\t')
        || matches!(c, '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{2069}' | '\u{feff}')
}
