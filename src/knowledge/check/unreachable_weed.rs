//! Weeds that the key can hardly ever name.
use super::prelude::*;

pub const CHECK: Check = Check {
    code: "unreachable-weed",
    severity: Warning,
    title: "The key can hardly reach a weed",
    explanation: "A weed of which too little is known, or whose kind is not known, comes out of the key almost never, however \
        well the observer looks. Fill in its kind and at least three more traits.",
    bad: &[Piece {
        file: "weeds/thread-sedge.yaml",
        yaml: "traits:\n  kind: {is: sedge, source: guide-a}",
    }],
    good: &[Piece {
        file: "weeds/thread-sedge.yaml",
        yaml: "traits:\n  kind: {is: sedge, source: guide-a}\n  life_cycle: {is: perennial, source: guide-a}\n  stem: {is: three-cornered, source: guide-a}\n  flower: {is: green, source: guide-a}",
    }],
    run,
    needs_all: false,
};

/// Fewest traits with which a plant can be told from a stranger.
const FEWEST: usize = 4;

fn run(book: &Book<'_>, found: &mut Findings) {
    let kind = book
        .known
        .book
        .as_ref()
        .and_then(|b| b.kind_trait.as_deref());
    // A book without a trait for kinds, or with hardly any traits, is a small one of its own making.
    let Some(kind) = kind.filter(|_| book.known.traits.len() >= FEWEST) else {
        return;
    };
    for (id, weed) in &book.known.weeds {
        let at = At::file(format!("weeds/{id}.yaml")).to("traits");
        if !weed.traits.contains_key(kind) {
            found
                .add(at, format!("{id} has no {kind}"))
                .help(format!("add `{kind}`; every other gap is filled from it"));
        } else if weed.traits.len() < FEWEST {
            found
                .add(
                    at,
                    format!("of {id} only {} traits are known", weed.traits.len()),
                )
                .help(format!("fill in at least {FEWEST}"));
        }
    }
}
