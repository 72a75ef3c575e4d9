//! The page of an active ingredient.
use super::page::{Block, Line, Page, Pair, Section, Span};
use super::pen::{Pen, joined};
use super::weed::{self, limits};
use super::{Shelf, mixing, turf};
use crate::choose::{control_word, tolerance_word};
use crate::knowledge::Kind;
use crate::knowledge::fact::{plain_number, plain_range, with_note};
use crate::knowledge::form::active::{Active, Availability, Timing};
use crate::knowledge::form::common::{Number, Sources};
use crate::words::and_list;

/// Makes the page.
pub fn page(shelf: &Shelf<'_>, id: &str, active: &Active) -> Page {
    let mut pen = Pen::new(shelf.book, "../");
    let mut page = super::blank(&pen, Kind::Active, id, None);
    page.lead = lead(&mut pen, active);
    for restriction in &active.restrictions {
        let text = format!("{}: {}", availability(restriction.is), restriction.text);
        page.warnings.push(pen.words(text, &restriction.source));
    }
    let sections = [
        Section::new(
            "What it is",
            None,
            vec![Block::Pairs {
                pairs: facts(&mut pen, active),
            }],
        ),
        Section::new(
            "Cautions of its own",
            None,
            vec![Block::lines(mixing::cautions(
                &mut pen,
                Some(id),
                active.group.is,
                &active.cautions,
            ))],
        ),
        Section::new(
            "Using it",
            Some("The label in hand decides on every one of these."),
            vec![Block::Pairs {
                pairs: using(&mut pen, active),
            }],
        ),
        Section::new(
            "Doses that were read",
            Some(
                "They catch slips of the pen and recommend nothing: the rate stands on the label of the product in hand.",
            ),
            vec![Block::Pairs {
                pairs: doses(&mut pen, active),
            }],
        ),
        grasses(&mut pen, active),
        weeds(&mut pen, active),
        Section::new(
            "In one tank with others",
            None,
            vec![Block::lines(mixing::partners(
                &mut pen,
                id,
                active.group.is,
            ))],
        ),
        Section::new(
            "Notes",
            None,
            vec![Block::lines(pen.remarks(&active.notes))],
        ),
    ];
    page.sections = sections.into_iter().flatten().collect();
    page.sprays = true;
    super::finish(page, &mut pen)
}

fn availability(is: Availability) -> &'static str {
    match is {
        Availability::Withdrawn => "Withdrawn, never offered",
        Availability::NotOnHomeLawns => "Not for home lawns",
        Availability::LicensedOnly => "For licensed people only",
        Availability::Restricted => "Restrictions to ask about",
    }
}

fn lead(pen: &mut Pen<'_>, active: &Active) -> Vec<Line> {
    let group = active.group.is.to_string();
    let note = with_note(".", active.group.note.as_deref());
    let spans = vec![
        Span::plain("Site of action: "),
        pen.link(Kind::Group, &group),
        Span::plain(note),
    ];
    let mut lines = vec![pen.say(spans, &active.group.source)];
    if !active.aliases.is_empty() {
        lines.push(Line::plain(format!(
            "Also written {}.",
            and_list(&active.aliases)
        )));
    }
    lines
}

fn facts(pen: &mut Pen<'_>, active: &Active) -> Vec<Pair> {
    let times: Vec<&str> = active.timing.is.iter().map(|t| t.words()).collect();
    let mut pairs = vec![Pair {
        label: Span::plain("Works"),
        line: pen.words(and_list(&times), &active.timing.source),
    }];
    pairs.extend(pen.pair("Kinds of weed", Some(&active.spectrum)));
    for (label, words) in [
        ("Chemical family", &active.chemical_family),
        ("Forms", &active.forms),
        ("Way into the plant", &active.uptake),
        ("Moves in the plant", &active.mobility),
        ("Moves in soil", &active.soil_mobility),
        ("Turns to vapour", &active.volatility),
    ] {
        pairs.extend(pen.pair(label, words.as_ref()));
    }
    pairs.extend(pen.figure(
        "First signs after",
        "days",
        active.first_signs_days.as_ref(),
    ));
    pairs.extend(pen.figure(
        "Full effect after",
        "days",
        active.full_effect_days.as_ref(),
    ));
    pairs
}

