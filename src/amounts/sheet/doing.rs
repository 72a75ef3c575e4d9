//! The sheet in the order of doing: before, load by load, after, and what to do with a rest.

use super::job::Job;
use super::spreading::spread;
use super::{LoadSheet, Sheet, Tick, figure};
use crate::amounts::leftover::{both, down, over_again};
use crate::amounts::portion::Portion;
use crate::amounts::reckon::{LoadLine, Reckoned};
use crate::knowledge::Knowledge;
use crate::measure::{Exact, Quantity, unit};
use crate::tank::water::Measured;
use crate::tank::{self, droplets, jar, order, water};
use crate::visit::Lawn;

/// Writes the sheet of a job that was reckoned.
pub fn write(book: &Knowledge, lawn: &Lawn, job: &Job<'_>, actives: &[String], sheet: &mut Sheet) {
    let Some(reckoned) = sheet.reckoned.clone() else {
        return;
    };
    sheet.summary = Some(summary(&reckoned));
    sheet.before = before(book, lawn, job, actives, &reckoned, sheet);
    sheet.loads = if job.spraying.is_some() {
        sprayed(book, job, &reckoned)
    } else {
        vec![spread(book, lawn, job, &reckoned, sheet)]
    };
    sheet.after = after(job);
    leftover(book, job, &reckoned, sheet);
}

fn summary(reckoned: &Reckoned) -> String {
    let area = written(&reckoned.area);
    match &reckoned.spray {
        Some(spray) => {
            let loads = match reckoned.loads.len() {
                1 => "one load".to_owned(),
                n => format!("{n} equal loads"),
            };
            format!("{area} take {} of spray in {loads}.", written(spray))
        }
        None => format!("{area}, spread dry."),
    }
}

/// Three figures, rounded down.
fn written(quantity: &Quantity) -> String {
    down(quantity).short()
}

fn before(
    book: &Knowledge,
    lawn: &Lawn,
    job: &Job<'_>,
    actives: &[String],
    reckoned: &Reckoned,
    sheet: &mut Sheet,
) -> Vec<Tick> {
    let mut ticks = Vec::new();
    for label in &job.labels {
        if let Some(mowing) = &label.product.mowing {
            ticks.push(from_label(label.product.name.as_str(), "mowing", mowing));
        }
    }
    if job.spraying.is_none() {
        return ticks;
    }
    let measured = lawn
        .water
        .as_ref()
        .map_or_else(Measured::default, |w| Measured {
            ph: w.ph.as_ref().map(|p| p.value().0.clone()),
            hardness_ppm: w.hardness.as_ref().map(|h| h.value().ppm.clone()),
        });
    ticks.extend(
        water::notes(book, &measured, actives)
            .into_iter()
            .map(Tick::from),
    );
    if job.labels.iter().all(|l| l.product.droplets.is_none()) {
        ticks.extend(droplets::advice(book).into_iter().next().map(Tick::from));
    }
    if job.wanted.len() > 1 {
        ticks.extend(jar_test(book, reckoned, sheet));
    }
    ticks
}

fn from_label(name: &str, about: &str, text: &str) -> Tick {
    let text = crate::knowledge::fact::one_line(text, 160);
    Tick::plain(format!("{name}, {about}: {text}."))
}

/// A pint of the mix in a jar, for two partners and more.
fn jar_test(book: &Knowledge, reckoned: &Reckoned, sheet: &mut Sheet) -> Vec<Tick> {
    let (Some(spray), Ok(pint)) = (&reckoned.spray, unit("pt")) else {
        return Vec::new();
    };
    let parts: Vec<jar::Named> = reckoned
        .totals
        .iter()
        .map(|t| (t.name.clone(), t.exact.clone()))
        .collect();
    let Ok(worked) = jar::amounts(&parts, spray, &Quantity::new(1, pint)) else {
        return Vec::new();
    };
    sheet
        .steps
        .extend(worked.steps.iter().map(|step| format!("jar test: {step}")));
    let shown: Vec<String> = worked
        .value
        .iter()
        .map(|(name, amount)| format!("{} of {name}", small(amount)))
        .collect();
    let remark = |about: &str| {
        book.mixing
            .iter()
            .flat_map(|m| &m.jar_test)
            .find(|r| r.about.as_deref() == Some(about))
            .map(|r| crate::knowledge::fact::Fact::of_remark(book, r))
    };
    let scaling = remark("scaling");
    let mut ticks = vec![Tick::resting_on(
        format!(
            "Jar test first: a pint of the spray water, then {}, in the order of the loads.",
            crate::words::and_list(&shown)
        ),
        scaling.as_ref(),
    )];
    ticks.extend(
        ["procedure", "signs", "limit"]
            .into_iter()
            .filter_map(remark)
            .map(Tick::from),
    );
    ticks
}

