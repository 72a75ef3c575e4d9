//! `ligule knowledge check`.
use super::super::output::{Format, Outcome, print, print_json};
use anyhow::Result;
use ligule::knowledge::Report;
use ligule::knowledge::diagnostic::Severity;
use serde_json::json;
use std::fmt::Write as _;
use std::path::Path;

pub fn run(dir: Option<&Path>, format: Format) -> Result<Outcome> {
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
            let _ = writeln!(text, "{}: {verdict}", counted.join(", "));
            print(&text)?;
        }
    }
    Ok(if errors == 0 {
        Outcome::Fine
    } else {
        Outcome::No
    })
}
