//! The schemas say what the loader says. Judged by `jsonschema`, an implementation of JSON Schema (draft 2020-12) from
//! outside the project.
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "tests")]
use jsonschema::{Registry, Validator};
use ligule::keeper::{ids::IDS, schema};
use ligule::knowledge::diagnostic::{Diagnostic, Severity};
use ligule::knowledge::files::Files;
use ligule::knowledge::folder::{TextFile, read_folder};
use ligule::knowledge::{Knowledge, Report};
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("knowledge")
}

/// Every knowledge file with its kind, cases included.
fn shipped() -> Vec<(&'static str, TextFile)> {
    let mut all = read_folder(&folder()).unwrap();
    for mut case in read_folder(&folder().join("cases")).unwrap() {
        case.path = format!("cases/{}", case.path);
        all.push(case);
    }
    all.into_iter()
        .map(|file| {
            (
                schema::kind_of(&file.path)
                    .unwrap_or_else(|| panic!("{} has no schema", file.path)),
                file,
            )
        })
        .collect()
}

fn value(file: &TextFile) -> Value {
    serde_yaml::from_str(file.text.as_ref().unwrap()).unwrap()
}

const BASE: &str = "https://schemas.example/";

fn at(kind: &str) -> String {
    format!("{BASE}{}", schema::file_name(kind))
}

/// Validators of all kinds with the ids of a book; the ids are found beside them, as an editor would.
fn with_ids(book: &Knowledge) -> BTreeMap<&'static str, Validator> {
    let ids = schema::schema(IDS, book).unwrap();
    let registry = Registry::new()
        .add(at(IDS), &ids)
        .unwrap()
        .prepare()
        .unwrap();
    schema::KINDS
        .iter()
        .filter(|(kind, _)| *kind != IDS)
        .map(|(kind, _)| {
            let own = schema::schema(kind, book).unwrap();
            jsonschema::meta::validate(&own).unwrap_or_else(|e| panic!("{kind}: {e}"));
            let validator = jsonschema::options()
                .with_base_uri(at(kind))
                .with_registry(&registry)
                .build(&own)
                .unwrap_or_else(|e| panic!("{kind}: {e}"));
            (*kind, validator)
        })
        .collect()
}

fn faults(validator: &Validator, value: &Value) -> Vec<String> {
    validator
        .iter_errors(value)
        .map(|e| format!("{} at {}", e, e.instance_path()))
        .collect()
}

#[test]
fn the_schemas_in_the_folder_are_those_that_the_types_give() {
    let book = Knowledge::embedded().expect("sound");
    for (name, text) in schema::files(&book) {
        let path = folder().join("schema").join(&name);
        let there = std::fs::read_to_string(&path).unwrap_or_default();
        assert!(
            there == text,
            "knowledge/schema/{name} is not what the types and the knowledge give; run `cargo run -- knowledge schema --out knowledge/schema`"
        );
    }
    let files = std::fs::read_dir(folder().join("schema")).unwrap().count();
    assert_eq!(
        files,
        schema::KINDS.len(),
        "a schema too many in knowledge/schema"
    );
}

#[test]
fn every_shipped_file_fits_its_schema() {
    let validators = with_ids(&Knowledge::embedded().expect("sound"));
    let mut checked = 0;
    for (kind, file) in shipped() {
        let found = faults(&validators[kind], &value(&file));
        assert!(found.is_empty(), "{}: {found:#?}", file.path);
        checked += 1;
    }
    assert!(checked > 300, "{checked}");
}

/// What the form of the loader says of a file: its faults, apart from those of the whole.
fn form_faults(path: &str, value: &Value) -> Vec<Diagnostic> {
    // JSON is YAML; so what is read is exactly the value that the validator sees.
    let file = TextFile {
        path: path.to_owned(),
        shown: path.to_owned(),
        text: Ok(serde_json::to_string(value).unwrap()),
    };
    if path.starts_with("cases/") {
        let text = file.text.as_ref().unwrap();
        return ligule::knowledge::read::read_knowledge::<ligule::keeper::cases::CaseFile>(
            path, text,
        )
        .err()
        .map(|fault| vec![*fault])
        .unwrap_or_default();
    }
    Files::from_texts(&[file]).1
}

