//! What several statements about one thing come to.
//!
//! Statements that disagree stand side by side in the files. Two rules join them:
//! - How a grass stands an active: the most cautious statement decides, whatever it rests on.
//! - How well a weed is controlled: the best evidence decides (a read source before practice before memory, a grade before
//!   a bare listing); among equals the most cautious.
//!
//! An independent recollection (a row with `confidence`) is a second vote on a value that rests on memory. It can make the
//! value more cautious, never less, and alone it proves nothing. So a value on which two recollections disagree never
//! opens a gate: between tolerant and intermediate it counts as intermediate, between usable and not usable as not usable,
//! and it ranks behind everything that is not disputed.
use super::files::Files;
use super::form::active::{
    Active, Confidence, Control, ControlRow, Timing, Tolerance, ToleranceRow,
};
use super::form::source::Evidence;
use serde::Serialize;

/// How firmly a verdict stands. Ordered from the firmest.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Standing {
    /// A read source says so.
    Published,
    /// Common practice.
    Practice,
    /// Two independent recollections agree.
    AgreedMemory,
    /// One recollection.
    SingleMemory,
    /// Two recollections disagree; the more cautious counts.
    Disputed,
}

impl Standing {
    /// In words, as shown beside a value.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Published => "published",
            Self::Practice => "common practice",
            Self::AgreedMemory => "from memory, two recollections agree",
            Self::SingleMemory => "from memory only",
            Self::Disputed => "from memory, and two recollections disagree",
        }
    }

    /// Whether nothing but memory stands behind it.
    #[must_use]
    pub fn is_memory(self) -> bool {
        self > Self::Practice
    }
}

/// A rating with what it rests on.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Verdict<R> {
    /// The rating that counts.
    pub rating: R,
    /// Kind of evidence behind it.
    pub evidence: Evidence,
    /// How firmly it stands.
    pub standing: Standing,
    /// Limits under which it holds, from every statement that was used.
    pub conditions: Vec<String>,
    /// Ids of the sources behind the rating that counts.
    pub sources: Vec<String>,
}

/// What statements come to, without their words: what a decision needs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Weighed<R> {
    /// The rating that counts.
    pub rating: R,
    /// Kind of evidence behind it.
    pub evidence: Evidence,
    /// How firmly it stands.
    pub standing: Standing,
}

impl Files {
    /// How a grass at a stage stands an active. `None`: no statement, so nothing is proven.
    #[must_use]
    pub fn tolerance(
        &self,
        active: &Active,
        turf: &str,
        stage: &str,
    ) -> Option<Verdict<Tolerance>> {
        self.tolerance_of(&active.turf, turf, stage)
    }

    /// The same for any set of statements (those of a mixture).
    #[must_use]
    pub fn tolerance_of(
        &self,
        rows: &[ToleranceRow],
        turf: &str,
        stage: &str,
    ) -> Option<Verdict<Tolerance>> {
        let here: Vec<&ToleranceRow> = rows
            .iter()
            .filter(|r| r.turf == turf && r.stage == stage)
            .collect();
        let weighed = self.weigh_tolerance(&here)?;
        Some(Verdict {
            rating: weighed.rating,
            evidence: weighed.evidence,
            standing: weighed.standing,
            // A condition of any statement may be the one that keeps the grass alive, so none is left out.
            conditions: distinct(here.iter().filter_map(|r| r.condition.clone())),
            sources: distinct(
                here.iter()
                    .filter(|r| r.rating == weighed.rating)
                    .flat_map(|r| r.source.iter().cloned()),
            ),
        })
    }

