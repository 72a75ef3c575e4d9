//! Entries of the book against published descriptions that the book does not rest on: weeds, grasses and actives, each with
//! its source beside it in `tests/data/outside/descriptions.yaml`.
//!
//! A state that a description reports must be one that the book gives the plant, usual or now and then; a measured range must
//! lie inside the book's. Where the two disagree, either the book was mended with a read source, or it is listed here.
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "tests")]
use ligule::knowledge::Knowledge;
use ligule::knowledge::form::active::{Active, Timing};
use ligule::knowledge::form::plant::{Seen, Shows};
use serde::Deserialize;
use std::collections::{BTreeMap, BTreeSet};

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Description {
    kind: String,
    id: String,
    source: Source,
    #[serde(default)]
    says: BTreeMap<String, Said>,
    group: Option<u16>,
    timing: Option<String>,
    family: Option<String>,
    #[serde(default)]
    spectrum: Vec<String>,
    #[serde(default)]
    uptake: Vec<String>,
    rain_free_hours: Option<f64>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Source {
    by: String,
    title: String,
    address: String,
    read: String,
}

/// States, or a range written `5 to 20`.
#[derive(Debug, Deserialize)]
#[serde(untagged)]
enum Said {
    States(Vec<String>),
    Range(String),
}

/// What the descriptions say and the book does not, with the reason why it stays.
const DISAGREE: [(&str, &str, &str, &str); 11] = [
    // The key asks how leaves end in three states, and none is blunt; another read source calls the tip pointed.
    ("centipedegrass", "leaf_tip", "obtuse", "no such state"),
    ("perennial-ryegrass", "vernation", "rolled", SHOOTS),
    ("henbit", "leaf_surface", "hairless", RARE),
    ("common-chickweed", "leaf_shape", "round", RARE),
    ("ground-ivy", "flowering", "3", MONTHS),
    ("ground-ivy", "flowering", "7", MONTHS),
    ("henbit", "leaf_length_mm", "5 to 20", SMALL),
    ("henbit", "leaf_width_mm", "5 to 20", SMALL),
    ("white-clover", "leaf_length_mm", "5 to 25", SMALL),
    ("common-chickweed", "flower_width_mm", "3 to 3", SMALL),
    ("spotted-spurge", "leaf_length_mm", "4 to 15", OTHER),
];
const SHOOTS: &str = "said of full-grown side shoots; the key asks for a young one";
const RARE: &str = "the description has it as the rarer form; the book has the usual one";
const OTHER: &str = "the book rests on another read source";
const MONTHS: &str =
    "flowering of the south; the book's months are recalled for lawns further north";
const SMALL: &str = "the smallest plants; the key softens the edges of every range";

/// Traits that were mended with the very description they are compared with.
const MENDED: [(&str, &str); 6] = [
    ("centipedegrass", "leaf_width_mm"),
    ("centipedegrass", "leaf_length_mm"),
    ("centipedegrass", "life_cycle"),
    ("tall-fescue", "leaf_length_mm"),
    ("tall-fescue", "seedhead"),
    ("perennial-ryegrass", "sheath"),
];

fn descriptions() -> Vec<Description> {
    let path = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/tests/data/outside/descriptions.yaml"
    );
    serde_yaml::from_str(&std::fs::read_to_string(path).expect("test data"))
        .expect("good test data")
}

fn range(text: &str) -> (f64, f64) {
    let (from, to) = text.split_once(" to ").expect("a range");
    (from.parse().unwrap(), to.parse().unwrap())
}

/// What the book lacks of what a description says of a trait: states one by one, or the range.
fn lacking(shows: Option<&Shows>, said: &Said) -> Vec<String> {
    match said {
        Said::States(states) => {
            let has = |state: &&String| {
                shows.is_some_and(|s| {
                    s.is.contains(*state)
                        || s.sometimes.contains(*state)
                        || s.weights.contains_key(*state)
                })
            };
            states.iter().filter(|state| !has(state)).cloned().collect()
        }
        Said::Range(text) => {
            let (from, to) = range(text);
            let good = shows
                .and_then(|s| s.range)
                .is_some_and(|[low, high]| low.0 <= from && to <= high.0);
            if good { vec![] } else { vec![text.clone()] }
        }
    }
}

/// A description of months is held against the months of the book.
fn months_lacking(seen: &Seen, said: &Said) -> Vec<String> {
    let Said::Range(text) = said else {
        panic!("months are a range")
    };
    let (from, to) = range(text);
    let flowering = &seen.flowering.as_ref().expect("months of flowering").months;
    (1..=12_u8)
        .filter(|month| (from..=to).contains(&f64::from(*month)))
        .filter(|month| !flowering.iter().any(|m| m == month))
        .map(|month| month.to_string())
        .collect()
}

