//! Treatments of visits to lawns in the small invented book.
use super::*;
use crate::visit::{Lawn, Plant};
use jiff::civil::date;
use std::path::Path;

/// The small book of the tests; everything in it is invented.
pub fn small_book() -> Knowledge {
    let dir = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/small-book");
    Knowledge::from_folder(&dir).unwrap_or_else(|e| panic!("{e}"))
}

/// A visit that names weeds in demo cool grass, on 10 May 2026.
pub fn visit(weeds: &[&str]) -> Visit {
    Visit {
        date: Some(date(2026, 5, 10)),
        lawn: Lawn {
            grass: many(&["demo cool grass"]),
            place: Some("demoland".to_owned()),
            ..Lawn::default()
        },
        plants: weeds
            .iter()
            .map(|w| Plant {
                weed: Some((*w).to_owned()),
                ..Plant::default()
            })
            .collect(),
        ..Visit::default()
    }
}

pub fn many(words: &[&str]) -> crate::knowledge::form::common::Many {
    crate::knowledge::form::common::Many(words.iter().map(|w| (*w).to_owned()).collect())
}

/// A plant described by what was seen, read as from an answers file.
pub fn described(observed: &str) -> Plant {
    serde_json::from_str(&format!("{{\"observed\": {observed}}}")).expect("a good plant")
}

fn of(visit: &Visit) -> Result<Treatment, TreatmentError> {
    Treatment::of(&small_book(), visit, date(2020, 1, 1))
}

#[test]
fn the_small_book_has_no_findings() {
    let dir = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/small-book");
    let report = crate::knowledge::Report::of_folder(&dir).expect("a folder");
    assert_eq!(report.found, []);
}

#[test]
fn a_plant_of_which_nothing_was_said_is_left_out() {
    let mut blanks = visit(&["penny creeper"]);
    blanks.plants.insert(0, Plant::default());
    blanks.plants.push(Plant::default());
    let (with, without) = (of(&blanks), of(&visit(&["penny creeper"])));
    assert_eq!(with.expect("a treatment"), without.expect("a treatment"));
}

#[test]
fn the_first_option_is_taken_with_its_reasons() {
    let t = of(&visit(&["penny creeper"])).expect("a treatment");
    let chosen = t.chosen.expect("an option");
    assert_eq!(chosen.title, "inventol (invented) (group 4)");
    assert_eq!(chosen.turf.rests, "published");
    assert_eq!(chosen.turf.conditions, ["not in heat"]);
    assert_eq!(t.options_in_all, 2);
    assert_eq!(t.alternatives.len(), 1);
    assert_eq!(
        t.alternatives[0].behind,
        "safety on the grass less well founded"
    );
    assert_eq!(t.verdict.decision, Decision::Treat);
    assert_eq!(t.groups[0].number, 4);
}

#[test]
fn days_are_counted_from_the_visit_and_the_group_fills_in() {
    let t = of(&visit(&["penny creeper"])).expect("a treatment");
    let days: Vec<_> = t.dates.iter().map(|d| (d.event, d.from, d.to)).collect();
    // 10 May 2026 and 2 to 5, 14 to 28, 28 to 30 days and 4 weeks, counted by hand on a calendar.
    assert_eq!(
        days,
        [
            (
                Event::FirstSigns,
                Some(date(2026, 5, 12)),
                Some(date(2026, 5, 15))
            ),
            (
                Event::FullEffect,
                Some(date(2026, 5, 24)),
                Some(date(2026, 6, 7))
            ),
            (
                Event::LookAgain,
                Some(date(2026, 6, 7)),
                Some(date(2026, 6, 7))
            ),
            (
                Event::Repeat,
                Some(date(2026, 6, 7)),
                Some(date(2026, 6, 9))
            ),
            (
                Event::Seeding,
                Some(date(2026, 6, 7)),
                Some(date(2026, 6, 7))
            ),
        ]
    );
    let mut other = visit(&["penny creeper"]);
    other.choose = many(&["fabricam"]);
    let t = of(&other).expect("a treatment");
    // fabricam has no figures: its group gives 1 to 3 days, and nothing gives the repeat.
    assert_eq!(t.dates[0].to, Some(date(2026, 5, 13)));
    assert_eq!((t.dates[3].from, t.dates[3].to), (None, None));
    assert_eq!(t.dates[3].fact.sources, [""; 0]);
}

#[test]
fn the_day_of_the_run_serves_where_the_visit_has_none() {
    let mut undated = visit(&["penny creeper"]);
    undated.date = None;
    let t = of(&undated).expect("a treatment");
    assert_eq!((t.date, t.month), (date(2020, 1, 1), 1));
}

