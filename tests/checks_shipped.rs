//! The default knowledge under its own checks: nothing to mend, everything listed, and no file or id can change unseen.
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "tests")]
use ligule::knowledge::check::contents;
use ligule::knowledge::diagnostic::{Diagnostic, Severity};
use ligule::knowledge::files::Files;
use ligule::knowledge::folder::{TextFile, beside, read_folder};
use ligule::knowledge::form::source::Evidence;
use ligule::knowledge::{Knowledge, Report};
use serde_yaml::Value;
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("knowledge")
}

fn shown<'a>(found: impl IntoIterator<Item = &'a Diagnostic>) -> String {
    found.into_iter().map(ToString::to_string).collect()
}

#[test]
fn nothing_is_left_to_mend() {
    let report = Report::of_folder(&folder()).unwrap();
    let open: Vec<&Diagnostic> = report
        .found
        .iter()
        .filter(|f| f.severity != Severity::Note)
        .collect();
    assert!(
        open.is_empty(),
        "{} errors and unexplained warnings:\n{}",
        open.len(),
        shown(open)
    );
    // Every finding knows its place: an unknown one would be shown as the first character of an empty file.
    for one in &report.found {
        let whole_file = ["never-offered", "without-remedy"].contains(&one.code);
        assert!(
            whole_file || one.spot.line > 1 || one.spot.column > 1,
            "{one}"
        );
        assert!(!one.spot.text.trim().is_empty(), "{one}");
        assert!(
            one.related.iter().all(|r| !r.spot.text.trim().is_empty()),
            "{one}"
        );
    }
}

#[test]
fn the_list_of_contents_is_what_the_book_holds() {
    let text = Report::contents_of_folder(&folder())
        .unwrap()
        .expect("files that can be read");
    let stored = std::fs::read_to_string(folder().join("contents.yaml")).unwrap();
    assert!(
        text == stored,
        "knowledge/contents.yaml is out of date: run `ligule knowledge check knowledge --renew-contents`"
    );
}

#[test]
fn second_recollections_are_in_and_count() {
    // The two lists of second recollections held 920 opinions on grasses and 1523 on weeds when they were brought in.
    let report = Report::of_folder(&folder()).unwrap();
    let votes = |turf: bool| -> usize {
        let actives = report.files.actives.values().map(|a| {
            if turf {
                a.turf.iter().filter(|r| r.confidence.is_some()).count()
            } else {
                a.controls.iter().filter(|r| r.confidence.is_some()).count()
            }
        });
        let mixtures = report.files.mixtures.iter().map(|m| {
            if turf {
                m.turf.iter().filter(|r| r.confidence.is_some()).count()
            } else {
                m.controls.iter().filter(|r| r.confidence.is_some()).count()
            }
        });
        actives.chain(mixtures).sum()
    };
    assert!(votes(true) >= 900, "{} votes on grasses", votes(true));
    assert!(votes(false) >= 1500, "{} votes on weeds", votes(false));
    let tables: BTreeMap<_, _> = report
        .standing()
        .into_iter()
        .map(|t| (t.name, t.counts))
        .collect();
    for name in ["tolerance", "control"] {
        let counts = tables[name];
        assert!(
            counts.agreed_memory > counts.disputed && counts.disputed > 0 && counts.published > 0,
            "{name}: {counts:?}"
        );
    }
    // What is told as disputed is what is counted as such, each case once.
    let told = report.found.iter().filter(|f| f.code == "disputed").count();
    assert_eq!(
        told,
        tables["tolerance"].disputed + tables["control"].disputed
    );
}

/// The book without one of its files.
fn without(files: &Files, text: &TextFile) -> Files {
    let mut left = files.clone();
    let (folder, name) = text.path.split_once('/').unwrap_or(("", &text.path));
    let id = name.trim_end_matches(".yaml");
    match (folder, id) {
        ("weeds", id) => drop(left.weeds.remove(id)),
        ("turf", id) => drop(left.turf.remove(id)),
        ("actives", id) => drop(left.actives.remove(id)),
        ("places", id) => drop(left.places.remove(id)),
        ("sources", _) => {
            let (alone, _) = Files::from_texts(std::slice::from_ref(text));
            left.sources.retain(|id, _| !alone.sources.contains_key(id));
        }
        ("", "acknowledged") => left.acknowledged.clear(),
        ("", "book") => left.book = None,
        ("", "care") => left.care = None,
        ("", "cautions") => left.cautions.clear(),
        ("", "classification") => left.classification = None,
        ("", "groups") => left.groups.clear(),
        ("", "interactions") => left.interactions.clear(),
        ("", "mixing") => left.mixing = None,
        ("", "mixtures") => left.mixtures.clear(),
        ("", "record-fields") => left.record_fields.clear(),
        ("", "resistance") => left.resistance = None,
        ("", "situations") => left.situations.clear(),
        ("", "stages") => left.stages.clear(),
        ("", "timing") => left.timing = None,
        ("", "traits") => left.traits.clear(),
        ("", "weather") => left.weather = None,
        other => panic!("this test does not know the file {other:?}"),
    }
    left
}

