//! The share of resistant plants, the same again against the plan.
use super::chart::{
    Area, BOTTOM, Chart, LEFT, Line, Note, RIGHT, TOP, TickX, TickY, lines_of, path,
};
use super::{Picture, PictureError, draw, short};
use crate::rotate::curve::Comparison;
use std::fmt::Write as _;

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
