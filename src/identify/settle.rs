//! What need not be asked any more: the name, and what to do whatever the name.
//!
//! With `p_i` the belief in taxon i and `p_0` that in "none of these", `s_i` = `p_i` / (1 − `p_0`) is the chance of i if the
//! plant is one of the book's.
//!
//! The name is settled when one taxon has `s_i` ≥ [`SETTLED`] and `p_0` is below [`UNKNOWN_PLANT`] (0.2). Then only a question
//! comes of which an answer with at least the chance [`POSSIBLE`], if the plant is one of the book's, would unsettle it.
//!
//! Still likely are the taxa with `s_i` ≥ [`LIKELY_SHARE`]. The treatment is settled when
//!
//! 1. the plant is hardly a stranger: `p_0` is below [`UNKNOWN_PLANT`] and below the chance of the likeliest taxon,
//! 2. each of the likely taxa leads to the same first option on this grass, or for each of them nothing is to be sprayed: it
//!    may be left alone, or the book has nothing that it would offer, and
//! 3. the taxa that lead there, likely or not, hold at least [`HOLDS`] of the s.
//!
//! These figures were chosen on the blind accounts; `tests/accounts.rs` prints how often what is settled is right.
use super::words::percent;
use super::{Key, LISTED, Settled, UNKNOWN_PLANT};
use crate::choose::{LeadsTo, Request};
use crate::key::Belief;
use std::collections::HashMap;
use std::fmt::Write as _;

/// The name is settled when one candidate has at least this chance if the plant is one of the book's. Of the blind accounts
/// that stood between 0.95 and 0.98 one in sixty had the wrong name, above that none; what is to be done is mostly settled
/// long before.
const SETTLED: f64 = 0.99;
/// From this chance of "none of these" on it is told beside the name that is settled.
const TOLD: f64 = 0.05;
/// From this chance on, if the plant is one of the book's, one candidate is said to fit best.
const FITS_BEST: f64 = 0.8;
/// With fewer answers a plant is told as a stranger only where that is likelier than all of the book: nothing stands out yet.
const ENOUGH: usize = 4;
/// A taxon with at least this chance, if the plant is one of the book's, still counts for what is to be done.
const LIKELY_SHARE: f64 = 0.1;
/// The taxa that lead to what is to be done must hold this share together.
const HOLDS: f64 = 0.8;
/// An answer less likely than this is not reckoned with when asking on would only confirm a name.
const POSSIBLE: f64 = 0.02;

/// What comes to the same: nothing is sprayed on a plant that may stay, nor where nothing is offered.
pub(super) fn comes_to(outcome: LeadsTo) -> LeadsTo {
    match outcome {
        LeadsTo::Leave => LeadsTo::NoOption,
        other => other,
    }
}

