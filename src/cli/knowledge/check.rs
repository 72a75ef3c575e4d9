//! `ligule knowledge check`.
use super::super::keep;
use super::super::output::{Format, Outcome, print, print_json};
use anyhow::{Context, Result, bail};
use clap::Args;
use ligule::knowledge::Report;
use ligule::knowledge::check::standing::Table;
use ligule::knowledge::diagnostic::{Diagnostic, Severity};
use serde_json::json;
use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::mem::ManuallyDrop;
use std::path::{Path, PathBuf};

#[derive(Debug, Args)]
pub struct Arguments {
    /// The folder; without it, the knowledge inside the program
    dir: Option<PathBuf>,
    /// Print every note with its place; without it notes are counted
    #[arg(long)]
    notes: bool,
    /// Write contents.yaml anew from what the folder holds now
    #[arg(long)]
    renew_contents: bool,
    /// How to print
    #[arg(long, value_enum, default_value_t)]
    format: Format,
}

pub fn run(arguments: &Arguments, folder: Option<&Path>) -> Result<Outcome> {
    let dir = arguments.dir.as_deref().or(folder);
    if arguments.renew_contents {
        renew(dir)?;
    }
    // Never taken apart: the program ends with it, and freeing a hundred thousand words one by one takes time.
    let report = ManuallyDrop::new(match dir {
        // Places of notes cost time, and only these two show them.
        Some(dir) if arguments.notes || arguments.format == Format::Json => Report::of_folder(dir)?,
        Some(dir) => Report::of_folder_with_notes_counted(dir)?,
        None => Report::of_embedded(),
    });
    let counts = counts(&report);
    let tables = report.standing();
    match arguments.format {
        Format::Json => {
            let counts: serde_json::Map<_, _> = counts
                .iter()
                .map(|(k, n)| ((*k).to_owned(), json!(n)))
                .collect();
            let evidence: BTreeMap<_, _> = tables.iter().map(|t| (t.name, t.counts)).collect();
            print_json(&json!({
                "schema": "ligule/check/1",
                "findings": report.found,
                "counts": counts,
                "evidence": evidence,
            }))?;
        }
        Format::Human => print(&told(&report, &counts, &tables, arguments.notes))?,
    }
    let sound = report.found.iter().all(|f| f.severity != Severity::Error);
    Ok(if sound { Outcome::Fine } else { Outcome::No })
}

/// Writes the list of contents anew. Faulty files would be missing from it, so they come first.
fn renew(dir: Option<&Path>) -> Result<()> {
    let dir = dir.context(
        "--renew-contents needs the folder: `ligule knowledge check DIR --renew-contents`",
    )?;
    let Some(text) = Report::contents_of_folder(dir)? else {
        bail!(
            "files of {} cannot be read; mend them first: `ligule knowledge check {0}`",
            dir.display()
        );
    };
    keep::write_all(dir, &[("contents.yaml", text)], true, None)?;
    Ok(())
}

fn counts(report: &Report) -> [(&'static str, usize); 7] {
    let files = &report.files;
    let of_actives = |count: fn(&ligule::knowledge::form::active::Active) -> usize| {
        files.actives.values().map(count).sum::<usize>()
    };
    let of_mixtures = |count: fn(&ligule::knowledge::form::active::Mixture) -> usize| {
        files.mixtures.iter().map(count).sum::<usize>()
    };
    [
        ("weeds", files.weeds.len()),
        ("turf", files.turf.len()),
        ("actives", files.actives.len()),
        ("traits", files.traits.len()),
        (
            "tolerance",
            of_actives(|a| a.turf.len()) + of_mixtures(|m| m.turf.len()),
        ),
        (
            "control",
            of_actives(|a| a.controls.len()) + of_mixtures(|m| m.controls.len()),
        ),
        ("sources", files.sources.len()),
    ]
}

fn told(report: &Report, counts: &[(&str, usize)], tables: &[Table], notes: bool) -> String {
    let mut text = String::new();
    let found = &report.found;
    let is_note = |f: &&Diagnostic| f.severity == Severity::Note;
    for one in found.iter().filter(|f| notes || !is_note(f)) {
        let _ = writeln!(text, "{one}");
    }
    if !notes {
        text.push_str(&summed(report));
    }
    text.push_str(&weighed(tables));
    let counted: Vec<String> = counts.iter().map(|(k, n)| format!("{n} {k}")).collect();
    let number = |severity: Severity| found.iter().filter(|f| f.severity == severity).count();
    let verdict = match (number(Severity::Error), number(Severity::Warning)) {
        (0, 0) => "nothing to mend".to_owned(),
        (errors, warnings) => format!("{}, {}", many(errors, "error"), many(warnings, "warning")),
    };
    let _ = writeln!(text, "{}: {verdict}", counted.join(", "));
    text
}

fn many(n: usize, what: &str) -> String {
    format!("{n} {what}{}", if n == 1 { "" } else { "s" })
}

/// Notes by code, and acknowledged warnings.
fn summed(report: &Report) -> String {
    let mut by_code = report.counted.clone();
    for one in report.found.iter().filter(|f| f.severity == Severity::Note) {
        *by_code
            .entry((one.acknowledged.is_some(), one.code))
            .or_default() += 1;
    }
    if by_code.is_empty() {
        return String::new();
    }
    let mut text = String::from(
        "notes (--notes shows each with its place; `ligule knowledge explain CODE` says more):\n",
    );
    for ((acknowledged, code), n) in by_code {
        let title = ligule::knowledge::check::find(code).map_or("", |c| c.title);
        let stays = if acknowledged { " (acknowledged)" } else { "" };
        let _ = writeln!(text, "  {n:5}  {code}{stays}: {title}");
    }
    text.push('\n');
    text
}

/// How much of each table rests on what.
fn weighed(tables: &[Table]) -> String {
    let mut text = format!(
        "{:24}{:>10}{:>10}{:>15}{:>15}{:>10}\n",
        "what the values rest on",
        "published",
        "practice",
        "agreed memory",
        "single memory",
        "disputed"
    );
    for Table { name, counts } in tables.iter().filter(|t| t.counts.total() > 0) {
        let _ = writeln!(
            text,
            "  {name:22}{:>10}{:>10}{:>15}{:>15}{:>10}",
            counts.published,
            counts.practice,
            counts.agreed_memory,
            counts.single_memory,
            counts.disputed
        );
    }
    text.push('\n');
    text
}
