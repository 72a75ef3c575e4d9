//! Any edits of a sound book: no panic, and every place that is told lies inside a text.
#![no_main]

#[path = "../book.rs"]
mod book;

use libfuzzer_sys::fuzz_target;
use ligule::knowledge::folder::TextFile;
use std::path::Path;
use std::sync::OnceLock;

static BOOK: OnceLock<Vec<TextFile>> = OnceLock::new();

fuzz_target!(|data: &[u8]| {
    let small = BOOK.get_or_init(|| book::small_book(&Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")));
    book::edited(small, data);
});
