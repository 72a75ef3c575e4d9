//! The key on another book: soybean diseases, an open data set (`tests/data/soybean-large.md` names source and licence).
//!
//! Nothing in the key knows about lawns, so a book of 19 diseases and 35 traits works as well. Half of the cases become
//! a book of state frequencies, the other half is asked about, question by question; a missing value is "not sure".
//! `tests/reference/soybean.py` puts the same halves to a reference library.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::cast_precision_loss,
    clippy::cast_lossless,
    reason = "tests"
)]
use ligule::identify::Key;
use ligule::key::Circumstances;
use ligule::key::book::What;
use ligule::knowledge::Knowledge;
use ligule::knowledge::folder::TextFile;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;

struct Data {
    traits: Vec<String>,
    /// Class, then a value or nothing for each trait.
    cases: Vec<(String, Vec<Option<String>>)>,
}

fn data() -> Data {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/soybean-large.csv");
    let mut reader = csv::Reader::from_path(path).expect("the data set");
    let traits = reader
        .headers()
        .expect("a head")
        .iter()
        .skip(1)
        .map(|h| h.replace('.', "-"))
        .collect();
    let cases = reader
        .records()
        .map(|row| {
            let row = row.expect("a row");
            let values = row
                .iter()
                .skip(1)
                .map(|v| (v != "NA").then(|| format!("s{v}")))
                .collect();
            (row[0].to_owned(), values)
        })
        .collect();
    Data { traits, cases }
}

/// A shuffle that repeats: multiply-with-carry numbers from a seed.
fn halves(count: usize, seed: u64) -> (Vec<usize>, Vec<usize>) {
    let mut state = seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1;
    let mut order: Vec<usize> = (0..count).collect();
    for last in (1..count).rev() {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        order.swap(
            last,
            usize::try_from((state >> 33) % (last as u64 + 1)).unwrap(),
        );
    }
    let second = order.split_off(count / 2);
    (order, second)
}

fn file(path: String, text: String) -> TextFile {
    TextFile {
        shown: path.clone(),
        path,
        text: Ok(text),
    }
}

/// The book of a half: for each class and trait how often each state was seen.
fn book(data: &Data, half: &[usize]) -> Knowledge {
    let mut files = vec![file(
        "sources.yaml".into(),
        "data: {evidence: published, title: Soybean (Large), read: whole}\n".into(),
    )];
    let mut traits = String::new();
    let states: Vec<BTreeSet<&String>> = (0..data.traits.len())
        .map(|t| {
            data.cases
                .iter()
                .filter_map(|(_, v)| v[t].as_ref())
                .collect()
        })
        .collect();
    for (name, states) in data.traits.iter().zip(&states) {
        let states: Vec<String> = states.iter().map(|s| format!("{{id: {s}}}")).collect();
        writeln!(traits, "- {{id: {name}, question: q, help: h, kind: one, effort: glance, error: 0, source: data, states: [{}]}}", states.join(", ")).unwrap();
    }
    files.push(file("traits.yaml".into(), traits));
    let mut by_class: BTreeMap<&String, Vec<&Vec<Option<String>>>> = BTreeMap::new();
    for &case in half {
        by_class
            .entry(&data.cases[case].0)
            .or_default()
            .push(&data.cases[case].1);
    }
    let count = |rows: &[&Vec<Option<String>>], t: usize, state: &String| {
        rows.iter().filter(|r| r[t].as_ref() == Some(state)).count() as f64
    };
    for (class, rows) in by_class {
        let mut text =
            format!("names: [{class}]\nscientific_name: {class}\nsource: data\ntraits:\n");
        for (t, name) in data.traits.iter().enumerate() {
            let weights: Vec<String> = states[t]
                .iter()
                .map(|s| (s, count(&rows, t, s)))
                .filter(|(_, n)| *n > 0.0)
                .map(|(s, n)| format!("{s}: {n}"))
                .collect();
            if !weights.is_empty() {
                writeln!(
                    text,
                    "  {name}: {{weights: {{{}}}, source: data}}",
                    weights.join(", ")
                )
                .unwrap();
            }
        }
        files.push(file(format!("weeds/{class}.yaml"), text));
    }
    Knowledge::from_texts(&files).unwrap_or_else(|e| panic!("{e}"))
}

/// Share of cases named rightly and mean number of answered questions, when each interview ends where the key says that
/// the name is settled or has nothing more to ask.
fn asked(data: &Data, book: &Knowledge, cases: &[usize]) -> (f64, f64) {
    let (mut right, mut questions) = (0, 0);
    let mut key = Key::new(book, What::Weeds, Circumstances::default(), None);
    for &case in cases {
        let (class, values) = &data.cases[case];
        key.answers = ligule::key::Answers::new();
        loop {
            let belief = key.belief();
            let named = key.settled(&belief).name;
            let Some(question) = key.next(&belief).filter(|_| !named) else {
                let first = belief.ranking()[0].0;
                right += usize::from(&key.book.taxa()[first].id == class);
                break;
            };
            let name = data.traits[question.of].clone();
            match &values[question.of] {
                Some(value) => {
                    key.answer(&name, &[value]).expect("a state of the book");
                    questions += 1;
                }
                None => key.unsure(&name).expect("a trait"),
            }
        }
    }
    (
        right as f64 / cases.len() as f64,
        questions as f64 / cases.len() as f64,
    )
}

/// The data with "missing" as an answer of its own: that a value is missing tells much about the disease here.
fn with_missing(mut data: Data) -> Data {
    for (_, values) in &mut data.cases {
        for value in values.iter_mut().filter(|v| v.is_none()) {
            *value = Some("missing".to_owned());
        }
    }
    data
}

fn mean_over(data: &Data, seeds: std::ops::Range<u64>) -> (f64, f64) {
    let count = (seeds.end - seeds.start) as f64;
    let (mut right, mut questions) = (0.0, 0.0);
    for seed in seeds {
        let (learn, test) = halves(data.cases.len(), seed);
        let (share, asked) = asked(data, &book(data, &learn), &test);
        right += share / count;
        questions += asked / count;
    }
    println!(
        "{:.2} % right with {questions:.2} answered questions",
        100.0 * right
    );
    (right, questions)
}

#[test]
fn another_book_is_asked_as_well() {
    let (right, questions) = mean_over(&data(), 0..1);
    assert!(
        right >= 0.90 && questions <= 9.0,
        "{right} with {questions}"
    );
}

/// Ten random halves: `cargo test --release --test soybean -- --ignored --nocapture`.
#[test]
#[ignore = "ten halves take a minute; prints the figures"]
fn ten_halves() {
    println!("a missing value is not sure:");
    let (right, questions) = mean_over(&data(), 0..10);
    assert!(
        right >= 0.925 && questions <= 9.0,
        "{right} with {questions}"
    );
    println!("a missing value is an answer of its own:");
    let (right, questions) = mean_over(&with_missing(data()), 0..10);
    assert!(
        right >= 0.94 && questions <= 9.0,
        "{right} with {questions}"
    );
}
