//! `actives/*.yaml`, `mixtures.yaml` and `groups.yaml`: classes of treatment and what they do on weeds and grasses.
use super::common::{Figure, Many, Number, Range, Remark, Sources, Words};
pub use super::rating::{Confidence, Control, ControlRow, Timing, Tolerance, ToleranceRow};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// Adjuvant advice for an active.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Adjuvant {
    /// `required`, `optional`, `none`, `avoid` or `see label`.
    pub need: String,
    /// Which adjuvant.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub which: Option<String>,
    /// Percent of the spray volume.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub percent_v_v: Option<Range>,
    /// Grasses on which it must not be added.
    #[serde(default, skip_serializing_if = "Many::is_empty")]
    pub avoid_on: Many,
    /// Why, and what to mind.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
    /// What it rests on.
    pub source: Sources,
}

/// Water needed to move a treatment into the soil.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WaterIn {
    /// Inches of water.
    pub inches: Range,
    /// Within how many days.
    pub within_days: Number,
    /// A limit or explanation.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
    /// What it rests on.
    pub source: Sources,
}

/// Air temperatures between which an active is used, degrees Fahrenheit.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AirTemperature {
    /// Lowest.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub above_f: Option<Number>,
    /// Highest.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub below_f: Option<Number>,
    /// A limit or explanation.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
    /// What it rests on.
    pub source: Sources,
}

/// Days without mowing before and after a treatment.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct MowingHold {
    /// Days before.
    pub before_days: Number,
    /// Days after.
    pub after_days: Number,
    /// What it rests on.
    pub source: Sources,
}

/// How old the grass must be.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TurfAge {
    /// Mowings since seeding.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mowings: Option<Number>,
    /// Weeks since seeding.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub weeks_after_seeding: Option<Number>,
    /// In words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
    /// What it rests on.
    pub source: Sources,
}

/// Published or recalled bounds of a field dose: they catch slips and are never a recommendation.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DoseBounds {
    /// Pounds per acre.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lb_per_acre: Option<Range>,
    /// Grams per hectare.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub g_per_ha: Option<Range>,
    /// `ai` (active ingredient) or `ae` (acid equivalent).
    pub basis: String,
    /// `sourced`, `mixed`, `memory`, `low` or `none`: how the bounds were found.
    pub confidence: String,
    /// In words, and bounds in other units.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
    /// What they rest on.
    pub source: Sources,
}

/// A dose that was read in a source.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DoseRead {
    /// Grams per hectare.
    pub g_per_ha: Range,
    /// `use` (a field dose) or `research` (a trial dose that may lie outside the bounds).
    pub kind: String,
    /// Where it was read.
    pub source: Sources,
}

/// Where an active may be had at all.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Availability {
    /// Withdrawn or suspended: never offered.
    Withdrawn,
    /// Not for home lawns (golf, sod or similar sites only): offered to nobody on a home lawn.
    NotOnHomeLawns,
    /// Only for certified or licensed people: not offered to a home owner.
    LicensedOnly,
    /// Restrictions that have to be asked about.
    Restricted,
}

/// A restriction on having or using an active.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Restriction {
    /// What it means for the choice.
    pub is: Availability,
    /// In words.
    pub text: String,
    /// What it rests on.
    pub source: Sources,
}

/// The site-of-action group of an active.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct GroupOf {
    /// HRAC/WSSA group number; 0 for unknown or unclassified.
    #[serde(deserialize_with = "super::common::whole")]
    pub is: u16,
    /// Older numbers and letters, and doubts.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
    /// What it rests on.
    pub source: Sources,
}

