//! The units that weather is written in. Inside, temperature is Celsius, wind metres a second, rain millimetres.
use crate::words::nearest;

/// What a column of a weather file holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Quantity {
    /// Highest temperature of the day.
    TemperatureMax,
    /// Lowest temperature of the day.
    TemperatureMin,
    /// Air temperature of the hour.
    Temperature,
    /// Mean soil temperature.
    Soil,
    /// Dew point.
    DewPoint,
    /// Relative humidity.
    Humidity,
    /// Mean wind.
    Wind,
    /// Gusts.
    Gust,
    /// Rain.
    Rain,
    /// Chance of rain.
    RainChance,
    /// Cloud cover.
    Cloud,
}

use Quantity as Q;

/// Names that columns go by, in plain spelling. The first is the one to teach.
const NAMES: [(Quantity, &[&str]); 11] = [
    (
        Q::TemperatureMax,
        &[
            "tmax",
            "temperature-max",
            "max-temperature",
            "max-temp",
            "temp-max",
            "high",
        ],
    ),
    (
        Q::TemperatureMin,
        &[
            "tmin",
            "temperature-min",
            "min-temperature",
            "min-temp",
            "temp-min",
            "low",
        ],
    ),
    (
        Q::Temperature,
        &["temperature", "temp", "air-temperature", "air-temp", "t"],
    ),
    (Q::Soil, &["soil", "soil-temperature", "soil-temp", "tsoil"]),
    (Q::DewPoint, &["dew-point", "dewpoint", "tdew"]),
    (Q::Humidity, &["humidity", "relative-humidity", "rh"]),
    (Q::Wind, &["wind", "wind-speed", "windspeed"]),
    (Q::Gust, &["gust", "gusts", "wind-gust", "wind-gusts"]),
    (Q::Rain, &["rain", "precipitation", "precip", "rainfall"]),
    (
        Q::RainChance,
        &[
            "rain-chance",
            "chance-of-rain",
            "precipitation-probability",
            "pop",
        ],
    ),
    (Q::Cloud, &["cloud", "cloud-cover", "clouds"]),
];

impl Quantity {
    /// The quantity that a column name means.
    #[must_use]
    pub fn of_name(plain: &str) -> Option<Self> {
        NAMES
            .iter()
            .find(|(_, names)| names.contains(&plain))
            .map(|(q, _)| *q)
    }

    /// The name to teach.
    #[must_use]
    pub fn name(self) -> &'static str {
        NAMES
            .iter()
            .find(|(q, _)| *q == self)
            .map_or("", |(_, names)| names[0])
    }

    /// The name that was probably meant.
    #[must_use]
    pub fn near(plain: &str) -> Option<&'static str> {
        nearest(
            plain,
            NAMES.iter().flat_map(|(_, names)| names.iter().copied()),
        )
    }

    /// Units that it may be written in.
    #[must_use]
    pub fn units(self) -> &'static [Unit] {
        match self {
            Q::TemperatureMax | Q::TemperatureMin | Q::Temperature | Q::Soil | Q::DewPoint => {
                &[Unit::Fahrenheit, Unit::Celsius]
            }
            Q::Humidity | Q::RainChance | Q::Cloud => &[Unit::Percent],
            Q::Wind | Q::Gust => &[
                Unit::MilesPerHour,
                Unit::KilometresPerHour,
                Unit::MetresPerSecond,
                Unit::Knots,
            ],
            Q::Rain => &[Unit::Millimetres, Unit::Inches],
        }
    }

    /// Lowest and highest value that weather can have, in the units used inside.
    #[must_use]
    pub fn range(self) -> (f64, f64) {
        match self {
            Q::TemperatureMax | Q::TemperatureMin | Q::Temperature | Q::DewPoint => (-60.0, 58.0),
            Q::Soil => (-30.0, 60.0),
            Q::Humidity | Q::RainChance | Q::Cloud => (0.0, 100.0),
            Q::Wind | Q::Gust => (0.0, 115.0),
            Q::Rain => (0.0, 2000.0),
        }
    }
}

/// A unit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unit {
    /// °F.
    Fahrenheit,
    /// °C.
    Celsius,
    /// Miles an hour.
    MilesPerHour,
    /// Kilometres an hour.
    KilometresPerHour,
    /// Metres a second.
    MetresPerSecond,
    /// Nautical miles an hour.
    Knots,
    /// Millimetres.
    Millimetres,
    /// Inches.
    Inches,
    /// Percent.
    Percent,
}

impl Unit {
    /// The unit that is written as `text`.
    #[must_use]
    pub fn of(text: &str) -> Option<Self> {
        let text: String = text.trim().trim_start_matches('°').to_lowercase();
        Some(match text.as_str() {
            "f" | "degf" | "fahrenheit" => Self::Fahrenheit,
            "c" | "degc" | "celsius" => Self::Celsius,
            "mph" | "mi/h" => Self::MilesPerHour,
            "km/h" | "kmh" | "kph" => Self::KilometresPerHour,
            "m/s" | "ms" | "mps" => Self::MetresPerSecond,
            "kn" | "kt" | "knots" => Self::Knots,
            "mm" => Self::Millimetres,
            "in" | "inch" | "inches" => Self::Inches,
            "%" | "percent" | "pct" => Self::Percent,
            _ => return None,
        })
    }

