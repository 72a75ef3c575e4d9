//! Exact numbers: every figure is a ratio of two whole numbers of any length, so that nothing is lost
//! between the label and the measuring cup. Decimals alone would not do: a rate per acre taken to
//! 1,000 sq ft divides by 43.56, and that has no finite decimal. Nothing here can overflow.

mod ops;

use num_bigint::BigInt;
use num_rational::BigRational;
use num_traits::{One, Signed, Zero};
use serde::{Serialize, Serializer};
use std::fmt;

/// Digits shown when a figure has no short exact decimal.
const SHOWN_DIGITS: usize = 12;
/// Longest exact tail of decimals that is still printed whole.
const SHOWN_PLACES: usize = 20;

/// An exact rational number.
///
/// ```
/// use ligule::measure::Exact;
/// let third = Exact::from(1).over(&Exact::from(3)).unwrap();
/// assert_eq!(third * Exact::from(3), Exact::from(1));
/// ```
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Exact(BigRational);

impl Exact {
    /// Nought.
    #[must_use]
    pub fn zero() -> Self {
        Self(BigRational::zero())
    }

    /// One.
    #[must_use]
    pub fn one() -> Self {
        Self(BigRational::one())
    }

    /// `numerator / denominator`, or nothing when the denominator is nought.
    #[must_use]
    pub fn ratio(numerator: i128, denominator: i128) -> Option<Self> {
        (denominator != 0).then(|| Self(BigRational::new(numerator.into(), denominator.into())))
    }

    /// Pi to 30 decimals: an error below one part in 10^30.
    #[must_use]
    pub fn pi() -> Self {
        Self::from(3_141_592_653_589_793_238_462_643_383_280_i128).shifted(-30)
    }

    /// Reads plain ASCII digits with at most one point: `43.56`. Anything else gives nothing; the
    /// reader of label text, which says what is wrong, is [`crate::measure::read`].
    #[must_use]
    pub fn from_digits(text: &str) -> Option<Self> {
        let (whole, fraction) = text.split_once('.').unwrap_or((text, "0"));
        let digits = |s: &str| !s.is_empty() && s.bytes().all(|b| b.is_ascii_digit());
        if !digits(whole) || !digits(fraction) {
            return None;
        }
        let all: BigInt = format!("{whole}{fraction}").parse().ok()?;
        let places = i32::try_from(fraction.len()).ok()?;
        Some(Self(BigRational::from_integer(all)).shifted(-places))
    }

    /// `self * 10^places`.
    #[must_use]
    pub fn shifted(&self, places: i32) -> Self {
        let power = BigRational::from_integer(ten_to(places.unsigned_abs()));
        if places < 0 {
            Self(&self.0 / power)
        } else {
            Self(&self.0 * power)
        }
    }

    /// `self / other`, or nothing when `other` is nought.
    #[must_use]
    pub fn over(&self, other: &Self) -> Option<Self> {
        (!other.is_zero()).then(|| Self(&self.0 / &other.0))
    }

    /// Is it nought?
    #[must_use]
    pub fn is_zero(&self) -> bool {
        self.0.is_zero()
    }

    /// Is it above nought?
    #[must_use]
    pub fn is_positive(&self) -> bool {
        self.0.is_positive()
    }

    /// Is it below nought?
    #[must_use]
    pub fn is_negative(&self) -> bool {
        self.0.is_negative()
    }

    /// Is it a whole number?
    #[must_use]
    pub fn is_whole(&self) -> bool {
        self.0.is_integer()
    }

    /// The same without its sign.
    #[must_use]
    pub fn abs(&self) -> Self {
        Self(self.0.abs())
    }

    /// The next whole number at or below.
    #[must_use]
    pub fn floor(&self) -> Self {
        Self(self.0.floor())
    }

    /// The next whole number at or above.
    #[must_use]
    pub fn ceil(&self) -> Self {
        Self(self.0.ceil())
    }

    /// The nearest whole number; a half goes away from nought.
    #[must_use]
    pub fn nearest(&self) -> Self {
        Self(self.0.round())
    }

    /// The largest multiple of `step` not above this; the number itself when `step` is nought.
    #[must_use]
    pub fn down_to(&self, step: &Self) -> Self {
        self.over(step)
            .map_or_else(|| self.clone(), |n| &n.floor() * step)
    }

    /// The nearest multiple of `step`; a half goes up; the number itself when `step` is nought.
    #[must_use]
    pub fn nearest_to(&self, step: &Self) -> Self {
        self.over(step)
            .map_or_else(|| self.clone(), |n| &n.nearest() * step)
    }

    /// As a machine integer, when it is whole and fits.
    #[must_use]
    pub fn to_u64(&self) -> Option<u64> {
        if self.is_whole() {
            u64::try_from(self.0.to_integer()).ok()
        } else {
            None
        }
    }

    /// The square root: exact where it is rational, else right to at least 18 digits. Nothing below nought.
    #[must_use]
    pub fn sqrt(&self) -> Option<Self> {
        if self.is_negative() {
            return None;
        }
        let (n, d) = (self.0.numer(), self.0.denom());
        let (rn, rd) = (n.sqrt(), d.sqrt());
        if &(&rn * &rn) == n && &(&rd * &rd) == d {
            return Some(Self(BigRational::new(rn, rd)));
        }
        // sqrt(n/d) = sqrt(n*d*10^2k) / (d*10^k); k = 20 leaves 20 digits below the point even for small d.
        let scale = ten_to(20);
        let root = (n * d * &scale * &scale).sqrt();
        Some(Self(BigRational::new(root, d * scale)))
    }

