//! Degree days: how warm it has been, summed up. Formulas and their sources stand in `timing.yaml` under `methods`.
use super::days::Day;
use jiff::civil::Date;
use serde::Serialize;
use std::f64::consts::{FRAC_PI_2, PI};

/// Way of reckoning. The ids are those of the knowledge.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Method {
    /// Mean of highest and lowest, less the base; never below zero.
    Simple,
    /// Highest capped at the upper and lowest raised to the base before the mean is taken.
    Modified,
    /// Only the lowest raised to the base.
    ModifiedLower,
    /// Area between a sine through lowest and highest and the thresholds (horizontal cutoff).
    SingleSine,
}

/// Every method with its id.
pub const METHODS: [(&str, Method); 5] = [
    ("simple", Method::Simple),
    ("modified", Method::Modified),
    ("modified-lower", Method::ModifiedLower),
    // Raising and capping is what others call substitution.
    ("substitution", Method::Modified),
    ("single-sine", Method::SingleSine),
];

impl Method {
    /// The method with an id.
    #[must_use]
    pub fn of(id: &str) -> Option<Self> {
        METHODS
            .iter()
            .find(|(name, _)| *name == id)
            .map(|(_, m)| *m)
    }

    /// Its id.
    #[must_use]
    pub fn id(self) -> &'static str {
        METHODS
            .iter()
            .find(|(_, m)| *m == self)
            .map_or("", |(name, _)| name)
    }
}

/// Degree days of one day. All in one unit, Fahrenheit or Celsius; `upper` is the threshold above which growth gains nothing.
///
/// ```
/// use ligule::season::degree::{Method, of_day};
/// // Purdue University: 74 and 52 F with base 50 F are 13 degree days.
/// assert_eq!(of_day(Method::Simple, 74.0, 52.0, 50.0, None), 13.0);
/// ```
#[must_use]
pub fn of_day(method: Method, high: f64, low: f64, base: f64, upper: Option<f64>) -> f64 {
    match method {
        Method::Simple => (f64::midpoint(high, low) - base).max(0.0),
        Method::Modified | Method::ModifiedLower => {
            let cap = if method == Method::Modified {
                upper.unwrap_or(f64::MAX)
            } else {
                f64::MAX
            };
            let held = |t: f64| t.max(base).min(cap.max(base));
            f64::midpoint(held(high), held(low)) - base
        }
        Method::SingleSine => above(high, low, base) - upper.map_or(0.0, |u| above(high, low, u)),
    }
}

/// Area of a day's sine above a threshold, in degree days (Baskerville and Emin 1969, in the form of the knowledge).
fn above(high: f64, low: f64, threshold: f64) -> f64 {
    let (middle, half) = (f64::midpoint(high, low), (high - low) / 2.0);
    if high <= threshold {
        0.0
    } else if low >= threshold {
        middle - threshold
    } else {
        let q = ((threshold - middle) / half).clamp(-1.0, 1.0).asin();
        ((middle - threshold) * (FRAC_PI_2 - q) + half * q.cos()) / PI
    }
}

/// A day of a sum.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Running {
    /// The day.
    pub date: Date,
    /// Its degree days; none where the day has no temperatures.
    pub of_day: Option<f64>,
    /// Sum up to and including this day.
    pub total: f64,
    /// Days without temperatures since the start. While this is not zero the true sum may be larger, never smaller.
    pub missing: usize,
}

/// What is summed up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Count {
    /// Way of reckoning.
    pub method: Method,
    /// Base temperature.
    pub base: f64,
    /// Upper threshold.
    pub upper: Option<f64>,
    /// Whether base, threshold and sum are Fahrenheit; Celsius otherwise.
    pub fahrenheit: bool,
    /// First day that counts.
    pub start: Date,
    /// Whether the soil is meant, not the air.
    pub soil: bool,
}

/// Sums degree days from the start on. Days before the first day of the file count as missing.
#[must_use]
pub fn sum(days: &[Day], count: &Count) -> Vec<Running> {
    let mut total = 0.0;
    let mut missing = days
        .first()
        .and_then(|d| d.date.since(count.start).ok())
        .map_or(0, |span| usize::try_from(span.get_days()).unwrap_or(0));
    let unit = |c: f64| if count.fahrenheit { c * 1.8 + 32.0 } else { c };
    let mut out = Vec::new();
    for day in days.iter().filter(|d| d.date >= count.start) {
        let range = if count.soil {
            // A daily mean has no range: the simple method needs none, and the others would be guesses.
            day.soil_range.or_else(|| {
                day.soil
                    .filter(|_| count.method == Method::Simple)
                    .map(|m| (m, m))
            })
        } else {
            day.air
        };
        let of = range.map(|(high, low)| {
            of_day(count.method, unit(high), unit(low), count.base, count.upper)
        });
        match of {
            Some(dd) => total += dd,
            None => missing += 1,
        }
        out.push(Running {
            date: day.date,
            of_day: of,
            total,
            missing,
        });
    }
    out
}
