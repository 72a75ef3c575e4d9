//! Units as they stand in a quantity: a row of the table, of product or active, and perhaps per a
//! number of another unit (`oz wt a.i./1000 sq ft`).

use super::exact::Exact;
use super::kind::{Base, Kind, Of};
use super::refused::refusal;
use super::table::{BARE_OUNCE, UNITS, UnitRow};
use serde::{Serialize, Serializer};
use std::fmt;

/// A unit.
#[derive(Clone, PartialEq, Eq)]
pub struct Unit {
    /// The unit on top.
    pub top: &'static UnitRow,
    /// Of what, for a weight.
    pub of: Of,
    /// For a rate: how many of which unit it is per.
    pub per: Option<(Exact, &'static UnitRow)>,
}

impl Unit {
    /// The unit of that symbol: `Unit::named("fl oz")`. Nothing if the table has none.
    #[must_use]
    pub fn named(symbol: &str) -> Option<Self> {
        row(symbol).map(Self::plain)
    }

    /// A plain unit from its row.
    #[must_use]
    pub fn plain(top: &'static UnitRow) -> Self {
        Self {
            top,
            of: Of::Product,
            per: None,
        }
    }

    /// This unit per `count` of another.
    #[must_use]
    pub fn per(self, count: i64, other: &'static UnitRow) -> Self {
        Self {
            per: Some((Exact::from(count), other)),
            ..self
        }
    }

    /// The same of active ingredient or acid.
    #[must_use]
    pub fn of(self, of: Of) -> Self {
        Self { of, ..self }
    }

    /// The kind of quantity it measures. A fluid ounce per gallon is a share by volume, and so on.
    #[must_use]
    pub fn kind(&self) -> Kind {
        Kind {
            top: self.top.base,
            of: self.of,
            per: self.per.as_ref().map(|(_, unit)| unit.base),
        }
    }

    /// What one of it is in base units of its kind (for temperatures: of a difference).
    #[must_use]
    pub fn factor(&self) -> Exact {
        let top = row_factor(self.top);
        match &self.per {
            // Counts are positive wherever a unit is built; a nought would leave the factor undivided.
            Some((count, unit)) => top.over(&(count * &row_factor(unit))).unwrap_or(top),
            None => top,
        }
    }

    /// Is the ounce in it the one that says neither weight nor volume?
    #[must_use]
    pub fn has_bare_ounce(&self) -> bool {
        self.top.symbol == BARE_OUNCE && self.of == Of::Product
    }
}

/// `oz/1000 sq ft`, `lb a.i./A`, `% v/v`.
impl fmt::Display for Unit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some((count, per)) = &self.per
            && self.top == *per
            && *count == Exact::from(100)
        {
            let (of, share) = (
                self.of.suffix(),
                if self.top.base == Base::Volume {
                    "% v/v"
                } else {
                    "% w/w"
                },
            );
            return write!(f, "{share}{of}");
        }
        if self.top.symbol == "mi"
            && self
                .per
                .as_ref()
                .is_some_and(|(n, per)| *n == Exact::one() && per.symbol == "h")
        {
            return f.write_str("mph");
        }
        write!(f, "{}{}", self.top.symbol, self.of.suffix())?;
        match &self.per {
            None => Ok(()),
            Some((count, per)) if *count == Exact::one() => write!(f, "/{}", per.symbol),
            Some((count, per)) => write!(f, "/{count} {}", per.symbol),
        }
    }
}

impl fmt::Debug for Unit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Unit({self})")
    }
}

impl Serialize for Unit {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

fn row_factor(row: &UnitRow) -> Exact {
    // No denominator in the table is nought (tested), so the fallback is never taken.
    Exact::ratio(row.num, row.den).unwrap_or_else(Exact::one)
}

/// The row of a symbol or name. Case is free, except where it would make another unit of it: `M`, `T`,
/// `t`, `c`, `G` and the like are refused before this is asked.
#[must_use]
pub fn row(name: &str) -> Option<&'static UnitRow> {
    let exact = UNITS.iter().find(|unit| unit.symbol == name);
    if exact.is_some() {
        return exact;
    }
    if refusal(name).is_some() {
        return None;
    }
    let lower = name.to_lowercase();
    UNITS
        .iter()
        .find(|unit| unit.symbol.to_lowercase() == lower || unit.names.contains(&lower.as_str()))
}

/// The unit names nearest to a misspelt word, best first, at most three.
#[must_use]
pub fn nearest(word: &str) -> Vec<&'static str> {
    let word = word.to_lowercase();
    let allowed = if word.chars().count() <= 3 { 1 } else { 2 };
    let mut found: Vec<(usize, &'static str)> = UNITS
        .iter()
        .flat_map(|unit| std::iter::once(unit.symbol).chain(unit.names.iter().copied()))
        .map(|name| {
            (
                strsim::damerau_levenshtein(&word, &name.to_lowercase()),
                name,
            )
        })
        .filter(|(distance, name)| *distance <= allowed && name.chars().count() > 1)
        .collect();
    found.sort_unstable();
    found.dedup_by_key(|(_, name)| *name);
    found.into_iter().map(|(_, name)| name).take(3).collect()
}

#[cfg(test)]
mod tests {
    #![allow(
        clippy::unwrap_used,
        reason = "a test that cannot go on should stop where it is"
    )]
    use super::super::refused::REFUSED;
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn table_is_sound() {
        let mut seen = BTreeSet::new();
        for unit in UNITS {
            assert!(unit.num > 0 && unit.den > 0, "{}", unit.symbol);
            assert!(seen.insert(unit.symbol.to_owned()), "{} twice", unit.symbol);
            for name in unit.names {
                assert_eq!(*name, name.to_lowercase());
                assert!(!name.contains('.'));
                assert!(seen.insert((*name).to_owned()), "{name} twice");
            }
        }
        for (word, _) in REFUSED {
            assert!(
                UNITS
                    .iter()
                    .all(|unit| unit.symbol != *word && !unit.names.contains(word)),
                "{word}"
            );
        }
    }

    #[test]
    fn case_is_free_where_it_is_safe() {
        assert_eq!(row("ML").unwrap().symbol, "mL");
        assert_eq!(row("LB").unwrap().symbol, "lb");
        assert_eq!(row("Fl Oz").unwrap().symbol, "fl oz");
        assert!(row("M").is_none());
        assert!(row("T").is_none());
        assert!(row("t").is_none());
    }

    #[test]
    fn suggests_the_nearest() {
        assert_eq!(nearest("galon").first(), Some(&"gallon"));
        assert_eq!(nearest("ounzes").first(), Some(&"ounces"));
        assert!(nearest("zebra").is_empty());
    }
}
