//! Cases kept beside the knowledge: what the book must find and must offer, so that an edit that breaks it is seen.
use crate::choose::{Applicator, Chooser, Request, WeedStage};
use crate::identify::Key;
use crate::key::Circumstances;
use crate::key::book::What;
use crate::knowledge::diagnostic::{Diagnostic, Spot};
use crate::knowledge::folder::TextFile;
use crate::knowledge::form::common::{Many, Range, Sources};
use crate::knowledge::form::source::Evidence;
use crate::knowledge::locate::{Places, Step};
use crate::knowledge::read::read_knowledge;
use crate::knowledge::{Kind, Knowledge};
use crate::visit::Typed;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

mod choice;
mod identification;

/// Expected where the book must say that it does not know the plant.
pub const NONE_OF_THESE: &str = "none-of-these";

/// One file of `cases/`.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CaseFile {
    /// What somebody saw, and the plant that should come out.
    #[serde(default)]
    pub identification: Vec<Identification>,
    /// Weeds in a grass, and what must and must not be offered.
    #[serde(default)]
    pub choice: Vec<Choice>,
}

/// What somebody saw, and the plant that should come out.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Identification {
    /// Name of the case, in a few words.
    pub case: String,
    /// What was seen: trait to state, states ("either") or number.
    pub observed: BTreeMap<String, Typed>,
    /// Traits that were looked for and not made out.
    #[serde(default, skip_serializing_if = "Many::is_empty")]
    pub unsure: Many,
    /// Month, 1 to 12.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub month: Option<u8>,
    /// Region of the book.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub region: Option<String>,
    /// Whether the question is which grass the lawn is, not which weed it is.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub lawn_grass: bool,
    /// The plant that should come out; `none-of-these` where the book must say that it does not know it.
    pub expect: String,
    /// Among how many it must stand, counted from the likeliest; the first where this is missing.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub within: Option<u8>,
    /// Plants that must not be lost from sight: their chance stays at one in a hundred or more.
    #[serde(default, skip_serializing_if = "Many::is_empty")]
    pub keeps: Many,
    /// Why the case is there.
    pub why: String,
    /// What it rests on.
    pub source: Sources,
}

/// Weeds in a grass, and what must and must not be offered.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Choice {
    /// Name of the case, in a few words.
    pub case: String,
    /// The weeds.
    pub weeds: Many,
    /// The grasses.
    pub turf: Many,
    /// Stage of the grass; established where this is missing.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stage: Option<String>,
    /// Month, 1 to 12.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub month: Option<u8>,
    /// Lowest and highest air temperature, degrees Fahrenheit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub air_f: Option<Range>,
    /// How far the weeds have come.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub weed_stage: Option<WeedStage>,
    /// Weeks since the grass was seeded.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub weeks_since_seeding: Option<u8>,
    /// Weeks until seed is to be sown.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub seeding_in_weeks: Option<u8>,
    /// Situations of the site.
    #[serde(default, skip_serializing_if = "Many::is_empty")]
    pub near: Many,
    /// The place whose law counts.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub place: Option<String>,
    /// Who applies.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub applicator: Option<Applicator>,
    /// Actives of which each must be part of an option; `a+b` for an option of exactly these.
    #[serde(default, skip_serializing_if = "Many::is_empty")]
    pub offers: Many,
    /// Actives of which none may be part of any option; `all` where nothing at all may be offered.
    #[serde(default, skip_serializing_if = "Many::is_empty")]
    pub never: Many,
    /// Whether the answer must be (or must not be) to leave the weeds alone.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub leave_it: Option<bool>,
    /// Why the case is there.
    pub why: String,
    /// What it rests on.
    pub source: Sources,
}

/// What became of one case.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Outcome {
    /// Name of the case.
    pub case: String,
    /// Where it stands.
    #[serde(flatten)]
    pub spot: Spot,
    /// Whether the book does what the case asks for.
    pub holds: bool,
    /// What the book does instead, in sentences; empty where the case holds.
    pub instead: Vec<String>,
    /// Why the case is there.
    pub why: String,
    /// What it rests on.
    pub sources: Vec<String>,
    /// Kind of evidence.
    pub evidence: Evidence,
}

