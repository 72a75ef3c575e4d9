//! `interactions.yaml` and `mixing.yaml`: what shares a tank, in which order, in which water.
use super::common::{Many, Number, Remark, Sources};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// One side of an interaction: actives, whole groups, and partners that are no actives of the book.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Side {
    /// Ids of actives.
    #[serde(default, skip_serializing_if = "Many::is_empty")]
    pub actives: Many,
    /// Group numbers.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[serde(deserialize_with = "super::common::whole_list")]
    pub groups: Vec<u16>,
    /// Anything else, in words ("hard water", "organophosphate insecticide").
    #[serde(default, skip_serializing_if = "Many::is_empty")]
    pub others: Many,
    /// Whether all the actives named are meant together, not any one of them.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    #[serde(deserialize_with = "super::common::truth")]
    pub together: bool,
    /// The side as the source words it (rates, conditions).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub words: Option<String>,
}

/// What two partners in one tank do to each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Effect {
    /// Control drops.
    Antagonism,
    /// More than expected by Colby's sum, tested.
    Synergy,
    /// Better than alone, not tested against an expectation.
    Enhanced,
    /// As expected.
    Additive,
    /// The grass is hurt more.
    Injury,
    /// The grass is hurt less.
    Safening,
    /// Take care.
    Caution,
    /// Keep apart.
    DoNotMix,
    /// No gain.
    NoBenefit,
}

/// One entry of `interactions.yaml`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Interaction {
    /// One side.
    pub a: Side,
    /// The other side.
    pub b: Side,
    /// What happens.
    pub effect: Effect,
    /// On which weed, in the words of the source.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub seen_on: Option<String>,
    /// Ids of grasses it was seen on; empty where not said.
    #[serde(default, skip_serializing_if = "Many::is_empty")]
    pub turf: Many,
    /// What was found.
    pub text: String,
    /// How to get around it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub remedy: Option<String>,
    /// Control by each partner alone in the same trial, percent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub alone_percent: Option<Vec<Number>>,
    /// Control by both in that trial, percent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub together_percent: Option<Number>,
    /// Where it was found, exceptions, rates.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
    /// What it rests on.
    pub source: Sources,
}

/// A formulation type.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Formulation {
    /// Two-letter code of the international coding system.
    pub code: String,
    /// What it is.
    pub name: String,
    /// Older codes that labels still print.
    #[serde(default, skip_serializing_if = "Many::is_empty")]
    pub also: Many,
    /// Place in the mixing order; missing where it is not sprayed in water.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rank: Option<Number>,
    /// What it rests on.
    pub source: Sources,
}

/// One step of the mixing order.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct MixingStep {
    /// Place in the order.
    pub rank: Number,
    /// What to do.
    pub text: String,
    /// Words in the names of the adjuvants that go in here.
    #[serde(default, skip_serializing_if = "Many::is_empty")]
    pub takes: Many,
    /// Notes and disagreements between sources.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
    /// What it rests on.
    pub source: Sources,
}

/// What is measured of spray water.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum WaterMeasure {
    /// pH.
    Ph,
    /// Hardness, parts per million as calcium carbonate.
    HardnessPpm,
}

/// A note on spray water that holds from or below a measured figure.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WaterLimit {
    /// What is measured.
    pub of: WaterMeasure,
    /// It holds from this figure on.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub from: Option<Number>,
    /// It holds below this figure.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub below: Option<Number>,
    /// Actives it is about; all where none is named.
    #[serde(default, skip_serializing_if = "Many::is_empty")]
    pub actives: Many,
    /// The sentence.
    pub text: String,
    /// A limit, an exception.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
    /// What it rests on.
    pub source: Sources,
}

/// How much ammonium sulfate binds the ions of hard water.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct IonSum {
    /// Pounds in 100 gal for each part per million of an ion.
    pub lb_per_100_gal_per_ppm: BTreeMap<String, Number>,
    /// The sentence.
    pub text: String,
    /// Which part was read.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
    /// What it rests on.
    pub source: Sources,
}

/// `mixing.yaml`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Mixing {
    /// Formulation types.
    pub formulations: Vec<Formulation>,
    /// The default order.
    pub order: Vec<MixingStep>,
    /// Orders as three sources print them.
    pub published_orders: Vec<Remark>,
    /// General rules.
    pub rules: Vec<Remark>,
    /// The jar test: amounts, procedure, signs.
    pub jar_test: Vec<Remark>,
    /// Water quality.
    pub water: Vec<Remark>,
    /// Water quality in figures.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub water_limits: Vec<WaterLimit>,
    /// Ammonium sulfate.
    pub ammonium_sulfate: Vec<Remark>,
    /// Ammonium sulfate against hard water, in figures.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ammonium_sulfate_need: Option<IonSum>,
    /// Rinsing and rinse water.
    pub rinse: Vec<Remark>,
    /// Adjuvants in general.
    pub adjuvants: Vec<Remark>,
    /// How an expected response of two partners is reckoned, and published comparisons.
    pub expected_response: Vec<Remark>,
    /// Calibrating sprayers and spreaders, nozzles, droplets.
    pub calibration: Vec<Remark>,
    /// Measuring areas.
    pub area: Vec<Remark>,
}
