//! How much of each table rests on what.
use super::plants::rated;
use super::tree::Leaf;
use crate::knowledge::files::Files;
use crate::knowledge::form::common::Many;
use crate::knowledge::form::source::Evidence;
use crate::knowledge::verdict::Standing;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

/// How many values of a table rest on what.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Counts {
    /// A source that was read says so.
    pub published: usize,
    /// Common practice.
    pub practice: usize,
    /// Two independent recollections agree.
    pub agreed_memory: usize,
    /// One recollection.
    pub single_memory: usize,
    /// Two recollections disagree; the more cautious counts.
    pub disputed: usize,
}

impl Counts {
    fn add(&mut self, standing: Standing) {
        *match standing {
            Standing::Published => &mut self.published,
            Standing::Practice => &mut self.practice,
            Standing::AgreedMemory => &mut self.agreed_memory,
            Standing::SingleMemory => &mut self.single_memory,
            Standing::Disputed => &mut self.disputed,
        } += 1;
    }

    /// All of them.
    #[must_use]
    pub fn total(&self) -> usize {
        self.published + self.practice + self.agreed_memory + self.single_memory + self.disputed
    }
}

/// A table of the book.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Table {
    /// Its name.
    pub name: &'static str,
    /// How much rests on what.
    #[serde(flatten)]
    pub counts: Counts,
}

/// The tables in which single values are counted, with what belongs to each.
const PARTS: [(&str, &str); 6] = [
    ("traits", "what weeds and grasses show"),
    (
        "plants",
        "names, months, look-alikes, hazards, care of weeds and grasses",
    ),
    ("actives", "everything of an active but its two tables"),
    ("groups", "groups and the classification"),
    ("law", "places"),
    (
        "rules",
        "cautions, mixing, weather, timing, resistance, care",
    ),
];

/// Every table. In `tolerance` and `control` a value is a case (an active or mixture on a grass at a stage; against a weed at a
/// time), joined from all its statements; in the others every value with a source counts.
#[must_use]
pub fn tables(known: &Files, leaves: &[Leaf]) -> Vec<Table> {
    let mut tolerance = Counts::default();
    let mut control = Counts::default();
    for one in rated(known) {
        let cells: BTreeSet<_> = one.turf.iter().map(|r| (&r.turf, &r.stage)).collect();
        for (turf, stage) in cells {
            let here: Vec<_> = one
                .turf
                .iter()
                .filter(|r| &r.turf == turf && &r.stage == stage)
                .collect();
            if let Some(weighed) = known.weigh_tolerance(&here) {
                tolerance.add(weighed.standing);
            }
        }
        let cells: BTreeSet<_> = one.controls.iter().map(|r| (&r.weed, r.timing)).collect();
        for (weed, timing) in cells {
            let here: Vec<_> = one
                .controls
                .iter()
                .filter(|r| &r.weed == weed && r.timing == timing)
                .collect();
            if let Some(weighed) = known.weigh_control(&here) {
                control.add(weighed.standing);
            }
        }
    }
    let parts = parts(known, leaves);
    let mut all = vec![
        Table {
            name: "tolerance",
            counts: tolerance,
        },
        Table {
            name: "control",
            counts: control,
        },
    ];
    all.extend(PARTS.iter().map(|(name, _)| Table {
        name,
        counts: parts.get(name).copied().unwrap_or_default(),
    }));
    all
}

/// Single values by table: the weakest evidence among the sources of each.
fn parts(known: &Files, leaves: &[Leaf]) -> BTreeMap<&'static str, Counts> {
    let sources: Vec<&Leaf> = leaves
        .iter()
        .filter(|leaf| matches!(&*leaf.key, "source" | "authority_source"))
        .collect();
    let mut counts: BTreeMap<&'static str, Counts> = BTreeMap::new();
    // Sources of one value stand next to each other in the walk.
    for value in sources.chunk_by(|one, next| one.is_of_the_key_of(next)) {
        let (Some(first), Some(part)) = (value.first(), value.first().and_then(|leaf| part(leaf)))
        else {
            continue;
        };
        let ids = value.iter().filter_map(|leaf| leaf.value.as_str());
        if first.value.as_str().is_none() {
            continue;
        }
        counts.entry(part).or_default().add(
            match known.evidence(&Many(ids.map(str::to_owned).collect())) {
                Evidence::Published => Standing::Published,
                Evidence::Practice => Standing::Practice,
                Evidence::Memory => Standing::SingleMemory,
            },
        );
    }
    counts
}

/// The table that a value belongs to; the two big ones are counted by case.
fn part(leaf: &Leaf) -> Option<&'static str> {
    let starts = |key: &str| leaf.keys().last() == Some(key);
    let holds = |key: &str| leaf.keys().any(|above| above == key);
    match leaf.file.split('/').next().unwrap_or_default() {
        "weeds" | "turf" if starts("traits") => Some("traits"),
        "weeds" | "turf" => Some("plants"),
        "actives" if starts("turf") || starts("controls") => None,
        "mixtures.yaml" if holds("turf") || holds("controls") => None,
        "actives" | "mixtures.yaml" => Some("actives"),
        "groups.yaml" | "classification.yaml" => Some("groups"),
        "places" => Some("law"),
        "sources" => None,
        _ => Some("rules"),
    }
}
