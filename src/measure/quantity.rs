//! A number with its unit, and the few sums that are allowed with it.

use super::exact::Exact;
use super::fault::{Fault, FaultKind};
use super::kind::{Base, Kind};
use super::table::zero_offset;
use super::unit::{Unit, row};
use serde::{Serialize, Serializer, ser::SerializeStruct};
use std::fmt;

/// Is a product sold dry (weighed) or liquid (poured)?
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum State {
    /// Granules, powders: weighed.
    Dry,
    /// Poured by volume.
    Liquid,
}

/// One figure with its unit.
#[derive(Clone, PartialEq, Eq)]
pub struct Quantity {
    /// How many.
    pub value: Exact,
    /// Of what.
    pub unit: Unit,
}

impl Quantity {
    /// A figure in a unit.
    #[must_use]
    pub fn new(value: impl Into<Exact>, unit: Unit) -> Self {
        Self {
            value: value.into(),
            unit,
        }
    }

    /// Its kind.
    #[must_use]
    pub fn kind(&self) -> Kind {
        self.unit.kind()
    }

    /// Its value in base units of its kind.
    #[must_use]
    pub fn in_base(&self) -> Exact {
        if self.kind() == Kind::plain(Base::Temperature) {
            let (num, den) = zero_offset(self.unit.top.symbol);
            return (&self.value + &Exact::ratio(num, den).unwrap_or_else(Exact::zero))
                * self.unit.factor();
        }
        &self.value * &self.unit.factor()
    }

    /// The same in another unit of the same kind.
    ///
    /// # Errors
    /// [`FaultKind::WrongKind`] when the units measure different things.
    pub fn to(&self, unit: &Unit) -> Result<Self, Fault> {
        if self.kind() != unit.kind() {
            return Err(wrong_kind(self, unit.kind()));
        }
        Ok(Self::from_base(&self.in_base(), unit))
    }

    /// A figure in base units, written in `unit`.
    fn from_base(base: &Exact, unit: &Unit) -> Self {
        // Factors of the table are positive.
        let mut value = base.over(&unit.factor()).unwrap_or_else(Exact::zero);
        if unit.kind() == Kind::plain(Base::Temperature) {
            let (num, den) = zero_offset(unit.top.symbol);
            value = value - Exact::ratio(num, den).unwrap_or_else(Exact::zero);
        }
        Self {
            value,
            unit: unit.clone(),
        }
    }

    /// The sum, in this unit.
    ///
    /// # Errors
    /// [`FaultKind::WrongKind`].
    pub fn plus(&self, other: &Self) -> Result<Self, Fault> {
        Ok(Self {
            value: &self.value + &other.to(&self.unit)?.value,
            unit: self.unit.clone(),
        })
    }

    /// The difference, in this unit. It may fall below nought.
    ///
    /// # Errors
    /// [`FaultKind::WrongKind`].
    pub fn minus(&self, other: &Self) -> Result<Self, Fault> {
        Ok(Self {
            value: &self.value - &other.to(&self.unit)?.value,
            unit: self.unit.clone(),
        })
    }

    /// So many times as much.
    #[must_use]
    pub fn times(&self, factor: &Exact) -> Self {
        Self {
            value: &self.value * factor,
            unit: self.unit.clone(),
        }
    }

    /// How many times `other` goes into this.
    ///
    /// # Errors
    /// [`FaultKind::WrongKind`], or [`FaultKind::Zero`] when `other` is nought.
    pub fn in_units_of(&self, other: &Self) -> Result<Exact, Fault> {
        if self.kind() != other.kind() {
            return Err(wrong_kind(self, other.kind()));
        }
        self.in_base().over(&other.in_base()).ok_or_else(|| {
            Fault::new(
                FaultKind::Zero,
                format!("{self} cannot be divided by {other}"),
            )
        })
    }

    /// A rate applied to what it is per: `2 lb/A` on `0.5 A` is `1 lb`.
    ///
    /// # Errors
    /// [`FaultKind::WrongKind`] when this is no rate or is per something else.
    pub fn on(&self, amount: &Self) -> Result<Self, Fault> {
        let Some((count, per)) = &self.unit.per else {
            return Err(Fault::new(
                FaultKind::WrongKind,
                format!("{self} is no rate: it is not per anything"),
            ));
        };
        let counted = amount.to(&Unit::plain(per))?;
        let times = counted.value.over(count).unwrap_or_else(Exact::zero);
        Ok(Self {
            value: &self.value * &times,
            unit: Unit {
                per: None,
                ..self.unit.clone()
            },
        })
    }

