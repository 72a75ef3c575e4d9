//! The spray day: fit hours of a forecast, what to mind before, while and after, and the days that follow.
use super::ask::Ask;
use super::site::Site;
use super::trouble::Trouble;
use super::view::{Field, again, go};
use crate::knowledge::fact::one_line;
use crate::picture;
use crate::season::hours::{self, Form, Label};
use crate::season::sun::Spot;
use crate::season::table;
use crate::season::units::{Unit, figure, number};
use crate::treatment::{DateLine, Event, Hint, Step, Worked};
use axum::response::Response;
use serde::Serialize;

/// Runs of fit hours that are shown.
const RUNS: usize = 6;

#[derive(Serialize)]
struct Run {
    from: String,
    hours: usize,
    best: usize,
}

#[derive(Serialize)]
struct Forecast {
    runs: Vec<Run>,
    unfit: Vec<String>,
    notes: Vec<String>,
    findings: Vec<String>,
    picture: String,
    fields: Vec<Field>,
    granule: bool,
    fault: String,
}

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
struct Page {
    headline: String,
    option: String,
    treats: bool,
    hints: Vec<Hints>,
    days: Vec<DayLine>,
    forecast: Option<Forecast>,
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
    let stored = site.folder.forecast(id)?;
    let forecast = stored.map(|csv| judged(site, ask, &made.worked, &csv));
    let body = Page {
        headline: treatment.verdict.headline.clone(),
        option: treatment
            .chosen
            .as_ref()
            .map_or(String::new(), |o| o.title.clone()),
        treats: treatment.chosen.is_some(),
        hints,
        days: treatment.dates.iter().map(day_line).collect(),
        forecast,
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

const ASKED: [(&str, &str, &str); 6] = [
    ("wind", "Highest wind on the label", "10 mph"),
    ("rain", "Hours that must stay dry", "6"),
    ("hottest", "Highest temperature on the label", "85F"),
    ("coldest", "Lowest temperature on the label", "50F"),
    ("latitude", "Latitude, for sunrise and sunset", "40.0"),
    ("longitude", "Longitude, west negative", "-83.0"),
];

#[allow(
    clippy::too_many_lines,
    reason = "one figure of the label after the other"
)]
/// Judges the hours of a forecast; what is wrong with the figures of the label is told beside them.
fn judged(site: &Site, ask: &Ask, worked: &Worked, csv: &str) -> Forecast {
    let mut fields: Vec<Field> = ASKED
        .iter()
        .map(|(name, label, hint)| Field::new(*name, *label, hint, ask.query.get(name).to_owned()))
        .collect();
    let mut read = |place: usize, with: &dyn Fn(&str) -> Result<f64, String>| -> Option<f64> {
        let field = &mut fields[place];
        if field.value.is_empty() {
            return None;
        }
        match with(&field.value) {
            Ok(value) => Some(value),
            Err(fault) => {
                field.fault = fault;
                None
            }
        }
    };
    let wind_units = [
        Unit::MilesPerHour,
        Unit::KilometresPerHour,
        Unit::MetresPerSecond,
        Unit::Knots,
    ];
    let inside =
        |units: &'static [Unit]| move |typed: &str| figure(typed, units).map(|(v, u)| u.inside(v));
    let within = |low: f64, high: f64| {
        move |typed: &str| {
            number(typed)
                .filter(|x| (low..=high).contains(x))
                .ok_or_else(|| format!("a number from {low} to {high} is wanted"))
        }
    };
    let wind = read(0, &|typed| {
        figure(typed, &wind_units).map(|(v, u)| u.inside(v))
    });
    let rain_free_hours = read(1, &within(0.0, 240.0));
    let hottest_c = read(2, &inside(&[Unit::Fahrenheit, Unit::Celsius]));
    let coldest_c = read(3, &inside(&[Unit::Fahrenheit, Unit::Celsius]));
    let (latitude, longitude) = (
        read(4, &within(-90.0, 90.0)),
        read(5, &within(-180.0, 180.0)),
    );
    let granule = ask.query.get("form") == "granule";
    let asked = hours::Ask {
        actives: worked.treatment.chosen.as_ref().map_or(Vec::new(), |o| {
            o.actives.iter().map(|a| a.id.clone()).collect()
        }),
        turf: worked.request.turf.clone(),
        stage: worked.request.stage.clone(),
        form: if granule { Form::Granule } else { Form::Spray },
        spot: latitude.zip(longitude).map(|(latitude, longitude)| Spot {
            latitude,
            longitude,
        }),
        label: Label {
            wind,
            rain_free_hours,
            hottest_c,
            coldest_c,
        },
        ..hours::Ask::default()
    };
    let mut forecast = Forecast {
        runs: Vec::new(),
        unfit: Vec::new(),
        notes: Vec::new(),
        findings: Vec::new(),
        picture: String::new(),
        fields,
        granule,
        fault: String::new(),
    };
    let table = match table::read("forecast.csv", csv, &[]) {
        Ok(table) => table,
        Err(error) => {
            forecast.fault = error.to_string();
            return forecast;
        }
    };
    forecast.findings = table
        .findings
        .iter()
        .take(12)
        .map(|f| match f.line {
            0 => f.message.clone(),
            line => format!("line {line}: {}", f.message),
        })
        .collect();
    match hours::judge(site.book(), &table, &asked) {
        Err(error) => forecast.fault = error.to_string(),
        Ok(found) => {
            forecast.runs = found
                .runs
                .iter()
                .take(RUNS)
                .map(|r| Run {
                    from: r.from.strftime("%a %-d %b, %H:%M").to_string(),
                    hours: r.hours,
                    best: r.best,
                })
                .collect();
            if found.runs.is_empty() {
                forecast.unfit = unfit(&found);
            }
            if let Ok(drawn) = picture::hours("Hours fit for treating", &found) {
                forecast.picture = drawn.svg;
            }
            forecast.notes = found.notes;
        }
    }
    forecast
}

/// What keeps most hours from being fit.
fn unfit(found: &hours::Hours) -> Vec<String> {
    let mut counted: Vec<(usize, &str, &str)> = Vec::new();
    for reason in found.hours.iter().filter_map(|h| h.reasons.first()) {
        match counted.iter_mut().find(|(_, from, _)| *from == reason.from) {
            Some((n, _, _)) => *n += 1,
            None => counted.push((1, &reason.from, &reason.text)),
        }
    }
    counted.sort_by_key(|(n, _, _)| std::cmp::Reverse(*n));
    let worst = counted.into_iter().take(4);
    worst
        .map(|(n, _, text)| format!("{n} hours: {text}"))
        .collect()
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
