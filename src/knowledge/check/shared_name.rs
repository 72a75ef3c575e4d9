//! Two plants under one name.
use super::prelude::*;
use crate::words::plain;
use std::collections::BTreeMap;

pub const CHECK: Check = Check {
    code: "shared-name",
    severity: Warning,
    title: "Two plants are called the same",
    explanation: "A name that people type leads to one plant, so where two carry it one of them can never be reached by it, and \
        somebody may treat the wrong weed. Common names really are shared now and then: make the rarer use clear \
        (`creeping jenny (bindweed)`), or drop it there. Two entries with one scientific name are one plant twice.",
    bad: &[Piece {
        file: "weeds/false-penny.yaml",
        yaml: "names: [false penny, creeping penny]",
    }],
    good: &[Piece {
        file: "weeds/false-penny.yaml",
        yaml: "names: [false penny, mock penny]",
    }],
    run,
    needs_all: false,
};

fn run(book: &Book<'_>, found: &mut Findings) {
    let mut first: BTreeMap<String, (String, At)> = BTreeMap::new();
    let mut ids: BTreeMap<String, Vec<&String>> = BTreeMap::new();
    for id in book.known.weeds.keys() {
        ids.entry(plain(id)).or_default().push(id);
    }
    for (id, weed) in &book.known.weeds {
        let at = || At::file(format!("weeds/{id}.yaml"));
        let names = weed
            .names
            .iter()
            .enumerate()
            .map(|(i, name)| (name, at().to("names").to(i)));
        let scientific = std::iter::once((&weed.scientific_name, at().to("scientific_name")));
        let older = weed
            .synonyms
            .iter()
            .enumerate()
            .map(|(i, name)| (name, at().to("synonyms").to(i)));
        for (name, at) in names.chain(scientific).chain(older) {
            let key = plain(name);
            // An id is a name too: it wins over the names of others, so those could never be reached.
            let owners = ids.get(&key).into_iter().flatten();
            let owner = owners.copied().find(|other| *other != id);
            match first.get(&key) {
                Some((other, there)) if other != id => {
                    found
                        .add(at, format!("{name} is a name of {id} and of {other}"))
                        .about(format!("{name}: {other} and {id}"))
                        .help("make one of the two names clearer, or drop it")
                        .also(format!("the same name of {other}"), there.clone());
                }
                Some(_) => {}
                None => {
                    if let Some(other) = owner {
                        found
                            .add(
                                at.clone(),
                                format!("{name} is a name of {id} and the id of {other}"),
                            )
                            .about(format!("{name}: {other} and {id}"))
                            .help("make the name clearer, or drop it")
                            .also("the other plant", At::file(format!("weeds/{other}.yaml")));
                    }
                    first.insert(key, (id.clone(), at));
                }
            }
        }
    }
}
