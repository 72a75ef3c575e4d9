//! What need not be asked any more: the name, and what to do whatever the name.
//!
//! With `p_i` the belief in taxon i and `p_0` that in "none of these", `s_i` = `p_i` / (1 − `p_0`) is the chance of i if the
//! plant is one of the book's. Still likely are the taxa with `s_i` ≥ [`LIKELY_SHARE`]. The treatment is settled when
//!
//! 1. the book does not refuse the plant: `p_0` is below the chance of the likeliest taxon,
//! 2. the likely taxa hold at least [`LIKELY_HOLD`] of the s, and
//! 3. each of them leads to the same first option on this grass, or for each of them nothing is to be sprayed: it may be
//!    left alone, or the book has nothing that it would offer.
//!
//! These two figures were chosen on the blind accounts; `tests/accounts.rs` prints how often what is settled is right.
use super::{Key, LISTED, Settled, UNKNOWN_PLANT};
use crate::choose::Request;
use crate::key::Belief;
use std::collections::HashMap;

/// The name is settled when one candidate has at least this chance if the plant is one of the book's, and is likelier than
/// "none of these". Of the blind accounts that stood between 0.95 and 0.98 one in sixty had the wrong name, above that none;
/// what is to be done is mostly settled long before.
const SETTLED: f64 = 0.99;
/// A taxon with at least this chance, if the plant is one of the book's, still counts for what is to be done.
const LIKELY_SHARE: f64 = 0.12;
/// The likely taxa must hold this share together.
const LIKELY_HOLD: f64 = 0.55;
/// An answer less likely than this is not reckoned with when asking on would only confirm a name.
const POSSIBLE: f64 = 0.02;

/// What a plant leads to on a lawn.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub enum Outcome {
    /// The actives of the first option.
    Spray(Vec<String>),
    /// It may stay.
    Leave,
    /// Nothing that the book knows is both safe on this grass and of use.
    NoOption,
    /// Too unlikely to matter.
    Unlikely,
}

impl Outcome {
    /// Equal for outcomes that come to the same: nothing is sprayed on a plant that may stay, nor where nothing is offered.
    fn comes_to(&self) -> Self {
        match self {
            Self::Leave => Self::NoOption,
            other => other.clone(),
        }
    }
}

impl Key<'_> {
    /// A number for what each taxon leads to: equal numbers for the same first option. Taxa too unlikely to matter
    /// share a number with nothing.
    pub(super) fn outcomes(&mut self, belief: &Belief) -> Option<Vec<usize>> {
        self.lawn.as_ref()?;
        let mut numbers: HashMap<Outcome, usize> = HashMap::new();
        let mut all = Vec::with_capacity(belief.taxa.len());
        for (taxon, p) in belief.taxa.iter().enumerate() {
            let outcome = if *p >= LISTED {
                self.outcome(taxon).comes_to()
            } else {
                Outcome::Unlikely
            };
            let next = numbers.len();
            all.push(*numbers.entry(outcome).or_insert(next));
        }
        Some(all)
    }

    /// What a taxon leads to on this lawn.
    fn outcome(&mut self, taxon: usize) -> Outcome {
        if let Some(found) = self.outcomes.get(&taxon) {
            return found.clone();
        }
        let (Some(lawn), Some(chooser)) = (&self.lawn, &self.chooser) else {
            return Outcome::Unlikely;
        };
        let request = Request {
            weeds: vec![self.book.taxa()[taxon].id.clone()],
            ..lawn.clone()
        };
        let outcome = match chooser.outcome(&request) {
            None => Outcome::Leave,
            Some(first) if first.is_empty() => Outcome::NoOption,
            Some(first) => Outcome::Spray(first),
        };
        self.outcomes.insert(taxon, outcome.clone());
        outcome
    }

    /// What is settled at this belief, and why.
    #[must_use]
    pub fn settled(&mut self, belief: &Belief) -> Settled {
        let ranking = belief.ranking();
        let Some(&(first, most)) = ranking.first() else {
            return Settled {
                name: false,
                treatment: false,
                why: "the book holds no plants".to_owned(),
            };
        };
        let (name, _) = self.names(&self.book.taxa()[first].id.clone());
        let named = named(belief).is_some();
        let mut treatment = false;
        let mut why = if named {
            format!("{name} fits what you saw, and nothing else comes near")
        } else if belief.none() > most.max(UNKNOWN_PLANT) {
            "what you saw fits no plant of this book well".to_owned()
        } else {
            "several plants still fit what you saw".to_owned()
        };
        let likely = self.still_likely(belief);
        if let Some(does) = self.one_for_all(&likely) {
            treatment = true;
            if !named {
                why = format!("{does}; going on would only tell the name");
            }
        }
        Settled {
            name: named,
            treatment,
            why,
        }
    }

    /// Whether some answer that is to be reckoned with would change the settled name or leave it open.
    pub(super) fn could_unsettle(&self, of: usize, belief: &Belief) -> bool {
        let now = named(belief);
        let known: f64 = belief.taxa.iter().sum();
        (0..self.book.traits()[of].classes()).any(|class| {
            let told = belief.taxa.iter().enumerate();
            let chance: f64 = told.map(|(t, p)| p * self.book.chance(t, of, class)).sum();
            chance >= POSSIBLE * known && named(&self.book.after(belief, of, class)) != now
        })
    }

    /// The taxa that still count for what is to be done; none where too much of the belief lies elsewhere.
    fn still_likely(&self, belief: &Belief) -> Vec<usize> {
        let ranking = belief.ranking();
        let known: f64 = belief.taxa.iter().sum();
        let most = ranking.first().map_or(0.0, |r| r.1);
        if self.lawn.is_none() || belief.none() >= most || known <= 0.0 {
            return Vec::new();
        }
        let likely: Vec<(usize, f64)> = ranking
            .into_iter()
            .map(|(taxon, p)| (taxon, p / known))
            .take_while(|(_, share)| *share >= LIKELY_SHARE)
            .collect();
        if likely.iter().map(|l| l.1).sum::<f64>() < LIKELY_HOLD {
            return Vec::new();
        }
        likely.into_iter().map(|l| l.0).collect()
    }

    /// What to do whichever of these taxa it is, in a sentence without its full stop; nothing where they differ.
    fn one_for_all(&mut self, likely: &[usize]) -> Option<String> {
        let outcomes: Vec<Outcome> = likely.iter().map(|&t| self.outcome(t)).collect();
        let first = outcomes.first()?.clone();
        if outcomes.iter().any(|o| o.comes_to() != first.comes_to()) {
            return None;
        }
        Some(match first {
            Outcome::Spray(actives) => format!(
                "whichever of the likely plants it is, the first option on this grass is the same ({})",
                actives.join(" + ")
            ),
            _ if outcomes.iter().all(|o| *o == Outcome::Leave) => {
                "whichever of the likely plants it is, it may be left alone".to_owned()
            }
            _ => "whichever of the likely plants it is, nothing is to be sprayed on this grass: the book offers nothing or the plant may stay"
                .to_owned(),
        })
    }
}

/// The taxon whose name is settled at this belief.
fn named(belief: &Belief) -> Option<usize> {
    let (first, most) = *belief.ranking().first()?;
    let known: f64 = belief.taxa.iter().sum();
    (most >= SETTLED * known && most > belief.none()).then_some(first)
}
