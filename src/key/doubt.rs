//! Which answer to look at again, and what parts two plants.
//!
//! The chance that an answer s to a trait with observer error ε was a mistake, given the plant is i, is taken as
//! `min(1, ε / r_i(s))`: near ε where the plant shows s, and 1 where it does not, for then only a mistake gives s.
//! Averaged over the taxa of the book, if the plant is one of them, it is the chance that the answer is wrong. What it
//! would change is the total variation between the beliefs with and without it, ½ Σ |p − p′|; where the taxa lead to
//! outcomes, first that of the outcomes. Chance and change multiplied say how much looking again is worth.
use super::answers::{Answer, Answers};
use super::belief::{Belief, Circumstances};
use super::book::Book;
use super::observe::LEAST_ERROR;

/// An answer that may be wrong.
#[derive(Debug, Clone, PartialEq)]
pub struct Doubt {
    /// The trait.
    pub of: usize,
    /// Chance that the answer is a mistake.
    pub mistake: f64,
    /// The belief without it.
    pub then: Belief,
}

/// What a trait shows of two taxa.
#[derive(Debug, Clone, PartialEq)]
pub struct Parting {
    /// The trait.
    pub of: usize,
    /// Classes that the first shows mostly.
    pub first: Vec<usize>,
    /// Classes that the second shows mostly.
    pub second: Vec<usize>,
    /// Information about which of the two it is, bits; both taken as equally likely.
    pub bits: f64,
}

/// Less than this share of the belief is no change worth a second look.
pub const LEAST_MOVE: f64 = 0.05;
/// A trait that tells two plants apart by less than this does not part them.
const LEAST_PARTING: f64 = 0.1;

impl Book {
    /// Every answer with the chance that it is wrong and the belief without it.
    #[must_use]
    pub fn doubts(&self, at: &Circumstances, answers: &Answers) -> Vec<Doubt> {
        let belief = self.belief(at, answers);
        answers
            .sorted()
            .filter_map(|(of, answer)| {
                let mistake = self.mistake(of, answer, &belief)?;
                let mut without = answers.clone();
                without.take_back(of);
                let then = self.belief(at, &without);
                Some(Doubt { of, mistake, then })
            })
            .collect()
    }

    /// Chance that an answer is a mistake, given the belief after it.
    fn mistake(&self, of: usize, answer: &Answer, belief: &Belief) -> Option<f64> {
        let one = &self.traits()[of];
        let classes = self.classes_of(of, answer)?;
        let error = one.error.max(LEAST_ERROR);
        let wrong = |row: &Vec<f64>| {
            let r: f64 = classes.iter().map(|&c| row[c]).sum();
            (error / r.max(f64::MIN_POSITIVE)).min(1.0)
        };
        let known: f64 = belief.taxa.iter().sum();
        let told = belief.taxa.iter().zip(&one.cells);
        let sum: f64 = told
            .map(|(p, cell)| p * wrong(&one.rows[*cell as usize]))
            .sum();
        (known > 0.0).then(|| sum / known)
    }

    /// The trait that parts two taxa best, unanswered ones before answered ones; only by what the book records of both.
    #[must_use]
    pub fn parting(&self, first: usize, second: usize, answers: &Answers) -> Option<Parting> {
        (0..self.traits().len())
            .filter_map(|of| self.parting_by(of, first, second))
            .filter(|p| p.bits >= LEAST_PARTING)
            .max_by(|a, b| {
                let open = |p: &Parting| answers.get(p.of).is_none();
                open(a)
                    .cmp(&open(b))
                    .then(a.bits.total_cmp(&b.bits))
                    .then(b.of.cmp(&a.of))
            })
    }

    /// Jensen–Shannon divergence of two rows, in bits.
    fn parting_by(&self, of: usize, first: usize, second: usize) -> Option<Parting> {
        let one = &self.traits()[of];
        let classes = one.classes();
        let (a, b) = (one.recorded_row(first)?, one.recorded_row(second)?);
        let bits = (0..classes)
            .map(|c| {
                let mean = f64::midpoint(a[c], b[c]);
                let part = |p: f64| {
                    if p > 0.0 && mean > 0.0 {
                        0.5 * p * (p / mean).log2()
                    } else {
                        0.0
                    }
                };
                part(a[c]) + part(b[c])
            })
            .sum();
        let mostly = |row: &[f64]| -> Vec<usize> {
            let most = row.iter().copied().fold(0.0, f64::max);
            (0..classes).filter(|&c| row[c] >= 0.5 * most).collect()
        };
        Some(Parting {
            of,
            first: mostly(a),
            second: mostly(b),
            bits,
        })
    }
}

/// Total variation between two beliefs, 0 to 1: how much of one has to move to make the other.
#[must_use]
pub fn moved(with: &Belief, without: &Belief) -> f64 {
    let pairs = with
        .taxa
        .iter()
        .zip(&without.taxa)
        .chain(with.none_by_kind.iter().zip(&without.none_by_kind));
    0.5 * pairs.map(|(a, b)| (a - b).abs()).sum::<f64>()
}
