//! What to beware of: what can hurt, plants that the book does not know, answers that do not fit.
use super::words::{labels, percent};
use super::{Key, LIKELY};
use crate::key::Belief;
use crate::key::answers::Answer;
use crate::key::book::What;
use crate::knowledge::form::common::Sources;
use crate::knowledge::form::source::Evidence;
use crate::words::{and_list, or_list};

impl Key<'_> {
    /// What can hurt comes first.
    pub(super) fn warnings(&self, belief: &Belief) -> Vec<String> {
        let mut lines = self.dangers(belief);
        if self.what == What::Weeds {
            lines.extend(self.hazards(belief));
        }
        lines.extend(self.unknown(belief));
        lines.extend(self.unfit(belief));
        lines
    }

    /// What was seen may be a plant that hurts and that the book does not hold. Told until the name is settled.
    fn dangers(&self, belief: &Belief) -> Vec<String> {
        if super::settle::named(belief).is_some() {
            return Vec::new();
        }
        let book = self.knowledge.book.iter();
        let shown = book.flat_map(|b| &b.beware).filter(|one| {
            let mut all = one.answered.iter();
            all.all(|(id, states)| self.reported(id, states))
        });
        shown
            .map(|one| self.marked(&one.text, &one.source))
            .collect()
    }

    /// Whether one of these states was reported of the trait.
    fn reported(&self, id: &str, states: &[String]) -> bool {
        let Ok(of) = self.book.trait_named(id) else {
            return false;
        };
        let Some(Answer::States(given)) = self.answers.get(of) else {
            return false;
        };
        let all = &self.book.traits()[of].states;
        given.iter().any(|&s| states.contains(&all[s]))
    }

    /// Hazards of the likely plants, those that several share once.
    fn hazards(&self, belief: &Belief) -> Vec<String> {
        let mut found: Vec<(String, Vec<String>)> = Vec::new();
        for (taxon, p) in belief.ranking() {
            let Some(weed) = self.knowledge.weeds.get(&self.book.taxa()[taxon].id) else {
                continue;
            };
            if p < LIKELY {
                break;
            }
            let name = weed.names.first().map_or("", String::as_str);
            let told = format!("{name} (chance {})", percent(p));
            for hazard in &weed.hazards {
                let text = self.marked(&hazard.text, &hazard.source);
                match found.iter_mut().find(|(known, _)| *known == text) {
                    Some((_, of)) => of.push(told.clone()),
                    None => found.push((text, vec![told.clone()])),
                }
            }
        }
        found
            .into_iter()
            .map(|(text, of)| format!("If it is {}: {text}", or_list(&of)))
            .collect()
    }

    /// A sentence with its evidence, where that is memory.
    fn marked(&self, text: &str, source: &Sources) -> String {
        let memory = self.knowledge.evidence(source) == Evidence::Memory;
        let mark = if memory { " (from memory)" } else { "" };
        format!("{}{mark}.", text.trim_end().trim_end_matches('.'))
    }

    /// That the book may not hold the plant, and whom to ask.
    fn unknown(&self, belief: &Belief) -> Option<String> {
        if !self.is_strange(belief) {
            return None;
        }
        let ask = self.knowledge.book.as_ref().map_or("", |b| b.ask.as_str());
        let whom = if ask.is_empty() {
            String::new()
        } else {
            format!(" Ask {ask}.")
        };
        let several = self.knowledge.taxon_words();
        Some(match self.kind_without_taxa() {
            Some(kind) => format!(
                "The book holds no {several} of the kind {kind}. If that is what it is, stop here.{whom}"
            ),
            None => format!(
                "This may be a {} that the book does not know.{whom}",
                self.knowledge.taxon_word()
            ),
        })
    }

    /// The kind that was reported, where the book holds none of it.
    pub(super) fn kind_without_taxa(&self) -> Option<String> {
        let (of, kinds) = self.book.kinds_with_taxa()?;
        let Some(Answer::States(given)) = self.answers.get(of) else {
            return None;
        };
        let none = given.iter().all(|kind| !kinds.contains(kind));
        none.then(|| and_list(&labels(self.trait_form(of), given)))
    }

    /// Answers that the nearest candidate does not explain: it has to be likely, or the nearest by far of what does not fit.
    fn unfit(&self, belief: &Belief) -> Vec<String> {
        let known: f64 = belief.taxa.iter().sum();
        match belief.ranking().first() {
            Some(&(first, p)) if p >= LIKELY || p >= 0.5 * known => self.misfits(first),
            _ => Vec::new(),
        }
    }
}
