//! A product that is spread dry: weighing out, the spreader's test, the crossings.

use super::job::Job;
use super::{LoadSheet, Sheet, Tick};
use crate::amounts::leftover::{both, down};
use crate::amounts::reckon::Reckoned;
use crate::knowledge::Knowledge;
use crate::lawn::{Finding, Weight, equipment};
use crate::measure::{Exact, spreader};
use crate::tank;
use crate::visit::Lawn;

/// The ticks of a job that is spread dry.
pub fn spread(
    book: &Knowledge,
    lawn: &Lawn,
    job: &Job<'_>,
    reckoned: &Reckoned,
    sheet: &mut Sheet,
) -> LoadSheet {
    let mut ticks = Vec::new();
    let parts = reckoned.loads.first().map_or(&[][..], |l| &l.parts);
    for part in parts {
        let amount = match (&part.measure, &part.tool) {
            (Some(measure), Some(tool)) => format!("{} ({tool})", measure.short()),
            _ => both(&part.exact),
        };
        ticks.push(Tick::plain(format!("Weigh out {amount} of {}.", part.name)));
    }
    if let (Some(form), Some(label)) = (&lawn.spreader, job.labels.first()) {
        ticks.extend(test_of(form, label.product.name.as_str(), job, sheet));
    }
    ticks.push(Tick::resting_on(
        "Put half of it into the spreader and go over all of the ground; then the other half at right angles.",
        tank::crossing(book).as_ref(),
    ));
    LoadSheet {
        title: format!("Spread on {}", down(&reckoned.area).short()),
        ticks,
    }
}

/// What the spreader's test says of the setting, for half the rate in each of two crossings.
fn test_of(
    form: &crate::lawn::form::Spreader,
    name: &str,
    job: &Job<'_>,
    sheet: &mut Sheet,
) -> Vec<Tick> {
    let tested = form
        .tested_with
        .as_deref()
        .is_some_and(|t| crate::words::plain(t) == crate::words::plain(name));
    let measured = if tested {
        equipment::spread(form).ok().flatten()
    } else {
        None
    };
    let Some(measured) = measured else {
        return vec![Tick::plain(format!(
            "Test the spreader with {name} itself on a measured strip first: half the rate in one crossing (`ligule measure spreader --twice`)."
        ))];
    };
    let Some(rate) = job.wanted.first() else {
        return Vec::new();
    };
    // Ten percent is the deviation in common use (also the default of `ligule measure spreader`).
    match spreader::compare(measured, &rate.rate, true, &Exact::from(10)) {
        Ok(worked) => {
            let off = worked.value.off_percent.clone();
            let warnings = worked.warnings.clone();
            sheet.steps.extend(worked.steps);
            let text = format!(
                "The spreader's test came out {} % {} half the rate.",
                off.abs().to_digits(2),
                if off.is_negative() { "below" } else { "above" }
            );
            if let Some(warning) = warnings.first() {
                sheet.findings.push(Finding::new(
                    "spreader-setting",
                    Weight::Question,
                    name,
                    format!("{text} At this setting {warning}."),
                ));
            }
            vec![Tick::plain(text)]
        }
        Err(_) => Vec::new(),
    }
}
