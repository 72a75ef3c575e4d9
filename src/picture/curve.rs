//! Curves: degree days with their windows, and the share of resistant plants.
use super::{Picture, PictureError, draw, short};
use crate::rotate::curve::Comparison;
use crate::season::degree::Running;
use crate::season::windows::Window;
use jiff::civil::Date;
use serde::Serialize;
use std::fmt::Write as _;

#[derive(Serialize)]
struct Chart {
    title: String,
    width: u32,
    height: f64,
    axis_x: String,
    axis_y: String,
    bands: Vec<Band>,
    areas: Vec<Area>,
    lines: Vec<Line>,
    ticks_x: Vec<TickX>,
    ticks_y: Vec<TickY>,
    notes: Vec<Note>,
}

#[derive(Serialize)]
struct Band {
    x: f64,
    y: f64,
    width: f64,
    height: f64,
    text_x: f64,
    text_y: f64,
    mark: &'static str,
    text: String,
}

#[derive(Serialize)]
struct Area {
    path: String,
    mark: &'static str,
}

#[derive(Serialize)]
struct Line {
    path: String,
    dash: Option<&'static str>,
    name: String,
    text_x: f64,
    text_y: f64,
}

#[derive(Serialize)]
struct TickX {
    at: f64,
    name: String,
}

#[derive(Serialize)]
struct TickY {
    at: f64,
    text: f64,
    name: String,
}

#[derive(Serialize)]
struct Note {
    y: f64,
    text: String,
}

/// The frame of the chart.
const LEFT: f64 = 60.0;
const RIGHT: f64 = 660.0;
const TOP: f64 = 50.0;
const BOTTOM: f64 = 300.0;

fn path(points: &[(f64, f64)]) -> String {
    let mut out = String::new();
    for (index, (x, y)) in points.iter().enumerate() {
        let _ = write!(
            out,
            "{}{} {}",
            if index == 0 { "M" } else { "L" },
            short(*x),
            short(*y)
        );
    }
    out
}

/// A round step of which at most six fill a height.
fn step(most: f64) -> f64 {
    let rough = (most / 6.0).max(1e-6);
    let power = 10f64.powf(rough.log10().floor());
    [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|n| n * power)
        .find(|s| *s >= rough)
        .unwrap_or(rough)
}

/// Draws the sum of degree days with the windows as bands. Windows without a first day within the sum are left to the text.
///
/// # Errors
/// A fault in the template.
pub fn degree_days(
    title: &str,
    unit: &str,
    running: &[Running],
    windows: &[Window],
) -> Result<Picture, PictureError> {
    let most = running.last().map_or(1.0, |r| r.total).max(1.0) * 1.05;
    let (first, last) = (
        running.first().map(|r| r.date),
        running.last().map(|r| r.date),
    );
    let span = first.zip(last).map_or(1, |(a, b)| days(a, b)).max(1);
    let x = |date: Date| {
        LEFT + (RIGHT - LEFT) * f64::from(first.map_or(0, |a| days(a, date))) / f64::from(span)
    };
    let y = |total: f64| BOTTOM - (BOTTOM - TOP) * total / most;
    let curve: Vec<(f64, f64)> = running.iter().map(|r| (x(r.date), y(r.total))).collect();
    let mut bands = Vec::new();
    let marks = ["m1", "m2", "m3", "m4", "m5"];
    for window in windows {
        let (Some(from), Some(start), Some(end)) = (window.from, first, last) else {
            continue;
        };
        let to = window.to.unwrap_or(end).min(end);
        let from = from.max(start);
        if from > to {
            continue;
        }
        let lane = f64::from(u8::try_from(bands.len()).unwrap_or(u8::MAX));
        // Windows lie below the axis, one to a line, so that none hides the curve.
        let top = 356.0 + 24.0 * lane;
        let left = x(from);
        bands.push(Band {
            x: short(left),
            y: top,
            width: short((x(to) - left).max(3.0)),
            height: 8.0,
            text_x: short(left.min(RIGHT - 260.0)),
            text_y: top + 19.0,
            mark: marks[bands.len() % marks.len()],
            text: format!("{} ({})", window.what, window.event),
        });
    }
    let dd = step(most);
    let ticks_y = (0..=6)
        .map(|n| f64::from(n) * dd)
        .filter(|v| *v <= most)
        .map(|v| TickY {
            at: short(y(v)),
            text: short(y(v) + 4.0),
            name: v.to_string(),
        })
        .collect();
    let ticks_x = (0..=4)
        .filter_map(|n| {
            let date = first?
                .checked_add(jiff::Span::new().days(span * n / 4))
                .ok()?;
            Some(TickX {
                at: short(x(date)),
                name: date.to_string(),
            })
        })
        .collect();
    let below = 370.0 + 24.0 * f64::from(u32::try_from(bands.len()).unwrap_or(0));
    let gap = running.last().filter(|r| r.missing > 0);
    let notes: Vec<Note> = gap
        .map(|r| Note {
            y: below,
            text: format!(
                "{} days are missing: the true sum may be larger.",
                r.missing
            ),
        })
        .into_iter()
        .collect();
    let alt = alt_degrees(unit, running, windows);
    let chart = Chart {
        title: title.to_owned(),
        width: 720,
        height: below + 10.0,
        axis_x: "day".to_owned(),
        axis_y: format!("degree days, {unit}"),
        bands,
        areas: Vec::new(),
        lines: vec![Line {
            path: path(&curve),
            dash: None,
            name: String::new(),
            text_x: RIGHT,
            text_y: TOP,
        }],
        ticks_x,
        ticks_y,
        notes,
    };
    draw("curves.svg", &chart, alt)
}

