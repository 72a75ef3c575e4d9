//! `ligule knowledge cases`.
use super::super::output::{Format, Outcome as Ending, load, print, print_json};
use anyhow::{Context, Result, bail};
use clap::Args;
use ligule::keeper::cases::{self, Outcome};
use serde_json::json;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

#[derive(Debug, Args)]
pub struct Arguments {
    /// A file of cases, or a folder of such files; without it, the folder `cases` in the knowledge of --knowledge
    path: Option<PathBuf>,
    /// How to print
    #[arg(long, value_enum, default_value_t)]
    format: Format,
}

pub fn run(own: &Arguments, folder: Option<&Path>) -> Result<Ending> {
    let path = match (&own.path, folder) {
        (Some(path), _) => path.clone(),
        (None, Some(folder)) => folder.join("cases"),
        (None, None) => bail!(
            "name a file or folder of cases, or the knowledge that they lie in with --knowledge DIR"
        ),
    };
    let texts = cases::texts(&path).with_context(|| format!("cannot read {}", path.display()))?;
    if texts.is_empty() {
        bail!(
            "{} holds no file of cases (they end in .yaml)",
            path.display()
        );
    }
    let book = load(folder)?;
    let outcomes = match cases::run(&book, &texts) {
        Ok(outcomes) => outcomes,
        Err(faults) => {
            let told: Vec<String> = faults.iter().map(ToString::to_string).collect();
            bail!(
                "{} in the cases; none was run\n{}",
                count(faults.len(), "fault"),
                told.join("\n")
            );
        }
    };
    let failing: Vec<&Outcome> = outcomes.iter().filter(|o| !o.holds).collect();
    match own.format {
        Format::Json => print_json(&json!({
            "schema": "ligule/cases/1",
            "cases": outcomes,
            "counts": {"cases": outcomes.len(), "holding": outcomes.len() - failing.len(), "failing": failing.len()},
        }))?,
        Format::Human => {
            let mut text = String::new();
            for one in &failing {
                let _ = writeln!(text, "{}: does not hold: {}", one.spot, one.case);
                for instead in &one.instead {
                    let _ = writeln!(text, "  {instead}");
                }
                let _ = writeln!(
                    text,
                    "  The case is there because: {} [{}]\n",
                    one.why,
                    one.sources.join(", ")
                );
            }
            let _ = writeln!(
                text,
                "{}: {} hold, {} not",
                count(outcomes.len(), "case"),
                outcomes.len() - failing.len(),
                failing.len()
            );
            print(&text)?;
        }
    }
    Ok(if failing.is_empty() {
        Ending::Fine
    } else {
        Ending::No
    })
}

fn count(n: usize, word: &str) -> String {
    format!("{n} {word}{}", if n == 1 { "" } else { "s" })
}
