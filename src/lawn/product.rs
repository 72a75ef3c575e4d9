//! A product on the shelf, exactly as its label was copied.
use super::form::Plain;
use super::{Several, Written};
use crate::knowledge::form::common::Many;
use crate::measure::droplet::Droplet;
use crate::measure::{Limit, Quantity, Span};
use serde::{Deserialize, Serialize};

/// A product. Every figure is the label's own; the book gives none.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Product {
    /// What the user calls it.
    pub name: String,
    /// Its actives.
    pub actives: Vec<Holds>,
    /// Formulation code as printed: `EC`, `WG`, `SL`, `GR`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub formulation: Option<String>,
    /// Rates.
    #[serde(default, skip_serializing_if = "Rates::is_empty")]
    pub rates: Rates,
    /// Water (the spray in all) per area.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub water: Option<Written<Span>>,
    /// Maximum figures.
    #[serde(default, skip_serializing_if = "Maximum::is_empty")]
    pub maximum: Maximum,
    /// Most treatments in a year.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub treatments_per_year: Option<u32>,
    /// Least days between two treatments.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub interval_days: Option<u32>,
    /// Adjuvants that the label asks for.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub adjuvant: Vec<Added>,
    /// Hours without rain or watering, as printed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rain_free: Option<String>,
    /// When people and pets may go on the lawn again, as printed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub re_entry: Option<String>,
    /// Mowing before and after, as printed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mowing: Option<String>,
    /// Droplet classes that the label asks for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub droplets: Option<Droplets>,
    /// Grasses named on the label.
    #[serde(default, skip_serializing_if = "Many::is_empty")]
    pub grasses: Many,
    /// Weeds named on the label.
    #[serde(default, skip_serializing_if = "Many::is_empty")]
    pub weeds: Many,
    /// The pack as it is bought.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pack: Option<PackForm>,
    /// What went on this lawn this year already.
    #[serde(default, skip_serializing_if = "Several::is_empty")]
    pub used_this_year: Several<Written<Quantity>>,
}

/// An active and how much of it the product holds.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Holds {
    /// Its name.
    pub active: String,
    /// Content as printed: `4 lb a.e./gal`, `480 g/L`, `75 %`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub content: Option<String>,
}

/// The label's rates.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Rates {
    /// On the whole area: `0.5-0.75 fl oz/1000 sq ft`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub broadcast: Option<Written<Span>>,
    /// On single plants: per volume of spray, `1 fl oz/gal`, or per area.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub spot: Option<Written<Span>>,
}

impl Rates {
    /// Whether there are none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.broadcast.is_none() && self.spot.is_none()
    }
}

/// The label's maximum figures, per area.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Maximum {
    /// In one treatment.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub application: Option<Written<Limit>>,
    /// In a year.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub year: Option<Written<Limit>>,
}

impl Maximum {
    /// Whether there is none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.application.is_none() && self.year.is_none()
    }
}

/// An adjuvant.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Added {
    /// What it is: `nonionic surfactant`.
    pub name: String,
    /// How much: `0.25 % v/v`, `17 lb/100 gal`.
    pub rate: Written<Quantity>,
}

/// The droplet classes that a label allows.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Droplets {
    /// The finest.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub finest: Option<Written<Droplet>>,
    /// The coarsest.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub coarsest: Option<Written<Droplet>>,
}

/// A pack.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PackForm {
    /// What it holds.
    pub size: Written<Quantity>,
    /// What it costs, in whatever money.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub price: Option<Written<Plain>>,
    /// Years that it keeps once it is open.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub keeps_years: Option<Written<Plain>>,
    /// Lawns of neighbours who would take a share of it.
    #[serde(default, skip_serializing_if = "Several::is_empty")]
    pub shared_with: Several<Written<Quantity>>,
}
