//! The gates that an active must pass before it can be part of an option. Each gate is one function.
use super::cover::Effect;
use super::request::{Applicator, Request};
use super::{OnTurf, joined, past};
use crate::knowledge::Knowledge;
use crate::knowledge::form::active::{Active, Availability, Control, Timing, Tolerance};
use crate::knowledge::form::place::AppliesTo;
use crate::words::or_list;
use serde::Serialize;

/// Why something is not offered. The order is that of the list of exclusions.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Reason {
    /// The grass is injured by it.
    TurfInjured,
    /// Labels do not name this grass.
    TurfNotRegistered,
    /// No statement proves it on this grass at this stage.
    TurfNotProven,
    /// Withdrawn, or not to be had for this use or user.
    NotAvailable,
    /// The place forbids it, or reads so.
    Place,
    /// Something about the site forbids it.
    Site,
    /// The air is too hot.
    TooHot,
    /// The air is too cold.
    TooCold,
    /// The weed has come up already, and this works before that.
    PastEmergence,
    /// It is not the time of year for it.
    OutOfSeason,
    /// It does not control the weed well enough.
    WeedNotControlled,
    /// No statement says that it controls the weed.
    ControlNotProven,
    /// It was used here too short a time ago.
    IntervalTooShort,
    /// The most for a year is used up here, or cannot be checked.
    YearlyLimit,
    /// Seeding is planned before it would be safe.
    SeedingTooSoon,
    /// The lawn was seeded too short a time ago.
    TurfTooYoung,
    /// A weed is suspected to withstand it here.
    ResistantHere,
    /// The partners must not share a tank.
    TankConflict,
    /// Others do the job with fewer actives.
    NotNeeded,
}

/// A stop with its sentence.
pub type Stop = (Reason, String);

/// Every gate about the grass, the law, the site and the day that stops this active; none if it may be used.
pub fn stops(book: &Knowledge, request: &Request, id: &str, active: &Active) -> Vec<Stop> {
    let mut found = on_turf(book, request, active).err().unwrap_or_default();
    found.extend(availability(request, active));
    found.extend(place(book, request, id));
    found.extend(site(book, request, id, active));
    found.extend(temperature(request, active));
    found.extend(past::stops(book, request, id, active));
    found
}

/// How all grasses of the request stand the active.
///
/// # Errors
/// The stops: a grass is injured, not registered or not proven at this stage.
pub fn on_turf(book: &Knowledge, request: &Request, active: &Active) -> Result<OnTurf, Vec<Stop>> {
    let mut stops = Vec::new();
    let mut verdicts = Vec::new();
    for turf in &request.turf {
        let name = turf_name(book, turf);
        let stage = stage_words(book, &request.stage);
        let Some(verdict) = book.tolerance(active, turf, &request.stage) else {
            stops.push((
                Reason::TurfNotProven,
                format!("nothing proves {} safe on {name} {stage}", active.name),
            ));
            continue;
        };
        let resting = verdict.standing.words();
        match verdict.rating {
            Tolerance::Sensitive => {
                let detail = verdict
                    .conditions
                    .first()
                    .map_or(String::new(), |c| format!(": {c}"));
                stops.push((
                    Reason::TurfInjured,
                    format!("{} injures {name} {stage} ({resting}{detail})", active.name),
                ));
            }
            Tolerance::NotRegistered => {
                stops.push((
                    Reason::TurfNotRegistered,
                    format!("labels of {} do not name {name} ({resting})", active.name),
                ));
            }
            Tolerance::Tolerant | Tolerance::Intermediate => verdicts.push(verdict),
        }
    }
    if stops.is_empty() {
        joined(verdicts)
            .ok_or_else(|| vec![(Reason::TurfNotProven, "no grass was named".to_owned())])
    } else {
        Err(stops)
    }
}

fn turf_name<'a>(book: &'a Knowledge, id: &'a str) -> &'a str {
    book.turf
        .get(id)
        .and_then(|t| t.names.first())
        .map_or(id, String::as_str)
}

fn stage_words(book: &Knowledge, id: &str) -> String {
    let name = book
        .stages
        .iter()
        .find(|s| s.id == id)
        .map_or(id, |s| s.name.as_str());
    format!("({})", name.to_lowercase())
}

fn availability(request: &Request, active: &Active) -> Vec<Stop> {
    active
        .restrictions
        .iter()
        .filter(|r| match r.is {
            Availability::Withdrawn | Availability::NotOnHomeLawns => true,
            // Whoever does not say that they are licensed is not.
            Availability::LicensedOnly => request.applicator != Some(Applicator::ForHire),
            Availability::Restricted => false,
        })
        .map(|r| (Reason::NotAvailable, format!("{}: {}", active.name, r.text)))
        .collect()
}

/// Whether a rule for these people touches the user. Whoever does not say is touched by both kinds.
pub fn touches(applies_to: AppliesTo, applicator: Option<Applicator>) -> bool {
    !matches!(
        (applies_to, applicator),
        (AppliesTo::Homeowner, Some(Applicator::ForHire))
            | (AppliesTo::ForHire, Some(Applicator::Homeowner))
    )
}

fn place(book: &Knowledge, request: &Request, id: &str) -> Vec<Stop> {
    request
        .places(book)
        .into_iter()
        .filter_map(|place| book.places.get(place))
        .flat_map(|place| place.active_limits.iter().map(move |limit| (place, limit)))
        .filter(|(_, limit)| limit.forbids && touches(limit.applies_to, request.applicator))
        .filter(|(_, limit)| limit.actives.iter().any(|a| a == id || a == "all"))
        .map(|(place, limit)| {
            let says = limit.says.trim_end_matches('.');
            (
                Reason::Place,
                format!("{}: {says}; check with {}", place.name, limit.verify_with),
            )
        })
        .collect()
}

