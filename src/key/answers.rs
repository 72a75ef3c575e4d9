//! Answers that an observer gave, and how typed words become answers.
mod measured;

use super::book::{Book, KeyTrait};
use crate::words::{nearest, plain};
use measured::{MM, Measured};
use std::collections::BTreeMap;

/// One answer.
#[derive(Debug, Clone, PartialEq)]
pub enum Answer {
    /// One state, or one of several ("either").
    States(Vec<usize>),
    /// A measured number.
    Number(f64),
    /// Not sure: never changes the belief.
    Unsure,
}

/// Answers by trait. A later answer to the same trait takes the place of the earlier one.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Answers {
    given: BTreeMap<usize, Answer>,
}

/// Why typed words are no answer.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum AnswerError {
    /// No such trait.
    #[error("the book has no trait called `{typed}`{}", meant(.suggestion.as_ref()))]
    Trait {
        /// What was typed.
        typed: String,
        /// What was probably meant.
        suggestion: Option<String>,
    },
    /// No such state.
    #[error("`{typed}` is no answer to {of}; {}: {}", meant_of(.suggestion.as_ref()), .states.join(", "))]
    State {
        /// The trait.
        of: String,
        /// What was typed.
        typed: String,
        /// What was probably meant.
        suggestion: Option<String>,
        /// What can be answered.
        states: Vec<String>,
    },
    /// A number was needed.
    #[error("{of} takes {} above 0 and up to {most}, such as {}; `{typed}` is none", measure(.unit), example(.unit))]
    Number {
        /// The trait.
        of: String,
        /// Its unit; empty for a count.
        unit: String,
        /// What was typed.
        typed: String,
        /// Largest number taken.
        most: f64,
    },
    /// A number that can be read in two ways.
    #[error("{of}: `{typed}` can be read in two ways; write {write}")]
    Unclear {
        /// The trait.
        of: String,
        /// What was typed.
        typed: String,
        /// How to write each of the two.
        write: String,
    },
    /// One number was needed.
    #[error("{of} takes one number, not {} ({}); give the middle of what you measured, or a range such as 5 to 10", .typed.len(), .typed.join(", "))]
    Numbers {
        /// The trait.
        of: String,
        /// What was typed.
        typed: Vec<String>,
    },
}

fn measure(unit: &str) -> String {
    match unit {
        "" => "a number".to_owned(),
        MM => format!("a measure in {MM}"),
        _ => format!("a number of {unit}"),
    }
}

fn example(unit: &str) -> &str {
    if unit == MM {
        "6, 6 mm, 1/4 in or 5 to 10"
    } else {
        "6 or 5 to 10"
    }
}

fn meant(suggestion: Option<&String>) -> String {
    suggestion.map_or_else(String::new, |s| format!("; did you mean `{s}`?"))
}

fn meant_of(suggestion: Option<&String>) -> String {
    suggestion.map_or_else(
        || "answers are".to_owned(),
        |s| format!("did you mean `{s}`? Answers are"),
    )
}

/// Largest number that is taken as a measure: five metres in millimetres.
const LARGEST: f64 = 5000.0;

impl Answers {
    /// No answers.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// Sets the answer to a trait and gives back the one it replaces.
    pub fn set(&mut self, of: usize, answer: Answer) -> Option<Answer> {
        self.given.insert(of, answer)
    }

    /// Takes an answer back.
    pub fn take_back(&mut self, of: usize) -> Option<Answer> {
        self.given.remove(&of)
    }

    /// The answer to a trait.
    #[must_use]
    pub fn get(&self, of: usize) -> Option<&Answer> {
        self.given.get(&of)
    }

    /// All answers in the order of the book.
    pub fn sorted(&self) -> impl Iterator<Item = (usize, &Answer)> {
        self.given.iter().map(|(of, answer)| (*of, answer))
    }

    /// How many traits were answered, those that nobody was sure of left out.
    #[must_use]
    pub fn given(&self) -> usize {
        let sure = self.given.values().filter(|a| **a != Answer::Unsure);
        sure.count()
    }

    /// Whether nothing was answered, not even "not sure".
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.given.is_empty()
    }
}

impl Book {
    /// The answer that several words to one trait give together: any of the states, or one number; nothing without words.
    ///
    /// # Errors
    /// One of the words is no answer, or there is more than one number.
    pub fn either(&self, of: usize, words: &[&str]) -> Result<Option<Answer>, AnswerError> {
        let answers = words.iter().map(|word| self.answer(of, word));
        let answers = answers.collect::<Result<Vec<_>, _>>()?;
        if self.traits[of].is_number() && answers.len() > 1 {
            return Err(AnswerError::Numbers {
                of: self.traits[of].id.clone(),
                typed: words.iter().map(|word| (*word).to_owned()).collect(),
            });
        }
        let mut states = Vec::new();
        for answer in answers {
            match answer {
                Answer::States(more) => states.extend(more),
                number => return Ok(Some(number)),
            }
        }
        states.sort_unstable();
        states.dedup();
        Ok((!states.is_empty()).then_some(Answer::States(states)))
    }

    /// The trait that `typed` names.
    ///
    /// # Errors
    /// No trait has that name; the error carries the nearest.
    pub fn trait_named(&self, typed: &str) -> Result<usize, AnswerError> {
        let wanted = plain(typed);
        self.traits
            .iter()
            .position(|t| plain(&t.id) == wanted)
            .ok_or_else(|| AnswerError::Trait {
                typed: typed.to_owned(),
                suggestion: nearest(typed, self.traits.iter().map(|t| t.id.as_str()))
                    .map(str::to_owned),
            })
    }

    /// The answer that `typed` gives to the trait at `of`: a state, or a number for a number trait.
    ///
    /// # Errors
    /// The words are no answer to this trait; the error lists what is.
    pub fn answer(&self, of: usize, typed: &str) -> Result<Answer, AnswerError> {
        let one = &self.traits[of];
        if one.is_number() {
            return number(one, typed);
        }
        let wanted = plain(typed);
        if let Some(state) = one.states.iter().position(|s| plain(s) == wanted) {
            return Ok(Answer::States(vec![state]));
        }
        Err(AnswerError::State {
            of: one.id.clone(),
            typed: typed.to_owned(),
            suggestion: nearest(typed, one.states.iter().map(String::as_str)).map(str::to_owned),
            states: one.states.clone(),
        })
    }
}

/// A number of the trait's unit.
fn number(one: &KeyTrait, typed: &str) -> Result<Answer, AnswerError> {
    match measured::read(typed, &one.unit, LARGEST) {
        Measured::Number(x) => Ok(Answer::Number(x)),
        Measured::Unclear(write) => Err(AnswerError::Unclear {
            of: one.id.clone(),
            typed: typed.to_owned(),
            write,
        }),
        Measured::No => Err(AnswerError::Number {
            of: one.id.clone(),
            unit: one.unit.clone(),
            typed: typed.to_owned(),
            most: LARGEST,
        }),
    }
}