/// Paths of all values, by pointer.
fn pointers(value: &Value, here: &str, found: &mut Vec<String>) {
    found.push(here.to_owned());
    match value {
        Value::Object(map) => map.iter().for_each(|(key, inner)| {
            pointers(
                inner,
                &format!("{here}/{}", key.replace('~', "~0").replace('/', "~1")),
                found,
            );
        }),
        Value::Array(list) => list
            .iter()
            .enumerate()
            .for_each(|(n, inner)| pointers(inner, &format!("{here}/{n}"), found)),
        _ => {}
    }
}

/// A value with one change at a place; `None` where the change cannot be made there.
fn changed(value: &Value, pointer: &str, change: usize) -> Option<Value> {
    let mut copy = value.clone();
    let (parent, key) = pointer.rsplit_once('/')?;
    match change {
        0 => {
            // A key goes.
            let map = copy.pointer_mut(parent)?.as_object_mut()?;
            map.remove(&key.replace("~1", "/").replace("~0", "~"))?;
        }
        1 => {
            // A key is misspelt.
            let map = copy.pointer_mut(parent)?.as_object_mut()?;
            let inner = map.remove(&key.replace("~1", "/").replace("~0", "~"))?;
            map.insert(format!("{key}_"), inner);
        }
        n => {
            let other = [
                json!(null),
                json!("words"),
                json!(7),
                json!(-3),
                json!(2.5),
                json!(true),
                json!([]),
                json!({}),
                json!(["a", "b"]),
                json!([1, 2]),
                json!({"x": 1}),
                json!(70_000),
            ];
            *copy.pointer_mut(pointer)? = other.get(n - 2)?.clone();
        }
    }
    (copy != *value).then_some(copy)
}
const CHANGES: usize = 14;

/// Every kind of file, changed at its places in every way: the form of the schema and the form of the loader refuse the same.
#[test]
fn schema_and_loader_refuse_the_same_forms() {
    let forms: BTreeMap<&str, Validator> = schema::KINDS
        .iter()
        .filter_map(|(kind, _)| {
            Some((
                *kind,
                jsonschema::validator_for(&schema::form(kind)?).unwrap(),
            ))
        })
        .collect();
    let (mut compared, mut refused) = (0, 0);
    let mut wrong = Vec::new();
    let mut taken: BTreeMap<&str, usize> = BTreeMap::new();
    for (kind, file) in shipped() {
        // Many files of one kind are alike; two of each are changed.
        let of_kind = taken.entry(kind).or_default();
        *of_kind += 1;
        if *of_kind > 2 {
            continue;
        }
        let whole = value(&file);
        // A long list is shortened to entries from its beginning, its middle and its end, and each entry is changed by itself.
        let small = shortened(&whole);
        assert!(
            forms[kind].is_valid(&small) && form_faults(&file.path, &small).is_empty(),
            "{}",
            file.path
        );
        let mut places = Vec::new();
        pointers(&small, "", &mut places);
        for (n, place) in places.iter().enumerate() {
            // Every place is changed in some ways, and over the places in every way.
            for change in (0..CHANGES).filter(|c| (c + n) % 9 == 0) {
                let Some(other) = changed(&small, place, change) else {
                    continue;
                };
                let by_schema = forms[kind].is_valid(&other);
                let by_loader = form_faults(&file.path, &other).is_empty();
                compared += 1;
                refused += usize::from(!by_loader);
                if by_schema != by_loader {
                    wrong.push(format!("{} {place} change {change}: schema takes it: {by_schema}, loader takes it: {by_loader}", file.path));
                }
            }
        }
    }
    println!("{compared} changed files compared, {refused} of them refused by both");
    assert!(
        wrong.is_empty(),
        "{} of {compared} differ:\n{}",
        wrong.len(),
        wrong[..wrong.len().min(30)].join("\n")
    );
    assert!(compared > 3_000 && refused > 1_000, "{compared} {refused}");
}

