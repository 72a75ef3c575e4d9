//! Reads one YAML text strictly into one of the form's structs.
use super::diagnostic::{Diagnostic, Spot};
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
    let plain = super::slips::in_plain_words(told.lines().next().unwrap_or_default());
    let spot = Spot::new(file, text, line, column);
    Diagnostic::error(plain.code, plain.message, spot, plain.help)
}
