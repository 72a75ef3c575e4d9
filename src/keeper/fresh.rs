//! Fresh knowledge files to fill in, made from the same structs that read them and the traits of the book.
use super::{ids, schema};
use crate::knowledge::form::active::Active;
use crate::knowledge::form::place::Place;
use crate::knowledge::form::plant::{Shows, Trait, Turf, Weed};
use crate::knowledge::form::source::Evidence;
use crate::knowledge::{Kind, Knowledge};
use crate::words::plain;
use serde_json::Value;
use std::fmt::Write as _;

mod example;
mod order;

use example::Examples;

/// A kind of file that can be begun.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Fresh {
    /// The word for it, which is also the name of its schema.
    pub word: &'static str,
    /// The folder that it lies in.
    pub folder: &'static str,
    /// The kind of entry.
    pub kind: Kind,
}

/// Every kind of file that can be begun.
pub const FRESH: [Fresh; 4] = [
    Fresh {
        word: "weed",
        folder: "weeds",
        kind: Kind::Weed,
    },
    Fresh {
        word: "turf",
        folder: "turf",
        kind: Kind::Turf,
    },
    Fresh {
        word: "active",
        folder: "actives",
        kind: Kind::Active,
    },
    Fresh {
        word: "place",
        folder: "places",
        kind: Kind::Place,
    },
];

/// Why a file cannot be begun under an id.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum BadId {
    /// The id is not in small letters, digits and hyphens.
    #[error(
        "`{typed}` is no id: write small letters, digits and single hyphens, such as `{better}`"
    )]
    Form {
        /// What was typed.
        typed: String,
        /// The same as an id.
        better: String,
    },
    /// Nothing of it can be an id.
    #[error("`{0}` is no id: write a name in small letters, digits and hyphens, such as `my-weed`")]
    Nothing(String),
    /// The book has the entry.
    #[error("the book has the {0} {1} already")]
    Taken(&'static str, String),
}

/// Whether an entry of this kind may have this id.
///
/// # Errors
/// See [`BadId`].
pub fn check_id(book: &Knowledge, fresh: Fresh, id: &str) -> Result<(), BadId> {
    let fine = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
    // `2,4-d` is the name of an active; a comma between digits is part of it.
    let comma = fresh.kind == Kind::Active;
    let good = id.chars().all(|c| fine(c) || (comma && c == ','))
        && id.starts_with(|c: char| c.is_ascii_alphanumeric())
        && !id.ends_with('-')
        && !id.contains("--")
        && id.len() <= 60;
    if !good {
        let better: String = plain(id).chars().filter(|c| fine(*c)).take(60).collect();
        let better = better.trim_matches('-').to_owned();
        let typed = crate::knowledge::fact::one_line(id, 60);
        return Err(if better.is_empty() {
            BadId::Nothing(typed)
        } else {
            BadId::Form { typed, better }
        });
    }
    if book.ids(fresh.kind).iter().any(|known| known == id) {
        return Err(BadId::Taken(fresh.kind.word(), id.to_owned()));
    }
    Ok(())
}

/// The text of a fresh file. Keys that every file must have stand there without a value; all others stand as examples
/// behind a `#`.
#[must_use]
pub fn text(book: &Knowledge, fresh: Fresh, id: &str) -> String {
    let form = schema::form(fresh.word).unwrap_or(Value::Null);
    let memory = book
        .sources
        .iter()
        .find(|(id, s)| s.evidence == Evidence::Memory && id.as_str() == "memory")
        .or_else(|| book.sources.iter().next())
        .map_or("memory", |(id, _)| id.as_str());
    let examples = Examples::new(book, &form, memory, fresh.kind, id);
    let mut out = format!(
        "# yaml-language-server: $schema=../schema/{}\n{}",
        schema::file_name(fresh.word),
        head(fresh, id, memory)
    );
    let keys = match fresh.kind {
        Kind::Weed => order::keys::<Weed>(),
        Kind::Turf => order::keys::<Turf>(),
        Kind::Place => order::keys::<Place>(),
        _ => order::keys::<Active>(),
    };
    let required = |key: &str| {
        form["required"]
            .as_array()
            .is_some_and(|r| r.iter().any(|k| k == key))
    };
    for key in keys {
        let own = &form["properties"][*key];
        out.push('\n');
        comment(
            &mut out,
            "",
            own["description"].as_str().unwrap_or_default(),
        );
        if *key == "traits" {
            traits(&mut out, book, memory);
            continue;
        }
        if let Some(parts) = examples.parts(key, own).filter(|_| !required(key)) {
            let _ = writeln!(out, "#{key}:");
            for (inner, example) in parts {
                let _ = writeln!(out, "#  {inner}: {example}");
            }
            continue;
        }
        let value = examples.of(key, own);
        if required(key) {
            let _ = writeln!(out, "{key}: # {value}");
        } else {
            let _ = writeln!(out, "#{key}: {value}");
        }
    }
    out
}

