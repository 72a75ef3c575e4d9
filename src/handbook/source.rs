//! The page of a source: what it is, how much of it was read, and what rests on it.
use super::Shelf;
use super::page::{Block, Line, Page, Pair, Section, Span};
use super::pen::Pen;
use crate::knowledge::form::source::{Evidence, Source};
use crate::knowledge::{Kind, Knowledge};
use serde_json::Value;
use std::collections::BTreeMap;

/// What rests on each source: entries with pages and how many of their values, and how many values of the lists.
#[derive(Debug, Default)]
pub struct Uses(BTreeMap<String, BTreeMap<(u8, String), usize>>);

/// The kinds whose files name sources, in the order in which they are shown.
const KINDS: [(&str, Kind); 4] = [
    ("weeds", Kind::Weed),
    ("turf", Kind::Turf),
    ("actives", Kind::Active),
    ("places", Kind::Place),
];
/// Order of the shared lists, after the kinds.
const LISTS: u8 = 9;

impl Uses {
    /// Looks for every source in the whole book.
    #[must_use]
    pub fn of(book: &Knowledge) -> Self {
        let mut uses = Self::default();
        let Ok(Value::Object(top)) = serde_json::to_value(&**book) else {
            return uses;
        };
        for (name, value) in &top {
            match (KINDS.iter().position(|(n, _)| n == name), value) {
                (Some(place), Value::Object(entries)) => {
                    let place = u8::try_from(place).unwrap_or(LISTS);
                    for (id, entry) in entries {
                        uses.walk(entry, &(place, id.clone()));
                    }
                }
                _ if name == "sources" => {}
                _ => uses.walk(value, &(LISTS, name.replace('-', " "))),
            }
        }
        uses
    }

    fn walk(&mut self, value: &Value, at: &(u8, String)) {
        match value {
            Value::Object(map) => {
                for (key, inner) in map {
                    if key == "source" || key == "authority_source" {
                        let words = inner
                            .as_array()
                            .map_or(std::slice::from_ref(inner), Vec::as_slice);
                        for id in words.iter().filter_map(Value::as_str) {
                            *self
                                .0
                                .entry(id.to_owned())
                                .or_default()
                                .entry(at.clone())
                                .or_default() += 1;
                        }
                    } else {
                        self.walk(inner, at);
                    }
                }
            }
            Value::Array(list) => list.iter().for_each(|inner| self.walk(inner, at)),
            _ => {}
        }
    }
}

/// Makes the page.
pub fn page(shelf: &Shelf<'_>, uses: &Uses, id: &str, source: &Source) -> Page {
    let mut pen = Pen::new(shelf.book, "../");
    let mut page = super::blank(&pen, Kind::Source, id, None);
    page.lead.push(Line::plain(match source.evidence {
        Evidence::Published => "A published text. What this book takes from it was read in it.",
        Evidence::Practice => "Common practice of the trade. There is no text to read.",
        Evidence::Memory => "Recalled. Nothing was read, so what rests on this has to be checked.",
    }));
    let mut pairs = Vec::new();
    for (label, value) in [
        ("By", &source.by),
        ("In", &source.publication),
        ("Year", &source.year),
        ("Kind", &source.kind),
        ("Read of it", &source.read),
        ("Note", &source.note),
    ] {
        if let Some(value) = value {
            pairs.push(pair(label, Span::plain(value.clone())));
        }
    }
    if let Some(address) = &source.address {
        pairs.push(pair(
            "Address",
            Span {
                to: web(address),
                ..Span::plain(address.clone())
            },
        ));
    }
    pairs.push(pair("Called here", Span::plain(id)));
    let sections = [
        Section::new("The source", None, vec![Block::Pairs { pairs }]),
        rests(&pen, uses, id),
    ];
    page.sections = sections.into_iter().flatten().collect();
    super::finish(page, &mut pen)
}

fn pair(label: &str, value: Span) -> Pair {
    Pair {
        label: Span::plain(label),
        line: Line::of(vec![value]),
    }
}

/// A plain web address, or that of a DOI; nothing else becomes a link.
fn web(address: &str) -> Option<String> {
    let clean =
        !address.contains(|c: char| c.is_whitespace() || c.is_control() || "\"'<>`\\".contains(c));
    let http = address.starts_with("https://") || address.starts_with("http://");
    let doi = address.strip_prefix("doi:").unwrap_or(address);
    match (clean, http) {
        (true, true) => Some(address.to_owned()),
        (true, false) if doi.starts_with("10.") && doi.contains('/') => {
            Some(format!("https://doi.org/{doi}"))
        }
        _ => None,
    }
}

fn rests(pen: &Pen<'_>, uses: &Uses, id: &str) -> Option<Section> {
    let all = uses.0.get(id);
    let mut lines = Vec::new();
    for (place, (_, kind)) in KINDS.iter().enumerate() {
        let here = all
            .into_iter()
            .flatten()
            .filter(|((p, _), _)| usize::from(*p) == place);
        let spans: Vec<Span> = here
            .flat_map(|((_, entry), count)| {
                [pen.link(*kind, entry), Span::plain(format!(" ({count}), "))]
            })
            .collect();
        lines.extend(
            ended(spans).map(|spans| Line::of(spans).about(Some(super::kind_words(*kind)))),
        );
    }
    let lists = all.into_iter().flatten().filter(|((p, _), _)| *p == LISTS);
    let spans: Vec<Span> = lists
        .map(|((_, list), count)| Span::plain(format!("{list} ({count}), ")))
        .collect();
    lines.extend(ended(spans).map(|spans| Line::of(spans).about(Some("lists"))));
    if lines.is_empty() {
        lines.push(Line::plain("Nothing in this book."));
    }
    Section::new(
        "What rests on it",
        Some("Behind each entry: how many of its values."),
        vec![Block::lines(lines)],
    )
}

/// Takes the last comma off a list; nothing for an empty list.
fn ended(mut spans: Vec<Span>) -> Option<Vec<Span>> {
    let last = spans.last_mut()?;
    last.text = last.text.trim_end_matches(", ").to_owned();
    Some(spans)
}

#[cfg(test)]
mod tests {
    use super::web;

    #[test]
    fn only_plain_web_addresses_become_links() {
        assert!(web("https://example.org/a?b=c").is_some());
        assert_eq!(
            web("10.1000/x").as_deref(),
            Some("https://doi.org/10.1000/x")
        );
        for bad in [
            "javascript:alert(1)",
            "data:text/html,x",
            "https://a\" onclick=\"x",
            "see there",
            "https://a b",
        ] {
            assert_eq!(web(bad), None, "{bad}");
        }
    }
}
