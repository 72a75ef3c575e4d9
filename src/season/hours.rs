//! Hours fit for treating, from an hourly forecast: every hour with a verdict and its reasons.
//!
//! The limits stand in `weather.yaml` and with each active; a figure of the label takes the place of both. What the
//! forecast does not tell is not taken for good.
use super::judge::Judge;
use super::sun::Spot;
use super::table::{Step, Table};
use crate::knowledge::Knowledge;
use crate::knowledge::form::lists::WeatherLimit;
use crate::knowledge::form::season::Measure;
use crate::knowledge::form::source::Evidence;
use jiff::civil::{Date, DateTime};
use serde::Serialize;

/// How the product is put out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Form {
    /// Sprayed.
    #[default]
    Spray,
    /// Strewn.
    Granule,
}

/// Figures of the label in hand. Each takes the place of the figures of the knowledge.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Label {
    /// Highest wind, metres a second.
    pub wind: Option<f64>,
    /// Hours that must stay dry.
    pub rain_free_hours: Option<f64>,
    /// Highest air temperature, Celsius.
    pub hottest_c: Option<f64>,
    /// Lowest air temperature, Celsius.
    pub coldest_c: Option<f64>,
}

/// What is asked.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Ask {
    /// Ids of the actives.
    pub actives: Vec<String>,
    /// Ids of the grasses of the lawn.
    pub turf: Vec<String>,
    /// Stage of the grass (id); conditions of other stages are not told.
    pub stage: String,
    /// How the product is put out.
    pub form: Form,
    /// Where the lawn is; without it nothing is known of sunrise and sunset.
    pub spot: Option<Spot>,
    /// Hours east of universal time, where the file states no offset.
    pub offset_hours: Option<f64>,
    /// Days on which the lawn was or will be mown.
    pub mowing: Vec<Date>,
    /// Times at which the lawn was or will be watered.
    pub irrigation: Vec<DateTime>,
    /// Figures of the label.
    pub label: Label,
}

/// What an hour is good for, from the best to the worst.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Fitness {
    /// Fit, and one of the hours to prefer.
    Best,
    /// Fit.
    Fit,
    /// Fit with care.
    Care,
    /// Something that has to be known is not.
    NotKnown,
    /// Not fit.
    Stop,
}

impl Fitness {
    /// In words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Best => "best",
            Self::Fit => "fit",
            Self::Care => "care",
            Self::NotKnown => "not known",
            Self::Stop => "do not treat",
        }
    }
}

/// Why an hour is not simply fit.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Reason {
    /// What this alone would make of the hour.
    pub fitness: Fitness,
    /// One clause.
    pub text: String,
    /// Id of the limit, or of the active whose figure it is; `label` for the label in hand.
    pub from: String,
    /// Kind of evidence; none for the label and for what is not known.
    pub evidence: Option<Evidence>,
    /// Ids of sources.
    pub sources: Vec<String>,
}

/// An hour with its verdict.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Hour {
    /// Local time of its beginning.
    pub at: DateTime,
    /// The verdict.
    pub fitness: Fitness,
    /// The worst reasons first.
    pub reasons: Vec<Reason>,
    /// Air temperature, Celsius.
    pub temperature_c: Option<f64>,
    /// Wind, metres a second.
    pub wind_ms: Option<f64>,
    /// Dry minus wet bulb, Celsius.
    pub delta_t_c: Option<f64>,
    /// Dew point, Celsius.
    pub dew_point_c: Option<f64>,
}

/// Hours in a row that are fit.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Run {
    /// First hour.
    pub from: DateTime,
    /// Beginning of the last hour.
    pub to: DateTime,
    /// Number of hours.
    pub hours: usize,
    /// How many of them are to be preferred.
    pub best: usize,
}

/// The whole answer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Hours {
    /// Every hour of the forecast.
    pub hours: Vec<Hour>,
    /// Runs of fit hours, those with most of the best hours first.
    pub runs: Vec<Run>,
    /// What holds for all hours: what was not told, and what to do before and after.
    pub notes: Vec<String>,
}

