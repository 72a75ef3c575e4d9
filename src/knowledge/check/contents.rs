//! What the book holds, as a list of names: so that nothing can get lost unseen.
use super::prelude::*;
use crate::knowledge::files::Files;
use crate::knowledge::form::common::Remark;
use crate::knowledge::form::keeping::Contents;
use std::fmt::Write as _;

/// The contents of a book: kind of entry to its ids, each sorted. `beside` are the other files of the folder.
#[must_use]
pub fn of(known: &Files, beside: Option<&[String]>) -> Contents {
    let mut all = Contents::new();
    let mut put = |kind: &str, ids: Vec<String>| {
        let mut ids = ids;
        ids.sort();
        ids.dedup();
        if !ids.is_empty() || kind == "beside" {
            all.insert(kind.to_owned(), ids);
        }
    };
    put("weeds", known.weeds.keys().cloned().collect());
    put("turf", known.turf.keys().cloned().collect());
    put("actives", known.actives.keys().cloned().collect());
    put("places", known.places.keys().cloned().collect());
    put("sources", known.sources.keys().cloned().collect());
    put(
        "mixtures",
        known.mixtures.iter().map(|m| m.id.clone()).collect(),
    );
    put(
        "groups",
        known.groups.iter().map(|g| g.number.to_string()).collect(),
    );
    put(
        "stages",
        known.stages.iter().map(|s| s.id.clone()).collect(),
    );
    put(
        "situations",
        known.situations.iter().map(|s| s.id.clone()).collect(),
    );
    put(
        "cautions",
        known.cautions.iter().map(|c| c.id.clone()).collect(),
    );
    put(
        "record_fields",
        known.record_fields.iter().map(|f| f.id.clone()).collect(),
    );
    put(
        "traits",
        known.traits.iter().map(|t| t.id.clone()).collect(),
    );
    put(
        "states",
        known
            .traits
            .iter()
            .flat_map(|t| t.states.iter().map(|s| format!("{}: {}", t.id, s.id)))
            .collect(),
    );
    put("lists", lists(known));
    put("files", files(known));
    if let Some(beside) = beside {
        put("beside", beside.to_vec());
    }
    all
}

/// Ids of the sentences and figures in the shared lists.
fn lists(known: &Files) -> Vec<String> {
    fn named<'a>(what: &'a str, remarks: &'a [Remark]) -> impl Iterator<Item = String> + 'a {
        remarks
            .iter()
            .filter_map(|r| r.id.as_ref())
            .map(move |id| format!("{what}: {id}"))
    }
    let mut all = Vec::new();
    if let Some(weather) = &known.weather {
        all.extend(named("weather", &weather.rules));
        all.extend(
            weather
                .limits
                .iter()
                .map(|l| format!("weather limit: {}", l.id)),
        );
    }
    if let Some(timing) = &known.timing {
        all.extend(timing.events.iter().map(|e| format!("timing: {}", e.id)));
        all.extend(named("splits", &timing.splits));
        all.extend(named("degree days", &timing.methods));
    }
    if let Some(mixing) = &known.mixing {
        all.extend(
            mixing
                .formulations
                .iter()
                .map(|f| format!("formulation: {}", f.code)),
        );
        let lists = [
            &mixing.published_orders,
            &mixing.rules,
            &mixing.jar_test,
            &mixing.water,
            &mixing.ammonium_sulfate,
            &mixing.rinse,
            &mixing.adjuvants,
            &mixing.expected_response,
            &mixing.calibration,
            &mixing.area,
        ];
        all.extend(lists.iter().flat_map(|list| named("mixing", list)));
    }
    if let Some(resistance) = &known.resistance {
        let lists = [
            &resistance.cross,
            &resistance.ranking,
            &resistance.guidance,
            &resistance.signs,
            &resistance.outcomes,
            &resistance.models,
        ];
        all.extend(lists.iter().flat_map(|list| named("resistance", list)));
        all.extend(
            resistance
                .other_causes
                .iter()
                .map(|c| format!("other cause: {}", c.id)),
        );
        all.extend(
            resistance
                .model_values
                .iter()
                .map(|v| format!("model value: {}", v.id)),
        );
    }
    if let Some(care) = &known.care {
        all.extend(
            care.cover_percent
                .keys()
                .map(|use_of| format!("cover: {use_of}")),
        );
    }
    all
}

/// Files whose loss would leave no id behind.
fn files(known: &Files) -> Vec<String> {
    [
        ("acknowledged.yaml", !known.acknowledged.is_empty()),
        ("book.yaml", known.book.is_some()),
        ("care.yaml", known.care.is_some()),
        ("classification.yaml", known.classification.is_some()),
        ("interactions.yaml", !known.interactions.is_empty()),
        ("mixing.yaml", known.mixing.is_some()),
        ("resistance.yaml", known.resistance.is_some()),
        ("timing.yaml", known.timing.is_some()),
        ("weather.yaml", known.weather.is_some()),
    ]
    .iter()
    .filter(|(_, there)| *there)
    .map(|(file, _)| (*file).to_owned())
    .collect()
}

/// The text of `contents.yaml`. Every word is quoted, so that `no` and `2,4-d` stay words.
#[must_use]
pub fn text(contents: &Contents) -> String {
    let mut text = String::from(
        "# Everything that this book holds, by kind, so that nothing can get lost or renamed unseen.\n\
         # `ligule knowledge check DIR --renew-contents` writes it anew after a change that was meant.\n",
    );
    for (kind, ids) in contents.iter().filter(|(_, ids)| !ids.is_empty()) {
        let _ = writeln!(text, "{kind}:");
        for id in ids {
            let quoted = id.replace('\\', "\\\\").replace('"', "\\\"");
            let _ = writeln!(text, "  - \"{quoted}\"");
        }
    }
    text
}

