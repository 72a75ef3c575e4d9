//! What need not be asked any more: the name, and what to do whatever the name.
use super::{Key, LIKELY, LISTED, Settled};
use crate::choose::Request;
use crate::key::Belief;
use std::collections::HashMap;

/// The name is settled when one candidate has at least this chance.
const SETTLED: f64 = 0.9;
/// The likely plants must hold this share of the belief together for the treatment to be settled.
const NEARLY_ALL: f64 = 0.8;
/// More likely plants than this are too many to treat as one.
const MOST_LIKELY: usize = 8;
/// What a plant leads to that nothing deals with.
const NO_OPTION: &str = "no option";

impl Key<'_> {
    /// A number for what each taxon leads to: equal numbers for the same first option. Taxa too unlikely to matter
    /// share a number with nothing.
    pub(super) fn outcomes(&mut self, belief: &Belief) -> Option<Vec<usize>> {
        self.lawn.as_ref()?;
        let mut numbers: HashMap<Vec<String>, usize> = HashMap::new();
        let mut all = Vec::with_capacity(belief.taxa.len());
        for (taxon, p) in belief.taxa.iter().enumerate() {
            let outcome = if *p >= LISTED {
                self.outcome(taxon)
            } else {
                vec!["unlikely".to_owned()]
            };
            let next = numbers.len();
            all.push(*numbers.entry(outcome).or_insert(next));
        }
        Some(all)
    }

    /// What a taxon leads to on this lawn: the actives of the first option, or words for leaving it or having none.
    fn outcome(&mut self, taxon: usize) -> Vec<String> {
        if let Some(found) = self.outcomes.get(&taxon) {
            return found.clone();
        }
        let (Some(lawn), Some(chooser)) = (&self.lawn, &self.chooser) else {
            return Vec::new();
        };
        let request = Request {
            weeds: vec![self.book.taxa()[taxon].id.clone()],
            ..lawn.clone()
        };
        let outcome = match chooser.outcome(&request) {
            None => vec!["leave it".to_owned()],
            Some(first) if first.is_empty() => vec![NO_OPTION.to_owned()],
            Some(first) => first,
        };
        self.outcomes.insert(taxon, outcome.clone());
        outcome
    }

    pub(super) fn settled(&mut self, belief: &Belief) -> Settled {
        let ranking = belief.ranking();
        let Some(&(first, most)) = ranking.first() else {
            return Settled {
                name: false,
                treatment: false,
                why: "the book holds no plants".to_owned(),
            };
        };
        let (name, _) = self.names(&self.book.taxa()[first].id.clone());
        let named = most >= SETTLED && most > belief.none();
        let mut treatment = false;
        let mut why = if named {
            format!("{name} fits what you saw, and nothing else comes near")
        } else if belief.none() > most {
            "what you saw fits no plant of this book well".to_owned()
        } else {
            "several plants still fit what you saw".to_owned()
        };
        if self.lawn.is_some() {
            let likely: Vec<usize> = ranking
                .iter()
                .take_while(|(_, p)| *p >= LIKELY)
                .map(|(t, _)| *t)
                .collect();
            let held: f64 = likely.iter().map(|&t| belief.taxa[t]).sum();
            // An unknown plant has no treatment, so nothing is settled while it is as likely as that.
            if held >= NEARLY_ALL
                && let Some(does) = self.one_for_all(&likely)
            {
                treatment = true;
                if !named {
                    why = format!(
                        "whichever of these it is, one treatment is right on this grass ({does}); going on would only tell the name"
                    );
                }
            }
        }
        Settled {
            name: named,
            treatment,
            why,
        }
    }

    /// What to do whichever of these taxa it is: the same first option for each, or one option that deals with all.
    fn one_for_all(&mut self, likely: &[usize]) -> Option<String> {
        let outcomes: Vec<Vec<String>> = likely.iter().map(|&t| self.outcome(t)).collect();
        let first = outcomes.first()?;
        if outcomes.iter().all(|o| o == first) {
            return Some(first.join(" + "));
        }
        if likely.len() > MOST_LIKELY || outcomes.iter().any(|o| o.len() == 1 && o[0] == NO_OPTION)
        {
            return None;
        }
        let (lawn, chooser) = (self.lawn.as_ref()?, self.chooser.as_ref()?);
        let weeds = likely
            .iter()
            .map(|&t| self.book.taxa()[t].id.clone())
            .collect();
        let choice = chooser.choose(&Request {
            weeds,
            ..lawn.clone()
        });
        let option = choice
            .options
            .first()
            .filter(|_| choice.uncovered.is_empty() && !choice.leave_it.advised)?;
        Some(option.actives.join(" + "))
    }
}
