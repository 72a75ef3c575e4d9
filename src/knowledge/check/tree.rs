//! Walks all knowledge as a tree of keys, so that a check can follow a naming convention instead of every struct.
//!
//! The form keeps to a convention: wherever a key is called `source`, `weed`, `turf`, `stage` and so on,
//! its words are ids of that kind. A new struct that keeps to it is checked without a new line of code here.
use super::At;
use crate::knowledge::files::Files;
use crate::knowledge::locate::Step;
use serde_json::Value;

/// A value with the key that it stands under.
pub struct Leaf {
    /// The nearest key above (`source` for each of several sources).
    pub key: String,
    /// The key above that, if any.
    pub parent: String,
    /// The value: a word, a number, a truth value or an empty list.
    pub value: Value,
    /// Where it stands.
    pub at: At,
}

/// Every leaf of every file.
pub fn leaves(files: &Files) -> Vec<Leaf> {
    let mut found = Vec::new();
    // The form serialises without loss; if it ever did not, the knowledge tests would fail at once.
    let Ok(Value::Object(top)) = serde_json::to_value(files) else {
        return found;
    };
    for (kind, value) in top {
        match (kind.as_str(), value) {
            ("weeds" | "turf" | "actives" | "places", Value::Object(entries)) => {
                for (id, entry) in entries {
                    let file = format!("{kind}/{id}.yaml");
                    walk(&entry, &file, "", "", &mut Vec::new(), &mut found);
                }
            }
            // The list of contents and the acknowledgements name entries in words of their own.
            ("contents" | "acknowledged", _) => {}
            ("sources", value) => walk(&value, "sources", "", "", &mut Vec::new(), &mut found),
            (_, value) => {
                let file = format!("{kind}.yaml");
                walk(&value, &file, "", "", &mut Vec::new(), &mut found);
            }
        }
    }
    found
}

fn walk(
    value: &Value,
    file: &str,
    parent: &str,
    key: &str,
    steps: &mut Vec<Step>,
    found: &mut Vec<Leaf>,
) {
    match value {
        Value::Object(map) => {
            for (name, inner) in map {
                steps.push(name.into());
                walk(inner, file, key, name, steps, found);
                steps.pop();
            }
        }
        Value::Array(list) if !list.is_empty() => {
            for (index, inner) in list.iter().enumerate() {
                steps.push(index.into());
                walk(inner, file, parent, key, steps, found);
                steps.pop();
            }
        }
        leaf => found.push(Leaf {
            key: key.to_owned(),
            parent: parent.to_owned(),
            value: leaf.clone(),
            at: At {
                file: file.to_owned(),
                steps: steps.clone(),
            },
        }),
    }
}
