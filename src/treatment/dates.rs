//! What to expect when, reckoned from the day of the treatment.
use super::fact::{Fact, plain_range};
use crate::knowledge::Knowledge;
use crate::knowledge::form::active::Active;
use crate::knowledge::form::common::{Figure, Range, Sources};
use jiff::Span;
use jiff::civil::Date;
use serde::Serialize;

/// What happens on a follow-up day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Event {
    /// Something is seen on the weed.
    FirstSigns,
    /// The effect is complete.
    FullEffect,
    /// Judge the result.
    LookAgain,
    /// A second treatment at the earliest.
    Repeat,
    /// Seeding at the earliest.
    Seeding,
}

/// A day, or the first and the last of a span of days.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DateLine {
    /// What happens.
    pub event: Event,
    /// First day; none where the book has no figure (a blank is printed).
    pub from: Option<Date>,
    /// Last day.
    pub to: Option<Date>,
    /// How it was reckoned, with what it rests on.
    #[serde(flatten)]
    pub fact: Fact,
}

/// Follow-up days after treating with `actives` on `date`.
#[must_use]
pub fn lines(book: &Knowledge, actives: &[String], date: Date) -> Vec<DateLine> {
    let actives: Vec<&Active> = actives
        .iter()
        .filter_map(|id| book.actives.get(id))
        .collect();
    let signs: Vec<_> = actives
        .iter()
        .filter_map(|a| figure(book, a, a.first_signs_days.as_ref(), |g| g.first_signs_days))
        .collect();
    let effect: Vec<_> = actives
        .iter()
        .filter_map(|a| figure(book, a, a.full_effect_days.as_ref(), |g| g.full_effect_days))
        .collect();
    // Partners act side by side: the first signs may come from any of them, the full effect needs the slowest of all.
    let signs = span(&signs);
    let effect = span(&effect).filter(|_| effect.len() == actives.len());
    let repeat = latest(&actives, |a| a.repeat_interval_days.as_ref());
    let seeding = latest(&actives, |a| a.seeding_wait_weeks.as_ref());
    let look = effect
        .clone()
        .map(|(range, sources)| ((range.1, range.1), sources));
    vec![
        line(book, Event::FirstSigns, date, 1.0, "days", signs),
        line(book, Event::FullEffect, date, 1.0, "days", effect),
        line(book, Event::LookAgain, date, 1.0, "days", look),
        line(book, Event::Repeat, date, 1.0, "days", repeat),
        line(book, Event::Seeding, date, 7.0, "weeks", seeding),
    ]
}

type Spanned = ((f64, f64), Vec<Sources>);

/// The active's own figure, else that of its group.
fn figure(
    book: &Knowledge,
    active: &Active,
    own: Option<&Figure>,
    of_group: impl Fn(&crate::knowledge::form::active::Group) -> Option<Range>,
) -> Option<Spanned> {
    if let Some(own) = own {
        return Some(((own.range[0].0, own.range[1].0), vec![own.source.clone()]));
    }
    let group = book.groups.iter().find(|g| g.number == active.group.is)?;
    let [from, to] = of_group(group)?;
    Some(((from.0, to.0), vec![group.source.clone()]))
}

/// From the earliest beginning to the latest end.
fn span(all: &[Spanned]) -> Option<Spanned> {
    let from = all.iter().map(|(r, _)| r.0).reduce(f64::min)?;
    let to = all.iter().map(|(r, _)| r.1).reduce(f64::max)?;
    let sources = all.iter().flat_map(|(_, s)| s.clone()).collect();
    Some(((from, to), sources))
}

/// The partner that asks for the longest wait decides. Where the wait of one partner is not known, none is.
fn latest<'a>(
    actives: &[&'a Active],
    of: impl Fn(&'a Active) -> Option<&'a Figure>,
) -> Option<Spanned> {
    let known: Vec<&Figure> = actives.iter().filter_map(|a| of(a)).collect();
    if known.is_empty() || known.len() < actives.len() {
        return None;
    }
    let from = known.iter().map(|f| f.range[0].0).fold(0.0, f64::max);
    let to = known.iter().map(|f| f.range[1].0).fold(0.0, f64::max);
    Some(((from, to), known.iter().map(|f| f.source.clone()).collect()))
}

fn line(
    book: &Knowledge,
    event: Event,
    date: Date,
    days_each: f64,
    unit: &str,
    found: Option<Spanned>,
) -> DateLine {
    let Some(((from, to), sources)) = found else {
        return DateLine {
            event,
            from: None,
            to: None,
            fact: Fact {
                text: "no figure in this book: take it from the label".to_owned(),
                evidence: crate::knowledge::form::source::Evidence::Memory,
                sources: Vec::new(),
            },
        };
    };
    let text = format!("{} {unit}", plain_range(from, to));
    DateLine {
        event,
        from: after(date, from * days_each),
        to: after(date, to * days_each),
        fact: Fact::of_several(book, text, &sources),
    }
}

/// Longest wait that is reckoned, in days: ten years. A longer one is a slip in the book.
const LONGEST: f64 = 3650.0;

/// The day that comes `days` after `date`; part of a day counts as a whole one.
fn after(date: Date, days: f64) -> Option<Date> {
    if !(0.0..=LONGEST).contains(&days) {
        return None;
    }
    #[expect(
        clippy::cast_possible_truncation,
        reason = "between 0 and 3650 after the check above"
    )]
    let days = days.ceil() as i64;
    date.checked_add(Span::new().try_days(days).ok()?).ok()
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    #[test]
    fn days_are_reckoned_on_the_calendar_and_never_fall_off_its_end() {
        // 2028 is a leap year: 28 days from 10 February end on 9 March (February has 29).
        assert_eq!(after(date(2028, 2, 10), 28.0), Some(date(2028, 3, 9)));
        assert_eq!(after(date(2026, 5, 10), 1.5), Some(date(2026, 5, 12)));
        assert_eq!(after(date(9999, 12, 31), 1.0), None);
        assert_eq!(after(date(2026, 5, 10), f64::NAN), None);
        assert_eq!(after(date(2026, 5, 10), 1e18), None);
        assert_eq!(after(date(2026, 5, 10), -1.0), None);
    }
}
