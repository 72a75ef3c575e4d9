//! The page of a weed.
use super::page::{Block, Line, Page, Section, Span};
use super::pen::{Pen, joined};
use super::{Shelf, plant, year};
use crate::choose::control_word;
use crate::knowledge::Kind;
use crate::knowledge::fact::with_note;
use crate::knowledge::form::active::Timing;
use crate::knowledge::form::plant::Weed;
use crate::words::{and_list, capital};

/// How the tables of control read.
pub const RATINGS: &str =
    "Good: nine plants in ten or more. Fair: seven to nine in ten. Poor: fewer. None: no effect.";

/// Makes the page.
pub fn page(shelf: &Shelf<'_>, id: &str, weed: &Weed) -> Page {
    let mut pen = Pen::new(shelf.book, "../");
    let mut page = super::blank(&pen, Kind::Weed, id, Some(&weed.scientific_name));
    page.lead = lead(&mut pen, id, weed);
    page.warnings = pen.remarks(&weed.hazards);
    let sections = [
        knowing(shelf, &mut pen, weed),
        look_alikes(&mut pen, id, weed),
        when(&mut pen, id, weed),
        without(&mut pen, weed),
        treating(shelf, &mut pen, id),
        statements(&mut pen, id),
        resistance(&mut pen, id),
        Section::new("Notes", None, vec![Block::lines(pen.remarks(&weed.notes))]),
    ];
    page.sections = sections.into_iter().flatten().collect();
    page.sprays = true;
    super::finish(page, &mut pen)
}

fn lead(pen: &mut Pen<'_>, id: &str, weed: &Weed) -> Vec<Line> {
    let mut parts = Vec::new();
    if let [_, others @ ..] = weed.names.as_slice()
        && !others.is_empty()
    {
        parts.push(format!("Also called {}.", and_list(others)));
    }
    if let Some(family) = &weed.family {
        parts.push(format!("Family {family}."));
    }
    if !weed.synonyms.is_empty() {
        parts.push(format!(
            "Older scientific names: {}.",
            and_list(&weed.synonyms)
        ));
    }
    if let Some(code) = &weed.eppo_code {
        parts.push(format!("EPPO code {code}."));
    }
    let mut lines = Vec::new();
    if !parts.is_empty() {
        lines.push(pen.words(parts.join(" "), &weed.source));
    }
    let same: Vec<&str> = pen
        .book
        .turf
        .iter()
        .filter(|(_, t)| t.same_species_as.as_deref() == Some(id))
        .map(|(id, _)| id.as_str())
        .collect();
    if !same.is_empty() {
        let mut spans = vec![Span::plain("The same species is grown as a lawn grass: ")];
        spans.extend(pen.links(Kind::Turf, same));
        spans.push(Span::plain("."));
        lines.push(Line::of(spans));
    }
    lines
}

fn knowing(shelf: &Shelf<'_>, pen: &mut Pen<'_>, weed: &Weed) -> Option<Section> {
    let mut blocks = vec![Block::lines(pen.remarks(&weed.marks))];
    blocks.extend(plant::shown(pen, &shelf.drawings, &weed.traits));
    // The drawings come first: they are what the eye looks for.
    if blocks.len() > 1 {
        blocks.swap(0, 1);
    }
    Section::new("How to know it", None, blocks)
}

fn look_alikes(pen: &mut Pen<'_>, id: &str, weed: &Weed) -> Option<Section> {
    let book = pen.book;
    let mut lines = Vec::new();
    for other in &weed.look_alikes {
        let name = match (&other.weed, &other.turf, &other.other) {
            (Some(weed), _, _) => pen.link(Kind::Weed, weed),
            (_, Some(turf), _) => pen.link(Kind::Turf, turf),
            (_, _, other) => Span::plain(other.clone().unwrap_or_default()),
        };
        // The sentence often begins with the name that stands before it already.
        let tell = match other.tell.split_once(": ") {
            Some((first, rest))
                if crate::words::plain(first) == crate::words::plain(&name.text) =>
            {
                rest
            }
            _ => &other.tell,
        };
        let tell = Span::plain(format!(": {tell}"));
        lines.push(pen.say(vec![name, tell], &other.source));
    }
    // Whoever is taken for this plant is a look-alike of it too, even where only the other page says so.
    let named: Vec<&str> = weed
        .look_alikes
        .iter()
        .filter_map(|l| l.weed.as_deref())
        .collect();
    for (other, form) in book
        .weeds
        .iter()
        .filter(|(o, _)| o.as_str() != id && !named.contains(&o.as_str()))
    {
        for look in form
            .look_alikes
            .iter()
            .filter(|l| l.weed.as_deref() == Some(id))
        {
            let tell = Span::plain(format!(", whose page says of the two: {}", look.tell));
            lines.push(pen.say(vec![pen.link(Kind::Weed, other), tell], &look.source));
        }
    }
    Section::new("Look-alikes", None, vec![Block::lines(lines)])
}

