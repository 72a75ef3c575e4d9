//! All knowledge files together, as written, and how a set of texts becomes them.
use super::diagnostic::{Diagnostic, Severity, Spot};
use super::folder::TextFile;
use super::form::active::Active;
use super::form::lists::{
    Book, Care, Caution, Groups, Interaction, Mixing, Mixtures, RecordField, Resistance, Situation,
    SourceList, Stage, TimingList, Traits, Weather,
};
use super::form::place::Place;
use super::form::plant::{Turf, Weed};
use super::read::read;
use crate::words::nearest;
use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::collections::btree_map::Entry;

/// Folders beside the knowledge that hold no knowledge files.
pub const SIDE_FOLDERS: [&str; 3] = ["cases", "schema", "sketches"];

/// Every knowledge file, by kind. A book of other plants needs only `traits` and `weeds`.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields, rename_all = "kebab-case")]
pub struct Files {
    /// `book.yaml`.
    pub book: Option<Book>,
    /// `sources.yaml` and everything in `sources/`.
    pub sources: SourceList,
    /// `traits.yaml`.
    pub traits: Traits,
    /// `weeds/`.
    pub weeds: BTreeMap<String, Weed>,
    /// `turf/`.
    pub turf: BTreeMap<String, Turf>,
    /// `actives/`.
    pub actives: BTreeMap<String, Active>,
    /// `places/`.
    pub places: BTreeMap<String, Place>,
    /// `groups.yaml`.
    pub groups: Groups,
    /// `mixtures.yaml`.
    pub mixtures: Mixtures,
    /// `stages.yaml`.
    pub stages: Vec<Stage>,
    /// `situations.yaml`.
    pub situations: Vec<Situation>,
    /// `cautions.yaml`.
    pub cautions: Vec<Caution>,
    /// `interactions.yaml`.
    pub interactions: Vec<Interaction>,
    /// `record-fields.yaml`.
    pub record_fields: Vec<RecordField>,
    /// `mixing.yaml`.
    pub mixing: Option<Mixing>,
    /// `weather.yaml`.
    pub weather: Option<Weather>,
    /// `timing.yaml`.
    pub timing: Option<TimingList>,
    /// `resistance.yaml`.
    pub resistance: Option<Resistance>,
    /// `care.yaml`.
    pub care: Option<Care>,
}

/// Files at the top of the knowledge folder.
const TOP: [&str; 15] = [
    "book.yaml",
    "care.yaml",
    "cautions.yaml",
    "groups.yaml",
    "interactions.yaml",
    "mixing.yaml",
    "mixtures.yaml",
    "record-fields.yaml",
    "resistance.yaml",
    "situations.yaml",
    "sources.yaml",
    "stages.yaml",
    "timing.yaml",
    "traits.yaml",
    "weather.yaml",
];
/// Folders of the knowledge folder.
const FOLDERS: [&str; 5] = ["actives", "places", "sources", "turf", "weeds"];

impl Files {
    /// Reads all texts. Every text gives its part or its first fault; none hides the faults of another.
    #[must_use]
    pub fn from_texts(texts: &[TextFile]) -> (Self, Vec<Diagnostic>) {
        let mut reading = Reading::default();
        for file in texts {
            match &file.text {
                Ok(text) => reading.take(file, text),
                Err(why) => reading.faults.push(Diagnostic {
                    code: "unreadable-file",
                    severity: Severity::Error,
                    message: why.clone(),
                    spot: Spot::new(&file.shown, "", 1, 1),
                    help: Some(
                        "save it as UTF-8 text that you may read, or take it away".to_owned(),
                    ),
                    related: Vec::new(),
                }),
            }
        }
        (reading.files, reading.faults)
    }
}

#[derive(Default)]
struct Reading {
    files: Files,
    faults: Vec<Diagnostic>,
}

impl Reading {
    fn parse<T: DeserializeOwned>(&mut self, file: &TextFile, text: &str) -> Option<T> {
        match read(&file.shown, text) {
            Ok(value) => Some(value),
            Err(fault) => {
                self.faults.push(*fault);
                None
            }
        }
    }

