//! Two entries with one name.
use super::prelude::*;
use crate::knowledge::Knowledge;
use crate::words::plain;
use std::collections::BTreeMap;

pub const CHECK: Check = Check {
    code: "duplicate-id",
    severity: Error,
    title: "Two entries have one name",
    explanation: "An id names one thing. Where two entries of a list carry the same id, or a name of one active also leads \
        to another, nobody can say which of the two is meant. Keep one, or give the second an id of its own. (The reader \
        tells the same of a source that stands in two files.)",
    bad: &[Piece {
        file: "stages.yaml",
        yaml: "- {id: new-sod, name: new sod, help: Laid lately.}\n- {id: new-sod, name: sod, help: Laid this year.}",
    }],
    good: &[Piece {
        file: "stages.yaml",
        yaml: "- {id: new-sod, name: new sod, help: Laid lately.}\n- {id: old-sod, name: old sod, help: Laid last year.}",
    }],
    run,
    needs_all: false,
};

fn run(book: &Book<'_>, found: &mut Findings) {
    let known = book.known;
    twice(
        &At::file("traits.yaml"),
        "id",
        known.traits.iter().map(|t| t.id.clone()),
        found,
    );
    twice(
        &At::file("stages.yaml"),
        "id",
        known.stages.iter().map(|s| s.id.clone()),
        found,
    );
    twice(
        &At::file("situations.yaml"),
        "id",
        known.situations.iter().map(|s| s.id.clone()),
        found,
    );
    twice(
        &At::file("cautions.yaml"),
        "id",
        known.cautions.iter().map(|c| c.id.clone()),
        found,
    );
    twice(
        &At::file("mixtures.yaml"),
        "id",
        known.mixtures.iter().map(|m| m.id.clone()),
        found,
    );
    twice(
        &At::file("record-fields.yaml"),
        "id",
        known.record_fields.iter().map(|f| f.id.clone()),
        found,
    );
    twice(
        &At::file("groups.yaml"),
        "number",
        known.groups.iter().map(|g| g.number.to_string()),
        found,
    );
    for (number, one) in known.traits.iter().enumerate() {
        let at = At::file("traits.yaml").to(number).to("states");
        twice(&at, "id", one.states.iter().map(|s| s.id.clone()), found);
    }
    lists(known, found);
    names_of_actives(known, found);
}

fn lists(known: &Knowledge, found: &mut Findings) {
    if let Some(weather) = &known.weather {
        let top = At::file("weather.yaml");
        twice(
            &top.clone().to("limits"),
            "id",
            weather.limits.iter().map(|l| l.id.clone()),
            found,
        );
        twice(
            &top.to("rules"),
            "id",
            weather.rules.iter().filter_map(|r| r.id.clone()),
            found,
        );
    }
    if let Some(timing) = &known.timing {
        let at = At::file("timing.yaml").to("events");
        twice(&at, "id", timing.events.iter().map(|e| e.id.clone()), found);
    }
    if let Some(mixing) = &known.mixing {
        let at = At::file("mixing.yaml").to("formulations");
        twice(
            &at,
            "code",
            mixing.formulations.iter().map(|f| f.code.clone()),
            found,
        );
    }
    if let Some(resistance) = &known.resistance {
        let top = At::file("resistance.yaml");
        let kinds = resistance.costs.iter().map(|c| format!("{:?}", c.kind));
        twice(&top.clone().to("costs"), "kind", kinds, found);
        twice(
            &top.clone().to("other_causes"),
            "id",
            resistance.other_causes.iter().map(|c| c.id.clone()),
            found,
        );
        twice(
            &top.to("model_values"),
            "id",
            resistance.model_values.iter().map(|v| v.id.clone()),
            found,
        );
    }
}

/// Sentences without an id make the positions of later ones uncertain, so there the entry itself is pointed at.
fn twice(list: &At, key: &str, ids: impl Iterator<Item = String>, found: &mut Findings) {
    let mut first: BTreeMap<String, usize> = BTreeMap::new();
    for (index, id) in ids.enumerate() {
        let at = |index: usize| list.clone().to(index).to(key);
        if let Some(earlier) = first.get(&id) {
            found
                .add(at(index), format!("{id} is defined twice"))
                .help("keep one of the two, or give this one another id")
                .also("the other one stands here", at(*earlier));
        } else {
            first.insert(id, index);
        }
    }
}

/// A spelling that people type must lead to one active only.
fn names_of_actives(known: &Knowledge, found: &mut Findings) {
    let mut owner: BTreeMap<String, &str> = known
        .actives
        .keys()
        .map(|id| (plain(id), id.as_str()))
        .collect();
    for (id, active) in &known.actives {
        let at = |owner: &str, key: &str| At::file(format!("actives/{owner}.yaml")).to(key);
        for name in std::iter::once(&active.name).chain(active.aliases.iter()) {
            match owner.get(&plain(name)) {
                Some(other) if *other != id => {
                    found
                        .add(
                            at(id, "aliases"),
                            format!("the name {name} already leads to {other}"),
                        )
                        .help("keep the name in one place only")
                        .also("the other one stands here", at(other, "name"));
                }
                Some(_) => {}
                None => {
                    owner.insert(plain(name), id);
                }
            }
        }
    }
}
