//! A plant at the end of the key: what confirms it, what it is mistaken for, and what to do about it.
use super::todo::ToDo;
use crate::key::book::What;
use crate::key::graph::QuestionGraph;
use crate::knowledge::Knowledge;
use crate::knowledge::form::common::Remark;
use crate::knowledge::form::plant::{Turf, Weed};
use crate::knowledge::form::source::Evidence;
use serde::Serialize;
use std::collections::BTreeMap;

/// A plant.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Plant {
    /// Id in the book.
    pub id: String,
    /// Common name.
    pub name: String,
    /// Other common names.
    pub also: Vec<String>,
    /// Scientific name.
    pub scientific_name: String,
    /// What confirms it.
    pub marks: Vec<Mark>,
    /// What it is mistaken for.
    pub look_alikes: Vec<Tell>,
    /// How it can hurt.
    pub hazards: Vec<Mark>,
    /// What to do; nothing is said of lawn grasses.
    pub to_do: Option<ToDo>,
}

/// A sentence and whether it is only recalled.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Mark {
    /// The sentence.
    pub text: String,
    /// Whether it rests on memory.
    pub memory: bool,
}

/// A look-alike and how to tell it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Tell {
    /// Its place among the plants, where it has one.
    pub plant: Option<usize>,
    /// Its name.
    pub name: String,
    /// How to tell it.
    pub text: String,
    /// Whether that rests on memory.
    pub memory: bool,
}

/// All plants of a key, by name.
pub(super) fn all(
    book: &Knowledge,
    what: What,
    key: &QuestionGraph,
    mut todo: BTreeMap<String, ToDo>,
) -> Vec<Plant> {
    let mut plants: Vec<Plant> = key
        .taxa
        .iter()
        .filter_map(|id| match what {
            What::Weeds => book
                .weeds
                .get(id)
                .map(|w| weed(book, id, w, todo.remove(id))),
            What::Turf => book.turf.get(id).map(|t| grass(book, id, t)),
        })
        .collect();
    plants.sort_by_key(|p| (p.name.to_lowercase(), p.id.clone()));
    let places: BTreeMap<String, usize> = plants
        .iter()
        .enumerate()
        .map(|(n, p)| (p.id.clone(), n))
        .collect();
    if what == What::Weeds {
        for plant in &mut plants {
            plant.look_alikes = tells(book, &plant.id, &places);
        }
    }
    plants
}

pub(super) fn remark(book: &Knowledge, remark: &Remark) -> Mark {
    Mark {
        text: remark.text.clone(),
        memory: book.evidence(&remark.source) == Evidence::Memory,
    }
}

fn names(all: &[String], id: &str) -> (String, Vec<String>) {
    match all.split_first() {
        Some((first, rest)) => (first.clone(), rest.to_vec()),
        None => (id.to_owned(), Vec::new()),
    }
}

fn weed(book: &Knowledge, id: &str, weed: &Weed, to_do: Option<ToDo>) -> Plant {
    let (name, also) = names(&weed.names, id);
    Plant {
        id: id.to_owned(),
        name,
        also,
        scientific_name: weed.scientific_name.clone(),
        marks: weed.marks.iter().map(|m| remark(book, m)).collect(),
        look_alikes: Vec::new(),
        hazards: weed.hazards.iter().map(|h| remark(book, h)).collect(),
        to_do,
    }
}

fn grass(book: &Knowledge, id: &str, turf: &Turf) -> Plant {
    let (name, also) = names(&turf.names, id);
    Plant {
        id: id.to_owned(),
        name,
        also,
        scientific_name: turf.scientific_name.clone(),
        marks: turf
            .marks
            .iter()
            .chain(&turf.confused_with)
            .map(|m| remark(book, m))
            .collect(),
        look_alikes: Vec::new(),
        hazards: Vec::new(),
        to_do: None,
    }
}

fn tells(book: &Knowledge, id: &str, places: &BTreeMap<String, usize>) -> Vec<Tell> {
    let Some(weed) = book.weeds.get(id) else {
        return Vec::new();
    };
    weed.look_alikes
        .iter()
        .map(|alike| {
            let named = |names: Option<&Vec<String>>, id: &str| {
                names
                    .and_then(|n| n.first())
                    .map_or_else(|| id.to_owned(), Clone::clone)
            };
            let name = match (&alike.weed, &alike.turf, &alike.other) {
                (Some(id), ..) => named(book.weeds.get(id).map(|w| &w.names), id),
                (_, Some(id), _) => named(book.turf.get(id).map(|t| &t.names), id),
                (.., Some(other)) => other.clone(),
                _ => String::new(),
            };
            // Many sentences begin with the name, which stands before them here.
            let own = alike
                .tell
                .split_once(": ")
                .filter(|(first, _)| crate::words::plain(first) == crate::words::plain(&name));
            Tell {
                plant: alike.weed.as_ref().and_then(|id| places.get(id).copied()),
                name,
                text: own.map_or(&*alike.tell, |(_, rest)| rest).to_owned(),
                memory: book.evidence(&alike.source) == Evidence::Memory,
            }
        })
        .collect()
}
