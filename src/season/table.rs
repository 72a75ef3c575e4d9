//! Weather as a table that somebody else wrote: read strictly, with everything doubtful told and nothing guessed.
//!
//! The first line names the columns, each with its unit (`tmax_F`, `Wind (mph)`, `soil [C]`). A column may instead be
//! mapped by hand. Times are local, `2026-05-10` or `2026-05-10T06:00`, perhaps with an offset (`-04:00`).
use super::units::{Quantity, Unit, figure, number};
use crate::words::plain;
use jiff::civil::{Date, DateTime};
use jiff::tz::Offset;
use jiff::{Span, ToSpan};
use serde::Serialize;
use std::collections::BTreeMap;

/// How far apart the rows of a table are.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Step {
    /// One row a day.
    Daily,
    /// One row an hour.
    Hourly,
}

/// One row.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// Local time; midnight for a day.
    pub at: DateTime,
    /// Hours east of universal time, where the file says so.
    pub offset: Option<Offset>,
    /// Values in the units used inside; a value that is missing or was refused is not there.
    pub values: BTreeMap<Quantity, f64>,
    /// Line of the file.
    pub line: u64,
}

/// Something that the reader of a weather file has to know.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Finding {
    /// Stable code.
    pub code: &'static str,
    /// Line of the file; 0 for the file as a whole.
    pub line: u64,
    /// What is wrong and what was done.
    pub message: String,
}

/// A column that was mapped by hand: quantity, name of the column, unit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mapped {
    /// What it holds.
    pub quantity: Quantity,
    /// Its name in the file.
    pub column: String,
    /// Its unit.
    pub unit: Unit,
}

/// A weather file that was read.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    /// Rows in order of time, each time once.
    pub rows: Vec<Row>,
    /// Distance of the rows.
    pub step: Step,
    /// What was found.
    pub findings: Vec<Finding>,
    /// What the columns hold.
    pub holds: Vec<Quantity>,
}

/// Why a weather file cannot be used at all.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{name}{}: {message}", if *.line > 0 { format!(":{}", .line) } else { String::new() })]
pub struct TableError {
    /// Name of the file as the caller gave it.
    pub name: String,
    /// Line; 0 for the file as a whole.
    pub line: u64,
    /// What is wrong and how to mend it.
    pub message: String,
}

/// Reads `quantity=column:unit`, as typed for a column that does not name itself.
///
/// # Errors
/// What is wrong, in one sentence.
pub fn mapped(typed: &str) -> Result<Mapped, String> {
    let form = "write it as quantity=column name:unit, such as tmax=MaxT:F";
    let (quantity, rest) = typed
        .split_once('=')
        .ok_or_else(|| format!("`{typed}` maps nothing; {form}"))?;
    let (column, unit) = rest
        .rsplit_once(':')
        .ok_or_else(|| format!("`{typed}` states no unit; {form}"))?;
    let name = plain(quantity);
    let quantity = Quantity::of_name(&name).ok_or_else(|| {
        let near =
            Quantity::near(&name).map_or(String::new(), |n| format!("; did you mean `{n}`?"));
        format!("`{quantity}` is nothing that a weather file holds{near}")
    })?;
    let unit = Unit::of(unit)
        .filter(|u| quantity.units().contains(u))
        .ok_or_else(|| {
            let words: Vec<&str> = quantity.units().iter().map(|u| u.word()).collect();
            format!(
                "`{unit}` is no unit of {}; it is one of {}",
                quantity.name(),
                words.join(", ")
            )
        })?;
    Ok(Mapped {
        quantity,
        column: column.trim().to_owned(),
        unit,
    })
}

/// What a cell says that holds no value.
const EMPTY: [&str; 6] = ["", "na", "n/a", "nan", "-", "m"];

