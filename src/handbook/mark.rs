//! The page of a trait: the question, and every plant by what it shows.
use super::page::{Block, Line, Page, Pair, Plate, Section, Span};
use super::pen::{Pen, joined};
use super::{Shelf, place, plant};
use crate::knowledge::Kind;
use crate::knowledge::fact::{plain_number, plain_range, with_note};
use crate::knowledge::form::plant::{Effort, Shows, Trait, TraitKind};
use crate::knowledge::sketches::title;
use crate::treatment::tell::{state_label, trait_label, with_unit};
use std::collections::BTreeMap;

/// Makes the page.
pub fn page(shelf: &Shelf<'_>, of: &Trait) -> Page {
    let mut pen = Pen::new(shelf.book, "../");
    let mut page = super::blank(&pen, Kind::Trait, &of.id, None);
    page.lead.push(Line::plain(of.question.clone()));
    page.lead.push(Line::plain(of.help.clone()));
    let effort = match of.effort {
        Effort::Glance => "Seen standing up",
        Effort::Close => "Seen on bending down, felt or smelled",
        Effort::Lens => "Needs a steady hand, a ruler or a hand lens",
        Effort::Dig => "The plant must be dug up",
        Effort::Wait => "Only seen at some time of the year",
    };
    let kind = match of.kind {
        TraitKind::Several => " A plant may show several of these at once.",
        TraitKind::One | TraitKind::Number => "",
    };
    let text = format!(
        "{effort}. Of 100 careful reports about {} do not fit the plant.{kind}",
        plain_number(of.error.0 * 100.0)
    );
    page.lead.push(pen.words(text, &of.source));
    page.lead.extend(asked_of(&pen, of));
    let mut sections = vec![Section::new(
        "Drawings",
        None,
        vec![Block::Plates {
            plates: plates(shelf, &pen, of),
        }],
    )];
    if of.states.is_empty() {
        sections.push(numbers(&mut pen, of));
    } else {
        sections.extend(of.states.iter().map(|s| state(&mut pen, of, &s.id)));
    }
    page.sections = sections.into_iter().flatten().collect();
    super::finish(page, &mut pen)
}

fn asked_of(pen: &Pen<'_>, of: &Trait) -> Option<Line> {
    if of.asked_of.is_empty() {
        return None;
    }
    let mut spans = vec![Span::plain("Asked only of plants with ")];
    for (n, (id, states)) in of.asked_of.iter().enumerate() {
        if n > 0 {
            spans.push(Span::plain("; "));
        }
        spans.push(pen.link(Kind::Trait, id));
        let other = pen.book.traits.iter().find(|t| &t.id == id);
        let labels: Vec<String> = states
            .iter()
            .map(|s| other.map_or_else(|| s.clone(), |o| state_label(o, s)))
            .collect();
        spans.push(Span::plain(format!(": {}", labels.join(" or "))));
    }
    spans.push(Span::plain("."));
    Some(Line::of(spans))
}

fn plates(shelf: &Shelf<'_>, pen: &Pen<'_>, of: &Trait) -> Vec<Plate> {
    plant::drawn(&shelf.drawings, std::slice::from_ref(of))
        .into_iter()
        .map(|(_, state, text)| {
            let class = of.states.is_empty().then(|| class_words(of, &state));
            let known = class.is_none();
            Plate {
                source: format!("{}{}", pen.up, place::drawing(&of.id, &state)),
                alt: plant::unescaped(title(text).unwrap_or_default()),
                label: String::new(),
                caption: Span {
                    to: known.then(|| format!("#{}", plant::anchor(&state))),
                    ..Span::plain(class.unwrap_or_else(|| state_label(of, &state)))
                },
            }
        })
        .collect()
}

/// `3 to 6 mm` for the name of a drawn class.
fn class_words(of: &Trait, name: &str) -> String {
    let class: usize = name
        .trim_start_matches("class-")
        .parse()
        .unwrap_or_default();
    let cut = |n: usize| of.cuts.get(n).map(|c| c.0);
    match (class.checked_sub(1).and_then(cut), cut(class)) {
        (None, Some(to)) => with_unit(of, &format!("up to {}", plain_number(to))),
        (Some(from), Some(to)) => with_unit(of, &plain_range(from, to)),
        (Some(from), None) => with_unit(of, &format!("more than {}", plain_number(from))),
        (None, None) => name.to_owned(),
    }
}

fn each<'b>(pen: &Pen<'b>) -> Vec<(Kind, &'b str, &'b BTreeMap<String, Shows>)> {
    let weeds = pen
        .book
        .weeds
        .iter()
        .map(|(id, w)| (Kind::Weed, id.as_str(), &w.traits));
    let turf = pen
        .book
        .turf
        .iter()
        .map(|(id, t)| (Kind::Turf, id.as_str(), &t.traits));
    weeds.chain(turf).collect()
}

fn state(pen: &mut Pen<'_>, of: &Trait, id: &str) -> Option<Section> {
    let form = of.states.iter().find(|s| s.id == id)?;
    let mut lines = Vec::new();
    lines.extend(form.help.as_ref().map(Line::plain));
    if !form.mistaken_for.is_empty() {
        let labels: Vec<String> = form
            .mistaken_for
            .iter()
            .map(|s| state_label(of, s))
            .collect();
        lines.push(Line::plain(format!(
            "Often taken for {}.",
            crate::words::or_list(&labels)
        )));
    }
    for (kind, word) in [(Kind::Weed, "weeds"), (Kind::Turf, "lawn grasses")] {
        let list = |pen: &mut Pen<'_>, about: &str, takes: &dyn Fn(&Shows) -> bool| {
            let here: Vec<_> = each(pen)
                .into_iter()
                .filter(|(k, _, _)| *k == kind)
                .filter_map(|(k, id, traits)| Some((k, id, traits.get(&of.id)?)))
                .filter(|(_, _, shows)| takes(shows))
                .collect();
            let mut spans = Vec::new();
            for (kind, plant, shows) in here {
                let mut span = pen.link(kind, plant);
                span.mark = pen.marks(&shows.source).into_iter().find(|m| !m.number);
                spans.push(span);
            }
            (!spans.is_empty()).then(|| Line::of(joined(spans, ", ")).about(Some(about)))
        };
        let is = |shows: &Shows| {
            let weighs = shows.weights.get(id).is_some_and(|w| w.0 > 0.0);
            weighs || shows.is.iter().any(|s| s == id)
        };
        lines.extend(list(pen, word, &is));
        let sometimes = |shows: &Shows| shows.sometimes.iter().any(|s| s == id);
        lines.extend(list(pen, &format!("{word}, sometimes"), &sometimes));
    }
    let mut section = Section::new(&state_label(of, id), None, vec![Block::lines(lines)])?;
    section.anchor = plant::anchor(id);
    Some(section)
}

fn numbers(pen: &mut Pen<'_>, of: &Trait) -> Option<Section> {
    let mut found: Vec<(f64, Pair)> = Vec::new();
    for (kind, id, traits) in each(pen) {
        let Some(shows) = traits.get(&of.id) else {
            continue;
        };
        let Some([from, to]) = shows.range else {
            continue;
        };
        let text = with_note(
            &with_unit(of, &plain_range(from.0, to.0)),
            shows.note.as_deref(),
        );
        let label = pen.link(kind, id);
        let line = pen.words(text, &shows.source);
        found.push((from.0, Pair { label, line }));
    }
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    let heading = crate::words::capital(&trait_label(of));
    let pairs = found.into_iter().map(|(_, pair)| pair).collect();
    Section::new(&heading, None, vec![Block::Pairs { pairs }])
}
