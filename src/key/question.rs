//! Which question helps most: expected information per effort.
//!
//! For a question with answer classes s, belief w over taxa i and rows `r_i(s)`, the expected information in bits about
//! the taxon is the mutual information (Shannon 1948; Lindley 1956 for experiments)
//!
//! ```text
//! G = Σ_s Σ_i w_i r_i(s) log2( r_i(s) / P(s) ),   P(s) = Σ_i w_i r_i(s)
//! ```
//!
//! A plant that cannot have the trait gives rows that sum to less than 1; the rest is "not sure", which tells nothing.
//! About an outcome (what to do) that several taxa share, the same sum runs over outcomes with their mean rows.
use super::answers::Answers;
use super::belief::Belief;
use super::book::Book;
use crate::knowledge::form::plant::Effort;

/// Less information than this is none: the question would change nothing.
pub const LEAST_GAIN_BITS: f64 = 0.01;
/// A question is put only if at least this share of the belief is about plants that can have the trait.
const RELEVANT: f64 = 0.5;

/// The kind of plant is settled when one kind holds this share of the belief.
const KIND_SETTLED: f64 = 0.8;

/// A question worth asking.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Question {
    /// The trait asked about.
    pub of: usize,
    /// Expected information about the taxon, bits.
    pub gain_bits: f64,
    /// Expected information about the outcome, bits; equal to the other where no outcomes are given.
    pub outcome_gain_bits: f64,
    /// Information per effort by which questions are ranked.
    pub worth: f64,
}

/// What each effort costs beside a glance.
#[must_use]
pub fn cost(effort: Effort) -> f64 {
    match effort {
        Effort::Glance => 1.0,
        Effort::Close => 1.3,
        Effort::Lens => 1.9,
        Effort::Dig => 2.4,
        // Flowers and fruits are there for part of the year only; half the time nobody can answer.
        Effort::Wait => 3.0,
    }
}

impl Book {
    /// Questions not yet answered that can tell something, best first.
    ///
    /// `outcomes`, if given, numbers what each taxon leads to; information then counts first about the outcome and a
    /// tenth about the name, so that questions which change nothing that is done come last.
    #[must_use]
    pub fn questions(
        &self,
        belief: &Belief,
        answers: &Answers,
        outcomes: Option<&[usize]>,
    ) -> Vec<Question> {
        let mut all: Vec<Question> = (0..self.traits.len())
            .filter(|&of| answers.get(of).is_none() && self.relevance(of, belief) >= RELEVANT)
            .filter_map(|of| {
                let gain_bits = self.gain(of, belief);
                let outcome_gain_bits =
                    outcomes.map_or(gain_bits, |o| self.gain_about(of, belief, o));
                let counted = if outcomes.is_some() {
                    outcome_gain_bits + 0.1 * gain_bits
                } else {
                    gain_bits
                };
                (gain_bits >= LEAST_GAIN_BITS).then(|| Question {
                    of,
                    gain_bits,
                    outcome_gain_bits,
                    worth: counted / cost(self.traits[of].effort),
                })
            })
            .collect();
        // Which questions make sense at all turns on the kind of plant, so while the kind is open it is asked first.
        let first = self.kind_trait.filter(|_| self.kind_is_open(belief));
        all.sort_by(|a, b| {
            let late = |q: &Question| Some(q.of) != first;
            late(a)
                .cmp(&late(b))
                .then(b.worth.total_cmp(&a.worth))
                .then(a.of.cmp(&b.of))
        });
        all
    }

    /// Whether no kind of plant holds nearly all of the belief.
    fn kind_is_open(&self, belief: &Belief) -> bool {
        let mut mass = belief.none_by_kind.clone();
        for (taxon, p) in self.taxa.iter().zip(&belief.taxa) {
            mass[taxon.kind] += p;
        }
        mass.into_iter().all(|p| p < KIND_SETTLED)
    }

    /// Share of the belief that is about plants which are asked about the trait at all.
    #[must_use]
    pub fn relevance(&self, of: usize, belief: &Belief) -> f64 {
        self.traits[of]
            .asked_of
            .iter()
            .map(|(other, states)| {
                let row_mass = self.row_masses(*other, belief);
                let rows = &self.traits[*other].rows;
                rows.iter()
                    .zip(row_mass)
                    .map(|(row, mass)| mass * states.iter().map(|&s| row[s]).sum::<f64>())
                    .sum::<f64>()
            })
            .fold(1.0, f64::min)
    }

    /// Belief that falls on each distinct row of a trait.
    fn row_masses(&self, of: usize, belief: &Belief) -> Vec<f64> {
        let one = &self.traits[of];
        let mut mass = vec![0.0; one.rows.len()];
        for (cell, p) in one.cells.iter().zip(&belief.taxa) {
            mass[*cell as usize] += p;
        }
        for (row, p) in one.unknown_rows.iter().zip(&belief.none_by_kind) {
            mass[*row as usize] += p;
        }
        mass
    }

    /// Expected information about the taxon from asking the trait at `of`, bits.
    #[must_use]
    pub fn gain(&self, of: usize, belief: &Belief) -> f64 {
        let one = &self.traits[of];
        information(&one.rows, &self.row_masses(of, belief), one.classes())
    }

    /// Expected information about the outcome from asking the trait at `of`, bits. Strangers are an outcome of their own.
    #[must_use]
    pub fn gain_about(&self, of: usize, belief: &Belief, outcomes: &[usize]) -> f64 {
        let one = &self.traits[of];
        let k = one.classes();
        let count = outcomes.iter().copied().max().map_or(0, |m| m + 1);
        let mut mass = vec![0.0; count + 1];
        let mut mean = vec![vec![0.0; k]; count + 1];
        let mut add = |outcome: usize, row: u32, p: f64| {
            mass[outcome] += p;
            for (sum, r) in mean[outcome].iter_mut().zip(&one.rows[row as usize]) {
                *sum += p * r;
            }
        };
        for ((cell, p), outcome) in one.cells.iter().zip(&belief.taxa).zip(outcomes) {
            add(*outcome, *cell, *p);
        }
        for (row, p) in one.unknown_rows.iter().zip(&belief.none_by_kind) {
            add(count, *row, *p);
        }
        for (row, p) in mean.iter_mut().zip(&mass) {
            if *p > 0.0 {
                for r in row {
                    *r /= p;
                }
            }
        }
        information(&mean, &mass, k)
    }
}

/// `Σ_s` `Σ_row` mass·row(s)·log2(row(s)/P(s)).
fn information(rows: &[Vec<f64>], mass: &[f64], k: usize) -> f64 {
    let mut total = vec![0.0; k];
    for (row, p) in rows.iter().zip(mass) {
        if *p > 0.0 {
            for (t, r) in total.iter_mut().zip(row) {
                *t += p * r;
            }
        }
    }
    let mut bits = 0.0;
    for (row, p) in rows.iter().zip(mass) {
        if *p > 0.0 {
            for (r, t) in row.iter().zip(&total) {
                if *r > 0.0 && *t > 0.0 {
                    bits += p * r * (r / t).log2();
                }
            }
        }
    }
    bits.max(0.0)
}
