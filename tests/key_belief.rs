//! The key against a second program in another language, after its formulas (`tests/reference/key-belief.py`), on random
//! books with everything that a book may hold.
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "tests")]
use ligule::identify::Key;
use ligule::key::Circumstances;
use ligule::key::book::What;
use ligule::knowledge::Knowledge;
use ligule::knowledge::folder::TextFile;
use serde::Deserialize;
use serde_json::Value;
use std::collections::BTreeMap;

#[derive(Deserialize)]
struct Cases {
    books: Vec<Case>,
}

#[derive(Deserialize)]
struct Case {
    book: Value,
    traits: Value,
    weeds: BTreeMap<String, Value>,
    runs: Vec<Run>,
}

#[derive(Deserialize)]
struct Run {
    /// By trait: states, a number, or nothing for "not sure".
    answers: BTreeMap<String, Value>,
    month: Option<u8>,
    region: Option<String>,
    /// Chances by taxon, in the order of ids.
    taxa: Vec<f64>,
    none: f64,
    named: Option<String>,
    /// The next trait, if one is to be asked.
    next: Option<String>,
    /// What that question is worth.
    worth: f64,
    /// Whether a threshold is met to the last digit, so that the next question is a matter of rounding.
    tie: bool,
}

fn file(path: &str, text: &Value) -> TextFile {
    TextFile {
        path: path.to_owned(),
        shown: path.to_owned(),
        text: Ok(format!("{text}\n")),
    }
}

fn knowledge(case: &Case) -> Knowledge {
    let memory = serde_json::json!({"memory": {"evidence": "memory", "title": "invented"}});
    let mut files = vec![
        file("book.yaml", &case.book),
        file("sources.yaml", &memory),
        file("traits.yaml", &case.traits),
    ];
    for (id, weed) in &case.weeds {
        files.push(file(&format!("weeds/{id}.yaml"), weed));
    }
    Knowledge::from_texts(&files).unwrap_or_else(|e| panic!("{e}"))
}

fn answered<'a>(book: &'a Knowledge, run: &Run) -> Key<'a> {
    let at = Circumstances {
        month: run.month,
        region: run.region.clone(),
    };
    let mut key = Key::new(book, What::Weeds, at, None);
    for (name, answer) in &run.answers {
        let words: Vec<String> = match answer {
            Value::Array(states) => states
                .iter()
                .map(|s| s.as_str().unwrap().to_owned())
                .collect(),
            Value::Number(number) => vec![number.to_string()],
            _ => Vec::new(),
        };
        if words.is_empty() {
            key.unsure(name).unwrap();
        } else {
            let words: Vec<&str> = words.iter().map(String::as_str).collect();
            key.answer(name, &words).unwrap_or_else(|e| panic!("{e}"));
        }
    }
    key
}

#[test]
fn belief_name_and_next_question_agree_with_a_second_program() {
    let cases: Cases = serde_json::from_str(include_str!("reference/key-belief.json")).unwrap();
    let (mut runs, mut named, mut asked, mut ended) = (0, 0, 0, 0);
    for (number, case) in cases.books.iter().enumerate() {
        let book = knowledge(case);
        for run in &case.runs {
            let told = || format!("book {number}, answers {:?}", run.answers);
            let mut key = answered(&book, run);
            let belief = key.belief();
            for (ours, theirs) in belief.taxa.iter().zip(&run.taxa) {
                assert!(
                    (ours - theirs).abs() < 1e-9,
                    "{}: {ours} and {theirs}",
                    told()
                );
            }
            assert_eq!(belief.taxa.len(), run.taxa.len());
            let (ours, theirs) = (belief.none(), run.none);
            assert!(
                (ours - theirs).abs() < 1e-9,
                "{}: none {ours} and {theirs}",
                told()
            );
            let leader = &key.book.taxa()[belief.ranking()[0].0].id;
            let leader = Some(leader.clone()).filter(|_| key.settled(&belief).name);
            assert_eq!(leader, run.named, "{}", told());
            runs += 1;
            named += usize::from(leader.is_some());
            if run.tie {
                continue;
            }
            let ours = key.next(&belief);
            let name = ours.map(|q| key.book.traits()[q.of].id.clone());
            if let Some(ours) = ours {
                assert!(
                    (ours.worth - run.worth).abs() < 1e-9,
                    "{}: {ours:?}",
                    told()
                );
            }
            assert_eq!(name, run.next, "{}", told());
            asked += usize::from(name.is_some());
            ended += usize::from(name.is_none());
        }
    }
    println!("{runs} runs: {named} named, {asked} with a question, {ended} without");
    assert!(runs >= 200 && named >= 15 && asked >= 100 && ended >= 20);
}