#[test]
fn no_file_can_be_deleted_unseen() {
    let texts = read_folder(&folder()).unwrap();
    let others = beside(&folder()).unwrap();
    let (files, faults) = Files::from_texts(&texts);
    assert!(faults.is_empty(), "{}", shown(&faults));
    let listed = files.contents.clone().expect("the list of contents");
    assert!(contents::lacking(&listed, &contents::of(&files, Some(&others))).is_empty());
    let mut tried = 0;
    for text in texts.iter().filter(|t| t.path != "contents.yaml") {
        let held = contents::of(&without(&files, text), Some(&others));
        let gone = contents::lacking(&listed, &held);
        assert!(!gone.is_empty(), "nobody misses {}", text.path);
        tried += 1;
    }
    for (index, path) in others.iter().enumerate() {
        let mut left = others.clone();
        left.remove(index);
        let gone = contents::lacking(&listed, &contents::of(&files, Some(&left))).len();
        assert_eq!(gone, 1, "nobody misses {path}");
        tried += 1;
    }
    assert_eq!(tried + 1, texts.len() + others.len());
    // The same with the texts themselves, for one file of each kind.
    let mut kinds = BTreeSet::new();
    for (index, text) in texts.iter().enumerate() {
        let kind = text
            .path
            .split_once('/')
            .map_or(text.path.as_str(), |(folder, _)| folder);
        // A few top files stand for all of them: reading the whole book takes its time.
        let chosen = text.path.contains('/')
            || ["contents.yaml", "cautions.yaml", "acknowledged.yaml"].contains(&kind);
        if !chosen || !kinds.insert(kind.to_owned()) {
            continue;
        }
        let mut left = texts.clone();
        left.remove(index);
        let report = Report::of_texts(&left);
        let told = report
            .found
            .iter()
            .filter(|f| f.severity != Severity::Note)
            .count();
        assert!(told > 0, "nobody misses {}", text.path);
    }
    assert_eq!(kinds.len(), 8, "{kinds:?}");
}

/// An id in a text: where it begins and ends.
#[derive(Debug, Clone, PartialEq)]
struct Place {
    text: usize,
    from: usize,
    to: usize,
}

/// Keys whose word, or whose list of words, are ids.
const KEYS: [&str; 24] = [
    "id",
    "source",
    "authority_source",
    "weed",
    "weeds",
    "turf",
    "stage",
    "actives",
    "within",
    "situations",
    "fields",
    "kind_trait",
    "same_species_as",
    "is",
    "sometimes",
    "mistaken_for",
    "avoid_on",
    "rule",
    "follows",
    "group",
    "number",
    "groups",
    "touches",
    "code",
];

/// Every id of a text: words behind the keys above, keys of traits, and keys of sources.
fn places(number: usize, text: &TextFile) -> Vec<Place> {
    let body = text.text.as_ref().unwrap();
    let sources = text.path.starts_with("sources/");
    let plants = text.path.starts_with("weeds/") || text.path.starts_with("turf/");
    let mut all = Vec::new();
    let mut start = 0;
    let mut in_traits = false;
    for line in body.split_inclusive('\n') {
        let begins = line.len() - line.trim_start().len();
        if begins == 0 {
            in_traits = plants && line.starts_with("traits:");
        }
        let key = line.trim_start().split(':').next().unwrap_or_default();
        if (sources && begins == 0 && !line.starts_with('#'))
            || (in_traits && begins == 2 && !key.is_empty())
        {
            all.push(Place {
                text: number,
                from: start + begins,
                to: start + begins + key.len(),
            });
        }
        if !line.trim_start().starts_with('#') {
            for key in KEYS {
                // Only states of traits are ids behind `is`; other tables use it for words of their own.
                if matches!(key, "is" | "sometimes") && !in_traits {
                    continue;
                }
                for (at, _) in line.match_indices(&format!("{key}: ")) {
                    let before = line[..at].chars().next_back();
                    if before.is_some_and(|c| c.is_alphanumeric() || c == '_') {
                        continue;
                    }
                    all.extend(words(line, at + key.len() + 2).map(|(from, to)| Place {
                        text: number,
                        from: start + from,
                        to: start + to,
                    }));
                }
            }
        }
        start += line.len();
    }
    all
}

