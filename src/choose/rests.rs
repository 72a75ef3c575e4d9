//! The rows of the book behind a stop.
use super::index::Chooser;
use super::reason::Stop;
use super::request::Request;
use crate::knowledge::form::active::{Active, Timing};
use crate::knowledge::form::common::Sources;

/// The rows of the book that a stop rests on: where they stand and their sources.
#[must_use]
pub fn rests_on<'a>(
    chooser: &Chooser<'a>,
    request: &Request,
    active: usize,
    stop: Stop,
) -> Vec<&'a Sources> {
    let book = chooser.book;
    let form = chooser.actives[active].form;
    match stop {
        Stop::TurfNotProven(t) | Stop::TurfInjured(t) | Stop::TurfNotRegistered(t) => form
            .turf
            .iter()
            .filter(|r| r.turf == request.turf[t] && r.stage == request.stage)
            .map(|r| &r.source)
            .collect(),
        Stop::TurfMonth(t) | Stop::TurfHot(t) | Stop::TurfCold(t) => form
            .turf
            .iter()
            .filter(|r| r.turf == request.turf[t] && r.stage == request.stage)
            .filter(|r| match stop {
                Stop::TurfHot(_) => r.below_f.is_some(),
                Stop::TurfCold(_) => r.above_f.is_some(),
                _ => !r.months.is_empty(),
            })
            .map(|r| &r.source)
            .collect(),
        Stop::Mowings | Stop::Weeks | Stop::AgeUnknown => {
            form.turf_age.iter().map(|a| &a.source).collect()
        }
        Stop::Seeding => form.seeding_wait_weeks.iter().map(|w| &w.source).collect(),
        Stop::Restriction(r) => vec![&form.restrictions[r].source],
        Stop::Place(p, l) => request
            .places(book)
            .get(p)
            .and_then(|id| book.places.get(*id))
            .map(|place| &place.active_limits[l].source)
            .into_iter()
            .collect(),
        Stop::Site(c) => vec![&book.cautions[c].source],
        Stop::TooHot | Stop::TooCold => form.air_temperature.iter().map(|a| &a.source).collect(),
        Stop::Up(w) | Stop::Later(w) => book
            .weeds
            .get(&request.weeds[w])
            .and_then(|weed| weed.seen.emerging.as_ref().or(weed.seen.growing.as_ref()))
            .map(|m| &m.source)
            .into_iter()
            .collect(),
        Stop::Weak(w, timing) => control_rows(form, &request.weeds[w], timing),
        Stop::Grown(w) => control_rows(form, &request.weeds[w], Timing::EarlyPost),
        Stop::NotUp(_) | Stop::NoTurf | Stop::ControlNotProven | Stop::Past(_) => Vec::new(),
    }
}

fn control_rows<'a>(form: &'a Active, weed: &str, timing: Timing) -> Vec<&'a Sources> {
    form.controls
        .iter()
        .filter(|r| r.weed == weed && r.timing == timing)
        .map(|r| &r.source)
        .collect()
}
