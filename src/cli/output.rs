//! What all commands share: formats, exit codes, printing.
use anyhow::Result;
use clap::ValueEnum;
use ligule::knowledge::Knowledge;
use serde::Serialize;
use std::io::{self, Write};
use std::path::Path;

/// How a command prints its answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, ValueEnum)]
pub enum Format {
    /// For people.
    #[default]
    Human,
    /// One JSON object.
    Json,
}

/// How a command ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// Exit code 0.
    Fine,
    /// The answer is "no", or there are findings: exit code 1.
    No,
}

/// Prints one JSON object and a line end.
pub fn print_json<T: Serialize>(value: &T) -> Result<()> {
    // Standard output alone would hand on every line by itself, and a long list has many.
    let mut out = io::BufWriter::new(io::stdout().lock());
    serde_json::to_writer_pretty(&mut out, value)?;
    writeln!(out)?;
    out.flush()?;
    Ok(())
}

/// Prints text for people.
pub fn print(text: &str) -> Result<()> {
    hand_on(&super::style::out(text))
}

/// Prints what another program or a file takes, as it is.
pub fn hand_on(text: &str) -> Result<()> {
    let mut out = io::stdout().lock();
    out.write_all(text.as_bytes())?;
    out.flush()?;
    Ok(())
}

/// The knowledge that the command line asks for.
pub fn load(folder: Option<&Path>) -> Result<Knowledge> {
    Ok(match folder {
        Some(dir) => Knowledge::from_folder(dir)?,
        None => Knowledge::embedded()?,
    })
}

/// Whether an error is only that nobody reads the output any more.
pub fn is_closed_pipe(error: &anyhow::Error) -> bool {
    error.chain().any(|cause| {
        cause
            .downcast_ref::<io::Error>()
            .is_some_and(|e| e.kind() == io::ErrorKind::BrokenPipe)
            || cause
                .downcast_ref::<serde_json::Error>()
                .is_some_and(|e| e.io_error_kind() == Some(io::ErrorKind::BrokenPipe))
    })
}

/// An error and its causes in one line; a cause whose words the error has already is not said twice.
pub fn chain(error: &anyhow::Error) -> String {
    let mut text = String::new();
    for cause in error.chain() {
        let words = cause.to_string();
        if text.is_empty() {
            text = words;
        } else if !text.contains(&words) {
            text = format!("{text}: {words}");
        }
    }
    text
}