/// Runs every case of the files against a book. The weighing of the book is done once.
///
/// # Errors
/// Everything that makes a file no file of cases: what cannot be read, and names that the book does not have.
pub fn run(book: &Knowledge, texts: &[TextFile]) -> Result<Vec<Outcome>, Vec<Diagnostic>> {
    let chooser = Chooser::new(book);
    let (mut outcomes, mut faults) = (Vec::new(), Vec::new());
    for file in texts {
        let text = match &file.text {
            Ok(text) => text,
            Err(why) => {
                faults.push(Diagnostic::error(
                    "unreadable-file",
                    why.clone(),
                    Spot::new(&file.shown, "", 1, 1),
                    "save it as UTF-8 text that you may read".to_owned(),
                ));
                continue;
            }
        };
        let cases: CaseFile = match read_knowledge(&file.shown, text) {
            Ok(cases) => cases,
            Err(fault) => {
                faults.push(*fault);
                continue;
            }
        };
        let mut page = Sheet::new(book, &file.shown, text);
        for (n, case) in cases.identification.iter().enumerate() {
            page.at = vec!["identification".into(), n.into()];
            let instead = identification::run(&mut page, case);
            outcomes.push(page.outcome(&case.case, instead, &case.why, &case.source));
        }
        for (n, case) in cases.choice.iter().enumerate() {
            page.at = vec!["choice".into(), n.into()];
            let instead = choice::run(&mut page, &chooser, case);
            outcomes.push(page.outcome(&case.case, instead, &case.why, &case.source));
        }
        faults.append(&mut page.faults);
    }
    if faults.is_empty() {
        Ok(outcomes)
    } else {
        Err(faults)
    }
}

/// A file of cases while it is run: where we are, and which names the book does not have.
struct Sheet<'a> {
    book: &'a Knowledge,
    shown: &'a str,
    text: &'a str,
    places: Places,
    at: Vec<Step>,
    faults: Vec<Diagnostic>,
}

impl<'a> Sheet<'a> {
    fn new(book: &'a Knowledge, shown: &'a str, text: &'a str) -> Self {
        Self {
            book,
            shown,
            text,
            places: Places::of(text),
            at: Vec::new(),
            faults: Vec::new(),
        }
    }

    fn spot(&self, key: &str) -> Spot {
        let steps: Vec<Step> = self.at.iter().cloned().chain([key.into()]).collect();
        let (line, column) = self.places.find(&steps);
        Spot::new(self.shown, self.text, line, column)
    }

    fn fault(&mut self, key: &str, message: String, help: String) {
        let spot = self.spot(key);
        self.faults
            .push(Diagnostic::error("unknown-id", message, spot, help));
    }

    /// Reports a word that is no id of its kind.
    fn known(&mut self, key: &str, kind: Kind, id: &str) -> bool {
        let ids = self.book.ids(kind);
        let there = ids.iter().any(|known| known == id);
        if !there {
            let help = match crate::words::nearest(id, ids.iter().map(String::as_str)) {
                Some(near) => format!("did you mean {near}?"),
                None => format!(
                    "`ligule knowledge list {}` shows them all",
                    kind.list_word()
                ),
            };
            self.fault(key, format!("no {} has the id {id}", kind.word()), help);
        }
        there
    }

    fn outcome(
        &mut self,
        case: &str,
        instead: Vec<String>,
        why: &str,
        source: &Sources,
    ) -> Outcome {
        for id in source.iter() {
            self.known("source", Kind::Source, id);
        }
        Outcome {
            case: case.to_owned(),
            spot: self.spot("case"),
            holds: instead.is_empty(),
            instead,
            why: why.to_owned(),
            sources: source.to_vec(),
            evidence: self.book.evidence(source),
        }
    }
}

/// The files of cases in a folder, or the one file, as texts.
///
/// # Errors
/// When the folder or file cannot be read.
pub fn texts(path: &std::path::Path) -> std::io::Result<Vec<TextFile>> {
    if path.is_dir() {
        let mut all = crate::knowledge::folder::read_folder(path)?;
        all.retain(|file| file.path.ends_with(".yaml") && !file.path.contains('/'));
        return Ok(all);
    }
    let name = path.file_name().map(|n| n.to_string_lossy().into_owned());
    Ok(vec![TextFile {
        path: name.unwrap_or_default(),
        shown: path.display().to_string(),
        text: Ok(std::fs::read_to_string(path)?),
    }])
}

/// Parts of `a+b`.
fn parts(word: &str) -> Vec<&str> {
    word.split('+').map(str::trim).collect()
}
