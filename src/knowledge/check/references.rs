//! Ids that lead nowhere.
use super::tree::Leaf;
use super::{At, Finding};
use crate::knowledge::diagnostic::Severity;
use crate::knowledge::files::Files;
use crate::knowledge::form::plant::{Shows, Trait};
use crate::words::nearest;
use std::collections::{BTreeMap, BTreeSet};

/// What a key's words are ids of.
struct Kind<'a> {
    keys: &'static [&'static str],
    word: &'static str,
    ids: BTreeSet<&'a str>,
}

pub fn check(files: &Files, leaves: &[Leaf]) -> Vec<Finding> {
    let mut found = by_key(files, leaves);
    for (id, weed) in &files.weeds {
        shown(files, &format!("weeds/{id}.yaml"), &weed.traits, &mut found);
    }
    for (id, turf) in &files.turf {
        shown(files, &format!("turf/{id}.yaml"), &turf.traits, &mut found);
    }
    traits(files, &mut found);
    groups(files, leaves, &mut found);
    found
}

fn by_key(files: &Files, leaves: &[Leaf]) -> Vec<Finding> {
    fn ids<T>(map: &BTreeMap<String, T>) -> BTreeSet<&str> {
        map.keys().map(String::as_str).collect()
    }
    let kinds = [
        Kind {
            keys: &["source", "authority_source"],
            word: "source",
            ids: ids(&files.sources),
        },
        Kind {
            keys: &["weed", "weeds", "same_species_as"],
            word: "weed",
            ids: ids(&files.weeds),
        },
        Kind {
            keys: &["turf", "avoid_on"],
            word: "grass",
            ids: ids(&files.turf),
        },
        Kind {
            keys: &["actives"],
            word: "active",
            ids: ids(&files.actives),
        },
        Kind {
            keys: &["within"],
            word: "place",
            ids: ids(&files.places),
        },
        Kind {
            keys: &["stage"],
            word: "stage of the grass",
            ids: files.stages.iter().map(|s| s.id.as_str()).collect(),
        },
        Kind {
            keys: &["situations"],
            word: "situation",
            ids: files.situations.iter().map(|s| s.id.as_str()).collect(),
        },
        Kind {
            keys: &["fields"],
            word: "field of the record",
            ids: files.record_fields.iter().map(|f| f.id.as_str()).collect(),
        },
        Kind {
            keys: &["kind_trait"],
            word: "trait",
            ids: files.traits.iter().map(|t| t.id.as_str()).collect(),
        },
    ];
    let mut found = Vec::new();
    for leaf in leaves {
        let Some(kind) = kinds.iter().find(|k| k.keys.contains(&leaf.key.as_str())) else {
            continue;
        };
        let Some(id) = leaf.value.as_str() else {
            continue;
        };
        // `all` stands for every active in the limits of a place.
        let every = id == "all" && leaf.key == "actives" && leaf.at.file.starts_with("places/");
        if !every && !kind.ids.contains(id) {
            found.push(dangling(
                kind.word,
                id,
                kind.ids.iter().copied(),
                leaf.at.clone(),
            ));
        }
    }
    found
}

fn dangling<'a>(word: &str, id: &str, ids: impl Iterator<Item = &'a str>, at: At) -> Finding {
    Finding {
        code: "unknown-id",
        severity: Severity::Error,
        message: format!("no {word} has the id {id}"),
        at,
        help: Some(match nearest(id, ids) {
            Some(near) => format!("did you mean {near}?"),
            None => format!("write the id of a {word} that exists, or add the {word}"),
        }),
        related: None,
    }
}

/// What a plant shows must be states of known traits.
fn shown(files: &Files, file: &str, traits: &BTreeMap<String, Shows>, found: &mut Vec<Finding>) {
    for (id, shows) in traits {
        let at = |steps: &[&str]| At {
            file: file.to_owned(),
            steps: ["traits", id.as_str()]
                .iter()
                .chain(steps)
                .map(|s| (*s).into())
                .collect(),
        };
        let Some(known) = files.traits.iter().find(|t| &t.id == id) else {
            let ids = files.traits.iter().map(|t| t.id.as_str());
            found.push(dangling("trait", id, ids, at(&[])));
            continue;
        };
        for state in shows.weights.keys() {
            if !known.states.iter().any(|s| &s.id == state) {
                let ids = known.states.iter().map(|s| s.id.as_str());
                found.push(dangling(
                    &format!("state of {id}"),
                    state,
                    ids,
                    at(&["weights", state]),
                ));
            }
        }
        for (key, states) in [("is", &shows.is), ("sometimes", &shows.sometimes)] {
            for (index, state) in states.iter().enumerate() {
                if state == "na" || known.states.iter().any(|s| &s.id == state) {
                    continue;
                }
                let mut place = at(&[key]);
                place.steps.push(index.into());
                let ids = known.states.iter().map(|s| s.id.as_str());
                found.push(dangling(&format!("state of {id}"), state, ids, place));
            }
        }
    }
}

/// States and traits that traits themselves refer to.
fn traits(files: &Files, found: &mut Vec<Finding>) {
    for (number, one) in files.traits.iter().enumerate() {
        let at = |steps: Vec<crate::knowledge::locate::Step>| At {
            file: "traits.yaml".to_owned(),
            steps: std::iter::once(number.into()).chain(steps).collect(),
        };
        for (place, state) in one.states.iter().enumerate() {
            for other in state.mistaken_for.iter() {
                if !has_state(one, other) {
                    let ids = one.states.iter().map(|s| s.id.as_str());
                    let place = at(vec!["states".into(), place.into(), "mistaken_for".into()]);
                    found.push(dangling(&format!("state of {}", one.id), other, ids, place));
                }
            }
        }
        for (id, states) in &one.asked_of {
            let place = at(vec!["asked_of".into(), id.into()]);
            match files.traits.iter().find(|t| &t.id == id) {
                None => {
                    let ids = files.traits.iter().map(|t| t.id.as_str());
                    found.push(dangling("trait", id, ids, place));
                }
                Some(other) => {
                    for state in states.iter().filter(|s| !has_state(other, s)) {
                        let ids = other.states.iter().map(|s| s.id.as_str());
                        found.push(dangling(
                            &format!("state of {id}"),
                            state,
                            ids,
                            place.clone(),
                        ));
                    }
                }
            }
        }
    }
}

fn has_state(one: &Trait, state: &str) -> bool {
    one.states.iter().any(|s| s.id == state)
}

/// Group numbers must be in the list of groups.
fn groups(files: &Files, leaves: &[Leaf], found: &mut Vec<Finding>) {
    let known: BTreeSet<u64> = files.groups.iter().map(|g| u64::from(g.number)).collect();
    for leaf in leaves {
        let refers = leaf.key == "groups"
            || (leaf.key == "is" && leaf.parent == "group" && leaf.at.file.starts_with("actives/"));
        if let (true, Some(number)) = (refers, leaf.value.as_u64())
            && !known.contains(&number)
        {
            found.push(Finding {
                code: "unknown-id",
                severity: Severity::Error,
                message: format!("no site-of-action group has the number {number}"),
                at: leaf.at.clone(),
                help: Some("use the current number; former numbers and letters belong in the group's entry".to_owned()),
                related: None,
            });
        }
    }
}
