//! Degree days with their windows.
use super::chart::{BOTTOM, Band, Chart, LEFT, Line, Note, RIGHT, TOP, TickX, TickY, path, step};
use super::{Picture, PictureError, draw, short};
use crate::season::degree::Running;
use crate::season::windows::Window;
use jiff::civil::Date;
use std::fmt::Write as _;

/// Height of a lane of windows, and of the bar in it.
const LANE: f64 = 26.0;
const BAR: f64 = 9.0;
const LANES_TOP: f64 = 334.0;
const MARKS: [&str; 5] = ["m1", "m2", "m3", "m4", "m5"];

/// What a window is about, in words: sources differ about the days, so those that speak of one event share a lane.
fn about(window: &Window) -> String {
    let weeds: Vec<String> = window.weeds.iter().map(|w| w.replace('-', " ")).collect();
    if weeds.is_empty() {
        window.what.clone()
    } else {
        format!("{}: {}", window.what, weeds.join(", "))
    }
}

/// Draws the sum of degree days and, below it, the windows as bars. Windows without a first day within the sum are left to
/// the text. `today` is drawn as a line where it lies within the sum.
///
/// # Errors
/// A fault in the template.
pub fn degree_days(
    title: &str,
    unit: &str,
    running: &[Running],
    windows: &[Window],
    today: Option<Date>,
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
    let (bands, lanes) = first.zip(last).map_or((Vec::new(), 0.0), |(start, end)| {
        bands(windows, start, end, &x)
    });
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
                name: date.strftime("%-d %b").to_string(),
            })
        })
        .collect();
    let below = LANES_TOP + LANE * lanes + 12.0;
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
    let mut drawn = vec![Line {
        path: path(&curve),
        dash: None,
        name: String::new(),
        text_x: RIGHT,
        text_y: TOP,
    }];
    let here = today.filter(|t| first.is_some_and(|f| *t >= f) && last.is_some_and(|l| *t <= l));
    if let Some(today) = here {
        drawn.push(Line {
            path: path(&[(x(today), TOP), (x(today), LANES_TOP + LANE * lanes - 8.0)]),
            dash: Some("4 4"),
            name: today.strftime("%-d %b").to_string(),
            text_x: short(x(today) - 4.0).max(LEFT + 46.0),
            text_y: TOP + 10.0,
        });
    }
    let chart = Chart {
        title: title.to_owned(),
        width: 690,
        height: below + if notes.is_empty() { 0.0 } else { 10.0 },
        axis_x: String::new(),
        axis_y: format!("degree days, {unit}"),
        bands,
        areas: Vec::new(),
        lines: drawn,
        ticks_x,
        ticks_y,
        notes,
    };
    draw("curves.svg", &chart, alt_degrees(unit, running, windows))
}

/// The bars below the axis, a lane for each event, and how many lanes there are. None hides the curve.
fn bands(windows: &[Window], start: Date, end: Date, x: &impl Fn(Date) -> f64) -> (Vec<Band>, f64) {
    let mut lanes: Vec<String> = Vec::new();
    let mut bands: Vec<Band> = Vec::new();
    let mut shown: Vec<&Window> = windows.iter().collect();
    shown.sort_by_key(|w| (w.from.is_none(), w.from, w.to));
    for window in shown {
        let Some(from) = window.from else { continue };
        let (from, to) = (from.max(start), window.to.unwrap_or(end).min(end));
        if from > to {
            continue;
        }
        let about = about(window);
        let known = lanes.iter().position(|l| *l == about);
        let lane = known.unwrap_or(lanes.len());
        if known.is_none() {
            lanes.push(about.clone());
        }
        let top = LANES_TOP + LANE * f64::from(u32::try_from(lane).unwrap_or(0));
        let left = x(from);
        bands.push(Band {
            x: short(left),
            y: top,
            width: short((x(to) - left).max(3.0)),
            height: BAR,
            text_x: short(left.min(RIGHT - 270.0)),
            text_y: top + BAR + 11.0,
            mark: MARKS[lane % MARKS.len()],
            // The first bar of a lane carries its name; the others only lie beside or over it.
            text: if known.is_none() {
                about
            } else {
                String::new()
            },
        });
    }
    (bands, f64::from(u32::try_from(lanes.len()).unwrap_or(0)))
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
        let about = about(window);
        let _ = match (window.from, window.to) {
            (Some(from), Some(to)) => write!(text, " {about}, {from} to {to}."),
            (Some(from), None) => write!(text, " {about}, from {from}."),
            _ => write!(text, " {about}, not reached or not known."),
        };
    }
    text
}
