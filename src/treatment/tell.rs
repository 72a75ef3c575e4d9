//! How to tell two plants apart, and traits and answers in words.
use super::fact::{Fact, plain_number, plain_range};
use crate::key::{Answer, Answers, Book};
use crate::knowledge::Knowledge;
use crate::knowledge::form::plant::{Shows, Trait, Weed};
use crate::words::or_list;

/// The name of a trait, from its id.
#[must_use]
pub fn trait_label(of: &Trait) -> String {
    let name = of.unit.as_ref().map_or(of.id.as_str(), |unit| {
        of.id
            .strip_suffix(unit.as_str())
            .map_or(of.id.as_str(), |n| n.trim_end_matches(['_', '-']))
    });
    name.replace(['_', '-'], " ")
}

/// What the observer reads for a state.
#[must_use]
pub fn state_label(of: &Trait, id: &str) -> String {
    of.states
        .iter()
        .find(|s| s.id == id)
        .and_then(|s| s.label.clone())
        .unwrap_or_else(|| id.replace('_', " "))
}

/// An answer in words.
#[must_use]
pub fn observed_label(of: &Trait, answer: &Answer) -> String {
    match answer {
        Answer::Unsure => "not sure".to_owned(),
        Answer::Number(x) => with_unit(of, &plain_number(*x)),
        Answer::States(states) => {
            let labels: Vec<String> = states
                .iter()
                .filter_map(|&s| of.states.get(s))
                .map(|s| state_label(of, &s.id))
                .collect();
            or_list(&labels)
        }
    }
}

/// A number with the unit of its trait.
#[must_use]
pub fn with_unit(of: &Trait, number: &str) -> String {
    match &of.unit {
        Some(unit) => format!("{number} {unit}"),
        None => number.to_owned(),
    }
}

/// What a plant shows of a trait, in words.
fn shown(of: &Trait, shows: &Shows) -> Option<String> {
    if shows.is.iter().any(|s| s == "na") {
        return Some("none".to_owned());
    }
    if let Some([from, to]) = shows.range {
        return Some(with_unit(of, &plain_range(from.0, to.0)));
    }
    let states = if shows.is.is_empty() {
        &shows.sometimes
    } else {
        &shows.is
    };
    let labels: Vec<String> = states.iter().map(|s| state_label(of, s)).collect();
    (!labels.is_empty()).then(|| or_list(&labels))
}

/// How to tell `other` from `this`: what the book says of the two, else the trait in which they differ most.
#[must_use]
pub fn apart(
    book: &Knowledge,
    key: &Book,
    this: &str,
    other: &str,
    answers: &Answers,
) -> Option<Fact> {
    let (a, b) = (book.weeds.get(this)?, book.weeds.get(other)?);
    let tell = |of: &Weed, than: &str| {
        of.look_alikes
            .iter()
            .find(|l| l.weed.as_deref() == Some(than))
            .map(|l| Fact::new(book, l.tell.clone(), &l.source))
    };
    tell(a, other)
        .or_else(|| tell(b, this))
        .or_else(|| most_different(book, key, this, other, answers))
}

/// Differences smaller than this (of 1) are no help in telling two plants apart.
const LEAST_DIFFERENCE: f64 = 0.5;

/// The trait, not yet answered, in whose rows two plants differ most (total variation distance), both being known.
fn most_different(
    book: &Knowledge,
    key: &Book,
    this: &str,
    other: &str,
    answers: &Answers,
) -> Option<Fact> {
    let taxon = |id: &str| key.taxa().iter().position(|t| t.id == id);
    let (a, b) = (taxon(this)?, taxon(other)?);
    let mut best: Option<(f64, Fact)> = None;
    for (of, compiled) in key.traits().iter().enumerate() {
        let one = book.traits.iter().find(|t| t.id == compiled.id)?;
        let (Some(left), Some(right)) = (
            book.weeds[this].traits.get(&one.id),
            book.weeds[other].traits.get(&one.id),
        ) else {
            continue;
        };
        if answers.get(of).is_some() {
            continue;
        }
        let distance: f64 = (0..compiled.classes())
            .map(|class| (key.chance(a, of, class) - key.chance(b, of, class)).abs())
            .sum::<f64>()
            / 2.0;
        let (Some(shows), Some(instead)) = (shown(one, left), shown(one, right)) else {
            continue;
        };
        if distance >= LEAST_DIFFERENCE && best.as_ref().is_none_or(|(most, _)| distance > *most) {
            let text = format!(
                "{}: {instead} on it, {shows} on {}",
                trait_label(one),
                book.weeds[this].names.first().map_or(this, String::as_str)
            );
            best = Some((
                distance,
                Fact::of_several(book, text, [&left.source, &right.source]),
            ));
        }
    }
    best.map(|(_, fact)| fact)
}
