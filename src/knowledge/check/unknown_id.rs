//! Ids that lead nowhere.
use super::prelude::*;
use crate::knowledge::Knowledge;
use crate::knowledge::form::common::Many;
use crate::knowledge::form::plant::Trait;
use std::collections::{BTreeMap, BTreeSet};

pub const CHECK: Check = Check {
    code: "unknown-id",
    severity: Error,
    title: "A name leads to nothing",
    explanation: "Files speak of each other by id: a weed by the name of its file, a source by its key, a trait or a state \
        by its `id`. An id that nothing carries is a slip of the pen, or the entry was renamed or taken away. The value \
        would silently be lost, so the book is not used until the id leads somewhere.",
    bad: &[Piece {
        file: "weeds/winter-star.yaml",
        yaml: "source: guide-aa",
    }],
    good: &[Piece {
        file: "weeds/winter-star.yaml",
        yaml: "source: guide-a",
    }],
    run,
    needs_all: true,
};

/// What a key's words are ids of.
struct Kind<'a> {
    keys: &'static [&'static str],
    word: &'static str,
    ids: BTreeSet<&'a str>,
}

fn run(book: &Book<'_>, found: &mut Findings) {
    by_key(book, found);
    for plant in plants(book.known) {
        shown(book.known, &plant, found);
    }
    traits(book.known, found);
    sentences(book.known, found);
    regions(book.known, found);
}

fn kinds(known: &Knowledge) -> [Kind<'_>; 9] {
    fn ids<T>(map: &BTreeMap<String, T>) -> BTreeSet<&str> {
        map.keys().map(String::as_str).collect()
    }
    let kind = |keys, word, ids| Kind { keys, word, ids };
    [
        kind(
            &["source", "authority_source"],
            "source",
            ids(&known.sources),
        ),
        kind(
            &["weed", "weeds", "same_species_as"],
            "weed",
            ids(&known.weeds),
        ),
        kind(&["turf", "avoid_on"], "grass", ids(&known.turf)),
        kind(&["actives"], "active", ids(&known.actives)),
        kind(&["within"], "place", ids(&known.places)),
        kind(
            &["stage"],
            "stage of the grass",
            known.stages.iter().map(|s| s.id.as_str()).collect(),
        ),
        kind(
            &["situations"],
            "situation",
            known.situations.iter().map(|s| s.id.as_str()).collect(),
        ),
        kind(
            &["fields"],
            "field of the record",
            known.record_fields.iter().map(|f| f.id.as_str()).collect(),
        ),
        kind(
            &["kind_trait"],
            "trait",
            known.traits.iter().map(|t| t.id.as_str()).collect(),
        ),
    ]
}

/// The naming convention of the form: wherever a key is called `source`, `weed` and so on, its words are ids of that kind.
fn by_key(book: &Book<'_>, found: &mut Findings) {
    let kinds = kinds(book.known);
    for leaf in book.leaves {
        let Some(kind) = kinds.iter().find(|k| k.keys.contains(&&*leaf.key)) else {
            continue;
        };
        let Some(id) = leaf.value.as_str() else {
            continue;
        };
        // `all` stands for every active in the limits of a place.
        let every = id == "all" && &*leaf.key == "actives" && leaf.file.starts_with("places/");
        if !every && !kind.ids.contains(id) {
            dangling(kind.word, id, kind.ids.iter().copied(), leaf.at(), found);
        }
    }
}

fn dangling<'a>(
    word: &str,
    id: &str,
    ids: impl Iterator<Item = &'a str>,
    at: At,
    found: &mut Findings,
) {
    let otherwise = format!("write the id of a {word} that exists, or add the {word}");
    let help = found.meant(id, ids, &otherwise);
    found
        .add(at, format!("no {word} has the id {id}"))
        .help(help);
}

/// What a plant shows must be states of known traits.
fn shown(known: &Knowledge, plant: &super::plants::Plant<'_>, found: &mut Findings) {
    for (id, shows) in plant.traits {
        let at = || At::file(plant.file.as_str()).to("traits").to(id);
        let Some(one) = known.traits.iter().find(|t| &t.id == id) else {
            dangling(
                "trait",
                id,
                known.traits.iter().map(|t| t.id.as_str()),
                at(),
                found,
            );
            continue;
        };
        let mut state = |state: &str, at: At| {
            if !has_state(one, state) {
                dangling(&format!("state of {id}"), state, states(one), at, found);
            }
        };
        for name in shows.weights.keys() {
            state(name, at().to("weights").to(name));
        }
        for (key, names) in [("is", &shows.is), ("sometimes", &shows.sometimes)] {
            for (index, name) in names.iter().enumerate().filter(|(_, name)| *name != "na") {
                state(name, at().to(key).to(index));
            }
        }
    }
}

