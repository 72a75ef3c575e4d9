//! What plants show: the part that weeds and grasses have in common.
use super::page::{Block, Line, Pair, Plate, Span};
use super::pen::{Pen, joined};
use super::place;
use crate::knowledge::Kind;
use crate::knowledge::fact::{plain_range, with_note};
use crate::knowledge::form::plant::{Shows, Trait, TraitKind};
use crate::knowledge::sketches::{Sketches, title};
use crate::treatment::tell::{state_label, trait_label, with_unit};
use std::collections::BTreeMap;

/// Most drawings on the page of one plant; the rest is a click away.
const MOST_PLATES: usize = 12;
/// Most states of a trait of which each is drawn; a plant that may look like anything is not drawn.
const MOST_STATES: usize = 2;

/// Drawings, then every trait in words, in the order of the list of traits.
pub fn shown(
    pen: &mut Pen<'_>,
    drawings: &Sketches,
    traits: &BTreeMap<String, Shows>,
) -> Vec<Block> {
    let book = pen.book;
    let here = || {
        book.traits
            .iter()
            .filter_map(|t| traits.get(&t.id).map(|s| (t, s)))
    };
    let mut plates = Vec::new();
    for (of, shows) in here().filter(|(_, s)| s.is.len() <= MOST_STATES) {
        for state in shows.is.iter() {
            if let Some(drawing) = drawings.of_state(&of.id, state) {
                plates.push(plate(pen, of, state, drawing));
            }
        }
    }
    plates.truncate(MOST_PLATES);
    let pairs = here()
        .map(|(of, shows)| Pair {
            label: pen.link_as(Kind::Trait, &of.id, trait_label(of)),
            line: value(pen, of, shows),
        })
        .collect();
    vec![Block::Plates { plates }, Block::Pairs { pairs }]
}

fn plate(pen: &Pen<'_>, of: &Trait, state: &str, drawing: &str) -> Plate {
    Plate {
        source: format!("{}{}", pen.up, place::drawing(&of.id, state)),
        alt: unescaped(title(drawing).unwrap_or_default()),
        label: trait_label(of),
        caption: state_link(pen, of, state),
    }
}

/// Every drawing of these traits: id of the trait, id of the state (or `class-N` of a measure), and the drawing.
pub fn drawn<'d>(drawings: &'d Sketches, traits: &[Trait]) -> Vec<(String, String, &'d str)> {
    let mut found = Vec::new();
    for of in traits {
        let number = of.kind == TraitKind::Number;
        for class in 0..of.classes() {
            if let Some(drawing) = drawings.of_answer(of, class) {
                let state = if number {
                    format!("class-{class}")
                } else {
                    of.states[class].id.clone()
                };
                found.push((of.id.clone(), state, drawing));
            }
        }
    }
    found
}

/// The title of a drawing is XML; the page escapes by itself.
pub fn unescaped(text: &str) -> String {
    text.replace("&lt;", "<")
        .replace("&gt;", ">")
        .replace("&quot;", "\"")
        .replace("&apos;", "'")
        .replace("&amp;", "&")
}

/// The label of a state, leading to the plants that show it.
fn state_link(pen: &Pen<'_>, of: &Trait, state: &str) -> Span {
    let mut span = pen.link_as(Kind::Trait, &of.id, state_label(of, state));
    if of.states.iter().any(|s| s.id == state) {
        span.to = span.to.map(|to| format!("{to}#{}", anchor(state)));
    }
    span
}

/// The name of a state in links.
pub fn anchor(state: &str) -> String {
    format!("state-{}", place::stem(state))
}

fn value(pen: &mut Pen<'_>, of: &Trait, shows: &Shows) -> Line {
    let mut spans: Vec<Span> = Vec::new();
    if shows.is.iter().any(|s| s == "na") {
        spans.push(Span::plain("has none"));
    } else if let Some([from, to]) = shows.range {
        spans.push(Span::plain(with_unit(of, &plain_range(from.0, to.0))));
    } else if shows.weights.is_empty() {
        let or = shows.is.iter().map(|s| state_link(pen, of, s)).collect();
        spans.extend(joined(or, " or "));
    } else {
        // How often is all that tells plants apart that show the same states.
        let total: f64 = shows.weights.values().map(|w| w.0).sum();
        let mut or = Vec::new();
        for state in shows.states() {
            let mut span = state_link(pen, of, state);
            let share = 100.0 * shows.weights[state].0 / total;
            span.text = format!("{} ({share:.0} %)", span.text);
            or.push(span);
        }
        spans.extend(joined(or, " or "));
    }
    if !shows.sometimes.is_empty() {
        spans.push(Span::plain(if spans.is_empty() {
            "sometimes "
        } else {
            "; sometimes "
        }));
        let or = shows
            .sometimes
            .iter()
            .map(|s| state_link(pen, of, s))
            .collect();
        spans.extend(joined(or, " or "));
    }
    if shows.note.is_some() {
        spans.push(Span::plain(with_note("", shows.note.as_deref())));
    }
    pen.say(spans, &shows.source)
}
