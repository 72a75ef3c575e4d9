//! JSON Schema of every kind of knowledge file, made from the structs that read them.
//!
//! Two parts: the form (which keys there are and what may stand in them) comes from the types alone; the ids (which
//! weeds, traits, states, sources there are) come from the knowledge in use and stand in one file beside the others, so
//! that a new source changes one file.
use super::cases::CaseFile;
use super::ids::{self, IDS};
use crate::knowledge::Knowledge;
use crate::knowledge::form::active::Active;
use crate::knowledge::form::keeping::{Acknowledgement, Classification, Contents};
use crate::knowledge::form::lists::{
    Book, Care, Caution, Groups, Interaction, Mixing, Mixtures, RecordField, Resistance, Situation,
    SourceList, Stage, TimingList, Traits, Weather,
};
use crate::knowledge::form::place::Place;
use crate::knowledge::form::plant::{Turf, Weed};
use schemars::JsonSchema;
use schemars::generate::SchemaSettings;
use serde_json::{Map, Value, json};

/// Every kind of file with a schema: the name of the schema, and where such files lie in a knowledge folder.
pub const KINDS: [(&str, &str); 24] = [
    ("weed", "weeds/*.yaml"),
    ("turf", "turf/*.yaml"),
    ("active", "actives/*.yaml"),
    ("place", "places/*.yaml"),
    ("acknowledged", "acknowledged.yaml"),
    ("book", "book.yaml"),
    ("care", "care.yaml"),
    ("cases", "cases/*.yaml"),
    ("cautions", "cautions.yaml"),
    ("classification", "classification.yaml"),
    ("contents", "contents.yaml"),
    ("groups", "groups.yaml"),
    ("interactions", "interactions.yaml"),
    ("mixing", "mixing.yaml"),
    ("mixtures", "mixtures.yaml"),
    ("record-fields", "record-fields.yaml"),
    ("resistance", "resistance.yaml"),
    ("situations", "situations.yaml"),
    ("sources", "sources.yaml and sources/*.yaml"),
    ("stages", "stages.yaml"),
    ("timing", "timing.yaml"),
    ("traits", "traits.yaml"),
    ("weather", "weather.yaml"),
    (IDS, "the ids that the others refer to"),
];

/// The file name of a schema.
#[must_use]
pub fn file_name(kind: &str) -> String {
    format!("{kind}.schema.json")
}

/// The kind of a knowledge file, by its path in the folder.
#[must_use]
pub fn kind_of(path: &str) -> Option<&'static str> {
    let kind = match path.split_once('/') {
        Some(("weeds", _)) => "weed",
        Some(("turf", _)) => "turf",
        Some(("actives", _)) => "active",
        Some(("places", _)) => "place",
        Some((folder @ ("sources" | "cases"), _)) => folder,
        Some(_) => return None,
        None => path.strip_suffix(".yaml")?,
    };
    KINDS
        .iter()
        .map(|(name, _)| *name)
        .find(|name| *name == kind && *name != IDS)
}

/// The form of a kind of file, without ids; `None` for an unknown kind.
#[must_use]
pub fn form(kind: &str) -> Option<Value> {
    Some(match kind {
        "weed" => of::<Weed>(),
        "turf" => of::<Turf>(),
        "active" => of::<Active>(),
        "place" => of::<Place>(),
        "acknowledged" => of::<Vec<Acknowledgement>>(),
        "book" => of::<Book>(),
        "care" => of::<Care>(),
        "cases" => of::<CaseFile>(),
        "cautions" => of::<Vec<Caution>>(),
        "classification" => of::<Classification>(),
        "contents" => of::<Contents>(),
        "groups" => of::<Groups>(),
        "interactions" => of::<Vec<Interaction>>(),
        "mixing" => of::<Mixing>(),
        "mixtures" => of::<Mixtures>(),
        "record-fields" => of::<Vec<RecordField>>(),
        "resistance" => of::<Resistance>(),
        "situations" => of::<Vec<Situation>>(),
        "sources" => of::<SourceList>(),
        "stages" => of::<Vec<Stage>>(),
        "timing" => of::<TimingList>(),
        "traits" => of::<Traits>(),
        "weather" => of::<Weather>(),
        _ => return None,
    })
}

fn of<T: JsonSchema>() -> Value {
    let mut schema = SchemaSettings::draft2020_12()
        .into_generator()
        .into_root_schema_for::<T>()
        .to_value();
    tidy(&mut schema);
    schema
}

/// Takes out what is about Rust and not about the file: names of number types and their ends.
fn tidy(value: &mut Value) {
    match value {
        Value::Object(map) => {
            if let Some(format) = map.get("format").and_then(Value::as_str).map(str::to_owned)
                && (format.starts_with("uint") || format == "double")
            {
                map.remove("format");
            }
            map.values_mut().for_each(tidy);
        }
        Value::Array(list) => list.iter_mut().for_each(tidy),
        _ => {}
    }
}

/// The schema of a kind of file with the ids of a book; [`IDS`] gives the ids themselves. `None` for an unknown kind.
#[must_use]
pub fn schema(kind: &str, book: &Knowledge) -> Option<Value> {
    if kind == IDS {
        return Some(ids::definitions(book));
    }
    let mut schema = form(kind)?;
    ids::refer(&mut schema, kind);
    if let Value::Object(map) = &mut schema {
        let files = KINDS
            .iter()
            .find(|(name, _)| *name == kind)
            .map_or("", |k| k.1);
        map.insert("title".to_owned(), json!(files));
    }
    Some(schema)
}

/// All schemas as files: name and text.
#[must_use]
pub fn files(book: &Knowledge) -> Vec<(String, String)> {
    KINDS
        .iter()
        .filter_map(|(kind, _)| {
            let schema = schema(kind, book).unwrap_or_else(|| Value::Object(Map::new()));
            let text = serde_json::to_string_pretty(&schema).ok()?;
            Some((file_name(kind), text + "\n"))
        })
        .collect()
}
