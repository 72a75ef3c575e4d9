//! Entries on their way into another file: nothing depends on the numbers that they have in this one.
use super::RecordError;
use super::entry::{Entry, What};
use jiff::civil::Date;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// Name of the JSON form.
pub const SCHEMA: &str = "ligule/record/1";

/// One entry, its links told by lasting names.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Portable {
    /// Lasting name.
    pub uid: String,
    /// Day on which it was written.
    pub recorded_on: Date,
    /// The entry that it replaces.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub corrects: Option<String>,
    /// The treatment that it is about.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub about: Option<String>,
    /// Why it replaces the other.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub why: Option<String>,
    /// What happened.
    pub what: What,
}

/// The JSON file.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Export {
    /// [`SCHEMA`].
    pub schema: String,
    /// Entries; each comes after those that it points at.
    pub entries: Vec<Portable>,
}

impl Portable {
    /// Whether it can be written down on `today`.
    ///
    /// # Errors
    /// What is wrong, in words.
    pub fn check(&self, today: Date) -> Result<(), String> {
        let plain = |c: char| c.is_ascii_alphanumeric() || c == '-';
        if !(8..=64).contains(&self.uid.len()) || !self.uid.chars().all(plain) {
            return Err("a uid has 8 to 64 letters, digits and hyphens".to_owned());
        }
        if self.recorded_on > today {
            return Err(format!(
                "recorded_on {} lies in the future (today is {today})",
                self.recorded_on
            ));
        }
        if self
            .why
            .as_ref()
            .is_some_and(|w| w.chars().count() > super::LONGEST_TEXT)
        {
            return Err("the reason is longer than 2000 characters".to_owned());
        }
        self.what.check(today).map_err(|e| e.to_string())
    }

    /// Where it stands in what is imported, counted from 0.
    #[must_use]
    pub fn place(&self, index: usize) -> String {
        format!("entry {} (uid {})", index + 1, self.uid)
    }
}

/// All entries as they leave the file. Links lead to entries before them, because entries are only ever added.
#[must_use]
pub fn portable(entries: &[Entry]) -> Vec<Portable> {
    let names: BTreeMap<i64, &str> = entries.iter().map(|e| (e.id, e.uid.as_str())).collect();
    let name = |id: Option<i64>| {
        id.and_then(|id| names.get(&id))
            .map(|uid| (*uid).to_owned())
    };
    let mut in_order: Vec<&Entry> = entries.iter().collect();
    in_order.sort_by_key(|e| e.id);
    in_order
        .into_iter()
        .map(|e| Portable {
            uid: e.uid.clone(),
            recorded_on: e.recorded_on,
            corrects: name(e.corrects),
            about: name(e.about),
            why: e.why.clone(),
            what: e.what.clone(),
        })
        .collect()
}

/// The JSON of all entries, indented, with a line end.
///
/// # Errors
/// None that is known; entries are plain values.
pub fn to_json(entries: &[Entry]) -> Result<String, RecordError> {
    let export = Export {
        schema: SCHEMA.to_owned(),
        entries: portable(entries),
    };
    let mut text =
        serde_json::to_string_pretty(&export).map_err(|e| RecordError::Page(e.to_string()))?;
    text.push('\n');
    Ok(text)
}

/// Entries from JSON.
///
/// # Errors
/// Text of another form, with line and column.
pub fn from_json(text: &str) -> Result<Vec<Portable>, RecordError> {
    let bad = |place: String, why: String| RecordError::Import { place, why };
    let export: Export = serde_json::from_str(text).map_err(|e| {
        bad(
            format!("line {}, column {}", e.line(), e.column()),
            e.to_string(),
        )
    })?;
    if export.schema != SCHEMA {
        let why = format!(
            "its schema is `{}`; this program reads `{SCHEMA}`",
            export.schema
        );
        return Err(bad("schema".to_owned(), why));
    }
    Ok(export.entries)
}