/// States and traits that traits themselves refer to.
fn traits(known: &Knowledge, found: &mut Findings) {
    for (number, one) in known.traits.iter().enumerate() {
        let at = || At::file("traits.yaml").to(number);
        for (place, state) in one.states.iter().enumerate() {
            for other in state
                .mistaken_for
                .iter()
                .filter(|other| !has_state(one, other))
            {
                let at = at().to("states").to(place).to("mistaken_for");
                dangling(
                    &format!("state of {}", one.id),
                    other,
                    states(one),
                    at,
                    found,
                );
            }
        }
        asked(known, &one.asked_of, &at().to("asked_of"), found);
    }
    let beware = known.book.iter().flat_map(|b| &b.beware).enumerate();
    for (number, one) in beware {
        let at = At::file("book.yaml").to("beware").to(number);
        asked(known, &one.answered, &at.to("answered"), found);
    }
}

/// Traits and their states.
fn asked(known: &Knowledge, named: &BTreeMap<String, Many>, at: &At, found: &mut Findings) {
    for (id, wanted) in named {
        let at = || at.clone().to(id);
        match known.traits.iter().find(|t| &t.id == id) {
            None => dangling(
                "trait",
                id,
                known.traits.iter().map(|t| t.id.as_str()),
                at(),
                found,
            ),
            Some(other) => {
                for state in wanted.iter().filter(|s| !has_state(other, s)) {
                    dangling(&format!("state of {id}"), state, states(other), at(), found);
                }
            }
        }
    }
}

fn has_state(one: &Trait, state: &str) -> bool {
    one.states.iter().any(|s| s.id == state)
}

fn states(one: &Trait) -> impl Iterator<Item = &str> {
    one.states.iter().map(|s| s.id.as_str())
}

/// Limits of the weather and points of the rotation name the sentences that they follow.
fn sentences(known: &Knowledge, found: &mut Findings) {
    if let Some(weather) = &known.weather {
        let rules: Vec<&str> = weather
            .rules
            .iter()
            .filter_map(|r| r.id.as_deref())
            .collect();
        for (index, limit) in weather.limits.iter().enumerate() {
            let at = At::file("weather.yaml").to("limits").to(index).to("rule");
            if let Some(rule) = limit.rule.as_deref().filter(|rule| !rules.contains(rule)) {
                dangling(
                    "sentence in `rules`",
                    rule,
                    rules.iter().copied(),
                    at,
                    found,
                );
            }
        }
    }
    if let Some(resistance) = &known.resistance {
        let guidance: Vec<&str> = resistance
            .guidance
            .iter()
            .filter_map(|r| r.id.as_deref())
            .collect();
        for (index, cost) in resistance.costs.iter().enumerate() {
            for id in cost
                .follows
                .iter()
                .filter(|id| !guidance.contains(&id.as_str()))
            {
                let at = At::file("resistance.yaml")
                    .to("costs")
                    .to(index)
                    .to("follows");
                dangling(
                    "sentence in `guidance`",
                    id,
                    guidance.iter().copied(),
                    at,
                    found,
                );
            }
        }
    }
}

/// Regions have no list of their own: one that a single plant names and that is nearly the name of another is a slip.
fn regions(known: &Knowledge, found: &mut Findings) {
    let mut count: BTreeMap<&str, usize> = BTreeMap::new();
    for region in known
        .weeds
        .values()
        .filter_map(|w| w.seen.regions.as_ref())
        .flat_map(|r| r.is.iter())
    {
        *count.entry(region).or_default() += 1;
    }
    for (id, weed) in &known.weeds {
        let Some(regions) = &weed.seen.regions else {
            continue;
        };
        for (index, region) in regions.is.iter().enumerate() {
            let others = count
                .iter()
                .filter(|(name, n)| **n > 1 && **name != region.as_str());
            if count.get(region.as_str()) == Some(&1)
                && crate::words::nearest(region, others.clone().map(|(name, _)| *name)).is_some()
            {
                let at = At::file(format!("weeds/{id}.yaml"))
                    .to("seen")
                    .to("regions")
                    .to("is")
                    .to(index);
                dangling("region", region, others.map(|(name, _)| *name), at, found);
            }
        }
    }
}
