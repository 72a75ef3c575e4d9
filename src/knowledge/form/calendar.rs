//! `weather.yaml` and `timing.yaml`: rules of the weather, degree days, events of the year.
use super::common::{Figure, Many, Months, Number, Remark, Sources};
use super::season::WeatherLimit;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// `weather.yaml`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Weather {
    /// Sentences; `about` is `wind`, `temperature`, `inversion`, `delta-t`, `wet-bulb`, `humidity`, `dew`, `rain`, `soil-moisture`, `mowing`, `re-entry`.
    pub rules: Vec<Remark>,
    /// The same as figures that an hour of a forecast is judged by.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub limits: Vec<WeatherLimit>,
}

/// Degree days at which something happens.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DegreeDays {
    /// From, where given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub from: Option<Number>,
    /// To, where given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub to: Option<Number>,
    /// Base temperature; missing where the source does not show it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub base: Option<Number>,
    /// `F` or `C`.
    pub unit: String,
    /// Way of reckoning (`simple`).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub method: Option<String>,
    /// Day on which the count starts, in words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub start: Option<String>,
    /// Where temperature is measured (`air`, `soil 2.5 cm`).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sensor: Option<String>,
}

/// An event in the year of a weed or a treatment.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Event {
    /// Id.
    pub id: String,
    /// What happens.
    pub event: String,
    /// Weeds it is about.
    #[serde(default, skip_serializing_if = "Many::is_empty")]
    pub weeds: Many,
    /// Degree days.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub degree_days: Option<DegreeDays>,
    /// Soil temperature, degrees Fahrenheit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub soil_f: Option<super::common::Range>,
    /// Days in a row for which the soil must be that warm; missing where the source does not say.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub soil_days: Option<super::common::Range>,
    /// Months.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub months: Option<Months>,
    /// In words.
    pub text: String,
    /// Notes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
    /// What it rests on.
    pub source: Sources,
}

/// `timing.yaml`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TimingList {
    /// Events.
    pub events: Vec<Event>,
    /// Splitting and repeating treatments.
    pub splits: Vec<Remark>,
    /// Weeks from the first to the second half of a split treatment before emergence.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub split_weeks: Option<Figure>,
    /// Ways of reckoning degree days.
    pub methods: Vec<Remark>,
}