/// What `listed` names and `held` lacks: kind, position in the list, id.
#[must_use]
pub fn lacking<'a>(listed: &'a Contents, held: &Contents) -> Vec<(&'a str, usize, &'a str)> {
    let mut all = Vec::new();
    for (kind, ids) in listed {
        // What lies beside the knowledge is only known where a folder was read.
        if kind == "beside" && !held.contains_key(kind) {
            continue;
        }
        let there = held.get(kind).map(Vec::as_slice).unwrap_or_default();
        let gone = ids
            .iter()
            .enumerate()
            .filter(|(_, id)| there.binary_search(id).is_err());
        all.extend(gone.map(|(index, id)| (kind.as_str(), index, id.as_str())));
    }
    all
}

/// Where the ids of a kind are defined, as far as one file can be named.
fn home(kind: &str, id: &str) -> At {
    match kind {
        "weeds" | "turf" | "actives" | "places" => At::file(format!("{kind}/{id}.yaml")),
        "sources" => At::file("sources").to(id),
        "states" => At::file("traits.yaml"),
        "record_fields" => At::file("record-fields.yaml"),
        "lists" | "files" | "beside" => At::file("contents.yaml"),
        _ => At::file(format!("{kind}.yaml")),
    }
}

/// Entries that the list names and the book lacks.
pub mod lost {
    use super::{At, Book, Check, Error, Findings, Piece, of};
    use std::collections::{BTreeMap, BTreeSet};

    /// The check.
    pub const CHECK: Check = Check {
        code: "lost-entry",
        severity: Error,
        title: "Something that the list of contents names is not there",
        explanation: "`contents.yaml` names everything that the book holds. An entry that it names and the book lacks was deleted or \
            renamed, perhaps by a slip: a place without its file would look like a place without rules. Bring it back; or, if \
            it was meant, run `ligule knowledge check DIR --renew-contents`.",
        bad: &[Piece {
            file: "contents.yaml",
            yaml: "weeds: [false-penny, penny-creeper, saw-rosette, thread-sedge, tuft-millet, winter-star, silver-moss]",
        }],
        good: &[Piece {
            file: "contents.yaml",
            yaml: "weeds: [false-penny, penny-creeper, saw-rosette, thread-sedge, tuft-millet, winter-star]",
        }],
        run,
        needs_all: true,
    };

    fn run(book: &Book<'_>, found: &mut Findings) {
        let Some(listed) = &book.known.contents else {
            return;
        };
        let held = of(book.known, book.beside);
        let mut new: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
        for (kind, ids) in listed {
            let names: BTreeSet<&String> = ids.iter().collect();
            let there = held.get(kind).into_iter().flatten();
            let there = there.filter(|id| !names.contains(id)).map(String::as_str);
            new.insert(kind, there.collect());
        }
        for (kind, index, id) in super::lacking(listed, &held) {
            let remedy = found.meant(
                id,
                new.get(kind).into_iter().flatten().copied(),
                "bring it back, or renew the list: --renew-contents",
            );
            found
                .add(
                    At::file("contents.yaml").to(kind).to(index),
                    format!("the contents name {id} among {kind}, but it is not there"),
                )
                .help(remedy);
        }
    }
}

/// Entries that the book holds and the list lacks.
pub mod unlisted {
    use super::{At, Book, Check, Findings, Piece, Warning, home, of};
    use std::collections::BTreeSet;

    /// The check.
    pub const CHECK: Check = Check {
        code: "unlisted-entry",
        severity: Warning,
        title: "Something is not in the list of contents",
        explanation: "The book holds an entry that `contents.yaml` does not name, so its loss would go unseen later. After a change that was \
            meant, run `ligule knowledge check DIR --renew-contents`. A book without the list at all should get one the same way.",
        bad: &[Piece {
            file: "contents.yaml",
            yaml: "weeds: [false-penny, penny-creeper, saw-rosette, thread-sedge, tuft-millet]",
        }],
        good: &[Piece {
            file: "contents.yaml",
            yaml: "weeds: [false-penny, penny-creeper, saw-rosette, thread-sedge, tuft-millet, winter-star]",
        }],
        run,
        needs_all: true,
    };

    fn run(book: &Book<'_>, found: &mut Findings) {
        let Some(listed) = &book.known.contents else {
            // A folder of a few plants for one's own use needs no list; one that offers treatments does.
            if !book.known.actives.is_empty() {
                found
                    .add(At::file("contents.yaml"), "this book has no list of what it holds, so a file that gets lost goes unseen")
                    .help("write it: ligule knowledge check DIR --renew-contents");
            }
            return;
        };
        for (kind, ids) in of(book.known, book.beside) {
            // A list that leaves a kind out does not watch over it; the list that the tool writes has them all.
            let Some(names) = listed.get(&kind) else {
                continue;
            };
            let names: BTreeSet<&String> = names.iter().collect();
            for id in ids.iter().filter(|id| !names.contains(id)) {
                found
                    .add(
                        home(&kind, id),
                        format!("{id} is not in the contents, under {kind}"),
                    )
                    .about(format!("{kind} {id}"))
                    .help("if it is meant to be there: ligule knowledge check DIR --renew-contents")
                    .also("the list", At::file("contents.yaml").to(&kind));
            }
        }
    }
}
