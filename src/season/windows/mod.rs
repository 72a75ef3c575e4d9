//! Windows of the year: when a weed comes up, when a treatment is due, and when new seed forbids it.
mod reckon;
mod seeding;

pub use reckon::count_of;
pub use seeding::{Overseeding, overseeding};

use crate::knowledge::Knowledge;
use crate::knowledge::form::common::Sources;
use crate::knowledge::form::lists::Event;
use crate::knowledge::form::source::Evidence;
use crate::season::days::Day;
use crate::season::degree::{Count, Method, Running, sum};
use jiff::ToSpan;
use jiff::civil::Date;
use reckon::{Part, by_degree_days, by_months, by_soil, soil};
use serde::Serialize;

/// Where a day stands to a window.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum State {
    /// It is open on the day.
    Open,
    /// It has not opened, as far as the weather goes.
    Ahead,
    /// It is over.
    Past,
    /// The weather or the source does not tell; `how` says why.
    CannotTell,
}

/// A window.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Window {
    /// Id of the event in the knowledge; `emergence` for what the weed's own file says.
    pub event: String,
    /// What happens.
    pub what: String,
    /// Ids of the weeds it is about; empty for all.
    pub weeds: Vec<String>,
    /// First day.
    pub from: Option<Date>,
    /// Last day, where there is one.
    pub to: Option<Date>,
    /// Second half of a split treatment before emergence: first and last day.
    pub second: Option<(Date, Date)>,
    /// Where the day asked about stands.
    pub state: State,
    /// How it was reckoned, or why not.
    pub how: String,
    /// The sentence of the knowledge.
    pub text: String,
    /// Kind of evidence.
    pub evidence: Evidence,
    /// Ids of sources.
    pub sources: Vec<String>,
}

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Ask {
    /// Ids of weeds.
    pub weeds: Vec<String>,
    /// The day that windows are compared with.
    pub today: Date,
    /// Day on which sums start where the source states none.
    pub start: Option<Date>,
    /// Way of reckoning where the source states none.
    pub method: Option<Method>,
}

/// Every window of the knowledge for these weeds and for no weed in particular.
#[must_use]
pub fn windows(book: &Knowledge, days: &[Day], ask: &Ask) -> Vec<Window> {
    let mut found = Vec::new();
    let events = book.timing.as_ref().map_or(&[][..], |t| &t.events);
    for event in events {
        if !event.weeds.is_empty() && !event.weeds.iter().any(|w| ask.weeds.contains(w)) {
            continue;
        }
        let base = |part: Part| Window {
            event: event.id.clone(),
            what: event.event.clone(),
            weeds: event
                .weeds
                .iter()
                .filter(|w| ask.weeds.contains(w))
                .cloned()
                .collect(),
            text: event.text.clone(),
            ..part.window(book, ask.today, &event.source)
        };
        let from = found.len();
        if let Some(count) = &event.degree_days {
            found.push(base(by_degree_days(count, days, ask)));
        }
        if event.soil_f.is_some() {
            found.push(base(by_soil(event, days)));
        }
        if let Some(months) = &event.months {
            let part = by_months(&months.months, ask.today);
            found.push(Window {
                sources: months.source.to_vec(),
                evidence: book.evidence(&months.source),
                ..base(part)
            });
        }
        if is_before_emergence(event) {
            for window in &mut found[from..] {
                window.second = split(book, window.from);
            }
        }
    }
    found.extend(
        ask.weeds
            .iter()
            .flat_map(|id| emergence(book, id, days, ask.today)),
    );
    found.sort_by_key(|w| (w.state, w.from.is_none(), w.from));
    found
}

/// The sum of the first window of these weeds that is reckoned by degree days, with how it is counted.
#[must_use]
pub fn curve(book: &Knowledge, days: &[Day], ask: &Ask) -> Option<(Count, Vec<Running>)> {
    let count = book
        .timing
        .iter()
        .flat_map(|t| &t.events)
        .filter(|e| e.weeds.is_empty() || e.weeds.iter().any(|w| ask.weeds.contains(w)))
        .find_map(|e| count_of(e.degree_days.as_ref()?, ask).ok())?;
    let running = sum(days, &count);
    Some((count, running))
}

/// Words that start the name of an event that is a treatment before emergence.
const BEFORE_EMERGENCE: &str = "apply preemergence";

fn is_before_emergence(event: &Event) -> bool {
    event.event == BEFORE_EMERGENCE
}

fn split(book: &Knowledge, from: Option<Date>) -> Option<(Date, Date)> {
    let [first, last] = book.timing.as_ref()?.split_weeks.as_ref()?.range;
    Some((weeks_after(from?, first.0)?, weeks_after(from?, last.0)?))
}

/// The day that lies so many weeks later; part days are rounded up.
fn weeks_after(date: Date, weeks: f64) -> Option<Date> {
    #[expect(
        clippy::cast_possible_truncation,
        reason = "clamped to a century first"
    )]
    let days = (weeks * 7.0).ceil().clamp(-36500.0, 36500.0) as i64;
    date.checked_add(days.days()).ok()
}

fn emergence(book: &Knowledge, id: &str, days: &[Day], today: Date) -> Vec<Window> {
    let Some(weed) = book.weeds.get(id) else {
        return Vec::new();
    };
    let name = weed.names.first().map_or(id, String::as_str);
    let own = |part: Part, source: &Sources, text: String| Window {
        event: "emergence".to_owned(),
        what: "emergence".to_owned(),
        weeds: vec![id.to_owned()],
        text,
        ..part.window(book, today, source)
    };
    let mut found = Vec::new();
    if let Some(months) = &weed.seen.emerging {
        found.push(own(
            by_months(&months.months, today),
            &months.source,
            format!("Most of {name} comes up in these months."),
        ));
    }
    if let Some(figure) = &weed.seen.emerging_soil_f {
        let [from, to] = figure.range;
        found.push(own(
            soil(days, from.0, None, 1.0, false),
            &figure.source,
            format!(
                "{name} starts to come up with the soil at {} to {} F.",
                from.0, to.0
            ),
        ));
    }
    found
}
