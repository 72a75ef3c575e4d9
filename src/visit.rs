//! A visit to a lawn: everything that the user said, as it is kept in an answers file.
//!
//! The file is plain YAML that can be written by hand, replayed (`ligule treat --answers FILE`) and resumed: what is
//! missing is asked for.
use crate::choose::Applicator;
use crate::knowledge::form::common::Many;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// The answers file.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Visit {
    /// Day of the visit, `2026-05-10`; the day of the run where it is missing.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub date: Option<Date>,
    /// The lawn.
    #[serde(default)]
    pub lawn: Lawn,
    /// The plants that were found.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub plants: Vec<Plant>,
    /// The option taken: the ids of its actives, or the single word `none` for no chemical. The first option where it is missing.
    #[serde(default, skip_serializing_if = "Many::is_empty")]
    pub choose: Many,
    /// Anything to be printed on the note.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub remarks: Option<String>,
}

/// The lawn and its surroundings. Names are ids, names or aliases of the book.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Lawn {
    /// What the user calls it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// The grass or grasses.
    #[serde(default, skip_serializing_if = "Many::is_empty")]
    pub grass: Many,
    /// Stage of the grass.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stage: Option<String>,
    /// Area as the user writes it, printed as it is.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub area: Option<String>,
    /// The place whose law counts.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub place: Option<String>,
    /// Region for the chance of meeting a plant.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub region: Option<String>,
    /// Who applies.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub applicator: Option<Applicator>,
    /// What is near: situations of the site. `none` for nothing, so that it is not asked again.
    #[serde(default, skip_serializing_if = "Many::is_empty")]
    pub near: Many,
    /// Air temperature with its unit, `72F` or `22C`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub air_temperature: Option<String>,
}

/// One plant: named, or described by what was seen.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Plant {
    /// The weed, where the user knows it or settled on it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub weed: Option<String>,
    /// Trait to state; several states mean "either". A number is written in quotes or plainly.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub observed: BTreeMap<String, Many>,
    /// Traits that were asked about and could not be answered.
    #[serde(default, skip_serializing_if = "Many::is_empty")]
    pub unsure: Many,
}
