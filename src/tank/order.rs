//! The order in which the parts of a tank go in, by formulation.
use crate::knowledge::Knowledge;
use crate::knowledge::fact::{Fact, with_note};
use crate::knowledge::form::lists::{Formulation, Mixing, MixingStep};
use crate::words::plain;
use serde::Serialize;

/// A part of the tank, as the order sees it.
#[derive(Debug, Clone, Copy)]
pub enum Goes<'a> {
    /// A product of this formulation; none where its label was not copied so far.
    Product(Option<&'a Formulation>),
    /// An adjuvant of this name.
    Adjuvant(&'a str),
}

/// A part in its place.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Placed {
    /// Which of the parts, counted from 0.
    pub part: usize,
    /// The book's sentence about its place; nothing where the book does not know it.
    pub fact: Option<Fact>,
}

/// The parts in the order of mixing. What has no place in the book goes where it does least harm, and its fact is
/// empty: products before all others of unknown formulation would be a guess, so they keep to the order given, after
/// the known ones, and an unknown adjuvant comes last.
#[must_use]
pub fn order(book: &Knowledge, parts: &[Goes<'_>]) -> Vec<Placed> {
    let mixing = book.mixing.as_ref();
    let mut ranked: Vec<(f64, Placed)> = parts
        .iter()
        .enumerate()
        .map(|(part, goes)| {
            let step = mixing.and_then(|m| step(m, goes));
            let last = match goes {
                Goes::Product(_) => UNKNOWN_PRODUCT,
                Goes::Adjuvant(_) => UNKNOWN_ADJUVANT,
            };
            (
                step.map_or(last, |s| s.rank.0),
                Placed {
                    part,
                    fact: step.map(|s| fact(book, s)),
                },
            )
        })
        .collect();
    ranked.sort_by(|a, b| a.0.total_cmp(&b.0));
    ranked.into_iter().map(|(_, placed)| placed).collect()
}

/// Ranks after every rank of the book.
const UNKNOWN_PRODUCT: f64 = 1e6;
const UNKNOWN_ADJUVANT: f64 = 2e6;

fn step<'a>(mixing: &'a Mixing, goes: &Goes<'_>) -> Option<&'a MixingStep> {
    match goes {
        Goes::Product(formulation) => {
            let rank = (*formulation)?.rank?;
            mixing
                .order
                .iter()
                .find(|s| (s.rank.0 - rank.0).abs() < f64::EPSILON)
        }
        Goes::Adjuvant(name) => {
            let name = plain(name);
            mixing
                .order
                .iter()
                .find(|s| s.takes.iter().any(|word| name.contains(&plain(word))))
        }
    }
}

/// How the tank is begun: the first step of the book's order.
#[must_use]
pub fn first(book: &Knowledge) -> Option<Fact> {
    let steps = &book.mixing.as_ref()?.order;
    let step = steps.iter().min_by(|a, b| a.rank.0.total_cmp(&b.rank.0))?;
    Some(fact(book, step))
}

/// How the tank is finished: the last step of the book's order.
#[must_use]
pub fn last(book: &Knowledge) -> Option<Fact> {
    let steps = &book.mixing.as_ref()?.order;
    let step = steps.iter().max_by(|a, b| a.rank.0.total_cmp(&b.rank.0))?;
    Some(fact(book, step))
}

fn fact(book: &Knowledge, step: &MixingStep) -> Fact {
    Fact::new(
        book,
        with_note(&step.text, step.note.as_deref()),
        &step.source,
    )
}
