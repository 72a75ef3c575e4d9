//! Gates from the record of the lawn: intervals, the year's limit, seeding, resistance; and how often a group was used.
//!
//! Without a record nothing here stops anything. With one, a use whose amount was not written down is not taken for
//! nothing: what cannot be checked is not offered.
use super::reason::Reason;
use super::request::Request;
use crate::knowledge::Knowledge;
use crate::knowledge::form::active::Active;
use crate::records::expect::{days_between, whole_days};
use crate::records::limits::{ActiveUse, History, decimal, yearly_most};
use crate::words::{and_list, or_list};
use rust_decimal::Decimal;

/// What the record has against an active: the code and the sentence.
type Stop = (Reason, String);

fn weed_name<'a>(book: &'a Knowledge, id: &'a str) -> &'a str {
    book.weeds
        .get(id)
        .and_then(|w| w.names.first())
        .map_or(id, String::as_str)
}

/// How many calendar years of use count against a group, this one included.
const YEARS: usize = 3;

/// Everything in the record that stops this active.
pub fn stops(book: &Knowledge, request: &Request, id: &str, active: &Active) -> Vec<Stop> {
    let Some(history) = &request.history else {
        return Vec::new();
    };
    let used = history.actives.get(id);
    let mut found = Vec::new();
    found.extend(used.and_then(|used| interval(used, active)));
    found.extend(used.and_then(|used| year(book, used, id, active)));
    found.extend(seeding(history, active));
    found.extend(young(history, active));
    found.extend(resistant(book, request, history, id, active));
    found
}

fn interval(used: &ActiveUse, active: &Active) -> Option<Stop> {
    let wait = active.repeat_interval_days.as_ref()?;
    let least = whole_days(wait.range[0].0)?;
    (used.days_since < least).then(|| {
        let detail = format!(
            "{} was used here {} days ago (on {}); at least {least} days belong between two uses",
            active.name, used.days_since, used.last_use
        );
        (Reason::IntervalTooShort, detail)
    })
}

/// The year's limit is used up when not even the smallest dose of the book fits any more.
fn year(book: &Knowledge, used: &ActiveUse, id: &str, active: &Active) -> Option<Stop> {
    let most = yearly_most(book, id)?;
    let so_far = &used.this_year;
    if so_far.unknown > 0 {
        let detail = format!(
            "the record does not say how much {} was used here this year ({} of {} uses), so its yearly limit of {most} lb/acre cannot be kept; add the amount with `ligule record correct`",
            active.name, so_far.unknown, used.uses_this_year
        );
        return Some((Reason::YearlyLimit, detail));
    }
    let smallest = smallest_dose(active);
    let full = so_far.lb_per_acre >= most || so_far.lb_per_acre.saturating_add(smallest) > most;
    (full && !so_far.lb_per_acre.is_zero()).then(|| {
        let detail = format!(
            "{} lb/acre of {} were used here this year, all products together; of the {most} lb/acre for a year not even one more dose is left",
            so_far.lb_per_acre.round_dp(4).normalize(),
            active.name
        );
        (Reason::YearlyLimit, detail)
    })
}

fn smallest_dose(active: &Active) -> Decimal {
    let bounds = active.dose_bounds.as_ref().and_then(|d| d.lb_per_acre);
    bounds
        .and_then(|range| decimal(range[0].0))
        .unwrap_or_default()
}

/// Grass that is to be seeded soon must not meet an active that stays in the soil. An unknown wait is no short one.
fn seeding(history: &History, active: &Active) -> Option<Stop> {
    let planned = history.seeding_planned?;
    let ahead = days_between(history.today, planned);
    if ahead < 0 {
        return None;
    }
    let detail = match &active.seeding_wait_weeks {
        None => format!(
            "seeding is planned for {planned}, and nothing says how long after {} that is safe",
            active.name
        ),
        Some(wait) => {
            // A wait beyond all reckoning is a long one.
            let days = whole_days(wait.range[1].0 * 7.0).unwrap_or(i64::MAX);
            if ahead >= days {
                return None;
            }
            format!(
                "seeding is planned for {planned}, in {ahead} days; after {} it may take {days} days",
                active.name
            )
        }
    };
    Some((Reason::SeedingPlanned, detail))
}