fn head(fresh: Fresh, id: &str, memory: &str) -> String {
    format!(
        "# The {} {id}; the name of this file is its id.\n\
         # - A key without a value must be filled in; behind its # stands an example.\n\
         # - A line that begins with # and a key is an example: take the # away and change it, or take the line away.\n\
         #   What is not known stays out: a gap stays a gap.\n\
         # - `source` says what a value rests on: the id of a text that was really read (describe it in sources/), or\n\
         #   `{memory}`. Several stand in a list: [one-source, another]. Never call a value read that nobody read.\n\
         # - A text with `: ` or `#` in it, or one that looks like a number, needs quotes.\n\
         # When done: ligule knowledge check DIR\n",
        fresh.kind.word()
    )
}

/// Longest line of a comment.
const COLUMNS: usize = 118;

fn comment(out: &mut String, indent: &str, text: &str) {
    let mut line = String::new();
    for word in text.split_whitespace() {
        if line.len() + word.len() + indent.len() + 3 > COLUMNS {
            let _ = writeln!(out, "{indent}#{line}");
            line.clear();
        }
        line.push(' ');
        line.push_str(word);
    }
    if !line.is_empty() {
        let _ = writeln!(out, "{indent}#{line}");
    }
}

/// Every trait of the book with its question and its states. The trait that splits plants into kinds must be filled in.
fn traits(out: &mut String, book: &Knowledge, memory: &str) {
    let kind_trait = book.book.as_ref().and_then(|b| b.kind_trait.as_deref());
    let (kind, others): (Vec<&Trait>, Vec<&Trait>) = book
        .traits
        .iter()
        .partition(|t| Some(t.id.as_str()) == kind_trait);
    let _ = writeln!(
        out,
        "# `is`: what it shows (a list means either); `sometimes`: now and then; `is: na`: the trait cannot apply."
    );
    let (mut sign, list) = if kind.is_empty() {
        ("#", others)
    } else {
        ("", [kind, others].concat())
    };
    let _ = writeln!(out, "{sign}traits:");
    for of in list {
        comment(out, "  ", &of.question);
        if of.states.is_empty() {
            let unit = of.unit.as_deref().unwrap_or("number");
            comment(out, "  ", &format!("from and to, {unit}"));
            let _ = writeln!(out, "  #{}: {{range: [1, 2], source: {memory}}}", of.id);
            continue;
        }
        let states: Vec<String> = of.states.iter().map(|s| example::word(&s.id)).collect();
        comment(out, "  ", &format!("states: {}", states.join(", ")));
        let first = states.first().map_or("na", String::as_str);
        if sign.is_empty() && Some(of.id.as_str()) == kind_trait {
            let _ = writeln!(out, "  {}: # {{is: {first}, source: {memory}}}", of.id);
        } else {
            let _ = writeln!(out, "  #{}: {{is: {first}, source: {memory}}}", of.id);
        }
        sign = "";
    }
    debug_assert!(order::keys::<Shows>().contains(&"is"));
}

/// The ids that a key's words are taken from, for the examples.
fn ids_of(book: &Knowledge, key: &str) -> Option<Vec<String>> {
    let kind = match ids::list_of(key)? {
        "source" => Kind::Source,
        "weed" => Kind::Weed,
        "turf" => Kind::Turf,
        "active" => Kind::Active,
        "place" => Kind::Place,
        "stage" => Kind::Stage,
        "situation" => Kind::Situation,
        "trait" => Kind::Trait,
        "group" => Kind::Group,
        "record-field" => {
            return Some(book.record_fields.iter().map(|f| f.id.clone()).collect());
        }
        _ => return None,
    };
    Some(book.ids(kind))
}