fn days(from: Date, to: Date) -> i32 {
    to.since(from).map_or(0, |s| s.get_days())
}

fn alt_degrees(unit: &str, running: &[Running], windows: &[Window]) -> String {
    let mut text = match (running.first(), running.last()) {
        (Some(a), Some(b)) => format!(
            "Degree days ({unit}) rise from {:.0} on {} to {:.0} on {}.",
            a.total, a.date, b.total, b.date
        ),
        _ => "There are no degree days to draw.".to_owned(),
    };
    for window in windows {
        let _ = match (window.from, window.to) {
            (Some(from), Some(to)) => {
                write!(text, " {} ({}): {from} to {to}.", window.what, window.event)
            }
            (Some(from), None) => write!(text, " {} ({}): from {from}.", window.what, window.event),
            _ => write!(
                text,
                " {} ({}): not reached or not known.",
                window.what, window.event
            ),
        };
    }
    text
}

/// Draws the curves of a comparison. The bands hold the middle eight tenths of the runs.
///
/// # Errors
/// A fault in the template.
pub fn resistance(title: &str, comparison: &Comparison) -> Result<Picture, PictureError> {
    let years = comparison
        .curves
        .iter()
        .map(|c| c.median.len())
        .max()
        .unwrap_or(0);
    let count = f64::from(u32::try_from(years.max(2) - 1).unwrap_or(1));
    let place = |i: usize| LEFT + (RIGHT - LEFT) * f64::from(u32::try_from(i).unwrap_or(0)) / count;
    let y = |share: f64| BOTTOM - (BOTTOM - TOP) * share.clamp(0.0, 1.0);
    let points = |of: &[f64]| {
        of.iter()
            .enumerate()
            .map(|(i, s)| (place(i), y(*s)))
            .collect::<Vec<_>>()
    };
    let dashes = [None, Some("7 4"), Some("2 3")];
    let mut lines = Vec::new();
    let mut areas = Vec::new();
    for (index, curve) in comparison.curves.iter().enumerate() {
        let mut edge = points(&curve.high);
        edge.extend(points(&curve.low).into_iter().rev());
        areas.push(Area {
            path: format!("{}Z", path(&edge)),
            mark: if index == 0 { "m1" } else { "m2" },
        });
        let line = points(&curve.median);
        let end = line.last().map_or(BOTTOM, |p| p.1);
        // A name stands above its line where there is room, else below it.
        let raise = if end - TOP > 24.0 { -6.0 } else { 18.0 };
        lines.push(Line {
            path: path(&line),
            dash: dashes[index % dashes.len()],
            name: curve.name.clone(),
            text_x: RIGHT - 4.0,
            text_y: short((end + raise).clamp(TOP + 12.0, BOTTOM - 4.0)),
        });
    }
    let threshold = y(comparison.threshold);
    lines.push(Line {
        path: path(&[(LEFT, threshold), (RIGHT, threshold)]),
        dash: Some("1 4"),
        name: "treatment seen to fail".to_owned(),
        text_x: LEFT + 170.0,
        text_y: short(threshold - 4.0),
    });
    let every = years.div_ceil(10).max(1);
    let notes: Vec<Note> = comparison
        .assumptions
        .iter()
        .flat_map(|a| lines_of(a, 100))
        .enumerate()
        .map(|(i, text)| Note {
            y: 364.0 + 15.0 * f64::from(u32::try_from(i).unwrap_or(0)),
            text,
        })
        .collect();
    let chart = Chart {
        title: title.to_owned(),
        width: 720,
        height: 370.0 + 15.0 * f64::from(u32::try_from(notes.len()).unwrap_or(0)),
        axis_x: "year".to_owned(),
        axis_y: "share of resistant seedlings".to_owned(),
        bands: Vec::new(),
        areas,
        lines,
        ticks_x: (0..years)
            .step_by(every)
            .map(|i| TickX {
                at: short(place(i)),
                name: (i + 1).to_string(),
            })
            .collect(),
        ticks_y: (0..=5)
            .map(|n| f64::from(n) / 5.0)
            .map(|s| TickY {
                at: short(y(s)),
                text: short(y(s) + 4.0),
                name: format!("{:.0}%", s * 100.0),
            })
            .collect(),
        notes,
    };
    let mut alt = String::from("Illustration, not a forecast.");
    for curve in &comparison.curves {
        let _ = write!(
            alt,
            " {}: after {} years {:.1} percent of seedlings resistant to group {} in the middle run; {:.0} percent of {} runs pass {:.0} percent.",
            curve.name,
            curve.median.len(),
            curve.median.last().unwrap_or(&0.0) * 100.0,
            curve.group,
            curve.failing * 100.0,
            comparison.runs,
            comparison.threshold * 100.0
        );
    }
    draw("curves.svg", &chart, alt)
}

/// Breaks a sentence into lines of at most so many letters; SVG does not do it by itself.
fn lines_of(text: &str, most: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(line) if line.len() + 1 + word.len() <= most => {
                line.push(' ');
                line.push_str(word);
            }
            Some(_) => lines.push(format!("   {word}")),
            None => lines.push(word.to_owned()),
        }
    }
    lines
}