/// Grass that was seeded lately must be old enough.
fn young(history: &History, active: &Active) -> Option<Stop> {
    let seeded = history.seeded_on?;
    let weeks = active.turf_age.as_ref()?.weeks_after_seeding?;
    let least = whole_days(weeks.0 * 7.0)?;
    let age = days_between(seeded, history.today).max(0);
    (age < least).then(|| {
        let detail = format!(
            "the lawn was seeded {age} days ago (on {seeded}); {} needs {least} days",
            active.name
        );
        (Reason::TurfTooYoung, detail)
    })
}

fn resistant(
    book: &Knowledge,
    request: &Request,
    history: &History,
    id: &str,
    active: &Active,
) -> Vec<Stop> {
    let group = active.group.is;
    history
        .suspicions
        .iter()
        .filter(|s| s.actives.iter().any(|a| a == id) || (group != 0 && s.groups.contains(&group)))
        .filter_map(|s| {
            let weeds: Vec<&str> = request.weeds.iter().filter(|w| s.weeds.contains(w)).map(|w| weed_name(book, w)).collect();
            (!weeds.is_empty()).then(|| {
                let detail = format!(
                    "{} was suspected on {} to withstand {} here; have it confirmed before using {} on it again",
                    or_list(&weeds),
                    s.on,
                    and_list(&s.actives),
                    active.name
                );
                (Reason::ResistantHere, detail)
            })
        })
        .collect()
}

/// How often the most used group of an option was used here in the last years. 0 without a record.
pub fn repeats(request: &Request, groups: &[u16]) -> u32 {
    let count = |history: &History| {
        groups
            .iter()
            .map(|&g| history.uses_of_group(g, YEARS))
            .max()
    };
    request.history.as_ref().and_then(count).unwrap_or(0)
}

/// What the record says about an option that is offered all the same.
pub fn cautions(
    book: &Knowledge,
    request: &Request,
    actives: &[String],
    groups: &[u16],
) -> Vec<String> {
    let Some(history) = &request.history else {
        return Vec::new();
    };
    let mut lines = Vec::new();
    for id in actives {
        let (Some(active), Some(used)) = (book.actives.get(id), history.actives.get(id)) else {
            continue;
        };
        if let Some(most) = active
            .repeat_interval_days
            .as_ref()
            .and_then(|w| whole_days(w.range[1].0))
            && used.days_since < most
        {
            lines.push(format!(
                "{}: last used {} days ago; the label may ask for up to {most} days",
                active.name, used.days_since
            ));
        }
        let Some(most) = yearly_most(book, id) else {
            continue;
        };
        let left = most.saturating_sub(used.this_year.lb_per_acre);
        if used.uses_this_year > 0 {
            lines.push(format!(
                "{}: {} of {most} lb/acre are left this year, all products together",
                active.name,
                left.round_dp(4).normalize()
            ));
        }
        if used.twelve_months.unknown > 0
            || used
                .twelve_months
                .lb_per_acre
                .saturating_add(smallest_dose(active))
                > most
        {
            lines.push(format!("{}: counted over twelve months the limit of {most} lb/acre may be used up; the label says which year it means", active.name));
        }
    }
    for group in groups {
        let times = history.uses_of_group(*group, YEARS);
        if history.last_groups.contains(group) {
            lines.push(format!("group {group} was used in the last treatment here; another group in turn keeps it working"));
        } else if times > 0 {
            lines.push(format!(
                "group {group} was used here {times} times in the last {YEARS} years"
            ));
        }
    }
    lines
}
