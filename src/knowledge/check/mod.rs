//! Checks of the knowledge as a whole, after every file has been read.
//!
//! A check looks at the plain structs and reports by file and path of keys; positions are looked up afterwards.
mod evidence;
mod lists;
mod references;
mod season;
mod tree;
mod values;

use super::diagnostic::{Diagnostic, Related, Severity, Spot};
use super::files::Files;
use super::folder::TextFile;
use super::locate::{Step, locate};

/// A finding before its position is known.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// Stable code of the check.
    pub code: &'static str,
    /// How bad it is.
    pub severity: Severity,
    /// What is wrong.
    pub message: String,
    /// Where.
    pub at: At,
    /// How to mend it.
    pub help: Option<String>,
    /// The other end of a conflict, with what stands there.
    pub related: Option<(String, At)>,
}

/// A value in a file, by the keys that lead to it.
#[derive(Debug, Clone, PartialEq)]
pub struct At {
    /// Path of the file in the knowledge folder; `sources` for whichever file defines the source.
    pub file: String,
    /// Keys and indexes from the top of the file.
    pub steps: Vec<Step>,
}

/// Runs every check.
#[must_use]
pub fn check(files: &Files) -> Vec<Finding> {
    let leaves = tree::leaves(files);
    let mut found = references::check(files, &leaves);
    found.extend(evidence::check(files, &leaves));
    found.extend(values::check(files, &leaves));
    found.extend(lists::check(files));
    found.extend(season::check(files));
    found
}

/// Gives findings their positions in the texts, in the order of the files.
#[must_use]
pub fn with_positions(found: Vec<Finding>, texts: &[TextFile]) -> Vec<Diagnostic> {
    let mut all: Vec<Diagnostic> = found
        .into_iter()
        .map(|finding| Diagnostic {
            code: finding.code,
            severity: finding.severity,
            message: finding.message,
            spot: spot(&finding.at, texts),
            help: finding.help,
            related: finding
                .related
                .map(|(message, at)| Related {
                    message,
                    spot: spot(&at, texts),
                })
                .into_iter()
                .collect(),
        })
        .collect();
    all.sort_by(|a, b| (&a.spot, a.code, &a.message).cmp(&(&b.spot, b.code, &b.message)));
    all
}

fn spot(at: &At, texts: &[TextFile]) -> Spot {
    let holds = |file: &&TextFile| {
        if at.file != "sources" {
            return file.path == at.file;
        }
        // Sources are spread over files; the right one is the one in which the path goes anywhere.
        (file.path == "sources.yaml" || file.path.starts_with("sources/"))
            && file
                .text
                .as_ref()
                .is_ok_and(|text| locate(text, &at.steps) != locate(text, &[]))
    };
    let found = texts.iter().find(holds).and_then(|file| {
        let text = file.text.as_ref().ok()?;
        let (line, column) = locate(text, &at.steps);
        Some(Spot::new(&file.shown, text, line, column))
    });
    found.unwrap_or_else(|| Spot::new(&at.file, "", 1, 1))
}