/// A small amount in the unit that small tools show.
fn small(amount: &Quantity) -> String {
    let metric = match amount.kind().top {
        crate::measure::Base::Volume => "mL",
        _ => "g",
    };
    unit(metric)
        .and_then(|u| amount.to(&u))
        .map_or_else(|_| written(amount), |q| written(&q))
}

fn sprayed(book: &Knowledge, job: &Job<'_>, reckoned: &Reckoned) -> Vec<LoadSheet> {
    let order = order::order(book, &job.goes);
    let (first, last) = (order::first(book), order::last(book));
    let count = reckoned.loads.len();
    reckoned
        .loads
        .iter()
        .enumerate()
        .map(|(i, load)| {
            let spray = load.spray.as_ref().map_or_else(String::new, written);
            let half = load
                .spray
                .as_ref()
                .map(|s| s.times(&Exact::ratio(1, 2).unwrap_or_else(Exact::one)));
            let mut ticks = vec![Tick::resting_on(
                format!(
                    "Half fill the tank: about {} of clean water. Keep it moving.",
                    half.as_ref().map_or_else(String::new, written)
                ),
                first.as_ref(),
            )];
            ticks.extend(order.iter().filter_map(|placed| {
                let part = load.parts.get(placed.part)?;
                Some(Tick::resting_on(add(part), placed.fact.as_ref()))
            }));
            ticks.push(Tick::resting_on(
                format!("Fill up with water to {spray}; keep it moving until it is sprayed out."),
                last.as_ref(),
            ));
            ticks.push(Tick::plain(format!(
                "Spray this load evenly on {}.",
                written(&load.covers)
            )));
            LoadSheet {
                title: title(i, count, load, &spray),
                ticks,
            }
        })
        .collect()
}

fn title(i: usize, count: usize, load: &LoadLine, spray: &str) -> String {
    let covers = written(&load.covers);
    if count == 1 {
        format!("The one load: {spray} for {covers}")
    } else {
        format!("Load {} of {count}: {spray} for {covers}", i + 1)
    }
}

fn add(part: &Portion) -> String {
    match (&part.measure, &part.tool) {
        (Some(measure), Some(tool)) => format!(
            "Add {} of {} ({tool}; reckoned {}). Mix until it is even.",
            measure.short(),
            part.name,
            both(&part.exact)
        ),
        _ => format!(
            "Add {} of {}. Mix until it is even.",
            both(&part.exact),
            part.name
        ),
    }
}

fn after(job: &Job<'_>) -> Vec<Tick> {
    let mut ticks = Vec::new();
    for label in &job.labels {
        let product = label.product;
        for (about, text) in [
            ("rain and watering", &product.rain_free),
            ("going on the lawn again", &product.re_entry),
        ] {
            if let Some(text) = text {
                ticks.push(from_label(&product.name, about, text));
            }
        }
        if let Some(days) = product.interval_days {
            ticks.push(Tick::plain(format!(
                "{}, next treatment: not before {days} days are over.",
                product.name
            )));
        }
    }
    ticks
}

fn leftover(book: &Knowledge, job: &Job<'_>, reckoned: &Reckoned, sheet: &mut Sheet) {
    let mut ticks = Vec::new();
    if let Some(spray) = &reckoned.spray {
        // Every product sets its own bound; the smallest counts.
        let mut least: Option<Quantity> = None;
        for total in reckoned.totals.iter().take(job.labels.len()) {
            // What rounding to the tool left out is no room: the larger of reckoned and measured counts.
            let put_on = if total.exact.in_base() > total.put_on().in_base() {
                &total.exact
            } else {
                total.put_on()
            };
            let most = total.most.as_ref().unwrap_or(put_on);
            if let Ok(worked) = over_again(put_on, most, spray) {
                let again = sheet.takes(worked);
                if least.as_ref().is_none_or(|l| again.in_base() < l.in_base()) {
                    least = Some(again);
                }
            }
        }
        if let Some(again) = least {
            ticks.push(Tick::plain(if again.value.is_positive() {
                format!(
                    "Spray left over: at most {} may go thinly a second time over the same ground, within the label's maximum; no more.",
                    written(&again)
                )
            } else {
                "Spray left over: none of it on the same ground, which has the label's full amount. Only on other ground of a grass and against a weed that the label names."
                    .to_owned()
            }));
            sheet.figures.push(figure("second_time_at_most", &again));
        }
        ticks.extend(tank::leftover(book).into_iter().map(Tick::from));
    } else {
        ticks.push(Tick::plain(
            "What is left goes back into its own pack, dry and closed; none of it down a drain or on paving.",
        ));
    }
    sheet.leftover = ticks;
}
