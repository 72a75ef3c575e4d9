//! Moist air: vapour pressure, dew point, wet bulb, Delta T.
//!
//! Temperatures are degrees Celsius, pressures kilopascals, humidity percent. Answers outside the stated range of a
//! formula are still given; [`stull_holds`] tells whether the short formula may be trusted.

/// Pressure at sea level, kPa.
pub const SEA_LEVEL_KPA: f64 = 101.325;

/// Saturation vapour pressure over water, kPa (FAO Irrigation and Drainage Paper 56, equation 11).
#[must_use]
pub fn saturation_kpa(celsius: f64) -> f64 {
    0.6108 * (17.27 * celsius / (celsius + 237.3)).exp()
}

/// Vapour pressure from temperature and relative humidity, kPa (FAO 56, equation 10 solved for the vapour pressure).
#[must_use]
pub fn vapour_kpa(celsius: f64, humidity_percent: f64) -> f64 {
    saturation_kpa(celsius) * humidity_percent / 100.0
}

/// Temperature at which the vapour pressure is the saturation pressure (FAO 56, annex 3, equation 3-11, which inverts
/// [`saturation_kpa`]). `None` for a pressure of zero or less.
#[must_use]
pub fn dew_point_c(vapour_kpa: f64) -> Option<f64> {
    if vapour_kpa <= 0.0 {
        return None;
    }
    let ln = (vapour_kpa / 0.6108).ln();
    Some(237.3 * ln / (17.27 - ln))
}

/// Air pressure at an altitude in metres, kPa (FAO 56, equation 7).
#[must_use]
pub fn pressure_kpa(altitude_m: f64) -> f64 {
    101.3 * ((293.0 - 0.0065 * altitude_m) / 293.0).powf(5.26)
}

/// Psychrometric constant of a wet surface, kPa per degree (FAO 56, equation 8).
#[must_use]
pub fn psychrometric_constant(pressure_kpa: f64) -> f64 {
    0.000_665 * pressure_kpa
}

/// Coefficient of a ventilated psychrometer, per degree (FAO 56, equation 16).
pub const VENTILATED: f64 = 0.000_662;
/// Coefficient of a naturally ventilated psychrometer, per degree (FAO 56, equation 16).
pub const NATURAL: f64 = 0.000_8;

/// Vapour pressure from the readings of a dry and a wet thermometer, kPa (FAO 56, equation 15).
#[must_use]
pub fn vapour_from_psychrometer(
    dry_c: f64,
    wet_c: f64,
    coefficient: f64,
    pressure_kpa: f64,
) -> f64 {
    saturation_kpa(wet_c) - coefficient * pressure_kpa * (dry_c - wet_c)
}

/// Wet-bulb temperature by the short formula for sea level (Stull 2011).
#[must_use]
pub fn wet_bulb_stull(celsius: f64, humidity_percent: f64) -> f64 {
    let rh = humidity_percent;
    celsius * (0.151_977 * (rh + 8.313_659).sqrt()).atan() + (celsius + rh).atan()
        - (rh - 1.676_331).atan()
        + 0.003_918_38 * rh.powf(1.5) * (0.023_101 * rh).atan()
        - 4.686_035
}

/// Whether the short formula holds: humidity 5 to 99 percent, -20 to 50 degrees, and not both cold and dry. The edge of
/// "cold and dry" is drawn from 5 percent at 10 degrees to 40 percent at -20 degrees.
#[must_use]
pub fn stull_holds(celsius: f64, humidity_percent: f64) -> bool {
    (5.0..=99.0).contains(&humidity_percent)
        && (-20.0..=50.0).contains(&celsius)
        && humidity_percent >= 5.0 + (10.0 - celsius).max(0.0) / 30.0 * 35.0
}

/// Wet-bulb temperature at which a ventilated psychrometer would rest, found by halving (FAO 56, equation 15).
#[must_use]
pub fn wet_bulb_psychrometric(celsius: f64, humidity_percent: f64, pressure_kpa: f64) -> f64 {
    let wanted = vapour_kpa(celsius, humidity_percent.clamp(0.0, 100.0));
    // The vapour pressure grows with the wet-bulb temperature; at the dry bulb it is saturation, so the answer lies below.
    let (mut low, mut high) = (celsius - 60.0, celsius);
    for _ in 0..60 {
        let middle = f64::midpoint(low, high);
        if vapour_from_psychrometer(celsius, middle, VENTILATED, pressure_kpa) > wanted {
            high = middle;
        } else {
            low = middle;
        }
    }
    f64::midpoint(low, high)
}

/// Above this the short formula reads up to one degree too high against the ASHRAE wet bulb, which would make hot dry air
/// look kinder than it is.
const STULL_HOTTEST_C: f64 = 35.0;

/// Dry minus wet bulb, never below zero: the index of evaporation that sprayers go by. The short formula where it holds and
/// the air is not hot, the psychrometer elsewhere.
///
/// ```
/// // Stull 2011: 13.7 degrees of wet bulb at 20 degrees and 50 percent.
/// assert_eq!(format!("{:.1}", ligule::season::air::delta_t(20.0, 50.0)), "6.3");
/// ```
#[must_use]
pub fn delta_t(celsius: f64, humidity_percent: f64) -> f64 {
    let wet = if stull_holds(celsius, humidity_percent) && celsius <= STULL_HOTTEST_C {
        wet_bulb_stull(celsius, humidity_percent)
    } else {
        wet_bulb_psychrometric(celsius, humidity_percent, SEA_LEVEL_KPA)
    };
    (celsius - wet).max(0.0)
}

/// Relative humidity from temperature and dew point, percent.
#[must_use]
pub fn humidity_from_dew_point(celsius: f64, dew_c: f64) -> f64 {
    100.0 * saturation_kpa(dew_c) / saturation_kpa(celsius)
}
