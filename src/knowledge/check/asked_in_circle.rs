//! Questions that wait for each other.
use super::prelude::*;
use std::collections::BTreeMap;

pub const CHECK: Check = Check {
    code: "asked-in-circle",
    severity: Error,
    title: "Questions wait for each other",
    explanation: "`asked_of` makes one question depend on another. If that one depends on the first again, neither can ever be \
        put. Take one of the conditions away.",
    bad: &[Piece {
        file: "traits.yaml",
        yaml: "- {id: sap, question: What is the sap like?, help: Break a leaf., kind: one, effort: close, error: 0.1, source: memory, asked_of: {smell: none}, states: [{id: clear}, {id: milky}]}\n- {id: smell, question: How does it smell?, help: Crush a leaf., kind: one, effort: close, error: 0.1, source: memory, asked_of: {sap: clear}, states: [{id: none}, {id: mint}]}",
    }],
    good: &[Piece {
        file: "traits.yaml",
        yaml: "- {id: sap, question: What is the sap like?, help: Break a leaf., kind: one, effort: close, error: 0.1, source: memory, states: [{id: clear}, {id: milky}]}\n- {id: smell, question: How does it smell?, help: Crush a leaf., kind: one, effort: close, error: 0.1, source: memory, asked_of: {sap: clear}, states: [{id: none}, {id: mint}]}",
    }],
    run,
    needs_all: false,
};

fn run(book: &Book<'_>, found: &mut Findings) {
    let needs: BTreeMap<&str, Vec<&str>> = book
        .known
        .traits
        .iter()
        .map(|t| {
            (
                t.id.as_str(),
                t.asked_of.keys().map(String::as_str).collect(),
            )
        })
        .collect();
    for (index, one) in book.known.traits.iter().enumerate() {
        // Everything that this question waits for; reaching itself again is a circle.
        let mut open: Vec<&str> = needs.get(one.id.as_str()).cloned().unwrap_or_default();
        let mut seen = std::collections::BTreeSet::new();
        while let Some(next) = open.pop() {
            if seen.insert(next) {
                open.extend(needs.get(next).into_iter().flatten().copied());
            }
        }
        if seen.contains(one.id.as_str()) {
            found
                .add(
                    At::file("traits.yaml").to(index).to("asked_of"),
                    format!("{} waits for its own answer", one.id),
                )
                .help("take one of the conditions of the circle away");
        }
    }
}
