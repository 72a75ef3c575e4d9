//! Hours fit for treating, a line for each day.
use super::{Picture, PictureError, draw};
use crate::season::hours::{Fitness, Hours};
use crate::season::strip::letter;
use serde::Serialize;
use std::fmt::Write as _;

#[derive(Serialize)]
struct Strip {
    title: String,
    width: u32,
    height: f64,
    ticks: Vec<Tick>,
    days: Vec<DayLine>,
    cells: Vec<Cell>,
    key: Vec<Key>,
}

#[derive(Serialize)]
struct Tick {
    x: f64,
    name: u8,
}

#[derive(Serialize)]
struct DayLine {
    text_y: f64,
    name: String,
}

#[derive(Serialize)]
struct Cell {
    x: f64,
    y: f64,
    text_x: f64,
    text_y: f64,
    mark: &'static str,
    ink: &'static str,
    letter: String,
    title: String,
}

#[derive(Serialize)]
struct Key {
    x: f64,
    y: f64,
    letter_x: f64,
    text_x: f64,
    text_y: f64,
    mark: &'static str,
    ink: &'static str,
    letter: String,
    text: &'static str,
}

/// Darker is better, so that the good hours stand out on paper.
fn mark(fitness: Fitness) -> (&'static str, &'static str) {
    match fitness {
        Fitness::Best => ("m7", "#fff"),
        Fitness::Fit => ("m6", "#000"),
        Fitness::Care | Fitness::NotKnown | Fitness::Stop => ("m0", "#000"),
    }
}

/// Draws the strip.
///
/// # Errors
/// A fault in the template.
pub fn hours(title: &str, hours: &Hours) -> Result<Picture, PictureError> {
    let mut days = Vec::new();
    let mut cells = Vec::new();
    let mut row = 0.0;
    let mut last = None;
    for hour in &hours.hours {
        let date = hour.at.date();
        if last != Some(date) {
            row += if last.is_some() { 1.0 } else { 0.0 };
            last = Some(date);
            days.push(DayLine {
                text_y: 67.0 + 28.0 * row,
                name: date.strftime("%a %-d %b").to_string(),
            });
        }
        let x = 100.0 + 23.0 * f64::from(hour.at.hour());
        let y = 50.0 + 28.0 * row;
        let (mark, ink) = mark(hour.fitness);
        let why = hour
            .reasons
            .first()
            .map_or(String::new(), |r| format!(": {}", r.text));
        cells.push(Cell {
            x,
            y,
            text_x: x + 11.0,
            text_y: y + 17.0,
            mark,
            ink,
            letter: letter(hour.fitness).to_string(),
            title: format!("{} {}{why}", hour.at, hour.fitness.words()),
        });
    }
    let below = 50.0 + 28.0 * (row + 1.0) + 8.0;
    let key = [
        Fitness::Best,
        Fitness::Fit,
        Fitness::Care,
        Fitness::NotKnown,
        Fitness::Stop,
    ]
    .into_iter()
    .enumerate()
    .map(|(index, fitness)| {
        let (mark, ink) = mark(fitness);
        let x = 100.0 + 110.0 * f64::from(u8::try_from(index).unwrap_or(0));
        Key {
            x,
            y: below,
            letter_x: x + 11.0,
            text_x: x + 28.0,
            text_y: below + 14.0,
            mark,
            ink,
            letter: letter(fitness).to_string(),
            text: fitness.words(),
        }
    })
    .collect();
    let strip = Strip {
        title: title.to_owned(),
        width: 680,
        height: below + 30.0,
        ticks: (0..24)
            .step_by(3)
            .map(|h| Tick {
                x: 100.0 + 23.0 * f64::from(h),
                name: h,
            })
            .collect(),
        days,
        cells,
        key,
    };
    draw("hours.svg", &strip, alt(hours))
}

fn alt(hours: &Hours) -> String {
    let fit = hours
        .hours
        .iter()
        .filter(|h| h.fitness <= Fitness::Fit)
        .count();
    let mut text = format!("{fit} of {} hours are fit.", hours.hours.len());
    for run in hours.runs.iter().take(5) {
        let _ = write!(text, " From {} on for {} h.", run.from, run.hours);
    }
    text
}