fn when(pen: &mut Pen<'_>, id: &str, weed: &Weed) -> Option<Section> {
    let seen = &weed.seen;
    let strips = year::strips(
        pen,
        [
            ("Comes up", seen.emerging.as_ref()),
            ("Grows", seen.growing.as_ref()),
            ("Flowers", seen.flowering.as_ref()),
        ],
    );
    let mut pairs = Vec::new();
    pairs.extend(pen.figure(
        "Comes up from a soil temperature of",
        "°F",
        seen.emerging_soil_f.as_ref(),
    ));
    pairs.extend(pen.pair("Common in", seen.regions.as_ref()));
    let mut lines = pen.remarks(&seen.notes);
    for event in pen
        .book
        .timing
        .iter()
        .flat_map(|t| &t.events)
        .filter(|e| e.weeds.iter().any(|w| w == id))
    {
        let text = with_note(&event.text, event.note.as_deref());
        lines.push(pen.words(text, &event.source).about(Some(&event.event)));
    }
    let mut blocks = vec![
        Block::Year { strips },
        Block::Pairs { pairs },
        Block::lines(lines),
    ];
    if seen.growing.is_none() && seen.flowering.is_none() && seen.emerging.is_none() {
        blocks.push(Block::lines(vec![year::unknown()]));
    }
    Section::new("The year", None, blocks)
}

fn without(pen: &mut Pen<'_>, weed: &Weed) -> Option<Section> {
    let own = &weed.without_chemicals;
    let mut lines = Vec::new();
    if let Some(hand) = &own.by_hand {
        let text = with_note(
            &format!("Pulling or digging by hand: {}.", hand.verdict),
            hand.note.as_deref(),
        );
        lines.push(pen.words(text, &hand.source));
    }
    for remarks in [&own.mechanical, &own.cultural, &own.thresholds] {
        lines.extend(pen.remarks(remarks));
    }
    if lines.is_empty() {
        lines.push(Line::plain("The book has nothing of its own about this plant; thick, well-kept grass is the first answer to any weed."));
    }
    Section::new(
        "Without chemicals",
        Some("Look here first. Many weeds are not worth a treatment."),
        vec![Block::lines(lines)],
    )
}

fn treating(shelf: &Shelf<'_>, pen: &mut Pen<'_>, id: &str) -> Option<Section> {
    if shelf.book.turf.is_empty() || shelf.book.actives.is_empty() {
        return None;
    }
    let table = shelf.offers.table(pen, id);
    Section::new(
        "What controls it, by grass",
        Some(
            "Classes by site-of-action group number and their active ingredients that the statements of this book support on established \
             grass. † the grass is hurt a little, or stands it only within limits: read them on the page of the active. Season, heat, new \
             grass, your site, what was used before and the law can forbid each of them. The label of the product in hand decides, and a \
             product whose label does not name your grass is not for it.",
        ),
        vec![table],
    )
}

/// Every verdict on this weed, the best first.
fn statements(pen: &mut Pen<'_>, id: &str) -> Option<Section> {
    let book = pen.book;
    let mut found = Vec::new();
    for timing in [Timing::Pre, Timing::EarlyPost, Timing::Post] {
        for (active, form) in &book.actives {
            if let Some(verdict) = book.control(form, id, timing) {
                found.push((verdict, vec![active.as_str()], timing));
            }
        }
        for mixture in &book.mixtures {
            if let Some(verdict) = book.control_of(&mixture.controls, id, timing) {
                found.push((
                    verdict,
                    mixture.actives.iter().map(String::as_str).collect(),
                    timing,
                ));
            }
        }
    }
    found.sort_by(|a, b| (b.0.rating, a.0.standing, &a.1).cmp(&(a.0.rating, b.0.standing, &b.1)));
    let rows = found
        .into_iter()
        .map(|(verdict, actives, timing)| {
            let names = actives.iter().map(|a| pen.link(Kind::Active, a)).collect();
            let mut rating = Line::plain(control_word(verdict.rating));
            rating.marks = pen.marks_as(verdict.standing, &verdict.sources);
            vec![
                vec![Line::of(joined(names, " + "))],
                vec![Line::plain(timing.words())],
                vec![rating],
                limits(&verdict.conditions),
            ]
        })
        .collect();
    Section::new(
        "What each active does to it",
        Some(RATINGS),
        vec![Block::Table {
            columns: [
                "Active",
                "Used",
                "Control",
                "Limits, in the words of the sources",
            ]
            .map(str::to_owned)
            .to_vec(),
            rows,
        }],
    )
}

/// Conditions of a verdict as one line, if there are any.
pub fn limits(conditions: &[String]) -> Vec<Line> {
    if conditions.is_empty() {
        return Vec::new();
    }
    vec![Line::plain(conditions.join("; "))]
}

fn resistance(pen: &mut Pen<'_>, id: &str) -> Option<Section> {
    let book = pen.book;
    let mut lines = Vec::new();
    for case in book
        .resistance
        .iter()
        .flat_map(|r| &r.cases)
        .filter(|c| c.weeds.iter().any(|w| w == id))
    {
        let groups: Vec<String> = case.groups.iter().map(ToString::to_string).collect();
        let mut spans: Vec<Span> = joined(
            groups.iter().map(|g| pen.link(Kind::Group, g)).collect(),
            ", ",
        );
        if !case.actives.is_empty() {
            spans.push(Span::plain(" ("));
            spans.extend(pen.links(Kind::Active, case.actives.iter().map(String::as_str)));
            spans.push(Span::plain(")"));
        }
        let mut rest = String::new();
        for (before, part) in [
            (", ", &case.place),
            (", ", &case.year),
            (", ", &case.status),
            (": ", &case.detail),
        ] {
            if let Some(part) = part {
                rest = format!("{rest}{before}{part}");
            }
        }
        if let Some(works) = &case.still_works {
            rest = format!("{rest}. Still worked: {works}");
        }
        if let Some(fails) = &case.fails_too {
            rest = format!("{rest}. Failed too: {fails}");
        }
        spans.push(Span::plain(rest + "."));
        lines.push(
            pen.say(spans, &case.source)
                .about(Some(&capital(&case.setting))),
        );
    }
    Section::new("Resistance on record", None, vec![Block::lines(lines)])
}
