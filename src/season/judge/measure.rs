//! Limits and values in one unit, and in words.
//! The judgement of one hour.
use crate::knowledge::form::lists::WeatherLimit;
use crate::knowledge::form::season::Measure as M;
use crate::season::units::{Quantity as Q, Unit};

/// What a limit is counted in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum In {
    /// A unit of weather.
    Of(Unit),
    /// Degrees between two temperatures: how many Celsius degrees one is.
    Degrees(f64),
    /// Hours.
    Hours,
    /// Days.
    Days,
}

/// The unit of a limit, if it fits what is measured.
pub fn unit_of(limit: &WeatherLimit) -> Option<In> {
    let of = |q: Q| {
        Unit::of(&limit.unit)
            .filter(|u| q.units().contains(u))
            .map(In::Of)
    };
    match limit.measure {
        M::Wind | M::Gust | M::InversionWind => of(Q::Wind),
        M::Temperature | M::TemperatureAhead => of(Q::Temperature),
        M::InversionCloud | M::RainChance => of(Q::Cloud),
        M::RainAmount => of(Q::Rain),
        M::DeltaT | M::DewSpread => match limit.unit.as_str() {
            "C" => Some(In::Degrees(1.0)),
            "F" => Some(In::Degrees(1.0 / 1.8)),
            _ => None,
        },
        M::BeforeSunset | M::AfterSunrise | M::BeforeRain | M::BeforeIrrigation | M::SinceWater => {
            (limit.unit == "h").then_some(In::Hours)
        }
        M::SinceMowing | M::BeforeMowing => (limit.unit == "d").then_some(In::Days),
    }
}

/// An end of a limit in the units used inside.
pub fn inside(limit: &WeatherLimit, end: f64) -> f64 {
    match unit_of(limit) {
        Some(In::Of(unit)) => unit.inside(end),
        Some(In::Degrees(size)) => end * size,
        _ => end,
    }
}

/// A value as the limit counts it, to read.
fn shown(limit: &WeatherLimit, value: f64) -> String {
    let value = match unit_of(limit) {
        Some(In::Of(unit)) => unit.outside(value),
        Some(In::Degrees(size)) => value / size,
        _ => value,
    };
    let ends = [limit.above, limit.below];
    // A value just beside the limit must not read as the limit itself.
    let round = [10.0, 100.0, 1000.0]
        .map(|places| (value * places).round() / places)
        .into_iter()
        .find(|round| {
            ends.iter()
                .flatten()
                .all(|end| (round - end.0).abs() > 1e-9)
        })
        .unwrap_or(value);
    // No minus sign before a zero.
    format!("{} {}", round + 0.0, limit.unit)
}

pub fn touched(limit: &WeatherLimit, value: f64) -> Option<String> {
    if let Some(end) = limit.above
        && value > inside(limit, end.0) + 1e-9
    {
        return Some(format!("{}, more than {}", shown(limit, value), end.0));
    }
    if let Some(end) = limit.below
        && value < inside(limit, end.0) - 1e-9
    {
        return Some(format!("{}, less than {}", shown(limit, value), end.0));
    }
    None
}

pub fn words(measure: M) -> &'static str {
    match measure {
        M::Wind | M::InversionWind => "wind",
        M::Gust => "gusts",
        M::Temperature => "air temperature",
        M::TemperatureAhead => "highest air temperature of the 24 hours ahead",
        M::DeltaT => "Delta T",
        M::BeforeSunset => "time before sunset",
        M::AfterSunrise => "time after sunrise",
        M::InversionCloud => "cloud",
        M::DewSpread => "air above dew point by",
        M::RainAmount => "rain",
        M::RainChance => "chance of rain",
        M::BeforeRain => "hours before rain",
        M::BeforeIrrigation => "hours before watering",
        M::SinceWater => "hours since rain or watering",
        M::SinceMowing => "days since mowing",
        M::BeforeMowing => "days before mowing",
    }
}
