//! Published worked examples, run through the program, against the figures that their sources print.
#![allow(
    clippy::unwrap_used,
    reason = "a test that cannot go on should stop where it is"
)]

use serde::Deserialize;
use serde_json::Value;
use std::collections::BTreeMap;
use std::process::Command;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Book {
    sources: BTreeMap<String, String>,
    examples: Vec<Example>,
    pints_per_acre: BTreeMap<String, Vec<String>>,
    millilitres_per_1000_sq_ft: BTreeMap<String, String>,
    grams_per_1000_sq_ft: BTreeMap<String, String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Example {
    source: String,
    run: Vec<String>,
    figure: Option<String>,
    prints: String,
    unit: String,
    /// Half a unit of the last printed digit when absent.
    units: Option<f64>,
    note: Option<String>,
}

fn book() -> Book {
    serde_yaml::from_str(include_str!("data/measure/worked-examples.yaml")).unwrap()
}

/// Runs `ligule measure … --format json` and gives its one object.
fn run(arguments: &[String]) -> Value {
    let output = Command::new(env!("CARGO_BIN_EXE_ligule"))
        .arg("measure")
        .args(arguments)
        .args(["--format", "json"])
        .output()
        .unwrap();
    let talk = String::from_utf8_lossy(&output.stderr);
    assert!(
        matches!(output.status.code(), Some(0 | 1)),
        "{arguments:?}: {talk}"
    );
    let answer: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert!(
        answer["schema"].as_str().unwrap().starts_with("ligule/"),
        "{answer}"
    );
    assert!(!answer["steps"].as_array().unwrap().is_empty(), "{answer}");
    answer
}

/// The value and unit of one figure.
fn figure(answer: &Value, name: Option<&str>) -> (f64, String) {
    let row = match name {
        None => answer,
        Some(name) => answer["results"]
            .as_array()
            .unwrap()
            .iter()
            .find(|row| row["name"] == name)
            .unwrap(),
    };
    (
        row["value"].as_str().unwrap().parse().unwrap(),
        row["unit"].as_str().unwrap().to_owned(),
    )
}

/// One unit of the last digit of a printed figure.
fn last_digit(printed: &str) -> f64 {
    let places = printed
        .split_once('.')
        .map_or(0, |(_, fraction)| fraction.len());
    10_f64.powi(-i32::try_from(places).unwrap())
}

/// Is a figure what the source prints? A millionth of the last digit is given for the binary fractions
/// of this comparison.
fn agrees(found: f64, printed: &str, units: f64) -> bool {
    (found - printed.parse::<f64>().unwrap()).abs() <= last_digit(printed) * (units + 1e-6)
}

fn words(line: &[&str]) -> Vec<String> {
    line.iter().map(|word| (*word).to_owned()).collect()
}

#[test]
fn published_examples_come_out_as_printed() {
    let book = book();
    assert!(
        book.examples.len() >= 30,
        "{} examples",
        book.examples.len()
    );
    let mut wrong = Vec::new();
    for example in &book.examples {
        let answer = run(&example.run);
        let (found, unit) = figure(&answer, example.figure.as_deref());
        if unit != example.unit || !agrees(found, &example.prints, example.units.unwrap_or(0.5)) {
            wrong.push(format!(
                "{:?}: {found} {unit}, printed {} {}",
                example.run, example.prints, example.unit
            ));
        }
    }
    assert!(
        wrong.is_empty(),
        "{} of {}:\n{}",
        wrong.len(),
        book.examples.len(),
        wrong.join("\n")
    );
}

#[test]
fn every_example_has_a_source_and_every_wide_one_a_reason() {
    let book = book();
    for example in &book.examples {
        assert!(
            book.sources.contains_key(&example.source),
            "{:?}: {}",
            example.run,
            example.source
        );
        assert!(
            example.units.is_none() || example.note.is_some(),
            "{:?}",
            example.run
        );
    }
    for source in book.sources.keys().filter(|key| *key != "pnw") {
        assert!(
            book.examples
                .iter()
                .any(|example| example.source == *source),
            "{source} is not used"
        );
    }
}

#[test]
fn handbook_table_of_pints_per_acre() {
    for (strength, row) in book().pints_per_acre {
        for (rate, printed) in ["0.25", "0.5", "0.75", "1", "1.5", "2"].iter().zip(&row) {
            let units = match (strength.as_str(), *rate) {
                // Printed to a quarter pint: 0.758 as 0.75 and 2.273 as 2.25.
                ("2.64", "0.25" | "0.75") => 2.5,
                // Printed as 0.87 for 0.857.
                ("7.00", "0.75") => 1.5,
                _ => 0.5,
            };
            let (rate, strength) = (format!("{rate} lb a.i./A"), format!("{strength} lb/gal"));
            let (found, _) = figure(
                &run(&words(&[
                    "active",
                    &rate,
                    "--strength",
                    &strength,
                    "--in",
                    "pt/A",
                ])),
                None,
            );
            assert!(
                agrees(found, printed, units),
                "{rate} of {strength}: {found}, printed {printed}"
            );
        }
    }
}

#[test]
fn handbook_tables_per_thousand_square_feet() {
    let book = book();
    for (strength, printed) in &book.millilitres_per_1000_sq_ft {
        let strength = format!("{strength} lb/gal");
        let line = words(&[
            "active",
            "1 lb a.i./A",
            "--strength",
            &strength,
            "--in",
            "mL/1000 sq ft",
        ]);
        let (found, _) = figure(&run(&line), None);
        assert!(
            agrees(found, printed, 0.5),
            "{strength}: {found}, printed {printed}"
        );
    }
    for (percent, printed) in &book.grams_per_1000_sq_ft {
        let strength = format!("{percent} % w/w");
        let line = words(&[
            "active",
            "1 lb a.i./A",
            "--strength",
            &strength,
            "--in",
            "g/1000 sq ft",
        ]);
        let (found, _) = figure(&run(&line), None);
        assert!(
            agrees(found, printed, 0.5),
            "{strength}: {found}, printed {printed}"
        );
    }
}
