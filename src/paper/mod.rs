//! The fixed key to carry: numbered steps for paper, one page for a phone without network, a drawing of the graph.
//!
//! [`Carried`] is the key as plain values, with numbers, pages and what to do about each plant; [`text`], [`page`] and
//! [`dot`] lay it out.
pub mod dot;
mod height;
mod layout;
pub mod page;
mod plant;
mod sheets;
pub mod text;
mod todo;

use crate::choose::Request;
use crate::key::book::What;
use crate::key::graph::{QuestionGraph, Scope};
use crate::knowledge::Knowledge;
use crate::knowledge::sketches::Sketches;
use layout::Layout;
use serde::Serialize;
use std::collections::BTreeMap;

pub use plant::{Mark, Plant, Tell};
pub use todo::{ClassLine, ToDo};

/// What the key is for.
#[derive(Debug, Clone, Default)]
pub struct For {
    /// Month (1 to 12); all of the year without.
    pub month: Option<u8>,
    /// Region of the book.
    pub region: Option<String>,
    /// The lawn, as a request whose weeds do not matter: plants that need the same on it are not parted.
    pub lawn: Option<Request>,
}

/// The fixed key as plain values.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Carried {
    /// What the key is for, in a sentence.
    pub scope: String,
    /// What one of its plants is called in a sentence: the book may be about other things.
    pub taxon_word: String,
    /// The same of several.
    pub taxon_words: String,
    /// The questions in the order in which a reader meets them.
    pub steps: Vec<Step>,
    /// Where the key ends without one name, in the order in which a reader meets them.
    pub ends: Vec<End>,
    /// The plants, by name.
    pub plants: Vec<Plant>,
    /// Cautions that go with any treatment.
    pub cautions: Vec<Mark>,
    /// Whom to ask about a plant that is not here.
    pub ask: String,
    /// Whether it was made for one lawn; otherwise classes are told for every grass of the book.
    pub one_lawn: bool,
    /// Whether the book knows of treatments at all; otherwise no word of them is said.
    pub treats: bool,
}

/// One numbered step.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Step {
    /// From 1.
    pub number: usize,
    /// Numbers of the steps that lead here.
    pub from: Vec<usize>,
    /// The trait asked.
    pub trait_id: String,
    /// The question.
    pub question: String,
    /// How to look.
    pub help: String,
    /// The answers.
    pub answers: Vec<Answer>,
}

/// One answer of a step.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Answer {
    /// What to read.
    pub label: String,
    /// What it looks like; empty where the label says it all.
    pub help: String,
    /// Name of the drawing (`TRAIT/STATE`), where there is one.
    pub drawing: Option<String>,
    /// Where it leads.
    pub goal: Goal,
}

/// Where an answer leads.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Goal {
    /// To a step, by number.
    Step(usize),
    /// To a plant, by its place among the plants.
    Plant(usize),
    /// To an end with several plants, by its place among the ends.
    End(usize),
}

/// An end at which several plants are left.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct End {
    /// The plants, by their places among the plants.
    pub plants: Vec<usize>,
    /// Whether they need not be parted, because the same is done about all of them.
    pub same: bool,
    /// Numbers of the steps that lead here.
    pub from: Vec<usize>,
}

impl Carried {
    /// The key of a book, and its graph.
    #[must_use]
    pub fn of(
        book: &Knowledge,
        what: What,
        asked: &For,
        sketches: &Sketches,
    ) -> (Self, QuestionGraph) {
        let todo = match what {
            What::Weeds => todo::of_all(book, asked),
            What::Turf => BTreeMap::new(),
        };
        let scope = Scope {
            month: asked.month,
            region: asked.region.clone(),
            outcomes: asked
                .lawn
                .as_ref()
                .map(|_| todo::outcomes(&todo))
                .unwrap_or_default(),
        };
        let key = QuestionGraph::build(book, what, &scope);
        let plants = plant::all(book, what, &key, todo);
        let (steps, ends) = Layout::new(book, &key, &plants, sketches).steps(&scope);
        let (taxon_word, taxon_words) = words(book, what);
        let carried = Self {
            scope: scope_words(book, what, asked, &taxon_words),
            taxon_word,
            taxon_words,
            steps,
            ends,
            plants,
            cautions: todo::cautions(book, what, asked),
            ask: book
                .book
                .as_ref()
                .map_or_else(String::new, |b| b.ask.clone()),
            one_lawn: asked.lawn.is_some(),
            treats: what == What::Weeds && !book.actives.is_empty(),
        };
        (carried, key)
    }
}

/// What one of the taxa of a key is called in a sentence, and several of them.
#[must_use]
pub fn words(book: &Knowledge, what: What) -> (String, String) {
    match what {
        What::Weeds => (book.taxon_word().to_owned(), book.taxon_words()),
        What::Turf => ("grass".to_owned(), "grasses".to_owned()),
    }
}

fn scope_words(book: &Knowledge, what: What, asked: &For, taxa: &str) -> String {
    let title = book.book.as_ref().map_or("this book", |b| b.title.as_str());
    let mut words = match what {
        What::Weeds => title.to_owned(),
        What::Turf => format!("Lawn grasses of: {title}"),
    };
    if let Some(month) = asked.month {
        words = format!("{words}; {taxa} that are seen in month {month}");
    }
    if let Some(region) = &asked.region {
        words = format!("{words}; {taxa} common in {region}");
    }
    if let Some(lawn) = &asked.lawn {
        let grasses: Vec<&str> = lawn
            .turf
            .iter()
            .map(|id| todo::grass_name(book, id))
            .collect();
        words = format!("{words}; for {}", crate::words::and_list(&grasses));
    }
    format!("{words}.")
}
