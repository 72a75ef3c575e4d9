//! When it holds that a grass stands an active: the months and temperatures that the statements themselves carry.
use super::gates::{Gate, Here, shut};
use super::index::Chooser;
use super::reason::Stop;
use super::request::Request;
use super::say::{stage_words, turf_name};
use super::time::month_name;
use crate::knowledge::form::active::ToleranceRow;
use crate::words::and_list;

/// When the statements on one grass at one stage hold, all of them together: any of them may be the one that keeps the
/// grass alive.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    /// Months in which every statement holds, one bit each, January the lowest.
    pub months: u16,
    /// Lowest air temperature, degrees Fahrenheit.
    pub above_f: Option<f64>,
    /// Highest air temperature, degrees Fahrenheit.
    pub below_f: Option<f64>,
}

/// The limits known so far together with those of one more statement.
pub(super) fn narrowed(known: Option<Limits>, row: &ToleranceRow) -> Option<Limits> {
    if row.months.is_empty() && row.above_f.is_none() && row.below_f.is_none() {
        return known;
    }
    let known = known.unwrap_or(Limits {
        months: 0xfff,
        above_f: None,
        below_f: None,
    });
    let months = (1..=12)
        .filter(|m| row.holds_in(*m))
        .fold(0, |bits: u16, m| bits | 1 << (m - 1));
    let join = |a: Option<f64>, b: Option<f64>, more: fn(f64, f64) -> f64| match (a, b) {
        (Some(a), Some(b)) => Some(more(a, b)),
        (a, b) => a.or(b),
    };
    Some(Limits {
        months: known.months & months,
        above_f: join(known.above_f, row.above_f.map(|n| n.0), f64::max),
        below_f: join(known.below_f, row.below_f.map(|n| n.0), f64::min),
    })
}

/// The gate: the statements on every grass of the request must hold in its month and at its temperatures.
pub(super) fn stops(chooser: &Chooser<'_>, here: &Here<'_>, active: usize, found: &mut Vec<Stop>) {
    for (index, turf) in here.turf.iter().enumerate() {
        let limits = turf
            .zip(here.stage)
            .and_then(|(turf, stage)| chooser.limits(active, turf, stage));
        let Some(limits) = limits else { continue };
        if let Some(month) = here.request.month
            && limits.months & (1 << (month.clamp(1, 12) - 1)) == 0
            && shut(Gate::TurfMonth)
        {
            found.push(Stop::TurfMonth(index));
        }
        let Some((low, high)) = here.request.air() else {
            continue;
        };
        if limits.below_f.is_some_and(|most| high > most) && shut(Gate::TurfHot) {
            found.push(Stop::TurfHot(index));
        }
        if limits.above_f.is_some_and(|least| low < least) && shut(Gate::TurfCold) {
            found.push(Stop::TurfCold(index));
        }
    }
}

/// That a grass stands an active in other months or at other temperatures only, with what its statements say.
pub(super) fn sentence(
    chooser: &Chooser<'_>,
    request: &Request,
    active: usize,
    turf: usize,
    stop: Stop,
) -> String {
    let id = &request.turf[turf];
    let (name, grass) = (&chooser.actives[active].form.name, turf_name(chooser, id));
    let limits = chooser
        .turf_number(id)
        .zip(chooser.stage_number(&request.stage))
        .and_then(|(t, s)| chooser.limits(active, t, s));
    let Some(limits) = limits else {
        return String::new();
    };
    let (low, high) = request.air().unwrap_or_default();
    match stop {
        Stop::TurfHot(_) => format!(
            "{name} is not used on {grass} above {} °F; the day has {high} °F",
            limits.below_f.unwrap_or_default()
        ),
        Stop::TurfCold(_) => format!(
            "{name} is not used on {grass} below {} °F; the day has {low} °F",
            limits.above_f.unwrap_or_default()
        ),
        _ => {
            let months: Vec<&str> = (1..=12)
                .filter(|m| limits.months & (1 << (m - 1)) != 0)
                .map(month_name)
                .collect();
            let when = if months.is_empty() {
                "in no month that all statements agree on".to_owned()
            } else {
                format!("in {} only", and_list(&months))
            };
            format!(
                "that {grass} {} stands {name} holds {when}",
                stage_words(chooser, &request.stage)
            )
        }
    }
}
