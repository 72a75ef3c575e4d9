//! The year as one plan: before the weeds come up, again where that is needed, and on what is there already.
use super::decide::Decision;
use super::index::Chooser;
use super::option;
use super::rank::Picked;
use super::request::{Request, USUAL_STAGE, WeedStage};
use super::say::weed_name;
use super::time::{self, Window, month_name};
use super::{Treatable, advice};
use crate::knowledge::form::active::Timing;
use crate::words::and_list;
use serde::Serialize;

/// An option of its own kind: steps over the year.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Programme {
    /// What it is for.
    pub why: String,
    /// The steps in the order of time from now.
    pub steps: Vec<ProgrammeStep>,
    /// What holds for the whole.
    pub cautions: Vec<String>,
}

/// One step.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ProgrammeStep {
    /// Months in which it is in time, 1 to 12; empty for now.
    pub months: Vec<u8>,
    /// The same in words.
    pub when: String,
    /// Weeds that it is for.
    pub weeds: Vec<String>,
    /// The option on that day, as far as it can be told now.
    pub option: Treatable,
    /// Whether and when to repeat it.
    pub again: Option<String>,
}

/// Sentences of the book's list of splits that are about a second treatment before emergence.
const AGAIN_BEFORE: &str = "before-emergence-again";

/// The programme, where at least one weed can be kept from coming up and there is more than one step or one to repeat.
pub(super) fn programme(
    chooser: &Chooser<'_>,
    request: &Request,
    decision: &Decision,
) -> Option<Programme> {
    let mut steps = Vec::new();
    for (months, weeds) in seasons(chooser, request) {
        steps.extend(before(chooser, request, &months, &weeds));
    }
    if steps.is_empty() {
        return None;
    }
    let ahead = |step: &ProgrammeStep| {
        let from = request.month.unwrap_or(1);
        // A window that is open now comes first.
        step.months
            .iter()
            .map(|&m| super::effect::months_ahead(from, m))
            .min()
    };
    steps.sort_by_key(ahead);
    if !advice::leave_it(chooser.book, request).advised {
        steps.splice(0..0, now(chooser, request, decision));
    }
    if steps.len() < 2 && steps.iter().all(|s| s.again.is_none()) {
        return None;
    }
    let mut names: Vec<&str> = steps
        .iter()
        .filter(|s| s.option.timing == Timing::Pre)
        .flat_map(|s| &s.weeds)
        .map(|w| weed_name(chooser, w))
        .collect();
    names.dedup();
    Some(Programme {
        why: format!(
            "{} can be kept from coming up as well as treated: the steps together, where single treatments have not been enough",
            and_list(&names)
        ),
        steps,
        cautions: vec![
            "Choose again on the day of each step: the state of the grass, the temperature and the site decide then.".to_owned(),
            "Two steps with the same active count together towards the most that its label lets on in a year.".to_owned(),
        ],
    })
}

/// The best treatment of today, on the weeds that are up as far as was said or the calendar tells.
fn now(chooser: &Chooser<'_>, request: &Request, decision: &Decision) -> Option<ProgrammeStep> {
    let up: Vec<String> = (0..request.weeds.len())
        .filter(|&w| !time::untimely(chooser, request, w, false))
        .map(|w| request.weeds[w].clone())
        .collect();
    let of_these = Request {
        weeds: up,
        ..request.clone()
    };
    let alone;
    let decision = if of_these.weeds.len() == request.weeds.len() {
        decision
    } else {
        alone = chooser.decide(&of_these);
        &alone
    };
    let picked = decision.options.iter().find(|o| !o.pre)?;
    Some(ProgrammeStep {
        months: Vec::new(),
        when: "now, on what is up".to_owned(),
        weeds: (0..of_these.weeds.len())
            .filter(|w| picked.on[*w].is_some())
            .map(|w| of_these.weeds[w].clone())
            .collect(),
        option: option::treatable(chooser, &of_these, picked),
        again: None,
    })
}

