//! A decision: what is offered, in order, and what stops everything else, in numbers.
//!
//! This is the whole choice without its words; [`super::Choice`] puts it into sentences.
use super::cover::{self, Apart};
use super::effect::{self, Effect};
use super::gates::{self, Here};
use super::index::Chooser;
use super::rank::{self, Picked};
use super::reason::{Reason, Stop};
use super::request::Request;
use std::slice::from_ref;

/// What is offered and what is not. Actives are numbers; [`Chooser::id`] names them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Decision {
    /// Options, best first.
    pub options: Vec<Picked>,
    /// Single actives with one stop each; an active may have several.
    pub stopped: Vec<(usize, Stop)>,
    /// Actives that must not share a tank, where they would have made an option.
    pub apart: Vec<(Vec<usize>, Apart)>,
    /// Actives that passed every gate and are part of no option, with the weeds that they deal with as bits.
    pub not_needed: Vec<(usize, u64)>,
}

impl Decision {
    /// Weeds of the request, by place, that no option deals with.
    pub fn uncovered(&self, weeds: usize) -> impl Iterator<Item = usize> {
        (0..weeds).filter(|&w| {
            self.options
                .iter()
                .all(|o| o.on.get(w).is_none_or(Option::is_none))
        })
    }

    /// Everything that is not offered: the actives and the reason.
    pub fn excluded(&self) -> impl Iterator<Item = (&[usize], Reason)> {
        let stopped = self.stopped.iter().map(|(a, s)| (from_ref(a), s.reason()));
        let apart = self
            .apart
            .iter()
            .map(|(set, why)| (set.as_slice(), why.reason()));
        let not_needed = self
            .not_needed
            .iter()
            .map(|(a, _)| (from_ref(a), Reason::NotNeeded));
        stopped.chain(apart).chain(not_needed)
    }
}

impl Chooser<'_> {
    /// The id of an active.
    #[must_use]
    pub fn id(&self, active: usize) -> &str {
        self.actives[active].id
    }

    /// What every active can do here, and what stops those that can do nothing.
    pub(super) fn pass(&self, here: &Here<'_>) -> (Vec<Effect>, Vec<(usize, Stop)>) {
        let mut stopped = Vec::new();
        let mut effects = Vec::new();
        let mut stops = Vec::new();
        for active in 0..self.actives.len() {
            gates::stops(self, here, active, &mut stops);
            if stops.is_empty() {
                let mut able = effect::effects(self, here, active, &mut stops);
                if !able.is_empty() {
                    // What it cannot do on one weed is no stop while it deals with another.
                    stops.clear();
                }
                effects.append(&mut able);
            }
            stopped.extend(stops.drain(..).map(|stop| (active, stop)));
        }
        (effects, stopped)
    }

    /// Decides. The request must name entries of the book (see [`Request::check`]); ids that the book does not know lead
    /// to no option, and weeds beyond [`super::MOST_WEEDS`] are not looked at.
    #[must_use]
    pub fn decide(&self, request: &Request) -> Decision {
        let here = Here::new(self, request);
        let (effects, stopped) = self.pass(&here);
        let found = cover::search(self, &here, &effects);
        let mut options: Vec<Picked> = found
            .covers
            .iter()
            .map(|set| rank::pick(self, &here, &effects, set))
            .collect();
        rank::sort(&mut options);
        let mut used = vec![false; self.actives.len()];
        for option in &options {
            for &active in &option.actives {
                used[active] = true;
            }
        }
        let mut not_needed: Vec<(usize, u64)> = Vec::new();
        for effect in effects.iter().filter(|e| !used[e.active]) {
            match not_needed.iter_mut().find(|(a, _)| *a == effect.active) {
                Some((_, deals)) => *deals |= effect.deals,
                None => not_needed.push((effect.active, effect.deals)),
            }
        }
        Decision {
            options,
            stopped,
            apart: found.apart.into_iter().collect(),
            not_needed,
        }
    }
}
