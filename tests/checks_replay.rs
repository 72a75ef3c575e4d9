//! Saved inputs of the fuzz targets, and random edits of a sound book: no panic, every place inside its text.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::sliced_string_as_bytes,
    reason = "tests"
)]

#[path = "fuzz/book.rs"]
mod book;

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

fn replay(target: &str, run: fn(&[TextFile], &[u8])) {
    let folder = root().join("tests/fuzz/corpus").join(target);
    let mut count = 0;
    for entry in fs::read_dir(&folder).expect("saved inputs") {
        run(small(), &fs::read(entry.unwrap().path()).unwrap());
        count += 1;
    }
    assert!(count >= 20, "{count} saved inputs in {}", folder.display());
}

#[test]
fn saved_texts_as_files() {
    replay("book_one_file", book::one_file);
}

#[test]
fn saved_edits() {
    replay("book_edited", book::edited);
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
