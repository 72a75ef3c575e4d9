//! The table of hard texts: what must be read, and what must be refused and why.
#![allow(
    clippy::unwrap_used,
    reason = "a test that cannot go on should stop where it is"
)]

use ligule::measure::{Fault, Span, area, limit, span, strength};
use serde::Deserialize;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    text: String,
    #[serde(default)]
    read: Read,
    gives: Option<String>,
    refused: Option<String>,
    says: Option<String>,
}

#[derive(Deserialize, Default, Clone, Copy, PartialEq)]
#[serde(rename_all = "kebab-case")]
enum Read {
    #[default]
    Quantity,
    Strength,
    Limit,
    Shape,
}

fn rows() -> Vec<Row> {
    serde_yaml::from_str(include_str!("data/measure/hard-texts.yaml")).unwrap()
}

fn read(row: &Row) -> Result<String, Fault> {
    Ok(match row.read {
        Read::Quantity => span(&row.text)?.to_string(),
        Read::Strength => strength(&row.text)?.content.to_string(),
        Read::Limit => limit(&row.text)?.to_string(),
        Read::Shape => area::area(&area::shape(&row.text)?)?.value.to_string(),
    })
}

fn kind_of(fault: &Fault) -> String {
    serde_json::to_value(fault.kind)
        .unwrap()
        .as_str()
        .unwrap()
        .to_owned()
}

#[test]
fn every_hard_text_gives_what_it_must() {
    let rows = rows();
    assert!(rows.len() >= 200, "{} rows", rows.len());
    let mut wrong = Vec::new();
    for row in &rows {
        let found = match read(row) {
            Ok(found) if row.gives.as_ref() == Some(&found) => continue,
            Ok(found) => format!("gives {found}"),
            Err(fault) if row.refused.as_ref() == Some(&kind_of(&fault)) => match &row.says {
                Some(says) if !fault.to_string().contains(says.as_str()) => {
                    format!("does not say {says:?}: {fault}")
                }
                _ => continue,
            },
            Err(fault) => format!("refused as {}: {fault}", kind_of(&fault)),
        };
        wrong.push(format!("{:?} {found}", row.text));
    }
    assert!(
        wrong.is_empty(),
        "{} of {} rows:\n{}",
        wrong.len(),
        rows.len(),
        wrong.join("\n")
    );
}

#[test]
fn each_row_says_one_thing() {
    for row in rows() {
        assert!(
            row.gives.is_some() != row.refused.is_some(),
            "{:?}",
            row.text
        );
    }
}

#[test]
fn what_is_read_is_read_again_from_its_print() {
    for row in rows().iter().filter(|row| row.read == Read::Quantity) {
        let Ok(first) = span(&row.text) else { continue };
        // A third has no finite decimal, so its print is rounded.
        if first.low.value.is_short_decimal() {
            assert_eq!(
                first.to_string().parse::<Span>().unwrap(),
                first,
                "{:?}",
                row.text
            );
        }
    }
}

#[test]
fn every_refusal_points_into_its_text_and_offers_a_way_out() {
    for row in rows() {
        let Err(fault) = read(&row) else { continue };
        assert!(
            fault.expected.is_some() || fault.hint.is_some(),
            "{:?}: {fault}",
            row.text
        );
        if let (Some(text), Some(at)) = (&fault.text, &fault.at) {
            assert!(
                text.get(at.clone()).is_some(),
                "{:?}: {at:?} is outside {text:?}",
                row.text
            );
        }
    }
}
