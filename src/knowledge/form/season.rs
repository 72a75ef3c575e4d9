//! Figures that hours of weather are judged by, and that plans over years pay for: parts of `weather.yaml` and `resistance.yaml`.
use super::common::{Many, Number, Sources};
use serde::{Deserialize, Serialize};

/// What a limit of the weather looks at. The name of each tells the quantity, `WeatherLimit::unit` the unit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Measure {
    /// Mean wind of the hour.
    Wind,
    /// Gusts of the hour.
    Gust,
    /// Air temperature of the hour.
    Temperature,
    /// Highest air temperature in the 24 hours that follow.
    TemperatureAhead,
    /// Dry bulb minus wet bulb.
    DeltaT,
    /// Time until sunset.
    BeforeSunset,
    /// Time since sunrise.
    AfterSunrise,
    /// Cloud cover that speaks for an inversion when the wind is calm.
    InversionCloud,
    /// Wind that speaks for an inversion.
    InversionWind,
    /// Air temperature minus dew point: small where leaves are wet with dew.
    DewSpread,
    /// Amount of rain that counts as rain.
    RainAmount,
    /// Chance of rain that counts as rain.
    RainChance,
    /// Time until the next rain.
    BeforeRain,
    /// Time until the next irrigation.
    BeforeIrrigation,
    /// Time since the last rain or irrigation.
    SinceWater,
    /// Time since the last mowing.
    SinceMowing,
    /// Time until the next mowing.
    BeforeMowing,
}

impl Measure {
    /// Units that a limit of this measure may be written in.
    #[must_use]
    pub fn units(self) -> &'static [&'static str] {
        match self {
            Self::Wind | Self::Gust | Self::InversionWind => &["mph", "km/h", "m/s", "kn"],
            Self::Temperature | Self::TemperatureAhead | Self::DeltaT | Self::DewSpread => {
                &["F", "C"]
            }
            Self::InversionCloud | Self::RainChance => &["%"],
            Self::RainAmount => &["mm", "in"],
            Self::BeforeSunset
            | Self::AfterSunrise
            | Self::BeforeRain
            | Self::BeforeIrrigation
            | Self::SinceWater => &["h"],
            Self::SinceMowing | Self::BeforeMowing => &["d"],
        }
    }
}

/// What passing a limit means.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Verdict {
    /// One of the hours to prefer.
    Prefer,
    /// Take care.
    Care,
    /// Do not treat.
    Stop,
}

/// A figure that an hour of weather is judged by. The hour is touched when it lies above `above`, or below `below`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WeatherLimit {
    /// Id.
    pub id: String,
    /// What it looks at.
    pub measure: Measure,
    /// What passing it means. A preference is met when the hour is touched by neither end.
    pub verdict: Verdict,
    /// Touched above this.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub above: Option<Number>,
    /// Touched below this.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub below: Option<Number>,
    /// `mph`, `km/h`, `F`, `C` (also for differences), `h`, `d`, `mm`, `%`.
    pub unit: String,
    /// Only for actives of these kinds (words of `spectrum`); all where it is missing.
    #[serde(default, skip_serializing_if = "Many::is_empty")]
    pub spectrum: Many,
    /// Only on these grasses (ids); all where it is missing.
    #[serde(default, skip_serializing_if = "Many::is_empty")]
    pub turf: Many,
    /// Id of the sentence in `rules` that says so.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rule: Option<String>,
    /// A limit or explanation of the figure.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
    /// What it rests on.
    pub source: Sources,
}

/// What a step of a rotation plan is charged for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum CostKind {
    /// A group of the occasion before is used again.
    SameGroupAgain,
    /// The same, but in another chemical family, where resistance is known to stay inside the family.
    SameGroupOtherFamily,
    /// A group is used for the third time or more in a row.
    ThirdInARow,
    /// The same set of groups as in the same month of the year before.
    SameAsLastYear,
    /// A group at high risk is used a second time in one year.
    HighRiskTwiceAYear,
    /// A group at high risk is used.
    HighRiskGroup,
    /// A group at moderate risk is used.
    ModerateRiskGroup,
    /// Resistance of this weed to this group is on record in turf here.
    ResistanceHere,
    /// Resistance of this weed to this group is on record in turf elsewhere.
    ResistanceElsewhere,
    /// A weed is only fairly controlled.
    FairControl,
    /// One place further down in the order of the choice.
    RankStep,
    /// The occasion goes by without chemicals.
    Rest,
}

/// Points for one thing that a plan is charged for.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RotationCost {
    /// What for.
    pub kind: CostKind,
    /// How many points; whole.
    #[serde(deserialize_with = "super::common::whole")]
    pub points: u16,
    /// Ids of the sentences in `guidance` that it follows.
    #[serde(default, skip_serializing_if = "Many::is_empty")]
    pub follows: Many,
    /// In words.
    pub text: String,
    /// What the number of points rests on.
    pub source: Sources,
}

/// How easily weeds become resistant.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Risk {
    /// Few cases.
    Low,
    /// Slower.
    Moderate,
    /// After few uses.
    High,
    /// Nobody says.
    Unknown,
}

/// The risk of some groups.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct GroupRisk {
    /// Group numbers.
    #[serde(deserialize_with = "super::common::whole_list")]
    pub groups: Vec<u16>,
    /// The risk.
    pub is: Risk,
    /// What it rests on.
    pub source: Sources,
}

/// A case in which resistance did not reach the other chemical families of a group.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WithinFamily {
    /// Ids of weeds.
    pub weeds: Many,
    /// Group number.
    #[serde(deserialize_with = "super::common::whole")]
    pub group: u16,
    /// What was found.
    pub text: String,
    /// What it rests on.
    pub source: Sources,
}

/// A question about another cause of a failed treatment.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OtherCause {
    /// Id.
    pub id: String,
    /// Asked so that "yes" speaks for this cause.
    pub question: String,
    /// What to do if so.
    pub remedy: String,
    /// What it rests on.
    pub source: Sources,
}

/// A starting value of the population model.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ModelValue {
    /// Id of the value (`resistant-share-at-start`).
    pub id: String,
    /// The value.
    pub value: Number,
    /// Unit, or what it is a share of.
    pub unit: String,
    /// In words, with the range that was read.
    pub text: String,
    /// What it rests on.
    pub source: Sources,
}
