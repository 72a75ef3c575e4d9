//! The parts of the lawn file about ground, equipment and water, exactly as they are written.
use super::{Several, Written};
use crate::measure::area::{Shape, shape};
use crate::measure::droplet::Droplet;
use crate::measure::{Exact, Fault, FaultKind, Quantity, quantity};
use serde::{Deserialize, Serialize};
use std::str::FromStr;

/// A shape of ground; how it is written is said at [`crate::measure::area::shape`].
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Patch(pub Shape);

impl FromStr for Patch {
    type Err = Fault;

    fn from_str(text: &str) -> Result<Self, Fault> {
        shape(text).map(Self)
    }
}

/// A number without a unit: a price, a pH, years.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Plain(pub Exact);

impl FromStr for Plain {
    type Err = Fault;

    fn from_str(text: &str) -> Result<Self, Fault> {
        let trimmed = text.trim();
        Exact::from_digits(trimmed)
            .filter(|_| trimmed.len() <= 20)
            .map(Self)
            .ok_or_else(|| {
                Fault::new(FaultKind::Number, format!("`{trimmed}` is no plain number"))
                    .expected("figures such as 7 or 12.50")
            })
    }
}

/// Hardness of water, as calcium carbonate: `250 ppm`, `250 mg/L` or `15 grains/gal`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Hardness {
    /// Parts per million as calcium carbonate.
    pub ppm: Exact,
}

impl FromStr for Hardness {
    type Err = Fault;

    fn from_str(text: &str) -> Result<Self, Fault> {
        let wrong = || {
            Fault::new(FaultKind::UnitMissing, format!("`{}` is no hardness of water", text.trim()))
                .expected("ppm or mg/L as calcium carbonate, such as 250 ppm, or grains per gallon, such as 15 gpg")
        };
        let trimmed = text.trim();
        let split = trimmed
            .find(|c: char| !c.is_ascii_digit() && c != '.')
            .ok_or_else(wrong)?;
        let (number, unit) = trimmed.split_at(split);
        let number = number.parse::<Plain>().map_err(|_| wrong())?.0;
        let ppm = match unit.trim().to_ascii_lowercase().as_str() {
            "ppm" | "mg/l" => number,
            // 1 grain is 64.79891 mg and 1 US gallon 3.785411784 L (NIST SP 811, appendix B).
            "gpg" | "grains/gal" | "grains per gallon" => {
                &number * &Exact::ratio(64_798_910_000, 3_785_411_784).unwrap_or_else(Exact::zero)
            }
            _ => return Err(wrong()),
        };
        Ok(Self { ppm })
    }
}

/// A named part of the lawn.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Area {
    /// What the user calls it.
    pub name: String,
    /// Shapes to add up: `60 ft x 40 ft`.
    pub shape: Several<Written<Patch>>,
    /// Shapes to take away: house, drive, beds.
    #[serde(default, skip_serializing_if = "Several::is_empty")]
    pub minus: Several<Written<Patch>>,
}

/// The sprayer.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Sprayer {
    /// What the tank holds up to its mark.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tank: Option<Written<Quantity>>,
    /// What it puts on an area, where that is known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub output: Option<Written<Quantity>>,
    /// The trial with plain water from which that is reckoned.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub calibration: Option<Calibration>,
    /// Droplet class of the nozzle at the pressure used.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub droplets: Option<Written<Droplet>>,
}

/// A trial with plain water.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Calibration {
    /// Water caught over the course or for a time, or used on the area.
    pub caught: Written<Quantity>,
    /// How long it was caught, if not while the course was walked.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub caught_in: Option<Written<Quantity>>,
    /// How long the course took; several for a mean.
    #[serde(default, skip_serializing_if = "Several::is_empty")]
    pub walked: Several<Written<Quantity>>,
    /// Width of the spray.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub width: Option<Written<Quantity>>,
    /// Length of the course.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub course: Option<Written<Quantity>>,
    /// Area sprayed, instead of width and course.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub area: Option<Written<Quantity>>,
}

/// The spreader, tested with the product itself.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Spreader {
    /// Width that one pass covers.
    pub width: Written<Quantity>,
    /// What was caught or left the hopper in a test at the setting in use.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub caught: Option<Written<Quantity>>,
    /// Length of the test strip.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub length: Option<Written<Quantity>>,
    /// Name of the product that was tested; another product spreads differently.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tested_with: Option<String>,
}

/// The spray water.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Water {
    /// Its pH.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ph: Option<Written<Plain>>,
    /// Its hardness.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hardness: Option<Written<Hardness>>,
}

/// Reads an area as it is typed at `lawn: area`, where that is a shape or a figure and no mere description.
#[must_use]
pub fn plain_area(text: &str) -> Option<Shape> {
    shape(text)
        .ok()
        .filter(|_| quantity(text).is_ok() || text.contains('x') || text.contains('×'))
}
