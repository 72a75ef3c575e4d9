//! The pages that lead to all others: by name, by kind, by what is seen.
use super::Shelf;
use super::active::of_group;
use super::page::{Block, Line, Page, Section, Span};
use super::pen::{Pen, described};
use super::{place, plant};
use crate::knowledge::Kind;
use crate::knowledge::form::plant::Season;
use crate::knowledge::form::source::Evidence;
use crate::treatment::tell::{state_label, trait_label};
use crate::words::capital;
use std::collections::BTreeMap;

/// The leading pages: file name and name, in the order in which they are shown on every page.
pub const LEADING: [(&str, &str); 7] = [
    ("index.html", "Start"),
    ("names.html", "Names"),
    ("kinds.html", "Kinds"),
    ("seen.html", "What you see"),
    ("treatments.html", "Treatments"),
    ("places.html", "Places"),
    ("sources.html", "Sources"),
];

/// All leading pages.
pub fn pages(shelf: &Shelf<'_>) -> Vec<Page> {
    vec![
        start(shelf),
        names(shelf),
        kinds(shelf),
        seen(shelf),
        treatments(shelf),
        places(shelf),
        sources(shelf),
    ]
}

fn made(
    pen: &mut Pen<'_>,
    path: &str,
    title: &str,
    lead: &[&str],
    sections: Vec<Option<Section>>,
) -> Page {
    let mut page = super::empty(path, "", "Field handbook", title);
    page.lead = lead.iter().map(|l| Line::plain(*l)).collect();
    page.sections = sections.into_iter().flatten().collect();
    super::finish(page, pen)
}

fn links(spans: impl IntoIterator<Item = Span>) -> Block {
    Block::Links {
        lines: spans.into_iter().map(|s| Line::of(vec![s])).collect(),
    }
}

fn start(shelf: &Shelf<'_>) -> Page {
    let book = shelf.book;
    let mut pen = Pen::new(book, "");
    let title = book.book.as_ref().map_or("Field handbook", |b| &b.title);
    let to = |path: &str, words: String| {
        Line::of(vec![
            Span {
                to: Some(path.to_owned()),
                ..Span::plain(LEADING.iter().find(|l| l.0 == path).map_or(path, |l| l.1))
            },
            Span::plain(words),
        ])
    };
    let ways = vec![
        to(
            "names.html",
            ": every plant and active by any of its names.".to_owned(),
        ),
        to(
            "kinds.html",
            format!(
                ": {} weeds and {} lawn grasses by what kind of plant they are.",
                book.weeds.len(),
                book.turf.len()
            ),
        ),
        to(
            "seen.html",
            format!(
                ": {} questions about leaf, stem, flower and root, with drawings, and the plants behind each answer.",
                book.traits.len()
            ),
        ),
        to(
            "treatments.html",
            format!(
                ": {} active ingredients in {} site-of-action groups.",
                book.actives.len(),
                book.groups.len()
            ),
        ),
        to(
            "places.html",
            format!(
                ": whom to ask about the law in {} places.",
                book.places.len()
            ),
        ),
        to(
            "sources.html",
            format!(": {} sources, and what rests on each.", book.sources.len()),
        ),
    ];
    let reading = [
        "A number behind a statement is a source that was read; the list stands at the end of the page.",
        "m: from memory. Nobody read a source for it: check it before you rely on it.",
        "mm: from memory, and two people recalled the same. m?: two people recalled different things, and the more cautious is shown.",
        "p: common practice of the trade.",
        "What is missing is not known. Unknown is not safe.",
        "The label of the product in hand is the law and outranks this handbook.",
    ];
    let mut gaps: Vec<Line> = Vec::new();
    let mut lead: Vec<String> = Vec::new();
    if let Some(own) = &book.book {
        gaps = own.gaps.iter().map(Line::plain).collect();
        lead.push(format!("Version {} of the knowledge.", own.version));
        if !own.ask.is_empty() {
            lead.push(format!(
                "A plant that is not in here: {}.",
                own.ask.trim_end_matches('.')
            ));
        }
    }
    let lead: Vec<&str> = lead.iter().map(String::as_str).collect();
    let sections = vec![
        Section::new("Ways in", None, vec![Block::lines(ways)]),
        Section::new(
            "How to read it",
            None,
            vec![Block::lines(reading.map(Line::plain).to_vec())],
        ),
        Section::new("Known gaps", None, vec![Block::lines(gaps)]),
    ];
    made(&mut pen, "index.html", title, &lead, sections)
}

