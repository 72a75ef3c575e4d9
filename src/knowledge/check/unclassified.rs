//! Actives that the classification list does not name.
use super::prelude::*;
use std::collections::BTreeSet;

pub const CHECK: Check = Check {
    code: "unclassified",
    severity: Note,
    title: "The classification does not name an active",
    explanation: "The group of this active cannot be held against the classification, because `classification.yaml` does not \
        name it. Add it there with the source in which its number was read.",
    bad: &[Piece {
        file: "classification.yaml",
        yaml: "numbers:\n  - {number: 2, source: guide-a}\n  - {number: 3, source: guide-a}\n  - {number: 4, source: guide-a}\nmembers:\n  - {actives: [demosulf, fabricam, inventol], number: 2, source: guide-a}",
    }],
    good: &[Piece {
        file: "classification.yaml",
        yaml: "numbers:\n  - {number: 2, source: guide-a}\n  - {number: 3, source: guide-a}\n  - {number: 4, source: guide-a}\nmembers:\n  - {actives: demosulf, number: 2, source: guide-a}\n  - {actives: [fabricam, inventol], number: 4, source: guide-a}\n  - {actives: placebuline, number: 3, source: guide-a}",
    }],
    run,
    needs_all: true,
};

fn run(book: &Book<'_>, found: &mut Findings) {
    let Some(classes) = &book.known.classification else {
        return;
    };
    let named: BTreeSet<&String> = classes
        .members
        .iter()
        .flat_map(|m| m.actives.iter())
        .collect();
    for id in book.known.actives.keys().filter(|id| !named.contains(id)) {
        found
            .add(
                At::file(format!("actives/{id}.yaml")).to("group"),
                format!("the classification does not name {id}"),
            )
            .help("add it to classification.yaml with the source of its number");
    }
}
