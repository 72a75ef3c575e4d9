//! Saved inputs of the fuzz targets, and random edits of a sound book: no panic, every place inside its text.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::sliced_string_as_bytes,
    clippy::cast_possible_truncation,
    reason = "tests"
)]

#[path = "fuzz/book.rs"]
mod book;
#[path = "fuzz/figures.rs"]
mod figures;

use ligule::knowledge::folder::TextFile;
use proptest::prelude::*;
use std::fs;
use std::path::Path;
use std::sync::OnceLock;

static BOOK: OnceLock<Vec<TextFile>> = OnceLock::new();

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn small() -> &'static [TextFile] {
    BOOK.get_or_init(|| book::small_book(root()))
}

/// Every saved input of a target: one file each, or lines of hexadecimal digits, one an input, in `inputs.hex`.
fn saved(target: &str) -> Vec<Vec<u8>> {
    let folder = root().join("tests/fuzz/corpus").join(target);
    let mut inputs = Vec::new();
    for entry in fs::read_dir(&folder).expect("saved inputs") {
        let path = entry.unwrap().path();
        let bytes = fs::read(&path).unwrap();
        if path.ends_with("inputs.hex") {
            let text = String::from_utf8(bytes).unwrap();
            inputs.extend(text.lines().map(|line| {
                let digits: Vec<u8> = line
                    .chars()
                    .map(|c| c.to_digit(16).unwrap() as u8)
                    .collect();
                digits.chunks(2).map(|two| two[0] * 16 + two[1]).collect()
            }));
        } else {
            inputs.push(bytes);
        }
    }
    inputs
}

fn replay(target: &str, run: fn(&[TextFile], &[u8])) {
    let inputs = saved(target);
    for input in &inputs {
        run(small(), input);
    }
    assert!(
        inputs.len() >= 20,
        "{} saved inputs of {target}",
        inputs.len()
    );
}

#[test]
fn saved_texts_as_files() {
    replay("book_one_file", book::one_file);
}

#[test]
fn saved_edits() {
    replay("book_edited", book::edited);
}

#[test]
fn saved_figures() {
    let inputs = saved("read_figures");
    for input in &inputs {
        if let Ok(text) = std::str::from_utf8(input) {
            figures::read(text);
        }
    }
    assert!(inputs.len() >= 100, "{} saved inputs", inputs.len());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(150))]

    #[test]
    fn edits_of_a_sound_book(data in proptest::collection::vec(any::<u8>(), 5..120)) {
        book::edited(small(), &data);
    }

    #[test]
    fn any_text_as_any_file(which in any::<u8>(), text in "[-a-z0-9:{}\\[\\], \n\"'#&*!|>%@~.?\u{e9}\t]{0,200}") {
        let mut data = vec![which];
        data.extend(text.as_bytes());
        book::one_file(small(), &data);
    }

    #[test]
    fn a_file_that_breaks_off(which in any::<u8>(), share in 0.0..1.0_f64) {
        let file = &small()[usize::from(which) % small().len()];
        let text = file.text.as_ref().unwrap();
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, clippy::cast_precision_loss, reason = "a length of a short text")]
        let mut at = (text.len() as f64 * share) as usize;
        while !text.is_char_boundary(at) {
            at -= 1;
        }
        let mut data = vec![which];
        data.extend(text[..at].as_bytes());
        book::one_file(small(), &data);
    }
}