fn of_active(active: &Active, one: &Description) -> Vec<(String, String)> {
    let mut wrong = Vec::new();
    let mut hold = |what: &str, so: bool, said: String| {
        if !so {
            wrong.push((what.to_owned(), said));
        }
    };
    if let Some(group) = one.group {
        hold("group", active.group.is == group, group.to_string());
    }
    if let Some(timing) = &one.timing {
        let wanted: &[Timing] = match timing.as_str() {
            "pre" => &[Timing::Pre],
            "post" => &[Timing::Post],
            _ => &[Timing::Pre, Timing::Post],
        };
        hold("timing", active.timing.is == wanted, timing.clone());
    }
    if let Some(family) = &one.family {
        let ours = active.chemical_family.as_ref();
        let good = ours.is_some_and(|f| f.is.iter().any(|name| name.contains(family)));
        hold("family", good, family.clone());
    }
    for kind in &one.spectrum {
        hold("spectrum", active.spectrum.is.contains(kind), kind.clone());
    }
    for way in &one.uptake {
        let good = active.uptake.as_ref().is_some_and(|u| u.is.contains(way));
        hold("uptake", good, way.clone());
    }
    if let Some(hours) = one.rain_free_hours {
        let good = active
            .rain_free_hours
            .as_ref()
            .is_some_and(|f| f.range[0].0 <= hours && hours <= f.range[1].0);
        hold("rain_free_hours", good, hours.to_string());
    }
    wrong
}

#[test]
fn entries_are_as_published_descriptions_have_them() {
    let book = Knowledge::embedded().expect("sound");
    let mut wrong = BTreeSet::new();
    let mut compared = 0;
    for one in descriptions() {
        let lacks: Vec<(String, String)> = match one.kind.as_str() {
            "active" => {
                compared += 1;
                of_active(&book.actives[&one.id], &one)
            }
            kind => {
                let traits = match kind {
                    "weed" => &book.weeds[&one.id].traits,
                    _ => &book.turf[&one.id].traits,
                };
                let mut lacks = Vec::new();
                for (id, said) in &one.says {
                    compared += 1;
                    let missing = if id == "flowering" {
                        months_lacking(&book.weeds[&one.id].seen, said)
                    } else {
                        lacking(traits.get(id), said)
                    };
                    lacks.extend(missing.into_iter().map(|what| (id.clone(), what)));
                }
                lacks
            }
        };
        wrong.extend(
            lacks
                .into_iter()
                .map(|(what, said)| (one.id.clone(), what, said)),
        );
    }
    let known: BTreeSet<(String, String, String)> = DISAGREE
        .iter()
        .map(|(id, what, said, _)| ((*id).to_owned(), (*what).to_owned(), (*said).to_owned()))
        .collect();
    assert_eq!(wrong, known, "what disagrees, and what is known to");
    assert!(compared >= 90, "{compared} statements compared");
}

#[test]
fn five_of_each_kind_from_sources_that_the_book_does_not_rest_on() {
    let book = Knowledge::embedded().expect("sound");
    let all = descriptions();
    for kind in ["weed", "turf", "active"] {
        let count = all.iter().filter(|one| one.kind == kind).count();
        assert!(count >= 5, "{count} of {kind}");
    }
    let sources = |one: &Description| -> BTreeSet<String> {
        let compared = |traits: &BTreeMap<String, Shows>| {
            let mut traits = traits.clone();
            traits.retain(|id, _| {
                one.says.contains_key(id) && !MENDED.contains(&(one.id.as_str(), id.as_str()))
            });
            serde_json::to_value(traits)
        };
        let entry = match one.kind.as_str() {
            "weed" => compared(&book.weeds[&one.id].traits),
            "turf" => compared(&book.turf[&one.id].traits),
            _ => {
                let active = &book.actives[&one.id];
                serde_json::to_value((
                    &active.group,
                    &active.timing,
                    &active.chemical_family,
                    &active.spectrum,
                    &active.uptake,
                ))
            }
        };
        let mut ids = BTreeSet::new();
        gather(&entry.unwrap(), &mut ids);
        ids
    };
    for one in &all {
        assert!(
            [&one.source.by, &one.source.title, &one.source.read]
                .iter()
                .all(|text| !text.is_empty()),
            "{one:?}"
        );
        for id in sources(one) {
            let address = book.sources[&id].address.as_deref().unwrap_or_default();
            // An address of the book may be a whole site; then the same site must not be the outside description.
            assert!(
                address.is_empty() || !one.source.address.contains(address),
                "{} rests on {id}, which is {}",
                one.id,
                one.source.address
            );
        }
    }
}

/// Every source named in an entry.
fn gather(value: &serde_json::Value, ids: &mut BTreeSet<String>) {
    match value {
        serde_json::Value::Object(map) => {
            for (key, inner) in map {
                match (key.as_str(), inner) {
                    ("source", serde_json::Value::String(id)) => {
                        ids.insert(id.clone());
                    }
                    ("source", serde_json::Value::Array(list)) => {
                        ids.extend(list.iter().filter_map(|id| Some(id.as_str()?.to_owned())));
                    }
                    _ => gather(inner, ids),
                }
            }
        }
        serde_json::Value::Array(list) => list.iter().for_each(|inner| gather(inner, ids)),
        _ => {}
    }
}
