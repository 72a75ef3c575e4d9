//! The shared lists: the book's own description, stages of the grass, situations and cautions, care, fields of the record.
use super::active::{Group, Mixture};
pub use super::calendar::{DegreeDays, Event, TimingList, Weather};
use super::common::{Figure, Many, Remark, Sources};
pub use super::mixing::{
    Effect, Formulation, Interaction, IonSum, Mixing, MixingStep, Side, WaterLimit, WaterMeasure,
};
use super::place::Severity;
use super::plant::Trait;
pub use super::resistance::{Resistance, ResistanceCase};
pub use super::season::{
    GroupRisk, ModelValue, OtherCause, RotationCost, WeatherLimit, WithinFamily,
};
use super::source::Source;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// `book.yaml`: what this knowledge is, and which traits play a special part.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Book {
    /// Title.
    pub title: String,
    /// Version of the knowledge.
    pub version: String,
    /// What one of the book's taxa is called in sentences ("plant", "button").
    #[serde(default = "Book::plant_word")]
    pub taxon_word: String,
    /// The same of several; the word with an s where it is not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub taxon_words: Option<String>,
    /// Where to take a plant that the book does not know; nothing for a book whose readers have nobody to ask.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub ask: String,
    /// The trait whose states split the taxa into kinds; unknown values are filled from the kind.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub kind_trait: Option<String>,
    /// What can hurt somebody who sees this or that, whatever plant it turns out to be.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub beware: Vec<Beware>,
    /// Gaps that are known.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub gaps: Vec<String>,
}

/// A danger that shows in what is seen, such as a poisonous plant that the book does not hold.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Beware {
    /// It is told once one of the named states was reported of each of these traits: trait id to states.
    pub answered: BTreeMap<String, Many>,
    /// What to look out for and what not to do.
    pub text: String,
    /// What it rests on.
    pub source: Sources,
}

impl Book {
    fn plant_word() -> String {
        "plant".to_owned()
    }
}

/// `traits.yaml`.
pub type Traits = Vec<Trait>;

/// `sources.yaml`: id to source.
pub type SourceList = BTreeMap<String, Source>;

/// `groups.yaml`.
pub type Groups = Vec<Group>;

/// `mixtures.yaml`.
pub type Mixtures = Vec<Mixture>;

/// One entry of `stages.yaml`: a stage of the grass. Tolerance never carries over from one stage to another.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Stage {
    /// Id (`seedling`).
    pub id: String,
    /// Name to show.
    pub name: String,
    /// Other spellings that people type.
    #[serde(default, skip_serializing_if = "Many::is_empty")]
    pub aliases: Many,
    /// Whether grass at this stage is new: limits on its age then have to be known to be kept.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    #[serde(deserialize_with = "super::common::truth")]
    pub young: bool,
    /// Weeks since seeding or sodding, first and last, before which grass cannot be at this stage.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub least_weeks: Option<Figure>,
    /// How to tell it.
    pub help: String,
}

/// When a caution is shown: any of the actives or groups (if some are named) and any of the situations (if some are named).
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct When {
    /// Ids of actives.
    #[serde(default, skip_serializing_if = "Many::is_empty")]
    pub actives: Many,
    /// Group numbers.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[serde(deserialize_with = "super::common::whole_list")]
    pub groups: Vec<u16>,
    /// Situations (ids of `situations.yaml`); `always` for every treatment.
    #[serde(default, skip_serializing_if = "Many::is_empty")]
    pub situations: Many,
}

/// One entry of `cautions.yaml`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Caution {
    /// Id.
    pub id: String,
    /// What it is about (`label`, `protection`, `first aid`, `water`).
    pub about: String,
    /// The sentence.
    pub text: String,
    /// When it is shown.
    pub when: When,
    /// How much it weighs.
    pub severity: Severity,
    /// Whether the choice leaves the named actives or groups out in this situation.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    #[serde(deserialize_with = "super::common::truth")]
    pub forbids: bool,
    /// Exceptions, conflicts between sources, scope.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
    /// What it rests on.
    pub source: Sources,
}

/// One entry of `situations.yaml`: something about the place or the job that cautions turn on.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Situation {
    /// Id (`near-water`).
    pub id: String,
    /// Other spellings (`water`).
    #[serde(default, skip_serializing_if = "Many::is_empty")]
    pub aliases: Many,
    /// What the cautions of single actives are about that count here (`groundwater`, `tree-roots`).
    #[serde(default, skip_serializing_if = "Many::is_empty")]
    pub touches: Many,
    /// The question put to the user; missing where the tool knows by itself.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub question: Option<String>,
    /// Name to show.
    pub name: String,
}

/// `care.yaml`: what holds for lawn weeds in general.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Care {
    /// When to leave weeds alone.
    pub thresholds: Vec<Remark>,
    /// Mowing, feeding, watering.
    pub cultural: Vec<Remark>,
    /// Hand and machine work.
    pub mechanical: Vec<Remark>,
    /// Bees and other visitors of flowers.
    pub pollinators: Vec<Remark>,
    /// Endangered species bulletins.
    pub endangered_species: Vec<Remark>,
    /// Cover of weeds in percent above which a treatment of the whole lawn is worth it, by use of the lawn.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub cover_percent: BTreeMap<String, Figure>,
}

/// One item of `record-fields.yaml`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RecordField {
    /// Id.
    pub id: String,
    /// Name to show.
    pub name: String,
    /// Whether only people who treat for pay have anything to write here.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    #[serde(deserialize_with = "super::common::truth")]
    pub for_hire: bool,
}
