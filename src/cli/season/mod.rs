//! `ligule season …`: moist air, degree days, windows of the year, hours fit for treating.
mod air;
mod degree_days;
mod hours;
mod windows;

use crate::cli::output::{Outcome, load};
use crate::cli::save::{save, text};
use anyhow::{Result, anyhow};
use clap::{Args, Subcommand};
use ligule::picture;
use ligule::season::degree::{METHODS, Method};
use ligule::season::table::{Finding, Table, mapped, read};
use ligule::season::units::{Unit, figure};
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

#[derive(Debug, Subcommand)]
pub enum Command {
    /// Wet bulb, Delta T, dew point and vapour pressure of the air
    Air(air::Arguments),
    /// Sum degree days from a weather file
    DegreeDays(degree_days::Arguments),
    /// Find when weeds come up and when treatments are due
    Windows(windows::Arguments),
    /// Find the hours of a forecast that are fit for treating
    Hours(hours::Arguments),
}

pub fn run(command: &Command, folder: Option<&Path>) -> Result<Outcome> {
    match command {
        Command::Air(own) => air::run(own),
        Command::DegreeDays(own) => degree_days::run(own),
        Command::Windows(own) => windows::run(own, &load(folder)?),
        Command::Hours(own) => hours::run(own, &load(folder)?),
    }
}

/// A weather file, and how to read it.
#[derive(Debug, Args)]
pub struct FileArguments {
    /// The file: CSV, columns named with their units (`tmax_F`, `soil_C`, `wind_mph`); `-` for the standard input
    #[arg(long, visible_alias = "forecast", value_name = "FILE")]
    weather: PathBuf,
    /// Map a column by hand: quantity=column name:unit
    #[arg(long, value_name = "tmax=MaxT:F")]
    column: Vec<String>,
}

impl FileArguments {
    fn read(&self) -> Result<Table> {
        let columns = self
            .column
            .iter()
            .map(|c| mapped(c))
            .collect::<Result<Vec<_>, String>>()
            .map_err(|e| anyhow!(e))?;
        Ok(read(
            &self.weather.display().to_string(),
            &text(&self.weather)?,
            &columns,
        )?)
    }
}

/// Where a picture goes.
#[derive(Debug, Args)]
pub struct PictureArguments {
    /// Draw it as SVG into this file
    #[arg(long, value_name = "FILE.svg")]
    picture: Option<PathBuf>,
    /// Write over a picture that is there already
    #[arg(long, requires = "picture")]
    force: bool,
}

impl PictureArguments {
    pub fn save(
        &self,
        draw: impl FnOnce() -> Result<picture::Picture, picture::PictureError>,
    ) -> Result<()> {
        match &self.picture {
            Some(path) => save(path, &draw()?.svg, self.force),
            None => Ok(()),
        }
    }
}

const TEMPERATURE: [Unit; 2] = [Unit::Fahrenheit, Unit::Celsius];

fn celsius(typed: &str) -> Result<f64> {
    figure(typed, &TEMPERATURE)
        .map(|(v, u)| u.inside(v))
        .map_err(|e| anyhow!(e))
}

fn method(id: &str) -> Result<Method> {
    Method::of(id).ok_or_else(|| {
        let ids: Vec<&str> = METHODS.iter().map(|(id, _)| *id).collect();
        anyhow!(
            "there is no method `{id}`; the methods are {}",
            ids.join(", ")
        )
    })
}

/// What was doubtful in a file, for people.
fn told(findings: &[Finding]) -> String {
    let mut text = String::new();
    for finding in findings.iter().take(12) {
        let line = if finding.line > 0 {
            format!("line {}: ", finding.line)
        } else {
            String::new()
        };
        let _ = writeln!(text, "! {line}{} [{}]", finding.message, finding.code);
    }
    if findings.len() > 12 {
        let _ = writeln!(
            text,
            "! and {} more (--format json lists all)",
            findings.len() - 12
        );
    }
    text
}

fn word(evidence: ligule::knowledge::form::source::Evidence) -> &'static str {
    use ligule::knowledge::form::source::Evidence;
    match evidence {
        Evidence::Published => "published",
        Evidence::Practice => "practice",
        Evidence::Memory => "memory",
    }
}