fn names(shelf: &Shelf<'_>) -> Page {
    let book = shelf.book;
    let mut pen = Pen::new(book, "");
    let mut all: Vec<(String, Span)> = Vec::new();
    let mut add = |pen: &Pen<'_>, kind: Kind, id: &str, name: &str, after: &str| {
        let mut span = pen.link_as(kind, id, capital(name));
        span.text.push_str(after);
        all.push((crate::words::plain(name), span));
    };
    for (id, weed) in &book.weeds {
        for name in weed
            .names
            .iter()
            .chain([&weed.scientific_name])
            .chain(weed.synonyms.iter())
        {
            add(&pen, Kind::Weed, id, name, "");
        }
    }
    for (id, turf) in &book.turf {
        for name in turf.names.iter().chain([&turf.scientific_name]) {
            add(&pen, Kind::Turf, id, name, " (lawn grass)");
        }
    }
    for (id, active) in &book.actives {
        for name in std::iter::once(&active.name).chain(active.aliases.iter()) {
            add(&pen, Kind::Active, id, name, " (active)");
        }
    }
    all.sort_by(|a, b| (&a.0, &a.1.text).cmp(&(&b.0, &b.1.text)));
    let mut letters: BTreeMap<String, Vec<Span>> = BTreeMap::new();
    for (name, span) in all {
        let first = name
            .chars()
            .next()
            .map_or_else(|| "other".to_owned(), |c| c.to_uppercase().collect());
        letters.entry(first).or_default().push(span);
    }
    let sections = letters
        .into_iter()
        .map(|(letter, spans)| Section::new(&letter, None, vec![links(spans)]))
        .collect();
    made(
        &mut pen,
        "names.html",
        "Names",
        &["Common and scientific names of plants, and names of active ingredients."],
        sections,
    )
}

fn kinds(shelf: &Shelf<'_>) -> Page {
    let book = shelf.book;
    let mut pen = Pen::new(book, "");
    let kind_trait = book
        .book
        .as_ref()
        .and_then(|b| b.kind_trait.as_ref())
        .and_then(|id| book.traits.iter().find(|t| &t.id == id));
    let mut sections = Vec::new();
    let mut left: Vec<&str> = book.weeds.keys().map(String::as_str).collect();
    if let Some(of) = kind_trait {
        for state in &of.states {
            let here: Vec<&str> = book
                .weeds
                .iter()
                .filter(|(_, w)| {
                    w.traits
                        .get(&of.id)
                        .is_some_and(|s| s.is.iter().any(|i| i == &state.id))
                })
                .map(|(id, _)| id.as_str())
                .collect();
            left.retain(|id| !here.contains(id));
            let heading = format!("Weeds: {}", state_label(of, &state.id));
            sections.push(Section::new(
                &heading,
                state.help.as_deref(),
                vec![links(by_name(&pen, Kind::Weed, here))],
            ));
        }
    }
    let heading = if kind_trait.is_some() {
        "Weeds: kind not known"
    } else {
        "Weeds"
    };
    sections.push(Section::new(
        heading,
        None,
        vec![links(by_name(&pen, Kind::Weed, left))],
    ));
    for (season, heading) in [
        (Season::Cool, "Lawn grasses: cool-season"),
        (Season::Warm, "Lawn grasses: warm-season"),
    ] {
        let here = book
            .turf
            .iter()
            .filter(|(_, t)| t.season == season)
            .map(|(id, _)| id.as_str())
            .collect();
        sections.push(Section::new(
            heading,
            None,
            vec![links(by_name(&pen, Kind::Turf, here))],
        ));
    }
    made(&mut pen, "kinds.html", "Plants by kind", &[], sections)
}

