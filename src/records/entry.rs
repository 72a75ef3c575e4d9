//! What the record holds: treatments, what was seen afterwards, seedings, and entries taken back.
use super::rate::Rate;
use jiff::civil::{Date, Time};
use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// Longest text of one item, in characters.
pub const LONGEST_TEXT: usize = 2000;
/// One entry as it stands in the file.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Entry {
    /// Number in this file, from 1 without gaps.
    pub id: i64,
    /// Name that stays the same in every copy of the record.
    pub uid: String,
    /// Day on which it was written.
    pub recorded_on: Date,
    /// The entry that this one replaces.
    pub corrects: Option<i64>,
    /// The entry that replaces this one.
    pub corrected_by: Option<i64>,
    /// The treatment that an observation is about.
    pub about: Option<i64>,
    /// Why something was corrected.
    pub why: Option<String>,
    /// What happened.
    pub what: What,
}

/// What an entry tells.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", tag = "kind", content = "details")]
pub enum What {
    /// Something was applied.
    Application(Application),
    /// Somebody looked at the result.
    Observation(Observation),
    /// The lawn was seeded or laid.
    Seeding(Seeding),
    /// The corrected entry should not have been written at all.
    Withdrawal(Withdrawal),
}

/// A treatment.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Application {
    /// Day of the treatment.
    pub date: Date,
    /// When it began.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub start_time: Option<Time>,
    /// When it ended.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub end_time: Option<Time>,
    /// The lawn or the part of it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lawn: Option<String>,
    /// Id of the place whose law counts.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub place: Option<String>,
    /// Ids of the grasses.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub turf: Vec<String>,
    /// Ids of the weeds that were meant.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub weeds: Vec<String>,
    /// Area treated, a number and a unit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub area: Option<String>,
    /// The products, in the order of mixing.
    pub products: Vec<Product>,
    /// Everything else that was written down, by the ids of `record-fields.yaml`: weather, operator, licence, customer.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub items: BTreeMap<String, String>,
    /// Anything else.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub remarks: Option<String>,
}

impl Application {
    /// A treatment of this day of which nothing is written down yet.
    #[must_use]
    pub fn on(date: Date) -> Self {
        Self {
            date,
            start_time: None,
            end_time: None,
            lawn: None,
            place: None,
            turf: Vec::new(),
            weeds: Vec::new(),
            area: None,
            products: Vec::new(),
            items: BTreeMap::new(),
            remarks: None,
        }
    }
}

/// A product as it was used.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Product {
    /// Name as on the label.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// Number under which it is registered.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub registration: Option<String>,
    /// Product per area, a number and a unit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rate: Option<String>,
    /// Product in all, a number and a unit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub total: Option<String>,
    /// What it holds that acts on weeds.
    pub actives: Vec<ActiveUsed>,
}

/// An active as it was used.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ActiveUsed {
    /// Id of the active.
    pub active: String,
    /// Active per area; missing where it is not known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rate: Option<Rate>,
}

/// What was seen some days after a treatment.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Observation {
    /// Day of looking.
    pub date: Date,
    /// Id of the weed that was looked at; missing for all weeds of the treatment.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub weed: Option<String>,
    /// Percent of the weed that is gone or dying, 0 to 100.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub control_percent: Option<Decimal>,
    /// Percent of the grass that is injured, 0 to 100.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub injury_percent: Option<Decimal>,
    /// What the injury looks like.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub injury: Option<String>,
    /// Whether the weed is suspected to withstand the treatment, other causes having been ruled out.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub resistance_suspected: bool,
    /// Anything else.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub remarks: Option<String>,
}

/// A seeding, overseeding or laying of sod.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Seeding {
    /// Day of seeding.
    pub date: Date,
    /// The lawn or the part of it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lawn: Option<String>,
    /// Ids of the grasses.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub turf: Vec<String>,
    /// Anything else.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub remarks: Option<String>,
}

/// An entry that takes another one back. It has the day of the entry that it takes back.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Withdrawal {
    /// Day of the entry that is taken back.
    pub date: Date,
    /// The lawn of the entry that is taken back.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lawn: Option<String>,
}

impl What {
    /// Day on which it happened.
    #[must_use]
    pub fn date(&self) -> Date {
        match self {
            Self::Application(a) => a.date,
            Self::Observation(o) => o.date,
            Self::Seeding(s) => s.date,
            Self::Withdrawal(w) => w.date,
        }
    }

    /// The lawn, where the entry itself names it.
    #[must_use]
    pub fn lawn(&self) -> Option<&str> {
        match self {
            Self::Application(a) => a.lawn.as_deref(),
            Self::Seeding(s) => s.lawn.as_deref(),
            Self::Withdrawal(w) => w.lawn.as_deref(),
            Self::Observation(_) => None,
        }
    }

    /// The word for it, as it stands in the file.
    #[must_use]
    pub fn kind(&self) -> &'static str {
        match self {
            Self::Application(_) => "application",
            Self::Observation(_) => "observation",
            Self::Seeding(_) => "seeding",
            Self::Withdrawal(_) => "withdrawal",
        }
    }
}
