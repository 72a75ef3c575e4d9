//! The page of a site-of-action group.
use super::page::{Block, Line, Page, Pair, Section, Span};
use super::pen::Pen;
use super::{Shelf, active, mixing};
use crate::knowledge::Kind;
use crate::knowledge::fact::plain_range;
use crate::knowledge::form::active::Group;

/// Makes the page.
pub fn page(shelf: &Shelf<'_>, group: &Group) -> Page {
    let mut pen = Pen::new(shelf.book, "../");
    let number = group.number.to_string();
    let mut page = super::blank(&pen, Kind::Group, &number, None);
    if group.number == 0 {
        page.lead.push(Line::plain(
            "The number 0 holds actives whose site of action is unknown or not classified.",
        ));
    }
    let mut facts = vec![pair(
        &mut pen,
        "Site of action",
        group.site_of_action.clone(),
        group,
    )];
    facts.push(pair(
        &mut pen,
        "What is seen",
        group.symptoms.clone(),
        group,
    ));
    for (label, range) in [
        ("First signs after", group.first_signs_days),
        ("Full effect after", group.full_effect_days),
    ] {
        if let Some([from, to]) = range {
            facts.push(pair(
                &mut pen,
                label,
                format!("{} days", plain_range(from.0, to.0)),
                group,
            ));
        }
    }
    facts.push(pair(&mut pen, "On lawns", group.on_turf.clone(), group));
    facts.extend(pen.pair("Risk of resistance", Some(&group.resistance_risk)));
    if let Some(letter) = &group.former_letter {
        facts.push(pair(&mut pen, "Letter before 2020", letter.clone(), group));
    }
    let actives = active::of_group(&pen, group.number);
    let members = if actives.is_empty() {
        Vec::new()
    } else {
        vec![Line::of(actives)]
    };
    let sections = [
        Section::new("What it does", None, vec![Block::Pairs { pairs: facts }]),
        Section::new(
            "Active ingredients of this book",
            None,
            vec![Block::lines(members)],
        ),
        Section::new(
            "Cautions for the whole group",
            None,
            vec![Block::lines(mixing::cautions(
                &mut pen,
                None,
                group.number,
                &[],
            ))],
        ),
        resistance(&mut pen, group.number),
        Section::new("Notes", None, vec![Block::lines(pen.remarks(&group.notes))]),
    ];
    page.sections = sections.into_iter().flatten().collect();
    page.sprays = true;
    super::finish(page, &mut pen)
}

fn pair(pen: &mut Pen<'_>, label: &str, text: String, group: &Group) -> Pair {
    Pair {
        label: Span::plain(label),
        line: pen.words(text, &group.source),
    }
}

/// Weeds of which resistance to this group is on record.
fn resistance(pen: &mut Pen<'_>, group: u16) -> Option<Section> {
    let book = pen.book;
    let mut lines = Vec::new();
    for case in book
        .resistance
        .iter()
        .flat_map(|r| &r.cases)
        .filter(|c| c.groups.contains(&group))
    {
        let mut spans = pen.links(Kind::Weed, case.weeds.iter().map(String::as_str));
        if spans.is_empty() {
            spans.push(Span::plain(case.plant.clone()));
        }
        let mut rest = String::new();
        for part in [&case.place, &case.year, &case.status]
            .into_iter()
            .flatten()
        {
            rest = format!("{rest}, {part}");
        }
        spans.push(Span::plain(rest));
        lines.push(pen.say(spans, &case.source).about(Some(&case.setting)));
    }
    Section::new("Resistance on record", None, vec![Block::lines(lines)])
}
