//! Which answer to look at again, and what parts two plants.
//!
//! The chance that an answer s to a trait with observer error ε was a mistake, given the plant is i, is taken as
//! `min(1, ε / r_i(s))`: near ε where the plant shows s, and 1 where it does not, for then only a mistake gives s.
//! Averaged over the belief it is the chance that the answer is wrong. What it would change is the total variation
//! between the beliefs with and without it, ½ Σ |p − p′|. The two multiplied say how much looking again is worth.
use super::answers::{Answer, Answers};
use super::belief::{Belief, Circumstances};
use super::book::Book;

/// An answer worth checking.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Doubt {
    /// The trait.
    pub of: usize,
    /// Chance that the answer is a mistake.
    pub mistake: f64,
    /// How much of the belief would move without it, 0 to 1.
    pub moves: f64,
    /// The likeliest taxon without it, and its chance then; none where the book holds no taxa.
    pub first_then: Option<(usize, f64)>,
    /// Chance of "none of these" without it.
    pub none_then: f64,
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
const LEAST_MOVE: f64 = 0.05;
/// A trait that tells two plants apart by less than this does not part them.
const LEAST_PARTING: f64 = 0.1;

impl Book {
    /// The answer that, if it were wrong, would change the outcome most, weighed with the chance that it is wrong.
    #[must_use]
    pub fn look_again(&self, at: &Circumstances, answers: &Answers) -> Option<Doubt> {
        let belief = self.belief(at, answers);
        answers
            .sorted()
            .filter_map(|(of, answer)| {
                let mistake = self.mistake(of, answer, &belief)?;
                let mut without = answers.clone();
                without.take_back(of);
                let then = self.belief(at, &without);
                let doubt = Doubt {
                    of,
                    mistake,
                    moves: moved(&belief, &then),
                    first_then: then.ranking().first().copied(),
                    none_then: then.none(),
                };
                (doubt.moves >= LEAST_MOVE).then_some(doubt)
            })
            .max_by(|a, b| {
                (a.mistake * a.moves)
                    .total_cmp(&(b.mistake * b.moves))
                    .then(b.of.cmp(&a.of))
            })
    }

    /// Chance that an answer is a mistake, given the belief after it.
    fn mistake(&self, of: usize, answer: &Answer, belief: &Belief) -> Option<f64> {
        let one = &self.traits()[of];
        let classes = self.classes_of(of, answer)?;
        let wrong = |row: &Vec<f64>| {
            let r: f64 = classes.iter().map(|&c| row[c]).sum();
            (one.error / r.max(f64::MIN_POSITIVE)).min(1.0)
        };
        Some(
            belief
                .taxa
                .iter()
                .zip(&one.cells)
                .map(|(p, cell)| p * wrong(&one.rows[*cell as usize]))
                .sum(),
        )
    }

    /// The trait that parts two taxa best, unanswered ones before answered ones.
    #[must_use]
    pub fn parting(&self, first: usize, second: usize, answers: &Answers) -> Option<Parting> {
        (0..self.traits().len())
            .map(|of| self.parting_by(of, first, second))
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
    fn parting_by(&self, of: usize, first: usize, second: usize) -> Parting {
        let classes = self.traits()[of].classes();
        let row = |taxon: usize| -> Vec<f64> {
            (0..classes).map(|c| self.chance(taxon, of, c)).collect()
        };
        let (a, b) = (row(first), row(second));
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
        Parting {
            of,
            first: mostly(&a),
            second: mostly(&b),
            bits,
        }
    }
}

fn moved(with: &Belief, without: &Belief) -> f64 {
    let pairs = with
        .taxa
        .iter()
        .zip(&without.taxa)
        .chain(with.none_by_kind.iter().zip(&without.none_by_kind));
    0.5 * pairs.map(|(a, b)| (a - b).abs()).sum::<f64>()
}
