//! What is to be written down of what was applied, and whom to ask about it.
use super::fact::Fact;
use crate::choose::{Applicator, Request};
use crate::knowledge::Knowledge;
use serde::Serialize;

/// The blank record.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Record {
    /// All items.
    pub fields: Vec<Blank>,
    /// Rules of the place that name some of them.
    pub rules: Vec<RecordLine>,
}

/// One item to fill in.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Blank {
    /// Id of the item.
    pub id: String,
    /// Name to show.
    pub name: String,
    /// Whether a rule of the place names it.
    pub named: bool,
}

/// A rule about records.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RecordLine {
    /// The place.
    pub place: String,
    /// Name of the rule.
    pub rule: String,
    /// How long to keep the record, in words.
    pub keep: Option<String>,
    /// The authority to ask.
    pub check_with: String,
    /// Exceptions and explanations.
    pub note: Option<String>,
    /// The rule, what it covers, and what it says of writing and keeping.
    #[serde(flatten)]
    pub fact: Fact,
}

/// The blank record of a place.
#[must_use]
pub fn blank(book: &Knowledge, request: &Request) -> Record {
    let mut named: Vec<&String> = Vec::new();
    let mut rules = Vec::new();
    for place in request
        .places(book)
        .into_iter()
        .filter_map(|id| book.places.get(id))
    {
        for rule in &place.records {
            named.extend(&rule.fields);
            let mut text = format!("{}, {}", rule.rule, rule.scope);
            for (word, value) in [
                ("write within", &rule.write_within),
                ("keep", &rule.keep),
                ("report", &rule.report),
            ] {
                if let Some(value) = value {
                    text = format!("{text}; {word} {value}");
                }
            }
            rules.push(RecordLine {
                place: place.name.clone(),
                rule: rule.rule.clone(),
                keep: rule.keep.clone(),
                check_with: place.authority.clone(),
                note: rule.note.clone(),
                fact: Fact::new(book, text, &rule.source),
            });
        }
    }
    let owner = request.applicator == Some(Applicator::Homeowner);
    Record {
        fields: book
            .record_fields
            .iter()
            .filter(|f| !f.for_hire || !owner || named.contains(&&f.id))
            .map(|f| Blank {
                id: f.id.clone(),
                name: f.name.clone(),
                named: named.contains(&&f.id),
            })
            .collect(),
        rules,
    }
}

/// A number to call.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CallLine {
    /// Whose number.
    pub name: String,
    /// The number; a blank is printed where none is confirmed.
    pub number: Option<String>,
    /// When to call.
    #[serde(flatten)]
    pub fact: Fact,
}

/// Numbers to call in the place and the places around it.
#[must_use]
pub fn calls(book: &Knowledge, request: &Request) -> Vec<CallLine> {
    request
        .places(book)
        .into_iter()
        .filter_map(|id| book.places.get(id))
        .flat_map(|p| &p.help_lines)
        .map(|line| CallLine {
            name: line.name.clone(),
            number: line.number.clone(),
            fact: Fact::new(book, line.when.clone(), &line.source),
        })
        .collect()
}
