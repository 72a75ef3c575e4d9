//! The parts of the page about the weather and the years: hours fit for treating, windows of the season, what was applied.
use super::NoteError;
use super::cite::{Citations, Line};
use super::page::Page;
use super::phrase::{day, days, sentence};
use crate::picture::{self, Picture};
use crate::season::hours::Fitness;
use crate::season::strip;
use crate::season::windows::{State, Window};
use crate::treatment::Treatment;
use crate::words::and_list;
use serde::Serialize;
use std::path::Path;

/// A picture inside the page and the words that stand for it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Figure {
    /// The SVG.
    pub svg: String,
    /// What it shows.
    pub alt: String,
}

impl From<Picture> for Figure {
    fn from(picture: Picture) -> Self {
        Self {
            svg: picture.inline(),
            alt: picture.alt,
        }
    }
}

/// The hours of the forecast.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Hours {
    /// Name of the file.
    pub file: String,
    /// The fit hours in words, best first.
    pub fit: Vec<String>,
    /// What kept the other hours off.
    pub limits: Vec<Line>,
    /// What holds for all hours, and what was doubtful in the file.
    pub notes: Vec<String>,
    /// The strip as lines of letters, for the plain text.
    pub strip: String,
    /// The strip as a picture; put in by [`Page::draw`].
    pub figure: Option<Figure>,
}

const RUNS: usize = 4;
const LIMITS: usize = 5;
const NOTES: usize = 4;

/// The hours of a treatment.
pub fn hours(treatment: &Treatment, cite: &mut Citations<'_>) -> Option<Hours> {
    let line = treatment.hours.as_ref()?;
    let fit = line
        .hours
        .runs
        .iter()
        .take(RUNS)
        .map(|run| {
            let best = if run.best > 0 {
                format!(", {} of them best", run.best)
            } else {
                String::new()
            };
            format!(
                "{}, {} to {:02}:00 ({} h{best})",
                day(run.from.date()),
                run.from.strftime("%H:%M"),
                // The last hour runs to its end.
                run.to.hour() + 1,
                run.hours
            )
        })
        .collect();
    let limits = line
        .limits
        .iter()
        .filter(|l| l.fitness >= Fitness::Care)
        .take(LIMITS)
        .map(|l| {
            let word = if l.fitness == Fitness::Stop {
                "Not fit"
            } else {
                "With care"
            };
            cite.line(
                format!("{word}, {} h: {}.", l.hours, l.fact.text),
                l.fact.evidence,
                &l.fact.sources,
            )
        })
        .collect();
    let mut notes: Vec<String> = line
        .findings
        .iter()
        .map(|f| sentence(&f.message))
        .take(NOTES)
        .collect();
    if !line.sun_known {
        notes.push(
            "Where the lawn lies was not said, so the strip knows no sunrise and sunset: keep off the hours of night and dusk."
                .to_owned(),
        );
    }
    Some(Hours {
        file: file_name(&line.file),
        fit,
        limits,
        notes,
        strip: strip::text(&line.hours),
        figure: None,
    })
}

/// What the strip is about: the actives and the first day.
fn hours_title(treatment: &Treatment) -> String {
    let names: Vec<&str> = treatment
        .chosen
        .iter()
        .flat_map(|o| &o.actives)
        .map(|a| a.name.as_str())
        .collect();
    format!("Hour by hour for {}", and_list(&names))
}

/// The name of a file without its folders.
fn file_name(path: &str) -> String {
    Path::new(path)
        .file_name()
        .map_or_else(|| path.to_owned(), |n| n.to_string_lossy().into_owned())
}

/// The season of the weeds.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Season {
    /// Name of the file.
    pub file: String,
    /// Windows that are open or to come.
    pub windows: Vec<Row>,
    /// The sum in words.
    pub sum: Option<String>,
    /// What was doubtful in the file.
    pub notes: Vec<String>,
    /// The curve; put in by [`Page::draw`].
    pub figure: Option<Figure>,
}

/// A window.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Row {
    /// When.
    pub when: String,
    /// What, and what it rests on.
    pub line: Line,
}

const WINDOWS: usize = 6;

/// The season of a treatment.
pub fn season(treatment: &Treatment, cite: &mut Citations<'_>) -> Option<Season> {
    let line = treatment.season.as_ref()?;
    let windows: Vec<Row> = line
        .windows
        .iter()
        .filter(|w| matches!(w.state, State::Open | State::Ahead) && w.from.is_some())
        .take(WINDOWS)
        .map(|w| Row {
            when: when(w),
            line: cite.line(sentence(&w.text), w.evidence, &w.sources),
        })
        .collect();
    let sum = line.curve.as_ref().and_then(|c| {
        let here = c
            .days
            .iter()
            .rev()
            .find(|d| d.date <= treatment.date)
            .or(c.days.last())?;
        let gap = if here.missing > 0 {
            format!(
                "; {} days are missing, so the true sum may be larger",
                here.missing
            )
        } else {
            String::new()
        };
        Some(format!(
            "{}: {:.0} {} on {}{gap}.",
            c.title,
            here.total,
            c.unit,
            day(here.date)
        ))
    });
    Some(Season {
        file: file_name(&line.file),
        windows,
        sum,
        notes: line
            .findings
            .iter()
            .take(NOTES)
            .map(|f| sentence(&f.message))
            .collect(),
        figure: None,
    })
}

fn when(window: &Window) -> String {
    match (window.from, window.to) {
        (Some(from), Some(to)) => days(from, to),
        (Some(from), None) => format!("since {}", day(from)),
        _ => String::new(),
    }
}

/// What was applied here by month and group.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Years {
    /// In words.
    pub words: String,
    /// The strip; put in by [`Page::draw`].
    pub figure: Option<Figure>,
}

/// The years of a treatment.
#[must_use]
pub fn years(treatment: &Treatment) -> Option<Years> {
    // The treatment itself is no history.
    treatment.used.iter().any(|m| !m.planned).then(|| Years {
        words: picture::year_words(&treatment.used),
        figure: None,
    })
}

/// Draws the pictures of the page.
///
/// # Errors
/// A picture that cannot be drawn.
pub fn draw(page: &mut Page, treatment: &Treatment) -> Result<(), NoteError> {
    if let (Some(hours), Some(line)) = (&mut page.hours, &treatment.hours) {
        hours.figure = Some(picture::hours(&hours_title(treatment), &line.hours)?.into());
    }
    if let (Some(season), Some(line)) = (&mut page.season, &treatment.season)
        && let Some(curve) = &line.curve
    {
        let picture = picture::degree_days(
            &curve.title,
            curve.unit,
            &curve.days,
            &line.windows,
            Some(treatment.date),
        )?;
        season.figure = Some(picture.into());
    }
    if let Some(years) = &mut page.years {
        let picture = picture::year_strip("Groups by month (* this treatment)", &treatment.used)?;
        years.figure = Some(picture.into());
    }
    Ok(())
}
