//! From texts to knowledge that may be used.
use super::check;
use super::diagnostic::{Diagnostic, Severity};
use super::embedded;
use super::files::Files;
use super::folder::{TextFile, read_folder};
use super::form::common::Sources;
use super::form::source::Evidence;
use std::ops::Deref;
use std::path::Path;

/// Knowledge that was read without a fault. Read its parts as fields (`knowledge.weeds`).
#[derive(Debug, Clone)]
pub struct Knowledge {
    files: Files,
}

impl Deref for Knowledge {
    type Target = Files;
    fn deref(&self) -> &Files {
        &self.files
    }
}

/// Why there is no knowledge.
#[derive(Debug, thiserror::Error)]
pub enum LoadError {
    /// The folder cannot be read at all.
    #[error("cannot read the knowledge folder {folder}: {why}")]
    Folder {
        /// The folder as typed.
        folder: String,
        /// What the system says.
        why: String,
    },
    /// The files have faults.
    #[error("the knowledge has {} that must be mended first:\n{}", count(.0), .0.iter().map(ToString::to_string).collect::<String>().trim_end())]
    Faults(Vec<Diagnostic>),
    /// The copy inside the program is broken.
    #[error(
        "this program was built with broken knowledge ({0}); `ligule knowledge check` says where"
    )]
    Embedded(String),
}

fn count(faults: &[Diagnostic]) -> String {
    match faults.len() {
        1 => "a fault".to_owned(),
        n => format!("{n} faults"),
    }
}

/// What reading and checking found, and the knowledge if it may be used.
#[derive(Debug)]
pub struct Report {
    /// Everything found, by file and line.
    pub found: Vec<Diagnostic>,
    /// The files as far as they could be read.
    pub files: Files,
}

impl Report {
    /// Reads and checks a set of texts.
    #[must_use]
    pub fn of_texts(texts: &[TextFile]) -> Self {
        let (files, mut found) = Files::from_texts(texts);
        // A file that could not be read leaves holes; ids that lead into them are not faults of their own.
        let findings = if found.iter().any(|f| f.severity == Severity::Error) {
            check::check(&files)
                .into_iter()
                .filter(|f| f.code != "unknown-id")
                .collect()
        } else {
            check::check(&files)
        };
        found.extend(check::with_positions(findings, texts));
        Self { found, files }
    }

    /// Reads and checks a folder.
    ///
    /// # Errors
    /// When the folder itself cannot be listed.
    pub fn of_folder(dir: &Path) -> Result<Self, LoadError> {
        let texts = read_folder(dir).map_err(|e| LoadError::Folder {
            folder: dir.display().to_string(),
            why: e.to_string(),
        })?;
        if texts.is_empty() {
            return Err(LoadError::Folder {
                folder: dir.display().to_string(),
                why: "it holds no files; a knowledge folder has at least traits.yaml and weeds/"
                    .to_owned(),
            });
        }
        Ok(Self::of_texts(&texts))
    }

    /// Reads and checks the copy inside the program.
    #[must_use]
    pub fn of_embedded() -> Self {
        Self::of_texts(&embedded::texts())
    }
}

impl Knowledge {
    /// The knowledge inside the program.
    ///
    /// # Errors
    /// Only if the program was built from broken knowledge.
    pub fn embedded() -> Result<Self, LoadError> {
        let files = embedded::files().map_err(|e| LoadError::Embedded(e.to_string()))?;
        Ok(Self { files })
    }

    /// The knowledge in a folder.
    ///
    /// # Errors
    /// All faults of all files together.
    pub fn from_folder(dir: &Path) -> Result<Self, LoadError> {
        Self::from_report(Report::of_folder(dir)?)
    }

    /// The knowledge in a set of texts.
    ///
    /// # Errors
    /// All faults of all files together.
    pub fn from_texts(texts: &[TextFile]) -> Result<Self, LoadError> {
        Self::from_report(Report::of_texts(texts))
    }

    fn from_report(report: Report) -> Result<Self, LoadError> {
        let errors: Vec<_> = report
            .found
            .into_iter()
            .filter(|f| f.severity == Severity::Error)
            .collect();
        if errors.is_empty() {
            Ok(Self {
                files: report.files,
            })
        } else {
            Err(LoadError::Faults(errors))
        }
    }

    /// The weakest evidence among the sources of a value: what rests partly on memory rests on memory.
    #[must_use]
    pub fn evidence(&self, sources: &Sources) -> Evidence {
        sources
            .iter()
            .filter_map(|id| self.files.sources.get(id))
            .map(|source| source.evidence)
            .max()
            .unwrap_or(Evidence::Memory)
    }
}
