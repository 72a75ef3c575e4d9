//! Reads one YAML text strictly into one of the form's structs.
use super::diagnostic::{Diagnostic, Spot};
use serde::de::DeserializeOwned;
use serde_saphyr::granit_parser::{Event, Parser, ScalarStyle, StrInput};
use serde_saphyr::options::{DuplicateKeyPolicy, MergeKeyPolicy};

/// Largest file that is read, in bytes. The longest file of the default knowledge is far below a tenth of it.
pub const MAX_FILE_BYTES: usize = 4 * 1024 * 1024;

/// `quoted`: a text that looks like a number or a truth value must stand in quotes.
fn options(quoted: bool) -> serde_saphyr::Options {
    // Everything that could turn a slip into a wrong value is an error: two equal keys, `no` as a truth value,
    // `07` and `1_000` as numbers, tags, merge keys. Aliases have no use here and are the classic bomb.
    serde_saphyr::options! {
        duplicate_keys: DuplicateKeyPolicy::Error,
        merge_keys: MergeKeyPolicy::Error,
        strict_booleans: true,
        leading_zero_numbers_as_strings: true,
        underscored_numbers_as_strings: true,
        reject_unsupported_tags: true,
        no_schema: quoted,
        budget: serde_saphyr::budget! {
            max_depth: 32,
            max_aliases: 0,
            max_anchors: 0,
            max_documents: 1,
            // Five times what the longest file of the default knowledge holds. Checks compare entries with each other, so
            // a file of 4 MB with a mistake in every word would otherwise keep them busy for minutes.
            max_nodes: 40_000,
        },
    }
}

/// Reads `text` as a `T`.
///
/// # Errors
/// The first fault in the text, with its place in `file`.
pub fn read<T: DeserializeOwned>(file: &str, text: &str) -> Result<T, Box<Diagnostic>> {
    read_with(file, text, false)
}

/// Reads a knowledge file. `year: 2007` is an error there, `year: "2007"` is not: other readers of YAML, and the schemas
/// that editors check with, see a number where no quotes are.
///
/// # Errors
/// The first fault in the text, with its place in `file`.
pub fn read_knowledge<T: DeserializeOwned>(file: &str, text: &str) -> Result<T, Box<Diagnostic>> {
    read_with(file, text, true)
}

fn read_with<T: DeserializeOwned>(
    file: &str,
    text: &str,
    quoted: bool,
) -> Result<T, Box<Diagnostic>> {
    if text.len() > MAX_FILE_BYTES {
        let message = format!(
            "this file has {} bytes; at most {MAX_FILE_BYTES} are read",
            text.len()
        );
        let help = "split it, or check that it is a knowledge file at all".to_owned();
        let spot = Spot::new(file, "", 1, 1);
        return Err(Box::new(Diagnostic::error(
            "file-too-large",
            message,
            spot,
            help,
        )));
    }
    if let Some(fault) = oddity(file, text) {
        return Err(Box::new(fault));
    }
    serde_saphyr::from_str_with_options(text, options(quoted))
        .map_err(|error| Box::new(diagnose(file, text, &error)))
}

/// What YAML takes and the reader has no switch for: `0x1F`, `0o17` and `0b11` as numbers, and tags, which may turn a word
/// into another one. Both are slips to whoever writes about plants.
fn oddity(file: &str, text: &str) -> Option<Diagnostic> {
    let radix = |c: u8| matches!(c | 0x20, b'x' | b'o' | b'b');
    // Almost no text has such a pair of letters, so almost none is parsed twice.
    let suspicious = |two: &[u8]| {
        (two[0] == b'0' && radix(two[1])) || (two[1] == b'!' && !two[0].is_ascii_alphanumeric())
    };
    if !text.starts_with('!') && !text.as_bytes().windows(2).any(suspicious) {
        return None;
    }
    for event in Parser::<StrInput<'_>>::new_from_str(text) {
        let (event, span) = event.ok()?;
        let found = match &event {
            Event::Scalar(.., Some(tag))
            | Event::SequenceStart(.., Some(tag))
            | Event::MappingStart(.., Some(tag)) => Some((
                format!("the tag {tag} is not read here"),
                "no-aliases",
                "take the tag away; quote a text that begins with `!`",
            )),
            Event::Scalar(word, ScalarStyle::Plain, ..) => {
                let bare = word.trim_start_matches(['-', '+']);
                let digits = bare
                    .strip_prefix('0')
                    .filter(|d| d.bytes().next().is_some_and(radix));
                digits
                    .is_some_and(|d| {
                        d.len() > 1 && d[1..].bytes().all(|c| c.is_ascii_hexdigit() || c == b'_')
                    })
                    .then(|| {
                        (
                            format!("{word} is a number as programs write it"),
                            "wrong-kind",
                            "write a plain number; quote it if it is a word",
                        )
                    })
            }
            _ => None,
        };
        if let Some((message, code, help)) = found {
            let spot = Spot::new(file, text, span.start.line(), span.start.col() + 1);
            return Some(Diagnostic::error(code, message, spot, help.to_owned()));
        }
    }
    None
}

fn diagnose(file: &str, text: &str, error: &serde_saphyr::Error) -> Diagnostic {
    let (line, column): (usize, usize) = error.location().map_or((1, 1), |at| {
        let whole = |n: u64| usize::try_from(n).unwrap_or(usize::MAX);
        (whole(at.line()).max(1), whole(at.column()))
    });
    // The first line of the reader's text is the sentence; the rest repeats the place.
    let told = error.without_snippet().to_string();
    let plain = super::slips::in_plain_words(told.lines().next().unwrap_or_default());
    // A tab in front of a line is noticed at the end of the line before.
    let indented_by_tab = |l: &&str| {
        l.chars()
            .take_while(|c| c.is_whitespace())
            .any(|c| c == '\t')
    };
    let tab = plain
        .message
        .contains("tab")
        .then(|| {
            text.lines()
                .skip(line - 1)
                .position(|l| indented_by_tab(&l))
        })
        .flatten();
    let (line, column) = tab.map_or((line, column), |further| (line + further, 1));
    let spot = Spot::new(file, text, line, column);
    Diagnostic::error(plain.code, plain.message, spot, plain.help)
}