#[test]
fn what_was_seen_names_the_plant_and_how_to_tell_the_others() {
    let mut seen = visit(&[]);
    seen.plants = vec![described(
        r#"{"kind": "broadleaf", "leaf_edge": "scalloped", "stem": "square"}"#,
    )];
    let t = of(&seen).expect("a treatment");
    let plant = &t.plants[0];
    assert_eq!(plant.weed.as_deref(), Some("penny-creeper"));
    assert_eq!(plant.known, Known::FromWhatWasSeen);
    assert!(plant.probability > Some(0.5), "{plant:?}");
    assert!(plant.observed.iter().all(|s| s.fits == Some(true)));
    assert_eq!(plant.observed[0].seen, "broad-leaved plant");
    let other = plant.could_be.iter().find(|o| o.name == "false penny");
    let tell = other.and_then(|o| o.tell.as_ref()).expect("a way to tell");
    assert_eq!(tell.text, "false penny: stem round, flowers white");
}

#[test]
fn without_a_word_in_the_book_plants_are_told_apart_by_the_trait_in_which_they_differ_most() {
    let book = small_book();
    let key = crate::key::Book::new(&book, crate::key::book::What::Weeds);
    let mut answers = crate::key::Answers::new();
    let fact = |answers: &_| {
        tell::apart(&book, &key, "penny-creeper", "thread-sedge", answers).expect("a trait")
    };
    // Of the traits that keep the two apart, observers get both the kind and the width wrong one time in twenty; a width
    // read wrong may be any other, a kind read wrong is mostly one that looks like it.
    assert_eq!(
        fact(&answers).text,
        "leaf width: 2 to 4 mm on it, 10 to 30 mm on penny creeper"
    );
    assert_eq!(fact(&answers).sources, ["memory", "guide-a"]);
    // What was answered already helps no more; the kind is next.
    let width = key.trait_named("leaf_width_mm").expect("a trait");
    answers.set(width, crate::key::Answer::Number(15.0));
    let fact = fact(&answers);
    assert_eq!(
        fact.text,
        "kind: sedge on it, broad-leaved plant on penny creeper"
    );
}

#[test]
fn a_plant_that_fits_nothing_gets_no_chemical_and_an_address() {
    let mut stranger = visit(&[]);
    stranger.plants = vec![described(
        r#"{"kind": "sedge", "leaf_edge": "toothed", "stem": "square", "flower": "yellow", "leaf_width_mm": "60"}"#,
    )];
    let t = of(&stranger).expect("a treatment");
    assert_eq!(t.plants[0].known, Known::NotKnown, "{:?}", t.plants);
    assert_eq!(t.verdict.decision, Decision::PlantNotKnown);
    assert!(t.chosen.is_none() && t.alternatives.is_empty() && t.job.is_empty());
    assert!(t.verdict.to_string().contains("the plant desk of Demoland"));
}

#[test]
fn a_plant_that_the_user_calls_none_of_these_gets_no_chemical_though_the_key_would_name_it() {
    let mut known = visit(&[]);
    known.plants = vec![described(
        r#"{"kind": "broadleaf", "stem": "round", "flower": "white"}"#,
    )];
    assert_ne!(of(&known).expect("a treatment").plants[0].weed, None);
    known.plants[0].none_of_these = true;
    let t = of(&known).expect("a treatment");
    assert_eq!(t.plants[0].known, Known::NotKnown);
    assert_eq!(t.plants[0].weed, None);
    assert_eq!(t.verdict.decision, Decision::PlantNotKnown);
    assert!(t.chosen.is_none() && t.alternatives.is_empty());
}