fn site(book: &Knowledge, request: &Request, id: &str, active: &Active) -> Vec<Stop> {
    book.cautions
        .iter()
        .filter(|c| c.forbids && c.when.situations.iter().any(|s| request.near.contains(s)))
        .filter(|c| {
            c.when.actives.iter().any(|a| a == id)
                || c.when.groups.contains(&active.group.is)
                || (c.when.actives.is_empty() && c.when.groups.is_empty())
        })
        .map(|c| (Reason::Site, c.text.clone()))
        .collect()
}

fn temperature(request: &Request, active: &Active) -> Vec<Stop> {
    let (Some(air), Some(limits)) = (request.air_temp_f, &active.air_temperature) else {
        return Vec::new();
    };
    let mut found = Vec::new();
    if let Some(most) = limits.below_f
        && air > most.0
    {
        let detail = format!(
            "{} is not used above {} °F; the day has {air} °F",
            active.name, most.0
        );
        found.push((Reason::TooHot, detail));
    }
    if let Some(least) = limits.above_f
        && air < least.0
    {
        let detail = format!(
            "{} does little below {} °F; the day has {air} °F",
            active.name, least.0
        );
        found.push((Reason::TooCold, detail));
    }
    found
}

/// What the active does on each weed, once for use before and once for use after the weed comes up.
///
/// # Errors
/// It is of no use here: why, for each weed.
pub fn effects(
    book: &Knowledge,
    request: &Request,
    id: &str,
    active: &Active,
) -> Result<Vec<Effect>, Vec<Stop>> {
    let mut found = Vec::new();
    let mut stops = Vec::new();
    for pre in [false, true] {
        let mut on = vec![None; request.weeds.len()];
        let mut useful = false;
        for (index, weed) in request.weeds.iter().enumerate() {
            let timings: &[Timing] = if pre {
                &[Timing::Pre]
            } else {
                &[Timing::Post, Timing::EarlyPost]
            };
            let best = timings
                .iter()
                .filter_map(|&t| Some((t, book.control(active, weed, t)?)))
                .max_by_key(|(t, v)| (v.rating, std::cmp::Reverse(*t == Timing::EarlyPost)));
            let Some((timing, verdict)) = best else {
                continue;
            };
            if verdict.rating < Control::Fair {
                stops.push((
                    Reason::WeedNotControlled,
                    format!(
                        "{} {} {} ({})",
                        active.name,
                        weakly(verdict.rating),
                        weed_name(book, weed),
                        verdict.standing.words()
                    ),
                ));
                continue;
            }
            if pre && let Some(stop) = wrong_month(book, request.month, weed, active) {
                stops.push(stop);
                continue;
            }
            useful = true;
            on[index] = Some((timing, verdict));
        }
        if useful {
            found.push(Effect {
                active: id.to_owned(),
                pre,
                on,
            });
        }
    }
    if !found.is_empty() {
        return Ok(found);
    }
    if stops.is_empty() {
        let weeds: Vec<&str> = request.weeds.iter().map(|w| weed_name(book, w)).collect();
        stops.push((
            Reason::ControlNotProven,
            format!(
                "nothing says that {} controls {}",
                active.name,
                or_list(&weeds)
            ),
        ));
    }
    Err(stops)
}

fn weakly(rating: Control) -> &'static str {
    match rating {
        Control::None => "does nothing on",
        _ => "is too weak on",
    }
}

/// Name to show for a weed.
pub fn weed_name<'a>(book: &'a Knowledge, id: &'a str) -> &'a str {
    book.weeds
        .get(id)
        .and_then(|w| w.names.first())
        .map_or(id, String::as_str)
}

/// Months before the main emergence in which a treatment of the soil is in time.
const MONTHS_AHEAD: u8 = 2;

/// A treatment before emergence is in time in the month in which the weed starts to come up and the two before.
/// Where the book does not say when it comes up, the months in which the weed is seen are no proof either way.
fn wrong_month(book: &Knowledge, month: Option<u8>, weed: &str, active: &Active) -> Option<Stop> {
    let month = month?;
    let seen = &book.weeds.get(weed)?.seen;
    let name = weed_name(book, weed);
    let (months, sure) = match (&seen.emerging, &seen.growing) {
        (Some(emerging), _) => (&emerging.months, true),
        (None, Some(growing)) => (&growing.months, false),
        (None, None) => return None,
    };
    let starts = starts(months);
    if starts.is_empty() {
        return None;
    }
    let ahead = |from: u8, to: u8| (to + 12 - from) % 12;
    if starts
        .iter()
        .any(|&start| ahead(month, start) <= MONTHS_AHEAD)
    {
        return None;
    }
    if months.contains(&month) {
        let doubt = if sure {
            ""
        } else {
            ", as far as the months in which it is seen tell"
        };
        return Some((
            Reason::PastEmergence,
            format!(
                "{name} has come up by now{doubt}; {} only works before",
                active.name
            ),
        ));
    }
    Some((
        Reason::OutOfSeason,
        format!(
            "{name} comes up later in the year; {} would be gone by then",
            active.name
        ),
    ))
}

/// Months that begin a run of months around the year. A whole year has no beginning.
pub fn starts(months: &[u8]) -> Vec<u8> {
    months
        .iter()
        .copied()
        .filter(|&m| !months.contains(&if m == 1 { 12 } else { m - 1 }))
        .collect()
}
