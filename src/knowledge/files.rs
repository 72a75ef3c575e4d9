//! All knowledge files together, as written, and how a set of texts becomes them.
use super::diagnostic::{Diagnostic, Spot};
use super::folder::TextFile;
use super::form::active::Active;
use super::form::keeping::{Acknowledgement, Classification, Contents};
use super::form::lists::{
    Book, Care, Caution, Groups, Interaction, Mixing, Mixtures, RecordField, Resistance, Situation,
    SourceList, Stage, TimingList, Traits, Weather,
};
use super::form::place::Place;
use super::form::plant::{Turf, Weed};
use super::parallel::in_parallel;
use super::read::read_knowledge as read;
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
    /// `contents.yaml`.
    pub contents: Option<Contents>,
    /// `acknowledged.yaml`.
    pub acknowledged: Vec<Acknowledgement>,
    /// `classification.yaml`.
    pub classification: Option<Classification>,
}

/// Files at the top of the knowledge folder.
const TOP: [&str; 18] = [
    "acknowledged.yaml",
    "book.yaml",
    "care.yaml",
    "cautions.yaml",
    "classification.yaml",
    "contents.yaml",
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

/// Puts what was read from one file into its place.
type Put = Box<dyn FnOnce(&mut Files, &mut Vec<Diagnostic>) + Send>;

impl Files {
    /// Reads all texts. Every text gives its part or its first fault; none hides the faults of another.
    #[must_use]
    pub fn from_texts(texts: &[TextFile]) -> (Self, Vec<Diagnostic>) {
        let mut files = Self::default();
        let mut faults = Vec::new();
        let texts: Vec<&TextFile> = texts.iter().collect();
        for part in in_parallel(&texts, part) {
            match part {
                Ok(put) => put(&mut files, &mut faults),
                Err(fault) => faults.push(*fault),
            }
        }
        (files, faults)
    }
}

/// Reads a file and says where it belongs.
fn part(file: &TextFile) -> Result<Put, Box<Diagnostic>> {
    let text = file.text.as_ref().map_err(|why| {
        Box::new(Diagnostic::error(
            "unreadable-file",
            why.clone(),
            Spot::new(&file.shown, "", 1, 1),
            "save it as UTF-8 text that you may read, or take it away".to_owned(),
        ))
    })?;
    match file.path.split_once('/') {
        Some((folder, name)) => entry(file, text, folder, name),
        None => list(file, text),
    }
}

/// A file of a folder: one entry, whose id is the file's name.
fn entry(file: &TextFile, text: &str, folder: &str, name: &str) -> Result<Put, Box<Diagnostic>> {
    fn put<T: DeserializeOwned + Send + 'static>(
        file: &TextFile,
        text: &str,
        id: &str,
        map: fn(&mut Files) -> &mut BTreeMap<String, T>,
    ) -> Result<Put, Box<Diagnostic>> {
        let value: T = read(&file.shown, text)?;
        let id = id.to_owned();
        Ok(Box::new(move |files, _| {
            map(files).insert(id, value);
        }))
    }
    let Some(id) = name.strip_suffix(".yaml") else {
        return Err(unknown(file, text));
    };
    match folder {
        "weeds" => put(file, text, id, |f| &mut f.weeds),
        "turf" => put(file, text, id, |f| &mut f.turf),
        "actives" => put(file, text, id, |f| &mut f.actives),
        "places" => put(file, text, id, |f| &mut f.places),
        "sources" => sources(file, text),
        _ => Err(unknown(file, text)),
    }
}

/// A file at the top of the folder.
fn list(file: &TextFile, text: &str) -> Result<Put, Box<Diagnostic>> {
    fn put<T: DeserializeOwned + Send + 'static>(
        file: &TextFile,
        text: &str,
        place: fn(&mut Files) -> &mut T,
    ) -> Result<Put, Box<Diagnostic>> {
        let value: T = read(&file.shown, text)?;
        Ok(Box::new(move |files, _| *place(files) = value))
    }
    /// A file that the book may lack. Read as what it must be, so that an empty one is a fault and no gap.
    fn put_some<T: DeserializeOwned + Send + 'static>(
        file: &TextFile,
        text: &str,
        place: fn(&mut Files) -> &mut Option<T>,
    ) -> Result<Put, Box<Diagnostic>> {
        let value: T = read(&file.shown, text)?;
        Ok(Box::new(move |files, _| *place(files) = Some(value)))
    }
    match file.path.as_str() {
        "acknowledged.yaml" => put(file, text, |f| &mut f.acknowledged),
        "book.yaml" => put_some(file, text, |f| &mut f.book),
        "care.yaml" => put_some(file, text, |f| &mut f.care),
        "cautions.yaml" => put(file, text, |f| &mut f.cautions),
        "classification.yaml" => put_some(file, text, |f| &mut f.classification),
        "contents.yaml" => put_some(file, text, |f| &mut f.contents),
        "groups.yaml" => put(file, text, |f| &mut f.groups),
        "interactions.yaml" => put(file, text, |f| &mut f.interactions),
        "mixing.yaml" => put_some(file, text, |f| &mut f.mixing),
        "mixtures.yaml" => put(file, text, |f| &mut f.mixtures),
        "record-fields.yaml" => put(file, text, |f| &mut f.record_fields),
        "resistance.yaml" => put_some(file, text, |f| &mut f.resistance),
        "situations.yaml" => put(file, text, |f| &mut f.situations),
        "sources.yaml" => sources(file, text),
        "stages.yaml" => put(file, text, |f| &mut f.stages),
        "timing.yaml" => put_some(file, text, |f| &mut f.timing),
        "traits.yaml" => put(file, text, |f| &mut f.traits),
        "weather.yaml" => put_some(file, text, |f| &mut f.weather),
        _ => Err(unknown(file, text)),
    }
}

/// Sources may be split over several files; an id stands in one of them only.
fn sources(file: &TextFile, text: &str) -> Result<Put, Box<Diagnostic>> {
    let list: SourceList = read(&file.shown, text)?;
    let (shown, text) = (file.shown.clone(), text.to_owned());
    Ok(Box::new(move |files, faults| {
        for (id, source) in list {
            match files.sources.entry(id) {
                Entry::Vacant(place) => {
                    place.insert(source);
                }
                Entry::Occupied(there) => {
                    let id = there.key();
                    let (line, column) = super::locate::locate(&text, &[id.into()]);
                    faults.push(Diagnostic::error(
                        "duplicate-id",
                        format!("the source {id} is defined in another file already"),
                        Spot::new(&shown, &text, line, column),
                        "keep one of the two, or give this one another id".to_owned(),
                    ));
                }
            }
        }
    }))
}

fn unknown(file: &TextFile, text: &str) -> Box<Diagnostic> {
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
    Box::new(Diagnostic::error(
        "unknown-file",
        format!("{} is not a file that this book knows", file.path),
        Spot::new(&file.shown, text, 1, 1),
        help,
    ))
}
