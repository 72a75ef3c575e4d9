//! What lies beside the answers, read by the face: the record of this lawn and the weather files.
use super::TreatmentError;
use super::fact::Fact;
use crate::choose::{Request, Treatable};
use crate::knowledge::{Kind, Knowledge};
use crate::lawn::label::label;
use crate::picture::Mark;
use crate::records::limits::History;
use crate::season::days::days;
use crate::season::degree::Running;
use crate::season::hours::{self, Fitness, Form, Hours};
use crate::season::sun::Spot;
use crate::season::table::{Finding, Table};
use crate::season::windows::{self, Window};
use crate::visit::Lawn;
use jiff::civil::Date;
use serde::Serialize;
use std::collections::BTreeMap;

/// The record and the weather. What is missing is left out of the treatment.
#[derive(Debug, Clone, Default)]
pub struct Beside {
    /// What was done here before: intervals, yearly limits and groups count in the choice.
    pub history: Option<History>,
    /// The treatments on record by month and group, for the picture of the years.
    pub used: Vec<Mark>,
    /// An hourly forecast.
    pub forecast: Option<Weather>,
    /// The weather of the season so far.
    pub weather: Option<Weather>,
}

/// A weather file that was read.
#[derive(Debug, Clone)]
pub struct Weather {
    /// Its name as typed.
    pub name: String,
    /// Its rows.
    pub table: Table,
}

/// The hours of the forecast from the day of the visit on, judged for what is to be applied.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct HoursLine {
    /// Name of the file.
    pub file: String,
    /// Whether the lawn's position is known; without it nothing is known of sunrise and sunset.
    pub sun_known: bool,
    /// The hours with their verdicts.
    pub hours: Hours,
    /// The limits that any hour touched, each once, the gravest first.
    pub limits: Vec<LimitLine>,
    /// What was doubtful in the file.
    pub findings: Vec<Finding>,
}

/// A limit and what it did to the hours.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct LimitLine {
    /// How many hours it touched.
    pub hours: usize,
    /// The gravest that it made of one.
    pub fitness: Fitness,
    /// How it was met for the first time, and what it rests on.
    #[serde(flatten)]
    pub fact: Fact,
}

/// Windows of the year for these weeds, and the sum of degree days that some of them rest on.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SeasonLine {
    /// Name of the file.
    pub file: String,
    /// The windows of these weeds.
    pub windows: Vec<Window>,
    /// The sum; none where no window of these weeds is reckoned by degree days.
    pub curve: Option<Curve>,
    /// What was doubtful in the file.
    pub findings: Vec<Finding>,
}

/// A sum of degree days.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Curve {
    /// How it is counted.
    pub title: String,
    /// `F` or `C`.
    pub unit: &'static str,
    /// Day by day.
    pub days: Vec<Running>,
}

/// What the weather and the record add to a treatment.
type Looked = (Option<HoursLine>, Option<SeasonLine>, Vec<Mark>);

/// Looks at the weather for what is taken, and adds this treatment to the years on record.
pub fn look(
    book: &Knowledge,
    beside: Beside,
    request: &Request,
    taken: Option<&Treatable>,
    lawn: &Lawn,
    date: Date,
) -> Result<Looked, TreatmentError> {
    let hours = match (&beside.forecast, taken) {
        (Some(weather), Some(option)) => {
            Some(hours(book, weather, request, &option.actives, lawn, date)?)
        }
        _ => None,
    };
    let season = beside
        .weather
        .as_ref()
        .map(|weather| season(book, weather, &request.weeds, date));
    let mut used = beside.used;
    if let Some(option) = taken.filter(|_| beside.history.is_some()) {
        used.push(Mark {
            year: date.year(),
            month: request.month.unwrap_or_default(),
            groups: option.groups.clone(),
            planned: true,
        });
    }
    Ok((hours, season, used))
}

