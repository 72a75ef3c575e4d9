//! Any text through every reader of figures: none panics, and what is read prints and reads back the same.
#![no_main]

#[path = "../figures.rs"]
mod figures;

use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| figures::read(text));
