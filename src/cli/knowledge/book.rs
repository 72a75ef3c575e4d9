//! `ligule knowledge book`.
use super::super::output::{Format, Outcome, load, print, print_json};
use anyhow::Result;
use clap::Args;
use ligule::handbook::{Shelf, Templates, put};
use ligule::knowledge::sketches::Sketches;
use serde_json::json;
use std::path::{Path, PathBuf};

#[derive(Debug, Args)]
pub struct Arguments {
    /// The folder to write into: new, or empty
    #[arg(long, value_name = "DIR")]
    out: PathBuf,
    /// Write over an older handbook; a folder that holds anything else is left alone
    #[arg(long)]
    force: bool,
    /// How to print
    #[arg(long, value_enum, default_value_t)]
    format: Format,
}

/// The drawings that belong to the knowledge in use.
pub fn drawings(folder: Option<&Path>) -> Sketches {
    let Some(folder) = folder else {
        return Sketches::embedded();
    };
    let (drawings, faults) = Sketches::from_folder(folder);
    for fault in faults {
        eprintln!("{fault}");
    }
    drawings
}

pub fn run(own: &Arguments, folder: Option<&Path>) -> Result<Outcome> {
    let book = load(folder)?;
    let files = Shelf::new(&book, drawings(folder)).files(&Templates::built_in()?)?;
    put::put(&own.out, &files, own.force)?;
    let bytes: usize = files.iter().map(|f| f.text.len()).sum();
    let pages = files.iter().filter(|f| f.path.ends_with(".html")).count();
    let start = own.out.join("index.html");
    match own.format {
        Format::Json => print_json(
            &json!({"schema": "ligule/book/1", "start": start, "pages": pages, "files": files.len(), "bytes": bytes}),
        )?,
        Format::Human => print(&format!(
            "{pages} pages, {:.1} MB. Open {} in a browser.\n",
            // Tenths of a megabyte are all that is shown.
            f64::from(u32::try_from(bytes / 1024).unwrap_or(u32::MAX)) / 1024.0,
            start.display()
        ))?,
    }
    Ok(Outcome::Fine)
}
