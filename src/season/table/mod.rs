//! Weather as a table that somebody else wrote: read strictly, with everything doubtful told and nothing guessed.
//!
//! The first line names the columns, each with its unit (`tmax_F`, `Wind (mph)`, `soil [C]`). A column may instead be
//! mapped by hand. Times are local, `2026-05-10` or `2026-05-10T06:00`, perhaps with an offset (`-04:00`).
mod columns;
mod order;
mod stamp;

pub use columns::mapped;

use crate::season::units::{Quantity, Unit};
use crate::words::plain;
use columns::{columns, value};
use jiff::Span;
use jiff::civil::{Date, DateTime};
use jiff::tz::Offset;
use order::{gaps, in_order};
use serde::Serialize;
use stamp::stamp;
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
