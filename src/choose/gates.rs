//! The gates that an active must pass before it can be part of an option. Each gate is one function.
//!
//! A gate only says that it stops and why, as numbers; [`super::say`] makes the sentence when it is wanted.
use super::index::Chooser;
use super::request::{Applicator, Request, WeedStage};
use crate::knowledge::form::active::{Availability, Control, Timing, Tolerance};
use crate::knowledge::form::place::AppliesTo;
use crate::knowledge::verdict::Weighed;
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
    /// The grass is too new.
    TurfTooYoung,
    /// Seed is to be sown before it is gone from the soil.
    SeedingPlanned,
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
    /// The weed has come too far: this works before it is up, or while it is young.
    PastEmergence,
    /// It is not the time of year for it, or the weed is not up.
    OutOfSeason,
    /// It does not control the weed well enough.
    WeedNotControlled,
    /// No statement says that it controls the weed.
    ControlNotProven,
    /// The partners must not share a tank.
    TankConflict,
    /// Others do the job with fewer actives.
    NotNeeded,
}

/// What stops an active. Numbers are places in the request's or the book's lists.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stop {
    /// No grass was named.
    NoTurf,
    /// Nothing proves it on this grass of the request.
    TurfNotProven(usize),
    /// It injures this grass of the request.
    TurfInjured(usize),
    /// Labels do not name this grass of the request.
    TurfNotRegistered(usize),
    /// The grass has not been mown often enough.
    Mowings,
    /// The grass is not old enough.
    Weeks,
    /// The grass is new, the active has an age limit, and the age was not said.
    AgeUnknown,
    /// Seed is to be sown before the wait is over; nothing known of a wait counts as too long.
    Seeding,
    /// This restriction of the active.
    Restriction(usize),
    /// This limit of this place (counted from the innermost).
    Place(usize, usize),
    /// This caution of the book.
    Site(usize),
    /// Too hot.
    TooHot,
    /// Too cold.
    TooCold,
    /// This weed of the request is up, and the active works before.
    Up(usize),
    /// This weed of the request is grown, and the active works on young plants.
    Grown(usize),
    /// This weed of the request is not up, and the active works on plants that are.
    NotUp(usize),
    /// This weed of the request comes up later in the year.
    Later(usize),
    /// Too weak on this weed of the request at this timing.
    Weak(usize, Timing),
    /// Nothing says that it controls any weed of the request.
    ControlNotProven,
}

impl Stop {
    /// The reason code.
    #[must_use]
    pub fn reason(self) -> Reason {
        match self {
            Self::NoTurf | Self::TurfNotProven(_) => Reason::TurfNotProven,
            Self::TurfInjured(_) => Reason::TurfInjured,
            Self::TurfNotRegistered(_) => Reason::TurfNotRegistered,
            Self::Mowings | Self::Weeks | Self::AgeUnknown => Reason::TurfTooYoung,
            Self::Seeding => Reason::SeedingPlanned,
            Self::Restriction(_) => Reason::NotAvailable,
            Self::Place(..) => Reason::Place,
            Self::Site(_) => Reason::Site,
            Self::TooHot => Reason::TooHot,
            Self::TooCold => Reason::TooCold,
            Self::Up(_) | Self::Grown(_) => Reason::PastEmergence,
            Self::NotUp(_) | Self::Later(_) => Reason::OutOfSeason,
            Self::Weak(..) => Reason::WeedNotControlled,
            Self::ControlNotProven => Reason::ControlNotProven,
        }
    }
}

