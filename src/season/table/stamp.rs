//! Days and hours as they are written.
use super::Step;
use jiff::civil::{Date, DateTime};
use jiff::tz::Offset;

/// A date, or a date with an hour and perhaps an offset.
pub fn stamp(cell: &str) -> Result<(DateTime, Option<Offset>, Step), String> {
    let wrong = |why: &str| {
        format!(
            "`{cell}` is no time here: {why}; write 2026-05-10 for a day, 2026-05-10T06:00 or 2026-05-10T06:00-04:00 for an hour"
        )
    };
    if cell.len() < 10 || !cell.is_ascii() {
        return Err(wrong("it is too short"));
    }
    let (day, rest) = cell.split_at(10);
    let date: Date = day.parse().map_err(|_| {
        if day.ends_with("-02-29") {
            wrong("that year has no 29 February")
        } else {
            wrong("it does not start with a day as year-month-day")
        }
    })?;
    if date.to_string() != day {
        return Err(wrong("it does not start with a day as year-month-day"));
    }
    if rest.is_empty() {
        return Ok((date.at(0, 0, 0, 0), None, Step::Daily));
    }
    let rest = rest.trim_start_matches(['T', ' ']);
    let cut = rest.find(['+', '-', 'Z']).unwrap_or(rest.len());
    let (clock, zone) = rest.split_at(cut);
    let parts: Vec<Option<i8>> = clock.split(':').map(|p| p.parse().ok()).collect();
    let (Some(&Some(hour)), minute) = (parts.first(), parts.get(1).copied().flatten().unwrap_or(0))
    else {
        return Err(wrong("the hour cannot be read"));
    };
    if minute != 0 || parts.get(2).copied().flatten().unwrap_or(0) != 0 {
        return Err(wrong("rows stand on the full hour"));
    }
    let time = jiff::civil::Time::new(hour, 0, 0, 0)
        .map_err(|_| wrong("that hour is not on the clock"))?;
    let offset = match zone {
        "" => None,
        "Z" => Some(Offset::UTC),
        zone => Some(offset(zone).ok_or_else(|| wrong("the offset cannot be read"))?),
    };
    Ok((date.to_datetime(time), offset, Step::Hourly))
}

fn offset(zone: &str) -> Option<Offset> {
    let sign = if zone.starts_with('-') { -1 } else { 1 };
    let digits = zone[1..].replace(':', "");
    let (hours, minutes) = match digits.len() {
        2 => (digits.parse::<i32>().ok()?, 0),
        4 => (digits[..2].parse().ok()?, digits[2..].parse::<i32>().ok()?),
        _ => return None,
    };
    Offset::from_seconds(sign * (hours * 3600 + minutes * 60)).ok()
}