/// Lists of more than four entries cut to four.
fn shortened(value: &Value) -> Value {
    match value {
        Value::Array(list) if list.len() > 4 => {
            let picks = [0, list.len() / 3, 2 * list.len() / 3, list.len() - 1];
            Value::Array(picks.iter().map(|&n| shortened(&list[n])).collect())
        }
        Value::Array(list) => Value::Array(list.iter().map(shortened).collect()),
        // Maps from ids to entries are lists too; the keys of a struct all stay.
        Value::Object(map) if map.len() > 24 && map.values().all(Value::is_object) => {
            let step = map.len() / 8;
            Value::Object(
                map.iter()
                    .step_by(step)
                    .map(|(k, v)| (k.clone(), shortened(v)))
                    .collect(),
            )
        }
        Value::Object(map) => {
            Value::Object(map.iter().map(|(k, v)| (k.clone(), shortened(v))).collect())
        }
        other => other.clone(),
    }
}

/// Ids: what the schema refuses because of an id, the checks of the whole report; and the other way round.
#[test]
fn schema_and_checks_refuse_the_same_ids() {
    let dir = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/small-book");
    let texts = read_folder(&dir).unwrap();
    let book = Knowledge::from_texts(&texts).expect("sound");
    let validators = with_ids(&book);
    let (mut refused, mut only_checks) = (0, Vec::new());
    for (n, file) in texts.iter().enumerate() {
        let kind = schema::kind_of(&file.path).unwrap();
        let whole = value(file);
        assert!(
            validators[kind].is_valid(&whole),
            "{}: {:?}",
            file.path,
            faults(&validators[kind], &whole)
        );
        let mut places = Vec::new();
        pointers(&whole, "", &mut places);
        for place in places.into_iter().step_by(2) {
            if !whole.pointer(&place).is_some_and(Value::is_string) {
                continue;
            }
            let mut other = whole.clone();
            *other.pointer_mut(&place).unwrap() = json!("no-such-thing");
            let mut changed = texts.clone();
            changed[n].text = Ok(serde_json::to_string(&other).unwrap());
            let found = Report::of_texts(&changed).found;
            let errors: Vec<&Diagnostic> = found
                .iter()
                .filter(|f| f.severity == Severity::Error)
                .collect();
            let by_schema = validators[kind].is_valid(&other);
            if !by_schema {
                refused += 1;
                assert!(
                    !errors.is_empty(),
                    "{} {place}: the schema refuses what no check reports",
                    file.path
                );
            } else if errors
                .iter()
                .any(|f| f.code == "unknown-id" && f.spot.file == file.shown)
            {
                only_checks.push(format!("{} {place}", file.path));
            }
        }
    }
    println!("{refused} wrong ids refused by both");
    assert!(refused > 100, "{refused}");
    // The list of traits defines ids, and a schema cannot hold a file against itself.
    only_checks.retain(|place: &String| !place.starts_with("traits.yaml"));
    assert!(
        only_checks.is_empty(),
        "the schema takes ids that the checks refuse:\n{}",
        only_checks.join("\n")
    );
}

/// Slips of people who write these files, as the loader's own tests have them.
#[test]
fn the_slips_of_the_form_are_refused_by_both() {
    let form = jsonschema::validator_for(&schema::form("weed").unwrap()).unwrap();
    for line in [
        "eppo_code: {a: 1}",
        "eppo_code: 7",
        "family: true",
        "seen: {growing: {months: [no], source: memory}}",
        "seen: {growing: {months: [4.5], source: memory}}",
        "seen: {emerging_soil_f: {range: [60, \"70\"], source: memory}}",
        "seen: {emerging_soil_f: {range: [60, 6, 5], source: memory}}",
        "seen: {emerging_soil_f: {range: 60, source: memory}}",
        "familly: X",
        "notes: [{text: [a], source: memory}]",
        "notes: [{source: memory}]",
        "traits: {stem: {is: 5, source: memory}}",
        "traits: {stem: {is: round}}",
        "hazards: {text: x, source: memory}",
    ] {
        let text =
            format!("names: [a plant]\nscientific_name: Planta una\nsource: memory\n{line}\n");
        let value: Value = serde_yaml::from_str(&text).unwrap();
        assert!(!form.is_valid(&value), "the schema takes {line:?}");
        let file = TextFile {
            path: "weeds/a.yaml".into(),
            shown: "a".into(),
            text: Ok(text),
        };
        let found = Files::from_texts(&[file]).1;
        assert_eq!(found.len(), 1, "the loader takes {line:?}");
        assert!(!found[0].message.is_empty());
    }
}