/// Reads a weather file.
///
/// # Errors
/// The file is not CSV, names no time, states no unit for a column, or mixes days and hours.
pub fn read(name: &str, text: &str, mapped: &[Mapped]) -> Result<Table, TableError> {
    let fail = |line: u64, message: String| TableError {
        name: name.to_owned(),
        line,
        message,
    };
    let mut reader = csv::ReaderBuilder::new()
        .trim(csv::Trim::All)
        .from_reader(text.trim_start_matches('\u{feff}').as_bytes());
    let header = reader
        .headers()
        .map_err(|e| fail(1, e.to_string()))?
        .clone();
    let columns = columns(&header, mapped).map_err(|message| fail(1, message))?;
    let time = header
        .iter()
        .position(|h| {
            [
                "date",
                "time",
                "datetime",
                "date-time",
                "timestamp",
                "day",
                "hour",
            ]
            .contains(&plain(h).as_str())
        })
        .ok_or_else(|| fail(1, "no column is called date or time".to_owned()))?;
    let mut found = Vec::new();
    let mut rows: Vec<Row> = Vec::new();
    let mut step = None;
    for record in reader.records() {
        let record = record.map_err(|e| {
            let line = e.position().map_or(0, csv::Position::line);
            fail(line, format!("not a row of this table: {e}"))
        })?;
        let line = record.position().map_or(0, csv::Position::line);
        let cell = record.get(time).unwrap_or_default();
        let (at, offset, of) = stamp(cell).map_err(|message| fail(line, message))?;
        if *step.get_or_insert(of) != of {
            return Err(fail(
                line,
                format!("`{cell}` mixes days and hours in one file; keep them in two files"),
            ));
        }
        let mut values = BTreeMap::new();
        for (index, quantity, unit) in &columns {
            let cell = record.get(*index).unwrap_or_default();
            if let Some(value) = value(cell, *quantity, *unit, line, &mut found) {
                values.insert(*quantity, value);
            }
        }
        rows.push(Row {
            at,
            offset,
            values,
            line,
        });
    }
    let step =
        step.ok_or_else(|| fail(0, "the file has no rows below its first line".to_owned()))?;
    let rows = in_order(rows, step, &mut found);
    gaps(&rows, step, &columns, &mut found);
    found.sort_by_key(|f| f.line);
    Ok(Table {
        rows,
        step,
        findings: found,
        holds: columns.iter().map(|(_, q, _)| *q).collect(),
    })
}

type Column = (usize, Quantity, Unit);

fn columns(header: &csv::StringRecord, mapped: &[Mapped]) -> Result<Vec<Column>, String> {
    let mut found: Vec<Column> = Vec::new();
    for own in mapped {
        let index = header.iter().position(|h| h == own.column).ok_or_else(|| {
            let near = crate::words::nearest(&own.column, header.iter());
            format!(
                "there is no column `{}`{}",
                own.column,
                near.map_or(String::new(), |n| format!("; did you mean `{n}`?"))
            )
        })?;
        found.push((index, own.quantity, own.unit));
    }
    for (index, head) in header.iter().enumerate() {
        if found.iter().any(|(i, ..)| *i == index) {
            continue;
        }
        let (name, unit) = named(head);
        let Some(quantity) = Quantity::of_name(&name) else {
            continue;
        };
        let words: Vec<&str> = quantity.units().iter().map(|u| u.word()).collect();
        let Some(unit) = unit else {
            return Err(format!(
                "the column `{head}` states no unit; call it `{head}_{}`, or map it with {}={head}:{} (units: {})",
                words[0],
                quantity.name(),
                words[0],
                words.join(", ")
            ));
        };
        if !quantity.units().contains(&unit) {
            return Err(format!(
                "{} is no unit of the column `{head}`; it is one of {}",
                unit.word(),
                words.join(", ")
            ));
        }
        if found.iter().any(|(_, q, _)| *q == quantity) {
            return Err(format!(
                "two columns hold {}; map the one that is meant",
                quantity.name()
            ));
        }
        found.push((index, quantity, unit));
    }
    if found.is_empty() {
        return Err("no column holds weather that is known here; name columns as tmax_F, tmin_F, temperature_C, soil_C, humidity_%, wind_mph, gust_mph, rain_mm, rain-chance_%, cloud_%, or map them".to_owned());
    }
    Ok(found)
}

/// Parts a column name from its unit: `tmax_F`, `Wind (mph)`, `soil [°C]`.
fn named(head: &str) -> (String, Option<Unit>) {
    let head = head.trim();
    if let Some(open) = head.rfind(['(', '['])
        && let Some(unit) = Unit::of(head[open + 1..].trim_end_matches([')', ']']))
    {
        return (plain(&head[..open]), Some(unit));
    }
    if let Some(cut) = head.rfind(['_', ' '])
        && let Some(unit) = Unit::of(&head[cut + 1..])
    {
        return (plain(&head[..cut]), Some(unit));
    }
    (plain(head), None)
}

fn value(
    cell: &str,
    quantity: Quantity,
    unit: Unit,
    line: u64,
    found: &mut Vec<Finding>,
) -> Option<f64> {
    let what = quantity.name();
    if EMPTY.contains(&cell.to_lowercase().as_str()) {
        return None;
    }
    let (raw, unit) = if let Some(raw) = number(cell) {
        (raw, unit)
    } else if let Ok((raw, own)) = figure(cell, quantity.units()) {
        if own != unit {
            found.push(Finding {
                code: "mixed-units",
                line,
                message: format!(
                    "{what} is `{cell}` in a column of {}; it was read as {}",
                    unit.word(),
                    own.word()
                ),
            });
        }
        (raw, own)
    } else {
        found.push(Finding {
            code: "no-number",
            line,
            message: format!("{what} is `{cell}`, which is no number; it counts as missing"),
        });
        return None;
    };
    let inside = unit.inside(raw);
    let (low, high) = quantity.range();
    if (low..=high).contains(&inside) {
        return Some(inside);
    }
    let other = quantity
        .units()
        .iter()
        .find(|u| **u != unit && (low..=high).contains(&u.inside(raw)));
    let doubt = other.map_or(String::new(), |u| {
        format!("; is it {} in a column of {}?", u.word(), unit.word())
    });
    found.push(Finding {
        code: "impossible-value",
        line,
        message: format!(
            "{what} of {raw} {} cannot be{doubt}; it counts as missing",
            unit.word()
        ),
    });
    None
}