/// A pair made from parts and a note.
fn made(
    pen: &mut Pen<'_>,
    label: &str,
    parts: &[String],
    note: Option<&str>,
    source: &Sources,
) -> Pair {
    Pair {
        label: Span::plain(label),
        line: pen.words(with_note(&parts.join(", "), note), source),
    }
}

fn number(n: Option<Number>, before: &str, after: &str) -> Option<String> {
    n.map(|n| format!("{before}{}{after}", plain_number(n.0)))
}

fn using(pen: &mut Pen<'_>, active: &Active) -> Vec<Pair> {
    let mut pairs = Vec::new();
    if let Some(air) = &active.air_temperature {
        let parts: Vec<String> = [
            number(air.above_f, "above ", " °F"),
            number(air.below_f, "below ", " °F"),
        ]
        .into_iter()
        .flatten()
        .collect();
        pairs.push(made(pen, "Air", &parts, air.note.as_deref(), &air.source));
    }
    pairs.extend(pen.figure("Dry for", "hours", active.rain_free_hours.as_ref()));
    if let Some(water) = &active.water_in {
        let parts = [
            format!(
                "{} inches",
                plain_range(water.inches[0].0, water.inches[1].0)
            ),
            format!("within {} days", plain_number(water.within_days.0)),
        ];
        pairs.push(made(
            pen,
            "Water in with",
            &parts,
            water.note.as_deref(),
            &water.source,
        ));
    }
    if let Some(hold) = &active.mowing_hold {
        let parts = [
            format!("none for {} days before", plain_number(hold.before_days.0)),
            format!("none for {} days after", plain_number(hold.after_days.0)),
        ];
        pairs.push(made(pen, "Mowing", &parts, None, &hold.source));
    }
    if let Some(age) = &active.turf_age {
        // "Mown 0 times" is how the book says that there is no wait.
        let more_than_none = |n: Option<Number>| n.filter(|n| n.0 > 0.0);
        let mut parts: Vec<String> = [
            number(more_than_none(age.mowings), "mown ", " times"),
            number(
                more_than_none(age.weeks_after_seeding),
                "",
                " weeks after seeding",
            ),
        ]
        .into_iter()
        .flatten()
        .collect();
        if parts.is_empty() && (age.mowings.is_some() || age.weeks_after_seeding.is_some()) {
            parts.push("from seeding on".to_owned());
        }
        pairs.push(made(
            pen,
            "New grass",
            &parts,
            age.note.as_deref(),
            &age.source,
        ));
    }
    pairs.extend(pen.figure(
        "Wait before seeding",
        "weeks",
        active.seeding_wait_weeks.as_ref(),
    ));
    pairs.extend(pen.figure(
        "Between two treatments",
        "days",
        active.repeat_interval_days.as_ref(),
    ));
    for adjuvant in &active.adjuvant {
        let mut parts = vec![adjuvant.need.clone()];
        parts.extend(adjuvant.which.clone());
        parts.extend(
            adjuvant
                .percent_v_v
                .map(|[a, b]| format!("{} % of the spray", plain_range(a.0, b.0))),
        );
        let mut pair = made(
            pen,
            "Adjuvant",
            &parts,
            adjuvant.note.as_deref(),
            &adjuvant.source,
        );
        if !adjuvant.avoid_on.is_empty() {
            pair.line.spans.push(Span::plain("; not on "));
            pair.line
                .spans
                .extend(pen.links(Kind::Turf, adjuvant.avoid_on.iter().map(String::as_str)));
        }
        pairs.push(pair);
    }
    pairs
}

