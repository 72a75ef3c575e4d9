//! The fixed key to carry: numbered steps for paper, one page for a phone without network, a drawing of the graph.
//!
//! [`Carried`] is the key as plain values, with numbers, pages and what to do about each plant; [`text`], [`page`] and
//! [`dot`] lay it out.
pub mod dot;
pub mod page;
mod plant;
mod sheets;
pub mod text;
mod todo;

use crate::choose::Request;
use crate::identify::answers_of;
use crate::key::book::What;
use crate::key::graph::{QuestionGraph, Scope};
use crate::knowledge::Knowledge;
use crate::knowledge::sketches::{Sketches, name};
use petgraph::Direction;
use petgraph::graph::NodeIndex;
use serde::Serialize;
use std::collections::{BTreeMap, HashMap};

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
        let carried = Self {
            scope: scope_words(book, what, asked),
            cautions: todo::cautions(book, what, asked),
            ask: book
                .book
                .as_ref()
                .map_or_else(String::new, |b| b.ask.clone()),
            ..Layout::new(book, &key, &plants, sketches).steps(&scope)
        };
        (Self { plants, ..carried }, key)
    }
}

fn scope_words(book: &Knowledge, what: What, asked: &For) -> String {
    let title = book.book.as_ref().map_or("this book", |b| b.title.as_str());
    let mut words = match what {
        What::Weeds => title.to_owned(),
        What::Turf => format!("Lawn grasses of: {title}"),
    };
    if let Some(month) = asked.month {
        words = format!("{words}; plants that grow visibly in month {month}");
    }
    if let Some(region) = &asked.region {
        words = format!("{words}; plants common in {region}");
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

/// Numbers for steps, ends and plants.
struct Layout<'a> {
    book: &'a Knowledge,
    key: &'a QuestionGraph,
    sketches: &'a Sketches,
    /// Place of each taxon of the graph among the plants.
    places: HashMap<usize, usize>,
    /// The questions in the order in which a reader meets them, and their numbers.
    order: Vec<NodeIndex>,
    numbers: HashMap<NodeIndex, usize>,
}

impl<'a> Layout<'a> {
    fn new(
        book: &'a Knowledge,
        key: &'a QuestionGraph,
        plants: &[Plant],
        sketches: &'a Sketches,
    ) -> Self {
        let by_id: HashMap<&str, usize> = plants
            .iter()
            .enumerate()
            .map(|(n, p)| (p.id.as_str(), n))
            .collect();
        let (order, numbers) = numbered(key);
        Self {
            book,
            key,
            sketches,
            places: key
                .taxa
                .iter()
                .enumerate()
                .filter_map(|(n, id)| Some((n, *by_id.get(id.as_str())?)))
                .collect(),
            order,
            numbers,
        }
    }

    /// Steps that lead to a node.
    fn from(&self, node: NodeIndex) -> Vec<usize> {
        let mut from: Vec<usize> = self
            .key
            .graph
            .neighbors_directed(node, Direction::Incoming)
            .filter_map(|n| self.numbers.get(&n).copied())
            .collect();
        from.sort_unstable();
        from.dedup();
        from
    }

    fn steps(&self, scope: &Scope) -> Carried {
        let mut ends: Vec<End> = Vec::new();
        let mut known: HashMap<NodeIndex, usize> = HashMap::new();
        let mut steps = Vec::with_capacity(self.order.len());
        // A key of one plant, or of plants that need the same, asks nothing.
        if self.order.is_empty() && self.key.taxa.len() > 1 {
            self.end(self.key.root, scope, &mut ends, &mut known);
        }
        for (index, &node) in self.order.iter().enumerate() {
            let Some(of) = self.key.graph[node].asks else {
                continue;
            };
            let one = &self.book.traits[of];
            let labels = answers_of(one);
            let answers = self
                .key
                .answers(node)
                .into_iter()
                .filter_map(|(class, next)| {
                    let put = labels.get(class)?;
                    Some(Answer {
                        label: put.label.clone(),
                        help: put.help.clone().unwrap_or_default(),
                        drawing: self
                            .sketches
                            .of_answer(one, class)
                            .and_then(|_| name(one, class)),
                        goal: self.goal(next, scope, &mut ends, &mut known),
                    })
                })
                .collect();
            steps.push(Step {
                number: index + 1,
                from: self.from(node),
                trait_id: one.id.clone(),
                question: one.question.clone(),
                help: one.help.clone(),
                answers,
            });
        }
        Carried {
            scope: String::new(),
            steps,
            ends,
            plants: Vec::new(),
            cautions: Vec::new(),
            ask: String::new(),
            one_lawn: false,
        }
    }

    fn goal(
        &self,
        node: NodeIndex,
        scope: &Scope,
        ends: &mut Vec<End>,
        known: &mut HashMap<NodeIndex, usize>,
    ) -> Goal {
        if let Some(number) = self.numbers.get(&node) {
            return Goal::Step(*number);
        }
        match self.key.graph[node].taxa[..] {
            [one] => Goal::Plant(self.places[&one]),
            _ => Goal::End(self.end(node, scope, ends, known)),
        }
    }

    fn end(
        &self,
        node: NodeIndex,
        scope: &Scope,
        ends: &mut Vec<End>,
        known: &mut HashMap<NodeIndex, usize>,
    ) -> usize {
        *known.entry(node).or_insert_with(|| {
            let taxa = &self.key.graph[node].taxa;
            let outcome = |t: &usize| scope.outcomes.get(&self.key.taxa[*t]);
            let first = taxa.first().and_then(outcome);
            ends.push(End {
                plants: taxa.iter().map(|t| self.places[t]).collect(),
                same: first.is_some() && taxa.iter().all(|t| outcome(t) == first),
                from: self.from(node),
            });
            ends.len() - 1
        })
    }
}

/// Numbers the questions in the order in which a reader meets them.
fn numbered(key: &QuestionGraph) -> (Vec<NodeIndex>, HashMap<NodeIndex, usize>) {
    let mut order = Vec::new();
    let mut numbers = HashMap::new();
    let mut waiting = vec![key.root];
    while let Some(node) = waiting.pop() {
        if key.graph[node].asks.is_none() || numbers.contains_key(&node) {
            continue;
        }
        order.push(node);
        numbers.insert(node, order.len());
        waiting.extend(key.answers(node).into_iter().rev().map(|(_, next)| next));
    }
    (order, numbers)
}
