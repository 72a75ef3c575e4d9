//! The fixed key as people carry it: numbered text by pages, one HTML file, a graph.
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "tests")]
use ligule::choose::Request;
use ligule::identify::Key;
use ligule::key::book::What;
use ligule::key::graph::{QuestionGraph, Scope};
use ligule::key::{Answer, Circumstances};
use ligule::knowledge::Knowledge;
use ligule::knowledge::sketches::Sketches;
use ligule::paper::{Carried, For, Goal, dot, page, text};
use ligule::visit::Typed;
use serde::Deserialize;
use std::collections::{BTreeMap, BTreeSet};
use std::process::Command;
use std::sync::LazyLock;

static BOOK: LazyLock<Knowledge> = LazyLock::new(|| Knowledge::embedded().expect("sound"));
static DRAWINGS: LazyLock<Sketches> = LazyLock::new(Sketches::embedded);
static WEEDS: LazyLock<(Carried, QuestionGraph)> =
    LazyLock::new(|| Carried::of(&BOOK, What::Weeds, &For::default(), &DRAWINGS));

fn for_fescue() -> (Carried, QuestionGraph) {
    let mut lawn = Request::new(&[], "tall-fescue").check(&BOOK).unwrap();
    lawn.month = Some(5);
    let asked = For {
        month: Some(5),
        region: Some("midwest".to_owned()),
        lawn: Some(lawn),
    };
    Carried::of(&BOOK, What::Weeds, &asked, &DRAWINGS)
}

#[test]
fn every_plant_is_at_an_end_and_every_step_leads_on() {
    let grasses = Carried::of(&BOOK, What::Turf, &For::default(), &DRAWINGS);
    for (key, graph) in [&*WEEDS, &for_fescue(), &grasses] {
        graph.check().unwrap();
        let mut reached = BTreeSet::new();
        for step in &key.steps {
            assert!(step.answers.len() >= 2, "step {}", step.number);
            assert!(step.number == 1 || !step.from.is_empty());
            for answer in &step.answers {
                match answer.goal {
                    Goal::Step(number) => {
                        assert!(key.steps[number - 1].from.contains(&step.number));
                    }
                    Goal::Plant(plant) => {
                        reached.insert(plant);
                    }
                    Goal::End(end) => reached.extend(&key.ends[end].plants),
                }
            }
        }
        assert_eq!(reached.len(), key.plants.len());
    }
}

#[test]
fn a_key_for_one_grass_ends_where_the_same_is_done() {
    let (key, _) = for_fescue();
    let same: Vec<_> = key.ends.iter().filter(|e| e.same).collect();
    assert!(!same.is_empty());
    for end in same {
        let does: BTreeSet<_> = end
            .plants
            .iter()
            .map(|&p| {
                let todo = key.plants[p].to_do.as_ref().unwrap();
                let actives = |c: &ligule::paper::ClassLine| c.actives.clone();
                (
                    todo.leave.is_some(),
                    todo.classes.iter().map(actives).collect::<Vec<_>>(),
                )
            })
            .collect();
        // Dying annuals are left alone, whatever would treat them.
        let left = does.iter().all(|(leave, _)| *leave);
        assert!(left || does.len() == 1, "{does:?}");
        assert!(left || does.iter().all(|(_, classes)| !classes.is_empty()));
    }
}

#[test]
fn pages_of_the_text_are_whole_and_their_numbers_right() {
    for (key, lines) in [(&WEEDS.0, 60), (&for_fescue().0, 40)] {
        let printed = text::text(key, lines);
        let pages: Vec<&str> = printed.split('\u{c}').collect();
        let mut begins: BTreeMap<String, usize> = BTreeMap::new();
        for (number, page) in pages.iter().enumerate() {
            assert!(page.lines().count() <= lines, "page {}", number + 1);
            assert!(page.lines().next().unwrap().ends_with(&format!(
                "page {} of {}",
                number + 1,
                pages.len()
            )));
            for line in page.lines() {
                assert!(line.chars().count() <= 79, "{line}");
                let number_of = line.split_once(". ").map_or("", |(n, _)| n);
                let end_of = line.split_once(": ").map_or("", |(e, _)| e);
                for start in [number_of, end_of] {
                    if start.parse::<usize>().is_ok() || start.starts_with("End ") {
                        begins.entry(start.to_owned()).or_insert(number + 1);
                    }
                }
                if let Some(plant) = key
                    .plants
                    .iter()
                    .find(|p| *line == format!("{} ({})", p.name, p.scientific_name))
                {
                    begins.insert(plant.name.clone(), number + 1);
                }
            }
        }
        let mut looked = 0;
        for line in printed
            .lines()
            .filter(|l| l.starts_with("   ") && l.contains(" ... ") || l.contains(".... "))
        {
            let Some((_, goal)) = line.rsplit_once(".. ") else {
                continue;
            };
            let (to, at) = goal.rsplit_once(", page ").expect("a page");
            let to = to
                .strip_prefix("go to ")
                .map_or_else(|| to.replacen("end ", "End ", 1), str::to_owned);
            let at: usize = at.parse().unwrap();
            let known = begins.get(&to).unwrap_or_else(|| panic!("{to} is nowhere"));
            assert_eq!(*known, at, "{line}");
            looked += 1;
        }
        let answers: usize = key.steps.iter().map(|s| s.answers.len()).sum();
        assert!(looked * 10 >= answers * 9, "{looked} of {answers}");
    }
}

