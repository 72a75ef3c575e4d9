//! The spray day: fit hours of a forecast, what to mind before, while and after, and the days that follow.
use super::ask::Ask;
use super::forecast::Forecast;
use super::site::Site;
use super::trouble::Trouble;
use super::view::{again, go};
use crate::knowledge::fact::one_line;
use crate::season::table;
use crate::treatment::{DateLine, Event, Hint, Step};
use axum::response::Response;
use serde::Serialize;

#[derive(Serialize)]
struct DayLine {
    what: &'static str,
    when: String,
    how: String,
    memory: bool,
}

#[derive(Serialize)]
struct Hints {
    title: &'static str,
    hints: Vec<Hint>,
}

#[derive(Serialize)]
struct Page<'a> {
    gone: String,
    headline: String,
    option: String,
    treats: bool,
    hints: Vec<Hints>,
    days: Vec<DayLine>,
    forecast: Option<&'a Forecast>,
    fault: String,
    file: String,
}

/// The spray day.
pub fn show(site: &Site, ask: &Ask) -> Result<Response, Trouble> {
    page(site, ask, String::new(), String::new())
}

fn page(site: &Site, ask: &Ask, fault: String, file: String) -> Result<Response, Trouble> {
    let id = ask.part("id");
    let visit = site.folder.visit(id)?;
    if let Some((first, _)) = site.lacks(id, &visit) {
        return Ok(go(&first));
    }
    let made = site.worked(id, &visit)?;
    let treatment = &made.worked.treatment;
    let hints = [
        (Step::Before, "Before"),
        (Step::While, "While applying"),
        (Step::After, "Afterwards"),
    ];
    let hints = hints
        .into_iter()
        .map(|(step, title)| Hints {
            title,
            hints: treatment
                .job
                .iter()
                .filter(|h| h.step == step)
                .cloned()
                .collect(),
        })
        .filter(|h| !h.hints.is_empty())
        .collect();
    let forecast = site.judged(&made, &ask.query);
    let body = Page {
        gone: made.gone.clone().unwrap_or_default(),
        headline: treatment.verdict.headline.clone(),
        option: treatment
            .chosen
            .as_ref()
            .map_or(String::new(), |o| o.title.clone()),
        treats: treatment.chosen.is_some(),
        hints,
        days: treatment.dates.iter().map(day_line).collect(),
        forecast: forecast.as_deref(),
        fault,
        file,
    };
    let frame = site.frame(id, &visit, "day", "The spray day");
    site.page("day.html", &frame, &body)
}

fn day_line(line: &DateLine) -> DayLine {
    let when = match (line.from, line.to) {
        (Some(from), Some(to)) if from != to => format!("{from} to {to}"),
        (Some(day), _) | (None, Some(day)) => day.to_string(),
        (None, None) => "not in the book: see the label".to_owned(),
    };
    DayLine {
        what: match line.event {
            Event::FirstSigns => "First signs on the weed",
            Event::FullEffect => "Full effect",
            Event::LookAgain => "Look again and judge",
            Event::Repeat => "Second treatment at the earliest",
            Event::Seeding => "Seeding at the earliest",
        },
        when,
        how: line.fact.text.clone(),
        memory: line.fact.evidence == crate::knowledge::form::source::Evidence::Memory,
    }
}

/// Takes a forecast. One that cannot be read is not kept, and the old one stays.
pub fn forecast(site: &Site, ask: &Ask) -> Result<Response, Trouble> {
    let id = ask.part("id");
    let csv = ask.form.get("forecast");
    let name = one_line(ask.form.get("forecast-name"), 60);
    let shown = if name.is_empty() { "the file" } else { &name };
    let fault = if csv.is_empty() {
        "Choose a file first.".to_owned()
    } else {
        match table::read(shown, csv, &[]) {
            Err(error) => error.to_string(),
            Ok(found) if found.step == table::Step::Daily => {
                format!(
                    "{shown}: hours are judged from an hourly forecast; this file has one row a day."
                )
            }
            Ok(_) => String::new(),
        }
    };
    if !fault.is_empty() {
        return page(site, ask, fault, name).map(again);
    }
    site.folder.keep_forecast(id, csv)?;
    Ok(go(&format!("/visit/{id}/day")))
}
