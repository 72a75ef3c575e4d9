//! Every source that a treatment rests on, found by walking the treatment itself, so that none can be forgotten.
use crate::knowledge::Knowledge;
use crate::knowledge::form::source::Evidence;
use serde::Serialize;
use serde_json::Value;
use std::collections::BTreeSet;

/// A source that was used.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct SourceLine {
    /// Id in the book.
    pub id: String,
    /// What a value that rests on it may call itself.
    pub evidence: Evidence,
    /// Author or publishing body.
    pub by: Option<String>,
    /// Title.
    pub title: String,
    /// Journal, series, number.
    pub publication: Option<String>,
    /// Year as printed.
    pub year: Option<String>,
    /// Web address or DOI.
    pub address: Option<String>,
    /// How much of it was read.
    pub read: Option<String>,
}

/// How many statements rest on what.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize)]
pub struct Rests {
    /// Statements in all.
    pub statements: usize,
    /// On a source that was read.
    pub published: usize,
    /// On common practice.
    pub practice: usize,
    /// On memory.
    pub memory: usize,
}

/// The sources, by id, and the count of statements by evidence, of anything serialised.
#[must_use]
pub fn of(book: &Knowledge, value: &Value) -> (Vec<SourceLine>, Rests) {
    let mut ids = BTreeSet::new();
    let mut rests = Rests::default();
    walk(value, &mut ids, &mut rests);
    let lines = ids
        .into_iter()
        .filter_map(|id| {
            let source = book.sources.get(id)?;
            Some(SourceLine {
                id: id.to_owned(),
                evidence: source.evidence,
                by: source.by.clone(),
                title: source.title.clone(),
                publication: source.publication.clone(),
                year: source.year.clone(),
                address: source.address.clone(),
                read: source.read.clone(),
            })
        })
        .collect();
    (lines, rests)
}

fn walk<'a>(value: &'a Value, ids: &mut BTreeSet<&'a str>, rests: &mut Rests) {
    match value {
        Value::Array(items) => items.iter().for_each(|v| walk(v, ids, rests)),
        Value::Object(map) => {
            if let (Some(evidence), Some(Value::Array(sources))) =
                (map.get("evidence"), map.get("sources"))
            {
                let sources: Vec<&str> = sources.iter().filter_map(Value::as_str).collect();
                // A statement without a source is a gap that is named, not a value.
                if !sources.is_empty() {
                    rests.statements += 1;
                    match evidence.as_str() {
                        Some("published") => rests.published += 1,
                        Some("practice") => rests.practice += 1,
                        _ => rests.memory += 1,
                    }
                }
                ids.extend(sources);
            }
            map.values().for_each(|v| walk(v, ids, rests));
        }
        _ => {}
    }
}
