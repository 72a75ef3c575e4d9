//! The fewest actives, at most three, that deal with as many of the weeds as possible and may share a tank.
use super::effect::Effect;
use super::gates::{Gate, Here, shut};
use super::index::Chooser;
use super::reason::Reason;
use crate::knowledge::form::active::Tolerance;
use std::collections::BTreeSet;

/// At most this many actives in one option.
pub const MOST_ACTIVES: usize = 3;

/// Why actives must not stand in one tank.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Apart {
    /// This interaction of the book.
    Interaction(usize),
    /// This mixture of the book hurts this grass of the request.
    Mixture(usize, usize),
}

impl Apart {
    /// The reason code.
    #[must_use]
    pub fn reason(self) -> Reason {
        match self {
            Self::Interaction(_) => Reason::TankConflict,
            Self::Mixture(..) => Reason::TurfInjured,
        }
    }
}

/// What the search found. Sets hold places in the list of effects, ascending by active.
#[derive(Debug, Default)]
pub struct Found {
    /// Covers: all smallest ones before and all smallest ones after emergence, and known mixtures that do the same.
    pub covers: Vec<Vec<usize>>,
    /// Sets of actives that would have been covers, kept apart.
    pub apart: BTreeSet<(Vec<usize>, Apart)>,
}

/// Searches all sets of one, two and three effects of the same time. The work is small: a few dozen pass the gates.
pub(super) fn search(chooser: &Chooser<'_>, here: &Here<'_>, effects: &[Effect]) -> Found {
    let mut found = Found::default();
    for pre in [false, true] {
        let of_time: Vec<usize> = (0..effects.len())
            .filter(|&e| effects[e].pre == pre)
            .collect();
        if of_time.is_empty() {
            continue;
        }
        let mut search = Search {
            effects,
            of_time: &of_time,
            shared: Shared::new(chooser, here, effects, &of_time),
            most: 0,
            best: Vec::new(),
            clashes: Vec::new(),
        };
        search.run();
        for set in search.mixtures(chooser) {
            if !search.best.contains(&set) {
                search.best.push(set);
            }
        }
        found.covers.append(&mut search.best);
        for (set, why) in search.clashes {
            let actives = set.iter().map(|&e| effects[e].active).collect();
            found.apart.insert((actives, why));
        }
    }
    // What leaves more weeds than the best of either time is no option; a programme may still use it.
    let dealt = |set: &Vec<usize>| {
        let deals = set.iter().fold(0, |m: u64, &e| m | effects[e].deals);
        deals.count_ones()
    };
    let most = found.covers.iter().map(dealt).max().unwrap_or(0);
    found.covers.retain(|set| dealt(set) == most);
    found
}

struct Search<'s> {
    effects: &'s [Effect],
    of_time: &'s [usize],
    shared: Shared,
    /// Most weeds covered so far.
    most: u32,
    /// Sets that cover so many, none larger than needed.
    best: Vec<Vec<usize>>,
    /// Sets that would have been better or as good.
    clashes: Vec<(Vec<usize>, Apart)>,
}

impl Search<'_> {
    fn run(&mut self) {
        let all = self
            .of_time
            .iter()
            .fold(0, |m, &e| m | self.effects[e].deals);
        for size in 1..=MOST_ACTIVES {
            if self.most == all.count_ones() {
                break;
            }
            let before = self.most;
            let mut larger = Larger {
                least: before + 1,
                sets: Vec::new(),
            };
            self.extend(size, 0, &mut Vec::new(), 0, &mut larger);
            if larger.least > before && !larger.sets.is_empty() {
                self.most = larger.least;
                self.best = larger.sets;
            }
        }
    }

    /// All sets of `size` that cover at least as many weeds as the best so far of this size.
    fn extend(
        &mut self,
        size: usize,
        start: usize,
        set: &mut Vec<usize>,
        deals: u64,
        larger: &mut Larger,
    ) {
        for index in start..self.of_time.len() {
            let effect = self.of_time[index];
            let together = deals | self.effects[effect].deals;
            // A partner that adds nothing makes a set larger than it needs to be.
            if together == deals {
                continue;
            }
            set.push(effect);
            if set.len() < size {
                self.extend(size, index + 1, set, together, larger);
            } else if together.count_ones() >= larger.least {
                match self.shared.clash(set) {
                    Some((pair, why)) => {
                        if !self.clashes.iter().any(|(p, w)| *p == pair && *w == why) {
                            self.clashes.push((pair, why));
                        }
                    }
                    None => larger.take(set, together.count_ones()),
                }
            }
            set.pop();
        }
    }

    /// Mixtures sold as one product whose every partner passed the gates and that cover as much, be it more than the fewest.
    fn mixtures(&self, chooser: &Chooser<'_>) -> Vec<Vec<usize>> {
        let mut found = Vec::new();
        let sizes = 2..=MOST_ACTIVES;
        for mix in chooser
            .mixtures
            .iter()
            .filter(|m| m.sold && sizes.contains(&m.actives.len()))
        {
            let set: Option<Vec<usize>> = mix
                .actives
                .iter()
                .map(|a| {
                    self.of_time
                        .iter()
                        .copied()
                        .find(|&e| self.effects[e].active == *a)
                })
                .collect();
            let Some(set) = set else { continue };
            let deals = set.iter().fold(0, |m, &e| m | self.effects[e].deals);
            if deals.count_ones() >= self.most && self.most > 0 && self.shared.clash(&set).is_none()
            {
                found.push(set);
            }
        }
        found
    }
}

