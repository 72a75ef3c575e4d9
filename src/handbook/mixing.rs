//! What goes with an active or a class: its cautions, and what its partners in one tank do.
use super::page::{Line, Span};
use super::pen::{Pen, joined};
use crate::knowledge::Kind;
use crate::knowledge::fact::with_note;
use crate::knowledge::form::common::Remark;
use crate::knowledge::form::lists::{Caution, Effect, Side};

/// Cautions of an active (or of a whole group, where no active is named), then those of the book that name it.
pub fn cautions(pen: &mut Pen<'_>, active: Option<&str>, group: u16, own: &[Remark]) -> Vec<Line> {
    let mut lines = pen.remarks(own);
    let named = |c: &&Caution| {
        c.when.groups.contains(&group)
            || active.is_some_and(|id| c.when.actives.iter().any(|a| a == id))
    };
    let found: Vec<&Caution> = pen.book.cautions.iter().filter(named).collect();
    for caution in found {
        let places: Vec<String> = caution
            .when
            .situations
            .iter()
            .filter(|s| *s != "always")
            .map(|s| super::place::name(pen.book, Kind::Situation, s))
            .collect();
        let mut text = with_note(&caution.text, caution.note.as_deref());
        if !places.is_empty() {
            text = format!("{text} (Where it counts: {}.)", places.join(", "));
        }
        if caution.forbids {
            text = format!("{text} This book leaves it out in this case.");
        }
        lines.push(pen.words(text, &caution.source).about(Some(&caution.about)));
    }
    lines
}

fn effect(effect: Effect) -> &'static str {
    match effect {
        Effect::Antagonism => "control drops",
        Effect::Synergy => "more than expected",
        Effect::Enhanced => "better than alone",
        Effect::Additive => "as expected",
        Effect::Injury => "the grass is hurt more",
        Effect::Safening => "the grass is hurt less",
        Effect::Caution => "take care",
        Effect::DoNotMix => "keep apart",
        Effect::NoBenefit => "no gain",
    }
}

/// Interactions in which the active, or its group, takes part.
pub fn partners(pen: &mut Pen<'_>, id: &str, group: u16) -> Vec<Line> {
    let on = |side: &Side| side.actives.iter().any(|a| a == id) || side.groups.contains(&group);
    let book = pen.book;
    let mut lines = Vec::new();
    for one in &book.interactions {
        let other = match (on(&one.a), on(&one.b)) {
            (true, _) => &one.b,
            (false, true) => &one.a,
            (false, false) => continue,
        };
        let mut spans = vec![Span::plain("With ")];
        spans.extend(side(pen, other));
        let mut text = format!(": {}", one.text);
        if let Some(seen) = &one.seen_on {
            text = format!("{text} Seen on {seen}.");
        }
        if let Some(remedy) = &one.remedy {
            text = format!("{text} Remedy: {remedy}.");
        }
        spans.push(Span::plain(with_note(&text, one.note.as_deref())));
        lines.push(pen.say(spans, &one.source).about(Some(effect(one.effect))));
    }
    lines
}

fn side(pen: &Pen<'_>, side: &Side) -> Vec<Span> {
    let mut spans = pen.links(Kind::Active, side.actives.iter().map(String::as_str));
    let groups: Vec<String> = side.groups.iter().map(ToString::to_string).collect();
    spans.extend(groups.iter().map(|g| pen.link(Kind::Group, g)));
    spans.extend(side.others.iter().map(Span::plain));
    // Links stand in the list with their commas already; what follows them gets its own.
    let (mut out, mut pending) = (Vec::new(), Vec::new());
    for span in spans {
        if span.text == ", " {
            continue;
        }
        pending.push(span);
    }
    out.extend(joined(pending, if side.together { " with " } else { ", " }));
    if out.is_empty() {
        out.push(Span::plain(
            side.words.clone().unwrap_or_else(|| "others".to_owned()),
        ));
    }
    out
}
