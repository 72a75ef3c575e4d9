//! The shared lists: the book's own description, stages of the grass, cautions, mixing, weather, timing, resistance, care.
use super::active::{Group, Mixture};
use super::common::{Figure, Many, Months, Number, Remark, Sources};
use super::place::Severity;
use super::plant::Trait;
pub use super::season::{
    GroupRisk, ModelValue, OtherCause, RotationCost, WeatherLimit, WithinFamily,
};
use super::source::Source;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// `book.yaml`: what this knowledge is, and which traits play a special part.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Book {
    /// Title.
    pub title: String,
    /// Version of the knowledge.
    pub version: String,
    /// What a taxon is called ("weed"); used in sentences.
    #[serde(default = "Book::plant_word")]
    pub taxon_word: String,
    /// Where to take a plant that the book does not know.
    #[serde(default)]
    pub ask: String,
    /// The trait whose states split the taxa into kinds; unknown values are filled from the kind.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub kind_trait: Option<String>,
    /// Gaps that are known.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub gaps: Vec<String>,
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
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
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
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
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
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
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
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
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

/// One side of an interaction: actives, whole groups, and partners that are no actives of the book.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
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
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
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
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
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
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
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
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
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
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum WaterMeasure {
    /// pH.
    Ph,
    /// Hardness, parts per million as calcium carbonate.
    HardnessPpm,
}

/// A note on spray water that holds from or below a measured figure.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
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
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
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
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
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

/// `weather.yaml`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Weather {
    /// Sentences; `about` is `wind`, `temperature`, `inversion`, `delta-t`, `wet-bulb`, `humidity`, `dew`, `rain`, `soil-moisture`, `mowing`, `re-entry`.
    pub rules: Vec<Remark>,
    /// The same as figures that an hour of a forecast is judged by.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub limits: Vec<WeatherLimit>,
}

/// Degree days at which something happens.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
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
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
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
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
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

/// A case of resistance that was found or suspected.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ResistanceCase {
    /// Ids of the weeds of the book.
    #[serde(default, skip_serializing_if = "Many::is_empty")]
    pub weeds: Many,
    /// The weed as the source names it.
    pub plant: String,
    /// Group numbers.
    #[serde(deserialize_with = "super::common::whole_list")]
    pub groups: Vec<u16>,
    /// Ids of actives of the book.
    #[serde(default, skip_serializing_if = "Many::is_empty")]
    pub actives: Many,
    /// Actives as the source words them.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub words: Option<String>,
    /// Where.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub place: Option<String>,
    /// `turf` or `elsewhere`.
    pub setting: String,
    /// Kind of site.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub site: Option<String>,
    /// Year as printed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub year: Option<String>,
    /// `confirmed`, `reported`, `suspected`, `none found`, ...
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub status: Option<String>,
    /// Figures.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub detail: Option<String>,
    /// What still worked.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub still_works: Option<String>,
    /// What failed too.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fails_too: Option<String>,
    /// What it rests on.
    pub source: Sources,
}

/// `resistance.yaml`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Resistance {
    /// Cases.
    pub cases: Vec<ResistanceCase>,
    /// Cross-resistance within and across groups.
    pub cross: Vec<Remark>,
    /// Rankings of groups by risk.
    pub ranking: Vec<Remark>,
    /// What to do so that resistance does not build up.
    pub guidance: Vec<Remark>,
    /// What to rule out before suspecting resistance.
    pub signs: Vec<Remark>,
    /// Published outcomes of models and trials.
    pub outcomes: Vec<Remark>,
    /// Equations of the models.
    pub models: Vec<Remark>,
    /// What a plan over occasions pays for, in points.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub costs: Vec<RotationCost>,
    /// How easily weeds become resistant to a group.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub risks: Vec<GroupRisk>,
    /// Cases in which resistance stayed inside one chemical family of a group.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub within_family: Vec<WithinFamily>,
    /// Questions to answer before resistance is suspected, the likeliest other cause first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub other_causes: Vec<OtherCause>,
    /// Starting values of the population model.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub model_values: Vec<ModelValue>,
    /// Known gaps.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub gaps: Vec<String>,
}

/// `care.yaml`: what holds for lawn weeds in general.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
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
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
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
