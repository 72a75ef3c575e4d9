//! One decision held against the naive reading.
use super::oracle::{Facts, Oracle};
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
    let mut seen = vec![false; oracle.actives.len()];
    let mut offered = vec![[false; 2]; oracle.actives.len()];
    for option in &decision.options {
        let ids: Vec<&str> = option.actives.iter().map(|&a| chooser.id(a)).collect();
        for (&active, id) in option.actives.iter().zip(&ids) {
            seen[active] = true;
            offered[active][usize::from(option.pre)] |= option.actives.len() == 1;
            if let Some(why) = oracle.unsafe_because(active, facts) {
                broken.push(format!("{id} is offered: {why}"));
            }
        }
        if ids.len() > 3 {
            broken.push(format!("{ids:?}: more than three"));
        }
        if ids.len() > 1 && oracle.conflict(&ids, facts) {
            broken.push(format!("{ids:?} must not share a tank"));
        }
        for (weed, on) in facts.weeds.iter().zip(&option.on) {
            let deals = option
                .actives
                .iter()
                .any(|&a| oracle.deals(a, weed, option.pre, facts));
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
        let ids: Vec<&str> = set.iter().map(|&a| chooser.id(a)).collect();
        if let [one] = set.as_slice() {
            if seen[*one] && offered[*one] != [false; 2] {
                broken.push(format!("{ids:?} is offered and excluded"));
            }
            seen[*one] = true;
        }
        if !is_true(oracle, facts, (&set, &ids), reason) {
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
        if let [weed] = facts.weeds.as_slice() {
            let safe = oracle.unsafe_because(number, facts).is_none();
            for pre in [false, true] {
                let due = safe && oracle.deals(number, weed, pre, facts);
                if due != offered[number][usize::from(pre)] {
                    broken.push(format!("{id} (before: {pre}) should be offered: {due}"));
                }
            }
        }
    }
    broken
}

/// Whether a reason is true of what it excludes.
fn is_true(
    oracle: &Oracle,
    facts: &Facts,
    (set, ids): (&[usize], &[&str]),
    reason: Reason,
) -> bool {
    let &[active] = set else {
        return match reason {
            Reason::TankConflict | Reason::TurfInjured => oracle.conflict(ids, facts),
            _ => false,
        };
    };
    let on_any_grass = |is: &dyn Fn(super::oracle::Grass) -> bool| {
        facts
            .turf
            .iter()
            .any(|turf| is(oracle.grass(active, turf, &facts.stage)))
    };
    let at_any = |is: &dyn Fn(&str, &'static str) -> bool| {
        facts
            .weeds
            .iter()
            .any(|w| ["pre", "early-post", "post"].iter().any(|t| is(w, t)))
    };
    match reason {
        Reason::TurfInjured => on_any_grass(&|g| g.injured),
        Reason::TurfNotRegistered => on_any_grass(&|g| g.not_registered),
        Reason::TurfNotProven => facts.turf.is_empty() || on_any_grass(&|g| !g.stated),
        Reason::TurfTooYoung => oracle.too_young(active, facts),
        Reason::SeedingPlanned => oracle.seeding_too_soon(active, facts),
        Reason::NotAvailable => oracle.not_to_be_had(active, facts),
        Reason::Place => oracle.forbidden_by_place(active, facts),
        Reason::Site => oracle.forbidden_by_site(active, facts),
        Reason::TooHot => oracle.too_hot(active, facts),
        Reason::TooCold => oracle.too_cold(active, facts),
        Reason::PastEmergence => {
            at_any(&|w, t| oracle.weed(active, w, t).usable && oracle.past(w, t, facts))
        }
        Reason::OutOfSeason => {
            at_any(&|w, t| oracle.weed(active, w, t).usable && oracle.early(w, t, facts))
        }
        Reason::WeedNotControlled => at_any(&|w, t| {
            let weed = oracle.weed(active, w, t);
            weed.stated && !weed.usable
        }),
        Reason::ControlNotProven => !at_any(&|w, t| oracle.weed(active, w, t).stated),
        // It could be used, but only for a part, or for as much as fewer do.
        Reason::NotNeeded => {
            facts.weeds.len() > 1
                && oracle.unsafe_because(active, facts).is_none()
                && facts.weeds.iter().any(|w| {
                    [false, true]
                        .iter()
                        .any(|pre| oracle.deals(active, w, *pre, facts))
                })
        }
        // The lawns of the sweep have no record, so nothing in one can be the reason; pairs in a tank are judged apart.
        Reason::IntervalTooShort
        | Reason::YearlyLimit
        | Reason::ResistantHere
        | Reason::TankConflict => false,
    }
}
