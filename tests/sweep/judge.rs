//! One decision held against the naive reading.
use super::oracle::{Case, Facts, Oracle};
use ligule::choose::{Applicator, Chooser, Decision, Reason, Request, Soil, WeedStage};

/// The request that means these facts.
pub fn request(facts: &Facts) -> Request {
    let stage = facts.weed_stage.map(|s| match s {
        "not-up" => WeedStage::NotUp,
        "young" => WeedStage::Young,
        _ => WeedStage::Grown,
    });
    Request {
        weeds: facts.weeds.clone(),
        turf: facts.turf.clone(),
        stage: facts.stage.clone(),
        month: facts.month,
        air_temp_f: facts.air.map(|a| a.0),
        air_temp_high_f: facts.air.map(|a| a.1),
        // Half of the wet sites are told as the state of the soil.
        soil: (facts.near == ["frozen-or-saturated-soil"] && facts.month.is_some())
            .then_some(Soil::Frozen),
        near: if facts.near == ["frozen-or-saturated-soil"] && facts.month.is_some() {
            Vec::new()
        } else {
            facts.near.clone()
        },
        place: facts.place.clone(),
        applicator: facts.for_hire.map(|hire| {
            if hire {
                Applicator::ForHire
            } else {
                Applicator::Homeowner
            }
        }),
        weeks_since_seeding: facts.weeks,
        mowings: facts.mowings,
        seeding_in_weeks: facts.seeding_in,
        weed_stages: stage
            .map(|s| facts.weeds.iter().map(|w| (w.clone(), s)).collect())
            .unwrap_or_default(),
        ..Request::default()
    }
}

/// Every statement that this decision breaks.
pub fn violations(
    oracle: &Oracle,
    chooser: &Chooser<'_>,
    facts: &Facts,
    decision: &Decision,
) -> Vec<String> {
    let mut broken = Vec::new();
    let case = oracle.case(facts);
    let mut seen = vec![false; oracle.actives.len()];
    let mut offered = vec![[false; 2]; oracle.actives.len()];
    for option in &decision.options {
        for &active in &option.actives {
            seen[active] = true;
            offered[active][usize::from(option.pre)] |= option.actives.len() == 1;
        }
        let ids: Vec<&str> = option.actives.iter().map(|&a| chooser.id(a)).collect();
        broken.extend(unsafe_option(&case, &ids, &option.actives));
        for (number, (weed, on)) in facts.weeds.iter().zip(&option.on).enumerate() {
            let deals = option
                .actives
                .iter()
                .any(|&a| case.deals(a, number, option.pre));
            if on.is_some() != deals {
                broken.push(format!(
                    "{ids:?} on {weed}: offered as {}, the book says {deals}",
                    on.is_some()
                ));
            }
        }
        if option.on.iter().all(Option::is_none) {
            broken.push(format!("{ids:?} deals with nothing"));
        }
    }
    for (set, reason) in decision.excluded() {
        if let [one] = set {
            if seen[*one] && offered[*one] != [false; 2] {
                broken.push(format!("{} is offered and excluded", chooser.id(*one)));
            }
            seen[*one] = true;
        }
        if !is_true(&case, chooser, set, reason) {
            let ids: Vec<&str> = set.iter().map(|&a| chooser.id(a)).collect();
            broken.push(format!(
                "{ids:?} is excluded for {reason:?}, which is not so"
            ));
        }
    }
    for (number, seen) in seen.iter().enumerate() {
        let id = &oracle.actives[number];
        if !seen {
            broken.push(format!("{id} is neither offered nor excluded"));
        }
        // For a single weed everything that is safe and useful stands on offer by itself.
        if facts.weeds.len() == 1 {
            let useful = [case.deals(number, 0, false), case.deals(number, 0, true)];
            let safe = useful != [false; 2] && case.unsafe_because(number).is_none();
            let due = [safe && useful[0], safe && useful[1]];
            if due != offered[number] {
                broken.push(format!(
                    "{id} should be offered after and before emergence: {due:?}"
                ));
            }
        }
    }
    broken
}

/// What speaks against offering these actives together, whatever they are for.
pub fn unsafe_option(case: &Case<'_>, ids: &[&str], actives: &[usize]) -> Vec<String> {
    let mut broken = Vec::new();
    for (&active, id) in actives.iter().zip(ids) {
        if let Some(why) = case.unsafe_because(active) {
            broken.push(format!("{id} is offered: {why}"));
        }
    }
    if ids.len() > 3 {
        broken.push(format!("{ids:?}: more than three"));
    }
    if ids.len() > 1 && case.oracle.conflict(ids, case.facts) {
        broken.push(format!("{ids:?} must not share a tank"));
    }
    broken
}

/// Whether a reason is true of what it excludes.
fn is_true(case: &Case<'_>, chooser: &Chooser<'_>, set: &[usize], reason: Reason) -> bool {
    let &[active] = set else {
        let ids: Vec<&str> = set.iter().map(|&a| chooser.id(a)).collect();
        return match reason {
            Reason::TankConflict | Reason::TurfInjured => case.oracle.conflict(&ids, case.facts),
            _ => false,
        };
    };
    let weeds = 0..case.facts.weeds.len();
    let at_any =
        |is: &dyn Fn(usize, usize) -> bool| weeds.clone().any(|w| (0..3).any(|t| is(w, t)));
    match reason {
        Reason::TurfInjured => case.grasses(active).any(|g| g.injured),
        Reason::TurfNotRegistered => case.grasses(active).any(|g| g.not_registered),
        Reason::TurfNotProven => {
            case.facts.turf.is_empty() || case.grasses(active).any(|g| !g.stated)
        }
        Reason::TurfSeason => case.wrong_month_for_grass(active),
        Reason::TurfTooYoung => case.too_young(active),
        Reason::SeedingPlanned => case.seeding_too_soon(active),
        Reason::NotAvailable => case.not_to_be_had(active),
        Reason::Place => case.forbidden_by_place(active),
        Reason::Site => case.forbidden_by_site(active),
        Reason::TooHot => case.too_hot(active),
        Reason::TooCold => case.too_cold(active),
        Reason::PastEmergence => at_any(&|w, t| case.weed(active, w, t).usable && case.past(w, t)),
        Reason::OutOfSeason => at_any(&|w, t| case.weed(active, w, t).usable && case.early(w, t)),
        Reason::WeedNotControlled => at_any(&|w, t| {
            let weed = case.weed(active, w, t);
            weed.stated && !weed.usable
        }),
        Reason::ControlNotProven => !at_any(&|w, t| case.weed(active, w, t).stated),
        // It could be used, but only for a part, or for as much as fewer do.
        Reason::NotNeeded => {
            case.facts.weeds.len() > 1
                && case.unsafe_because(active).is_none()
                && weeds
                    .clone()
                    .any(|w| [false, true].iter().any(|pre| case.deals(active, w, *pre)))
        }
        // The lawns of the sweep have no record, so nothing in one can be the reason; pairs in a tank are judged apart.
        Reason::IntervalTooShort
        | Reason::YearlyLimit
        | Reason::ResistantHere
        | Reason::TankConflict => false,
    }
}
