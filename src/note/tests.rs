//! Notes of visits to lawns in the small invented book.
use super::page::Page;
use super::*;
use crate::knowledge::sketches::Sketches;
use crate::treatment::tests::{described, many, small_book, visit};
use crate::visit::Visit;
use jiff::civil::date;

fn treatment(visit: &Visit) -> Treatment {
    Treatment::of(&small_book(), visit, date(2026, 5, 10)).expect("a treatment")
}

/// Visits that lead to every kind of decision.
fn visits() -> Vec<Visit> {
    let mut described_plant = visit(&["penny creeper"]);
    described_plant.plants.push(described(
        r#"{"kind": "broadleaf", "leaf_edge": ["scalloped", "toothed"], "leaf_width_mm": "12"}"#,
    ));
    let mut stranger = visit(&[]);
    stranger.plants = vec![described(
        r#"{"kind": "sedge", "leaf_edge": "toothed", "stem": "square", "flower": "yellow", "leaf_width_mm": "60"}"#,
    )];
    let mut warm = visit(&["saw rosette"]);
    warm.lawn.grass = many(&["demo-warm-grass"]);
    let mut none = visit(&["penny creeper"]);
    none.choose = many(&["none"]);
    let mut memory = visit(&["penny creeper"]);
    memory.choose = many(&["fabricam"]);
    vec![
        visit(&["penny creeper"]),
        visit(&["penny creeper", "thread sedge"]),
        visit(&["winter star"]),
        described_plant,
        stranger,
        warm,
        none,
        memory,
    ]
}

#[test]
fn the_text_of_a_note_is_as_it_was_read_and_approved() {
    let mut full = visit(&["penny creeper", "thread sedge"]);
    full.lawn.name = Some("the lawn behind the shed (invented)".to_owned());
    full.lawn.area = Some("1,200 sq ft".to_owned());
    full.lawn.near = many(&["garden"]);
    full.lawn.air_temperature = Some("68F".to_owned());
    let text = text(&treatment(&full)).expect("a text");
    assert_eq!(
        text,
        include_str!("../../tests/data/small-book-note.txt"),
        "{text}"
    );
}

#[test]
fn notes_come_out_the_same_every_time_and_every_template_works_on_every_visit() {
    for visit in visits() {
        let (first, second) = (treatment(&visit), treatment(&visit));
        assert_eq!(html(&first).expect("html"), html(&second).expect("html"));
        assert_eq!(text(&first).expect("text"), text(&second).expect("text"));
        assert_eq!(json(&first).expect("json"), json(&second).expect("json"));
    }
}

#[test]
fn what_users_wrote_is_escaped_wherever_it_is_printed() {
    let evil = "<script>alert('x')</script> & \"quotes\"";
    let mut v = visit(&["penny creeper"]);
    v.lawn.name = Some(evil.to_owned());
    v.lawn.area = Some(evil.to_owned());
    v.remarks = Some(format!("{evil}\u{1b}[2J"));
    let t = treatment(&v);
    let page = html(&t).expect("html");
    assert!(!page.contains("<script"), "{page}");
    assert_eq!(page.matches("&lt;script&gt;").count(), 3);
    let plain = text(&t).expect("text");
    assert!(!plain.contains('\u{1b}'), "{plain}");
    assert_eq!(
        plain.matches("<script>").count(),
        3,
        "plain text needs no escaping"
    );
}

#[test]
fn the_page_needs_nothing_from_outside() {
    for visit in visits() {
        let page = html(&treatment(&visit)).expect("html");
        assert!(page.starts_with("<!DOCTYPE html>\n<html lang=\"en\">"));
        for outside in ["http:", "https:", "src=", "@import", "<link", "<script"] {
            assert!(!page.contains(outside), "{outside}");
        }
        // Patterns of the pictures stand on the page itself.
        assert_eq!(page.matches("url(").count(), page.matches("url(#").count());
        assert_eq!(page.matches("<h1>").count(), 1);
        for (open, close) in [
            ("<section", "</section>"),
            ("<ul", "</ul>"),
            ("<table", "</table>"),
            ("<p", "</p>"),
        ] {
            let opened = page.matches(&format!("{open}>")).count()
                + page.matches(&format!("{open} ")).count();
            assert_eq!(opened, page.matches(close).count(), "{open}");
        }
    }
}

/// Every statement of the page in JSON: objects with `marks`.
fn marked(value: &serde_json::Value, found: &mut Vec<Vec<String>>) {
    match value {
        serde_json::Value::Array(items) => items.iter().for_each(|v| marked(v, found)),
        serde_json::Value::Object(map) => {
            if let Some(marks) = map.get("marks") {
                found.push(serde_json::from_value(marks.clone()).expect("marks are words"));
            }
            map.values().for_each(|v| marked(v, found));
        }
        _ => {}
    }
}