    /// How much of what this rate is per takes `amount`: at `2 gal/1000 sq ft`, `4 gal` cover `2000 sq ft`.
    ///
    /// # Errors
    /// [`FaultKind::WrongKind`], or [`FaultKind::Zero`] for a rate of nought.
    pub fn covers(&self, amount: &Self) -> Result<Self, Fault> {
        let Some((count, per)) = &self.unit.per else {
            return Err(Fault::new(
                FaultKind::WrongKind,
                format!("{self} is no rate: it is not per anything"),
            ));
        };
        let one = Self {
            value: self.value.clone(),
            unit: Unit {
                per: None,
                ..self.unit.clone()
            },
        };
        Ok(Self {
            value: amount.in_units_of(&one)? * count,
            unit: Unit::plain(per),
        })
    }

    /// This much over that much, written in the rate unit `unit`.
    ///
    /// # Errors
    /// [`FaultKind::WrongKind`], or [`FaultKind::Zero`] when `per` is nought.
    pub fn per(&self, per: &Self, unit: &Unit) -> Result<Self, Fault> {
        let kind = Kind {
            top: self.kind().top,
            of: self.kind().of,
            per: Some(per.kind().top),
        };
        if self.kind().per.is_some() || per.kind().per.is_some() || unit.kind() != kind {
            return Err(Fault::new(
                FaultKind::WrongKind,
                format!("{self} over {per} is no {}", unit.kind()),
            ));
        }
        let base = self.in_base().over(&per.in_base()).ok_or_else(|| {
            Fault::new(
                FaultKind::Zero,
                format!("{self} cannot be divided by {per}"),
            )
        })?;
        Ok(Self::from_base(&base, unit))
    }

    /// Settles what an ounce that says neither weight nor volume is: a weight when the product is known
    /// to be dry, and refused otherwise.
    ///
    /// # Errors
    /// [`FaultKind::Ambiguous`].
    pub fn with_plain_ounces(self, state: Option<State>) -> Result<Self, Fault> {
        if !self.unit.has_bare_ounce() {
            return Ok(self);
        }
        if state == Some(State::Dry)
            && let Some(ounce) = row("oz wt")
        {
            return Ok(Self {
                value: self.value,
                unit: Unit {
                    top: ounce,
                    ..self.unit
                },
            });
        }
        let why = match state {
            Some(State::Liquid) => "of a liquid may be a weight or a volume",
            _ => "may be a weight or a volume",
        };
        Err(
            Fault::new(FaultKind::Ambiguous, format!("`{self}`: an ounce {why}"))
                .expected("`fl oz` for a volume or `oz wt` for a weight")
                .hint("look on the label: liquids are nearly always in fluid ounces"),
        )
    }

    /// Refuses nought and less.
    ///
    /// # Errors
    /// [`FaultKind::Zero`] or [`FaultKind::Negative`], naming the figure.
    pub fn positive(self, figure: &str) -> Result<Self, Fault> {
        if self.value.is_positive() {
            return Ok(self);
        }
        let kind = if self.value.is_zero() {
            FaultKind::Zero
        } else {
            FaultKind::Negative
        };
        Err(Fault::new(kind, format!("{figure} is {self}")).expected("more than nought"))
    }

    /// Refuses any other kind, naming the figure.
    ///
    /// # Errors
    /// [`FaultKind::WrongKind`].
    pub fn must_be(self, kind: impl Into<Kind>, figure: &str) -> Result<Self, Fault> {
        let kind = kind.into();
        if self.kind() == kind {
            Ok(self)
        } else {
            Err(wrong_kind(&self, kind).of(figure))
        }
    }

    /// The figure for steps: at most six significant digits, with its unit.
    #[must_use]
    pub fn short(&self) -> String {
        format!("{} {}", short(&self.value), self.unit)
    }
}

/// At most six significant digits.
#[must_use]
pub fn short(value: &Exact) -> String {
    value.to_digits(6)
}

fn wrong_kind(quantity: &Quantity, wanted: Kind) -> Fault {
    let fault = Fault::new(
        FaultKind::WrongKind,
        format!("`{quantity}` is {}", quantity.kind().a()),
    )
    .expected(format!("{}, such as {}", wanted.a(), wanted.example()));
    let (is, want) = (quantity.kind(), wanted);
    if quantity.unit.has_bare_ounce() && want.top == Base::Volume {
        return fault
            .hint("`oz` is an ounce of weight; write `fl oz` if the label means fluid ounces");
    }
    if is.top == want.top && is.per == want.per && is.of != want.of {
        return fault.hint("product, active ingredient and acid equivalent are turned into each other by the product's strength");
    }
    fault
}

impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.value, self.unit)
    }
}

impl fmt::Debug for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Quantity({self})")
    }
}

/// `{"value":"1.3","unit":"oz/1000 sq ft"}`.
impl Serialize for Quantity {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut row = serializer.serialize_struct("Quantity", 2)?;
        row.serialize_field("value", &self.value)?;
        row.serialize_field("unit", &self.unit)?;
        row.end()
    }
}
