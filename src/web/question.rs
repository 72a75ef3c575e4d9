//! A question of the key as a page: pictures, answers, what is likely so far. The plant and the grass share it.
use super::site::Site;
use crate::identify::{Identification, NextQuestion, percent};
use crate::knowledge::form::plant::Trait;
use crate::words::capital;
use serde::Serialize;

/// An answer to touch.
#[derive(Serialize)]
pub struct Card {
    /// What is sent.
    pub value: String,
    /// What is read.
    pub label: String,
    /// What it looks like.
    pub help: Option<String>,
    /// The drawing.
    pub drawing: Option<String>,
    /// Whether it was given before.
    pub chosen: bool,
}

/// A candidate.
#[derive(Serialize)]
pub struct Likely {
    /// Common name.
    pub name: String,
    /// Scientific name.
    pub scientific: String,
    /// Id.
    pub id: String,
    /// Chance in words.
    pub chance: String,
    /// The same for a bar, 1 to 100.
    pub width: u32,
}

/// The question.
#[derive(Serialize)]
pub struct Put {
    /// Id of the trait.
    pub of: String,
    /// The question.
    pub text: String,
    /// How to look.
    pub help: String,
    /// The answers.
    pub cards: Vec<Card>,
    /// Whether any answer has a drawing.
    pub drawn: bool,
    /// Unit of a measure.
    pub unit: Option<String>,
    /// What was measured before.
    pub measured: String,
    /// Whether it was answered before.
    pub answered: bool,
    /// Whether "not sure" was the answer.
    pub unsure: bool,
    /// Why it is asked.
    pub why: String,
}

/// What is known so far.
#[derive(Serialize)]
pub struct SoFar {
    /// The likeliest.
    pub likely: Vec<Likely>,
    /// Chance that it is none of the book's.
    pub none: String,
    /// The same for a bar.
    pub none_width: u32,
    /// How many more are possible.
    pub more: usize,
    /// What to beware of.
    pub warnings: Vec<String>,
    /// Whether the name or the treatment is settled.
    pub settled: bool,
    /// Why, or why not.
    pub why: String,
    /// What to look at again: trait and sentence.
    pub again: Option<(String, String)>,
    /// What parts the likeliest two: trait, where one does, and sentences.
    pub pair: Option<(Option<String>, String)>,
    /// Whether the first candidate is likelier than none of them.
    pub leads: bool,
}

/// How many candidates are shown.
const SHOWN: usize = 4;
/// Below this chance a candidate is not worth a line.
const WORTH: f64 = 0.01;

impl Site {
    /// The question with its drawings. `given` are the words that were answered before.
    pub fn put(
        &self,
        form: &Trait,
        question: &NextQuestion,
        given: Option<&[String]>,
        unsure: bool,
    ) -> Put {
        let number = question.unit.is_some();
        let chosen = |value: &str| given.is_some_and(|g| g.iter().any(|x| x == value));
        let cards: Vec<Card> = question
            .answers
            .iter()
            .enumerate()
            .map(|(class, answer)| {
                let drawing = self.sketches.of_answer(form, class);
                Card {
                    value: answer.value.clone(),
                    label: capital(&answer.label),
                    help: answer.help.clone(),
                    drawing: drawing.map(str::to_owned),
                    chosen: !number && chosen(&answer.value),
                }
            })
            .collect();
        Put {
            of: question.trait_id.clone(),
            text: question.question.clone(),
            help: question.help.clone(),
            drawn: cards.iter().any(|c| c.drawing.is_some()),
            cards,
            unit: question.unit.clone(),
            measured: if number {
                given.map_or(String::new(), |g| g.join(", "))
            } else {
                String::new()
            },
            answered: given.is_some() || unsure,
            unsure,
            why: String::new(),
        }
    }
}

/// A chance as the width of a bar.
fn width(p: f64) -> u32 {
    let whole = (p * 100.0).round().clamp(1.0, 100.0);
    // Between 1 and 100, so nothing is lost.
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "1 to 100"
    )]
    let width = whole as u32;
    width
}

/// What is known so far.
pub fn so_far(state: &Identification) -> SoFar {
    let worth: Vec<_> = state
        .candidates
        .iter()
        .filter(|c| c.probability >= WORTH)
        .collect();
    SoFar {
        likely: worth
            .iter()
            .take(SHOWN)
            .map(|c| Likely {
                name: c.name.clone(),
                scientific: c.scientific_name.clone(),
                id: c.weed.clone(),
                chance: percent(c.probability),
                width: width(c.probability),
            })
            .collect(),
        none: percent(state.none_of_these),
        none_width: width(state.none_of_these),
        more: worth.len().saturating_sub(SHOWN),
        warnings: state.warnings.clone(),
        settled: state.settled.name || state.settled.treatment,
        why: format!("{}.", capital(state.settled.why.trim_end_matches('.'))),
        again: state
            .look_again
            .as_ref()
            .map(|l| (l.trait_id.clone(), l.text.clone())),
        pair: state
            .pair
            .as_ref()
            .map(|p| (p.trait_id.clone(), p.text.clone())),
        leads: state
            .candidates
            .first()
            .is_some_and(|c| c.probability > state.none_of_these),
    }
}
