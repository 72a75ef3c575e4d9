//! An example for every key, from its schema.
use super::ids_of;
use crate::knowledge::{Kind, Knowledge};
use serde_json::Value;

/// Makes examples that fit the form and name entries that exist.
pub struct Examples<'a> {
    book: &'a Knowledge,
    form: &'a Value,
    memory: &'a str,
    kind: Kind,
    id: &'a str,
}

/// Keys that an example shows though they may be missing.
const SHOWN: [&str; 6] = ["about", "is", "weed", "lb_per_acre", "below_f", "mowings"];
/// Order of keys in an example; others stand between, `source` last.
const FIRST: [&str; 9] = [
    "about", "rule", "weed", "turf", "stage", "timing", "is", "range", "months",
];

/// Words for keys that do not take any sentence.
const WORDS: [(&str, &str); 33] = [
    ("cautions.about", "drift"),
    ("hazards.about", "people"),
    ("marks.about", "leaf"),
    ("aliases", "another spelling"),
    ("chemical_family", "name of the family"),
    ("forms", "amine salt"),
    ("mobility", "systemic"),
    ("regions", "midwest"),
    ("soil_mobility", "low"),
    ("spectrum", "broadleaf"),
    ("uptake", "foliar"),
    ("about", "mowing"),
    ("authority", "the department of agriculture"),
    ("basis", "ai"),
    ("confidence", "memory"),
    ("eppo_code", "ABCDE"),
    ("family", "Asteraceae"),
    ("form", "at least 4 by 5 inches"),
    ("kind", "use"),
    ("name", "name to show"),
    ("need", "optional"),
    ("order", "200"),
    ("rule", "name of the rule"),
    ("scientific_name", "Genus species"),
    ("scope", "lawns"),
    ("synonyms", "Genus older"),
    ("topic", "posting"),
    ("verdict", "works when young"),
    ("verify_with", "the department of agriculture"),
    ("volatility", "low"),
    ("which", "non-ionic surfactant"),
    ("when", "when somebody is exposed"),
    ("who", "for-hire"),
];

impl<'a> Examples<'a> {
    pub fn new(
        book: &'a Knowledge,
        form: &'a Value,
        memory: &'a str,
        kind: Kind,
        id: &'a str,
    ) -> Self {
        Self {
            book,
            form,
            memory,
            kind,
            id,
        }
    }

    /// An example of a key as it is written on one line.
    pub fn of(&self, key: &str, schema: &Value) -> String {
        self.under("", key, schema)
    }

    /// The keys of a group of keys that may all be missing, with an example each; nothing for anything else.
    pub fn parts(&self, key: &str, schema: &Value) -> Option<Vec<(String, String)>> {
        let schema = self.resolved(schema);
        let properties = schema["properties"].as_object()?;
        let none_required = schema["required"].as_array().is_none_or(Vec::is_empty);
        none_required.then(|| {
            properties
                .iter()
                .map(|(inner, value)| (inner.clone(), self.under(key, inner, value)))
                .collect()
        })
    }

    fn under(&self, parent: &str, key: &str, schema: &Value) -> String {
        let schema = self.resolved(schema);
        let inner = if is_list(schema) {
            self.resolved(&schema["items"])
        } else {
            schema
        };
        // A key called like a kind of entry may hold rows or a value with evidence instead of ids.
        if inner.get("properties").is_none() {
            // What `is` says belongs to the key above it.
            let name = if key == "is" { parent } else { key };
            if let Some(id) = self.id_for(name) {
                return if is_list(schema) {
                    format!("[{id}]")
                } else {
                    id
                };
            }
        }
        if let Some(first) = first_word(schema) {
            return word(first);
        }
        match kind_of(schema) {
            "object" if schema.get("properties").is_some() => self.object(key, schema),
            "object" => {
                let inner = self.under(key, "value", &schema["additionalProperties"]);
                format!("{{{}: {inner}}}", self.id)
            }
            "array" if key == "months" => "[4, 5]".to_owned(),
            "array" if schema["minItems"].as_u64() == Some(2) => "[1, 2]".to_owned(),
            "array" if key == "names" => format!("[{}]", word(&self.id.replace('-', " "))),
            "array" => format!("[{}]", self.under(parent, key, &schema["items"])),
            "integer" => "4".to_owned(),
            "number" if key == "below_f" => "85".to_owned(),
            "number" => "1".to_owned(),
            "boolean" => "true".to_owned(),
            _ => self.text(parent, key),
        }
    }

