//! The graph of the key in the DOT language.
use super::Carried;
use crate::identify::answers_of;
use crate::key::graph::QuestionGraph;
use crate::knowledge::Knowledge;
use std::fmt::Write as _;

/// The graph, a box for a question and a rounded one for an end.
#[must_use]
pub fn dot(book: &Knowledge, graph: &QuestionGraph, key: &Carried) -> String {
    let name = |taxon: usize| {
        let id = &graph.taxa[taxon];
        key.plants
            .iter()
            .find(|p| &p.id == id)
            .map_or(id.as_str(), |p| p.name.as_str())
    };
    let mut text = String::from("digraph key {\n  node [shape=box];\n");
    for node in graph.graph.node_indices() {
        let (label, shape) = if let Some(of) = graph.graph[node].asks {
            (book.traits[of].question.clone(), "")
        } else {
            let names: Vec<&str> = graph.graph[node].taxa.iter().map(|&t| name(t)).collect();
            (names.join(" or "), " style=rounded")
        };
        let _ = writeln!(
            text,
            "  n{} [label={}{shape}];",
            node.index(),
            quoted(&label)
        );
    }
    for node in graph.graph.node_indices() {
        let Some(of) = graph.graph[node].asks else {
            continue;
        };
        let labels = answers_of(&book.traits[of]);
        for (class, next) in graph.answers(node) {
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

fn quoted(text: &str) -> String {
    format!(
        "\"{}\"",
        text.replace('\\', "\\\\")
            .replace('"', "\\\"")
            .replace('\n', " ")
    )
}
