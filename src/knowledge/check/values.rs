//! Numbers that cannot be: months, ranges, shares, and traits without what their kind needs.
use super::tree::Leaf;
use super::{At, Finding};
use crate::knowledge::diagnostic::Severity;
use crate::knowledge::files::Files;
use crate::knowledge::form::plant::{Shows, TraitKind};
use crate::knowledge::locate::Step;
use std::collections::BTreeMap;

/// Keys whose value is a pair from-to of numbers that cannot be negative.
const PAIRS: [&str; 8] = [
    "first_signs_days",
    "full_effect_days",
    "g_per_ha",
    "inches",
    "lb_per_acre",
    "percent_v_v",
    "range",
    "soil_f",
];

pub fn check(files: &Files, leaves: &[Leaf]) -> Vec<Finding> {
    let mut found = Vec::new();
    for (number, leaf) in leaves.iter().enumerate() {
        let value = leaf.value.as_f64();
        if leaf.key == "months" && value.is_some_and(|m| !(1.0..=12.0).contains(&m)) {
            found.push(wrong(
                "bad-month",
                &leaf.at,
                format!("{} is no month", leaf.value),
                "months are the numbers 1 to 12",
            ));
        }
        // The choice keeps these limits of single actives; a mixture's would be read and not kept.
        let limit = ["months", "above_f", "below_f"].contains(&leaf.key.as_str());
        if limit && leaf.at.file == "mixtures.yaml" {
            found.push(wrong(
                "limit-on-mixture",
                &leaf.at,
                format!("{} is not kept for mixtures", leaf.key),
                "put the limit on the rows of its actives, or say it in `condition`",
            ));
        }
        if leaf.key == "weight" && value.is_some_and(|w| w <= 0.0) {
            found.push(wrong(
                "bad-range",
                &leaf.at,
                format!("a weight of {} cannot be", leaf.value),
                "a weight is more than zero",
            ));
        }
        if !PAIRS.contains(&leaf.key.as_str()) {
            continue;
        }
        if value.is_some_and(|v| v < 0.0) {
            found.push(wrong(
                "bad-range",
                &leaf.at,
                format!("{} cannot be negative", leaf.key),
                "write both ends as plain numbers from zero up",
            ));
        }
        // The first of a pair knows its second: they follow each other in the walk.
        if leaf.at.steps.last() == Some(&Step::Index(0))
            && let (Some(from), Some(to)) =
                (value, leaves.get(number + 1).and_then(|n| n.value.as_f64()))
            && from > to
        {
            found.push(wrong(
                "bad-range",
                &leaf.at,
                format!("this {} runs from {from} down to {to}", leaf.key),
                "put the smaller number first",
            ));
        }
    }
    traits(files, &mut found);
    for (id, weed) in &files.weeds {
        shown(files, &format!("weeds/{id}.yaml"), &weed.traits, &mut found);
    }
    for (id, turf) in &files.turf {
        shown(files, &format!("turf/{id}.yaml"), &turf.traits, &mut found);
    }
    found
}

fn wrong(code: &'static str, at: &At, message: String, help: &str) -> Finding {
    Finding {
        code,
        severity: Severity::Error,
        message,
        at: at.clone(),
        help: Some(help.to_owned()),
        related: None,
    }
}

fn traits(files: &Files, found: &mut Vec<Finding>) {
    for (number, one) in files.traits.iter().enumerate() {
        let at = |key: &str| At {
            file: "traits.yaml".to_owned(),
            steps: vec![number.into(), key.into()],
        };
        let numeric = one.kind == TraitKind::Number;
        if numeric && one.cuts.is_empty() {
            found.push(wrong(
                "trait-form",
                &at("kind"),
                format!("the number trait {} has no cuts", one.id),
                "give `cuts`: the upper ends of the answer classes, ascending",
            ));
        }
        if !numeric && one.states.len() < 2 {
            found.push(wrong(
                "trait-form",
                &at("kind"),
                format!("the trait {} has fewer than two states", one.id),
                "give `states`, at least two",
            ));
        }
        if one.cuts.windows(2).any(|w| w[0] >= w[1]) {
            found.push(wrong(
                "trait-form",
                &at("cuts"),
                "these cuts do not ascend".to_owned(),
                "each cut must be larger than the one before",
            ));
        }
        if !(0.0..=0.5).contains(&one.error.0) {
            found.push(wrong(
                "trait-form",
                &at("error"),
                format!("an observer error of {} cannot be", one.error.0),
                "it is a chance from 0 to 0.5",
            ));
        }
    }
}

/// What a plant shows must fit the kind of the trait.
fn shown(files: &Files, file: &str, traits: &BTreeMap<String, Shows>, found: &mut Vec<Finding>) {
    for (id, shows) in traits {
        let Some(known) = files.traits.iter().find(|t| &t.id == id) else {
            continue;
        };
        let at = At {
            file: file.to_owned(),
            steps: vec!["traits".into(), id.into()],
        };
        let na = shows.is.iter().any(|s| s == "na");
        if na && (shows.is.len() > 1 || !shows.sometimes.is_empty() || shows.range.is_some()) {
            found.push(wrong(
                "trait-value",
                &at,
                format!("{id} cannot both not apply and have a value"),
                "keep `na` alone, or take it away",
            ));
        } else if shows.is.is_empty()
            && shows.sometimes.is_empty()
            && shows.weights.is_empty()
            && shows.range.is_none()
        {
            found.push(wrong(
                "trait-value",
                &at,
                format!("{id} has no value"),
                "give `is` or `range`, or leave the trait out: unknown is unknown",
            ));
        } else if known.kind == TraitKind::Number && shows.range.is_none() && !na {
            found.push(wrong(
                "trait-value",
                &at,
                format!("{id} is a number and needs a range"),
                "write `range: [from, to]`",
            ));
        } else if known.kind != TraitKind::Number && shows.range.is_some() {
            found.push(wrong(
                "trait-value",
                &at,
                format!("{id} is no number and has no range"),
                "write `is:` with states",
            ));
        }
    }
}
