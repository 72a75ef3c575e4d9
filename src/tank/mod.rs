//! What goes into one tank: whether the actives may, in which order, with what water, and what to try first in a jar.
//! All of it from the book, each statement with its evidence; where the book knows nothing, the jar test and the label
//! decide, and that is said.
pub mod droplets;
pub mod expected;
pub mod jar;
pub mod meetings;
pub mod order;
pub mod water;

use crate::knowledge::Knowledge;
use crate::knowledge::fact::Fact;
use crate::knowledge::form::common::Remark;

/// The book's sentences of a list that are about one topic.
fn about(book: &Knowledge, list: &[Remark], topic: &str) -> Vec<Fact> {
    list.iter()
        .filter(|r| r.about.as_deref() == Some(topic))
        .map(|r| Fact::of_remark(book, r))
        .collect()
}

/// How to rinse containers, and what their rinse water is.
#[must_use]
pub fn rinse(book: &Knowledge) -> Vec<Fact> {
    ["rinsing", "rinse water"]
        .into_iter()
        .flat_map(|topic| {
            book.mixing
                .iter()
                .flat_map(move |m| about(book, &m.rinse, topic))
        })
        .collect()
}

/// What to do with spray or rinse water that is left.
#[must_use]
pub fn leftover(book: &Knowledge) -> Vec<Fact> {
    book.mixing
        .iter()
        .flat_map(|m| about(book, &m.rinse, "rinsate"))
        .collect()
}

/// How the ground is crossed with a spreader.
#[must_use]
pub fn crossing(book: &Knowledge) -> Option<Fact> {
    let mixing = book.mixing.as_ref()?;
    about(book, &mixing.calibration, "spreader crossing")
        .into_iter()
        .next()
}

/// Rules of mixing: keep it moving, one product after the other.
#[must_use]
pub fn rules(book: &Knowledge) -> Vec<Fact> {
    book.mixing
        .iter()
        .flat_map(|m| &m.rules)
        .map(|r| Fact::of_remark(book, r))
        .collect()
}
