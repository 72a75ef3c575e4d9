//! A forecast that was sent, judged hour by hour, with the figures of the label that were typed beside it.
use super::ask::Fields;
use super::site::Site;
use super::view::Field;
use super::work::Made;
use crate::picture;
use crate::season::hours::{self, Form, Label};
use crate::season::sun::Spot;
use crate::season::table;
use crate::season::units::{Unit, figure, number};
use crate::treatment::Worked;
use serde::Serialize;
use std::collections::VecDeque;
use std::sync::{Arc, Mutex, PoisonError};

/// Runs of fit hours that are shown.
const RUNS: usize = 6;

#[derive(Serialize)]
struct Run {
    from: String,
    hours: usize,
    best: usize,
}

/// What the hours are fit for.
#[derive(Serialize)]
pub struct Forecast {
    runs: Vec<Run>,
    unfit: Vec<String>,
    notes: Vec<String>,
    findings: Vec<String>,
    picture: String,
    fields: Vec<Field>,
    granule: bool,
    fault: String,
}

/// Judged forecasts that are remembered.
const REMEMBERED: usize = 6;

type For = (Arc<Made>, Fields);

/// The forecasts judged last, each with the treatment and the figures that it was judged for.
#[derive(Default)]
pub struct Judged(Mutex<VecDeque<(For, Arc<Forecast>)>>);

impl Site {
    /// The forecast of a visit, where one was sent. It is judged anew only for another treatment or other figures.
    pub fn judged(&self, made: &Arc<Made>, typed: &Fields) -> Option<Arc<Forecast>> {
        let csv = made.from.forecast.as_deref()?;
        let all = || {
            self.forecasts
                .0
                .lock()
                .unwrap_or_else(PoisonError::into_inner)
        };
        let before = all()
            .iter()
            .find(|((of, by), _)| Arc::ptr_eq(of, made) && by == typed)
            .map(|(_, found)| Arc::clone(found));
        if before.is_some() {
            return before;
        }
        let found = Arc::new(judged(self, typed, &made.worked, csv));
        let mut all = all();
        if all.len() >= REMEMBERED {
            all.pop_front();
        }
        all.push_back(((Arc::clone(made), typed.clone()), Arc::clone(&found)));
        Some(found)
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
fn judged(site: &Site, typed: &Fields, worked: &Worked, csv: &str) -> Forecast {
    let mut fields: Vec<Field> = ASKED
        .iter()
        .map(|(name, label, hint)| Field::new(*name, *label, hint, typed.get(name).to_owned()))
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
    let granule = typed.get("form") == "granule";
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
