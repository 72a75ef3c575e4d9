//! When: windows before emergence, second treatments, plants that die by themselves.
use super::effect::MONTHS_AHEAD;
use super::index::Chooser;
use super::request::Request;
use super::say::weed_name;
use crate::knowledge::Knowledge;
use crate::knowledge::form::active::{ControlRow, Timing};
use crate::knowledge::form::common::{Many, Months};
use crate::knowledge::form::plant::Weed;
use crate::knowledge::form::source::Evidence;
use serde::Serialize;

/// Months in which a treatment before emergence is in time for one weed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Window {
    /// The weed.
    pub weed: String,
    /// Months, 1 to 12, in the order of the year that they open.
    pub months: Vec<u8>,
    /// Soil temperature at which the weed starts to come up, degrees Fahrenheit, where the book has it.
    pub soil_f: Option<[f64; 2]>,
    /// The same in a sentence.
    pub text: String,
    /// Kind of evidence.
    pub evidence: Evidence,
    /// Ids of sources.
    pub sources: Vec<String>,
}

/// A second treatment that the book calls for.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Again {
    /// The active to be repeated; several where the statement is about the mixture.
    pub actives: Vec<String>,
    /// The weed that one treatment is not enough for.
    pub weed: String,
    /// Days between the two, first and last; none where the book has no figure and the label decides.
    pub after_days: Option<[f64; 2]>,
    /// The same in a sentence.
    pub text: String,
    /// Kind of evidence.
    pub evidence: Evidence,
    /// Ids of sources.
    pub sources: Vec<String>,
}

const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// Name of a month, 1 to 12.
#[must_use]
pub fn month_name(month: u8) -> &'static str {
    MONTHS[usize::from(month.clamp(1, 12)) - 1]
}

/// The windows of a weed: one for each time of the year at which it starts to come up.
#[must_use]
pub fn windows(chooser: &Chooser<'_>, id: &str) -> Vec<Window> {
    let book = chooser.book;
    let (Some(weed), Some(number)) = (book.weeds.get(id), chooser.weed_number(id)) else {
        return Vec::new();
    };
    let Some(emergence) = &chooser.emerging[number] else {
        return Vec::new();
    };
    let Some(rests) = weed.seen.emerging.as_ref().or(weed.seen.growing.as_ref()) else {
        return Vec::new();
    };
    let soil = weed.seen.emerging_soil_f.as_ref();
    emergence
        .starts
        .iter()
        .map(|&start| {
            let months: Vec<u8> = (0..=MONTHS_AHEAD)
                .map(|step| (start + 11 - MONTHS_AHEAD + step) % 12 + 1)
                .collect();
            let doubt = if emergence.stated {
                ""
            } else {
                " (as far as the months in which it is seen tell)"
            };
            let ground = soil.map_or(String::new(), |s| {
                format!(
                    ", before the soil reaches {} to {} °F",
                    s.range[0].0, s.range[1].0
                )
            });
            let mut sources = rests.source.to_vec();
            sources.extend(soil.iter().flat_map(|s| s.source.iter().cloned()));
            let all = Many(sources.clone());
            Window {
                weed: id.to_owned(),
                text: format!(
                    "{} starts to come up in {}{doubt}: in time from {} on{ground}",
                    weed_name(chooser, id),
                    month_name(start),
                    month_name(months[0]),
                ),
                months,
                soil_f: soil.map(|s| [s.range[0].0, s.range[1].0]),
                evidence: book.evidence(&all),
                sources,
            }
        })
        .collect()
}

