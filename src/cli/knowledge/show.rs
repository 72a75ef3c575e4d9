//! `ligule knowledge show`.
use super::super::output::{Format, Outcome, print, print_json};
use anyhow::{Context, Result};
use ligule::knowledge::{Kind, Knowledge};
use serde_json::{Value, json};

pub fn run(book: &Knowledge, kind: Kind, id: &str, format: Format) -> Result<Outcome> {
    let entry = entry(book, kind, id).with_context(|| format!("no {} {id}", kind.word()))?;
    match format {
        Format::Json => print_json(&shaped(book, kind, id, entry))?,
        // The form people edit is the form that is shown; the fuller text with evidence in words is in the JSON.
        Format::Human => print(&format!(
            "# {} {id}\n{}",
            kind.word(),
            serde_yaml::to_string(&entry)?
        ))?,
    }
    Ok(Outcome::Fine)
}

/// The entry as it is written.
fn entry(book: &Knowledge, kind: Kind, id: &str) -> Option<Value> {
    let value = match kind {
        Kind::Weed => serde_json::to_value(book.weeds.get(id)?),
        Kind::Turf => serde_json::to_value(book.turf.get(id)?),
        Kind::Active => serde_json::to_value(book.actives.get(id)?),
        Kind::Place => serde_json::to_value(book.places.get(id)?),
        Kind::Source => serde_json::to_value(book.sources.get(id)?),
        Kind::Trait => serde_json::to_value(book.traits.iter().find(|t| t.id == id)?),
        Kind::Stage => serde_json::to_value(book.stages.iter().find(|s| s.id == id)?),
        Kind::Situation => serde_json::to_value(book.situations.iter().find(|s| s.id == id)?),
        Kind::Group => {
            serde_json::to_value(book.groups.iter().find(|g| g.number.to_string() == id)?)
        }
    };
    value.ok()
}

/// The entry with schema and id; every `source` gets the evidence beside it, and rows of an active their lists.
fn shaped(book: &Knowledge, kind: Kind, id: &str, mut entry: Value) -> Value {
    with_evidence(book, &mut entry);
    if let Value::Object(map) = &mut entry {
        map.insert(
            "schema".to_owned(),
            json!(format!("ligule/{}/1", kind.list_word())),
        );
        map.insert("id".to_owned(), json!(id));
    }
    entry
}

/// Beside every `source` puts `sources` (always a list) and `evidence`; beside every `condition` the list `conditions`.
fn with_evidence(book: &Knowledge, value: &mut Value) {
    match value {
        Value::Object(map) => {
            map.values_mut()
                .for_each(|inner| with_evidence(book, inner));
            if let Some(source) = map.get("source").cloned() {
                let ids: Vec<String> = match source {
                    Value::String(one) => vec![one],
                    Value::Array(all) => all
                        .iter()
                        .filter_map(Value::as_str)
                        .map(str::to_owned)
                        .collect(),
                    _ => Vec::new(),
                };
                let evidence = book.evidence(&ligule::knowledge::form::common::Many(ids.clone()));
                map.insert("sources".to_owned(), json!(ids));
                map.insert("evidence".to_owned(), json!(evidence));
            }
            // Rows of tables always have conditions, even if there are none.
            if map.contains_key("rating") {
                let conditions: Vec<Value> = map.get("condition").cloned().into_iter().collect();
                map.insert("conditions".to_owned(), json!(conditions));
            }
        }
        Value::Array(list) => list.iter_mut().for_each(|inner| with_evidence(book, inner)),
        _ => {}
    }
}