/// A date, or a date with an hour and perhaps an offset.
fn stamp(cell: &str) -> Result<(DateTime, Option<Offset>, Step), String> {
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

impl Row {
    /// A point on a line that knows no clock changes where the offset is known: seconds.
    #[must_use]
    pub fn seconds(&self) -> i64 {
        let days = i64::from(
            self.at
                .date()
                .since(Date::constant(2000, 1, 1))
                .map_or(0, |s: Span| s.get_days()),
        );
        days * 86400 + i64::from(self.at.hour()) * 3600
            - self.offset.map_or(0, |o| i64::from(o.seconds()))
    }
}

fn in_order(mut rows: Vec<Row>, step: Step, found: &mut Vec<Finding>) -> Vec<Row> {
    if let Some(pair) = rows.windows(2).find(|w| w[0].seconds() > w[1].seconds()) {
        found.push(Finding {
            code: "out-of-order",
            line: pair[1].line,
            message: format!(
                "{} comes after {}; the rows were sorted by time",
                pair[1].at, pair[0].at
            ),
        });
    }
    let known = rows.iter().filter(|r| r.offset.is_some()).count();
    if known != 0 && known != rows.len() {
        found.push(Finding {
            code: "offset-missing",
            line: 0,
            message: format!(
                "{known} of {} rows state an offset; those without are taken as they stand",
                rows.len()
            ),
        });
    }
    rows.sort_by_key(Row::seconds);
    for pair in rows.windows(2) {
        if let (Some(a), Some(b)) = (pair[0].offset, pair[1].offset)
            && a != b
        {
            found.push(Finding { code: "changed-offset", line: pair[1].line, message: format!("the offset changes from {a} to {b}; hours are counted on, and days are the local ones") });
        }
    }
    let mut kept: Vec<Row> = Vec::with_capacity(rows.len());
    for row in rows {
        if let Some(last) = kept.last()
            && last.seconds() == row.seconds()
        {
            let clock = if step == Step::Hourly && row.offset.is_none() {
                " (a clock set back? state the offset)"
            } else {
                ""
            };
            found.push(Finding {
                code: "twice",
                line: row.line,
                message: format!(
                    "{} stands here and in line {}{clock}; the first one counts",
                    row.at, last.line
                ),
            });
            continue;
        }
        kept.push(row);
    }
    kept
}

fn gaps(rows: &[Row], step: Step, columns: &[Column], found: &mut Vec<Finding>) {
    let width = if step == Step::Daily { 86400 } else { 3600 };
    let word = if step == Step::Daily { "day" } else { "hour" };
    for pair in rows.windows(2) {
        let missing = (pair[1].seconds() - pair[0].seconds()) / width - 1;
        if missing < 1 {
            continue;
        }
        let mut why = String::new();
        if step == Step::Hourly && missing == 1 && pair[1].offset.is_none() {
            why = " (a clock set forward? state the offset)".to_owned();
        }
        let leap = pair[0].at.date().saturating_add(1.day());
        if step == Step::Daily && missing == 1 && (leap.month(), leap.day()) == (2, 29) {
            why = format!(" (29 February {} is left out)", leap.year());
        }
        let s = if missing == 1 { "" } else { "s" };
        let shown = |at: DateTime| {
            if step == Step::Daily {
                at.date().to_string()
            } else {
                at.to_string()
            }
        };
        found.push(Finding {
            code: "gap",
            line: pair[1].line,
            message: format!(
                "{missing} {word}{s} missing between {} and {}{why}",
                shown(pair[0].at),
                shown(pair[1].at)
            ),
        });
    }
    for (_, quantity, _) in columns {
        let without: Vec<u64> = rows
            .iter()
            .filter(|r| !r.values.contains_key(quantity))
            .map(|r| r.line)
            .collect();
        if let Some(first) = without.first() {
            found.push(Finding {
                code: "missing-value",
                line: *first,
                message: format!(
                    "{} is missing in {} of {} rows, first here",
                    quantity.name(),
                    without.len(),
                    rows.len()
                ),
            });
        }
    }
}
