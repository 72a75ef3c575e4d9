//! The two tables of an active: how grasses stand it, and which weeds it controls.
use super::common::{Number, Sources};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// When a treatment works: before the weed comes up, soon after, or on the grown plant.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Timing {
    /// Before the weed comes up.
    Pre,
    /// On young plants soon after they come up.
    EarlyPost,
    /// On the grown plant.
    Post,
}

impl Timing {
    /// When a treatment is used, in words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Pre => "before it comes up",
            Self::EarlyPost => "while it is young",
            Self::Post => "on the grown plant",
        }
    }
}

/// How a grass stands a treatment. Ordered from the most lenient to the most cautious.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Tolerance {
    /// No or passing injury.
    Tolerant,
    /// Injury that it grows out of, or safe under conditions only.
    Intermediate,
    /// Lasting injury.
    Sensitive,
    /// Labels do not name this grass.
    NotRegistered,
}

/// How well a weed is controlled. Ordered from the most cautious to the best.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Control {
    /// No effect.
    None,
    /// Under 70 percent.
    Poor,
    /// 70 to 89 percent.
    Fair,
    /// 90 percent and more.
    Good,
}

/// How sure an independent recollection was of itself.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Confidence {
    /// A weak vote.
    Low,
    /// A vote.
    Medium,
    /// A firm vote.
    High,
}

/// One statement of how a grass stands an active. Statements that disagree stand side by side.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ToleranceRow {
    /// Id of the grass.
    pub turf: String,
    /// Id of the stage of the grass (`stages.yaml`).
    pub stage: String,
    /// The rating.
    pub rating: Tolerance,
    /// Limits under which the rating holds.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub condition: Option<String>,
    /// Months in which alone the rating holds, 1 to 12, where the statement names them; empty: no such limit.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[serde(deserialize_with = "super::common::whole_list")]
    pub months: Vec<u8>,
    /// Lowest air temperature at which the rating holds, degrees Fahrenheit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub above_f: Option<Number>,
    /// Highest air temperature at which the rating holds, degrees Fahrenheit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub below_f: Option<Number>,
    /// How sure an independent recollection was; only beside such a source.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub confidence: Option<Confidence>,
    /// What it rests on.
    pub source: Sources,
}

impl ToleranceRow {
    /// Whether the rating holds in this month.
    #[must_use]
    pub fn holds_in(&self, month: u8) -> bool {
        self.months.is_empty() || self.months.contains(&month)
    }
}

/// One statement of how well an active controls a weed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ControlRow {
    /// Id of the weed.
    pub weed: String,
    /// When it is applied.
    pub timing: Timing,
    /// The rating.
    pub rating: Control,
    /// The source lists the weed as controlled without a grade; `rating` is then `fair` for "fair or better".
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    #[serde(deserialize_with = "super::common::truth")]
    pub ungraded: bool,
    /// The statement says that one treatment is not enough, or was found with several.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    #[serde(deserialize_with = "super::common::truth")]
    pub again: bool,
    /// Limits under which the rating holds; the source's own figure or letter.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub condition: Option<String>,
    /// How sure an independent recollection was; only beside such a source.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub confidence: Option<Confidence>,
    /// What it rests on.
    pub source: Sources,
}
