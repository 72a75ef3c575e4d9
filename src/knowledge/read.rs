//! Reads one YAML text strictly into one of the form's structs.
use super::diagnostic::{Diagnostic, Severity, Spot};
use serde::de::DeserializeOwned;
use serde_saphyr::options::{DuplicateKeyPolicy, MergeKeyPolicy};

/// Largest file that is read, in bytes. The longest file of the default knowledge is far below a tenth of it.
pub const MAX_FILE_BYTES: usize = 4 * 1024 * 1024;

fn options() -> serde_saphyr::Options {
    // Everything that could turn a slip into a wrong value is an error: two equal keys, `no` as a truth value,
    // `07` and `1_000` as numbers, tags, merge keys. Aliases have no use here and are the classic bomb.
    serde_saphyr::options! {
        duplicate_keys: DuplicateKeyPolicy::Error,
        merge_keys: MergeKeyPolicy::Error,
        strict_booleans: true,
        leading_zero_numbers_as_strings: true,
        underscored_numbers_as_strings: true,
        reject_unsupported_tags: true,
        budget: serde_saphyr::budget! {
            max_depth: 32,
            max_aliases: 0,
            max_anchors: 0,
            max_documents: 1,
        },
    }
}

/// Reads `text` as a `T`.
///
/// # Errors
/// The first fault in the text, with its place in `file`.
pub fn read<T: DeserializeOwned>(file: &str, text: &str) -> Result<T, Box<Diagnostic>> {
    if text.len() > MAX_FILE_BYTES {
        return Err(Box::new(Diagnostic {
            code: "file-too-large",
            severity: Severity::Error,
            message: format!(
                "this file has {} bytes; at most {MAX_FILE_BYTES} are read",
                text.len()
            ),
            spot: Spot::new(file, "", 1, 1),
            help: Some("split it, or check that it is a knowledge file at all".to_owned()),
            related: Vec::new(),
        }));
    }
    serde_saphyr::from_str_with_options(text, options())
        .map_err(|error| Box::new(diagnose(file, text, &error)))
}

fn diagnose(file: &str, text: &str, error: &serde_saphyr::Error) -> Diagnostic {
    let (line, column) = error.location().map_or((1, 1), |at| {
        let whole = |n: u64| usize::try_from(n).unwrap_or(usize::MAX);
        (whole(at.line()), whole(at.column()))
    });
    // The first line of the reader's text is the sentence; the rest repeats the place.
    let told = error.without_snippet().to_string();
    let told = told.lines().next().unwrap_or("this is not valid YAML");
    let (code, help) = hint(told);
    Diagnostic {
        code,
        severity: Severity::Error,
        message: trim_place(told).to_owned(),
        spot: Spot::new(file, text, line, column),
        help: Some(help.to_owned()),
        related: Vec::new(),
    }
}

/// Cuts the reader's own "at line 3, column 5" from the end of its sentence; we print the place ourselves.
fn trim_place(told: &str) -> &str {
    let end = told
        .find(" at line ")
        .or_else(|| told.find(" (line "))
        .unwrap_or(told.len());
    told[..end].trim_end_matches([':', ',', ' '])
}

/// Code and advice for the faults that people make most often.
fn hint(told: &str) -> (&'static str, &'static str) {
    let low = told.to_lowercase();
    let has = |needle: &str| low.contains(needle);
    if has("duplicate") {
        (
            "duplicate-key",
            "keep one of the two equal keys; if both values are true, join them in one list",
        )
    } else if has("unknown field") || has("unknown variant") {
        (
            "unknown-key",
            "take one of the names that the message lists; a misspelt name is never ignored",
        )
    } else if has("missing field") {
        (
            "missing-key",
            "add this key; `ligule knowledge show` prints a complete entry of the same kind as a pattern",
        )
    } else if has("alias") || has("anchor") || has("merge") {
        (
            "no-aliases",
            "write the value out: anchors, aliases and merge keys are not read here",
        )
    } else if has("depth") || has("budget") || has("limit") {
        (
            "too-deep",
            "this nests deeper or runs longer than any knowledge file does; look for a bracket that never closes",
        )
    } else if has("null") {
        (
            "empty-value",
            "leave the key out where nothing is known; a gap stays a gap",
        )
    } else if has("tab") {
        ("bad-yaml", "indent with spaces, never with tabs")
    } else if has("invalid type") || has("expected") || has("invalid value") {
        (
            "wrong-kind",
            "text that looks like a number or like true/false needs quotes; a number has none",
        )
    } else {
        (
            "bad-yaml",
            "look at the indentation, at unclosed quotes or brackets, and at a `: ` inside unquoted text (quote such text)",
        )
    }
}