    /// Has it a finite decimal short enough to print whole?
    #[must_use]
    pub fn is_short_decimal(&self) -> bool {
        self.decimal_places().is_some()
    }

    /// Rounded half up to so many digits after the point, with trailing noughts cut.
    #[must_use]
    pub fn to_places(&self, places: usize) -> String {
        let power = ten_to(u32::try_from(places).unwrap_or(0));
        let scaled = (&self.0 * BigRational::from_integer(power))
            .round()
            .to_integer();
        let sign = if scaled.is_negative() { "-" } else { "" };
        let digits = format!("{:0>width$}", scaled.abs().to_string(), width = places + 1);
        let (whole, fraction) = digits.split_at(digits.len() - places);
        let fraction = fraction.trim_end_matches('0');
        if fraction.is_empty() {
            format!("{sign}{whole}")
        } else {
            format!("{sign}{whole}.{fraction}")
        }
    }

    /// Rounded to so many significant digits, with trailing noughts cut; whole digits are never lost.
    #[must_use]
    pub fn to_digits(&self, digits: usize) -> String {
        let places = digits.cast_signed() - self.leading_place();
        self.to_places(usize::try_from(places).unwrap_or(0))
    }

    /// Nearest `f64`, for drawing and for tests; never used in a calculation.
    #[must_use]
    pub fn to_f64(&self) -> f64 {
        self.to_digits(20).parse().unwrap_or(f64::NAN)
    }

    /// Digits before the point; nought or below for numbers under 0.1.
    fn leading_place(&self) -> isize {
        let length = |n: &BigInt| n.abs().to_string().len().cast_signed();
        let guess = length(self.0.numer()) - length(self.0.denom());
        let power = i32::try_from(guess).unwrap_or(0);
        if self.abs() >= Self::one().shifted(power) {
            guess + 1
        } else {
            guess
        }
    }

    /// Places of its finite decimal, when there are at most [`SHOWN_PLACES`].
    fn decimal_places(&self) -> Option<usize> {
        (0..=SHOWN_PLACES).find(|&n| self.shifted(i32::try_from(n).unwrap_or(0)).is_whole())
    }
}

fn ten_to(power: u32) -> BigInt {
    BigInt::from(10).pow(power)
}

/// Every digit where the decimal is finite and short, else twelve significant digits.
impl fmt::Display for Exact {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.decimal_places() {
            Some(places) => f.write_str(&self.to_places(places)),
            None => f.write_str(&self.to_digits(SHOWN_DIGITS)),
        }
    }
}

impl fmt::Debug for Exact {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Exact({}/{})", self.0.numer(), self.0.denom())
    }
}

/// A number goes out as text, so that no reader turns it into a binary fraction.
impl Serialize for Exact {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

#[cfg(test)]
mod tests {
    #![allow(
        clippy::unwrap_used,
        reason = "a test that cannot go on should stop where it is"
    )]
    use super::*;

    fn n(text: &str) -> Exact {
        Exact::from_digits(text).unwrap()
    }

    #[test]
    fn prints_finite_decimals_whole_and_others_to_twelve_digits() {
        assert_eq!(n("29.5735295625").to_string(), "29.5735295625");
        assert_eq!(n("1500.00").to_string(), "1500");
        assert_eq!(n("0.050").to_string(), "0.05");
        assert_eq!(Exact::ratio(1, 3).unwrap().to_string(), "0.333333333333");
        assert_eq!(
            Exact::ratio(2_000_000, 3).unwrap().to_string(),
            "666666.666667"
        );
        assert_eq!(
            Exact::ratio(-1, 300).unwrap().to_string(),
            "-0.00333333333333"
        );
        assert_eq!(Exact::zero().to_string(), "0");
    }

    #[test]
    fn rounds_to_significant_digits() {
        assert_eq!(n("1322.314").to_digits(4), "1322");
        assert_eq!(n("0.0917").to_digits(2), "0.092");
        assert_eq!(n("99999").to_digits(2), "99999");
        assert_eq!(n("0.5").to_digits(1), "0.5");
        assert_eq!(n("1").to_digits(3), "1");
    }

    #[test]
    fn rounds_to_a_step() {
        let step = n("0.1");
        assert_eq!(n("1.25").nearest_to(&step), n("1.3"));
        assert_eq!(n("1.29").down_to(&step), n("1.2"));
        assert_eq!(n("1.29").down_to(&Exact::zero()), n("1.29"));
    }

    #[test]
    fn roots_are_exact_where_they_can_be() {
        assert_eq!(n("6.25").sqrt(), Some(n("2.5")));
        assert_eq!(n("2").sqrt().unwrap().to_digits(18), "1.41421356237309505");
        assert_eq!(
            n("0.0000000002").sqrt().unwrap().to_digits(12),
            "0.0000141421356237"
        );
        assert_eq!(Exact::from(-1).sqrt(), None);
    }

    #[test]
    fn reads_only_plain_digits() {
        for bad in [
            "", ".", ".5", "5.", "1e3", "1_000", "+1", "-1", "١", "1.2.3", " 1",
        ] {
            assert_eq!(Exact::from_digits(bad), None, "{bad:?}");
        }
        assert_eq!(n("007"), Exact::from(7));
    }

    #[test]
    fn nothing_is_divided_by_nought() {
        assert_eq!(Exact::one().over(&Exact::zero()), None);
        assert_eq!(Exact::ratio(1, 0), None);
    }
}
