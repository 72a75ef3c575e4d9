//! `ligule knowledge schema`.
use super::super::keep;
use super::super::output::{Outcome, load, print, print_json};
use anyhow::{Result, bail};
use clap::Args;
use ligule::keeper::schema;
use ligule::words::nearest;
use std::path::{Path, PathBuf};

#[derive(Debug, Args)]
pub struct Arguments {
    /// Kind of file: weed, turf, active, place, traits, sources ...; without it and without --out they are listed
    kind: Option<String>,
    /// Write all schemas (or the one) into this folder, over older ones
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
}

pub fn run(own: &Arguments, folder: Option<&Path>) -> Result<Outcome> {
    if let Some(kind) = &own.kind
        && !schema::KINDS.iter().any(|(name, _)| name == kind)
    {
        let names = schema::KINDS.iter().map(|(name, _)| *name);
        let near = nearest(kind, names.clone())
            .map_or(String::new(), |n| format!("; did you mean `{n}`?"));
        let all: Vec<&str> = names.collect();
        bail!(
            "there is no schema called `{kind}`{near} (there are {})",
            all.join(", ")
        );
    }
    let book = load(folder)?;
    match (&own.kind, &own.out) {
        (kind, Some(dir)) => {
            let mut files = schema::files(&book);
            files.retain(|(name, _)| kind.as_ref().is_none_or(|k| *name == schema::file_name(k)));
            let files: Vec<(&str, String)> =
                files.iter().map(|(n, t)| (n.as_str(), t.clone())).collect();
            keep::writable(dir)?;
            let written = keep::write_all(dir, &files, true, None)?;
            print(&format!("{} schemas in {}\n", written.len(), dir.display()))?;
        }
        (Some(kind), None) => print_json(&schema::schema(kind, &book))?,
        (None, None) => {
            let width = schema::KINDS
                .iter()
                .map(|(name, _)| name.len())
                .max()
                .unwrap_or_default();
            let lines: Vec<String> = schema::KINDS
                .iter()
                .map(|(name, files)| format!("{name:<width$}  {files}\n"))
                .collect();
            print(&lines.concat())?;
        }
    }
    Ok(Outcome::Fine)
}
