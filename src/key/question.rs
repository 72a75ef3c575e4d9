//! Which question helps most: expected information per effort.
//!
//! For a question with answer classes s, rows `r_i(s)` and belief `w_i` = `p_i` / (1 − p₀) over the taxa i of the book, the
//! expected information in bits about the taxon is the mutual information (Shannon 1948; Lindley 1956 for experiments)
//!
//! ```text
//! G = Σ_s Σ_i w_i r_i(s) log2( r_i(s) / P(s) ),   P(s) = Σ_i w_i r_i(s)
//! ```
//!
//! Questions are chosen as if the plant were one of the book's: whether it is shows in every answer. That it hardly is
//! makes every question worth less.
//!
//! A plant that cannot have the trait gives rows that sum to less than 1; the rest is "not sure", which tells nothing.
//! About an outcome (what to do) that several taxa share, the same sum runs over outcomes with their mean rows.
//!
//! Of questions that are worth the same the first in the book comes first, and so do taxa of the same chance.
use super::answers::Answers;
use super::belief::Belief;
use super::book::Book;
use crate::knowledge::form::plant::Effort;

/// Less information than this is none, and the question would change nothing: (1 − p₀) G for a question about the taxon.
pub const LEAST_GAIN_BITS: f64 = 0.01;
/// A question is put only if with at least this chance the plant can have the trait, and an observer would report one of the
/// states of other traits with which alone it makes sense.
pub(super) const RELEVANT: f64 = 0.5;

/// Beside information about what to do, information about the name counts this much.
const NAME_SHARE: f64 = 0.1;
/// Below this number of taxa times traits, starting threads costs more than it saves.
const WORTH_THREADS: usize = 500_000;

/// The kind of plant is settled when one kind holds this share of the belief in the book's taxa. Before that the kind trait
/// is asked first, if it is to be asked at all.
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
    /// Why it comes before the others.
    pub reason: Reason,
}

/// What a question is asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reason {
    /// The kind, on which all other questions turn.
    Kind,
    /// What is to be done.
    Outcome,
    /// Which taxon it is.
    Taxon,
    /// Whether it is one of the book's at all.
    InTheBook,
    /// Only a mistake could still change what is settled.
    Unsettle,
}