/// The second treatment of actives on a weed, where a statement that decides says that one is not enough.
#[must_use]
pub fn again(
    book: &Knowledge,
    actives: &[String],
    rows: &[ControlRow],
    weed: &str,
    timing: Timing,
) -> Option<Again> {
    let here: Vec<&ControlRow> = rows
        .iter()
        .filter(|r| r.weed == weed && r.timing == timing)
        .collect();
    let called: Vec<&ControlRow> = book.deciding(&here).filter(|r| r.again).collect();
    let first = called.first()?;
    let waits: Vec<[f64; 2]> = actives
        .iter()
        .filter_map(|id| book.actives.get(id)?.repeat_interval_days.as_ref())
        .map(|f| [f.range[0].0, f.range[1].0])
        .collect();
    let after_days = waits
        .iter()
        .copied()
        .reduce(|a, b| [a[0].max(b[0]), a[1].max(b[1])]);
    let when = after_days.map_or_else(
        || "after the time that the label gives".to_owned(),
        |[low, high]| format!("in {} (the label decides)", weeks(low, high)),
    );
    let mut sources: Vec<String> = called.iter().flat_map(|r| r.source.to_vec()).collect();
    for id in actives {
        if let Some(wait) = book
            .actives
            .get(id)
            .and_then(|a| a.repeat_interval_days.as_ref())
        {
            sources.extend(wait.source.to_vec());
        }
    }
    sources.dedup();
    let all = Many(sources.clone());
    let condition = first
        .condition
        .as_ref()
        .map_or(String::new(), |c| format!(" ({c})"));
    Some(Again {
        actives: actives.to_vec(),
        weed: weed.to_owned(),
        after_days,
        text: format!("one treatment is often not enough{condition}: now, and again {when}"),
        evidence: book.evidence(&all),
        sources,
    })
}

/// Days as a person plans them.
fn weeks(low: f64, high: f64) -> String {
    if low < 14.0 {
        return if (low - high).abs() < f64::EPSILON {
            format!("{low} days")
        } else {
            format!("{low} to {high} days")
        };
    }
    let from = (low / 7.0).ceil();
    let to = (high / 7.0).floor().max(from);
    if (from - to).abs() < f64::EPSILON {
        format!("{from} weeks")
    } else {
        format!("{from} to {to} weeks")
    }
}

/// States of a trait that mean a plant dies within the year.
const DIES_WITHIN_A_YEAR: &str = "annual";
/// The trait that says how long a plant lives. A book without it gives no advice on dying plants.
pub(crate) const LIFE_TRAIT: &str = "life_cycle";

/// Whether all or some plants of this weed come up from seed every year.
#[must_use]
pub fn is_annual(weed: &Weed) -> bool {
    weed.traits
        .get(LIFE_TRAIT)
        .is_some_and(|life| life.is.iter().any(|s| s.contains(DIES_WITHIN_A_YEAR)))
}

/// Whether the calendar speaks against a treatment that no gate stops: on plants that are not up in this month, or against
/// the seedlings of a plant that lives for years and is up. What was said of the stage of the weed outranks the calendar.
#[must_use]
pub(super) fn untimely(chooser: &Chooser<'_>, request: &Request, weed: usize, pre: bool) -> bool {
    let id = &request.weeds[weed];
    let (Some(month), Some(weed)) = (request.month, chooser.book.weeds.get(id)) else {
        return false;
    };
    if request.weed_stages.contains_key(id) {
        return false;
    }
    let seen = |months: &Option<Months>| months.as_ref().is_some_and(|m| m.months.contains(&month));
    let up = seen(&weed.seen.growing) || seen(&weed.seen.emerging);
    if pre {
        up && !is_annual(weed)
    } else {
        weed.seen.growing.is_some() && !up
    }
}

/// Whether the plant is annual and ends its season in this month or the next; `None` where the book does not say.
#[must_use]
pub fn dying(weed: &Weed, month: u8) -> Option<bool> {
    let life = weed.traits.get(LIFE_TRAIT)?;
    let annual = !life.is.is_empty()
        && life.is.iter().all(|s| s.contains(DIES_WITHIN_A_YEAR))
        && life.sometimes.is_empty();
    let months = &weed.seen.growing.as_ref()?.months;
    if months.len() >= 11 || !months.contains(&month) {
        return Some(false);
    }
    let next = |m: u8| if m == 12 { 1 } else { m + 1 };
    Some(annual && !(months.contains(&next(month)) && months.contains(&next(next(month)))))
}