    fn take(&mut self, file: &TextFile, text: &str) {
        if let Some((folder, name)) = file.path.split_once('/') {
            let Some(id) = name.strip_suffix(".yaml") else {
                return self.unknown(file, text);
            };
            match folder {
                "weeds" => {
                    if let Some(v) = self.parse(file, text) {
                        self.files.weeds.insert(id.to_owned(), v);
                    }
                }
                "turf" => {
                    if let Some(v) = self.parse(file, text) {
                        self.files.turf.insert(id.to_owned(), v);
                    }
                }
                "actives" => {
                    if let Some(v) = self.parse(file, text) {
                        self.files.actives.insert(id.to_owned(), v);
                    }
                }
                "places" => {
                    if let Some(v) = self.parse(file, text) {
                        self.files.places.insert(id.to_owned(), v);
                    }
                }
                "sources" => self.sources(file, text),
                _ => self.unknown(file, text),
            }
            return;
        }
        match file.path.as_str() {
            "book.yaml" => self.files.book = self.parse(file, text),
            "care.yaml" => self.files.care = self.parse(file, text),
            "cautions.yaml" => self.files.cautions = self.parse(file, text).unwrap_or_default(),
            "groups.yaml" => self.files.groups = self.parse(file, text).unwrap_or_default(),
            "interactions.yaml" => {
                self.files.interactions = self.parse(file, text).unwrap_or_default();
            }
            "mixing.yaml" => self.files.mixing = self.parse(file, text),
            "mixtures.yaml" => self.files.mixtures = self.parse(file, text).unwrap_or_default(),
            "record-fields.yaml" => {
                self.files.record_fields = self.parse(file, text).unwrap_or_default();
            }
            "resistance.yaml" => self.files.resistance = self.parse(file, text),
            "situations.yaml" => self.files.situations = self.parse(file, text).unwrap_or_default(),
            "sources.yaml" => self.sources(file, text),
            "stages.yaml" => self.files.stages = self.parse(file, text).unwrap_or_default(),
            "timing.yaml" => self.files.timing = self.parse(file, text),
            "traits.yaml" => self.files.traits = self.parse(file, text).unwrap_or_default(),
            "weather.yaml" => self.files.weather = self.parse(file, text),
            _ => self.unknown(file, text),
        }
    }

    /// Sources may be split over several files; an id stands in one of them only.
    fn sources(&mut self, file: &TextFile, text: &str) {
        let Some(list) = self.parse::<SourceList>(file, text) else {
            return;
        };
        for (id, source) in list {
            match self.files.sources.entry(id) {
                Entry::Vacant(place) => {
                    place.insert(source);
                }
                Entry::Occupied(there) => {
                    let id = there.key();
                    let (line, column) = super::locate::locate(text, &[id.into()]);
                    self.faults.push(Diagnostic {
                        code: "duplicate-id",
                        severity: Severity::Error,
                        message: format!("the source {id} is defined in another file already"),
                        spot: Spot::new(&file.shown, text, line, column),
                        help: Some("keep one of the two, or give this one another id".to_owned()),
                        related: Vec::new(),
                    });
                }
            }
        }
    }

    fn unknown(&mut self, file: &TextFile, text: &str) {
        let folder = file.path.split_once('/').map(|(folder, _)| folder);
        let known = match folder {
            Some(folder) => nearest(folder, FOLDERS.iter().copied()),
            None => nearest(&file.path, TOP.iter().copied()),
        };
        let help = match (folder, known) {
            (Some(folder), _) if FOLDERS.contains(&folder) => {
                "name it after its id, with the ending .yaml".to_owned()
            }
            (_, Some(near)) => format!("did you mean {near}?"),
            (_, None) => format!(
                "the book reads {} and the folders {}",
                TOP.join(", "),
                FOLDERS.join(", ")
            ),
        };
        self.faults.push(Diagnostic {
            code: "unknown-file",
            severity: Severity::Error,
            message: format!("{} is not a file that this book knows", file.path),
            spot: Spot::new(&file.shown, text, 1, 1),
            help: Some(help),
            related: Vec::new(),
        });
    }
}