#[test]
fn every_mark_on_a_page_is_explained_by_its_list_of_sources() {
    for visit in visits() {
        let t = treatment(&visit);
        let page = Page::of(&t, &Sketches::embedded());
        let mut found = Vec::new();
        marked(
            &serde_json::to_value(&page).expect("plain data"),
            &mut found,
        );
        let listed: Vec<&str> = page.sources.iter().map(|s| s.mark.as_str()).collect();
        let used: Vec<&String> = found.iter().flatten().filter(|m| *m != "+").collect();
        assert!(!used.is_empty());
        for mark in &used {
            assert!(
                listed.contains(&mark.as_str()),
                "{mark} is not in {listed:?}"
            );
        }
        for entry in &listed {
            assert!(
                used.iter().any(|m| m == entry),
                "{entry} is listed and not used"
            );
        }
        let (page, plain) = (html(&t).expect("html"), text(&t).expect("text"));
        for mark in used.iter().filter(|m| m.parse::<u8>().is_ok()) {
            assert!(page.contains(&format!("href=\"#source-{mark}\"")));
            assert!(page.contains(&format!("id=\"source-{mark}\"")));
            assert!(plain.contains(&format!("- [{mark}] ")));
        }
    }
}

#[test]
fn every_sentence_from_memory_that_is_printed_carries_the_mark() {
    for visit in visits() {
        let t = treatment(&visit);
        let (page, plain) = (
            html(&t).expect("html"),
            text(&t)
                .expect("text")
                .split_whitespace()
                .collect::<Vec<_>>()
                .join(" "),
        );
        // A second way to the same end, straight from the treatment: whatever rests on memory and stands in the text is
        // followed by a mark that begins with m.
        let memory = |e| e == crate::knowledge::form::source::Evidence::Memory;
        let mut sentences: Vec<String> = Vec::new();
        sentences.extend(
            t.job
                .iter()
                .filter(|h| memory(h.fact.evidence))
                .map(|h| h.fact.text.clone()),
        );
        sentences.extend(
            t.cautions
                .iter()
                .filter(|c| memory(c.evidence))
                .map(|c| c.text.clone()),
        );
        sentences.extend(
            t.law
                .iter()
                .filter(|l| memory(l.evidence))
                .map(|l| l.text.clone()),
        );
        sentences.extend(
            t.plants
                .iter()
                .flat_map(|p| &p.hazards)
                .filter(|h| memory(h.evidence))
                .map(|h| h.text.clone()),
        );
        sentences.extend(
            t.without_chemicals
                .iter()
                .filter(|a| memory(a.evidence))
                .map(|a| a.text.clone()),
        );
        sentences.extend(
            t.chosen
                .iter()
                .flat_map(|o| std::iter::once(&o.turf).chain(&o.controls))
                .filter(|r| memory(r.evidence) && !r.sources.is_empty())
                .map(|r| format!("({})", r.rests)),
        );
        sentences.extend(
            t.dates
                .iter()
                .filter(|d| memory(d.fact.evidence) && !d.fact.sources.is_empty())
                .map(|d| format!("({})", d.fact.text)),
        );
        let mut printed = 0;
        for sentence in sentences {
            let body: String = sentence.chars().skip(1).collect();
            for (place, _) in plain.match_indices(body.as_str()) {
                printed += 1;
                let rest = plain[place + body.len()..].trim_start_matches('.');
                assert!(rest.starts_with(" [m"), "{sentence}: {rest:.40}");
            }
        }
        if t.chosen.is_some() {
            assert!(printed > 3, "too few to prove anything: {printed}");
        }
        let marks = plain.matches(" [m").count() - 1 - 1;
        let drawn = page.matches("<b class=\"m\">m</b>").count() - 1 - 1;
        assert_eq!(
            drawn, marks,
            "the page and the text mark the same statements"
        );
        assert!(page.contains("rests on memory") && plain.contains("[m] rests on memory"));
    }
}

#[test]
fn no_chemical_is_named_for_an_unknown_plant() {
    let t = treatment(&visits()[4]);
    for note in [html(&t).expect("html"), text(&t).expect("text")] {
        for active in small_book().actives.values() {
            assert!(!note.contains(&active.name), "{}", active.name);
        }
        assert!(note.contains("the plant desk of Demoland"));
    }
}

#[test]
fn no_line_of_the_text_is_wider_than_its_columns() {
    for visit in visits() {
        for line in text(&treatment(&visit)).expect("text").lines() {
            assert!(line.chars().count() <= TEXT_COLUMNS, "{line}");
        }
    }
}

