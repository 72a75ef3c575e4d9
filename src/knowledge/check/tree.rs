//! Walks all knowledge as a tree of keys, so that a check can follow a naming convention instead of every struct.
//!
//! The form keeps to a convention: wherever a key is called `source`, `weed`, `turf`, `stage` and so on,
//! its words are ids of that kind. A new struct that keeps to it is checked without a new line of code here.
use super::At;
use crate::knowledge::files::Files;
use crate::knowledge::locate::Step;
use crate::knowledge::parallel::each;
use serde::Serialize;
use serde_json::Value;
use std::collections::BTreeMap;
use std::sync::Arc;

/// A value with the key that it stands under.
///
/// Leaves share the names and the ways down to them: there are some hundred thousand, and few are ever told.
#[derive(Debug, Clone)]
pub struct Leaf {
    /// The nearest key above (`source` for each of several sources).
    pub key: Arc<str>,
    /// The key above that, if any.
    pub parent: Arc<str>,
    /// The value: a word, a number, a truth value or an empty list.
    pub value: Value,
    /// Path of the file in the knowledge folder; `sources` for whichever file defines the source.
    pub file: Arc<str>,
    way: Way,
}

/// The steps from the top of a file to a value, the last one first.
type Way = Option<Arc<Link>>;

#[derive(Debug)]
struct Link {
    step: Down,
    above: Way,
}

#[derive(Debug)]
enum Down {
    Key(Arc<str>),
    Index(usize),
}

impl Leaf {
    /// Where it stands.
    #[must_use]
    pub fn at(&self) -> At {
        let mut steps: Vec<Step> = self
            .links()
            .map(|link| match &link.step {
                Down::Key(key) => (&**key).into(),
                Down::Index(index) => (*index).into(),
            })
            .collect();
        steps.reverse();
        At {
            file: self.file.to_string(),
            steps,
        }
    }

    /// The keys on the way to it, the nearest first.
    pub fn keys(&self) -> impl Iterator<Item = &str> {
        self.links().filter_map(|link| match &link.step {
            Down::Key(key) => Some(&**key),
            Down::Index(_) => None,
        })
    }

    /// Its place in the list that it stands in, where it stands in one.
    #[must_use]
    pub fn index(&self) -> Option<usize> {
        match self.way.as_ref()?.step {
            Down::Index(index) => Some(index),
            Down::Key(_) => None,
        }
    }

    /// Whether the two stand under the same group of keys.
    #[must_use]
    pub fn beside(&self, other: &Self) -> bool {
        let (Some(one), Some(two)) = (&self.way, &other.way) else {
            return false;
        };
        match (&one.above, &two.above) {
            (Some(one), Some(two)) => Arc::ptr_eq(one, two),
            (None, None) => self.file == other.file,
            _ => false,
        }
    }

    /// Whether the two stand under one and the same key, as entries of its list.
    #[must_use]
    pub fn is_of_the_key_of(&self, other: &Self) -> bool {
        let key = |leaf: &Self| {
            leaf.links()
                .find(|l| matches!(l.step, Down::Key(_)))
                .cloned()
        };
        match (key(self), key(other)) {
            (Some(one), Some(two)) => Arc::ptr_eq(&one, &two),
            _ => false,
        }
    }

    fn links(&self) -> impl Iterator<Item = &Arc<Link>> {
        std::iter::successors(self.way.as_ref(), |link| link.above.as_ref())
    }
}

/// A file as a tree, made only when it is walked.
struct Part<'a> {
    file: String,
    tree: Box<dyn Fn() -> serde_json::Result<Value> + Sync + 'a>,
}

fn part<T: Serialize + Sync>(file: impl Into<String>, content: &T) -> Part<'_> {
    Part {
        file: file.into(),
        tree: Box::new(move || serde_json::to_value(content)),
    }
}

fn folder<'a, T: Serialize + Sync>(
    name: &'a str,
    entries: &'a BTreeMap<String, T>,
) -> impl Iterator<Item = Part<'a>> {
    entries
        .iter()
        .map(move |(id, entry)| part(format!("{name}/{id}.yaml"), entry))
}

/// Every file, in the order of their names. A kind of file that is new has to be named here, or this does not compile.
fn parts(files: &Files) -> Vec<Part<'_>> {
    let Files {
        // The acknowledgements and the list of contents name entries in words of their own.
        acknowledged: _,
        contents: _,
        actives,
        book,
        care,
        cautions,
        classification,
        groups,
        interactions,
        mixing,
        mixtures,
        places,
        record_fields,
        resistance,
        situations,
        sources,
        stages,
        timing,
        traits,
        turf,
        weather,
        weeds,
    } = files;
    let mut parts: Vec<Part<'_>> = folder("actives", actives).collect();
    parts.extend([
        part("book.yaml", book),
        part("care.yaml", care),
        part("cautions.yaml", cautions),
        part("classification.yaml", classification),
        part("groups.yaml", groups),
        part("interactions.yaml", interactions),
        part("mixing.yaml", mixing),
        part("mixtures.yaml", mixtures),
    ]);
    parts.extend(folder("places", places));
    parts.extend([
        part("record-fields.yaml", record_fields),
        part("resistance.yaml", resistance),
        part("situations.yaml", situations),
        part("sources", sources),
        part("stages.yaml", stages),
        part("timing.yaml", timing),
        part("traits.yaml", traits),
    ]);
    parts.extend(folder("turf", turf));
    parts.push(part("weather.yaml", weather));
    parts.extend(folder("weeds", weeds));
    parts
}

/// Below this many files a second thread costs more than it saves.
const WORTH_THREADS: usize = 50;

/// Every leaf of every file.
#[must_use]
pub fn leaves(files: &Files) -> Vec<Leaf> {
    let parts = parts(files);
    let walked = each(&parts, parts.len() >= WORTH_THREADS, |part| {
        let mut found = Vec::new();
        // The form serialises without loss; if it ever did not, the knowledge tests would fail at once.
        if let Ok(tree) = (part.tree)() {
            walk_file(tree, &part.file, &mut found);
        }
        found
    });
    walked.into_iter().flatten().collect()
}

fn walk_file(value: Value, file: &str, found: &mut Vec<Leaf>) {
    let none: Arc<str> = Arc::from("");
    let top = Leaf {
        key: none.clone(),
        parent: none,
        value: Value::Null,
        file: Arc::from(file),
        way: None,
    };
    walk(value, &top, found);
}

/// `here` is the leaf that `value` would be if it had nothing below it.
fn walk(value: Value, here: &Leaf, found: &mut Vec<Leaf>) {
    let down = |step: Down| {
        Some(Arc::new(Link {
            step,
            above: here.way.clone(),
        }))
    };
    match value {
        Value::Object(map) => {
            for (name, inner) in map {
                let key: Arc<str> = Arc::from(name);
                let inside = Leaf {
                    way: down(Down::Key(key.clone())),
                    key,
                    parent: here.key.clone(),
                    value: Value::Null,
                    file: here.file.clone(),
                };
                walk(inner, &inside, found);
            }
        }
        Value::Array(list) if !list.is_empty() => {
            for (index, inner) in list.into_iter().enumerate() {
                let inside = Leaf {
                    way: down(Down::Index(index)),
                    ..here.clone()
                };
                walk(inner, &inside, found);
            }
        }
        value => found.push(Leaf {
            value,
            ..here.clone()
        }),
    }
}
