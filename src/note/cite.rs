//! Marks that say what a statement rests on, and the list of sources that explains them.
use crate::knowledge::form::source::Evidence;
use crate::treatment::fact::Fact;
use crate::treatment::{SourceLine, Treatment};
use serde::Serialize;
use std::collections::BTreeMap;

/// The mark of memory.
pub const MEMORY: &str = "m";
/// The mark of common practice.
pub const PRACTICE: &str = "p";
/// Numbers shown beside one statement; more are in the JSON.
const MOST_NUMBERS: usize = 2;

/// Words with their marks.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Line {
    /// The words.
    pub text: String,
    /// Marks such as `m`, `p`, `3`; the first says `m` wherever the statement rests on memory.
    pub marks: Vec<String>,
}

impl Line {
    /// Words that state no fact of the trade.
    #[must_use]
    pub fn plain(text: impl Into<String>) -> Self {
        Self {
            text: text.into(),
            marks: Vec::new(),
        }
    }
}

/// One entry of the list of sources.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Entry {
    /// The mark.
    pub mark: String,
    /// What it stands for.
    pub text: String,
}

/// Gives sources their numbers in the order in which the page cites them.
pub struct Citations<'a> {
    sources: BTreeMap<&'a str, &'a SourceLine>,
    numbered: Vec<&'a SourceLine>,
    memory: Vec<&'a SourceLine>,
    practice: bool,
}

impl<'a> Citations<'a> {
    /// No citation yet.
    #[must_use]
    pub fn new(treatment: &'a Treatment) -> Self {
        Self {
            sources: treatment
                .sources
                .iter()
                .map(|s| (s.id.as_str(), s))
                .collect(),
            numbered: Vec::new(),
            memory: Vec::new(),
            practice: false,
        }
    }

    /// The marks of a statement.
    pub fn marks(&mut self, evidence: Evidence, ids: &[String]) -> Vec<String> {
        let mut marks = Vec::new();
        // A statement without a source names a gap; there is nothing to mark.
        if ids.is_empty() {
            return marks;
        }
        match evidence {
            Evidence::Memory => marks.push(MEMORY.to_owned()),
            Evidence::Practice => {
                self.practice = true;
                marks.push(PRACTICE.to_owned());
            }
            Evidence::Published => {}
        }
        let mut numbers = Vec::new();
        for source in ids.iter().filter_map(|id| self.sources.get(id.as_str())) {
            match source.evidence {
                Evidence::Published => numbers.push(*source),
                Evidence::Practice => self.practice = true,
                Evidence::Memory => {
                    if !self.memory.contains(source) {
                        self.memory.push(source);
                    }
                }
            }
        }
        let more = numbers.len() > MOST_NUMBERS;
        for source in numbers.into_iter().take(MOST_NUMBERS) {
            let place = self.numbered.iter().position(|s| s.id == source.id);
            let place = place.unwrap_or_else(|| {
                self.numbered.push(source);
                self.numbered.len() - 1
            });
            marks.push((place + 1).to_string());
        }
        if more {
            marks.push("+".to_owned());
        }
        marks
    }

    /// A line with the marks of its evidence.
    pub fn line(&mut self, text: impl Into<String>, evidence: Evidence, ids: &[String]) -> Line {
        Line {
            text: text.into(),
            marks: self.marks(evidence, ids),
        }
    }

    /// A statement with its marks.
    pub fn fact(&mut self, fact: &Fact) -> Line {
        self.line(fact.text.clone(), fact.evidence, &fact.sources)
    }

    /// The list of everything cited: numbers, then practice, then memory.
    #[must_use]
    pub fn entries(self) -> Vec<Entry> {
        let mut entries: Vec<Entry> = self
            .numbered
            .iter()
            .enumerate()
            .map(|(place, source)| Entry {
                mark: (place + 1).to_string(),
                text: described(source),
            })
            .collect();
        if self.practice {
            entries.push(Entry {
                mark: PRACTICE.to_owned(),
                text: "common practice of the trade, without a source".to_owned(),
            });
        }
        if !self.memory.is_empty() {
            let all: Vec<String> = self
                .memory
                .iter()
                .map(|s| described(s).trim_end_matches('.').to_owned())
                .collect();
            entries.push(Entry {
                mark: MEMORY.to_owned(),
                text: format!("from memory, to be checked: {}", all.join("; ")),
            });
        }
        entries
    }
}

/// `By. Title. Publication (year). Read: how much.`
fn described(source: &SourceLine) -> String {
    let mut text = String::new();
    if let Some(by) = &source.by {
        text.push_str(by.trim_end_matches('.'));
        text.push_str(". ");
    }
    text.push_str(source.title.trim_end_matches('.'));
    if let Some(publication) = &source.publication {
        text.push_str(". ");
        text.push_str(publication.trim_end_matches('.'));
    }
    if let Some(year) = source.year.as_ref().filter(|y| !y.starts_with("not shown")) {
        text = format!("{text} ({year})");
    }
    text.push('.');
    // How much was read, in its first words; the JSON has the rest.
    if let Some(read) = &source.read {
        let gist = read
            .split([';', ',', '('])
            .next()
            .unwrap_or_default()
            .trim();
        text = format!("{text} [{gist}]");
    }
    text
}
