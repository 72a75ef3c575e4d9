//! The gates about the grass, the law, the site and the day. Each gate is one function.
//!
//! A gate only says that it stops and why, as numbers; [`super::say`] makes the sentence when it is wanted.
use super::index::Chooser;
use super::limits;
use super::past;
use super::reason::Stop;
use super::request::{Applicator, Request};
use crate::knowledge::form::active::{Availability, Tolerance};
use crate::knowledge::form::place::AppliesTo;

/// Gates that tests can leave open one at a time, to see that the sweep then finds what slips through.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Gate {
    NotProven,
    Injured,
    NotRegistered,
    EveryGrass,
    TurfMonth,
    TurfHot,
    TurfCold,
    Age,
    AgeUnknown,
    AgeInWords,
    Seeding,
    Withdrawn,
    Licensed,
    Place,
    AroundPlace,
    Site,
    Hot,
    Cold,
    Up,
    Grown,
    NotUp,
    Later,
    Weak,
    TankPair,
    TankTogether,
    TankMixture,
}

#[cfg(test)]
thread_local! {
    pub(super) static LEFT_OPEN: std::cell::Cell<Option<Gate>> = const { std::cell::Cell::new(None) };
}

#[cfg(test)]
pub(super) fn shut(gate: Gate) -> bool {
    LEFT_OPEN.get() != Some(gate)
}

/// Outside tests no gate can be left open.
#[cfg(not(test))]
#[inline]
pub(super) const fn shut(_: Gate) -> bool {
    true
}

/// The names of a request as numbers, looked up once for a decision.
pub(super) struct Here<'r> {
    pub request: &'r Request,
    /// Grasses; `None` for one that the book does not have.
    pub turf: Vec<Option<usize>>,
    pub stage: Option<usize>,
    pub young: bool,
    /// Weeds; `None` for one that the book does not have.
    pub weeds: Vec<Option<usize>>,
    /// Limits of the place and the places around it that forbid something to this user: place (counted from the
    /// innermost), limit, and for each active whether it is meant.
    pub limits: Vec<(usize, usize, Vec<bool>)>,
    /// Cautions that forbid something on this site: places in the chooser's list.
    pub forbidding: Vec<usize>,
    /// What cautions of single actives count on this site.
    pub touched: Vec<&'r str>,
}

impl<'r> Here<'r> {
    pub fn new(chooser: &Chooser<'r>, request: &'r Request) -> Self {
        let book = chooser.book;
        let stage = chooser.stage_number(&request.stage);
        let mut places = request.places(book);
        if !shut(Gate::AroundPlace) {
            places.truncate(1);
        }
        Self {
            request,
            turf: request
                .turf
                .iter()
                .map(|t| chooser.turf_number(t))
                .collect(),
            stage,
            young: stage.is_some_and(|s| book.stages[s].young),
            weeds: request
                .weeds
                .iter()
                .take(super::request::MOST_WEEDS)
                .map(|w| chooser.weed_number(w))
                .collect(),
            limits: limits(chooser, request, &places),
            forbidding: (0..chooser.forbidding.len())
                .filter(|&f| {
                    let when = &book.cautions[chooser.forbidding[f].number].when;
                    when.situations.is_empty()
                        || when
                            .situations
                            .iter()
                            .any(|s| s == "always" || request.is_near(s))
                })
                .collect(),
            touched: book
                .situations
                .iter()
                .filter(|s| request.is_near(&s.id))
                .flat_map(|s| s.touches.iter().map(String::as_str))
                .collect(),
        }
    }
}

/// Every gate about the grass, the law, the site and the day that stops this active; nothing is added if it may be used.
pub(super) fn stops(chooser: &Chooser<'_>, here: &Here<'_>, active: usize, found: &mut Vec<Stop>) {
    on_turf(chooser, here, active, found);
    limits::stops(chooser, here, active, found);
    age(chooser, here, active, found);
    seeding(chooser, here, active, found);
    availability(chooser, here, active, found);
    place(here, active, found);
    site(chooser, here, active, found);
    temperature(chooser, here, active, found);
    let entry = &chooser.actives[active];
    let past = past::stops(chooser.book, here.request, entry.id, entry.form);
    found.extend(past.into_iter().map(|(reason, _)| Stop::Past(reason)));
}

fn on_turf(chooser: &Chooser<'_>, here: &Here<'_>, active: usize, found: &mut Vec<Stop>) {
    if here.turf.is_empty() {
        found.push(Stop::NoTurf);
    }
    for (index, turf) in here.turf.iter().enumerate() {
        if index > 0 && !shut(Gate::EveryGrass) {
            continue;
        }
        let weighed = turf
            .zip(here.stage)
            .and_then(|(turf, stage)| chooser.tolerance(active, turf, stage));
        match weighed.map(|w| w.rating) {
            None if shut(Gate::NotProven) => found.push(Stop::TurfNotProven(index)),
            Some(Tolerance::Sensitive) if shut(Gate::Injured) => {
                found.push(Stop::TurfInjured(index));
            }
            Some(Tolerance::NotRegistered) if shut(Gate::NotRegistered) => {
                found.push(Stop::TurfNotRegistered(index));
            }
            _ => {}
        }
    }
}

