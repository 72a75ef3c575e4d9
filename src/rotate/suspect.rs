//! Suspected resistance: other causes first.
use crate::knowledge::Knowledge;
use crate::knowledge::form::source::Evidence;
use serde::Serialize;
use std::collections::BTreeMap;

/// An answer to a question of the list. "Yes" speaks for another cause.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Answer {
    /// It may well have been this.
    Yes,
    /// It was not this.
    No,
    /// Not sure, or not asked yet.
    Unsure,
}

/// A question with its answer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Question {
    /// Id.
    pub id: String,
    /// The question.
    pub question: String,
    /// What to do if the answer is yes.
    pub remedy: String,
    /// The answer.
    pub answer: Answer,
    /// Kind of evidence.
    pub evidence: Evidence,
    /// Ids of sources.
    pub sources: Vec<String>,
}

/// What the answers come to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Suspicion {
    /// Another cause is at hand.
    OtherCause,
    /// Questions are open.
    NotSettled,
    /// Everything else was ruled out.
    Suspected,
}

/// A case on record.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Case {
    /// The weed as the source names it.
    pub plant: String,
    /// Where and in what.
    pub place: String,
    /// How sure.
    pub status: String,
    /// What still worked.
    pub still_works: Option<String>,
    /// Kind of evidence.
    pub evidence: Evidence,
    /// Ids of sources.
    pub sources: Vec<String>,
}

/// The answer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Findings {
    /// The questions in order.
    pub questions: Vec<Question>,
    /// What they come to.
    pub suspicion: Suspicion,
    /// What to do next.
    pub next: String,
    /// Cases of this weed and group on record.
    pub cases: Vec<Case>,
    /// Signs that speak for resistance.
    pub signs: Vec<String>,
}

/// Goes through the list for a weed that lived through a treatment with a group.
#[must_use]
pub fn suspect(
    book: &Knowledge,
    weed: &str,
    group: u16,
    answers: &BTreeMap<String, Answer>,
) -> Findings {
    let own = book.resistance.as_ref();
    let questions: Vec<Question> = own
        .iter()
        .flat_map(|r| &r.other_causes)
        .map(|c| Question {
            id: c.id.clone(),
            question: c.question.clone(),
            remedy: c.remedy.clone(),
            answer: answers.get(&c.id).copied().unwrap_or(Answer::Unsure),
            evidence: book.evidence(&c.source),
            sources: c.source.to_vec(),
        })
        .collect();
    let first = questions.iter().find(|q| q.answer == Answer::Yes);
    let open = questions.iter().find(|q| q.answer == Answer::Unsure);
    let (suspicion, next) = match (first, open) {
        (Some(cause), _) => (
            Suspicion::OtherCause,
            format!(
                "Rule this out first: {}. Then treat as the label says and look again.",
                cause.remedy
            ),
        ),
        (None, Some(question)) => (
            Suspicion::NotSettled,
            format!("Answer first: {}", question.question),
        ),
        // Without a list nothing has been ruled out.
        (None, None) if questions.is_empty() => (
            Suspicion::NotSettled,
            "This knowledge has no list of other causes.".to_owned(),
        ),
        (None, None) => (
            Suspicion::Suspected,
            format!(
                "Everything else is ruled out: do not use group {group} here again until it is tested. Remove the survivors before they seed, keep some of them or their seed, and ask the extension office or a university for a test."
            ),
        ),
    };
    let cases = own
        .iter()
        .flat_map(|r| &r.cases)
        .filter(|c| c.groups.contains(&group) && c.weeds.iter().any(|w| w == weed))
        .map(|c| Case {
            plant: c.plant.clone(),
            place: [c.place.as_deref(), c.site.as_deref(), c.year.as_deref()]
                .into_iter()
                .flatten()
                .collect::<Vec<_>>()
                .join(", "),
            status: c.status.clone().unwrap_or_default(),
            still_works: c.still_works.clone(),
            evidence: book.evidence(&c.source),
            sources: c.source.to_vec(),
        })
        .collect();
    let signs = own
        .iter()
        .flat_map(|r| &r.signs)
        .map(|s| s.text.clone())
        .collect();
    Findings {
        questions,
        suspicion,
        next,
        cases,
        signs,
    }
}
