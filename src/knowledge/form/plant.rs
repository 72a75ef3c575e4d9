//! `traits.yaml`, `weeds/*.yaml` and `turf/*.yaml`: what can be seen on a plant and what each plant shows.
use super::common::{Many, Months, Number, Range, Remark, Sources, Words};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// What an observer has to do to answer a question. Ordered from the least effort.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Effort {
    /// Seen standing up.
    Glance,
    /// Seen on bending down, felt or smelled.
    Close,
    /// Needs a steady hand, a ruler or a hand lens.
    Lens,
    /// The plant must be dug up.
    Dig,
    /// Only seen at some time of the year (flower, seed head, fruit).
    Wait,
}

/// Whether a plant shows one state of a trait or several side by side.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum TraitKind {
    /// One state is seen (a species that varies lists each state that may be the one).
    One,
    /// Several states hold at once (ways of spreading, sites), and naming any of them is right.
    Several,
    /// A measured number.
    Number,
}

/// One entry of `traits.yaml`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Trait {
    /// Id used in weed files and on the command line.
    pub id: String,
    /// The question put to the observer.
    pub question: String,
    /// How to look, in a sentence or two.
    pub help: String,
    /// One state, several, or a number.
    pub kind: TraitKind,
    /// Unit of a number trait (`mm`).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub unit: Option<String>,
    /// Upper ends of the answer classes of a number trait, ascending.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub cuts: Vec<Number>,
    /// What answering takes.
    pub effort: Effort,
    /// Chance that a careful amateur reports a wrong state, 0 to 0.5.
    pub error: Number,
    /// What effort and error rest on.
    pub source: Sources,
    /// Only plants that may show one of these states are asked: trait id to states.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub asked_of: BTreeMap<String, Many>,
    /// The states, in the order in which they are shown. Empty for a number trait.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub states: Vec<State>,
}

/// One state of a trait.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct State {
    /// Id used in weed files and on the command line.
    pub id: String,
    /// What the observer reads; the id itself where this is missing.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub label: Option<String>,
    /// What it looks like, in a sentence.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub help: Option<String>,
    /// States of the same trait that careful amateurs report in its place.
    #[serde(default, skip_serializing_if = "Many::is_empty")]
    pub mistaken_for: Many,
}

/// What one plant shows of one trait. Either states or a range, or `is: na` where the trait cannot apply.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Shows {
    /// States that the plant shows, the most usual first, or `na`.
    #[serde(default, skip_serializing_if = "Many::is_empty")]
    pub is: Many,
    /// States shown now and then, by some plants or at some age.
    #[serde(default, skip_serializing_if = "Many::is_empty")]
    pub sometimes: Many,
    /// How often each state is shown, as counts or shares, where that is known; then `is` and `sometimes` stay empty.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub weights: BTreeMap<String, Number>,
    /// Measured range, for a number trait.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub range: Option<Range>,
    /// What it rests on.
    pub source: Sources,
    /// A limit or explanation.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
}

impl Trait {
    /// Number of answers that can be told apart: states, or classes between the cuts.
    #[must_use]
    pub fn classes(&self) -> usize {
        match self.kind {
            TraitKind::Number => self.cuts.len() + 1,
            TraitKind::One | TraitKind::Several => self.states.len(),
        }
    }
}

impl Shows {
    /// Every state that is ever shown, the most usual first.
    pub fn states(&self) -> impl Iterator<Item = &String> {
        let mut weighed: Vec<(&String, f64)> = self
            .weights
            .iter()
            .map(|(state, weight)| (state, weight.0))
            .filter(|(_, weight)| *weight > 0.0)
            .collect();
        weighed.sort_by(|a, b| b.1.total_cmp(&a.1));
        let weighed = weighed.into_iter().map(|(state, _)| state);
        self.is.iter().chain(self.sometimes.iter()).chain(weighed)
    }
}

/// How often a plant is met beside the others of the book.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Commonness {
    /// Relative weight, such as a count of finds; more than zero.
    pub weight: Number,
    /// What it rests on.
    pub source: Sources,
}