    /// What statements about one grass at one stage come to, without their words.
    #[must_use]
    pub fn weigh_tolerance(&self, here: &[&ToleranceRow]) -> Option<Weighed<Tolerance>> {
        let first = || here.iter().filter(|r| r.confidence.is_none());
        let worst = first().map(|r| r.rating).max()?;
        let evidence = first()
            .filter(|r| r.rating == worst)
            .map(|r| self.evidence(&r.source))
            .min()?;
        let vote = here
            .iter()
            .filter(|r| r.confidence.is_some())
            .map(|r| r.rating)
            .max();
        let (rating, standing) = match (evidence, vote) {
            (Evidence::Published, _) => (worst, Standing::Published),
            (Evidence::Practice, _) => (worst, Standing::Practice),
            (Evidence::Memory, None) => (worst, Standing::SingleMemory),
            (Evidence::Memory, Some(vote)) if vote == worst => (worst, Standing::AgreedMemory),
            (Evidence::Memory, Some(vote)) => (worst.max(vote), Standing::Disputed),
        };
        Some(Weighed {
            rating,
            evidence,
            standing,
        })
    }

    /// How well an active controls a weed at a timing. `None`: no statement.
    #[must_use]
    pub fn control(&self, active: &Active, weed: &str, timing: Timing) -> Option<Verdict<Control>> {
        self.control_of(&active.controls, weed, timing)
    }

    /// The same for any set of statements (those of a mixture).
    #[must_use]
    pub fn control_of(
        &self,
        rows: &[ControlRow],
        weed: &str,
        timing: Timing,
    ) -> Option<Verdict<Control>> {
        let here: Vec<&ControlRow> = rows
            .iter()
            .filter(|r| r.weed == weed && r.timing == timing)
            .collect();
        let weighed = self.weigh_control(&here)?;
        let used: Vec<&ControlRow> = self.deciding(&here).collect();
        Some(Verdict {
            rating: weighed.rating,
            evidence: weighed.evidence,
            standing: weighed.standing,
            conditions: distinct(used.iter().filter_map(|r| r.condition.clone())),
            sources: distinct(used.iter().flat_map(|r| r.source.iter().cloned())),
        })
    }

    /// The statements about one weed and timing that decide: those of the best evidence, grades before bare listings.
    pub fn deciding<'r>(&self, here: &[&'r ControlRow]) -> impl Iterator<Item = &'r ControlRow> {
        let first = || here.iter().copied().filter(|r| r.confidence.is_none());
        let evidence = first().map(|r| self.evidence(&r.source)).min();
        let best = |r: &ControlRow| Some(self.evidence(&r.source)) == evidence;
        let graded = first().any(|r| best(r) && !r.ungraded);
        first()
            .filter(|r| best(r) && !(graded && r.ungraded))
            .collect::<Vec<_>>()
            .into_iter()
    }

    /// What statements about one weed and timing come to, without their words.
    #[must_use]
    pub fn weigh_control(&self, here: &[&ControlRow]) -> Option<Weighed<Control>> {
        let evidence = here
            .iter()
            .filter(|r| r.confidence.is_none())
            .map(|r| self.evidence(&r.source))
            .min()?;
        let worst = self.deciding(here).map(|r| r.rating).min()?;
        // A weak vote neither confirms nor disputes.
        let vote = here
            .iter()
            .filter(|r| r.confidence > Some(Confidence::Low))
            .map(|r| r.rating)
            .min();
        let (rating, standing) = match (evidence, vote) {
            (Evidence::Published, _) => (worst, Standing::Published),
            (Evidence::Practice, _) => (worst, Standing::Practice),
            (Evidence::Memory, None) => (worst, Standing::SingleMemory),
            (Evidence::Memory, Some(vote)) if vote == worst => (worst, Standing::AgreedMemory),
            (Evidence::Memory, Some(vote)) => (worst.min(vote), Standing::Disputed),
        };
        Some(Weighed {
            rating,
            evidence,
            standing,
        })
    }
}

fn distinct(items: impl Iterator<Item = String>) -> Vec<String> {
    let mut seen = Vec::new();
    for item in items {
        if !seen.contains(&item) {
            seen.push(item);
        }
    }
    seen
}
