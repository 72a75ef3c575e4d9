//! Which question shows best whether the one taxon that is left is the plant at all.
//!
//! Where one taxon holds nearly all of the belief in the book's, it can still be none of them. What is asked then shows that
//! best. With H the entropy of "one of these or none", P(s) of [`super::question`], and p₀(s) the chance of none after answer s, which
//! strangers of kind g give with likelihood `L_g(s)` ([`super::belief`]),
//!
//! ```text
//! C = Σ_s P(s) ( H(p₀) − H(p₀(s)) ),   p₀(s) = A / (A + (1 − p₀) P(s)),   A = Σ_g p_g L_g(s)
//! ```
//!
//! C is reckoned as if the plant were the book's. Such a question is worth C + (1 − p₀) G for its effort, as information about
//! a whole is that about its first part and that about the rest. Where none confirms, questions go on as usual.
use super::answers::Answers;
use super::belief::Belief;
use super::book::Book;
use super::question::{LEAST_GAIN_BITS, Question, RELEVANT, Reason, cost};

impl Book {
    /// The question not yet answered that shows best whether the plant is one of the book's, if one shows anything.
    #[must_use]
    pub fn confirming(&self, belief: &Belief, answers: &Answers) -> Option<Question> {
        let known: f64 = belief.taxa.iter().sum();
        (0..self.traits.len())
            .filter(|&of| answers.get(of).is_none())
            .filter(|&of| known > 0.0 && self.relevance_of(of, belief, known) >= RELEVANT)
            .map(|of| {
                let gain_bits = self.gain(of, belief);
                let all = self.gain_about_none(of, belief, known) + known * gain_bits;
                Question {
                    of,
                    gain_bits,
                    outcome_gain_bits: 0.0,
                    worth: all / cost(self.traits[of].effort),
                    reason: Reason::InTheBook,
                }
            })
            .filter(|q| q.worth >= LEAST_GAIN_BITS)
            .max_by(|a, b| a.worth.total_cmp(&b.worth).then(b.of.cmp(&a.of)))
    }

    /// C of the head of this file, bits.
    fn gain_about_none(&self, of: usize, belief: &Belief, known: f64) -> f64 {
        let entropy = |p: f64| -> f64 {
            [p, 1.0 - p]
                .iter()
                .map(|&p| if p > 0.0 { -p * p.log2() } else { 0.0 })
                .sum()
        };
        let one = &self.traits[of];
        let masses = self.row_masses(of, belief, known);
        let now = entropy(belief.none());
        (0..one.classes())
            .map(|class| {
                let told: f64 = one
                    .rows
                    .iter()
                    .zip(&masses)
                    .map(|(r, m)| r[class] * m)
                    .sum();
                told * (now - entropy(self.none_after(belief, of, class, told)))
            })
            .sum()
    }
}
