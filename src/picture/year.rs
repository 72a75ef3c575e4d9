//! What was applied by group number, a line for each year.
use super::{Picture, PictureError, draw, short};
use serde::Serialize;
use std::collections::BTreeSet;

/// One treatment, or one occasion without chemicals.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct Mark {
    /// Year.
    pub year: i16,
    /// Month, 1 to 12.
    pub month: u8,
    /// Group numbers; empty for an occasion without chemicals.
    pub groups: Vec<u16>,
    /// Whether it is planned, not done.
    pub planned: bool,
}

#[derive(Serialize)]
struct Strip {
    title: String,
    width: u32,
    height: f64,
    months: Vec<Head>,
    years: Vec<Line>,
    cells: Vec<Cell>,
    key: Vec<Key>,
}

#[derive(Serialize)]
struct Head {
    x: f64,
    name: &'static str,
}

#[derive(Serialize)]
struct Line {
    y: f64,
    text_y: f64,
    name: String,
}

#[derive(Serialize)]
struct Cell {
    x: f64,
    y: f64,
    width: f64,
    plate_x: f64,
    plate_y: f64,
    plate: f64,
    text_x: f64,
    text_y: f64,
    mark: String,
    text: String,
}

#[derive(Serialize)]
struct Key {
    x: f64,
    y: f64,
    text_x: f64,
    text_y: f64,
    mark: String,
    text: String,
}

const MONTHS: [&str; 12] = [
    "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
];
/// Patterns to tell groups apart; the number stands in each cell as well.
const PATTERNS: [&str; 6] = ["m1", "m2", "m3", "m4", "m5", "m6"];
const WIDE: f64 = 50.0;
const HIGH: f64 = 38.0;

fn words(groups: &[u16]) -> String {
    if groups.is_empty() {
        return "rest".to_owned();
    }
    groups
        .iter()
        .map(u16::to_string)
        .collect::<Vec<_>>()
        .join("+")
}

/// Draws the strip. Treatments of one month share its cell side by side.
///
/// # Errors
/// A fault in the template.
pub fn year_strip(title: &str, marks: &[Mark]) -> Result<Picture, PictureError> {
    let mut marks = marks.to_vec();
    marks.retain(|m| (1..=12).contains(&m.month));
    marks.sort();
    let years: Vec<i16> = marks
        .iter()
        .map(|m| m.year)
        .collect::<BTreeSet<_>>()
        .into_iter()
        .collect();
    let sets: Vec<Vec<u16>> = marks
        .iter()
        .map(|m| m.groups.clone())
        .collect::<BTreeSet<_>>()
        .into_iter()
        .collect();
    let pattern = |groups: &[u16]| -> String {
        if groups.is_empty() {
            return "m0".to_owned();
        }
        let index = sets
            .iter()
            .filter(|s| !s.is_empty())
            .position(|s| s == groups)
            .unwrap_or(0);
        PATTERNS[index % PATTERNS.len()].to_owned()
    };
    let top = |row: usize| 52.0 + HIGH * small(row);
    let mut cells = Vec::new();
    for (row, year) in years.iter().enumerate() {
        for month in 1..=12_u8 {
            let here: Vec<&Mark> = marks
                .iter()
                .filter(|m| m.year == *year && m.month == month)
                .collect();
            for (place, mark) in here.iter().enumerate() {
                let width = WIDE / small(here.len());
                let x = 60.0 + WIDE * f64::from(month - 1) + width * small(place);
                let text = format!(
                    "{}{}",
                    words(&mark.groups),
                    if mark.planned { "*" } else { "" }
                );
                let plate = (small(text.len()) * 8.0 + 4.0).min(width - 2.0);
                let y = top(row);
                cells.push(Cell {
                    x: short(x),
                    y,
                    width: short(width),
                    plate_x: short(x + (width - plate) / 2.0),
                    plate_y: y + 7.0,
                    plate: short(plate),
                    text_x: short(x + width / 2.0),
                    text_y: y + 20.0,
                    mark: pattern(&mark.groups),
                    text,
                });
            }
        }
    }
    let below = top(years.len()) + 6.0;
    let key = key(&sets, below, pattern);
    let height = below + 24.0 * small(sets.len().div_ceil(3)) + 10.0;
    let strip = Strip {
        title: title.to_owned(),
        width: 680,
        height,
        months: MONTHS
            .iter()
            .enumerate()
            .map(|(i, name)| Head {
                x: 60.0 + WIDE * (small(i) + 0.5),
                name,
            })
            .collect(),
        years: years
            .iter()
            .enumerate()
            .map(|(i, y)| Line {
                y: top(i),
                text_y: top(i) + 20.0,
                name: y.to_string(),
            })
            .collect(),
        cells,
        key,
    };
    draw("year-strip.svg", &strip, year_words(&marks))
}

/// One line of the key for each set of groups, three to a row.
fn key(sets: &[Vec<u16>], below: f64, pattern: impl Fn(&[u16]) -> String) -> Vec<Key> {
    sets.iter()
        .enumerate()
        .map(|(index, set)| {
            let (x, y) = (
                60.0 + 200.0 * small(index % 3),
                below + 24.0 * small(index / 3),
            );
            let text = if set.is_empty() {
                "without chemicals".to_owned()
            } else {
                format!("group {}", words(set))
            };
            Key {
                x,
                y,
                text_x: x + 32.0,
                text_y: y + 13.0,
                mark: pattern(set),
                text,
            }
        })
        .collect()
}

#[expect(clippy::cast_precision_loss, reason = "rows and columns of a picture")]
fn small(n: usize) -> f64 {
    n as f64
}

/// The strip in words.
#[must_use]
pub fn year_words(marks: &[Mark]) -> String {
    if marks.is_empty() {
        return "No treatments.".to_owned();
    }
    let mut parts: Vec<String> = Vec::new();
    for mark in marks {
        let what = if mark.groups.is_empty() {
            "no chemicals".to_owned()
        } else {
            format!("group {}", words(&mark.groups))
        };
        let planned = if mark.planned { ", planned" } else { "" };
        let month = MONTHS.get(usize::from(mark.month) - 1).unwrap_or(&"");
        parts.push(format!("{month} {}: {what}{planned}", mark.year));
    }
    format!("{}.", parts.join("; "))
}
