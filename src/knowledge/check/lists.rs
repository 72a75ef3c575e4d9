//! Two entries with one name.
use super::{At, Finding};
use crate::knowledge::diagnostic::Severity;
use crate::knowledge::files::Files;
use crate::words::plain;
use std::collections::BTreeMap;

pub fn check(files: &Files) -> Vec<Finding> {
    let mut found = Vec::new();
    twice(
        "traits.yaml",
        files.traits.iter().map(|t| t.id.clone()),
        &mut found,
    );
    twice(
        "stages.yaml",
        files.stages.iter().map(|s| s.id.clone()),
        &mut found,
    );
    twice(
        "situations.yaml",
        files.situations.iter().map(|s| s.id.clone()),
        &mut found,
    );
    twice(
        "cautions.yaml",
        files.cautions.iter().map(|c| c.id.clone()),
        &mut found,
    );
    twice(
        "mixtures.yaml",
        files.mixtures.iter().map(|m| m.id.clone()),
        &mut found,
    );
    twice(
        "groups.yaml",
        files.groups.iter().map(|g| g.number.to_string()),
        &mut found,
    );
    names_of_actives(files, &mut found);
    found
}

fn twice(file: &str, ids: impl Iterator<Item = String>, found: &mut Vec<Finding>) {
    let mut first: BTreeMap<String, usize> = BTreeMap::new();
    let at = |index: usize| At {
        file: file.to_owned(),
        steps: vec![index.into()],
    };
    for (index, id) in ids.enumerate() {
        if let Some(earlier) = first.get(&id) {
            found.push(same(
                &format!("{id} is defined twice"),
                at(index),
                at(*earlier),
            ));
        } else {
            first.insert(id, index);
        }
    }
}

/// A spelling that people type must lead to one active only.
fn names_of_actives(files: &Files, found: &mut Vec<Finding>) {
    let mut owner: BTreeMap<String, &str> = files
        .actives
        .keys()
        .map(|id| (plain(id), id.as_str()))
        .collect();
    for (id, active) in &files.actives {
        let at = |owner: &str, key: &str| At {
            file: format!("actives/{owner}.yaml"),
            steps: vec![key.into()],
        };
        for name in std::iter::once(&active.name).chain(active.aliases.iter()) {
            match owner.get(&plain(name)) {
                Some(other) if *other != id => {
                    let message = format!("the name {name} already leads to {other}");
                    found.push(same(&message, at(id, "aliases"), at(other, "name")));
                }
                Some(_) => {}
                None => {
                    owner.insert(plain(name), id);
                }
            }
        }
    }
}

fn same(message: &str, at: At, earlier: At) -> Finding {
    Finding {
        code: "duplicate-id",
        severity: Severity::Error,
        message: message.to_owned(),
        at,
        help: Some("keep the name in one place only".to_owned()),
        related: Some(("the other one stands here".to_owned(), earlier)),
    }
}