/// One file of `actives/`; the file's name is the id.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Active {
    /// ISO common name as written.
    pub name: String,
    /// Other spellings and names that people type.
    #[serde(default, skip_serializing_if = "Many::is_empty")]
    pub aliases: Many,
    /// Site-of-action group.
    pub group: GroupOf,
    /// When it works.
    pub timing: TimingOf,
    /// Kinds of weed (`broadleaf`, `grass`, `sedge`, `non-selective`, `moss`).
    pub spectrum: Words,
    /// Chemical family.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub chemical_family: Option<Words>,
    /// Salts and esters.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub forms: Option<Words>,
    /// `foliar`, `root` or both.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub uptake: Option<Words>,
    /// `systemic`, `contact` or `local`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mobility: Option<Words>,
    /// Days until something is seen.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub first_signs_days: Option<Figure>,
    /// Days until the effect is complete.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub full_effect_days: Option<Figure>,
    /// Hours that must stay dry.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rain_free_hours: Option<Figure>,
    /// Adjuvant advice, one row a source.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub adjuvant: Vec<Adjuvant>,
    /// Watering in.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub water_in: Option<WaterIn>,
    /// Air temperature.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub air_temperature: Option<AirTemperature>,
    /// Mowing.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mowing_hold: Option<MowingHold>,
    /// Age of the grass.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub turf_age: Option<TurfAge>,
    /// Weeks between treatment and seeding.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub seeding_wait_weeks: Option<Figure>,
    /// Days between two treatments.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub repeat_interval_days: Option<Figure>,
    /// Bounds of a field dose.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub dose_bounds: Option<DoseBounds>,
    /// Doses read in sources.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub doses_read: Vec<DoseRead>,
    /// Most in a year, pounds per acre.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub yearly_max_lb_per_acre: Option<Figure>,
    /// How easily it moves in soil.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub soil_mobility: Option<Words>,
    /// How easily it turns to vapour.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub volatility: Option<Words>,
    /// Cautions: `about` is one of `groundwater`, `drift`, `tree-roots`, `clippings`, `signal-word`.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub cautions: Vec<Remark>,
    /// Restrictions on having or using it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub restrictions: Vec<Restriction>,
    /// Anything else.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub notes: Vec<Remark>,
    /// How grasses stand it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub turf: Vec<ToleranceRow>,
    /// Which weeds it controls.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub controls: Vec<ControlRow>,
}

/// When an active works, with what that rests on.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TimingOf {
    /// The timings.
    pub is: Vec<Timing>,
    /// What it rests on.
    pub source: Sources,
}

/// Actives that are sold or were tried together (`mixtures.yaml`).
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Mixture {
    /// Ids of the actives joined by `+`, in alphabetical order.
    pub id: String,
    /// Ids of the actives.
    pub actives: Vec<String>,
    /// Whether it is commonly sold as one product.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sold_together: Option<Words>,
    /// What it is used against.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub target: Option<String>,
    /// Relative proportions of the actives by weight, active id to share.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub proportions: BTreeMap<String, Number>,
    /// What the proportions are (`memory`, "g/ha in one trial").
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub proportion_basis: Option<String>,
    /// Remarks.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub notes: Vec<Remark>,
    /// How grasses stand the mixture.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub turf: Vec<ToleranceRow>,
    /// Which weeds the mixture controls.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub controls: Vec<ControlRow>,
}

/// One site-of-action group (`groups.yaml`).
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Group {
    /// HRAC/WSSA number; 0 for unknown or unclassified.
    #[serde(deserialize_with = "super::common::whole")]
    pub number: u16,
    /// The letter used before 2020.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub former_letter: Option<String>,
    /// What it stops in the plant.
    pub site_of_action: String,
    /// What is seen on a treated weed.
    pub symptoms: String,
    /// Days until something is seen.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub first_signs_days: Option<Range>,
    /// Days until the effect is complete.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub full_effect_days: Option<Range>,
    /// `used`, `rare` or `none` on lawns.
    pub on_turf: String,
    /// What number, site of action and symptoms rest on.
    pub source: Sources,
    /// How easily weeds become resistant.
    pub resistance_risk: Words,
    /// Remarks.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub notes: Vec<Remark>,
}