/// Plain words of a value that begins at `at`: one, or those of a list in brackets.
fn words(line: &str, at: usize) -> impl Iterator<Item = (usize, usize)> {
    let value = &line[at..];
    let list = value.starts_with('[');
    let end = if list {
        value.find(']').unwrap_or(0)
    } else {
        value.find([',', '}', '\n', '#']).unwrap_or(value.len())
    };
    let inner = &value[usize::from(list)..end.max(usize::from(list))];
    let mut found = Vec::new();
    let mut offset = at + usize::from(list);
    for word in inner.split(',') {
        let trimmed = word.trim();
        let from = offset + (word.len() - word.trim_start().len());
        let plain = !trimmed.is_empty()
            && trimmed
                .chars()
                .all(|c| c.is_ascii_alphanumeric() || "-_. /".contains(c));
        if plain && trimmed != "na" {
            found.push((from, from + trimmed.len()));
        }
        offset += word.len() + 1;
    }
    found.into_iter()
}

/// Those of the places whose change to a new id, all in one reading, no finding names.
fn unseen(texts: &[TextFile], batch: &[Place], round: usize) -> Vec<Place> {
    let mut changed = texts.to_vec();
    let mut new = Vec::new();
    let mut batch = batch.to_vec();
    batch.sort_by_key(|p| (p.text, p.from));
    // From the end of each text to its beginning, so that the places before stay true.
    for (index, place) in batch.into_iter().enumerate().rev() {
        let body = changed[place.text].text.as_mut().unwrap();
        let old = &body[place.from..place.to];
        // A number stays a number; every new id is found nowhere else.
        let id = if old.chars().all(|c| c.is_ascii_digit()) {
            format!("{}", 10_000 + round * 100 + index)
        } else {
            format!("{old}-z{round}q{index}")
        };
        body.replace_range(place.from..place.to, &id);
        new.push((id, place));
    }
    let report = Report::of_texts(&changed);
    let told = |id: &str| {
        report.found.iter().any(|f| {
            f.severity != Severity::Note && (f.message.contains(id) || f.about.contains(id))
        })
    };
    new.into_iter()
        .filter(|(id, _)| !told(id))
        .map(|(_, place)| place)
        .collect()
}

/// What a note calls memory is shown as memory: the sources of its statement hold one whose evidence that is.
#[test]
fn what_a_note_calls_memory_rests_on_memory() {
    let known = Knowledge::embedded().unwrap();
    let rests_on_memory = |source: &Value| {
        let ids = source
            .as_sequence()
            .cloned()
            .unwrap_or(vec![source.clone()]);
        ids.iter().filter_map(Value::as_str).any(|id| {
            known
                .sources
                .get(id)
                .is_some_and(|s| s.evidence == Evidence::Memory)
        })
    };
    let (mut notes, mut raised) = (0, Vec::new());
    for text in read_folder(&folder()).unwrap() {
        let mut open: Vec<Value> = vec![serde_yaml::from_str(&text.text.unwrap()).unwrap()];
        while let Some(value) = open.pop() {
            match value {
                Value::Mapping(map) => {
                    if let (Some(note), Some(source)) = (map.get("note"), map.get("source"))
                        && let Some(note) = note.as_str().filter(|n| n.contains("from memory"))
                    {
                        notes += 1;
                        if !rests_on_memory(source) {
                            raised.push(format!("{}: {note}", text.path));
                        }
                    }
                    open.extend(map.into_iter().map(|(_, value)| value));
                }
                Value::Sequence(list) => open.extend(list),
                _ => {}
            }
        }
    }
    assert!(notes > 500, "{notes} notes speak of memory");
    assert!(raised.is_empty(), "{}", raised.join("\n"));
}

#[test]
fn no_id_can_change_unseen() {
    const WANTED: usize = 500;
    // Many changes in one reading, each to an id of its own that some finding has to name.
    const AT_ONCE: usize = 125;
    let texts = read_folder(&folder()).unwrap();
    let all: Vec<Place> = texts
        .iter()
        .enumerate()
        .filter(|(_, t)| {
            !["contents.yaml", "acknowledged.yaml", "book.yaml"].contains(&t.path.as_str())
        })
        .flat_map(|(number, text)| places(number, text))
        .collect();
    assert!(all.len() > 10_000, "{} ids were found", all.len());
    // A fixed walk through all of them, so that a failure can be repeated.
    let step = 7919 % all.len();
    let mut at = 1234 % all.len();
    let mut chosen: Vec<Place> = Vec::new();
    while chosen.len() < WANTED {
        at = (at + step) % all.len();
        if !chosen.contains(&all[at]) {
            chosen.push(all[at].clone());
        }
    }
    let hidden = chosen
        .chunks(AT_ONCE)
        .enumerate()
        .flat_map(|(round, batch)| unseen(&texts, batch, round));
    // A change may hide behind another of its batch: a state of a trait that is gone too. By itself it must be told.
    let unseen: Vec<String> = hidden
        .flat_map(|place| unseen(&texts, &[place], WANTED))
        .map(|place| {
            let text = &texts[place.text];
            let old = &text.text.as_ref().unwrap()[place.from..place.to];
            format!("{}: {old}", text.path)
        })
        .collect();
    assert!(
        unseen.is_empty(),
        "{} of {WANTED} changes went unseen:\n{}",
        unseen.len(),
        unseen.join("\n")
    );
}