    /// Follows a reference, and takes the first of several forms that is not "nothing".
    fn resolved<'s>(&'s self, schema: &'s Value) -> &'s Value {
        let mut here = schema;
        for _ in 0..8 {
            if let Some(name) = here["$ref"].as_str().and_then(|r| r.rsplit('/').next()) {
                here = &self.form["$defs"][name];
            } else if let Some(options) = here["anyOf"].as_array() {
                let some = options.iter().find(|o| o["type"] != "null");
                here = some.unwrap_or(here);
            } else {
                break;
            }
        }
        here
    }

    fn id_for(&self, key: &str) -> Option<String> {
        if key == "source" || key == "authority_source" {
            return Some(self.memory.to_owned());
        }
        let ids = ids_of(self.book, key)?;
        // An entry is never its own look-alike or its own surroundings.
        ids.into_iter()
            .find(|id| id != self.id && id != "0")
            .map(|id| match key {
                "groups" | "group" => id,
                _ => word(&id),
            })
    }

    fn object(&self, parent: &str, schema: &Value) -> String {
        let Some(properties) = schema["properties"].as_object() else {
            return "{}".to_owned();
        };
        let required: Vec<&str> = schema["required"]
            .as_array()
            .map(|r| r.iter().filter_map(Value::as_str).collect())
            .unwrap_or_default();
        let mut keys: Vec<&String> = properties
            .keys()
            .filter(|k| required.contains(&k.as_str()) || SHOWN.contains(&k.as_str()))
            .collect();
        if keys.is_empty() {
            // All may be missing, as of the times of a plant: show them all.
            keys = properties.keys().collect();
        }
        keys.sort_by_key(|k| {
            let place = FIRST.iter().position(|f| f == k).unwrap_or(FIRST.len());
            (k.as_str() == "source", place)
        });
        let parts: Vec<String> = keys
            .into_iter()
            .map(|key| format!("{key}: {}", self.under(parent, key, &properties[key])))
            .collect();
        format!("{{{}}}", parts.join(", "))
    }

    fn text(&self, parent: &str, key: &str) -> String {
        if key == "name" && self.kind == Kind::Active {
            return word(&self.id.replace('-', " "));
        }
        let name = if key == "is" { parent } else { key };
        let both = format!("{parent}.{key}");
        let known = WORDS
            .iter()
            .find(|(k, _)| *k == both)
            .or_else(|| WORDS.iter().find(|(k, _)| *k == name));
        word(known.map_or("In your words.", |(_, text)| *text))
    }
}

fn is_list(schema: &Value) -> bool {
    kind_of(schema) == "array"
}

/// The type of a schema, without "nothing".
fn kind_of(schema: &Value) -> &str {
    match &schema["type"] {
        Value::String(one) => one,
        Value::Array(several) => several
            .iter()
            .filter_map(Value::as_str)
            .find(|t| *t != "null")
            .unwrap_or("string"),
        _ if schema.get("properties").is_some() => "object",
        _ => "string",
    }
}

/// The first word of a closed list of words.
fn first_word(schema: &Value) -> Option<&str> {
    if let Some(words) = schema["enum"].as_array() {
        return words.iter().find_map(Value::as_str);
    }
    schema["oneOf"]
        .as_array()?
        .iter()
        .find_map(|o| o["const"].as_str())
}

/// A word as YAML: in quotes where it could be read as something else.
pub fn word(text: &str) -> String {
    let simple = text
        .chars()
        .all(|c| c.is_alphanumeric() || " -+/'.()_".contains(c))
        && text.starts_with(|c: char| c.is_alphabetic())
        && !["true", "false", "null", "yes", "no", "on", "off", "y", "n"]
            .contains(&text.to_lowercase().as_str());
    if simple {
        text.to_owned()
    } else {
        serde_json::to_string(text).unwrap_or_default()
    }
}
