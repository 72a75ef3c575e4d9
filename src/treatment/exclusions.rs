//! What is not offered, by reason.
use super::fact::Named;
use crate::choose::{Excluded, Reason};
use crate::knowledge::Knowledge;
use serde::Serialize;

/// Everything that one reason stopped.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ExclusionGroup {
    /// The reason.
    pub reason: Reason,
    /// The reason in words.
    pub words: String,
    /// Names of what it stopped, each once; partners of a tank joined by `+`.
    pub names: Vec<String>,
    /// One sentence of them as an example.
    pub example: String,
    /// Every sentence.
    pub all: Vec<Excluded>,
}

/// Groups what was excluded, in the order of the reasons.
#[must_use]
pub fn grouped(book: &Knowledge, excluded: &[Excluded]) -> Vec<ExclusionGroup> {
    let mut groups: Vec<ExclusionGroup> = Vec::new();
    for one in excluded {
        let names: Vec<String> = one
            .actives
            .iter()
            .map(|id| Named::active(book, id).name)
            .collect();
        let name = names.join(" + ");
        let found = groups.iter().position(|g| g.reason == one.reason);
        let at = found.unwrap_or_else(|| {
            groups.push(ExclusionGroup {
                reason: one.reason,
                words: words(one.reason).to_owned(),
                names: Vec::new(),
                example: one.detail.clone(),
                all: Vec::new(),
            });
            groups.len() - 1
        });
        if !groups[at].names.contains(&name) {
            groups[at].names.push(name);
        }
        groups[at].all.push(one.clone());
    }
    groups
}

/// The first sentence in which these actives, alone or among others, were stopped.
#[must_use]
pub fn first_reason(excluded: &[Excluded], actives: &[String]) -> Option<String> {
    excluded
        .iter()
        .find(|e| e.actives.iter().all(|a| actives.contains(a)))
        .map(|e| e.detail.clone())
}

fn words(reason: Reason) -> &'static str {
    match reason {
        Reason::TurfInjured => "injures this grass",
        Reason::TurfNotRegistered => "labels do not name this grass",
        Reason::TurfNotProven => "nothing proves it safe on this grass at this stage",
        Reason::TurfSeason => "this grass stands it in other months only",
        Reason::TurfTooYoung => "the grass is too new for it",
        Reason::SeedingPlanned => "seed is to be sown too soon after it",
        Reason::NotAvailable => "not to be had, or not for this use or user",
        Reason::Place => "the place forbids it, or reads so",
        Reason::Site => "the site forbids it",
        Reason::TooHot => "too hot for it",
        Reason::TooCold => "too cold for it",
        Reason::PastEmergence => "the weed has come too far for it",
        Reason::OutOfSeason => "not its time of year",
        Reason::WeedNotControlled => "too weak on the weed",
        Reason::ControlNotProven => "nothing says that it controls the weed",
        Reason::IntervalTooShort => "too soon after the last use here",
        Reason::YearlyLimit => "this year's limit is used up or would be passed",
        Reason::ResistantHere => "resistance to it is suspected here",
        Reason::TankConflict => "must not share a tank",
        Reason::NotNeeded => "others do it with fewer actives",
    }
}