fn by_name(pen: &Pen<'_>, kind: Kind, ids: Vec<&str>) -> Vec<Span> {
    let mut spans: Vec<Span> = ids
        .into_iter()
        .map(|id| pen.link_as(kind, id, capital(&place::name(pen.book, kind, id))))
        .collect();
    spans.sort_by_key(|s| crate::words::plain(&s.text));
    spans
}

fn seen(shelf: &Shelf<'_>) -> Page {
    let book = shelf.book;
    let mut pen = Pen::new(book, "");
    let sections = book
        .traits
        .iter()
        .map(|of| {
            let states: Vec<Span> = of
                .states
                .iter()
                .map(|s| {
                    let mut span = pen.link_as(Kind::Trait, &of.id, state_label(of, &s.id));
                    span.to = span.to.map(|to| format!("{to}#{}", plant::anchor(&s.id)));
                    span
                })
                .collect();
            let mut blocks = vec![Block::lines(vec![Line::of(vec![pen.link_as(
                Kind::Trait,
                &of.id,
                of.question.clone(),
            )])])];
            blocks.push(links(states));
            Section::new(&capital(&trait_label(of)), None, blocks)
        })
        .collect();
    made(
        &mut pen,
        "seen.html",
        "What you see",
        &[
            "Each question leads to drawings of its answers; each answer leads to the plants that show it.",
        ],
        sections,
    )
}

fn treatments(shelf: &Shelf<'_>) -> Page {
    let book = shelf.book;
    let mut pen = Pen::new(book, "");
    let sections = book
        .groups
        .iter()
        .map(|group| {
            let number = group.number.to_string();
            let head = Line::of(vec![
                pen.link_as(Kind::Group, &number, format!("Group {number}")),
                Span::plain(format!(": {}", group.site_of_action)),
            ]);
            let actives = of_group(&pen, group.number);
            let members = if actives.is_empty() {
                Vec::new()
            } else {
                vec![Line::of(actives)]
            };
            Section::new(
                &format!("Group {number}"),
                None,
                vec![Block::lines(vec![head]), Block::lines(members)],
            )
        })
        .collect();
    made(
        &mut pen,
        "treatments.html",
        "Treatments by site of action",
        &[
            "Active ingredients by ISO common name, classes by HRAC/WSSA group number. Using one group again and again breeds weeds that withstand it.",
            "Look at the page of the weed first: it says what helps without chemicals. The label of the product in hand is the law.",
        ],
        sections,
    )
}

fn places(shelf: &Shelf<'_>) -> Page {
    let book = shelf.book;
    let mut pen = Pen::new(book, "");
    let mut tops: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for (id, one) in &book.places {
        tops.entry(one.within.as_deref().unwrap_or(id))
            .or_default()
            .push(id);
    }
    let sections = tops
        .into_iter()
        .map(|(top, ids)| {
            Section::new(
                &place::name(book, Kind::Place, top),
                None,
                vec![links(by_name(&pen, Kind::Place, ids))],
            )
        })
        .collect();
    made(
        &mut pen,
        "places.html",
        "Places: whom to ask",
        &[
            "A place without a page is not a place without rules: ask whoever licenses pesticides where you live.",
        ],
        sections,
    )
}

fn sources(shelf: &Shelf<'_>) -> Page {
    let book = shelf.book;
    let mut pen = Pen::new(book, "");
    let list = |evidence: Evidence| {
        let mut all: Vec<Span> = book
            .sources
            .iter()
            .filter(|(_, s)| s.evidence == evidence)
            .map(|(id, s)| pen.link_as(Kind::Source, id, described(s)))
            .collect();
        all.sort_by_key(|s| crate::words::plain(&s.text));
        all.into_iter()
            .map(|s| Line::of(vec![s]))
            .collect::<Vec<_>>()
    };
    let sections = vec![
        Section::new(
            "Read",
            Some("Published texts of which something was really read."),
            vec![Block::lines(list(Evidence::Published))],
        ),
        Section::new(
            "Practice",
            None,
            vec![Block::lines(list(Evidence::Practice))],
        ),
        Section::new(
            "Recalled",
            Some("Nobody read a text: what rests on these has to be checked."),
            vec![Block::lines(list(Evidence::Memory))],
        ),
    ];
    made(&mut pen, "sources.html", "Sources", &[], sections)
}
