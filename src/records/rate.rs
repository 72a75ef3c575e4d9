//! A mass of active per area, as it was written down: exact, with its unit.
//!
//! Conversion factors are the exact definitions of NIST Special Publication 811 (2008), appendix B: 1 lb = 0.453 592 37 kg,
//! 1 oz = 1/16 lb, 1 ft = 0.3048 m, 1 acre = 43 560 square feet (international foot).
use crate::words::or_list;
use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};
use std::fmt;
use std::str::FromStr;

/// A mass: its name and milligrams in one, exact.
type Mass = (&'static str, &'static [&'static str], Decimal);
/// An area: its name and square centimetres in one, exact.
type Area = (&'static str, &'static [&'static str], Decimal);

/// 453 592.37 mg.
const POUND_MG: Decimal = Decimal::from_parts(45_359_237, 0, 0, false, 2);
/// 1/16 of a pound: 28 349.523 125 mg.
const OUNCE_MG: Decimal = Decimal::from_parts(2_579_719_349, 6, 0, false, 6);
/// 929.0304 square centimetres.
const SQUARE_FOOT_CM2: Decimal = Decimal::from_parts(9_290_304, 0, 0, false, 4);
/// 43 560 square feet: 40 468 564.224 square centimetres.
const ACRE_CM2: Decimal = Decimal::from_parts(1_813_858_560, 9, 0, false, 3);

const MASSES: [Mass; 5] = [
    ("lb", &["lbs", "pound", "pounds"], POUND_MG),
    ("oz", &["ounce", "ounces"], OUNCE_MG),
    ("kg", &["kilogram", "kilograms"], whole(1_000_000)),
    ("mg", &["milligram", "milligrams"], whole(1)),
    ("g", &["gram", "grams"], whole(1_000)),
];

const AREAS: [Area; 6] = [
    ("acre", &["acres", "ac", "a"], ACRE_CM2),
    (
        "1000 sq ft",
        &["1000 ft2", "1000 square feet", "1000 sqft", "m sq ft"],
        Decimal::from_parts(9_290_304, 0, 0, false, 1),
    ),
    (
        "sq ft",
        &["ft2", "square foot", "square feet", "sqft"],
        SQUARE_FOOT_CM2,
    ),
    ("ha", &["hectare", "hectares"], whole(100_000_000)),
    (
        "100 m2",
        &["100 sq m", "100 square metres", "100 square meters"],
        whole(1_000_000),
    ),
    (
        "m2",
        &["sq m", "square metre", "square meter"],
        whole(10_000),
    ),
];

const fn whole(n: u32) -> Decimal {
    Decimal::from_parts(n, 0, 0, false, 0)
}

/// A mass of active per area.
///
/// ```
/// use ligule::records::Rate;
/// let rate: Rate = "0.75 lb/acre".parse().unwrap();
/// assert_eq!(rate.to_string(), "0.75 lb/acre");
/// assert!("75".parse::<Rate>().is_err());
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Rate {
    value: Decimal,
    mass: usize,
    area: usize,
}

impl Rate {
    /// Pounds per acre, to 28 digits.
    #[must_use]
    pub fn lb_per_acre(&self) -> Decimal {
        // Everything is multiplied before the one division; numbers of at most twelve digits cannot overflow here.
        let mass = self.value * MASSES[self.mass].2 * ACRE_CM2;
        mass / (POUND_MG * AREAS[self.area].2)
    }
}

/// Text that is no rate.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "`{typed}` is no rate: {why}; write a number, a mass and an area, such as 0.75 lb/acre or 90 g/ha"
)]
pub struct BadRate {
    typed: String,
    why: String,
}

impl FromStr for Rate {
    type Err = BadRate;

    fn from_str(typed: &str) -> Result<Self, BadRate> {
        let bad = |why: String| BadRate {
            typed: typed.chars().take(60).collect(),
            why,
        };
        let (value, rest) = number(typed).map_err(|why| bad(why.to_owned()))?;
        let rest = rest.to_lowercase();
        let (mass, area) = rest
            .split_once('/')
            .or_else(|| rest.split_once(" per "))
            .ok_or_else(|| bad("the area is missing".to_owned()))?;
        let mass = place(&MASSES, mass).ok_or_else(|| bad(unknown(mass, "mass", &MASSES)))?;
        let area = place(&AREAS, area).ok_or_else(|| bad(unknown(area, "area", &AREAS)))?;
        Ok(Self { value, mass, area })
    }
}

fn place(table: &[(&str, &[&str], Decimal)], typed: &str) -> Option<usize> {
    // `1,000 sq ft` and `1000 sq. ft.` are the same thing.
    let typed: String = typed.chars().filter(|c| !matches!(c, ',' | '.')).collect();
    let typed = typed.split_whitespace().collect::<Vec<_>>().join(" ");
    table
        .iter()
        .position(|(name, more, _)| *name == typed || more.contains(&typed.as_str()))
}

fn unknown(typed: &str, kind: &str, table: &[(&str, &[&str], Decimal)]) -> String {
    let names: Vec<&str> = table.iter().map(|(name, _, _)| *name).collect();
    format!("`{}` is not {} ({kind})", typed.trim(), or_list(&names))
}

/// A plain positive decimal at the beginning of a text (`0.75`, `12`), and what follows it.
///
/// # Errors
/// Why there is none, in a few words.
pub fn number(typed: &str) -> Result<(Decimal, &str), &'static str> {
    let typed = typed.trim();
    let end = typed
        .find(|c: char| !(c.is_ascii_digit() || c == '.'))
        .unwrap_or(typed.len());
    let (digits, rest) = typed.split_at(end);
    let plain = digits.starts_with(|c: char| c.is_ascii_digit())
        && digits.ends_with(|c: char| c.is_ascii_digit())
        && digits.matches('.').count() <= 1;
    if !plain {
        return Err("it does not begin with a plain number");
    }
    if digits.len() > 12 {
        return Err("the number has more than twelve digits");
    }
    // `1,5 lb` and `1e3 lb` would be read as 1 of something; they are slips or habits, not units.
    let joined = rest.chars().next();
    if joined.is_some_and(|c| matches!(c, ',' | '_' | '\''))
        || (joined.is_some_and(|c| matches!(c, 'e' | 'E'))
            && rest[1..].starts_with(|c: char| c.is_ascii_digit() || matches!(c, '+' | '-')))
    {
        return Err("the number is not a plain one");
    }
    let value = Decimal::from_str(digits).map_err(|_| "the number cannot be read")?;
    if value.is_zero() {
        return Err("the number is zero");
    }
    Ok((value, rest.trim()))
}

impl fmt::Display for Rate {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{} {}/{}",
            self.value, MASSES[self.mass].0, AREAS[self.area].0
        )
    }
}