fn doses(pen: &mut Pen<'_>, active: &Active) -> Vec<Pair> {
    let mut pairs = Vec::new();
    if let Some(bounds) = &active.dose_bounds {
        let parts: Vec<String> = [
            bounds
                .lb_per_acre
                .map(|[a, b]| format!("{} lb/acre", plain_range(a.0, b.0))),
            bounds
                .g_per_ha
                .map(|[a, b]| format!("{} g/ha", plain_range(a.0, b.0))),
            Some(format!(
                "as {}",
                if bounds.basis == "ae" {
                    "acid equivalent"
                } else {
                    "active ingredient"
                }
            )),
        ]
        .into_iter()
        .flatten()
        .collect();
        pairs.push(made(
            pen,
            "Between",
            &parts,
            bounds.note.as_deref(),
            &bounds.source,
        ));
    }
    for dose in &active.doses_read {
        let parts = [format!(
            "{} g/ha",
            plain_range(dose.g_per_ha[0].0, dose.g_per_ha[1].0)
        )];
        let label = if dose.kind == "research" {
            "In a trial"
        } else {
            "In the field"
        };
        pairs.push(made(pen, label, &parts, None, &dose.source));
    }
    pairs.extend(pen.figure(
        "Most in a year",
        "lb/acre",
        active.yearly_max_lb_per_acre.as_ref(),
    ));
    pairs
}

fn grasses(pen: &mut Pen<'_>, active: &Active) -> Option<Section> {
    let book = pen.book;
    let mut rows = Vec::new();
    for id in book.turf.keys() {
        for stage in &book.stages {
            let Some(verdict) = book.tolerance(active, id, &stage.id) else {
                continue;
            };
            let mut rating = Line::plain(tolerance_word(verdict.rating));
            rating.marks = pen.marks_as(verdict.standing, &verdict.sources);
            rows.push(vec![
                vec![Line::of(vec![pen.link(Kind::Turf, id)])],
                vec![Line::plain(stage.name.clone())],
                vec![rating],
                turf::stands_limits(active, id, &stage.id, &verdict.conditions),
            ]);
        }
    }
    Section::new(
        "How grasses stand it",
        Some(turf::RATINGS),
        vec![Block::Table {
            columns: [
                "Grass",
                "At this stage",
                "Stands it",
                "Limits, in the words of the sources",
            ]
            .map(str::to_owned)
            .to_vec(),
            rows,
        }],
    )
}

fn weeds(pen: &mut Pen<'_>, active: &Active) -> Option<Section> {
    let book = pen.book;
    let mut rows = Vec::new();
    for id in book.weeds.keys() {
        for timing in [Timing::Pre, Timing::EarlyPost, Timing::Post] {
            let Some(verdict) = book.control(active, id, timing) else {
                continue;
            };
            let mut rating = Line::plain(control_word(verdict.rating));
            rating.marks = pen.marks_as(verdict.standing, &verdict.sources);
            rows.push((
                std::cmp::Reverse(verdict.rating),
                vec![
                    vec![Line::of(vec![pen.link(Kind::Weed, id)])],
                    vec![Line::plain(timing.words())],
                    vec![rating],
                    limits(&verdict.conditions),
                ],
            ));
        }
    }
    rows.sort_by_key(|(rating, _)| *rating);
    Section::new(
        "What it does to weeds",
        Some(weed::RATINGS),
        vec![Block::Table {
            columns: [
                "Weed",
                "Used",
                "Control",
                "Limits, in the words of the sources",
            ]
            .map(str::to_owned)
            .to_vec(),
            rows: rows.into_iter().map(|(_, row)| row).collect(),
        }],
    )
}

/// The actives of a group, each leading to its page.
pub fn of_group(pen: &Pen<'_>, group: u16) -> Vec<Span> {
    let ids = pen.book.actives.iter().filter(|(_, a)| a.group.is == group);
    joined(
        ids.map(|(id, _)| pen.link(Kind::Active, id)).collect(),
        ", ",
    )
}
