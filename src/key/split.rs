//! Which question parts a set of taxa best on paper, and who goes along which of its answers.
//!
//! The question of a node is the one that is worth most for its effort. With n taxa left, `n_c` of them along answer c,
//! N the sum of the `n_c` and ε the observer error of the trait:
//!
//! ```text
//! gain  = Σ_c n_c/N log2(n/n_c)
//! worth = (1 − ε) gain − ε log2 n − ½ log2(N/n)
//! ```
//!
//! The first term is the mean reduction in bits. On paper a wrong step leads astray for good, so it costs all the bits
//! that are still needed: the second term. Taxa that go along several answers come up again in each, which makes the
//! key long: the third. Without the last two the key of 174 plants took four times as many lines, and the chance that
//! a plant comes through without a wrong step was two thirds of what it is with them.
use super::observe::{class_bounds, float};
use super::question::cost;
use crate::knowledge::form::plant::{Shows, Trait};

/// A trait has at most this many answers; `trait-form` refuses a book with more.
pub const MOST_ANSWERS: usize = 64;
/// Bits that one doubling of the plants still to be parted costs.
const COST_OF_COPIES: f64 = 0.5;

/// What the taxa of a key may answer.
pub(super) struct Sheet<'a> {
    pub(super) traits: &'a [Trait],
    /// For each trait and taxon the answers that the taxon may give, one bit each.
    pub(super) may: Vec<Vec<u64>>,
}

impl Sheet<'_> {
    /// The taxa that go along each answer, answers without taxa left out.
    pub(super) fn branches(&self, of: usize, taxa: &[usize]) -> Vec<(usize, Vec<usize>)> {
        (0..answers_of(&self.traits[of]))
            .map(|class| {
                let goes = taxa
                    .iter()
                    .copied()
                    .filter(|&t| self.may[of][t] & (1 << class) != 0)
                    .collect();
                (class, goes)
            })
            .filter(|(_, branch): &(usize, Vec<usize>)| !branch.is_empty())
            .collect()
    }

    /// The best question for a set, if one leaves fewer taxa on every answer.
    pub(super) fn best(&self, taxa: &[usize]) -> Option<usize> {
        if taxa.len() < 2 {
            return None;
        }
        let mut best: Option<(usize, f64)> = None;
        for of in 0..self.traits.len() {
            if !self.fits_all(of, taxa) {
                continue;
            }
            let sizes: Vec<usize> = self
                .branches(of, taxa)
                .into_iter()
                .map(|(_, b)| b.len())
                .collect();
            if sizes.len() < 2 || sizes.contains(&taxa.len()) {
                continue;
            }
            let worth = worth(&self.traits[of], taxa.len(), &sizes);
            if best.is_none_or(|(_, most)| worth > most) {
                best = Some((of, worth));
            }
        }
        best.map(|(of, _)| of)
    }

    /// Whether every taxon of the set is one that is asked about this trait.
    fn fits_all(&self, of: usize, taxa: &[usize]) -> bool {
        self.traits[of].asked_of.iter().all(|(id, states)| {
            let Some(other) = self.traits.iter().position(|t| &t.id == id) else {
                return false;
            };
            let allowed: u64 = self.traits[other]
                .states
                .iter()
                .take(MOST_ANSWERS)
                .enumerate()
                .filter(|(_, s)| states.contains(&s.id))
                .map(|(bit, _)| 1 << bit)
                .sum();
            taxa.iter().all(|&t| self.may[other][t] & !allowed == 0)
        })
    }
}

/// What asking about `one` is worth when `left` taxa fall into branches of these sizes; see the head of this file.
fn worth(one: &Trait, left: usize, sizes: &[usize]) -> f64 {
    let (left, total) = (float(left), float(sizes.iter().sum()));
    let gain: f64 = sizes
        .iter()
        .map(|&size| float(size) / total * (left / float(size)).log2())
        .sum();
    let bits = (1.0 - one.error.0) * gain
        - one.error.0 * left.log2()
        - COST_OF_COPIES * (total / left).log2();
    let effort = cost(one.effort);
    if bits > 0.0 {
        bits / effort
    } else {
        bits * effort
    }
}

fn answers_of(one: &Trait) -> usize {
    one.classes().min(MOST_ANSWERS)
}

/// The answers that a plant may give, as bits; every answer where nothing is known or the trait does not apply.
pub(super) fn may_answer(one: &Trait, shows: Option<&Shows>) -> u64 {
    let all = u64::MAX >> (MOST_ANSWERS - answers_of(one).max(1));
    let Some(shows) = shows else { return all };
    if let Some([from, to]) = shows.range {
        let cuts: Vec<f64> = one.cuts.iter().map(|c| c.0).collect();
        return (0..answers_of(one))
            .filter(|&class| {
                let (low, high) = class_bounds(class, &cuts);
                let (low, high) = (
                    if class == 0 { 0.0 } else { low },
                    if class == cuts.len() { f64::MAX } else { high },
                );
                from.0 <= high && to.0 > low
            })
            .map(|class| 1 << class)
            .sum();
    }
    let bits: u64 = one
        .states
        .iter()
        .take(MOST_ANSWERS)
        .enumerate()
        .filter(|(_, s)| shows.states().any(|shown| *shown == s.id))
        .map(|(bit, _)| 1 << bit)
        .sum();
    if bits == 0 { all } else { bits }
}
