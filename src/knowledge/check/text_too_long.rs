//! Sentences that do not fit the printed note.
use super::prelude::*;

pub const CHECK: Check = Check {
    code: "text-too-long",
    severity: Warning,
    title: "A text is too long for the printed note",
    explanation: "The note is read on the lawn, in gloves. A caution of six lines is not read at all, and a long name breaks the table. \
        Say the main thing in one or two sentences and put the rest into a second entry or a `note`.",
    bad: &[Piece {
        file: "weeds/winter-star.yaml",
        yaml: "names: [winter star that is also known by a good many other names in other places]",
    }],
    good: &[Piece {
        file: "weeds/winter-star.yaml",
        yaml: "names: [winter star]",
    }],
    run,
    needs_all: false,
};

/// Key and most characters. A line of the note holds about ninety.
const MOST: [(&str, usize); 13] = [
    ("names", 48),
    ("name", 60),
    ("label", 60),
    ("question", 140),
    ("help", 270),
    ("condition", 200),
    ("tell", 270),
    ("text", 360),
    ("says", 360),
    ("note", 360),
    ("authority", 120),
    ("verify_with", 120),
    ("when", 120),
];

fn run(book: &Book<'_>, found: &mut Findings) {
    for leaf in book.leaves {
        // The notes of a source are for the keeper and never printed on a treatment note.
        if &*leaf.file == "sources" {
            continue;
        }
        if let (Some((_, most)), Some(text)) = (
            MOST.iter().find(|(key, _)| &*leaf.key == *key),
            leaf.value.as_str(),
        ) {
            let long = text.chars().count();
            if long > *most {
                let first: String = text.chars().take(40).collect();
                found
                    .add(
                        leaf.at(),
                        format!("this {} has {long} characters; {most} fit", leaf.key),
                    )
                    .about(format!("{}: {first}", leaf.at().words()))
                    .help("shorten it, or make two of it");
            }
        }
    }
}
