//! From texts to knowledge that may be used.
use super::check::{self, Leaf, Scope};
use super::diagnostic::{Diagnostic, Severity};
use super::embedded;
use super::files::Files;
use super::folder::{TextFile, beside, read_folder};
use super::form::common::Sources;
use super::form::source::Evidence;
use std::collections::BTreeMap;
use std::ops::Deref;
use std::path::Path;
use std::sync::Arc;

/// Knowledge that was read without a fault. Read its parts as fields (`knowledge.weeds`).
#[derive(Debug, Clone)]
pub struct Knowledge {
    files: Arc<Files>,
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
    /// Notes that were asked for only by their number, by whether they are acknowledged warnings, and by code.
    pub counted: BTreeMap<(bool, &'static str), usize>,
    /// The files as far as they could be read.
    pub files: Arc<Files>,
    leaves: Vec<Leaf>,
}

/// What to find, and how much of it to tell.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Wanted {
    /// Errors: enough before the knowledge is used.
    Errors,
    /// Errors and warnings with their places, notes by their number: looking up places means reading files once more.
    NotesCounted,
    /// Everything with its place.
    All,
}

impl Report {
    /// Reads and checks a set of texts.
    #[must_use]
    pub fn of_texts(texts: &[TextFile]) -> Self {
        Self::of(texts, None, Wanted::All)
    }

    fn of(texts: &[TextFile], beside: Option<&[String]>, wanted: Wanted) -> Self {
        let scope = match wanted {
            Wanted::Errors => Scope::Errors,
            Wanted::NotesCounted | Wanted::All => Scope::All,
        };
        let (files, mut found) = Files::from_texts(texts);
        let known = Knowledge {
            files: Arc::new(files),
        };
        let leaves = check::leaves(&known);
        // A file that could not be read leaves holes; ids that lead into them are not faults of their own.
        let holes = !found.is_empty();
        let mut findings = check::check(&known, &leaves, beside, scope, holes);
        // What cannot be read has greater faults than an empty key.
        if scope == Scope::All && !holes {
            let mut empty = check::Findings::default();
            check::empty_keys(texts, &mut empty);
            findings.extend(empty.into_list());
        }
        if scope == Scope::All && !holes {
            check::acknowledge(&known, &mut findings);
        }
        let mut counted = BTreeMap::new();
        if wanted == Wanted::NotesCounted {
            findings.retain(|finding| {
                let note = finding.severity == Severity::Note;
                if note {
                    let key = (finding.acknowledged.is_some(), finding.code);
                    *counted.entry(key).or_default() += 1;
                }
                !note
            });
        }
        found.extend(check::with_positions(findings, texts));
        Self {
            found,
            counted,
            files: known.files,
            leaves,
        }
    }

    fn in_folder(dir: &Path, wanted: Wanted) -> Result<Self, LoadError> {
        let fault = |why: String| LoadError::Folder {
            folder: dir.display().to_string(),
            why,
        };
        let texts = read_folder(dir).map_err(|e| fault(e.to_string()))?;
        if texts.is_empty() {
            return Err(fault(
                "it holds no files; a knowledge folder has at least traits.yaml and weeds/"
                    .to_owned(),
            ));
        }
        let beside = match wanted {
            Wanted::Errors => None,
            Wanted::NotesCounted | Wanted::All => {
                Some(beside(dir).map_err(|e| fault(e.to_string()))?)
            }
        };
        Ok(Self::of(&texts, beside.as_deref(), wanted))
    }

    /// Reads and checks a folder.
    ///
    /// # Errors
    /// When the folder itself cannot be listed.
    pub fn of_folder(dir: &Path) -> Result<Self, LoadError> {
        Self::in_folder(dir, Wanted::All)
    }

    /// The same with notes in `counted` and not in `found`, which is quicker.
    ///
    /// # Errors
    /// When the folder itself cannot be listed.
    pub fn of_folder_with_notes_counted(dir: &Path) -> Result<Self, LoadError> {
        Self::in_folder(dir, Wanted::NotesCounted)
    }

    /// The text of `contents.yaml` for what a folder holds now; `None` where a file cannot be read.
    ///
    /// # Errors
    /// When the folder itself cannot be listed.
    pub fn contents_of_folder(dir: &Path) -> Result<Option<String>, LoadError> {
        let fault = |e: std::io::Error| LoadError::Folder {
            folder: dir.display().to_string(),
            why: e.to_string(),
        };
        let mut texts = read_folder(dir).map_err(fault)?;
        // The old list may be the very file that is broken.
        texts.retain(|t| t.path != "contents.yaml");
        let (files, faults) = Files::from_texts(&texts);
        let beside = beside(dir).map_err(fault)?;
        let text = || check::contents::text(&check::contents::of(&files, Some(&beside)));
        Ok(faults.is_empty().then(text))
    }

    /// Reads and checks the copy inside the program.
    #[must_use]
    pub fn of_embedded() -> Self {
        Self::of_texts(&embedded::texts())
    }

    /// What was read, for questions about its weight, even where it has faults.
    #[must_use]
    pub fn standing(&self) -> Vec<check::standing::Table> {
        check::standing::tables(&self.files, &self.leaves)
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
        Self::from_report(Report::in_folder(dir, Wanted::Errors)?)
    }

    /// The knowledge in a set of texts.
    ///
    /// # Errors
    /// All faults of all files together.
    pub fn from_texts(texts: &[TextFile]) -> Result<Self, LoadError> {
        Self::from_report(Report::of(texts, None, Wanted::Errors))
    }

    /// The knowledge of a report as far as it could be read, faults and all: for those who mend it, never to act on.
    #[must_use]
    pub fn as_far_as_read(report: Report) -> Self {
        Self {
            files: report.files,
        }
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
}

impl Files {
    /// The weakest evidence among the sources of a value: what rests partly on memory rests on memory.
    #[must_use]
    pub fn evidence(&self, sources: &Sources) -> Evidence {
        sources
            .iter()
            .filter_map(|id| self.sources.get(id))
            .map(|source| source.evidence)
            .max()
            .unwrap_or(Evidence::Memory)
    }
}