/// When and where a plant is met.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Seen {
    /// How often it is met; all alike where this is missing.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub common: Option<Commonness>,
    /// Months in which it grows visibly.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub growing: Option<Months>,
    /// Months in which it flowers or carries seed heads.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub flowering: Option<Months>,
    /// Months in which most of it comes up from seed, tubers or buds.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub emerging: Option<Months>,
    /// Soil temperature at which it starts to come up, degrees Fahrenheit, lowest and highest onset reported.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub emerging_soil_f: Option<super::common::Figure>,
    /// Regions in which it is common.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub regions: Option<Words>,
    /// How and when it comes up, in words.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub notes: Vec<Remark>,
}

/// Another plant that this one is confused with. Exactly one of `weed`, `turf` and `other` is given.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LookAlike {
    /// Id of a weed in the book.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub weed: Option<String>,
    /// Id of a lawn grass in the book.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub turf: Option<String>,
    /// Name of a plant that has no entry.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub other: Option<String>,
    /// How to tell the two apart.
    pub tell: String,
    /// What it rests on.
    pub source: Sources,
}

/// Whether pulling or digging by hand deals with the plant.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ByHand {
    /// `works`, `works when young` or `poor`.
    pub verdict: String,
    /// Why, and what to mind.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
    /// What it rests on.
    pub source: Sources,
}

/// What helps against a plant without chemicals.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WithoutChemicals {
    /// Pulling and digging.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub by_hand: Option<ByHand>,
    /// Mowing, feeding, watering, drainage: what takes its advantage away.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub cultural: Vec<Remark>,
    /// Hand and machine work.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub mechanical: Vec<Remark>,
    /// When it can stay, and when treating is pointless.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub thresholds: Vec<Remark>,
}

/// One file of `weeds/`; the file's name is the id.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Weed {
    /// Common names, the one to show first.
    pub names: Vec<String>,
    /// Scientific name with or without author.
    pub scientific_name: String,
    /// Older scientific names.
    #[serde(default, skip_serializing_if = "Many::is_empty")]
    pub synonyms: Many,
    /// Botanical family.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub family: Option<String>,
    /// EPPO code (an open coding of plants).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub eppo_code: Option<String>,
    /// What names, family and code rest on.
    pub source: Sources,
    /// What the plant shows: trait id to states or range.
    #[serde(default)]
    pub traits: BTreeMap<String, Shows>,
    /// Telling marks in words.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub marks: Vec<Remark>,
    /// When and where it is met.
    #[serde(default)]
    pub seen: Seen,
    /// What it is confused with.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub look_alikes: Vec<LookAlike>,
    /// How it can hurt people or animals.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub hazards: Vec<Remark>,
    /// What helps without chemicals.
    #[serde(default)]
    pub without_chemicals: WithoutChemicals,
    /// Anything else.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub notes: Vec<Remark>,
}

/// Cool-season or warm-season growth.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Season {
    /// Grows best in spring and autumn.
    Cool,
    /// Grows best in summer and browns in winter.
    Warm,
}

/// One file of `turf/`; the file's name is the id.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Turf {
    /// Common names, the one to show first.
    pub names: Vec<String>,
    /// Scientific name.
    pub scientific_name: String,
    /// Cool-season or warm-season.
    pub season: Season,
    /// What the names and the season rest on.
    pub source: Sources,
    /// The weed that is the same species, where it grows as a weed elsewhere.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub same_species_as: Option<String>,
    /// What the plant shows: trait id to states or range.
    #[serde(default)]
    pub traits: BTreeMap<String, Shows>,
    /// Telling marks in words.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub marks: Vec<Remark>,
    /// What it is confused with.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub confused_with: Vec<Remark>,
    /// Dormancy, green-up, summer stress.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub temperatures: Vec<Remark>,
    /// Mowing height, spread, shade, traffic.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub care: Vec<Remark>,
    /// What to know before treating weeds in it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub weed_control: Vec<Remark>,
    /// What is known of single cultivars.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub cultivars: Vec<Remark>,
}
