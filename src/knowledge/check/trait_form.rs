//! Traits without what their kind needs.
use super::prelude::*;
use crate::key::MOST_ANSWERS;
use crate::knowledge::form::plant::TraitKind;

pub const CHECK: Check = Check {
    code: "trait-form",
    severity: Error,
    title: "A trait lacks what its kind needs",
    explanation: "A trait of kind `one` or `several` needs at least two states to choose from. A trait of kind `number` needs \
        `cuts`, the upper ends of its answer classes, above 0 and each larger than the one before. Nobody reads more than 64 \
        answers, and the printed key takes no more. The trait of the kinds has states, one for each kind. `error` is the chance that a careful \
        amateur reports something wrong: 0 to 0.5, since more than that would be worse than guessing.",
    bad: &[Piece {
        file: "traits.yaml",
        yaml: "- {id: sap, question: What is the sap like?, help: Break a leaf., kind: one, effort: close, error: 0.1, source: memory}",
    }],
    good: &[Piece {
        file: "traits.yaml",
        yaml: "- {id: sap, question: What is the sap like?, help: Break a leaf., kind: one, effort: close, error: 0.1, source: memory, states: [{id: clear}, {id: milky}]}",
    }],
    run,
    needs_all: false,
};

fn run(book: &Book<'_>, found: &mut Findings) {
    let kind = book.known.book.as_ref().and_then(|b| b.kind_trait.as_ref());
    for (number, one) in book.known.traits.iter().enumerate() {
        if Some(&one.id) == kind && one.kind == TraitKind::Number {
            found
                .add(
                    At::file("book.yaml").to("kind_trait"),
                    format!("the trait of the kinds, {}, is a number", one.id),
                )
                .help("take a trait with states, one for each kind");
        }
        let at = |key: &str| At::file("traits.yaml").to(number).to(key);
        let numeric = one.kind == TraitKind::Number;
        if numeric && one.cuts.is_empty() {
            found
                .add(
                    at("kind"),
                    format!("the number trait {} has no cuts", one.id),
                )
                .help("give `cuts`: the upper ends of the answer classes, ascending");
        }
        if numeric && !one.states.is_empty() {
            found
                .add(
                    at("states"),
                    format!("the number trait {} has states", one.id),
                )
                .help("take `states` away, or make the kind `one` or `several`");
        }
        if !numeric && one.states.len() < 2 {
            found
                .add(
                    at("kind"),
                    format!("the trait {} has fewer than two states", one.id),
                )
                .help("give `states`, at least two");
        }
        if !numeric && !one.cuts.is_empty() {
            found
                .add(
                    at("cuts"),
                    format!("the trait {} has states and cuts", one.id),
                )
                .help("take `cuts` away, or make the kind `number`");
        }
        if one.classes() > MOST_ANSWERS {
            found
                .add(
                    at(if numeric { "cuts" } else { "states" }),
                    format!("the trait {} has {} answers", one.id, one.classes()),
                )
                .help(format!(
                    "join some: a trait takes at most {MOST_ANSWERS}, and people read about ten"
                ));
        }
        if one.cuts.first().is_some_and(|cut| cut.0 <= 0.0) {
            found
                .add(at("cuts"), "the first cut is not above 0")
                .help("measures are above 0, so nothing can lie below such a cut");
        }
        if one.cuts.windows(2).any(|w| w[0] >= w[1]) {
            found
                .add(at("cuts"), "these cuts do not ascend")
                .help("each cut must be larger than the one before");
        }
        if !(0.0..=0.5).contains(&one.error.0) {
            found
                .add(
                    at("error"),
                    format!("an observer error of {} cannot be", one.error.0),
                )
                .help("it is a chance from 0 to 0.5");
        }
    }
}
