//! States that no plant shows, or all do.
use super::prelude::*;
use crate::knowledge::form::plant::TraitKind;

pub const CHECK: Check = Check {
    code: "state-unused",
    severity: Note,
    title: "No plant shows a state, or every plant does",
    explanation: "An answer that fits no plant of the book leads to \"none of these\"; one that fits every plant tells nothing. Both \
        can be right: an observer may well meet a plant that the book does not have. Look whether a weed was forgotten \
        whose telling mark this is.",
    bad: &[Piece {
        file: "traits.yaml",
        yaml: "- {id: stem, question: What shape is the stem?, help: Roll it., kind: one, effort: close, error: 0.06, source: memory, states: [{id: round}, {id: square}, {id: three-cornered}, {id: winged}]}",
    }],
    good: &[Piece {
        file: "traits.yaml",
        yaml: "- {id: stem, question: What shape is the stem?, help: Roll it., kind: one, effort: close, error: 0.06, source: memory, states: [{id: round}, {id: square}, {id: three-cornered}]}",
    }],
    run,
    needs_all: true,
};

fn run(book: &Book<'_>, found: &mut Findings) {
    for (index, one) in book
        .known
        .traits
        .iter()
        .enumerate()
        .filter(|(_, t)| t.kind != TraitKind::Number)
    {
        let all: Vec<_> = plants(book.known)
            .filter_map(|p| p.traits.get(&one.id))
            .collect();
        for (place, state) in one.states.iter().enumerate() {
            let with = all
                .iter()
                .filter(|s| s.states().any(|shown| *shown == state.id))
                .count();
            let at = At::file("traits.yaml")
                .to(index)
                .to("states")
                .to(place)
                .to("id");
            let about = format!("{} {}", one.id, state.id);
            if with == 0 && !all.is_empty() {
                found
                    .add(at, format!("no plant shows {} of {}", state.id, one.id))
                    .about(about);
            } else if with == all.len() && with > 1 && all.iter().all(|s| s.weights.is_empty()) {
                // Where it was counted how often, plants differ though all show it.
                found
                    .add(
                        at,
                        format!("all {with} plants that have {} show {}", one.id, state.id),
                    )
                    .about(about);
            }
        }
    }
}
