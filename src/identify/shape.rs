//! The answer of the key as plain values; serialised they are what `--format json` prints.
use serde::Serialize;

/// The answer of the key. The shape is that of `--format json`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Identification {
    /// Name and version of this shape.
    pub schema: &'static str,
    /// Candidates, most likely first.
    pub candidates: Vec<Candidate>,
    /// Chance that it is none of them.
    pub none_of_these: f64,
    /// What need not be asked any more.
    pub settled: Settled,
    /// The question that helps most.
    pub next: Option<NextQuestion>,
    /// What to beware of and what does not fit.
    pub warnings: Vec<String>,
    /// The answer that, if wrong, would change the outcome most.
    pub look_again: Option<LookAgain>,
    /// What parts the two likeliest.
    pub pair: Option<Pair>,
}

/// An answer to check.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LookAgain {
    /// Id of the trait.
    #[serde(rename = "trait")]
    pub trait_id: String,
    /// What was answered.
    pub answered: Vec<String>,
    /// Chance that the answer is a mistake.
    pub mistake: f64,
    /// One sentence.
    pub text: String,
}

/// Two plants and what parts them.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Pair {
    /// Ids of the two.
    pub weeds: [String; 2],
    /// Id of the trait that parts them best, if one does.
    #[serde(rename = "trait")]
    pub trait_id: Option<String>,
    /// One or two sentences.
    pub text: String,
}

/// One candidate.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Candidate {
    /// Id.
    pub weed: String,
    /// Common name.
    pub name: String,
    /// Scientific name.
    pub scientific_name: String,
    /// Chance.
    pub probability: f64,
}

/// What is settled, and why.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Settled {
    /// The name.
    pub name: bool,
    /// What to do, whatever the name.
    pub treatment: bool,
    /// One sentence.
    pub why: String,
}

/// A question as it is put.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct NextQuestion {
    /// Id of the trait.
    #[serde(rename = "trait")]
    pub trait_id: String,
    /// The question.
    pub question: String,
    /// How to look.
    pub help: String,
    /// The answers.
    pub answers: Vec<PossibleAnswer>,
    /// Expected information, bits.
    pub gain_bits: f64,
    /// Why it comes before the others, in a sentence or two; empty for a question that somebody picked. For people only.
    #[serde(skip)]
    pub why: String,
    /// Unit of a measure; none where the answer is one of a list.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub unit: Option<String>,
}

/// An answer that can be given.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct PossibleAnswer {
    /// What to type.
    pub value: String,
    /// What to read.
    pub label: String,
    /// What it looks like.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub help: Option<String>,
}
