//! What a treated weed should look like by a day, and when to look.
use super::entry::Application;
use crate::knowledge::Knowledge;
use crate::knowledge::form::active::{Active, Group};
use crate::knowledge::form::common::{Figure, Range, Sources};
use crate::knowledge::form::source::Evidence;
use jiff::civil::Date;
use jiff::{Span, Unit};
use serde::Serialize;
use std::collections::BTreeSet;

/// How far the effect should have come.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Progress {
    /// Nothing need be seen yet.
    TooEarly,
    /// The first signs appear in these days.
    FirstSigns,
    /// Signs should be plain, the effect is not complete.
    Developing,
    /// The effect may be complete.
    Completing,
    /// The effect should be complete.
    Complete,
    /// The book has no figure.
    Unknown,
}

/// What is expected of one active on a day.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Expected {
    /// Id of the active.
    pub active: String,
    /// Days after the treatment.
    pub day: i64,
    /// How far it should be.
    pub progress: Progress,
    /// The same as a sentence.
    pub text: String,
    /// Kind of evidence of the figures.
    pub evidence: Evidence,
    /// Ids of their sources.
    pub sources: Vec<String>,
}

/// Days from `from` to `to`.
#[must_use]
pub fn days_between(from: Date, to: Date) -> i64 {
    // Civil days have no clock changes; the difference of two dates of four-digit years always fits.
    from.until((Unit::Day, to))
        .map_or(0, |span| i64::from(span.get_days()))
}

/// The day that lies `days` after another; none beyond the calendar.
#[must_use]
pub fn after(date: Date, days: i64) -> Option<Date> {
    date.checked_add(Span::new().try_days(days).ok()?).ok()
}

struct Figures {
    signs: Option<(f64, f64)>,
    full: Option<(f64, f64)>,
    sources: Sources,
}

/// The active's own figures, else those of its group.
fn figures(book: &Knowledge, active: &Active) -> Figures {
    let group = book
        .groups
        .iter()
        .find(|g| g.number == active.group.is && g.number != 0);
    let mut sources = Sources::default();
    let mut pick = |own: Option<&Figure>, of_group: fn(&Group) -> Option<Range>| {
        let (range, from) = match own {
            Some(figure) => (figure.range, &figure.source),
            None => group.and_then(|g| Some((of_group(g)?, &g.source)))?,
        };
        for id in from
            .iter()
            .filter(|id| !sources.0.contains(id))
            .cloned()
            .collect::<Vec<_>>()
        {
            sources.0.push(id);
        }
        Some((range[0].0, range[1].0))
    };
    let signs = pick(active.first_signs_days.as_ref(), |g| g.first_signs_days);
    let full = pick(active.full_effect_days.as_ref(), |g| g.full_effect_days);
    Figures {
        signs,
        full,
        sources,
    }
}

/// What each active of a treatment should have done `day` days after it.
#[must_use]
pub fn expected(book: &Knowledge, application: &Application, day: i64) -> Vec<Expected> {
    let mut all: Vec<Expected> = Vec::new();
    for used in application.products.iter().flat_map(|p| &p.actives) {
        let Some(active) = book
            .actives
            .get(&used.active)
            .filter(|_| all.iter().all(|e| e.active != used.active))
        else {
            continue;
        };
        let found = figures(book, active);
        let progress = progress(&found, day);
        let symptoms = book
            .groups
            .iter()
            .find(|g| g.number == active.group.is)
            .map_or("", |g| g.symptoms.as_str());
        let evidence = if found.sources.is_empty() {
            Evidence::Memory
        } else {
            book.evidence(&found.sources)
        };
        all.push(Expected {
            active: used.active.clone(),
            day,
            progress,
            text: sentence(&active.name, &found, progress, day, symptoms),
            evidence,
            sources: found.sources.0,
        });
    }
    all
}

fn progress(found: &Figures, day: i64) -> Progress {
    #[expect(clippy::cast_precision_loss, reason = "days are far below 2^53")]
    let day = day as f64;
    match (found.signs, found.full) {
        (None, None) => Progress::Unknown,
        (_, Some((_, to))) if day >= to => Progress::Complete,
        (_, Some((from, _))) if day >= from => Progress::Completing,
        (Some((from, _)), _) if day < from => Progress::TooEarly,
        (Some((_, to)), _) if day <= to => Progress::FirstSigns,
        (Some(_), _) => Progress::Developing,
        (None, Some(_)) => Progress::TooEarly,
    }
}

fn sentence(name: &str, found: &Figures, progress: Progress, day: i64, symptoms: &str) -> String {
    let span = |range: Option<(f64, f64)>| match range {
        None => "at a time that the book does not know".to_owned(),
        Some((from, to)) if (from - to).abs() < f64::EPSILON => format!("on day {from}"),
        Some((from, to)) => format!("from day {from} to {to}"),
    };
    let state = match progress {
        Progress::TooEarly => "nothing need be seen yet",
        Progress::FirstSigns => "the first signs appear in these days",
        Progress::Developing => "signs should be plain by now, the effect is not complete",
        Progress::Completing => "the effect may be complete",
        Progress::Complete => "the effect should be complete",
        Progress::Unknown => {
            return format!("{name}, day {day}: the book has no figures; go by the label");
        }
    };
    let look = if symptoms.is_empty() {
        String::new()
    } else {
        format!(" Look for: {}.", symptoms.trim_end_matches('.'))
    };
    format!(
        "{name}, day {day}: {state} (first signs {}, full effect {}).{look}",
        span(found.signs),
        span(found.full)
    )
}

/// A day on which to look at the result, and why on that day.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct FollowUp {
    /// Days after the treatment.
    pub day: i64,
    /// The date.
    pub date: Date,
    /// What to look for.
    pub text: String,
    /// Ids of the sources of the figures.
    pub sources: Vec<String>,
}

/// The days to look: when first signs should be plain, and when the effect should be complete, of every active.
#[must_use]
pub fn follow_ups(book: &Knowledge, application: &Application) -> Vec<FollowUp> {
    let mut days: BTreeSet<i64> = BTreeSet::new();
    for used in application.products.iter().flat_map(|p| &p.actives) {
        let Some(active) = book.actives.get(&used.active) else {
            continue;
        };
        let found = figures(book, active);
        for (_, to) in [found.signs, found.full].into_iter().flatten() {
            if let Some(day) = whole_days(to) {
                days.insert(day);
            }
        }
    }
    days.into_iter()
        .filter_map(|day| {
            let lines = expected(book, application, day);
            let mut sources: Vec<String> = lines.iter().flat_map(|l| l.sources.clone()).collect();
            sources.sort();
            sources.dedup();
            Some(FollowUp {
                day,
                date: after(application.date, day)?,
                text: lines
                    .into_iter()
                    .map(|l| l.text)
                    .collect::<Vec<_>>()
                    .join("\n"),
                sources,
            })
        })
        .collect()
}

/// Longest wait that is reckoned: ten years. A longer one is a slip in the book.
const LONGEST: f64 = 3650.0;

/// Days as a whole number, part of a day counted as a whole one.
#[must_use]
pub fn whole_days(days: f64) -> Option<i64> {
    #[expect(
        clippy::cast_possible_truncation,
        reason = "between 0 and 3650 after the check"
    )]
    (0.0..=LONGEST).contains(&days).then(|| days.ceil() as i64)
}
