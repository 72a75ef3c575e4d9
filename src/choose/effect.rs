//! The gates about the weeds: what an active does on each, at the time of the request.
use super::gates::{Gate, Here, shut};
use super::index::Chooser;
use super::reason::Stop;
use super::request::WeedStage;
use crate::knowledge::form::active::{Control, Timing};
use crate::knowledge::verdict::Weighed;

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
