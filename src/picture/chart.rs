//! The frame that curves are drawn into.
//! Curves: degree days with their windows, and the share of resistant plants.
use super::short;
use serde::Serialize;
use std::fmt::Write as _;

#[derive(Serialize)]
pub struct Chart {
    pub title: String,
    pub width: u32,
    pub height: f64,
    pub axis_x: String,
    pub axis_y: String,
    pub bands: Vec<Band>,
    pub areas: Vec<Area>,
    pub lines: Vec<Line>,
    pub ticks_x: Vec<TickX>,
    pub ticks_y: Vec<TickY>,
    pub notes: Vec<Note>,
}

#[derive(Serialize)]
pub struct Band {
    pub x: f64,
    pub y: f64,
    pub width: f64,
    pub height: f64,
    pub text_x: f64,
    pub text_y: f64,
    pub mark: &'static str,
    pub text: String,
}

#[derive(Serialize)]
pub struct Area {
    pub path: String,
    pub mark: &'static str,
}

#[derive(Serialize)]
pub struct Line {
    pub path: String,
    pub dash: Option<&'static str>,
    pub name: String,
    pub text_x: f64,
    pub text_y: f64,
}

#[derive(Serialize)]
pub struct TickX {
    pub at: f64,
    pub name: String,
}

#[derive(Serialize)]
pub struct TickY {
    pub at: f64,
    pub text: f64,
    pub name: String,
}

#[derive(Serialize)]
pub struct Note {
    pub y: f64,
    pub text: String,
}

/// The frame of the chart.
pub const LEFT: f64 = 60.0;
pub const RIGHT: f64 = 660.0;
pub const TOP: f64 = 50.0;
pub const BOTTOM: f64 = 300.0;

pub fn path(points: &[(f64, f64)]) -> String {
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
pub fn step(most: f64) -> f64 {
    let rough = (most / 6.0).max(1e-6);
    let power = 10f64.powf(rough.log10().floor());
    [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|n| n * power)
        .find(|s| *s >= rough)
        .unwrap_or(rough)
}

/// Breaks a sentence into lines of at most so many letters; SVG does not do it by itself.
pub fn lines_of(text: &str, most: usize) -> Vec<String> {
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