/// Why no hours can be judged.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum HoursError {
    /// The file has days.
    #[error("hours are judged from an hourly forecast; this file has one row a day")]
    Daily,
    /// An active is not in the book.
    #[error("the book has no active called `{0}`")]
    Active(String),
    /// The book has no limits.
    #[error("this knowledge has no `limits` in weather.yaml, so no hour can be called fit")]
    NoLimits,
    /// A limit has a unit that its measure cannot have.
    #[error(
        "the limit {0} in weather.yaml has the unit `{1}`, which does not fit what it measures"
    )]
    Unit(String, String),
}

/// Judges every hour of a forecast.
///
/// # Errors
/// The forecast is not hourly, an active is not known, or the knowledge has no usable limits.
pub fn judge(book: &Knowledge, table: &Table, ask: &Ask) -> Result<Hours, HoursError> {
    if table.step != Step::Hourly {
        return Err(HoursError::Daily);
    }
    if let Some(unknown) = ask
        .actives
        .iter()
        .find(|id| !book.actives.contains_key(*id))
    {
        return Err(HoursError::Active(unknown.clone()));
    }
    let limits: Vec<&WeatherLimit> = book
        .weather
        .iter()
        .flat_map(|w| &w.limits)
        .filter(|l| applies(book, l, ask))
        .collect();
    if limits.is_empty() {
        return Err(HoursError::NoLimits);
    }
    for limit in &limits {
        if super::judge::unit_of(limit).is_none() {
            return Err(HoursError::Unit(limit.id.clone(), limit.unit.clone()));
        }
    }
    let judge = Judge::new(book, table, ask, limits);
    let hours: Vec<Hour> = (0..table.rows.len()).map(|i| judge.hour(i)).collect();
    Ok(Hours {
        runs: runs(&hours, table),
        notes: judge.notes(),
        hours,
    })
}

/// Whether a limit is about these actives and this way of treating.
fn applies(book: &Knowledge, limit: &WeatherLimit, ask: &Ask) -> bool {
    let granule = ask.form == Form::Granule
        && matches!(
            limit.measure,
            // Granules neither drift as droplets nor dry off; wet leaves are wanted, see `notes`.
            Measure::DeltaT
                | Measure::BeforeSunset
                | Measure::AfterSunrise
                | Measure::InversionCloud
                | Measure::InversionWind
                | Measure::DewSpread
        );
    let kind = limit.spectrum.is_empty()
        || ask.actives.is_empty()
        || ask
            .actives
            .iter()
            .filter_map(|id| book.actives.get(id))
            .any(|a| a.spectrum.is.iter().any(|s| limit.spectrum.contains(s)));
    let grass = limit.turf.is_empty() || limit.turf.iter().any(|t| ask.turf.contains(t));
    !granule && kind && grass
}

fn runs(hours: &[Hour], table: &Table) -> Vec<Run> {
    let mut runs: Vec<Run> = Vec::new();
    let mut last = None;
    for (index, hour) in hours.iter().enumerate() {
        if hour.fitness > Fitness::Fit {
            continue;
        }
        let best = usize::from(hour.fitness == Fitness::Best);
        let next = last.is_some_and(|l: usize| {
            l + 1 == index && table.rows[index].seconds() - table.rows[l].seconds() == 3600
        });
        match runs.last_mut().filter(|_| next) {
            Some(run) => {
                run.to = hour.at;
                run.hours += 1;
                run.best += best;
            }
            None => runs.push(Run {
                from: hour.at,
                to: hour.at,
                hours: 1,
                best,
            }),
        }
        last = Some(index);
    }
    runs.sort_by_key(|r| {
        (
            std::cmp::Reverse(r.best),
            std::cmp::Reverse(r.hours),
            r.from,
        )
    });
    runs
}
