//! What the sprayer puts out, its droplets and the adjuvant, held against the label and the book.
use super::Use;
use crate::knowledge::Knowledge;
use crate::knowledge::fact::plain_range;
use crate::lawn::finding::{Finding, Weight};
use crate::lawn::label::Label;
use crate::measure::droplet::Fit;
use crate::measure::{Base, Exact, Kind as Measured, unit};
use crate::words::and_list;

pub fn spray_volume(label: &Label<'_>, on: &Use<'_>) -> Option<Finding> {
    let (water, output) = (label.water.as_ref()?, on.output?);
    let target = if output.in_base() < water.low.in_base() {
        &water.low
    } else if output.in_base() > water.high.in_base() {
        &water.high
    } else {
        return None;
    };
    let given = output.to(&target.unit).ok()?;
    // What a nozzle puts on an area falls as the walking speed rises.
    let speed = output.in_units_of(target).ok()? * Exact::from(100);
    Some(Finding::new(
        "spray-volume",
        Weight::Stop,
        &label.product.name,
        format!(
            "The sprayer puts out {}; the label asks for {water}. Walk at {} % of the speed of the trial, or change nozzle or pressure, and calibrate again.",
            given.short(),
            speed.to_digits(2)
        ),
    ))
}

pub fn droplets(label: &Label<'_>, on: &Use<'_>) -> Option<Finding> {
    let wanted = label.product.droplets.as_ref()?;
    let (finest, coarsest) = (
        wanted.finest.as_ref().map(|w| *w.value()),
        wanted.coarsest.as_ref().map(|w| *w.value()),
    );
    let class = on.droplets?;
    let why = match class.against(finest, coarsest) {
        Fit::Fits => return None,
        Fit::TooFine => "finer than the label allows: more drift",
        Fit::TooCoarse => "coarser than the label allows: poorer cover",
    };
    Some(Finding::new(
        "droplets",
        Weight::Stop,
        &label.product.name,
        format!("The nozzle's droplets are {class}, {why}. Change nozzle or pressure."),
    ))
}

pub fn adjuvants(
    book: &Knowledge,
    label: &Label<'_>,
    on: &Use<'_>,
    ids: &[Option<String>],
) -> Vec<Finding> {
    let product = &label.product.name;
    let mut found = Vec::new();
    for active in ids.iter().flatten().filter_map(|id| book.actives.get(id)) {
        for row in &active.adjuvant {
            let about = |code, weight, text: String| {
                let mut finding = Finding::new(code, weight, product, text);
                finding.evidence = Some(book.evidence(&row.source));
                finding.sources = row.source.to_vec();
                finding
            };
            let here: Vec<&str> = row
                .avoid_on
                .iter()
                .filter(|t| on.turf.contains(t))
                .map(String::as_str)
                .collect();
            if !label.adjuvants().is_empty() && !here.is_empty() {
                let text = format!(
                    "The file adds an adjuvant; on {} the book warns against one with {}. Only the label can settle it.",
                    and_list(&here),
                    active.name
                );
                found.push(about("adjuvant-warned", Weight::Question, text));
            }
            if label.adjuvants().is_empty() && row.need == "required" {
                let text = format!(
                    "The file names no adjuvant; the book knows {} as needing one. Look on the label whether it is in the product already.",
                    active.name
                );
                found.push(about("adjuvant-missing", Weight::Note, text));
            }
            if let Some([low, high]) = row.percent_v_v
                && let Some(text) = percent_off(label, low.0, high.0)
            {
                found.push(about("adjuvant-rate", Weight::Question, text));
            }
        }
    }
    found
}

/// An adjuvant by volume that is more than twice what the book knows.
fn percent_off(label: &Label<'_>, low: f64, high: f64) -> Option<String> {
    let top = Exact::from_digits(&high.to_string())?;
    let percent = unit("% v/v").ok()?;
    label.adjuvants().iter().find_map(|added| {
        let rate = added.rate.value();
        let share = Measured::rate(Base::Volume, Base::Volume);
        let given = (rate.kind() == share).then(|| rate.to(&percent).ok())??;
        (given.value > &top * &Exact::from(2)).then(|| {
            format!(
                "{} at {} is {} of the spray; the book knows {} %.",
                added.name,
                rate.short(),
                given.short(),
                plain_range(low, high)
            )
        })
    })
}