/// The sets of one size that cover the most.
struct Larger {
    least: u32,
    sets: Vec<Vec<usize>>,
}

impl Larger {
    fn take(&mut self, set: &[usize], covered: u32) {
        if covered > self.least {
            self.sets.clear();
            self.least = covered;
        }
        self.sets.push(set.to_vec());
    }
}

/// Which effects must not share a tank on this lawn.
struct Shared {
    /// Pairs, by place in the list of effects.
    pairs: Vec<Option<Apart>>,
    width: usize,
    /// Sets of which no option may hold all; the second list: at least one of these as well.
    sets: Vec<(Vec<usize>, Vec<usize>, Apart)>,
}

impl Shared {
    fn new(chooser: &Chooser<'_>, here: &Here<'_>, effects: &[Effect], of_time: &[usize]) -> Self {
        let width = effects.len();
        let mut pairs = vec![None; width * width];
        let (book, turf) = (chooser.book, &here.request.turf);
        let effect_of = |active: usize| {
            of_time
                .iter()
                .copied()
                .find(|&e| effects[e].active == active)
        };
        // Edges are few; pairs of effects would be many.
        for &first in of_time {
            for second in chooser.tank.neighbours(effects[first].active) {
                let Some(second) = effect_of(second) else {
                    continue;
                };
                if let Some(i) =
                    chooser
                        .tank
                        .apart(book, turf, effects[first].active, effects[second].active)
                    && shut(Gate::TankPair)
                {
                    pairs[first * width + second] = Some(Apart::Interaction(i));
                }
            }
        }
        let mut sets = Vec::new();
        for (i, all, any) in chooser.tank.together(book, turf) {
            let all: Option<Vec<usize>> = all.iter().map(|&a| effect_of(a)).collect();
            let any: Vec<usize> = any.iter().filter_map(|&a| effect_of(a)).collect();
            if let Some(all) = all
                && !any.is_empty()
                && shut(Gate::TankTogether)
            {
                sets.push((all, any, Apart::Interaction(*i)));
            }
        }
        for mix in &chooser.mixtures {
            let Some(turf) = injured(here, mix) else {
                continue;
            };
            let all: Option<Vec<usize>> = mix.actives.iter().map(|&a| effect_of(a)).collect();
            if let Some(all) = all
                && all.len() > 1
                && shut(Gate::TankMixture)
            {
                sets.push((all, Vec::new(), Apart::Mixture(mix.number, turf)));
            }
        }
        Self { pairs, width, sets }
    }

    /// The part of the set that must not share a tank, and why.
    fn clash(&self, set: &[usize]) -> Option<(Vec<usize>, Apart)> {
        for (place, &first) in set.iter().enumerate() {
            for &second in &set[place + 1..] {
                if let Some(why) = self.pairs[first * self.width + second] {
                    return Some((vec![first, second], why));
                }
            }
        }
        self.sets
            .iter()
            .find(|(all, any, _)| {
                all.iter().all(|e| set.contains(e))
                    && (any.is_empty() || any.iter().any(|e| set.contains(e) && !all.contains(e)))
            })
            .map(|(_, _, why)| (set.to_vec(), *why))
    }
}

/// The first grass of the request on which the book says that the mixture must not be used.
fn injured(here: &Here<'_>, mix: &super::index::Mix) -> Option<usize> {
    let stage = here.stage?;
    here.turf.iter().position(|turf| {
        turf.and_then(|turf| mix.tolerance(turf, stage))
            .is_some_and(|w| w.rating > Tolerance::Intermediate)
    })
}
