//! What a plant shows must fit the kind of the trait.
use super::prelude::*;
use crate::knowledge::form::plant::TraitKind;

pub const CHECK: Check = Check {
    code: "trait-value",
    severity: Error,
    title: "What a plant shows does not fit the trait",
    explanation: "A trait with states takes `is` (and `sometimes`), a number trait takes `range`, and `is: na` stands alone: it says \
        that the trait cannot apply to this plant. A trait of which nothing is known is left out; unknown is unknown.",
    bad: &[Piece {
        file: "weeds/tuft-millet.yaml",
        yaml: "traits:\n  kind: {is: grass, source: guide-a}\n  leaf_width_mm: {is: [na, narrow], source: guide-a}",
    }],
    good: &[Piece {
        file: "weeds/tuft-millet.yaml",
        yaml: "traits:\n  kind: {is: grass, source: guide-a}\n  leaf_width_mm: {range: [4, 8], source: guide-a}",
    }],
    run,
    needs_all: false,
};

fn run(book: &Book<'_>, found: &mut Findings) {
    for plant in plants(book.known) {
        for (id, shows) in plant.traits {
            let Some(known) = book.known.traits.iter().find(|t| &t.id == id) else {
                continue;
            };
            let na = shows.is.iter().any(|s| s == "na");
            let number = known.kind == TraitKind::Number;
            let words = !shows.sometimes.is_empty() || !shows.weights.is_empty();
            let (what, help) = if na && (shows.is.len() > 1 || words || shows.range.is_some()) {
                (
                    "cannot both not apply and have a value",
                    "keep `na` alone, or take it away",
                )
            } else if shows.is.is_empty() && !words && shows.range.is_none() {
                (
                    "has no value",
                    "give `is` or `range`, or leave the trait out: unknown is unknown",
                )
            } else if number && shows.range.is_none() && !na {
                ("is a number and needs a range", "write `range: [from, to]`")
            } else if !number && shows.range.is_some() {
                ("is no number and has no range", "write `is:` with states")
            } else if !shows.weights.is_empty()
                && (!shows.is.is_empty() || !shows.sometimes.is_empty())
            {
                (
                    "has both weights and plain states",
                    "keep one of the two ways of writing",
                )
            } else if shows.weights.values().any(|w| w.0 < 0.0)
                || (!shows.weights.is_empty() && shows.weights.values().all(|w| w.0 <= 0.0))
            {
                (
                    "has weights that cannot be",
                    "weights are counts or shares from zero up, at least one above zero",
                )
            } else if twice(&shows.is) || twice(&shows.sometimes) {
                ("names one state twice", "name each state once")
            } else if shows.is.iter().any(|s| shows.sometimes.contains(s)) {
                (
                    "has one state under both `is` and `sometimes`",
                    "keep it in one of the two",
                )
            } else {
                continue;
            };
            found
                .add(
                    At::file(plant.file.as_str()).to("traits").to(id),
                    format!("{id} {what}"),
                )
                .help(help);
        }
    }
}

fn twice(states: &[String]) -> bool {
    let mut named = states.iter().enumerate();
    named.any(|(index, state)| states[..index].contains(state))
}
