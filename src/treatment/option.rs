//! An option of the choice, with names, groups and why it stands where it stands.
use super::fact::{Fact, Named, with_note};
use crate::choose::Treatable;
use crate::knowledge::Knowledge;
use crate::knowledge::form::active::{Control, Timing, Tolerance};
use crate::knowledge::form::source::Evidence;
use crate::knowledge::verdict::Standing;
use serde::Serialize;
use std::cmp::Reverse;

/// One way to treat.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct OptionLine {
    /// Names of the actives joined, and their groups: `a + b (groups 2 and 4)`.
    pub title: String,
    /// The actives.
    pub actives: Vec<Named>,
    /// Group numbers, ascending.
    pub groups: Vec<u16>,
    /// When it is applied.
    pub timing: Timing,
    /// The same in words.
    pub timing_words: String,
    /// How the grass stands it.
    pub turf: Rated,
    /// What it does on each weed.
    pub controls: Vec<Rated>,
    /// Whether the partners are known to be sold or used together.
    pub known_mixture: bool,
    /// Whether neither the grass nor any weed has anything but memory behind it.
    pub memory_alone: bool,
    /// Why it stands behind the option above it; empty for the first.
    pub behind: String,
}

/// A rating with what it rests on.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Rated {
    /// What is rated: the grass, a weed.
    pub of: String,
    /// The rating in words.
    pub rating: String,
    /// The partner that does it, where there are several.
    pub by: Vec<String>,
    /// How firmly it stands.
    pub standing: Standing,
    /// The same in words.
    pub rests: String,
    /// Limits under which it holds.
    pub conditions: Vec<String>,
    /// Kind of evidence.
    pub evidence: Evidence,
    /// Ids of the sources.
    pub sources: Vec<String>,
}

/// What a site-of-action group does.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct GroupLine {
    /// HRAC/WSSA number; 0 for not classified.
    pub number: u16,
    /// The actives of the option that belong to it.
    pub actives: Vec<String>,
    /// What it stops in the plant and what is then seen.
    pub does: Fact,
    /// What giving the actives this number rests on.
    pub number_rests_on: Fact,
}

/// The option to print. `grass` is the grass in words.
#[must_use]
pub fn line(book: &Knowledge, option: &Treatable, grass: &str) -> OptionLine {
    let actives: Vec<Named> = option
        .actives
        .iter()
        .map(|id| Named::active(book, id))
        .collect();
    let several = actives.len() > 1;
    OptionLine {
        title: title(&actives, &option.groups),
        groups: option.groups.clone(),
        timing: option.timing,
        timing_words: match option.timing {
            Timing::Pre => "before the weed comes up",
            Timing::EarlyPost => "on young plants, soon after they come up",
            Timing::Post => "on the grown plant",
        }
        .to_owned(),
        turf: Rated {
            of: grass.to_owned(),
            rating: match option.turf.rating {
                Tolerance::Tolerant => "stands it",
                _ => "stands it with some injury or under conditions",
            }
            .to_owned(),
            by: Vec::new(),
            standing: option.turf.standing,
            rests: option.turf.standing.words().to_owned(),
            conditions: option.turf.conditions.clone(),
            evidence: option.turf.evidence,
            sources: option.turf.sources.clone(),
        },
        controls: option
            .controls
            .iter()
            .map(|c| Rated {
                of: Named::weed(book, &c.weed).name,
                rating: match c.rating {
                    Control::Good => "controlled well",
                    Control::Fair => "controlled fairly",
                    _ => "not dealt with",
                }
                .to_owned(),
                by: if several {
                    c.by.iter().map(|id| Named::active(book, id).name).collect()
                } else {
                    Vec::new()
                },
                standing: c.standing,
                rests: if c.by.is_empty() {
                    "nothing on offer deals with it".to_owned()
                } else {
                    c.standing.words().to_owned()
                },
                conditions: c.conditions.clone(),
                evidence: c.evidence,
                sources: c.sources.clone(),
            })
            .collect(),
        known_mixture: option.known_mixture,
        memory_alone: option.turf.standing.is_memory()
            && option.controls.iter().all(|c| c.standing.is_memory()),
        behind: String::new(),
        actives,
    }
}

fn title(actives: &[Named], groups: &[u16]) -> String {
    let names: Vec<&str> = actives.iter().map(|a| a.name.as_str()).collect();
    let numbers: Vec<String> = groups
        .iter()
        .map(|&g| {
            if g == 0 {
                "not classified".to_owned()
            } else {
                g.to_string()
            }
        })
        .collect();
    let word = if groups.len() == 1 { "group" } else { "groups" };
    format!(
        "{} ({word} {})",
        names.join(" + "),
        crate::words::and_list(&numbers)
    )
}

/// What the groups of an option do.
#[must_use]
pub fn groups(book: &Knowledge, option: &Treatable) -> Vec<GroupLine> {
    option
        .groups
        .iter()
        .map(|&number| {
            let members: Vec<_> = option
                .actives
                .iter()
                .filter_map(|id| book.actives.get(id))
                .filter(|a| a.group.is == number)
                .collect();
            let does = book.groups.iter().find(|g| g.number == number).map_or_else(
                || Fact {
                    text: "the book does not say what this group does".to_owned(),
                    evidence: Evidence::Memory,
                    sources: Vec::new(),
                },
                |g| {
                    Fact::new(
                        book,
                        format!("{}. Seen on the weed: {}", g.site_of_action, g.symptoms),
                        &g.source,
                    )
                },
            );
            let note = members.iter().find_map(|a| a.group.note.as_deref());
            GroupLine {
                number,
                actives: members.iter().map(|a| a.name.clone()).collect(),
                does,
                number_rests_on: Fact::of_several(
                    book,
                    with_note(&format!("group {number}"), note),
                    members.iter().map(|a| &a.group.source),
                ),
            }
        })
        .collect()
}

/// The worst-controlled weed: its rating and how firmly that stands.
fn worst(option: &Treatable) -> Option<(Reverse<Control>, Standing)> {
    option
        .controls
        .iter()
        .map(|c| (Reverse(c.rating), c.standing))
        .max()
}

/// The first thing, in the order of the ranking, in which `after` is behind `before`.
#[must_use]
pub fn behind(before: &Treatable, after: &Treatable) -> String {
    let words = if after.turf.rating > before.turf.rating {
        "harder on the grass"
    } else if after.turf.standing > before.turf.standing {
        "safety on the grass less well founded"
    } else if worst(after).map(|w| w.0) > worst(before).map(|w| w.0) {
        "weaker on the weed"
    } else if worst(after) > worst(before) {
        "control less well founded"
    } else if after.timing == Timing::Pre && before.timing != Timing::Pre {
        "works before the weed is up only"
    } else if after.actives.len() > before.actives.len() {
        "more actives for the same job"
    } else {
        "level on grass and weed"
    };
    words.to_owned()
}