#[test]
fn the_json_is_the_whole_treatment() {
    let t = treatment(&visit(&["penny creeper"]));
    let value: serde_json::Value = serde_json::from_str(&json(&t).expect("json")).expect("json");
    assert_eq!(value["schema"], "ligule/treatment/1");
    assert_eq!(value["date"], "2026-05-10");
    assert_eq!(value["chosen"]["turf"]["evidence"], "published");
    assert_eq!(value["job"][0]["step"], "before");
}

#[test]
fn a_broken_template_says_where() {
    let broken = Templates::from_texts("<p>{{ title </p>", "x")
        .err()
        .expect("an error");
    assert!(broken.to_string().contains("note.html"), "{broken}");
    let unknown = Templates::from_texts("{{ titel }}", "x").expect("it reads well");
    let error = unknown
        .html(&treatment(&visit(&["penny creeper"])))
        .expect_err("no such field");
    assert!(error.to_string().contains("titel"), "{error}");
}

/// A visit with a product on the shelf; its figures are invented, as its active is.
fn with_shelf(changes: &[(&str, &str)]) -> Visit {
    let text = "date: 2026-05-10\nlawn:\n  grass: demo cool grass\n  area: 3000 sq ft\n  sprayer: {tank: 2 gal, output: 1 gal/1000 sq ft}\n  measuring: syringe 0.5 mL\n  shelf:\n    - name: creeper spray A\n      actives: [{active: inventol, content: 4 lb/gal}]\n      rates: {broadcast: 0.5 fl oz/1000 sq ft}\n      grasses: demo cool grass\n      weeds: penny creeper\n      re_entry: when dry\nplants:\n  - weed: penny creeper\n";
    let text = changes.iter().fold(text.to_owned(), |text, (from, to)| {
        assert!(text.contains(from), "{from}");
        text.replace(from, to)
    });
    crate::knowledge::read::read("visit.yaml", &text).unwrap_or_else(|e| panic!("{e}"))
}

#[test]
fn the_spray_day_is_printed_load_by_load() {
    let t = treatment(&with_shelf(&[]));
    let (page, plain) = (html(&t).expect("html"), text(&t).expect("text"));
    // 3,000 sq ft take 3 gal and 1.5 fl oz: two loads of 1.5 gal with 0.75 fl oz, which is 22.18 mL.
    for said in [
        "Load 1 of 2: 1.5 gal for 1500 sq ft",
        "Load 2 of 2: 1.5 gal for 1500 sq ft",
        "Add 22 mL of creeper spray A",
        "going on the lawn again: when dry",
        "read the label again",
    ] {
        let one_line = plain.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(
            page.contains(said) && one_line.contains(said),
            "{said}\n{plain}"
        );
    }
    // The blanks stay: what was really applied is written down by hand.
    assert!(page.contains("The label in hand names"));
    let one = treatment(&with_shelf(&[("tank: 2 gal", "tank: 0.5 gal")]));
    let page = html(&one).expect("html");
    assert!(page.contains("Each of 6 loads: 0.5 gal for 500 sq ft") && !page.contains("Load 2 of"));
    assert_eq!(page.matches("Add ").count(), 1);
    assert!(page.contains("</span>6</span>"), "a box for every load");
}

#[test]
fn a_label_without_the_grass_gives_no_amount_on_the_note() {
    for changes in [
        (
            "      grasses: demo cool grass",
            "      grasses: demo warm grass",
        ),
        (
            "0.5 fl oz/1000 sq ft}\n      grasses",
            "0.5 fl oz/1000 sq ft}\n      maximum: {application: 0.4 fl oz/1000 sq ft}\n      grasses",
        ),
    ] {
        let t = treatment(&with_shelf(&[changes]));
        for note in [html(&t).expect("html"), text(&t).expect("text")] {
            assert!(
                note.contains("No amounts are given") && note.contains("Stop:"),
                "{note}"
            );
            assert!(
                !note.contains("Load 1") && !note.contains(" mL of"),
                "{note}"
            );
        }
    }
}

#[test]
fn without_figures_the_note_is_as_it_was() {
    let t = treatment(&visit(&["penny creeper"]));
    assert!(t.spray_day.is_none());
    assert!(!html(&t).expect("html").contains("The spray day"));
    assert!(!text(&t).expect("text").contains("THE SPRAY DAY"));
    // A shelf with something else on it says that it does not help.
    let other = treatment(&with_shelf(&[("active: inventol", "active: placebuline")]));
    let plain = text(&other).expect("text");
    assert!(
        plain.contains("Nothing on the shelf holds what was chosen"),
        "{plain}"
    );
}