/// What each effort costs beside a glance: 1.3 close up, 1.9 with a lens, 2.4 by digging, 3 by waiting.
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
        let known: f64 = belief.taxa.iter().sum();
        if known <= 0.0 {
            return Vec::new();
        }
        let open: Vec<usize> = (0..self.traits.len())
            .filter(|&of| answers.get(of).is_none())
            .collect();
        let mut all = spread(&open, self.taxa.len(), |of| {
            self.question(of, belief, known, outcomes)
        });
        // Which questions make sense at all turns on the kind of plant, so while the kind is open it is asked first.
        let first = self.kind_trait.filter(|_| self.kind_is_open(belief));
        for question in all.iter_mut().filter(|q| Some(q.of) == first) {
            question.reason = Reason::Kind;
        }
        let late = |q: &Question| q.reason != Reason::Kind;
        all.sort_by(|a, b| {
            late(a)
                .cmp(&late(b))
                .then(b.worth.total_cmp(&a.worth))
                .then(a.of.cmp(&b.of))
        });
        all
    }

    /// The trait as a question, if it can be answered and tells something.
    fn question(
        &self,
        of: usize,
        belief: &Belief,
        known: f64,
        outcomes: Option<&[usize]>,
    ) -> Option<Question> {
        if self.relevance_of(of, belief, known) < RELEVANT {
            return None;
        }
        let one = &self.traits[of];
        let gain_bits = information(
            &one.rows,
            &self.row_masses(of, belief, known),
            one.classes(),
        );
        if gain_bits * known < LEAST_GAIN_BITS {
            return None;
        }
        let outcome_gain_bits = outcomes.map_or(gain_bits, |o| self.gain_about(of, belief, o));
        let about_name = NAME_SHARE * gain_bits;
        let (counted, reason) = match outcomes {
            Some(_) if outcome_gain_bits >= about_name => {
                (outcome_gain_bits + about_name, Reason::Outcome)
            }
            Some(_) => (outcome_gain_bits + about_name, Reason::Taxon),
            None => (gain_bits, Reason::Taxon),
        };
        Some(Question {
            of,
            gain_bits,
            outcome_gain_bits,
            worth: counted / cost(self.traits[of].effort),
            reason,
        })
    }

    /// Whether no kind of plant holds nearly all of the belief.
    fn kind_is_open(&self, belief: &Belief) -> bool {
        let mut mass = vec![0.0; self.kinds];
        let mut known = 0.0;
        for (taxon, p) in self.taxa.iter().zip(&belief.taxa) {
            mass[taxon.kind] += p;
            known += p;
        }
        mass.into_iter().all(|p| p < KIND_SETTLED * known)
    }

    /// Chance that the plant can have the trait, or that an observer would report states of other traits for which this one
    /// makes sense; the smallest of these chances.
    pub(super) fn relevance_of(&self, of: usize, belief: &Belief, known: f64) -> f64 {
        self.traits[of]
            .asked_of
            .iter()
            .map(|(other, states)| {
                let row_mass = self.row_masses(*other, belief, known);
                let rows = &self.traits[*other].rows;
                rows.iter()
                    .zip(row_mass)
                    .map(|(row, mass)| mass * states.iter().map(|&s| row[s]).sum::<f64>())
                    .sum::<f64>()
            })
            .fold(self.can_have(of, belief, known), f64::min)
    }

    /// Share of the belief in the book's taxa that is about those which the book does not say cannot have the trait.
    fn can_have(&self, of: usize, belief: &Belief, known: f64) -> f64 {
        let one = &self.traits[of];
        let masses = self.row_masses(of, belief, known);
        let cannot = masses
            .iter()
            .enumerate()
            .filter(|(row, _)| one.is_of_none(*row));
        1.0 - cannot.map(|(_, mass)| mass).sum::<f64>()
    }

    /// Belief that falls on each distinct row of a trait, as shares of the belief in the book's taxa.
    pub(super) fn row_masses(&self, of: usize, belief: &Belief, known: f64) -> Vec<f64> {
        let one = &self.traits[of];
        let mut mass = vec![0.0; one.rows.len()];
        for (cell, p) in one.cells.iter().zip(&belief.taxa) {
            mass[*cell as usize] += p;
        }
        for p in &mut mass {
            *p /= known;
        }
        mass
    }

    /// Expected information about the taxon from asking the trait at `of`, bits.
    #[must_use]
    pub fn gain(&self, of: usize, belief: &Belief) -> f64 {
        let one = &self.traits[of];
        let known = belief.taxa.iter().sum();
        information(
            &one.rows,
            &self.row_masses(of, belief, known),
            one.classes(),
        )
    }

    /// Expected information about the outcome from asking the trait at `of`, bits.
    #[must_use]
    pub fn gain_about(&self, of: usize, belief: &Belief, outcomes: &[usize]) -> f64 {
        let one = &self.traits[of];
        let k = one.classes();
        let count = outcomes.iter().copied().max().map_or(0, |m| m + 1);
        let known: f64 = belief.taxa.iter().sum();
        let mut mass = vec![0.0; count];
        let mut mean = vec![vec![0.0; k]; count];
        for ((cell, p), outcome) in one.cells.iter().zip(&belief.taxa).zip(outcomes) {
            let p = p / known;
            mass[*outcome] += p;
            for (sum, r) in mean[*outcome].iter_mut().zip(&one.rows[*cell as usize]) {
                *sum += p * r;
            }
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

/// Scores traits, on all processors where the book is large. The result is in the order of the traits either way.
fn spread(
    open: &[usize],
    taxa: usize,
    score: impl Fn(usize) -> Option<Question> + Sync,
) -> Vec<Question> {
    let threads = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
    if threads == 1 || open.len() * taxa < WORTH_THREADS {
        return open.iter().filter_map(|&of| score(of)).collect();
    }
    let part = open.len().div_ceil(threads);
    std::thread::scope(|scope| {
        let score = &score;
        let running: Vec<_> = open
            .chunks(part)
            .map(|some| {
                scope.spawn(move || some.iter().filter_map(|&of| score(of)).collect::<Vec<_>>())
            })
            .collect();
        // A panic in a part is a panic of the whole; there is none to recover from in sums.
        running
            .into_iter()
            .flat_map(|part| part.join().unwrap_or_default())
            .collect()
    })
}
