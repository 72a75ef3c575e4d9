//! Traits and states that part nothing.
use super::prelude::*;
use crate::knowledge::form::plant::{Shows, TraitKind};

pub const CHECK: Check = Check {
    code: "trait-unused",
    severity: Warning,
    title: "A trait is of no use: no plant has it, or all show the same",
    explanation: "A question costs the observer effort. Where no plant of the book has the trait filled in, or every plant that has \
        it shows the same states, no answer can make any plant likelier. Fill it in, or take the trait away.",
    bad: &[Piece {
        file: "traits.yaml",
        yaml: "- {id: sap, question: What is the sap like?, help: Break a leaf., kind: one, effort: close, error: 0.1, source: memory, states: [{id: clear}, {id: milky}]}",
    }],
    good: &[
        Piece {
            file: "traits.yaml",
            yaml: "- {id: sap, question: What is the sap like?, help: Break a leaf., kind: one, effort: close, error: 0.1, source: memory, states: [{id: clear}, {id: milky}]}",
        },
        Piece {
            file: "weeds/winter-star.yaml",
            yaml: "traits:\n  kind: {is: broadleaf, source: guide-a}\n  sap: {is: clear, source: memory}\n  flower: {is: white, source: guide-a}\n  leaf_edge: {is: smooth, source: guide-a}",
        },
        Piece {
            file: "weeds/saw-rosette.yaml",
            yaml: "traits:\n  kind: {is: broadleaf, source: memory}\n  sap: {is: milky, source: memory}\n  flower: {is: yellow, source: memory}\n  leaf_edge: {is: toothed, source: memory}",
        },
    ],
    run,
    needs_all: true,
};

fn run(book: &Book<'_>, found: &mut Findings) {
    if book.known.weeds.len() < 2 {
        return;
    }
    for (index, one) in book.known.traits.iter().enumerate() {
        // A trait may part weeds from each other, grasses from each other, or a weed from a grass.
        let shown: Vec<&Shows> = plants(book.known)
            .filter_map(|p| p.traits.get(&one.id))
            .collect();
        let at = || At::file("traits.yaml").to(index);
        if shown.is_empty() {
            found
                .add(at(), format!("no plant has {} filled in", one.id))
                .help("fill it in for at least two plants, or take the trait away");
            continue;
        }
        let alike = shown.windows(2).all(|w| same(w[0], w[1]));
        if alike && shown.len() > 1 {
            let what = if one.kind == TraitKind::Number {
                "the same range"
            } else {
                "the same states"
            };
            found
                .add(
                    at(),
                    format!(
                        "all {} plants that have {} show {what}",
                        shown.len(),
                        one.id
                    ),
                )
                .help("look whether the states are fine enough, or take the trait away");
        }
    }
}

fn same(a: &Shows, b: &Shows) -> bool {
    let sorted = |s: &Shows| {
        let mut all = s.is.to_vec();
        all.sort();
        all
    };
    sorted(a) == sorted(b)
        && a.sometimes == b.sometimes
        && a.range == b.range
        && a.weights == b.weights
}
