//! What to do about a plant: first without chemicals, then the class of treatment that the choice puts first on each grass.
use super::For;
use super::plant::Mark;
use crate::choose::{Chooser, Request, cautions as usual_cautions, without_chemicals};
use crate::key::book::What;
use crate::knowledge::Knowledge;
use crate::knowledge::form::active::Timing;
use crate::knowledge::form::source::Evidence;
use serde::Serialize;
use std::collections::BTreeMap;

/// What to do about a plant.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ToDo {
    /// Why to leave it alone, where that is advised now.
    pub leave: Option<String>,
    /// Pulling and digging, feeding, mowing, and when it may stay.
    pub without: Vec<Mark>,
    /// The first option on each grass, grasses with the same one together.
    pub classes: Vec<ClassLine>,
    /// Names of grasses on which nothing in the book is proven safe and useful.
    pub none_on: Vec<String>,
}

/// A class of treatment and where it is the first option.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct ClassLine {
    /// Site-of-action groups.
    pub groups: Vec<u16>,
    /// Names of the actives.
    pub actives: Vec<String>,
    /// When it is applied, in words.
    pub timing: String,
    /// Grasses, those whose statement rests on memory marked.
    pub grasses: Vec<Mark>,
}

/// What to do about every weed of the book; nothing where the book says it of none and knows no treatment.
pub(super) fn of_all(book: &Knowledge, asked: &For) -> BTreeMap<String, ToDo> {
    let chooser = Chooser::new(book);
    let lawns: Vec<Request> = match &asked.lawn {
        Some(lawn) => vec![lawn.clone()],
        None => book
            .turf
            .keys()
            .map(|turf| Request::new(&[], turf))
            .collect(),
    };
    let all: BTreeMap<String, ToDo> = book
        .weeds
        .keys()
        .map(|id| (id.clone(), of_one(book, &chooser, id, &lawns, asked.month)))
        .collect();
    let silent = |todo: &ToDo| todo.leave.is_none() && todo.without.is_empty();
    if book.actives.is_empty() && all.values().all(silent) {
        return BTreeMap::new();
    }
    all
}

/// What helps without chemicals by the book's word on the weed alone, for books that know no lawn.
fn without_lawn(book: &Knowledge, id: &str) -> Vec<Mark> {
    let request = Request::new(&[id], "");
    let told = without_chemicals(book, &request).weeds;
    told.into_iter()
        .flat_map(|weed| weed.measures)
        .map(|m| Mark {
            memory: m.evidence == Evidence::Memory,
            text: m.text,
        })
        .collect()
}

fn of_one(
    book: &Knowledge,
    chooser: &Chooser<'_>,
    id: &str,
    lawns: &[Request],
    month: Option<u8>,
) -> ToDo {
    let mut todo = ToDo {
        leave: None,
        without: Vec::new(),
        classes: Vec::new(),
        none_on: Vec::new(),
    };
    if lawns.is_empty() {
        todo.without = without_lawn(book, id);
    }
    for lawn in lawns {
        let request = Request {
            weeds: vec![id.to_owned()],
            month: lawn.month.or(month),
            ..lawn.clone()
        };
        let choice = chooser.choose(&request);
        if choice.leave_it.advised {
            todo.leave = Some(choice.leave_it.why);
        }
        if todo.without.is_empty() {
            todo.without = choice
                .without_chemicals
                .iter()
                .filter(|a| a.weed.as_deref() == Some(id))
                .map(|a| Mark {
                    text: a.text.clone(),
                    memory: a.evidence == Evidence::Memory,
                })
                .collect();
        }
        let grasses: Vec<String> = lawn
            .turf
            .iter()
            .map(|t| grass_name(book, t).to_owned())
            .collect();
        let Some(first) = choice.options.first() else {
            todo.none_on.extend(grasses);
            continue;
        };
        let memory = first.turf.evidence == Evidence::Memory
            || first
                .controls
                .iter()
                .any(|c| c.evidence == Evidence::Memory);
        let line = ClassLine {
            groups: first.groups.clone(),
            actives: first.actives.iter().map(|a| active_name(book, a)).collect(),
            timing: timing(first.timing).to_owned(),
            grasses: grasses
                .into_iter()
                .map(|text| Mark { text, memory })
                .collect(),
        };
        let same = |l: &&mut ClassLine| l.actives == line.actives && l.timing == line.timing;
        match todo.classes.iter_mut().find(same) {
            Some(known) => known.grasses.extend(line.grasses),
            None => todo.classes.push(line),
        }
    }
    todo
}

/// A number for what is done about each weed, the same where the same is done. Weeds that no option deals with have
/// none: what helps by hand differs from plant to plant, so their names still matter.
pub(super) fn outcomes(all: &BTreeMap<String, ToDo>) -> BTreeMap<String, usize> {
    let mut known: Vec<Vec<&String>> = Vec::new();
    let mut numbers = BTreeMap::new();
    for (id, todo) in all {
        let does: Vec<&String> = match &todo.leave {
            Some(_) => Vec::new(),
            None if todo.classes.is_empty() => continue,
            None => todo.classes.iter().flat_map(|c| &c.actives).collect(),
        };
        let number = known.iter().position(|k| *k == does).unwrap_or_else(|| {
            known.push(does);
            known.len() - 1
        });
        numbers.insert(id.clone(), number);
    }
    numbers
}

/// The usual cautions; none for a key of grasses, which leads to no treatment.
pub(super) fn cautions(book: &Knowledge, what: What, asked: &For) -> Vec<Mark> {
    if what == What::Turf {
        return Vec::new();
    }
    let request = asked.lawn.clone().unwrap_or_else(|| Request::new(&[], ""));
    usual_cautions(book, &request, &[])
        .into_iter()
        .map(|c| Mark {
            memory: c.evidence == Evidence::Memory,
            text: c.text,
        })
        .collect()
}

pub(super) fn grass_name<'a>(book: &'a Knowledge, id: &'a str) -> &'a str {
    book.turf
        .get(id)
        .and_then(|t| t.names.first())
        .map_or(id, String::as_str)
}

fn active_name(book: &Knowledge, id: &str) -> String {
    book.actives
        .get(id)
        .map_or_else(|| id.to_owned(), |a| a.name.clone())
}

fn timing(timing: Timing) -> &'static str {
    match timing {
        Timing::Pre => "before it comes up",
        Timing::EarlyPost => "on young plants",
        Timing::Post => "on the growing plant",
    }
}
