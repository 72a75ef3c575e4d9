//! The parts of the page about doing it: the job, cautions, first aid, law, record, dates.
use super::cite::{Citations, Entry, Line};
use super::page::Listed;
use super::phrase::{days, sentence};
use crate::choose::CautionLine;
use crate::knowledge::form::place::Severity;
use crate::treatment::{Event, Step, Treatment};
use serde::Serialize;

/// Before, while or after.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Steps {
    /// The heading.
    pub title: String,
    /// What to mind.
    pub listed: Listed,
}

const HINTS: usize = 6;

pub fn steps(treatment: &Treatment, cite: &mut Citations<'_>) -> Vec<Steps> {
    [
        (Step::Before, "Before you spray"),
        (Step::While, "While you spray"),
        (Step::After, "After you have sprayed"),
    ]
    .into_iter()
    .map(|(step, title)| {
        let mut of: Vec<_> = treatment.job.iter().filter(|h| h.step == step).collect();
        // Several sources may say the same of one thing; on paper the first speaks for all.
        let mut said: Vec<&str> = Vec::new();
        of.retain(|h| {
            let gist = without_note(&h.fact.text);
            let new = !said.contains(&gist);
            said.push(gist);
            new
        });
        Steps {
            title: title.to_owned(),
            listed: Listed::of(&of, HINTS, |h| {
                cite.line(sentence(&h.fact.text), h.fact.evidence, &h.fact.sources)
            }),
        }
    })
    .filter(|steps| !steps.listed.lines.is_empty())
    .collect()
}

/// A sentence without the note in brackets at its end.
fn without_note(text: &str) -> &str {
    match text.rsplit_once(" (") {
        Some((before, _)) if text.ends_with(')') => before,
        _ => text,
    }
}

/// What the book calls cautions that tell what to do after an accident.
const FIRST_AID: &str = "first aid";
const CAUTIONS: usize = 10;
const FIRST_AID_LINES: usize = 7;

pub fn cautions(treatment: &Treatment, cite: &mut Citations<'_>) -> (Listed, Listed) {
    let (aid, usual): (Vec<&CautionLine>, Vec<&CautionLine>) = treatment
        .cautions
        .iter()
        .partition(|c| c.about == FIRST_AID);
    // Every "do not" is printed, however many there are; what is to be seen to follows as far as there is room.
    let stops = usual
        .iter()
        .filter(|c| c.severity == Severity::Stop)
        .count();
    let usual = Listed::of(&usual, stops.max(CAUTIONS), |c| {
        cite.line(sentence(&c.text), c.evidence, &c.sources)
    });
    let aid = Listed::of(&aid, FIRST_AID_LINES, |c| {
        cite.line(sentence(&c.text), c.evidence, &c.sources)
    });
    (usual, aid)
}

/// A number to call.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Call {
    /// Whose number.
    pub name: String,
    /// The number; none for a blank.
    pub number: Option<String>,
    /// When to call.
    pub when: Line,
}

pub fn calls(treatment: &Treatment, cite: &mut Citations<'_>) -> Vec<Call> {
    treatment
        .calls
        .iter()
        .map(|call| Call {
            name: call.name.clone(),
            number: call.number.clone(),
            when: cite.fact(&call.fact),
        })
        .collect()
}

const LAW: usize = 3;

pub fn law(treatment: &Treatment, cite: &mut Citations<'_>) -> Listed {
    let stops = treatment
        .law
        .iter()
        .filter(|l| l.severity == Severity::Stop)
        .count();
    Listed::of(&treatment.law, stops.max(LAW), |l| {
        cite.line(
            sentence(&format!("{}: {}", l.place, l.text)),
            l.evidence,
            &l.sources,
        )
    })
}

pub fn record_rules(treatment: &Treatment, cite: &mut Citations<'_>) -> Vec<Line> {
    treatment
        .record
        .rules
        .iter()
        .map(|rule| {
            cite.line(
                format!("{} (check with {})", rule.place, rule.check_with),
                rule.fact.evidence,
                &rule.fact.sources,
            )
        })
        .collect()
}

/// An item to fill in.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Blank {
    /// The item.
    pub name: String,
    /// Whether a rule of the place names it.
    pub named: bool,
}

pub fn blanks(treatment: &Treatment) -> Vec<Blank> {
    treatment
        .record
        .fields
        .iter()
        .map(|f| Blank {
            name: f.name.clone(),
            named: f.named,
        })
        .collect()
}

/// A follow-up day.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Day {
    /// What happens.
    pub what: String,
    /// When; none for a blank.
    pub when: Option<String>,
    /// How it was reckoned.
    pub how: Line,
}

pub fn dates(treatment: &Treatment, cite: &mut Citations<'_>) -> Vec<Day> {
    treatment
        .dates
        .iter()
        .filter(|line| line.event != Event::LookAgain)
        .map(|line| Day {
            what: match line.event {
                Event::FirstSigns => "First signs on the weed",
                // The day to judge the result is the last on which the effect may still become complete.
                Event::FullEffect | Event::LookAgain => {
                    "Full effect; look again and judge on the last day"
                }
                Event::Repeat => "Repeat at the earliest (the label decides)",
                Event::Seeding => "Seed at the earliest (the label decides)",
            }
            .to_owned(),
            when: line.from.zip(line.to).map(|(from, to)| days(from, to)),
            how: cite.fact(&line.fact),
        })
        .collect()
}

/// How many numbered sources a list has.
pub fn cited(entries: &[Entry]) -> usize {
    entries
        .iter()
        .filter(|e| e.mark.chars().all(|c| c.is_ascii_digit()))
        .count()
}
