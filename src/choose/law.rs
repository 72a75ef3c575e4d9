//! Whom to ask before treating.
use super::Treatable;
use super::gates::touches;
use super::request::Request;
use crate::knowledge::Knowledge;
use crate::knowledge::form::common::Sources;
use crate::knowledge::form::place::Severity;
use crate::knowledge::form::source::Evidence;
use serde::Serialize;

/// Something to ask an authority.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct LawLine {
    /// The place.
    pub place: String,
    /// What it is about.
    pub topic: String,
    /// The sentence, worded as a question to the authority.
    pub text: String,
    /// How much it weighs.
    pub severity: Severity,
    /// Kind of evidence.
    pub evidence: Evidence,
    /// Ids of sources.
    pub sources: Vec<String>,
}

/// What to ask the authorities of the place and the places around it.
pub fn law(book: &Knowledge, request: &Request, options: &[Treatable]) -> Vec<LawLine> {
    let mut lines = Vec::new();
    for place in request
        .places(book)
        .into_iter()
        .filter_map(|id| book.places.get(id))
    {
        for rule in place
            .rules
            .iter()
            .filter(|r| touches(r.applies_to, request.applicator))
        {
            let touched = rule.actives.is_empty()
                || options
                    .iter()
                    .any(|o| o.actives.iter().any(|a| rule.actives.contains(a)));
            if touched {
                lines.push(line(
                    book,
                    &place.name,
                    &rule.topic,
                    &rule.says,
                    rule.note.as_ref(),
                    &rule.verify_with,
                    rule.severity,
                    &rule.source,
                ));
            }
        }
        for limit in place
            .active_limits
            .iter()
            .filter(|l| touches(l.applies_to, request.applicator))
        {
            let touched = limit
                .actives
                .iter()
                .any(|a| a == "all" || options.iter().any(|o| o.actives.contains(a)));
            if touched {
                lines.push(line(
                    book,
                    &place.name,
                    "active limits",
                    &limit.says,
                    limit.site.as_ref(),
                    &limit.verify_with,
                    limit.severity,
                    &limit.source,
                ));
            }
        }
    }
    lines.sort_by_key(|l| std::cmp::Reverse(l.severity));
    lines
}

#[expect(
    clippy::too_many_arguments,
    reason = "the fields of a row, named at the only two calls"
)]
fn line(
    book: &Knowledge,
    place: &str,
    topic: &str,
    says: &str,
    note: Option<&String>,
    ask: &str,
    severity: Severity,
    source: &Sources,
) -> LawLine {
    let note = note.map_or(String::new(), |n| format!(" ({n})"));
    LawLine {
        place: place.to_owned(),
        topic: topic.to_owned(),
        text: format!("Check with {ask}: {}{note}", says.trim_end_matches('.')),
        severity,
        evidence: book.evidence(source),
        sources: source.to_vec(),
    }
}