impl TryFrom<String> for Rate {
    type Error = BadRate;
    fn try_from(text: String) -> Result<Self, BadRate> {
        text.parse()
    }
}

impl From<Rate> for String {
    fn from(rate: Rate) -> Self {
        rate.to_string()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn lb(text: &str) -> Decimal {
        text.parse::<Rate>().expect(text).lb_per_acre()
    }

    #[test]
    fn rates_come_to_pounds_per_acre() {
        assert_eq!(lb("0.75 lb/acre"), Decimal::new(75, 2));
        // 1 oz/1000 sq ft is 43.56 oz/acre, that is 2.7225 lb/acre.
        assert_eq!(lb("1 oz per 1,000 sq. ft."), Decimal::new(27225, 4));
        assert_eq!(lb("1 lb/1000 sq ft"), Decimal::new(4356, 2));
        // NIST SP 811, appendix B.8: 1 lb/acre is 1.120 851 kg/ha (to seven digits, from the exact factors).
        let back = Decimal::ONE / lb("1 kg/ha");
        assert_eq!(back.round_dp(6), Decimal::new(1_120_851, 6));
        assert_eq!(lb("1120.851 g/ha").round_dp(6), Decimal::ONE);
        assert_eq!(lb("0.1 g/m2"), lb("1 kg/ha"));
        assert_eq!(lb("10 g/100 m2"), lb("1 kg/ha"));
        assert_eq!(lb("1 mg/sq ft"), lb("1 g/1000 sq ft"));
    }

    #[test]
    fn what_is_no_rate_is_refused_with_a_remedy() {
        for wrong in [
            "",
            "lb/acre",
            "1",
            "1 lb",
            "-1 lb/acre",
            "0 lb/acre",
            "1,5 lb/acre",
            "1e3 lb/acre",
            "1_0 lb/acre",
            ".5 lb/acre",
            "1.2.3 lb/acre",
            "1 gal/acre",
            "1 lb/acre/year",
            "1 lb/parsec",
            "1234567890123 lb/acre",
            "½ lb/acre",
            "1. lb/acre",
        ] {
            let error = wrong.parse::<Rate>().expect_err(wrong).to_string();
            assert!(error.contains("such as 0.75 lb/acre"), "{error}");
        }
    }

    proptest! {
        #[test]
        fn a_rate_written_out_is_the_rate_read_back(value in 1_u64..1_000_000_000, scale in 0_u32..6, mass in 0..MASSES.len(), area in 0..AREAS.len()) {
            let rate = Rate { value: Decimal::from_i128_with_scale(i128::from(value), scale), mass, area };
            let again: Rate = rate.to_string().parse().expect("what we write we read");
            prop_assert_eq!(again, rate);
            prop_assert_eq!(again.to_string(), rate.to_string());
        }

        #[test]
        fn no_text_makes_it_panic(text in "\\PC{0,40}") {
            let _ = text.parse::<Rate>();
        }
    }
}
