//! The page of a lawn grass.
use super::page::{Block, Line, Page, Section, Span};
use super::pen::Pen;
use super::weed::limits;
use super::{Shelf, plant, year};
use crate::choose::tolerance_word;
use crate::knowledge::Kind;
use crate::knowledge::fact::plain_number;
use crate::knowledge::form::active::Active;
use crate::knowledge::form::plant::{Season, Turf};
use crate::words::and_list;

/// How the tables of tolerance read.
pub const RATINGS: &str = "Tolerant: no injury, or injury that passes. Intermediate: it grows out of the injury, or stands it only within limits. \
    Sensitive: lasting injury. Not registered: labels do not name this grass. What is missing is not known, and unknown is not safe.";

/// Makes the page.
pub fn page(shelf: &Shelf<'_>, id: &str, turf: &Turf) -> Page {
    let mut pen = Pen::new(shelf.book, "../");
    let mut page = super::blank(&pen, Kind::Turf, id, Some(&turf.scientific_name));
    page.lead = lead(&mut pen, turf);
    let mut knowing = vec![Block::lines(pen.remarks(&turf.marks))];
    knowing.extend(plant::shown(&mut pen, &shelf.drawings, &turf.traits));
    knowing.swap(0, 1);
    let sections = [
        Section::new("How to know it", None, knowing),
        Section::new(
            "Confused with",
            None,
            vec![Block::lines(pen.remarks(&turf.confused_with))],
        ),
        Section::new(
            "Care",
            Some("Thick grass keeps most weeds out."),
            vec![Block::lines(pen.remarks(&turf.care))],
        ),
        Section::new(
            "Cold, heat and drought",
            None,
            vec![Block::lines(pen.remarks(&turf.temperatures))],
        ),
        Section::new(
            "Before treating weeds in it",
            None,
            vec![Block::lines(pen.remarks(&turf.weed_control))],
        ),
        Section::new(
            "Single cultivars",
            None,
            vec![Block::lines(pen.remarks(&turf.cultivars))],
        ),
        actives(&mut pen, id),
        weeds(shelf, &pen, id),
    ];
    page.sections = sections.into_iter().flatten().collect();
    page.sprays = true;
    super::finish(page, &mut pen)
}

fn lead(pen: &mut Pen<'_>, turf: &Turf) -> Vec<Line> {
    let mut text = match turf.season {
        Season::Cool => "A cool-season grass: it grows best in spring and autumn.".to_owned(),
        Season::Warm => {
            "A warm-season grass: it grows best in summer and browns in winter.".to_owned()
        }
    };
    if let [_, others @ ..] = turf.names.as_slice()
        && !others.is_empty()
    {
        text = format!("Also called {}. {text}", and_list(others));
    }
    let mut lines = vec![pen.words(text, &turf.source)];
    if let Some(weed) = &turf.same_species_as {
        lines.push(Line::of(vec![
            Span::plain("As a weed in other grass: "),
            pen.link(Kind::Weed, weed),
            Span::plain("."),
        ]));
    }
    lines
}

/// How the grass stands each active, at every stage of which something is said.
fn actives(pen: &mut Pen<'_>, id: &str) -> Option<Section> {
    let book = pen.book;
    let mut found = Vec::new();
    for (place, stage) in book.stages.iter().enumerate() {
        for (active, form) in &book.actives {
            if let Some(verdict) = book.tolerance(form, id, &stage.id) {
                found.push((place, verdict, active));
            }
        }
    }
    found.sort_by(|a, b| {
        (a.0, a.1.rating, a.1.standing, a.2).cmp(&(b.0, b.1.rating, b.1.standing, b.2))
    });
    let rows = found
        .into_iter()
        .map(|(place, verdict, active)| {
            let mut rating = Line::plain(tolerance_word(verdict.rating));
            rating.marks = pen.marks_as(verdict.standing, &verdict.sources);
            let group = book.actives[active].group.is.to_string();
            vec![
                vec![Line::of(vec![pen.link(Kind::Active, active)])],
                vec![Line::of(vec![pen.link_as(
                    Kind::Group,
                    &group,
                    group.clone(),
                )])],
                vec![Line::plain(book.stages[place].name.clone())],
                vec![rating],
                stands_limits(
                    &book.actives[active],
                    id,
                    &book.stages[place].id,
                    &verdict.conditions,
                ),
            ]
        })
        .collect();
    Section::new(
        "How it stands each active",
        Some(RATINGS),
        vec![Block::Table {
            columns: [
                "Active",
                "Group",
                "Grass at this stage",
                "Stands it",
                "Limits, in the words of the sources",
            ]
            .map(str::to_owned)
            .to_vec(),
            rows,
        }],
    )
}

/// Limits of a tolerance: the conditions in words, then months and temperatures of single statements.
pub fn stands_limits(active: &Active, turf: &str, stage: &str, conditions: &[String]) -> Vec<Line> {
    let mut all = conditions.to_vec();
    for row in active
        .turf
        .iter()
        .filter(|r| r.turf == turf && r.stage == stage)
    {
        let mut parts = Vec::new();
        if !row.months.is_empty() {
            parts.push(format!("in {}", year::words(&row.months)));
        }
        parts.extend(
            row.above_f
                .map(|f| format!("above {} °F", plain_number(f.0))),
        );
        parts.extend(
            row.below_f
                .map(|f| format!("below {} °F", plain_number(f.0))),
        );
        if !parts.is_empty() {
            let said = format!(
                "{} only {}",
                tolerance_word(row.rating),
                parts.join(" and ")
            );
            if !all.contains(&said) {
                all.push(said);
            }
        }
    }
    limits(&all)
}

/// Weeds with and without a way to treat them on this grass.
fn weeds(shelf: &Shelf<'_>, pen: &Pen<'_>, id: &str) -> Option<Section> {
    let (with, without): (Vec<&String>, Vec<&String>) = shelf
        .book
        .weeds
        .keys()
        .partition(|weed| !shelf.offers.on(weed, id).is_empty());
    let list = |about: &str, weeds: Vec<&String>| {
        let spans = pen.links(Kind::Weed, weeds.into_iter().map(String::as_str));
        (!spans.is_empty()).then(|| Line::of(spans).about(Some(about)))
    };
    let lines = [
        list("something is proven for", with),
        list(
            "nothing is proven to be both safe here and good enough for",
            without,
        ),
    ];
    Section::new(
        "Weeds in it, once it is established",
        Some("The page of each weed tells what, and what helps without chemicals."),
        vec![Block::lines(lines.into_iter().flatten().collect())],
    )
}
