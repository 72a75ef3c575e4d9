//! Ids in schemas: wherever a key names an entry of the book, an editor may offer the ids there are.
//!
//! The form keeps to a naming convention (a key called `source`, `weed`, `turf` holds ids of that kind); the same
//! convention that the checks follow tells here which key refers to which list.
use crate::knowledge::{Kind, Knowledge};
use serde_json::{Map, Value, json};

/// The name of the schema that holds the ids.
pub const IDS: &str = "ids";

/// Keys and the list of ids that their words are taken from.
const KEYS: [(&str, &str); 22] = [
    ("source", "source"),
    ("authority_source", "source"),
    ("weed", "weed"),
    ("weeds", "weed"),
    ("same_species_as", "weed"),
    ("turf", "turf"),
    ("avoid_on", "turf"),
    ("actives", "active"),
    ("within", "place"),
    ("place", "place"),
    ("stage", "stage"),
    ("situations", "situation"),
    ("near", "situation"),
    ("fields", "record-field"),
    ("kind_trait", "trait"),
    ("groups", "group"),
    ("group", "group"),
    ("traits", "shows"),
    ("asked_of", "states-by-trait"),
    ("answered", "states-by-trait"),
    ("observed", "observed"),
    ("expect", "plant"),
];

/// Keys that carry one of these names but words of their own in a kind of file: the place of a case of resistance is
/// told in words, mixtures and lists of the grass hold rows, the group of an active is a value with evidence.
fn own_words(kind: &str, of: &str, key: &str) -> bool {
    matches!(
        (kind, of, key),
        ("resistance", "ResistanceCase", "place")
            | ("active", "Active", "group" | "turf")
            | ("mixtures", "Mixture", "turf")
            | ("cases", "Identification", "within")
    )
}

/// The list of ids that the words of a key are taken from.
#[must_use]
pub fn list_of(key: &str) -> Option<&'static str> {
    KEYS.iter().find(|(k, _)| *k == key).map(|(_, list)| *list)
}

/// Puts references to ids into the schema of a kind of file.
pub fn refer(schema: &mut Value, kind: &str) {
    let top = match kind {
        "weed" => "Weed",
        "turf" => "Turf",
        "active" => "Active",
        "place" => "Place",
        _ => "",
    };
    properties(schema, kind, top);
    if let Some(Value::Object(defs)) = schema.get_mut("$defs") {
        for (name, inner) in defs {
            properties(inner, kind, name);
        }
    }
    // What an active is: its group stands under `group`, `is`.
    if let Some(is) = schema.pointer_mut("/$defs/GroupOf/properties/is") {
        narrow(is, "group");
    }
}

fn properties(schema: &mut Value, kind: &str, of: &str) {
    let Some(Value::Object(map)) = schema.get_mut("properties") else {
        return;
    };
    for (key, value) in map {
        if let Some(list) = list_of(key).filter(|_| !own_words(kind, of, key)) {
            // In a place, `all` stands for every active.
            let list = if (kind, key.as_str()) == ("place", "actives") {
                "active-or-all"
            } else {
                list
            };
            narrow(value, list);
        }
    }
}

/// Adds the reference at the innermost place that holds words or numbers, and leaves the form around it as it is.
fn narrow(value: &mut Value, list: &str) {
    let Value::Object(map) = value else {
        return;
    };
    let whole = matches!(list, "shows" | "states-by-trait" | "observed");
    if let Some(Value::Array(options)) = map.get_mut("anyOf") {
        for option in options {
            narrow(option, list);
        }
    } else if let Some(items) = map.get_mut("items").filter(|_| !whole) {
        narrow(items, list);
    } else if map.get("type").is_some_and(|t| *t == json!("null")) {
    } else {
        let nullable = map
            .get("type")
            .and_then(Value::as_array)
            .is_some_and(|t| t.contains(&json!("null")));
        let reference = json!({"$ref": format!("{IDS}.schema.json#/$defs/{list}")});
        if nullable {
            map.insert("anyOf".to_owned(), json!([reference, {"type": "null"}]));
        } else {
            map.insert("allOf".to_owned(), json!([reference]));
        }
    }
}

/// Every list of ids of a book as a definition, and what plants may show of each trait.
#[must_use]
pub fn definitions(book: &Knowledge) -> Value {
    let mut defs = Map::new();
    for (name, kind) in [
        ("source", Kind::Source),
        ("weed", Kind::Weed),
        ("turf", Kind::Turf),
        ("active", Kind::Active),
        ("place", Kind::Place),
        ("stage", Kind::Stage),
        ("situation", Kind::Situation),
        ("trait", Kind::Trait),
    ] {
        defs.insert(name.to_owned(), json!({"enum": book.ids(kind)}));
    }
    let with =
        |list: Vec<String>, word: &str| -> Vec<String> { [vec![word.to_owned()], list].concat() };
    let mut plants = with(book.ids(Kind::Weed), super::cases::NONE_OF_THESE);
    plants.extend(
        book.ids(Kind::Turf)
            .into_iter()
            .filter(|t| !book.weeds.contains_key(t)),
    );
    defs.insert("plant".to_owned(), json!({"enum": plants}));
    defs.insert(
        "active-or-all".to_owned(),
        json!({"enum": with(book.ids(Kind::Active), "all")}),
    );
    let groups: Vec<u16> = book.groups.iter().map(|g| g.number).collect();
    defs.insert("group".to_owned(), json!({"enum": groups}));
    let fields: Vec<&str> = book.record_fields.iter().map(|f| f.id.as_str()).collect();
    defs.insert("record-field".to_owned(), json!({"enum": fields}));
    let (mut shows, mut states_of, mut observed) = (Map::new(), Map::new(), Map::new());
    for of in &book.traits {
        let states: Vec<&str> = of.states.iter().map(|s| s.id.as_str()).collect();
        let words = |more: &[&str]| -> Value {
            let all: Vec<&str> = states.iter().chain(more).copied().collect();
            json!({"anyOf": [{"enum": all}, {"type": "array", "items": {"enum": all}}]})
        };
        let weights: Map<String, Value> = states
            .iter()
            .map(|s| ((*s).to_owned(), json!({})))
            .collect();
        let mut own = json!({"description": of.question});
        if of.states.is_empty() {
            own["properties"] = json!({"is": words(&["na"])});
        } else {
            own["properties"] = json!({
                "is": words(&["na"]),
                "sometimes": words(&[]),
                "weights": {"properties": weights, "additionalProperties": false},
            });
        }
        shows.insert(of.id.clone(), own);
        states_of.insert(of.id.clone(), words(&[]));
        // A case may name a state by its label or in other spelling, so these are offered and not asked for.
        observed.insert(
            of.id.clone(),
            json!({"description": of.question, "anyOf": [words(&[]), {}]}),
        );
    }
    for (name, properties) in [
        ("shows", shows),
        ("states-by-trait", states_of),
        ("observed", observed),
    ] {
        defs.insert(
            name.to_owned(),
            json!({"properties": properties, "additionalProperties": false}),
        );
    }
    json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Ids of the knowledge, for the other schemas to refer to",
        "$defs": defs,
    })
}
