//! The choice: whether to treat, and with which class of treatment on this grass.
//!
//! Every active of the book is either part of an option or excluded with its reasons; nothing that a gate stops is
//! ever offered. The gates are in [`gates`], those from the record in [`past`], the search for the fewest actives in [`cover`], the order in [`rank`].
mod advice;
mod cover;
mod gates;
mod past;
mod rank;
mod request;

use crate::knowledge::Knowledge;
use crate::knowledge::form::active::{Control, Timing, Tolerance};
use crate::knowledge::form::source::Evidence;
use crate::knowledge::verdict::{Standing, Verdict};
use serde::Serialize;

pub use advice::{Advice, CautionLine, LawLine, LeaveIt};
pub(crate) use advice::{LIFE_TRAIT, cautions, law};
pub(crate) use cover::meets;
pub use gates::Reason;
pub use request::{Applicator, Request};

/// One way to treat, with its reasons.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Treatable {
    /// Ids of the actives, in alphabetical order.
    pub actives: Vec<String>,
    /// Their site-of-action groups, ascending, each once.
    pub groups: Vec<u16>,
    /// When it is applied.
    pub timing: Timing,
    /// What it does on each weed asked about.
    pub controls: Vec<Controlled>,
    /// How the grass stands it: the most cautious of all partners and grasses.
    pub turf: OnTurf,
    /// Cautions of these actives here, and limits that go with the ratings.
    pub cautions: Vec<String>,
    /// Why this option, and why in this place of the order.
    pub why: Vec<String>,
    /// Whether the partners are known to be sold or used together.
    pub known_mixture: bool,
}

/// What an option does on one weed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Controlled {
    /// Id of the weed.
    pub weed: String,
    /// How well.
    pub rating: Control,
    /// Kind of evidence.
    pub evidence: Evidence,
    /// How firmly that stands.
    pub standing: Standing,
    /// The partner that does it; the whole mixture where a statement is about the mixture.
    pub by: Vec<String>,
    /// Limits.
    pub conditions: Vec<String>,
    /// Ids of sources.
    pub sources: Vec<String>,
}

/// How the grass stands an option.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct OnTurf {
    /// The rating: tolerant or intermediate, nothing else is offered.
    pub rating: Tolerance,
    /// Kind of evidence.
    pub evidence: Evidence,
    /// How firmly that stands.
    pub standing: Standing,
    /// Limits.
    pub conditions: Vec<String>,
    /// Ids of sources.
    pub sources: Vec<String>,
}

/// A reason why an active, or actives together, are not offered.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Excluded {
    /// Ids of the actives.
    pub actives: Vec<String>,
    /// The gate that stopped them.
    pub reason: Reason,
    /// One sentence.
    pub detail: String,
}

/// The whole answer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Choice {
    /// Options, best first.
    pub options: Vec<Treatable>,
    /// Everything not offered, by reason.
    pub excluded: Vec<Excluded>,
    /// What helps without chemicals.
    pub without_chemicals: Vec<Advice>,
    /// Whether to leave the weeds alone.
    pub leave_it: LeaveIt,
    /// Cautions that go with any treatment here.
    pub cautions: Vec<CautionLine>,
    /// What to ask whom.
    pub law: Vec<LawLine>,
    /// Weeds that no option controls.
    pub uncovered: Vec<String>,
}

/// Chooses.
///
/// The request must name entries of the book (see [`Request::check`]); ids that the book does not know lead to no option.
#[must_use]
pub fn choose(book: &Knowledge, request: &Request) -> Choice {
    let mut excluded = Vec::new();
    let mut candidates = Vec::new();
    for (id, active) in &book.actives {
        let stopped = gates::stops(book, request, id, active);
        if !stopped.is_empty() {
            excluded.extend(stopped.into_iter().map(|(reason, detail)| Excluded {
                actives: vec![id.clone()],
                reason,
                detail,
            }));
            continue;
        }
        match gates::effects(book, request, id, active) {
            Ok(effects) => candidates.extend(effects),
            Err(reasons) => excluded.extend(reasons.into_iter().map(|(reason, detail)| Excluded {
                actives: vec![id.clone()],
                reason,
                detail,
            })),
        }
    }
    let found = cover::search(book, request, &candidates);
    excluded.extend(found.excluded);
    let mut options: Vec<Treatable> = found
        .covers
        .iter()
        .map(|cover| rank::option(book, request, cover))
        .collect();
    rank::sort(book, request, &mut options);
    rank::explain(book, request, &mut options);
    excluded.sort_by(|a, b| (a.reason, &a.actives).cmp(&(b.reason, &b.actives)));
    Choice {
        without_chemicals: advice::without_chemicals(book, request),
        leave_it: advice::leave_it(book, request),
        cautions: advice::cautions(book, request, &options),
        law: advice::law(book, request, &options),
        uncovered: found.uncovered,
        options,
        excluded,
    }
}

/// A statement about an active on the grasses of a request, joined over the grasses.
fn joined(verdicts: Vec<Verdict<Tolerance>>) -> Option<OnTurf> {
    let rating = verdicts.iter().map(|v| v.rating).max()?;
    let standing = verdicts.iter().map(|v| v.standing).max()?;
    let evidence = verdicts.iter().map(|v| v.evidence).max()?;
    let mut conditions = Vec::new();
    let mut sources = Vec::new();
    for verdict in verdicts {
        for (into, from) in [
            (&mut conditions, verdict.conditions),
            (&mut sources, verdict.sources),
        ] {
            for item in from {
                if !into.contains(&item) {
                    into.push(item);
                }
            }
        }
    }
    Some(OnTurf {
        rating,
        evidence,
        standing,
        conditions,
        sources,
    })
}
