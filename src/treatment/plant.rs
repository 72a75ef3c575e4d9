//! A plant of the visit: what it is, how sure that is, and what it could be instead.
use super::deciding::Deciding;
use super::fact::Fact;
use serde::Serialize;

/// How the name of a plant was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Known {
    /// The user named it.
    NamedByYou,
    /// It was found from what was observed.
    FromWhatWasSeen,
    /// What was observed fits no plant of the book.
    NotKnown,
}

/// One plant of the visit.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PlantLine {
    /// Id in the book; none where the plant is not known.
    pub weed: Option<String>,
    /// Name to show.
    pub name: String,
    /// Scientific name.
    pub scientific_name: Option<String>,
    /// What the names rest on.
    pub names_rest_on: Option<Fact>,
    /// How the name was found.
    pub known: Known,
    /// Chance that it is this plant, 0 to 1, where something was observed.
    pub probability: Option<f64>,
    /// Chance that it is none of the book's plants, where something was observed.
    pub none_of_these: Option<f64>,
    /// How sure that is, in words.
    pub sure: String,
    /// Whether the name is sure enough to go by.
    pub settled: bool,
    /// What was observed.
    pub observed: Vec<Seen>,
    /// What tells it from the other plants of the book, the weightiest first.
    pub deciding: Vec<Deciding>,
    /// What could not be said.
    pub unsure: Vec<String>,
    /// What it could be instead, at most three.
    pub could_be: Vec<CouldBe>,
    /// How it can hurt.
    pub hazards: Vec<Fact>,
    /// Whom to ask, where the plant is not known.
    pub ask: Option<String>,
}

/// One observation.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Seen {
    /// Id of the trait.
    pub of: String,
    /// Name of the trait.
    pub label: String,
    /// What was seen, in labels.
    pub seen: String,
    /// Whether the plant named shows this; none where the book does not say.
    pub fits: Option<bool>,
}

/// Another plant that it could be.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CouldBe {
    /// Id in the book, where it is a weed of the book.
    pub weed: Option<String>,
    /// Name.
    pub name: String,
    /// Scientific name.
    pub scientific_name: Option<String>,
    /// Chance, 0 to 1, where something was observed.
    pub probability: Option<f64>,
    /// How to tell the two apart.
    pub tell: Option<Fact>,
}