/// Limits on the age of the grass. Every limit that can be checked must be kept; on new grass one that cannot be
/// checked is not kept.
fn age(chooser: &Chooser<'_>, here: &Here<'_>, active: usize, found: &mut Vec<Stop>) {
    let Some(limits) = &chooser.actives[active].form.turf_age else {
        return;
    };
    let request = here.request;
    let weeks = [request.weeks_since_seeding, request.weeks_since_sodding]
        .into_iter()
        .flatten()
        .reduce(f64::min);
    let mut unknown = false;
    if let Some(least) = limits.mowings.map(|n| n.0).filter(|n| *n > 0.0) {
        match request.mowings {
            Some(n) if f64::from(n) < least && shut(Gate::Age) => found.push(Stop::Mowings),
            None => unknown = true,
            Some(_) => {}
        }
    }
    if let Some(least) = limits.weeks_after_seeding.map(|n| n.0).filter(|n| *n > 0.0) {
        match weeks {
            Some(n) if n < least && shut(Gate::Age) => found.push(Stop::Weeks),
            None => unknown = true,
            Some(_) => {}
        }
    }
    // A limit in words alone ("established grass only") can never be checked.
    let in_words = limits.mowings.is_none() && limits.weeks_after_seeding.is_none();
    if here.young && ((unknown && shut(Gate::AgeUnknown)) || (in_words && shut(Gate::AgeInWords))) {
        found.push(Stop::AgeUnknown);
    }
}

/// Seed that is to be sown while the active is still in the soil. The longest wait that was found counts.
fn seeding(chooser: &Chooser<'_>, here: &Here<'_>, active: usize, found: &mut Vec<Stop>) {
    let Some(weeks) = here.request.seeding_in_weeks else {
        return;
    };
    let wait = chooser.actives[active].form.seeding_wait_weeks.as_ref();
    if wait.is_none_or(|w| weeks < w.range[1].0) && shut(Gate::Seeding) {
        found.push(Stop::Seeding);
    }
}

fn availability(chooser: &Chooser<'_>, here: &Here<'_>, active: usize, found: &mut Vec<Stop>) {
    let restrictions = &chooser.actives[active].form.restrictions;
    found.extend(
        restrictions
            .iter()
            .enumerate()
            .filter(|(_, r)| match r.is {
                Availability::Withdrawn | Availability::NotOnHomeLawns => shut(Gate::Withdrawn),
                // Whoever does not say that they are licensed is not.
                Availability::LicensedOnly => {
                    here.request.applicator != Some(Applicator::ForHire) && shut(Gate::Licensed)
                }
                Availability::Restricted => false,
            })
            .map(|(number, _)| Stop::Restriction(number)),
    );
}

/// Whether a rule for these people touches the user. Whoever does not say is touched by both kinds.
#[must_use]
pub fn touches(applies_to: AppliesTo, applicator: Option<Applicator>) -> bool {
    !matches!(
        (applies_to, applicator),
        (AppliesTo::Homeowner, Some(Applicator::ForHire))
            | (AppliesTo::ForHire, Some(Applicator::Homeowner))
    )
}

fn limits(
    chooser: &Chooser<'_>,
    request: &Request,
    places: &[&str],
) -> Vec<(usize, usize, Vec<bool>)> {
    let mut found = Vec::new();
    for (p, place) in places.iter().enumerate() {
        let Some(place) = chooser.book.places.get(*place) else {
            continue;
        };
        for (l, limit) in place.active_limits.iter().enumerate() {
            if limit.forbids && touches(limit.applies_to, request.applicator) {
                let all = limit.actives.iter().any(|a| a == "all");
                let named = |id: &str| all || limit.actives.iter().any(|a| a == id);
                let meant = chooser.actives.iter().map(|e| named(e.id)).collect();
                found.push((p, l, meant));
            }
        }
    }
    found
}

fn place(here: &Here<'_>, active: usize, found: &mut Vec<Stop>) {
    found.extend(
        here.limits
            .iter()
            .filter(|(_, _, meant)| meant[active] && shut(Gate::Place))
            .map(|(p, l, _)| Stop::Place(*p, *l)),
    );
}

fn site(chooser: &Chooser<'_>, here: &Here<'_>, active: usize, found: &mut Vec<Stop>) {
    found.extend(
        here.forbidding
            .iter()
            .map(|&f| &chooser.forbidding[f])
            .filter(|f| f.actives[active] && shut(Gate::Site))
            .map(|f| Stop::Site(f.number)),
    );
}

/// The whole range of the day must lie within the limits.
fn temperature(chooser: &Chooser<'_>, here: &Here<'_>, active: usize, found: &mut Vec<Stop>) {
    let limits = &chooser.actives[active].form.air_temperature;
    let (Some((low, high)), Some(limits)) = (here.request.air(), limits) else {
        return;
    };
    if limits.below_f.is_some_and(|most| high > most.0) && shut(Gate::Hot) {
        found.push(Stop::TooHot);
    }
    if limits.above_f.is_some_and(|least| low < least.0) && shut(Gate::Cold) {
        found.push(Stop::TooCold);
    }
}
