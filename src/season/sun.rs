//! When the sun rises and sets: the short method of the Almanac for Computers (US Naval Observatory, 1990), good to a
//! minute or two away from the polar circles.
use jiff::civil::Date;

/// Zenith of the sun's upper edge at the horizon, degrees: 90 degrees and 50 minutes.
const ZENITH: f64 = 90.0 + 50.0 / 60.0;

/// A place on the earth, degrees; north and east are positive.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spot {
    /// Latitude, -90 to 90.
    pub latitude: f64,
    /// Longitude, -180 to 180.
    pub longitude: f64,
}

impl std::str::FromStr for Spot {
    type Err = String;

    /// Reads `35.9,-84.0`: latitude and longitude in degrees.
    ///
    /// # Errors
    /// Says how a place is written.
    fn from_str(typed: &str) -> Result<Self, String> {
        let wrong = || {
            format!(
                "`{typed}` is no place; write latitude,longitude in degrees, north and east positive, such as 35.9,-84.0"
            )
        };
        let (latitude, longitude) = typed.split_once(',').ok_or_else(wrong)?;
        let number = |t: &str| super::units::number(t.trim()).ok_or_else(wrong);
        let spot = Self {
            latitude: number(latitude)?,
            longitude: number(longitude)?,
        };
        if spot.latitude.abs() > 90.0 || spot.longitude.abs() > 180.0 {
            return Err(wrong());
        }
        Ok(spot)
    }
}

/// Hours after midnight of universal time at which the sun rises and sets on a day; not cut to one day, so that a sunset
/// west of Greenwich may lie beyond 24. `None` where the sun does not rise or set that day.
#[must_use]
pub fn rise_and_set(day: Date, spot: Spot) -> Option<(f64, f64)> {
    Some((event(day, spot, true)?, event(day, spot, false)?))
}

fn event(day: Date, spot: Spot, rising: bool) -> Option<f64> {
    let hour = spot.longitude / 15.0;
    let local = if rising { 6.0 } else { 18.0 };
    let t = f64::from(day.day_of_year()) + (local - hour) / 24.0;
    let m = 0.9856 * t - 3.289;
    let l = (m + 1.916 * sin(m) + 0.020 * sin(2.0 * m) + 282.634).rem_euclid(360.0);
    let ra = (0.917_64 * tan(l)).atan().to_degrees().rem_euclid(360.0);
    let quadrant = |x: f64| (x / 90.0).floor() * 90.0;
    let ra = (ra + quadrant(l) - quadrant(ra)) / 15.0;
    let sin_dec = 0.397_82 * sin(l);
    let cos_dec = sin_dec.asin().cos();
    let cos_h = (ZENITH.to_radians().cos() - sin_dec * sin(spot.latitude))
        / (cos_dec * spot.latitude.to_radians().cos());
    if !(-1.0..=1.0).contains(&cos_h) {
        return None;
    }
    let angle = cos_h.acos().to_degrees();
    let turned = if rising { 360.0 - angle } else { angle } / 15.0;
    let mean = turned + ra - 0.065_71 * t - 6.622;
    // Bring the answer near the time that was guessed, so that no day is skipped.
    let guess = local - hour;
    let ut = mean - hour;
    Some(ut - ((ut - guess) / 24.0).round() * 24.0)
}

fn sin(degrees: f64) -> f64 {
    degrees.to_radians().sin()
}

fn tan(degrees: f64) -> f64 {
    degrees.to_radians().tan()
}

/// Hours of daylight (FAO 56, equations 24, 25 and 34: centre of the sun, no refraction).
#[must_use]
pub fn daylight_hours(day_of_year: f64, latitude: f64) -> f64 {
    let declination = 0.409 * (std::f64::consts::TAU / 365.0 * day_of_year - 1.39).sin();
    let x = (-latitude.to_radians().tan() * declination.tan()).clamp(-1.0, 1.0);
    24.0 / std::f64::consts::PI * x.acos()
}
