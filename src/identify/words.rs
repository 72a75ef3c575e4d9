//! Traits and chances in words.
use super::PossibleAnswer;
use crate::knowledge::form::plant::Trait;

/// Labels of classes of a trait.
pub(super) fn labels(form: &Trait, classes: &[usize]) -> Vec<String> {
    let all = answers_of(form);
    classes
        .iter()
        .filter_map(|&c| all.get(c))
        .map(|a| a.label.clone())
        .collect()
}

/// The answers to a trait as they are put; the classes of a number trait stand for their middle.
#[must_use]
pub fn answers_of(one: &Trait) -> Vec<PossibleAnswer> {
    if one.cuts.is_empty() {
        return one
            .states
            .iter()
            .map(|s| PossibleAnswer {
                value: s.id.clone(),
                label: s.label.clone().unwrap_or_else(|| s.id.clone()),
                help: s.help.clone(),
            })
            .collect();
    }
    let unit = one.unit.as_deref().unwrap_or("");
    let cuts: Vec<f64> = one.cuts.iter().map(|c| c.0).collect();
    (0..=cuts.len())
        .map(|class| {
            let label = match (class.checked_sub(1).map(|c| cuts[c]), cuts.get(class)) {
                (None, Some(high)) => format!("up to {high} {unit}"),
                (Some(low), Some(high)) => format!("{low} to {high} {unit}"),
                (Some(low), None) => format!("over {low} {unit}"),
                (None, None) => String::new(),
            };
            let (low, high) = crate::key::observe::class_bounds(class, &cuts);
            PossibleAnswer {
                value: short_within(low, high),
                label: label.trim().to_owned(),
                help: None,
            }
        })
        .collect()
}

/// A number between two others, near their middle on the log scale and with as few digits as that allows.
fn short_within(low: f64, high: f64) -> String {
    let middle = (low * high).sqrt();
    (usize::from(middle < 10.0)..17)
        .map(|digits| format!("{middle:.digits$}"))
        .find(|text| text.parse().is_ok_and(|x: f64| low < x && x <= high))
        .unwrap_or_else(|| high.to_string())
}

/// A chance as a person reads it.
#[must_use]
pub fn percent(p: f64) -> String {
    if p >= 0.995 {
        "over 99 %".to_owned()
    } else if p < 0.01 {
        "under 1 %".to_owned()
    } else {
        format!("{:.0} %", p * 100.0)
    }
}