/// Gates that tests can leave open one at a time, to see that the sweep then finds what slips through.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Gate {
    NotProven,
    Injured,
    NotRegistered,
    EveryGrass,
    Age,
    AgeUnknown,
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
            turf: request.turf.iter().map(|t| chooser.turf_number(t)).collect(),
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
                        || when.situations.iter().any(|s| s == "always" || request.is_near(s))
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
    age(chooser, here, active, found);
    seeding(chooser, here, active, found);
    availability(chooser, here, active, found);
    place(here, active, found);
    site(chooser, here, active, found);
    temperature(chooser, here, active, found);
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
    if unknown && here.young && shut(Gate::AgeUnknown) {
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

/// What an active does on the weeds of a request, before or after they come up.
#[derive(Debug, Clone)]
pub(super) struct Effect {
    pub active: usize,
    /// Whether this is about use before the weeds come up.
    pub pre: bool,
    /// For each weed the timing and what it comes to, at least fair; `None` where it does not deal with the weed.
    pub on: Vec<Option<(Timing, Weighed<Control>)>>,
    /// The weeds that it deals with, one bit each.
    pub deals: u64,
}

/// What the active does on each weed, once for use before and once for use after the weed comes up. What it cannot do is
/// added to `found`, which only counts if it can do nothing.
pub(super) fn effects(
    chooser: &Chooser<'_>,
    here: &Here<'_>,
    active: usize,
    found: &mut Vec<Stop>,
) -> Vec<Effect> {
    let mut effects = Vec::new();
    for pre in [false, true] {
        let mut on = vec![None; here.weeds.len()];
        let mut deals = 0;
        for (index, weed) in here.weeds.iter().enumerate() {
            let Some(weed) = *weed else { continue };
            let best = if pre {
                before(chooser, here, active, (index, weed), found)
            } else {
                after(chooser, here, active, (index, weed), found)
            };
            if best.is_some() {
                on[index] = best;
                deals |= 1 << index;
            }
        }
        if deals != 0 {
            effects.push(Effect {
                active,
                pre,
                on,
                deals,
            });
        }
    }
    if effects.is_empty() && found.is_empty() {
        found.push(Stop::ControlNotProven);
    }
    effects
}

fn usable(weighed: Weighed<Control>) -> bool {
    weighed.rating >= Control::Fair || !shut(Gate::Weak)
}

fn before(
    chooser: &Chooser<'_>,
    here: &Here<'_>,
    active: usize,
    (index, weed): (usize, usize),
    found: &mut Vec<Stop>,
) -> Option<(Timing, Weighed<Control>)> {
    let weighed = chooser.control(active, weed, Timing::Pre)?;
    let stop = if usable(weighed) {
        wrong_time(chooser, here, index, weed)
    } else {
        Some(Stop::Weak(index, Timing::Pre))
    };
    match stop {
        None => Some((Timing::Pre, weighed)),
        Some(stop) => {
            found.push(stop);
            None
        }
    }
}

/// The better of the grown and the young plant, as far as the weed is at that stage; among equals the grown one.
fn after(
    chooser: &Chooser<'_>,
    here: &Here<'_>,
    active: usize,
    (index, weed): (usize, usize),
    found: &mut Vec<Stop>,
) -> Option<(Timing, Weighed<Control>)> {
    let mut best: Option<(Timing, Weighed<Control>)> = None;
    for timing in [Timing::Post, Timing::EarlyPost] {
        let Some(weighed) = chooser.control(active, weed, timing) else {
            continue;
        };
        let stage = here.request.weed_stages.get(&here.request.weeds[index]);
        let stop = match stage {
            _ if !usable(weighed) => Some(Stop::Weak(index, timing)),
            Some(WeedStage::NotUp) if shut(Gate::NotUp) => Some(Stop::NotUp(index)),
            Some(WeedStage::Grown) if timing == Timing::EarlyPost && shut(Gate::Grown) => {
                Some(Stop::Grown(index))
            }
            _ => None,
        };
        match stop {
            Some(stop) => found.push(stop),
            None if best.is_none_or(|(_, b)| weighed.rating > b.rating) => {
                best = Some((timing, weighed));
            }
            None => {}
        }
    }
    best
}

/// Months before the main emergence in which a treatment of the soil is in time.
pub(super) const MONTHS_AHEAD: u8 = 2;

/// Months from one month to the next time that another comes.
#[must_use]
pub fn months_ahead(from: u8, to: u8) -> u8 {
    (to + 12 - from) % 12
}

/// A treatment before emergence is in time in the month in which the weed starts to come up and the two before.
/// Where the book does not say when it comes up, the months in which the weed is seen are no proof either way.
fn wrong_time(chooser: &Chooser<'_>, here: &Here<'_>, index: usize, weed: usize) -> Option<Stop> {
    let stage = here.request.weed_stages.get(&here.request.weeds[index]);
    if stage.is_some_and(|s| *s != WeedStage::NotUp) {
        return shut(Gate::Up).then_some(Stop::Up(index));
    }
    let month = here.request.month?;
    let emergence = chooser.emerging[weed].as_ref()?;
    if emergence.starts.is_empty()
        || emergence
            .starts
            .iter()
            .any(|&start| months_ahead(month, start) <= MONTHS_AHEAD)
    {
        return None;
    }
    if emergence.months.contains(&month) {
        return shut(Gate::Up).then_some(Stop::Up(index));
    }
    shut(Gate::Later).then_some(Stop::Later(index))
}
