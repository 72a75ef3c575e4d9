//! The page of a place: what to ask whom. Nothing on it says that anything is allowed.
use super::Shelf;
use super::page::{Block, Line, Page, Section, Span};
use super::pen::Pen;
use crate::knowledge::Kind;
use crate::knowledge::fact::with_note;
use crate::knowledge::form::place::{AppliesTo, Place, Severity};
use crate::words::capital;

/// Makes the page.
pub fn page(shelf: &Shelf<'_>, id: &str, place: &Place) -> Page {
    let mut pen = Pen::new(shelf.book, "../");
    let mut page = super::blank(&pen, Kind::Place, id, None);
    let ask = format!("Check with {} before you treat.", place.authority);
    page.lead.push(pen.words(ask, &place.authority_source));
    page.lead.push(Line::plain(
        "These are rules that were read, as a prompt to ask. Rules change, and what is missing here may still be a rule.",
    ));
    if let Some(around) = &place.within {
        page.lead.push(Line::of(vec![
            Span::plain("What stands on the page of "),
            pen.link(Kind::Place, around),
            Span::plain(" counts here too."),
        ]));
    }
    let sections = [
        limits(&mut pen, place),
        rules(&mut pen, place),
        signs(&mut pen, place),
        records(&mut pen, place),
        calls(&mut pen, place),
        inside(&pen, id),
        Section::new(
            "Known gaps",
            None,
            vec![Block::lines(place.gaps.iter().map(Line::plain).collect())],
        ),
    ];
    page.sections = sections.into_iter().flatten().collect();
    super::finish(page, &mut pen)
}

fn whom(applies_to: AppliesTo) -> &'static str {
    match applies_to {
        AppliesTo::Homeowner => " For people who treat their own lawn.",
        AppliesTo::ForHire => " For people who treat for pay.",
        AppliesTo::Both => "",
    }
}

fn weight(severity: Severity) -> &'static str {
    match severity {
        Severity::Stop => "Reads as \u{201c}do not\u{201d}. ",
        Severity::Check | Severity::Inform => "",
    }
}

fn limits(pen: &mut Pen<'_>, place: &Place) -> Option<Section> {
    let mut lines = Vec::new();
    for limit in &place.active_limits {
        let mut spans = Vec::new();
        if limit.actives.iter().any(|a| a == "all") {
            spans.push(Span::plain("Every lawn herbicide"));
        } else {
            spans.extend(pen.links(Kind::Active, limit.actives.iter().map(String::as_str)));
        }
        let site = limit
            .site
            .as_ref()
            .map_or(String::new(), |s| format!(" ({s})"));
        let date = limit
            .date
            .as_ref()
            .map_or(String::new(), |d| format!(" Dated {d}."));
        let left_out = if limit.forbids {
            " This book leaves it out here."
        } else {
            ""
        };
        spans.push(Span::plain(format!(
            "{site}: {}{}{}{left_out}{date} Check with {}.",
            weight(limit.severity),
            limit.says,
            whom(limit.applies_to),
            limit.verify_with
        )));
        lines.push(pen.say(spans, &limit.source));
    }
    Section::new("Single actives", None, vec![Block::lines(lines)])
}

fn rules(pen: &mut Pen<'_>, place: &Place) -> Option<Section> {
    let mut lines = Vec::new();
    for rule in &place.rules {
        let mut spans = vec![Span::plain(format!(
            "{}{}{}",
            weight(rule.severity),
            with_note(&rule.says, rule.note.as_deref()),
            whom(rule.applies_to)
        ))];
        if !rule.actives.is_empty() {
            spans.push(Span::plain(" About "));
            spans.extend(pen.links(Kind::Active, rule.actives.iter().map(String::as_str)));
            spans.push(Span::plain("."));
        }
        spans.push(Span::plain(format!(" Check with {}.", rule.verify_with)));
        lines.push(pen.say(spans, &rule.source).about(Some(&rule.topic)));
    }
    Section::new("Rules that were read", None, vec![Block::lines(lines)])
}

fn signs(pen: &mut Pen<'_>, place: &Place) -> Option<Section> {
    let mut lines = Vec::new();
    for sign in &place.signs {
        let mut text = format!("{}: {}", sign.who, sign.form);
        for (word, part) in [("says", &sign.says), ("up", &sign.up), ("down", &sign.down)] {
            if let Some(part) = part {
                text = format!("{text}; {word}: {part}");
            }
        }
        lines.push(pen.words(text + ".", &sign.source));
    }
    Section::new("Signs", None, vec![Block::lines(lines)])
}

fn records(pen: &mut Pen<'_>, place: &Place) -> Option<Section> {
    let mut lines = Vec::new();
    for record in &place.records {
        let fields: Vec<String> = record
            .fields
            .iter()
            .map(|id| {
                let field = pen.book.record_fields.iter().find(|f| &f.id == id);
                field.map_or_else(|| id.clone(), |f| f.name.clone())
            })
            .collect();
        let mut text = format!("{} ({}): {}", record.rule, record.scope, fields.join(", "));
        for (word, part) in [
            ("write within", &record.write_within),
            ("keep for", &record.keep),
            ("report", &record.report),
        ] {
            if let Some(part) = part {
                text = format!("{text}; {word} {part}");
            }
        }
        lines.push(pen.words(
            with_note(&(text + "."), record.note.as_deref()),
            &record.source,
        ));
    }
    Section::new("What to write down", None, vec![Block::lines(lines)])
}

fn calls(pen: &mut Pen<'_>, place: &Place) -> Option<Section> {
    let mut lines = Vec::new();
    for line in &place.help_lines {
        let number = line
            .number
            .as_deref()
            .unwrap_or("(number not confirmed: look it up now and write it here)");
        lines.push(pen.words(
            format!("{}: {number}. {}", line.name, capital(&line.when)),
            &line.source,
        ));
    }
    Section::new("Numbers to call", None, vec![Block::lines(lines)])
}

fn inside(pen: &Pen<'_>, id: &str) -> Option<Section> {
    let places = pen
        .book
        .places
        .iter()
        .filter(|(_, p)| p.within.as_deref() == Some(id));
    let spans = pen.links(Kind::Place, places.map(|(id, _)| id.as_str()));
    let lines = if spans.is_empty() {
        Vec::new()
    } else {
        vec![Line::of(spans)]
    };
    Section::new("Places inside it", None, vec![Block::lines(lines)])
}
