//! Checks of the knowledge as a whole, after every file has been read.
//!
//! Each check is one file with its code, its explanation, a bad and a good example, and a function that looks at the
//! plain structs and reports by file and path of keys. Positions are looked up afterwards. `registry.rs` lists them all.
mod acknowledged;
mod asked_in_circle;
mod bad_id;
mod bad_limit;
mod bad_month;
mod bad_range;
mod blank_text;
pub mod contents;
mod control_conflict;
mod disputed;
mod dose_clash;
mod dose_outside;
mod duplicate_id;
mod empty_key;
mod finding;
mod forbids_nothing;
mod group_clash;
mod inseparable;
mod law_as_permission;
mod legacy_group;
mod limit_on_mixture;
mod look_alike_form;
mod missing_part;
mod mix_contradiction;
mod mix_side;
mod mixture_forbidden;
mod mixture_form;
mod mixture_lenient;
mod months_clash;
mod never_asked;
mod never_offered;
mod no_authority;
mod no_evidence;
mod no_group;
pub mod page;
mod place;
mod place_circle;
mod plant_code;
mod plants;
mod prelude;
mod published_unread;
mod reader;
pub mod registry;
mod row_twice;
mod second_alone;
mod second_vote;
mod shared_name;
mod source_contradicts_itself;
mod source_not_findable;
pub mod standing;
mod state_unused;
mod text_too_long;
mod timing_clash;
mod tolerance_conflict;
mod touches_nothing;
mod trade_mark;
mod trait_form;
mod trait_unused;
mod trait_value;
mod tree;
mod unclassified;
mod unknown_id;
mod unknown_word;
mod unlikely_figure;
mod unreachable_weed;
mod unused_source;
mod without_remedy;

pub use acknowledged::acknowledge;
pub use empty_key::in_texts as empty_keys;
pub use finding::{At, Finding, Findings};
pub use place::with_positions;
pub use registry::{CHECKS, find};

use super::Knowledge;
use super::diagnostic::Severity;
use super::parallel::each;
pub use tree::{Leaf, leaves};

/// A piece of a knowledge file, as an example.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Piece {
    /// Path in the knowledge folder.
    pub file: &'static str,
    /// The keys or entries of that file that matter here; the rest is left out.
    pub yaml: &'static str,
}

/// A kind of mistake: how it is told, explained and found.
#[derive(Debug, Clone, Copy)]
pub struct Check {
    /// Stable code.
    pub code: &'static str,
    /// How bad it is.
    pub severity: Severity,
    /// The mistake in a sentence.
    pub title: &'static str,
    /// Why it matters and what to do.
    pub explanation: &'static str,
    /// What it looks like.
    pub bad: &'static [Piece],
    /// What it should look like.
    pub good: &'static [Piece],
    /// Finds it. The reader's own faults are found while reading, so there it does nothing.
    pub run: fn(&Book<'_>, &mut Findings),
    /// Whether it follows ids from file to file, and would cry wolf where a file could not be read.
    pub needs_all: bool,
}

/// What a check looks at.
pub struct Book<'a> {
    /// Everything that was read.
    pub known: &'a Knowledge,
    /// The same as a flat list of words and numbers with the keys above them.
    pub leaves: &'a [Leaf],
    /// Paths of the other files in the folder (pictures, cases, pages); `None` where no folder was read.
    pub beside: Option<&'a [String]>,
}

/// Below this many words and numbers a second thread costs more than it saves.
const WORTH_THREADS: usize = 10_000;

/// Which checks to run.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Scope {
    /// Only those that find errors: enough before the knowledge is used.
    Errors,
    /// All.
    All,
}

/// Runs the checks over a book and its leaves. `holes`: a file could not be read, so ids that lead into it are no faults of their own.
#[must_use]
pub fn check(
    known: &Knowledge,
    leaves: &[Leaf],
    beside: Option<&[String]>,
    scope: Scope,
    holes: bool,
) -> Vec<Finding> {
    let book = Book {
        known,
        leaves,
        beside,
    };
    let wanted: Vec<&Check> = CHECKS
        .iter()
        .copied()
        .filter(|check| scope == Scope::All || check.severity == Severity::Error)
        .filter(|check| !(holes && check.needs_all))
        .collect();
    // Checks know nothing of each other, so they can run side by side.
    let found = each(&wanted, leaves.len() >= WORTH_THREADS, |check| {
        let mut found = Findings::default();
        found.begin(check);
        (check.run)(&book, &mut found);
        found.into_list()
    });
    found.concat()
}