#[test]
fn without_pages_nothing_is_numbered() {
    let printed = text::text(&WEEDS.0, 0);
    assert!(!printed.contains('\u{c}') && !printed.contains(", page "));
}

/// Everything between `open` and the next quote.
fn quoted<'a>(html: &'a str, open: &'a str) -> impl Iterator<Item = &'a str> {
    html.split(open)
        .skip(1)
        .map(|rest| rest.split('"').next().unwrap())
}

#[test]
fn the_file_for_the_phone_is_whole_and_needs_nothing_else() {
    for (key, html) in
        [&WEEDS.0, &for_fescue().0].map(|key| (key, page::html(&BOOK, key, &DRAWINGS).unwrap()))
    {
        let ids: Vec<&str> = quoted(&html, " id=\"").collect();
        let known: BTreeSet<&str> = ids.iter().copied().collect();
        assert_eq!(ids.len(), known.len(), "an id stands twice");
        for link in quoted(&html, "href=\"") {
            let to = link
                .strip_prefix('#')
                .unwrap_or_else(|| panic!("{link} leads out of the file"));
            assert!(known.contains(to), "{link} leads nowhere");
        }
        for away in [
            "<script", "src=", "@import", "url(", "<link", "<iframe", "<img",
        ] {
            assert!(!html.contains(away), "{away}");
        }
        for plant in &key.plants {
            assert!(known.contains(format!("plant-{}", plant.id).as_str()));
        }
        let drawn = key
            .steps
            .iter()
            .flat_map(|s| &s.answers)
            .filter(|a| a.drawing.is_some())
            .count();
        assert!(drawn > 100, "{drawn} answers are drawn");
        assert_eq!(
            html.matches("<svg viewBox").count(),
            drawn + html.matches("<symbol").count()
        );
        assert!(html.len() < 2_000_000, "{} bytes", html.len());
        // Treatments are never told without the cautions and the word on the label.
        assert!(
            html.contains("id=\"cautions\"")
                && html.contains("The label of the product in hand is the law")
        );
    }
}

#[test]
fn what_a_folder_says_is_escaped() {
    let mut key = WEEDS.0.clone();
    let bad = "<script>alert(1)</script>&\"";
    key.scope = bad.to_owned();
    bad.clone_into(&mut key.ask);
    bad.clone_into(&mut key.plants[0].name);
    bad.clone_into(&mut key.plants[0].marks[0].text);
    bad.clone_into(&mut key.steps[0].question);
    bad.clone_into(&mut key.steps[0].answers[0].label);
    let html = page::html(&BOOK, &key, &DRAWINGS).unwrap();
    assert!(!html.contains("<script"));
    assert!(html.matches("&lt;script&gt;").count() >= 6);
}

#[test]
fn the_graph_in_dot_names_every_node_once() {
    let (key, graph) = &*WEEDS;
    let printed = dot::dot(&BOOK, graph, key);
    assert!(printed.starts_with("digraph key {") && printed.ends_with("}\n"));
    assert_eq!(
        printed.matches(" [label=").count(),
        graph.graph.node_count() + graph.graph.edge_count()
    );
}

#[test]
fn scopes_leave_plants_out_and_say_so() {
    let all = WEEDS.0.plants.len();
    let (key, _) = for_fescue();
    assert!(
        key.plants.len() < all
            && key.scope.contains("month 5")
            && key.scope.contains("midwest")
            && key.scope.contains("tall fescue")
    );
    let none = Scope {
        region: Some("the moon".to_owned()),
        ..Scope::default()
    };
    // Plants of which no region is known stay in.
    assert!(QuestionGraph::build(&BOOK, What::Weeds, &none).taxa.len() < all);
}

