//! `ligule knowledge list`.
use super::super::output::{Format, Outcome, print, print_json};
use anyhow::Result;
use ligule::knowledge::{Kind, Knowledge};
use serde_json::json;

pub fn run(book: &Knowledge, kind: Kind, format: Format) -> Result<Outcome> {
    let ids = book.ids(kind);
    match format {
        Format::Json => print_json(&json!({"schema": "ligule/list/1", "ids": ids}))?,
        Format::Human => print(&(ids.join("\n") + "\n"))?,
    }
    Ok(Outcome::Fine)
}
