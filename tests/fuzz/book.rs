// Shared by the fuzz targets and by the test that replays their saved inputs: a book made from raw bytes, read and
// checked, with every reported place held against the texts.
use ligule::knowledge::Report;
use ligule::knowledge::diagnostic::Spot;
use ligule::knowledge::folder::{TextFile, read_folder};
use std::path::Path;

/// The small book of the tests, with the files that it does without.
pub fn small_book(root: &Path) -> Vec<TextFile> {
    let mut texts = read_folder(&root.join("tests/data/small-book")).expect("the small book");
    for (path, text) in [
        (
            "acknowledged.yaml",
            "- {code: inseparable, where: a and b, why: for the sake of trying}\n",
        ),
        ("contents.yaml", "weeds: [winter-star]\n"),
        (
            "classification.yaml",
            "numbers: [{number: 2, source: memory}]\nmembers: [{actives: inventol, number: 4, source: memory}]\n",
        ),
    ] {
        texts.push(TextFile {
            path: path.to_owned(),
            shown: format!("book/{path}"),
            text: Ok(text.to_owned()),
        });
    }
    texts.sort_by(|a, b| a.path.cmp(&b.path));
    texts
}

/// One file replaced by the bytes behind the first, which chooses the file.
pub fn one_file(book: &[TextFile], data: &[u8]) {
    let Some((which, rest)) = data.split_first() else {
        return;
    };
    let mut texts = book.to_vec();
    let at = usize::from(*which) % texts.len();
    texts[at].text = Ok(String::from_utf8_lossy(rest).into_owned());
    read_and_check(&texts);
}

/// Words that matter to the reader and to the checks.
const WORDS: [&str; 32] = [
    "memory",
    "guide-a",
    "- ",
    ": ",
    "{",
    "}",
    "[",
    "]",
    "\n",
    "  ",
    "\"",
    "'",
    "0",
    "13",
    "-1",
    "1e9",
    ".nan",
    "na",
    "is: ",
    "source: ",
    "sometimes: ",
    "range: [9, 1]",
    "penny-creeper",
    "false-penny",
    "inventol",
    "demosulf",
    "always",
    "\u{e9}\u{1f33f}",
    "#",
    "&a ",
    "*a",
    "~",
];

/// Edits of the small book, five bytes each: file, place (two bytes), what to do, with what.
pub fn edited(book: &[TextFile], data: &[u8]) {
    let mut texts = book.to_vec();
    for edit in data.chunks_exact(5).take(64) {
        let count = texts.len();
        let Ok(text) = &mut texts[usize::from(edit[0]) % count].text else {
            continue;
        };
        let mut at = usize::from(u16::from_be_bytes([edit[1], edit[2]])) % (text.len() + 1);
        while !text.is_char_boundary(at) {
            at -= 1;
        }
        let mut end = (at + usize::from(edit[4])).min(text.len());
        while !text.is_char_boundary(end) {
            end += 1;
        }
        match edit[3] % 5 {
            0 => text.replace_range(at..end, ""),
            1 => text.insert_str(at, WORDS[usize::from(edit[4]) % WORDS.len()]),
            2 => {
                let copied = text[at..end].to_owned();
                text.insert_str(at, &copied);
            }
            3 => {
                let line = text[..at].rfind('\n').map_or(0, |n| n + 1);
                let until = text[at..].find('\n').map_or(text.len(), |n| at + n + 1);
                let copied = text[line..until].to_owned();
                text.insert_str(line, &copied);
            }
            _ => {
                let word = text[at..]
                    .find(|c: char| !c.is_alphanumeric())
                    .map_or(text.len(), |n| at + n);
                text.replace_range(at..word, WORDS[usize::from(edit[4]) % WORDS.len()]);
            }
        }
    }
    read_and_check(&texts);
}

/// Reads and checks a book; every place that is told lies inside a text, and everything can be printed.
pub fn read_and_check(texts: &[TextFile]) {
    let report = Report::of_texts(texts);
    for found in &report.found {
        inside(&found.spot, texts);
        for other in &found.related {
            inside(&other.spot, texts);
        }
        assert!(!found.to_string().is_empty());
    }
    let _ = report.standing();
}

fn inside(spot: &Spot, texts: &[TextFile]) {
    // A file that is missing is told at its first character.
    let text = texts
        .iter()
        .find(|t| t.shown == spot.file)
        .and_then(|t| t.text.as_ref().ok());
    let lines: Vec<&str> = text.map(|t| t.lines().collect()).unwrap_or_default();
    assert!(spot.line >= 1 && spot.line <= lines.len().max(1), "{spot}");
    let long = lines.get(spot.line - 1).map_or(0, |l| l.chars().count());
    assert!(spot.column >= 1 && spot.column <= long + 1, "{spot}");
}
