//! Degree days with their windows.
use super::chart::{BOTTOM, Band, Chart, LEFT, Line, Note, RIGHT, TOP, TickX, TickY, path, step};
use super::{Picture, PictureError, draw, short};
use crate::season::degree::Running;
use crate::season::windows::Window;
use jiff::civil::Date;
use std::fmt::Write as _;

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
