//! The order of options: what each is worth in numbers.
use super::effect::Effect;
use super::gates::Here;
use super::index::Chooser;
use super::past;
use super::time;
use crate::knowledge::form::active::{Control, Timing, Tolerance};
use crate::knowledge::form::source::Evidence;
use crate::knowledge::verdict::{Standing, Weighed};
use std::cmp::Reverse;

/// A cover with what it is worth. Numbers of actives ascend.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picked {
    /// The actives.
    pub actives: Vec<usize>,
    /// Whether it is used before the weeds come up.
    pub pre: bool,
    /// What it does on each weed of the request; `None` where it does not deal with it.
    pub on: Vec<Option<OnWeed>>,
    /// Its worth; less is better.
    pub worth: Worth,
}

/// What an option does on one weed, in numbers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct OnWeed {
    /// The active that does it; `None`: the mixture as a whole.
    pub by: Option<usize>,
    /// The timing of the statement.
    pub timing: Timing,
    /// How well.
    pub weighed: Weighed<Control>,
}

/// The order of options, field by field. What would kill the grass at another stage, and what is out of its time of year,
/// comes last of all. Then the grass comes first and its evidence next, so that nothing can buy itself a place by better
/// control; what is done with fewer actives or less risk only decides among equals.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Worth {
    /// Weeds that it does not deal with; the same for all options of one decision.
    pub missing: u32,
    /// Whether it kills the grass as well as the weed, so that nothing but the stage of the grass spares it.
    pub total: bool,
    /// Whether it is not the time of year for it, as far as the calendar tells.
    pub untimely: bool,
    /// How the worst of all grasses stands it.
    pub turf: Tolerance,
    /// How firmly that stands.
    pub turf_standing: Standing,
    /// Control of the weed that is controlled worst.
    pub worst: Reverse<Control>,
    /// How firmly that stands.
    pub worst_standing: Standing,
    /// How often its most used group was used here in the last years.
    pub repeats: u32,
    /// Treatments before emergence come after those on what is there.
    pub pre: bool,
    /// Number of actives.
    pub actives: usize,
    /// What it puts at risk on this site and beside any lawn.
    pub risk: u16,
}

/// Puts a cover into numbers.
pub(super) fn pick(
    chooser: &Chooser<'_>,
    here: &Here<'_>,
    effects: &[Effect],
    set: &[usize],
) -> Picked {
    let mut actives: Vec<usize> = set.iter().map(|&e| effects[e].active).collect();
    actives.sort_unstable();
    let pre = effects[set[0]].pre;
    let mixture = (actives.len() > 1)
        .then(|| chooser.mixture(&actives))
        .flatten();
    let on: Vec<Option<OnWeed>> = here
        .weeds
        .iter()
        .enumerate()
        .map(|(index, weed)| {
            let alone = set
                .iter()
                .filter_map(|&e| {
                    let (timing, weighed) = effects[e].on[index]?;
                    Some(OnWeed {
                        by: Some(effects[e].active),
                        timing,
                        weighed,
                    })
                })
                .reduce(|a, b| if better(&b, &a) { b } else { a });
            let timing = if pre { Timing::Pre } else { Timing::Post };
            let whole = mixture
                .zip(*weed)
                .and_then(|(m, weed)| m.control(weed, timing));
            match (alone, whole) {
                // A statement about the whole mixture counts where it is better evidence, and never makes a weed covered.
                (Some(alone), Some(weighed)) if weighed.standing < alone.weighed.standing => {
                    Some(OnWeed {
                        by: None,
                        timing,
                        weighed,
                    })
                }
                (alone, _) => alone,
            }
        })
        .collect();
    let worst = on
        .iter()
        .flatten()
        .map(|o| (Reverse(o.weighed.rating), o.weighed.standing))
        .max()
        .unwrap_or((Reverse(Control::None), Standing::Disputed));
    let turf = turf(chooser, here, &actives);
    let groups: Vec<u16> = actives
        .iter()
        .map(|&a| chooser.actives[a].form.group.is)
        .collect();
    let missing = on.iter().filter(|o| o.is_none()).count();
    Picked {
        worth: Worth {
            turf: turf.rating,
            turf_standing: turf.standing,
            missing: u32::try_from(missing).unwrap_or(u32::MAX),
            total: actives.iter().any(|&a| chooser.actives[a].total),
            untimely: on
                .iter()
                .enumerate()
                .any(|(weed, on)| on.is_some() && time::untimely(chooser, here.request, weed, pre)),
            worst: worst.0,
            worst_standing: worst.1,
            repeats: past::repeats(here.request, &groups),
            pre,
            actives: actives.len(),
            risk: actives.iter().map(|&a| risk(chooser, here, a)).sum(),
        },
        actives,
        pre,
        on,
    }
}

