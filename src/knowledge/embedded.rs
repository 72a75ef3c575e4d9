//! The default knowledge, carried inside the program.
use super::files::Files;
use super::folder::TextFile;

static TEXTS: &[(&str, &str)] = &include!(concat!(env!("OUT_DIR"), "/texts.rs"));
static JSON: &str = include_str!(concat!(env!("OUT_DIR"), "/knowledge.json"));

/// The texts of the default knowledge, as in the folder that it was built from.
#[must_use]
pub fn texts() -> Vec<TextFile> {
    TEXTS
        .iter()
        .map(|(path, text)| TextFile {
            path: (*path).to_owned(),
            shown: format!("knowledge/{path}"),
            text: Ok((*text).to_owned()),
        })
        .collect()
}

/// The default knowledge in its fast form.
///
/// # Errors
/// The program was built from a knowledge folder with faults; `texts` read strictly tells which.
pub fn files() -> Result<Files, serde_json::Error> {
    serde_json::from_str(JSON)
}
