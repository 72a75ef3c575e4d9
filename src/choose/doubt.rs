//! Choosing while the plant is not certain: options weighted by what it may be.
use super::advice;
use super::effect::Effect;
use super::gates::Here;
use super::index::Chooser;
use super::option;
use super::rank;
use super::request::Request;
use super::say::weed_name;
use super::{LeaveIt, Treatable};
use crate::words::and_list;
use serde::Serialize;

/// A plant that it may be.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Likely {
    /// Id of the weed.
    pub weed: String,
    /// Chance, 0 to 1.
    pub probability: f64,
    /// What to do if it is this: whether to leave it alone.
    pub leave_it: LeaveIt,
}

/// An option with what it is worth while the name is not certain.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Weighted {
    /// The option; its `controls` stand in the order of what the plant may be.
    #[serde(flatten)]
    pub option: Treatable,
    /// Chance that the plant is one that it controls at least fairly, 0 to 1. An unknown plant counts as not controlled.
    pub expected: f64,
    /// Chance that it is one that it controls well.
    pub expected_well: f64,
    /// What happens if the name is wrong, in a sentence.
    pub risk: String,
}

/// The answer for a plant that is not certain.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Doubt {
    /// What it may be, most likely first.
    pub likely: Vec<Likely>,
    /// Chance that it is none of these.
    pub rest: f64,
    /// Options on everything that it may be: how the grass stands them first, then the chance of control, then the rest
    /// of the usual order.
    pub options: Vec<Weighted>,
}

impl Chooser<'_> {
    /// Chooses from a belief: ids of weeds with their chances, most likely first. The weeds of `request` do not matter.
    ///
    /// Options are those of each plant by itself; nothing is offered here that a gate stops for the lawn.
    #[must_use]
    pub fn choose_in_doubt(&self, request: &Request, belief: &[(String, f64)]) -> Doubt {
        let request = Request {
            weeds: belief.iter().map(|(weed, _)| weed.clone()).collect(),
            ..request.clone()
        };
        let chances: Vec<f64> = belief.iter().map(|(_, p)| *p).collect();
        let here = Here::new(self, &request);
        let (effects, _) = self.pass(&here);
        let mut sets: Vec<Vec<usize>> = Vec::new();
        for weed in &request.weeds {
            let alone = Request {
                weeds: vec![weed.clone()],
                ..request.clone()
            };
            for picked in self.decide(&alone).options {
                let of = |e: &Effect, a: usize| e.active == a && e.pre == picked.pre;
                let set: Option<Vec<usize>> = picked
                    .actives
                    .iter()
                    .map(|&a| effects.iter().position(|e| of(e, a)))
                    .collect();
                if let Some(set) = set
                    && !sets.contains(&set)
                {
                    sets.push(set);
                }
            }
        }
        let mut options: Vec<(rank::Picked, f64, f64)> = sets
            .iter()
            .map(|set| {
                let picked = rank::pick(self, &here, &effects, set);
                let sum = |well: bool| -> f64 {
                    let on = picked.on.iter().zip(&chances);
                    on.filter(|(on, _)| {
                        on.is_some_and(|o| {
                            !well
                                || o.weighed.rating == crate::knowledge::form::active::Control::Good
                        })
                    })
                    .map(|(_, p)| p)
                    .sum()
                };
                let (expected, well) = (sum(false), sum(true));
                (picked, expected, well)
            })
            .collect();
        options.sort_by(|(a, at_least, well), (b, b_at_least, b_well)| {
            let turf = |p: &rank::Picked| (p.worth.total, p.worth.turf);
            turf(a)
                .cmp(&turf(b))
                .then_with(|| b_at_least.total_cmp(at_least))
                .then_with(|| b_well.total_cmp(well))
                .then_with(|| a.worth.cmp(&b.worth))
                .then_with(|| a.actives.cmp(&b.actives))
        });
        Doubt {
            rest: (1.0 - chances.iter().sum::<f64>()).max(0.0),
            options: options
                .iter()
                .map(|(picked, expected, expected_well)| Weighted {
                    option: option::treatable(self, &request, picked),
                    expected: *expected,
                    expected_well: *expected_well,
                    risk: self.risk_of_a_wrong_name(&request, picked, &chances),
                })
                .collect(),
            likely: belief
                .iter()
                .map(|(weed, probability)| Likely {
                    weed: weed.clone(),
                    probability: *probability,
                    leave_it: advice::leave_it(
                        self.book,
                        &Request {
                            weeds: vec![weed.clone()],
                            ..request.clone()
                        },
                    ),
                })
                .collect(),
        }
    }

    fn risk_of_a_wrong_name(
        &self,
        request: &Request,
        picked: &rank::Picked,
        chances: &[f64],
    ) -> String {
        let fails: Vec<String> = request
            .weeds
            .iter()
            .zip(&picked.on)
            .zip(chances)
            .filter(|((_, on), _)| on.is_none())
            .map(|((weed, _), p)| {
                let chance = crate::identify::percent(*p);
                format!("{} ({chance})", weed_name(self, weed))
            })
            .collect();
        let rest = (1.0 - chances.iter().sum::<f64>()).max(0.0);
        let unknown = if rest >= 0.01 {
            format!(
                " With a chance of {} it is a plant that was not reckoned with.",
                crate::identify::percent(rest)
            )
        } else {
            String::new()
        };
        let what = if fails.is_empty() {
            "It controls whichever of these it is.".to_owned()
        } else {
            format!(
                "If it is {}, the lawn was treated for nothing.",
                and_list(&fails)
            )
        };
        format!("{what}{unknown}")
    }
}