fn ligule(arguments: &[&str]) -> (String, String, i32) {
    let out = Command::new(env!("CARGO_BIN_EXE_ligule"))
        .args(arguments)
        .output()
        .unwrap();
    (
        String::from_utf8(out.stdout).unwrap(),
        String::from_utf8(out.stderr).unwrap(),
        out.status.code().unwrap(),
    )
}

#[test]
fn the_command_prints_all_forms_and_mends_slips() {
    let (out, err, code) = ligule(&["key", "--measure"]);
    assert_eq!((code, err.as_str()), (0, ""));
    assert!(out.contains("steps to an end"));
    assert!(
        ligule(&["key", "--format", "html", "--what", "turf"])
            .0
            .starts_with("<!DOCTYPE html>")
    );
    assert!(
        ligule(&["key", "--format", "dot", "--what", "turf"])
            .0
            .starts_with("digraph")
    );
    let (_, err, code) = ligule(&["key", "--turf", "tall fescu"]);
    assert_eq!(code, 2);
    assert!(err.contains("tall-fescue"), "{err}");
    let (_, err, code) = ligule(&["key", "--region", "midwst"]);
    assert!(
        code == 2 && err.contains("did you mean `midwest`?"),
        "{err}"
    );
}

#[derive(Deserialize)]
struct Ends {
    sources: BTreeMap<String, BTreeMap<String, String>>,
    ends: Vec<End>,
}

#[derive(Deserialize)]
struct End {
    source: String,
    turf: Option<String>,
    weed: Option<String>,
    observed: BTreeMap<String, Typed>,
}

/// Ways through published keys to grasses (`tests/data/outside/grass-keys.yaml` names them), walked in ours.
#[test]
fn published_keys_lead_to_the_same_grasses() {
    let path = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/tests/data/outside/grass-keys.yaml"
    );
    let all: Ends = serde_yaml::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
    assert!(all.ends.len() >= 10);
    let (mut first, mut astray) = (0, Vec::new());
    for end in &all.ends {
        assert!(all.sources.contains_key(&end.source));
        let (what, id) = match (&end.turf, &end.weed) {
            (Some(id), None) => (What::Turf, id),
            (None, Some(id)) => (What::Weeds, id),
            _ => panic!("one plant each"),
        };
        let mut key = Key::new(&BOOK, what, Circumstances::default(), None);
        for (name, words) in &end.observed {
            let words: Vec<&str> = words.0.iter().map(String::as_str).collect();
            key.answer(name, &words).unwrap();
        }
        let state = key.state();
        let place = state
            .candidates
            .iter()
            .position(|c| &c.weed == id)
            .unwrap_or(99);
        println!("{id}: place {}", place + 1);
        first += usize::from(place == 0);
        assert!(
            place < 3,
            "{id} comes at place {}: {:?}",
            place + 1,
            &state.candidates[..3]
        );
        if !walked(&key, what).contains(id) {
            astray.push(id);
        }
    }
    assert!(
        first * 4 >= all.ends.len() * 3,
        "{first} of {} come first",
        all.ends.len()
    );
    // A word that the source uses otherwise than the book leads astray on paper for good; one in six may.
    assert!(
        astray.len() * 6 <= all.ends.len(),
        "on paper {astray:?} are lost"
    );
}

/// What is left on paper when the known answers are followed, and all ways where nothing is known.
fn walked(key: &Key<'_>, what: What) -> BTreeSet<String> {
    let graph = QuestionGraph::build(&BOOK, what, &Scope::default());
    let mut left = BTreeSet::new();
    let mut waiting = vec![graph.root];
    let mut seen = BTreeSet::new();
    while let Some(node) = waiting.pop() {
        if !seen.insert(node) {
            continue;
        }
        let Some(of) = graph.graph[node].asks else {
            left.extend(
                graph.graph[node]
                    .taxa
                    .iter()
                    .map(|&t| graph.taxa[t].clone()),
            );
            continue;
        };
        let id = &BOOK.traits[of].id;
        let given = key.book.trait_named(id).ok().and_then(|of| {
            let answer = key.answers.get(of)?;
            (!matches!(answer, Answer::Unsure))
                .then(|| key.book.classes_of(of, answer))
                .flatten()
        });
        let ways = graph.answers(node);
        waiting.extend(
            ways.into_iter()
                .filter(|(class, _)| given.as_ref().is_none_or(|g| g.contains(class)))
                .map(|(_, next)| next),
        );
    }
    left
}