    /// How it is written.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Fahrenheit => "F",
            Self::Celsius => "C",
            Self::MilesPerHour => "mph",
            Self::KilometresPerHour => "km/h",
            Self::MetresPerSecond => "m/s",
            Self::Knots => "kn",
            Self::Millimetres => "mm",
            Self::Inches => "in",
            Self::Percent => "%",
        }
    }

    /// From this unit to the one used inside.
    #[must_use]
    pub fn inside(self, value: f64) -> f64 {
        match self {
            Self::Fahrenheit => (value - 32.0) / 1.8,
            // The mile, the inch and the nautical mile are exact by definition (NIST SP 811).
            Self::MilesPerHour => value * 1609.344 / 3600.0,
            Self::KilometresPerHour => value / 3.6,
            Self::Knots => value * 1852.0 / 3600.0,
            Self::Inches => value * 25.4,
            Self::Celsius | Self::MetresPerSecond | Self::Millimetres | Self::Percent => value,
        }
    }

    /// From the unit used inside to this one.
    #[must_use]
    pub fn outside(self, value: f64) -> f64 {
        match self {
            Self::Fahrenheit => value * 1.8 + 32.0,
            Self::MilesPerHour => value * 3600.0 / 1609.344,
            Self::KilometresPerHour => value * 3.6,
            Self::Knots => value * 3600.0 / 1852.0,
            Self::Inches => value / 25.4,
            Self::Celsius | Self::MetresPerSecond | Self::Millimetres | Self::Percent => value,
        }
    }
}

/// A figure with its unit behind it (`72F`, `3 mph`), as people and files write it.
///
/// # Errors
/// What is wrong, in one sentence.
pub fn figure(text: &str, allowed: &[Unit]) -> Result<(f64, Unit), String> {
    let text = text.trim();
    let end = text
        .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | '-' | '+')))
        .unwrap_or(text.len());
    let words = || {
        allowed
            .iter()
            .map(|u| u.word())
            .collect::<Vec<_>>()
            .join(", ")
    };
    let value = number(&text[..end])
        .ok_or_else(|| format!("`{text}` is no number with a unit ({})", words()))?;
    let unit = text[end..].trim();
    if unit.is_empty() {
        return Err(format!(
            "`{text}` has no unit; write one of {} behind it",
            words()
        ));
    }
    match Unit::of(unit).filter(|u| allowed.contains(u)) {
        Some(unit) => Ok((value, unit)),
        None => Err(format!(
            "`{unit}` is no unit for this; write one of {}",
            words()
        )),
    }
}

/// A plain number: digits with at most one point, perhaps a sign.
#[must_use]
pub fn number(text: &str) -> Option<f64> {
    let digits = text.trim().trim_start_matches(['-', '+']);
    let plain = digits.chars().any(|c| c.is_ascii_digit())
        && digits.chars().all(|c| c.is_ascii_digit() || c == '.');
    plain
        .then(|| text.trim().parse::<f64>().ok())
        .flatten()
        .filter(|n| n.is_finite())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_carry_their_units() {
        let temperature = Quantity::Temperature.units();
        assert_eq!(figure("72F", temperature), Ok((72.0, Unit::Fahrenheit)));
        assert_eq!(figure("-3.5 °C", temperature), Ok((-3.5, Unit::Celsius)));
        assert!(figure("72", temperature).is_err_and(|e| e.contains("no unit")));
        assert!(figure("72 mph", temperature).is_err_and(|e| e.contains("F, C")));
        assert!(figure("hot", temperature).is_err_and(|e| e.contains("no number")));
    }

    #[test]
    fn numbers_are_plain() {
        assert_eq!(number(" -1.5 "), Some(-1.5));
        for wrong in [
            "", ".", "-", "1e3", "1,5", "nan", "inf", "--1", "1.2.3", "٣",
        ] {
            assert_eq!(number(wrong), None, "{wrong}");
        }
    }

    /// NIST SP 811: a mile an hour is 0.44704 m/s, a knot 0.514444 m/s, an inch 25.4 mm; 212 F are 100 C.
    #[test]
    fn units_turn_into_each_other() {
        let near = |a: f64, b: f64| assert!((a - b).abs() < 1e-6, "{a} {b}");
        near(Unit::MilesPerHour.inside(1.0), 0.447_04);
        near(Unit::Knots.inside(1.0), 0.514_444_444);
        near(Unit::Inches.inside(2.0), 50.8);
        near(Unit::Fahrenheit.inside(212.0), 100.0);
        for quantity in [
            Quantity::Temperature,
            Quantity::Wind,
            Quantity::Rain,
            Quantity::Cloud,
        ] {
            for unit in quantity.units() {
                near(unit.outside(unit.inside(12.3)), 12.3);
                assert_eq!(
                    Unit::of(unit.word()),
                    Some(*unit),
                    "what is written is read"
                );
            }
        }
    }
}
