//! Kinds of quantity. A quantity of one kind is never turned into another: a weight is not a volume,
//! a rate per acre is not a rate per gallon, active ingredient is not product.

use serde::Serialize;
use std::fmt;

/// The plain kinds. Area and volume are kinds of their own, not powers of length, so that litres over
/// hectares stay an application volume and never turn into a depth.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Base {
    /// Feet, metres.
    Length,
    /// Square feet, acres.
    Area,
    /// Gallons, millilitres.
    Volume,
    /// Pounds, grams.
    Weight,
    /// Seconds, minutes.
    Time,
    /// Pounds per square inch, kilopascals.
    Pressure,
    /// Degrees.
    Temperature,
    /// Things counted: plants, spots, nozzles.
    Count,
    /// A percentage that does not say of what.
    Share,
}

impl Base {
    /// The word for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Base::Length => "length",
            Base::Area => "area",
            Base::Volume => "volume",
            Base::Weight => "weight",
            Base::Time => "time",
            Base::Pressure => "pressure",
            Base::Temperature => "temperature",
            Base::Count => "count",
            Base::Share => "percentage",
        }
    }

    /// A unit or two of it, to show in a message.
    #[must_use]
    pub fn example(self) -> &'static str {
        match self {
            Base::Length => "ft, m",
            Base::Area => "sq ft, A, m2",
            Base::Volume => "fl oz, gal, mL",
            Base::Weight => "oz wt, lb, g",
            Base::Time => "s, min, h",
            Base::Pressure => "psi, bar",
            Base::Temperature => "F, C",
            Base::Count => "plants, spots",
            Base::Share => "%",
        }
    }
}

/// What a weight is a weight of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Of {
    /// The product as sold, or simply the thing weighed.
    #[default]
    Product,
    /// Active ingredient.
    Active,
    /// Acid equivalent: the parent acid in a salt or ester.
    Acid,
}

impl Of {
    /// The usual short form, with a space before it.
    #[must_use]
    pub fn suffix(self) -> &'static str {
        match self {
            Of::Product => "",
            Of::Active => " a.i.",
            Of::Acid => " a.e.",
        }
    }
}

/// The kind of a quantity: a plain kind, or one per another.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
pub struct Kind {
    /// What is measured.
    pub top: Base,
    /// Of what.
    pub of: Of,
    /// Per what, for a rate.
    pub per: Option<Base>,
}

impl Kind {
    /// A plain kind.
    #[must_use]
    pub const fn plain(top: Base) -> Self {
        Self {
            top,
            of: Of::Product,
            per: None,
        }
    }

    /// A rate.
    #[must_use]
    pub const fn rate(top: Base, per: Base) -> Self {
        Self {
            top,
            of: Of::Product,
            per: Some(per),
        }
    }

    /// The same of active ingredient or acid.
    #[must_use]
    pub const fn of(self, of: Of) -> Self {
        Self { of, ..self }
    }

    /// Its name with the article: `an area`.
    #[must_use]
    pub fn a(self) -> String {
        let name = self.to_string();
        let article = if name.starts_with(['a', 'e', 'i', 'o', 'u']) {
            "an"
        } else {
            "a"
        };
        format!("{article} {name}")
    }

    /// An example of how such a quantity is written.
    #[must_use]
    pub fn example(self) -> &'static str {
        match (self.top, self.of, self.per) {
            (Base::Length, _, Some(Base::Time)) => "3 mph",
            (Base::Volume, _, Some(Base::Area)) => "1.5 fl oz/1000 sq ft",
            (Base::Weight, Of::Product, Some(Base::Area)) => "2 lb/1000 sq ft",
            (Base::Weight, _, Some(Base::Area)) => "0.5 lb a.i./A",
            (Base::Volume, _, Some(Base::Volume)) => "0.25 % v/v",
            (Base::Volume, _, Some(Base::Time)) => "0.3 gal/min",
            (Base::Weight, Of::Product, Some(Base::Volume)) => "4 lb/gal",
            (Base::Weight, _, Some(Base::Volume)) => "4 lb a.i./gal",
            (Base::Weight, _, Some(Base::Weight)) => "75 % w/w",
            (base, _, _) => base.example(),
        }
    }
}

impl From<Base> for Kind {
    fn from(base: Base) -> Self {
        Self::plain(base)
    }
}

impl fmt::Display for Kind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.top, self.per) {
            (Base::Length, Some(Base::Time)) => return f.write_str("speed"),
            (Base::Volume, Some(Base::Time)) => return f.write_str("flow"),
            (Base::Volume, Some(Base::Volume)) => return f.write_str("share by volume"),
            (Base::Weight, Some(Base::Weight)) if self.of == Of::Product => {
                return f.write_str("share by weight");
            }
            _ => {}
        }
        f.write_str(self.top.word())?;
        match self.of {
            Of::Product => {}
            Of::Active => f.write_str(" of active ingredient")?,
            Of::Acid => f.write_str(" of acid equivalent")?,
        }
        match self.per {
            Some(per) => write!(f, " per {}", per.word()),
            None => Ok(()),
        }
    }
}
