//! New grass and treatments before emergence.
use super::weeks_after;
use crate::knowledge::Knowledge;
use crate::knowledge::form::source::Evidence;
use jiff::civil::Date;
use serde::Serialize;

/// What sowing grass means for an active.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Overseeding {
    /// Id of the active.
    pub active: String,
    /// Weeks to wait between treatment and seeding: lowest and highest figure.
    pub wait_weeks: Option<(f64, f64)>,
    /// Earliest seeding after the last treatment.
    pub earliest_seeding: Option<Date>,
    /// Last treatment that leaves the wait before the seeding.
    pub latest_treatment: Option<Date>,
    /// Whether the two clash. `None`: nobody says how long to wait, so it is not proven safe.
    pub clash: Option<bool>,
    /// One sentence.
    pub text: String,
    /// Kind of evidence.
    pub evidence: Option<Evidence>,
    /// Ids of sources.
    pub sources: Vec<String>,
}

/// Compares treatments with a day on which grass is to be sown. The longest wait counts.
#[must_use]
pub fn overseeding(
    book: &Knowledge,
    actives: &[String],
    treated: &[Date],
    seeding: Date,
) -> Vec<Overseeding> {
    actives
        .iter()
        .filter_map(|id| Some((id, book.actives.get(id)?)))
        .map(|(id, active)| {
            let Some(wait) = &active.seeding_wait_weeks else {
                return Overseeding {
                    active: id.clone(),
                    wait_weeks: None,
                    earliest_seeding: None,
                    latest_treatment: None,
                    clash: None,
                    text: format!("how long to wait between {} and seeding is not known: the label decides", active.name),
                    evidence: None,
                    sources: Vec::new(),
                };
            };
            let [low, high] = wait.range;
            let last = treated.iter().filter(|d| **d <= seeding).max();
            let earliest = last.and_then(|d| weeks_after(*d, high.0));
            let latest = weeks_after(seeding, -high.0);
            let clash = earliest.map_or(Some(false), |d| Some(d > seeding));
            let text = match (clash, earliest) {
                (Some(true), Some(day)) => format!("{} would hurt the new grass: seed from {day} on, or treat until {} at the latest", active.name, latest.map_or(String::new(), |d| d.to_string())),
                _ => format!("{} leaves the wait of {} weeks before the seeding", active.name, high.0),
            };
            Overseeding {
                active: id.clone(),
                wait_weeks: Some((low.0, high.0)),
                earliest_seeding: earliest,
                latest_treatment: latest,
                clash,
                text,
                evidence: Some(book.evidence(&wait.source)),
                sources: wait.source.to_vec(),
            }
        })
        .collect()
}