/// The better rating; among equals the firmer.
fn better(a: &OnWeed, b: &OnWeed) -> bool {
    (a.weighed.rating, Reverse(a.weighed.standing))
        > (b.weighed.rating, Reverse(b.weighed.standing))
}

/// The most cautious of all partners, grasses and statements about the whole mixture.
fn turf(chooser: &Chooser<'_>, here: &Here<'_>, actives: &[usize]) -> Weighed<Tolerance> {
    let mixture = chooser.mixture(actives);
    let stage = here.stage.unwrap_or_default();
    let mut all: Option<Weighed<Tolerance>> = None;
    for turf in here.turf.iter().flatten() {
        let alone = actives.iter().map(|&a| chooser.tolerance(a, *turf, stage));
        let whole = mixture.and_then(|m| m.tolerance(*turf, stage));
        for one in alone.chain([whole]).flatten() {
            let so_far = all.get_or_insert(one);
            so_far.rating = so_far.rating.max(one.rating);
            so_far.standing = so_far.standing.max(one.standing);
            so_far.evidence = so_far.evidence.max(one.evidence);
        }
    }
    // Every active of a cover has passed the gate of the grass, so there is always something to join.
    all.unwrap_or(Weighed {
        rating: Tolerance::NotRegistered,
        evidence: Evidence::Memory,
        standing: Standing::Disputed,
    })
}

/// What it puts at risk: cautions that this site calls for weigh ten times what stands on record anyway.
fn risk(chooser: &Chooser<'_>, here: &Here<'_>, active: usize) -> u16 {
    let entry = &chooser.actives[active];
    let called = entry
        .form
        .cautions
        .iter()
        .filter(|c| {
            c.about
                .as_deref()
                .is_some_and(|about| here.touched.contains(&about))
        })
        .count();
    let called = u16::try_from(called).unwrap_or(u16::MAX / 100);
    entry.risk.saturating_add(called.saturating_mul(10))
}

impl Worth {
    /// What puts an option behind the one before it, in words.
    #[must_use]
    pub fn behind(&self, before: &Self) -> &'static str {
        if self.missing != before.missing {
            "it leaves more weeds"
        } else if self.total != before.total {
            "it would kill the grass too if the stage of the grass did not spare it"
        } else if self.untimely != before.untimely {
            "this is not the time of year for it"
        } else if self.turf != before.turf {
            "the grass stands it less well"
        } else if self.turf_standing != before.turf_standing {
            "that the grass stands it is less well proven"
        } else if self.worst != before.worst {
            "it controls less well, or no grade of its control is given"
        } else if self.worst_standing != before.worst_standing {
            "how well it controls is less well proven"
        } else if self.repeats != before.repeats {
            "its group was used here more often"
        } else if self.pre != before.pre {
            "it works only before the weed comes up"
        } else if self.actives != before.actives {
            "it takes more actives"
        } else if self.risk != before.risk {
            "the book has more cautions on it"
        } else {
            "nothing but the alphabet: the book holds it as good"
        }
    }
}

/// Orders options by their worth, then by name.
pub fn sort(options: &mut [Picked]) {
    options.sort_by(|a, b| {
        a.worth
            .cmp(&b.worth)
            .then_with(|| a.actives.cmp(&b.actives))
    });
}