impl Key<'_> {
    /// A number for what each taxon leads to: equal numbers for the same first option. Taxa too unlikely to matter have
    /// a number of their own.
    pub(super) fn outcomes(&mut self, belief: &Belief) -> Option<Vec<usize>> {
        let mut numbers: HashMap<Option<LeadsTo>, usize> = HashMap::new();
        let mut all = Vec::with_capacity(belief.taxa.len());
        for (taxon, p) in belief.taxa.iter().enumerate() {
            let outcome = if *p >= LISTED {
                Some(comes_to(self.outcome(taxon)?))
            } else {
                None
            };
            let next = numbers.len();
            all.push(*numbers.entry(outcome).or_insert(next));
        }
        self.lawn.is_some().then_some(all)
    }

    /// What a taxon leads to on this lawn; nothing without a lawn.
    pub(super) fn outcome(&mut self, taxon: usize) -> Option<LeadsTo> {
        if let Some(found) = self.outcomes.get(&taxon) {
            return Some(found.clone());
        }
        let (lawn, chooser) = (self.lawn.as_ref()?, self.chooser.as_ref()?);
        let request = Request {
            weeds: vec![self.book.taxa()[taxon].id.clone()],
            ..lawn.clone()
        };
        let outcome = chooser.outcome(&request);
        self.outcomes.insert(taxon, outcome.clone());
        Some(outcome)
    }

    /// What is settled at this belief, and why.
    #[must_use]
    pub fn settled(&mut self, belief: &Belief) -> Settled {
        let ranking = belief.ranking();
        let (one, several) = (self.knowledge.taxon_word(), self.knowledge.taxon_words());
        let Some(&(first, most)) = ranking.first() else {
            return Settled {
                name: false,
                treatment: false,
                why: format!("the book holds no {several}"),
            };
        };
        let (name, _) = self.names(&self.book.taxa()[first].id);
        let named = named(belief).is_some();
        let mut why = if named {
            let strange = if belief.none() >= TOLD {
                format!(" (none of these: {})", percent(belief.none()))
            } else {
                String::new()
            };
            format!("{name} fits what you saw, and nothing else in this book comes near{strange}")
        } else if self.is_strange(belief) {
            let so_far = if belief.none() < 0.5 { " so far" } else { "" };
            format!("what you saw fits no {one} of this book well{so_far}")
        } else if most >= SETTLED * known(belief) {
            format!(
                "{name} fits best, but it may be none of the {several} of this book ({})",
                percent(belief.none())
            )
        } else if most >= FITS_BEST * known(belief) && belief.none() < UNKNOWN_PLANT {
            format!("{name} fits best, but others are not ruled out")
        } else if belief.none() > most.max(UNKNOWN_PLANT) {
            "nothing stands out yet".to_owned()
        } else {
            format!("several {several} still fit what you saw")
        };
        let settled = self.one_for_all(belief);
        if let Some((does, holds)) = &settled
            && !named
        {
            why.clone_from(does);
            if *holds < SETTLED {
                let _ = write!(
                    why,
                    "; a chance of {} is left for {several} that need something else",
                    percent(1.0 - holds)
                );
            }
        }
        Settled {
            name: named,
            treatment: settled.is_some(),
            why,
        }
    }

    /// What going on with questions would still tell, in a part of a sentence; nothing where the name is settled too.
    pub(super) fn going_on(&mut self, belief: &Belief) -> Option<&'static str> {
        let settled = self.one_for_all(belief)?;
        if named(belief).is_some() {
            return None;
        }
        Some(if settled.1 >= SETTLED {
            "going on would only tell the name"
        } else {
            "going on would tell which"
        })
    }

    /// Whether the plant is to be told as one that the book does not hold.
    pub(super) fn is_strange(&self, belief: &Belief) -> bool {
        let most = belief.ranking().first().map_or(0.0, |r| r.1);
        let few = self.answers.given() < ENOUGH && belief.none() < 0.5;
        (!few || self.kind_without_taxa().is_some()) && belief.none() > most.max(UNKNOWN_PLANT)
    }

    /// Whether some answer that is to be reckoned with would change the settled name or leave it open.
    pub(super) fn could_unsettle(&self, of: usize, belief: &Belief) -> bool {
        let now = named(belief);
        let known = known(belief);
        (0..self.book.traits()[of].classes()).any(|class| {
            let told = belief.taxa.iter().enumerate();
            let chance: f64 = told.map(|(t, p)| p * self.book.chance(t, of, class)).sum();
            chance >= POSSIBLE * known && named(&self.book.after(belief, of, class)) != now
        })
    }

    /// What to do whichever of the likely taxa it is, in a sentence without its full stop, and the share of the taxa that lead
    /// to it; nothing where they differ or too much of the belief lies elsewhere.
    fn one_for_all(&mut self, belief: &Belief) -> Option<(String, f64)> {
        self.lawn.as_ref()?;
        let known = known(belief);
        let ranking = belief.ranking();
        let &(leader, most) = ranking.first()?;
        if belief.none() >= most.min(UNKNOWN_PLANT) {
            return None;
        }
        let first = self.outcome(leader)?;
        let (mut holds, mut alike) = (0.0, 0);
        let mut all_stay = true;
        for (taxon, p) in ranking.into_iter().take_while(|(_, p)| *p >= LISTED) {
            let outcome = self.outcome(taxon)?;
            let likely = p >= LIKELY_SHARE * known;
            if comes_to(outcome.clone()) == comes_to(first.clone()) {
                holds += p / known;
                all_stay &= !likely || outcome == LeadsTo::Leave;
                alike += usize::from(likely);
            } else if likely {
                return None;
            }
        }
        if holds < HOLDS {
            return None;
        }
        let which = if alike == 1 {
            format!(
                "it is most likely {}, and",
                self.names(&self.book.taxa()[leader].id).0
            )
        } else {
            let several = self.knowledge.taxon_words();
            format!("whichever of the likely {several} it is,")
        };
        let does = match first {
            LeadsTo::Spray { actives, timing } => {
                let time = timing.map_or(String::new(), |t| format!(", {}", t.words()));
                let same = if alike == 1 { "is" } else { "is the same:" };
                format!(
                    "{which} the first option on this grass {same} {}{time}",
                    actives.join(" + ")
                )
            }
            _ if all_stay => format!("{which} it may be left alone"),
            _ => format!(
                "{which} nothing is to be sprayed on this grass: the book offers nothing or the plant may stay"
            ),
        };
        Some((does, holds))
    }
}

fn known(belief: &Belief) -> f64 {
    belief.taxa.iter().sum()
}

/// The taxon whose name is settled at this belief.
pub(super) fn named(belief: &Belief) -> Option<usize> {
    let (first, most) = *belief.ranking().first()?;
    (most >= SETTLED * known(belief) && belief.none() < UNKNOWN_PLANT).then_some(first)
}

/// Whether one taxon is all that is left of the book's, but a stranger is not ruled out.
pub(super) fn all_but_strange(belief: &Belief) -> bool {
    let most = belief.ranking().first().map_or(0.0, |r| r.1);
    most >= SETTLED * known(belief) && belief.none() >= UNKNOWN_PLANT
}
