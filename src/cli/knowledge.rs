//! `ligule knowledge …`.
use super::output::{Format, Outcome, print, print_json};
use anyhow::Result;
use clap::Subcommand;
use ligule::knowledge::Report;
use ligule::knowledge::diagnostic::Severity;
use serde_json::json;
use std::path::{Path, PathBuf};

#[derive(Debug, Subcommand)]
pub enum Command {
    /// Look for mistakes in a knowledge folder
    Check {
        /// The folder; without it, the knowledge inside the program
        dir: Option<PathBuf>,
        /// How to print
        #[arg(long, value_enum, default_value_t)]
        format: Format,
    },
}

pub fn run(command: &Command, folder: Option<&Path>) -> Result<Outcome> {
    match command {
        Command::Check { dir, format } => check(dir.as_deref().or(folder), *format),
    }
}

fn check(dir: Option<&Path>, format: Format) -> Result<Outcome> {
    let report = match dir {
        Some(dir) => Report::of_folder(dir)?,
        None => Report::of_embedded(),
    };
    let files = &report.files;
    let tolerance: usize = files.actives.values().map(|a| a.turf.len()).sum::<usize>()
        + files.mixtures.iter().map(|m| m.turf.len()).sum::<usize>();
    let control: usize = files
        .actives
        .values()
        .map(|a| a.controls.len())
        .sum::<usize>()
        + files
            .mixtures
            .iter()
            .map(|m| m.controls.len())
            .sum::<usize>();
    let counts = [
        ("weeds", files.weeds.len()),
        ("turf", files.turf.len()),
        ("actives", files.actives.len()),
        ("traits", files.traits.len()),
        ("tolerance", tolerance),
        ("control", control),
        ("sources", files.sources.len()),
    ];
    let errors = report
        .found
        .iter()
        .filter(|f| f.severity == Severity::Error)
        .count();
    match format {
        Format::Json => {
            let counts: serde_json::Map<_, _> = counts
                .iter()
                .map(|(k, n)| ((*k).to_owned(), json!(n)))
                .collect();
            print_json(
                &json!({"schema": "ligule/check/1", "findings": report.found, "counts": counts}),
            )?;
        }
        Format::Human => {
            let mut text = String::new();
            for found in &report.found {
                text.push_str(&found.to_string());
                text.push('\n');
            }
            let counted: Vec<String> = counts.iter().map(|(k, n)| format!("{n} {k}")).collect();
            let verdict = match report.found.len() {
                0 => "nothing to mend".to_owned(),
                n => format!("{n} findings, {errors} of them errors"),
            };
            text.push_str(&format!("{}: {verdict}\n", counted.join(", ")));
            print(&text)?;
        }
    }
    Ok(if errors == 0 {
        Outcome::Fine
    } else {
        Outcome::No
    })
}
