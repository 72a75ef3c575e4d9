//! `ligule knowledge …`.
use super::output::{Format, Outcome, load, print, print_json};
use anyhow::{Context, Result};
use clap::{Subcommand, ValueEnum};
use ligule::knowledge::diagnostic::Severity;
use ligule::knowledge::{Kind, Knowledge, Report};
use serde_json::{Value, json};
use std::fmt::Write as _;
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
    /// List the ids of one kind
    List {
        /// Kind of entry
        #[arg(value_enum)]
        kind: KindWord,
        /// How to print
        #[arg(long, value_enum, default_value_t)]
        format: Format,
    },
    /// Show one entry with its evidence
    Show {
        /// Kind of entry
        #[arg(value_enum)]
        kind: KindWord,
        /// Id or name of the entry
        id: String,
        /// How to print
        #[arg(long, value_enum, default_value_t)]
        format: Format,
    },
}

/// A kind of entry, as typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum KindWord {
    Weed,
    Turf,
    Active,
    Group,
    Place,
    Trait,
    Source,
    Stage,
    Situation,
}

impl From<KindWord> for Kind {
    fn from(word: KindWord) -> Self {
        match word {
            KindWord::Weed => Self::Weed,
            KindWord::Turf => Self::Turf,
            KindWord::Active => Self::Active,
            KindWord::Group => Self::Group,
            KindWord::Place => Self::Place,
            KindWord::Trait => Self::Trait,
            KindWord::Source => Self::Source,
            KindWord::Stage => Self::Stage,
            KindWord::Situation => Self::Situation,
        }
    }
}

pub fn run(command: &Command, folder: Option<&Path>) -> Result<Outcome> {
    match command {
        Command::Check { dir, format } => check(dir.as_deref().or(folder), *format),
        Command::List { kind, format } => list(&load(folder)?, (*kind).into(), *format),
        Command::Show { kind, id, format } => {
            let book = load(folder)?;
            let id = book.find((*kind).into(), id)?;
            show(&book, (*kind).into(), &id, *format)
        }
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

fn list(book: &Knowledge, kind: Kind, format: Format) -> Result<Outcome> {
    let ids = book.ids(kind);
    match format {
        Format::Json => print_json(&json!({"schema": "ligule/list/1", "ids": ids}))?,
        Format::Human => print(&(ids.join("\n") + "\n"))?,
    }
    Ok(Outcome::Fine)
}

fn show(book: &Knowledge, kind: Kind, id: &str, format: Format) -> Result<Outcome> {
    let entry = entry(book, kind, id).with_context(|| format!("no {} {id}", kind.word()))?;
    match format {
        Format::Json => print_json(&shaped(book, kind, id, entry))?,
        // The form people edit is the form that is shown; the fuller text with evidence in words is in the JSON.
        Format::Human => print(&format!(
            "# {} {id}\n{}",
            kind.word(),
            serde_yaml::to_string(&entry)?
        ))?,
    }
    Ok(Outcome::Fine)
}

/// The entry as it is written.
fn entry(book: &Knowledge, kind: Kind, id: &str) -> Option<Value> {
    let value = match kind {
        Kind::Weed => serde_json::to_value(book.weeds.get(id)?),
        Kind::Turf => serde_json::to_value(book.turf.get(id)?),
        Kind::Active => serde_json::to_value(book.actives.get(id)?),
        Kind::Place => serde_json::to_value(book.places.get(id)?),
        Kind::Source => serde_json::to_value(book.sources.get(id)?),
        Kind::Trait => serde_json::to_value(book.traits.iter().find(|t| t.id == id)?),
        Kind::Stage => serde_json::to_value(book.stages.iter().find(|s| s.id == id)?),
        Kind::Situation => serde_json::to_value(book.situations.iter().find(|s| s.id == id)?),
        Kind::Group => {
            serde_json::to_value(book.groups.iter().find(|g| g.number.to_string() == id)?)
        }
    };
    value.ok()
}

/// The entry with schema and id; every `source` gets the evidence beside it, and rows of an active their lists.
fn shaped(book: &Knowledge, kind: Kind, id: &str, mut entry: Value) -> Value {
    with_evidence(book, &mut entry);
    if let Value::Object(map) = &mut entry {
        map.insert(
            "schema".to_owned(),
            json!(format!("ligule/{}/1", kind.list_word())),
        );
        map.insert("id".to_owned(), json!(id));
    }
    entry
}

/// Beside every `source` puts `sources` (always a list) and `evidence`; beside every `condition` the list `conditions`.
fn with_evidence(book: &Knowledge, value: &mut Value) {
    match value {
        Value::Object(map) => {
            map.values_mut()
                .for_each(|inner| with_evidence(book, inner));
            if let Some(source) = map.get("source").cloned() {
                let ids: Vec<String> = match source {
                    Value::String(one) => vec![one],
                    Value::Array(all) => all
                        .iter()
                        .filter_map(Value::as_str)
                        .map(str::to_owned)
                        .collect(),
                    _ => Vec::new(),
                };
                let evidence = book.evidence(&ligule::knowledge::form::common::Many(ids.clone()));
                map.insert("sources".to_owned(), json!(ids));
                map.insert("evidence".to_owned(), json!(evidence));
            }
            // Rows of tables always have conditions, even if there are none.
            if map.contains_key("rating") {
                let conditions: Vec<Value> = map.get("condition").cloned().into_iter().collect();
                map.insert("conditions".to_owned(), json!(conditions));
            }
        }
        Value::Array(list) => list.iter_mut().for_each(|inner| with_evidence(book, inner)),
        _ => {}
    }
}
