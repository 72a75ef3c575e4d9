//! Limits of the weather and points of the rotation: figures that fit, and sentences that exist.
use super::{At, Finding};
use crate::knowledge::diagnostic::Severity;
use crate::knowledge::files::Files;
use crate::knowledge::form::common::Remark;
use crate::words::nearest;
use std::collections::BTreeSet;

pub fn check(files: &Files) -> Vec<Finding> {
    let mut found = Vec::new();
    if let Some(weather) = &files.weather {
        let rules = ids(&weather.rules);
        let mut seen = BTreeSet::new();
        for (index, limit) in weather.limits.iter().enumerate() {
            let at = |key: &str| at("weather.yaml", "limits", index, key);
            if !seen.insert(limit.id.as_str()) {
                let message = format!("the limit {} is defined twice", limit.id);
                found.push(fault(
                    "duplicate-id",
                    message,
                    at("id"),
                    "keep one of the two, or give this one another id",
                ));
            }
            if limit.above.is_none() && limit.below.is_none() {
                let message = format!("the limit {} has no figure", limit.id);
                found.push(fault(
                    "bad-limit",
                    message,
                    at("id"),
                    "give `above`, `below` or both",
                ));
            }
            let units = limit.measure.units();
            if !units.contains(&limit.unit.as_str()) {
                let message = format!(
                    "{} is no unit of what the limit {} measures",
                    limit.unit, limit.id
                );
                found.push(fault(
                    "bad-limit",
                    message,
                    at("unit"),
                    &format!("write one of {}", units.join(", ")),
                ));
            }
            if let Some(rule) = &limit.rule {
                found.extend(known(rule, &rules, at("rule"), "sentence in `rules`"));
            }
        }
    }
    if let Some(resistance) = &files.resistance {
        let guidance = ids(&resistance.guidance);
        let mut seen = BTreeSet::new();
        for (index, cost) in resistance.costs.iter().enumerate() {
            let at = |key: &str| at("resistance.yaml", "costs", index, key);
            if !seen.insert(cost.kind) {
                found.push(fault(
                    "duplicate-id",
                    "this cost is charged twice".to_owned(),
                    at("kind"),
                    "keep one of the two",
                ));
            }
            for id in cost.follows.iter() {
                found.extend(known(
                    id,
                    &guidance,
                    at("follows"),
                    "sentence in `guidance`",
                ));
            }
        }
    }
    found
}

fn ids(remarks: &[Remark]) -> BTreeSet<&str> {
    remarks.iter().filter_map(|r| r.id.as_deref()).collect()
}

fn at(file: &str, list: &str, index: usize, key: &str) -> At {
    At {
        file: file.to_owned(),
        steps: vec![list.into(), index.into(), key.into()],
    }
}

fn known(id: &str, ids: &BTreeSet<&str>, at: At, what: &str) -> Option<Finding> {
    if ids.contains(id) {
        return None;
    }
    let near = nearest(id, ids.iter().copied());
    let help = near.map_or_else(
        || "write the id of a sentence that exists".to_owned(),
        |n| format!("did you mean {n}?"),
    );
    Some(fault(
        "unknown-id",
        format!("no {what} has the id {id}"),
        at,
        &help,
    ))
}

fn fault(code: &'static str, message: String, at: At, help: &str) -> Finding {
    Finding {
        code,
        severity: Severity::Error,
        message,
        at,
        help: Some(help.to_owned()),
        related: None,
    }
}
