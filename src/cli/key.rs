//! `ligule key`: the fixed key as a graph, on paper, or measured.
use super::identify::Subject;
use super::output::{Outcome, load, print};
use anyhow::Result;
use clap::{Args, ValueEnum};
use ligule::identify::answers_of;
use ligule::key::book::What;
use ligule::key::graph::QuestionGraph;
use ligule::knowledge::Knowledge;
use petgraph::graph::NodeIndex;
use std::collections::HashMap;
use std::fmt::Write as _;
use std::path::Path;

/// Forms of the key.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, ValueEnum)]
pub enum Form {
    /// Numbered steps to carry on paper
    #[default]
    Text,
    /// A graph in the DOT language
    Dot,
}

#[derive(Debug, Args)]
pub struct Arguments {
    /// How to print the key
    #[arg(long, value_enum, default_value_t)]
    format: Form,
    /// Only plants that are seen in this month
    #[arg(long, value_parser = clap::value_parser!(u8).range(1..=12), value_name = "1..12")]
    month: Option<u8>,
    /// Weeds, or lawn grasses
    #[arg(long, value_enum, default_value_t)]
    what: Subject,
    /// Print how many steps the key takes instead of the key
    #[arg(long)]
    measure: bool,
}

pub fn run(arguments: &Arguments, folder: Option<&Path>) -> Result<Outcome> {
    let book = load(folder)?;
    let what = match arguments.what {
        Subject::Weed => What::Weeds,
        Subject::Turf => What::Turf,
    };
    let key = QuestionGraph::build(&book, what, arguments.month);
    key.check()?;
    let text = match (arguments.measure, arguments.format) {
        (true, _) => measured(&key),
        (false, Form::Text) => steps(&book, what, &key),
        (false, Form::Dot) => dot(&book, what, &key),
    };
    print(&text)?;
    Ok(Outcome::Fine)
}

fn measured(key: &QuestionGraph) -> String {
    let steps = key.steps();
    format!(
        "{} plants, {} nodes\nsteps to an end: {:.1} expected, {} at worst\nends: {} with one plant, {} with several that this key cannot part\n",
        key.taxa.len(),
        steps.nodes,
        steps.expected,
        steps.worst,
        steps.single_ends,
        steps.shared_ends
    )
}

fn name(book: &Knowledge, what: What, id: &str) -> String {
    let names = match what {
        What::Weeds => book.weeds.get(id).map(|w| &w.names),
        What::Turf => book.turf.get(id).map(|t| &t.names),
    };
    names
        .and_then(|n| n.first())
        .map_or_else(|| id.to_owned(), Clone::clone)
}

fn names(book: &Knowledge, what: What, key: &QuestionGraph, taxa: &[usize]) -> String {
    let all: Vec<String> = taxa
        .iter()
        .map(|&t| name(book, what, &key.taxa[t]))
        .collect();
    all.join(" or ")
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

fn steps(book: &Knowledge, what: What, key: &QuestionGraph) -> String {
    let (order, numbers) = numbered(key);
    let mut text = String::from(
        "Begin at 1. At each number take the answer that fits and go where it sends you. One wrong step leads astray;\n`ligule identify` forgives it. Chance names at the end are plants that this key cannot part.\n",
    );
    if order.is_empty() {
        let _ = writeln!(
            text,
            "\n{}",
            names(book, what, key, &key.graph[key.root].taxa)
        );
    }
    for (index, node) in order.iter().enumerate() {
        let Some(of) = key.graph[*node].asks else {
            continue;
        };
        let one = &book.traits[of];
        let labels = answers_of(one);
        let _ = writeln!(text, "\n{}. {}", index + 1, one.question);
        for (class, next) in key.answers(*node) {
            let label = labels.get(class).map_or("", |a| a.label.as_str());
            let goal = match numbers.get(&next) {
                Some(number) => format!("go to {number}"),
                None => names(book, what, key, &key.graph[next].taxa),
            };
            let _ = writeln!(text, "   {label} ... {goal}");
        }
    }
    text
}

fn dot(book: &Knowledge, what: What, key: &QuestionGraph) -> String {
    let quoted = |s: &str| format!("\"{}\"", s.replace('\\', "\\\\").replace('"', "\\\""));
    let mut text = String::from("digraph key {\n  node [shape=box];\n");
    for node in key.graph.node_indices() {
        let label = match key.graph[node].asks {
            Some(of) => book.traits[of].question.clone(),
            None => names(book, what, key, &key.graph[node].taxa),
        };
        let _ = writeln!(text, "  n{} [label={}];", node.index(), quoted(&label));
    }
    for node in key.graph.node_indices() {
        let Some(of) = key.graph[node].asks else {
            continue;
        };
        let labels = answers_of(&book.traits[of]);
        for (class, next) in key.answers(node) {
            let label = labels.get(class).map_or("", |a| a.label.as_str());
            let _ = writeln!(
                text,
                "  n{} -> n{} [label={}];",
                node.index(),
                next.index(),
                quoted(label)
            );
        }
    }
    text.push_str("}\n");
    text
}
