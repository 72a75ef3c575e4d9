//! Gives findings their places in the texts.
use super::finding::{At, Finding};
use crate::knowledge::diagnostic::{Diagnostic, Related, Spot};
use crate::knowledge::folder::TextFile;
use crate::knowledge::locate::Places;
use std::collections::BTreeMap;

/// Gives findings their positions in the texts, in the order of the files.
#[must_use]
pub fn with_positions(found: Vec<Finding>, texts: &[TextFile]) -> Vec<Diagnostic> {
    let mut atlas = Atlas {
        texts: texts.iter().map(|t| (t.path.as_str(), t)).collect(),
        read: BTreeMap::new(),
    };
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
    texts: BTreeMap<&'a str, &'a TextFile>,
    read: BTreeMap<&'a str, Read<'a>>,
}

/// A text taken apart.
struct Read<'a> {
    places: Places,
    lines: Vec<&'a str>,
}

impl<'a> Atlas<'a> {
    fn read(&mut self, path: &str) -> Option<(&'a TextFile, &Read<'a>)> {
        let (path, file) = self.texts.get_key_value(path)?;
        let text = file.text.as_ref().ok()?;
        let read = self.read.entry(path).or_insert_with(|| Read {
            places: Places::of(text),
            lines: text.lines().collect(),
        });
        Some((file, read))
    }

    fn spot(&mut self, at: &At) -> Spot {
        let path = if at.file == "sources" {
            self.source(at)
        } else {
            Some(at.file.clone())
        };
        path.and_then(|path| {
            let (file, read) = self.read(&path)?;
            let (line, column) = read.places.find(&at.steps);
            Some(Spot::in_lines(&file.shown, &read.lines, line, column))
        })
        .unwrap_or_else(|| Spot::new(&self.shown(&at.file), "", 1, 1))
    }

    /// Sources are spread over files; the right one is the one that has the id.
    fn source(&mut self, at: &At) -> Option<String> {
        let paths: Vec<&str> = self
            .texts
            .keys()
            .copied()
            .filter(|path| *path == "sources.yaml" || path.starts_with("sources/"))
            .collect();
        let holds = |atlas: &mut Self, path: &str| {
            atlas
                .read(path)
                .is_some_and(|(_, read)| read.places.begins(&at.steps))
        };
        paths
            .iter()
            .find(|path| holds(self, path))
            .map(|path| (*path).to_owned())
    }

    /// How a file would be shown that is not there: beside those that are.
    fn shown(&self, path: &str) -> String {
        let folder = self
            .texts
            .values()
            .find_map(|t| t.shown.strip_suffix(t.path.as_str()));
        format!("{}{path}", folder.unwrap_or_default())
    }
}
