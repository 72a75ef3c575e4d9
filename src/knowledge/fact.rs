//! A statement with what it rests on: the smallest thing that a face shows.
use super::Knowledge;
use super::form::common::{Remark, Sources};
use super::form::source::Evidence;
use serde::Serialize;

/// A sentence or phrase with its evidence.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Fact {
    /// The words.
    pub text: String,
    /// Kind of evidence: the weakest among the sources.
    pub evidence: Evidence,
    /// Ids of the sources.
    pub sources: Vec<String>,
}

impl Fact {
    /// Words that rest on these sources.
    #[must_use]
    pub fn new(book: &Knowledge, text: impl Into<String>, sources: &Sources) -> Self {
        Self {
            text: text.into(),
            evidence: book.evidence(sources),
            sources: sources.to_vec(),
        }
    }

    /// A remark of the book with its note in brackets.
    #[must_use]
    pub fn of_remark(book: &Knowledge, remark: &Remark) -> Self {
        Self::new(
            book,
            with_note(&remark.text, remark.note.as_deref()),
            &remark.source,
        )
    }

    /// Words that rest on several values: on all their sources, and on the weakest evidence.
    #[must_use]
    pub fn of_several<'a>(
        book: &Knowledge,
        text: impl Into<String>,
        sources: impl IntoIterator<Item = &'a Sources>,
    ) -> Self {
        let mut all = Sources::default();
        for id in sources.into_iter().flat_map(|s| s.iter()) {
            if !all.contains(id) {
                all.0.push(id.clone());
            }
        }
        Self::new(book, text, &all)
    }
}

/// `text (note)`.
#[must_use]
pub fn with_note(text: &str, note: Option<&str>) -> String {
    match note {
        Some(note) => format!("{text} ({})", note.trim_end_matches('.')),
        None => text.to_owned(),
    }
}

/// An entry of the book with the name to show.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Named {
    /// Id in the book.
    pub id: String,
    /// Name to show.
    pub name: String,
}

impl Named {
    /// The weed with this id.
    #[must_use]
    pub fn weed(book: &Knowledge, id: &str) -> Self {
        let name = book.weeds.get(id).and_then(|w| w.names.first());
        Self::or_id(id, name)
    }

    /// The active with this id.
    #[must_use]
    pub fn active(book: &Knowledge, id: &str) -> Self {
        Self::or_id(id, book.actives.get(id).map(|a| &a.name))
    }

    /// An id with a name; without one the id serves.
    #[must_use]
    pub fn or_id(id: &str, name: Option<&String>) -> Self {
        Self {
            id: id.to_owned(),
            name: name.cloned().unwrap_or_else(|| id.to_owned()),
        }
    }
}

/// What a user typed, made fit for one printed line: no control characters, no more than `most` characters.
#[must_use]
pub fn one_line(typed: &str, most: usize) -> String {
    let words: Vec<&str> = typed
        .split(|c: char| c.is_whitespace() || c.is_control())
        .filter(|w| !w.is_empty())
        .collect();
    let line = words.join(" ");
    if line.chars().count() <= most {
        return line;
    }
    let cut: String = line.chars().take(most.saturating_sub(3)).collect();
    format!("{cut}...")
}

/// A number as people write it: `2`, `1.5`, `0.25`.
#[must_use]
pub fn plain_number(x: f64) -> String {
    let text = format!("{x:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// `3`, or `3 to 5`.
#[must_use]
pub fn plain_range(from: f64, to: f64) -> String {
    let (from, to) = (plain_number(from), plain_number(to));
    if from == to {
        from
    } else {
        format!("{from} to {to}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_user_typed_cannot_break_a_line_or_a_terminal() {
        assert_eq!(one_line("a\n\tb\u{1b}[31m c", 40), "a b [31m c");
        assert_eq!(one_line("abcdefghij", 8), "abcde...");
        assert_eq!(one_line("", 8), "");
    }

    #[test]
    fn numbers_read_as_people_write_them() {
        assert_eq!(plain_number(10.0), "10");
        assert_eq!(plain_number(0.25), "0.25");
        assert_eq!(plain_range(3.0, 3.0), "3");
        assert_eq!(plain_range(0.5, 14.0), "0.5 to 14");
    }
}
