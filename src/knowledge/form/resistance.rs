//! `resistance.yaml`: resistant populations, and what rotation is made of.
use super::common::{Many, Remark, Sources};
use super::season::{GroupRisk, ModelValue, OtherCause, RotationCost, WithinFamily};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A case of resistance that was found or suspected.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
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
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
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