/// The hours of a forecast for what is taken.
pub fn hours(
    book: &Knowledge,
    weather: &Weather,
    request: &Request,
    actives: &[String],
    lawn: &Lawn,
    from: Date,
) -> Result<HoursLine, TreatmentError> {
    let wrong = |why: String| TreatmentError::Weather {
        of: "forecast",
        file: weather.name.clone(),
        why,
    };
    let spot = lawn
        .position
        .as_deref()
        .map(str::parse::<Spot>)
        .transpose()
        .map_err(|why| TreatmentError::Position { why })?;
    let ask = hours::Ask {
        actives: actives.to_vec(),
        turf: request.turf.clone(),
        stage: request.stage.clone(),
        form: form(book, lawn, actives)?,
        spot,
        ..hours::Ask::default()
    };
    let mut judged = hours::judge(book, &weather.table, &ask).map_err(|e| wrong(format!("{e}")))?;
    // Hours before the visit help to judge the later ones and are of no use themselves.
    judged.hours.retain(|h| h.at.date() >= from);
    judged.runs.retain(|r| r.from.date() >= from);
    if judged.hours.is_empty() {
        let end = weather.table.rows.last().map(|r| r.at.date().to_string());
        return Err(wrong(format!(
            "it ends on {} and the visit is on {from}; get a forecast that covers the day",
            end.unwrap_or_default()
        )));
    }
    let mut limits: BTreeMap<&str, LimitLine> = BTreeMap::new();
    for reason in judged.hours.iter().flat_map(|h| &h.reasons) {
        let Some(evidence) = reason.evidence else {
            continue;
        };
        let limit = limits.entry(&reason.from).or_insert_with(|| LimitLine {
            hours: 0,
            fitness: reason.fitness,
            fact: Fact {
                text: reason.text.clone(),
                evidence,
                sources: reason.sources.clone(),
            },
        });
        limit.hours += 1;
        limit.fitness = limit.fitness.max(reason.fitness);
    }
    let mut limits: Vec<LimitLine> = limits.into_values().collect();
    limits.sort_by_key(|l| (std::cmp::Reverse(l.fitness), std::cmp::Reverse(l.hours)));
    Ok(HoursLine {
        file: weather.name.clone(),
        sun_known: spot.is_some(),
        limits,
        findings: weather.table.findings.clone(),
        hours: judged,
    })
}

/// How the product that holds the actives is put out: spread where the shelf has it as a granule, else sprayed.
fn form(book: &Knowledge, lawn: &Lawn, actives: &[String]) -> Result<Form, TreatmentError> {
    for product in &lawn.shelf {
        let label = label(book.mixing.as_ref(), product)?;
        let holds = product
            .actives
            .iter()
            .filter_map(|a| book.find(Kind::Active, &a.active).ok())
            .any(|id| actives.contains(&id));
        if holds && label.is_spread() {
            return Ok(Form::Granule);
        }
    }
    Ok(Form::Spray)
}

/// The season of these weeds.
pub fn season(book: &Knowledge, weather: &Weather, weeds: &[String], today: Date) -> SeasonLine {
    let (days, more) = days(&weather.table);
    let ask = windows::Ask {
        weeds: weeds.to_vec(),
        today,
        start: None,
        method: None,
    };
    let mut windows = windows::windows(book, &days, &ask);
    // Windows of no weed in particular belong to a year's plan, not to a note about these plants.
    windows.retain(|w| !w.weeds.is_empty());
    let curve = windows::curve(book, &days, &ask).map(|(count, days)| {
        let unit = if count.fahrenheit { "F" } else { "C" };
        Curve {
            title: format!(
                "Degree days since {} (base {} {unit}, {})",
                count.start.strftime("%-d %B"),
                count.base,
                count.method.id()
            ),
            unit,
            days,
        }
    });
    let mut findings = weather.table.findings.clone();
    findings.extend(more);
    SeasonLine {
        file: weather.name.clone(),
        windows,
        curve,
        findings,
    }
}
