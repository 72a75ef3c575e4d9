//! Gives findings their places in the texts.
use super::finding::{At, Finding};
use crate::knowledge::diagnostic::{Diagnostic, Related, Spot};
use crate::knowledge::folder::TextFile;
use crate::knowledge::locate::Places;
use crate::knowledge::parallel::in_parallel;
use std::collections::{BTreeMap, BTreeSet};

/// Gives findings their positions in the texts, in the order of the files.
#[must_use]
pub fn with_positions(found: Vec<Finding>, texts: &[TextFile]) -> Vec<Diagnostic> {
    let atlas = Atlas::of(&found, texts);
    let mut all: Vec<Diagnostic> = found
        .into_iter()
        .map(|finding| Diagnostic {
            code: finding.code,
            severity: finding.severity,
            message: finding.message,
            about: finding.about,
            acknowledged: finding.acknowledged,
            spot: atlas.spot(&finding.at),
            help: finding.help,
            related: finding
                .related
                .into_iter()
                .map(|(message, at)| Related {
                    message,
                    spot: atlas.spot(&at),
                })
                .collect(),
        })
        .collect();
    all.sort_by(|a, b| (&a.spot, a.code, &a.message).cmp(&(&b.spot, b.code, &b.message)));
    all
}

/// The texts, and the places in those that were needed.
struct Atlas<'a> {
    texts: &'a [TextFile],
    read: BTreeMap<&'a str, Read<'a>>,
}

/// A text taken apart.
struct Read<'a> {
    file: &'a TextFile,
    places: Places,
    lines: Vec<&'a str>,
}

impl<'a> Atlas<'a> {
    /// Reads the texts that hold a finding, or the other end of one.
    fn of(found: &[Finding], texts: &'a [TextFile]) -> Self {
        let named: BTreeSet<&str> = found
            .iter()
            .flat_map(|f| std::iter::once(&f.at).chain(f.related.iter().map(|(_, at)| at)))
            .map(|at| at.file.as_str())
            .collect();
        let wanted = |text: &&TextFile| {
            named.contains(text.path.as_str())
                || (named.contains("sources") && holds_sources(&text.path))
        };
        let wanted: Vec<&TextFile> = texts.iter().filter(wanted).collect();
        let read = in_parallel(&wanted, |file| {
            let text = file.text.as_ref().ok()?;
            Some(Read {
                file,
                places: Places::of(text),
                lines: text.lines().collect(),
            })
        });
        let read = read.into_iter().flatten();
        Self {
            texts,
            read: read.map(|read| (read.file.path.as_str(), read)).collect(),
        }
    }

    fn spot(&self, at: &At) -> Spot {
        // Sources are spread over files; the right one is the one that has the id.
        let read = if at.file == "sources" {
            self.read
                .values()
                .find(|read| holds_sources(&read.file.path) && read.places.begins(&at.steps))
        } else {
            self.read.get(at.file.as_str())
        };
        match read {
            Some(read) => {
                let (line, column) = read.places.find(&at.steps);
                Spot::in_lines(&read.file.shown, &read.lines, line, column)
            }
            None => Spot::new(&self.shown(&at.file), "", 1, 1),
        }
    }

    /// How a file would be shown that is not there: beside those that are.
    fn shown(&self, path: &str) -> String {
        let folder = self
            .texts
            .iter()
            .find_map(|t| t.shown.strip_suffix(t.path.as_str()));
        format!("{}{path}", folder.unwrap_or_default())
    }
}

fn holds_sources(path: &str) -> bool {
    path == "sources.yaml" || path.starts_with("sources/")
}