/// Windows of the weeds that come from seed every year, those with a month in common together.
fn seasons(chooser: &Chooser<'_>, request: &Request) -> Vec<(Vec<u8>, Vec<String>)> {
    let annual = |id: &&String| chooser.book.weeds.get(*id).is_some_and(time::is_annual);
    let mut windows: Vec<Window> = request
        .weeds
        .iter()
        .filter(annual)
        .flat_map(|w| time::windows(chooser, w))
        .collect();
    windows.sort_by_key(|w| w.months.last().copied());
    let mut seasons: Vec<(Vec<u8>, Vec<String>)> = Vec::new();
    for window in windows {
        let common = |months: &[u8]| -> Vec<u8> {
            months
                .iter()
                .copied()
                .filter(|m| window.months.contains(m))
                .collect()
        };
        match seasons
            .iter_mut()
            .find(|(months, weeds)| !common(months).is_empty() && !weeds.contains(&window.weed))
        {
            Some((months, weeds)) => {
                *months = common(months);
                weeds.push(window.weed.clone());
            }
            None => seasons.push((window.months.clone(), vec![window.weed.clone()])),
        }
    }
    seasons
}

/// The best treatment before these weeds come up, chosen for a day of which only the month is known. It must pass every
/// gate in every month of the window.
fn before(
    chooser: &Chooser<'_>,
    request: &Request,
    months: &[u8],
    weeds: &[String],
) -> Option<ProgrammeStep> {
    let days = days(request, months, weeds)?;
    let last = days.last()?;
    let decisions: Vec<Decision> = days.iter().map(|day| chooser.decide(day)).collect();
    let on_all_days = |picked: &&Picked| {
        decisions.iter().all(|d| {
            d.options
                .iter()
                .any(|o| o.pre && o.actives == picked.actives)
        })
    };
    let of_last = &decisions.last()?.options;
    let picked = of_last.iter().filter(|o| o.pre).find(on_all_days)?;
    let option = option::treatable(chooser, last, picked);
    let weeds = option
        .controls
        .iter()
        .filter(|c| !c.by.is_empty())
        .map(|c| c.weed.clone())
        .collect();
    Some(ProgrammeStep {
        when: words(months),
        again: again(chooser, &option),
        months: months.to_vec(),
        weeds,
        option,
    })
}

/// The days that a step must be right on: each of its months, with the grass as it is said to be and, where the window is
/// not open yet, as it will most likely be by then. A seeding that is planned leaves open how old the grass will be, so
/// nothing is planned beyond it.
fn days(request: &Request, months: &[u8], weeds: &[String]) -> Option<Vec<Request>> {
    let open = request.month.is_some_and(|m| months.contains(&m));
    let seeding = request.seeding_in_weeks.is_some()
        || request
            .history
            .as_ref()
            .is_some_and(|h| h.seeding_planned.is_some());
    if seeding && !open {
        return None;
    }
    let mut stages = vec![request.stage.as_str()];
    if !open && request.stage != USUAL_STAGE {
        stages.push(USUAL_STAGE);
    }
    // What holds now holds for the month that it is; the rest of an open window is not told apart.
    let months = if open {
        request.month.as_slice()
    } else {
        months
    };
    let day = |stage: &str, month: u8| Request {
        weeds: weeds.to_vec(),
        weed_stages: weeds
            .iter()
            .map(|w| (w.clone(), WeedStage::NotUp))
            .collect(),
        month: Some(month),
        air_temp_f: None,
        air_temp_high_f: None,
        soil: None,
        stage: stage.to_owned(),
        ..request.clone()
    };
    Some(
        stages
            .iter()
            .flat_map(|stage| months.iter().map(|&m| day(stage, m)))
            .collect(),
    )
}

/// Months in words.
fn words(months: &[u8]) -> String {
    match months {
        [] => "now".to_owned(),
        [one] => format!("in {}", month_name(*one)),
        [first, .., last] => format!("from {} to {}", month_name(*first), month_name(*last)),
    }
}

/// The book's sentence on splitting, with the interval of the actives where it has one.
fn again(chooser: &Chooser<'_>, option: &Treatable) -> Option<String> {
    if option.timing != Timing::Pre {
        return None;
    }
    let book = chooser.book;
    let says = book
        .timing
        .as_ref()?
        .splits
        .iter()
        .find(|s| s.about.as_deref() == Some(AGAIN_BEFORE))?;
    let waits: Vec<String> = option
        .actives
        .iter()
        .filter_map(|id| {
            let active = book.actives.get(id)?;
            let wait = active.repeat_interval_days.as_ref()?;
            Some(format!(
                "{}: {} to {} days",
                active.name, wait.range[0].0, wait.range[1].0
            ))
        })
        .collect();
    let waits = if waits.is_empty() {
        String::new()
    } else {
        format!(" ({}; the label decides)", waits.join(", "))
    };
    Some(format!("{}{waits}", says.text))
}