#[test]
fn a_named_plant_that_was_seen_otherwise_is_questioned() {
    let mut odd = visit(&["penny creeper"]);
    odd.plants[0].observed = described(r#"{"kind": "sedge", "stem": "three-cornered"}"#).observed;
    let t = of(&odd).expect("a treatment");
    assert!(!t.plants[0].settled);
    assert!(t.plants[0].observed.iter().all(|s| s.fits == Some(false)));
    assert!(t.verdict.sentences[0].starts_with("First make sure"));
}

#[test]
fn an_annual_at_its_end_is_left_alone_unless_the_user_insists() {
    let t = of(&visit(&["winter star"])).expect("a treatment");
    assert_eq!(t.verdict.decision, Decision::LeaveIt);
    assert!(t.chosen.is_none());
    assert_eq!(t.alternatives.len(), 1);
    assert_eq!(t.leave_it.why.sources, ["guide-a"]);
    let mut insists = visit(&["winter star"]);
    insists.choose = many(&["inventol"]);
    assert_eq!(
        of(&insists).expect("a treatment").verdict.decision,
        Decision::Treat
    );
}

#[test]
fn nothing_proven_means_nothing_named() {
    let mut warm = visit(&["saw rosette"]);
    warm.lawn.grass = many(&["demo-warm-grass"]);
    let t = of(&warm).expect("a treatment");
    assert_eq!(t.verdict.decision, Decision::NothingSafe);
    assert!(
        t.excluded
            .iter()
            .any(|g| g.names == ["inventol (invented)"])
    );
    let mut near = visit(&["penny creeper"]);
    near.lawn.near = many(&["pond"]);
    let t = of(&near).expect("a treatment");
    assert_eq!(t.chosen.expect("the other one").actives[0].id, "fabricam");
}

#[test]
fn the_user_may_choose_and_is_told_why_not() {
    let mut none = visit(&["penny creeper"]);
    none.choose = many(&["none"]);
    let t = of(&none).expect("a treatment");
    assert_eq!(t.verdict.decision, Decision::WithoutChemicals);
    let mut weak = visit(&["penny creeper"]);
    weak.choose = many(&["demosulf"]);
    let said = of(&weak).expect_err("not on offer").to_string();
    assert!(
        said.contains("demosulf (invented) is too weak on penny creeper"),
        "{said}"
    );
    assert!(said.contains("on offer are inventol or fabricam"), "{said}");
}

#[test]
fn partners_bring_their_groups_and_what_is_known_of_them_together() {
    let t = of(&visit(&["penny creeper", "thread sedge"])).expect("a treatment");
    let chosen = t.chosen.expect("an option");
    assert_eq!(chosen.groups, [2, 4]);
    assert!(chosen.known_mixture);
    assert!(
        t.job
            .iter()
            .any(|h| h.fact.text == "Mix in the order of the labels.")
    );
    // Neither the full effect nor the wait of demosulf is known, so neither is printed for the mix.
    assert_eq!(t.dates[1].from, None);
    assert_eq!(t.dates[3].from, None);
    assert_eq!(t.dates[0].from, Some(date(2026, 5, 12)));
}

#[test]
fn every_wrong_word_says_where_and_what_was_meant() {
    let wrong = |change: &dyn Fn(&mut Visit)| -> String {
        let mut v = visit(&["penny creeper"]);
        change(&mut v);
        of(&v).expect_err("a wrong visit").to_string()
    };
    let said = wrong(&|v| v.lawn.grass = many(&["demo cool gras"]));
    assert!(
        said.starts_with("lawn: grass:") && said.contains("`demo-cool-grass`"),
        "{said}"
    );
    let said = wrong(&|v| v.plants[0].weed = Some("peny-creeper".to_owned()));
    assert!(
        said.starts_with("plant 1, weed:") && said.contains("`penny-creeper`"),
        "{said}"
    );
    let said = wrong(&|v| v.plants[0].observed = described(r#"{"stam": "round"}"#).observed);
    assert!(said.contains("`stem`"), "{said}");
    let said = wrong(&|v| v.plants[0].observed = described(r#"{"stem": "oval"}"#).observed);
    assert!(said.contains("three-cornered"), "{said}");
    let said =
        wrong(&|v| v.plants[0].observed = described(r#"{"leaf_width_mm": ["3", "4"]}"#).observed);
    assert!(said.contains("one number, not 2"), "{said}");
    assert!(wrong(&|v| v.plants.clear()).contains("no plant"));
    assert!(wrong(&|v| v.plants[0] = Plant::default()).contains("neither a name"));
    assert!(wrong(&|v| v.lawn.grass = many(&[])).contains("which grass"));
    assert!(wrong(&|v| v.lawn.place = Some("demolan".to_owned())).contains("`demoland`"));
    assert!(wrong(&|v| v.lawn.near = many(&["gardn"])).contains("near"));
    assert!(wrong(&|v| v.lawn.stage = Some("old".to_owned())).contains("stage"));
    assert!(wrong(&|v| v.lawn.air_temperature = Some("warm".to_owned())).contains("72F"));
    assert!(wrong(&|v| v.choose = many(&["inventl"])).contains("`inventol`"));
}

#[test]
fn cautions_of_the_site_come_before_those_of_every_job() {
    let mut beds = visit(&["penny creeper"]);
    beds.lawn.near = many(&["garden", "none"]);
    let t = of(&beds).expect("a treatment");
    let ids: Vec<&str> = t.cautions.iter().map(|c| c.id.as_str()).collect();
    assert_eq!(ids, ["label", "rinse", "beds", "gloves"]);
}

#[test]
fn every_source_used_is_listed_and_statements_are_counted() {
    let t = of(&visit(&["penny creeper"])).expect("a treatment");
    let ids: Vec<&str> = t.sources.iter().map(|s| s.id.as_str()).collect();
    assert_eq!(
        ids,
        [
            "guide-a",
            "guide-b",
            "law-x",
            "memory",
            "practice",
            "second-recollection"
        ]
    );
    let counted = t.rests.published + t.rests.practice + t.rests.memory;
    assert_eq!(t.rests.statements, counted);
    assert!(t.rests.memory > 0 && t.rests.practice > 0);
}

#[test]
fn records_name_the_items_of_the_place_and_the_authority() {
    let t = of(&visit(&["penny creeper"])).expect("a treatment");
    let named: Vec<&str> = t
        .record
        .fields
        .iter()
        .filter(|f| f.named)
        .map(|f| f.id.as_str())
        .collect();
    assert_eq!(named, ["date", "product"]);
    assert_eq!(t.record.rules[0].check_with, "the Demoland lawn office");
    assert_eq!(t.calls.len(), 2);
}
