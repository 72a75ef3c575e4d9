//! Days of weather, from a daily file or put together from hours.
use super::table::{Finding, Row, Step, Table};
use super::units::Quantity;
use jiff::ToSpan;
use jiff::civil::Date;

/// What is known of a day. Degrees Celsius and millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Day {
    /// The local day.
    pub date: Date,
    /// Highest and lowest air temperature.
    pub air: Option<(f64, f64)>,
    /// Mean soil temperature.
    pub soil: Option<f64>,
    /// Highest and lowest soil temperature; only from hours.
    pub soil_range: Option<(f64, f64)>,
}

/// The days of a table from the first to the last, those without rows included, and what was found on the way.
///
/// A day made of hours counts only if all its hours are there: 24, or 23 to 25 on a day on which the offset changes.
#[must_use]
pub fn days(table: &Table) -> (Vec<Day>, Vec<Finding>) {
    let mut found = Vec::new();
    let (Some(first), Some(last)) = (table.rows.first(), table.rows.last()) else {
        return (Vec::new(), found);
    };
    let mut out = Vec::new();
    let mut date = first.at.date();
    let mut rest = table.rows.as_slice();
    while date <= last.at.date() {
        let here = rest.iter().take_while(|r| r.at.date() <= date).count();
        let (rows, later) = rest.split_at(here);
        rest = later;
        out.push(match table.step {
            Step::Daily => of_row(date, rows.first(), &mut found),
            Step::Hourly => of_hours(date, rows, &mut found),
        });
        let Ok(next) = date.checked_add(1.day()) else {
            break;
        };
        date = next;
    }
    (out, found)
}

fn of_row(date: Date, row: Option<&Row>, found: &mut Vec<Finding>) -> Day {
    let get = |q: Quantity| row.and_then(|r| r.values.get(&q).copied());
    let air = match (get(Quantity::TemperatureMax), get(Quantity::TemperatureMin)) {
        (Some(high), Some(low)) if high >= low => Some((high, low)),
        (Some(_), Some(_)) => {
            found.push(Finding {
                code: "swapped",
                line: row.map_or(0, |r| r.line),
                message: format!("on {date} the highest temperature lies below the lowest; the day counts as missing"),
            });
            None
        }
        _ => None,
    };
    Day {
        date,
        air,
        soil: get(Quantity::Soil),
        soil_range: None,
    }
}

fn of_hours(date: Date, rows: &[Row], found: &mut Vec<Finding>) -> Day {
    let changed = rows.windows(2).any(|w| w[0].offset != w[1].offset);
    let range = |q: Quantity| -> Option<(f64, f64, f64)> {
        let values: Vec<f64> = rows
            .iter()
            .filter_map(|r| r.values.get(&q).copied())
            .collect();
        let whole = values.len() == 24 || (changed && (23..=25).contains(&values.len()));
        #[expect(clippy::cast_precision_loss, reason = "at most 25 values")]
        let mean = values.iter().sum::<f64>() / values.len().max(1) as f64;
        whole.then(|| {
            (
                values.iter().copied().fold(f64::MIN, f64::max),
                values.iter().copied().fold(f64::MAX, f64::min),
                mean,
            )
        })
    };
    let air = range(Quantity::Temperature);
    let soil = range(Quantity::Soil);
    if air.is_none() && soil.is_none() {
        found.push(Finding {
            code: "part-day",
            line: rows.first().map_or(0, |r| r.line),
            message: format!(
                "{date} has {} of its hours; it counts as missing for sums over days",
                rows.len()
            ),
        });
    }
    Day {
        date,
        air: air.map(|(h, l, _)| (h, l)),
        soil: soil.map(|(_, _, m)| m),
        soil_range: soil.map(|(h, l, _)| (h, l)),
    }
}
