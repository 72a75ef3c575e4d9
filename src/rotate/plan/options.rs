//! What may be done on an occasion, and what was done before.
use super::{Ask, Occasion, Used};
use crate::choose::{Request, Treatable, choose};
use crate::knowledge::Knowledge;
use crate::knowledge::form::active::Control;
use crate::knowledge::form::season::CostKind;
use crate::rotate::cost::{Charge, Past, Rules};
use crate::rotate::path::Candidate;
use std::collections::BTreeSet;

/// An option of an occasion.
pub struct Kept {
    pub option: Option<Treatable>,
    pub candidate: Candidate,
    pub charges: Vec<Charge>,
    pub leaves: Vec<String>,
    /// For each weed that it deals with, the groups of the partners that do it.
    pub hits: Vec<(String, Vec<u16>)>,
}

/// The options of one occasion, one for each set of groups, and the rest.
pub fn options(book: &Knowledge, rules: &Rules, ask: &Ask, when: &Occasion) -> Vec<Kept> {
    let choice = choose(
        book,
        &Request {
            month: Some(when.month),
            ..ask.request.clone()
        },
    );
    let mut kept: Vec<Kept> = Vec::new();
    let mut sets: BTreeSet<Vec<u16>> = BTreeSet::new();
    for (rank, option) in choice.options.into_iter().enumerate() {
        if !works(book, ask, &option) || !sets.insert(option.groups.clone()) {
            continue;
        }
        let mut charges = Vec::new();
        let mut charge = |kind: CostKind, group: u16, times: usize| {
            let points = rules.points(kind) * u32::try_from(times).unwrap_or(u32::MAX);
            if points > 0 {
                charges.push(Charge {
                    kind,
                    group,
                    points,
                });
            }
        };
        charge(CostKind::RankStep, 0, rank.min(10));
        charge(
            CostKind::FairControl,
            0,
            option
                .controls
                .iter()
                .filter(|c| c.rating == Control::Fair)
                .count(),
        );
        for &group in &option.groups {
            match on_record(book, ask, group) {
                Some(true) => charge(CostKind::ResistanceHere, group, 1),
                Some(false) => charge(CostKind::ResistanceElsewhere, group, 1),
                None => {}
            }
        }
        kept.push(Kept {
            candidate: Candidate {
                past: Past {
                    year: when.year,
                    month: when.month,
                    groups: option.groups.clone(),
                    families: families(book, &option.actives),
                },
                own: charges.iter().map(|c| c.points).sum(),
            },
            charges,
            leaves: option
                .controls
                .iter()
                .filter(|c| c.rating < Control::Fair)
                .map(|c| c.weed.clone())
                .collect(),
            hits: option
                .controls
                .iter()
                .filter(|c| c.rating >= Control::Fair)
                .map(|c| {
                    (
                        c.weed.clone(),
                        c.by.iter()
                            .filter_map(|id| book.actives.get(id))
                            .map(|a| a.group.is)
                            .collect(),
                    )
                })
                .collect(),
            option: Some(option),
        });
    }
    kept.push(Kept {
        option: None,
        candidate: Candidate {
            past: Past {
                year: when.year,
                month: when.month,
                groups: Vec::new(),
                families: Vec::new(),
            },
            own: 0,
        },
        charges: Vec::new(),
        leaves: ask.request.weeds.clone(),
        hits: Vec::new(),
    });
    kept
}

/// Nodes that one layer of the graph may have.
const MOST_NODES: usize = 4000;

/// Leaves so many options that the graph stays small: those first whose groups hold no smaller set, then by rank. The rest
/// always stays. With two occasions a year this takes nothing away; a book would need over sixty sets for it to matter.
pub fn trimmed(layer: &[Kept], back: usize) -> Vec<usize> {
    let most = (2..=layer.len())
        .rev()
        .find(|n| {
            n.checked_pow(u32::try_from(back).unwrap_or(u32::MAX))
                .is_some_and(|nodes| nodes <= MOST_NODES)
        })
        .unwrap_or(2);
    let groups = |i: usize| &layer[i].candidate.past.groups;
    let larger = |i: usize| {
        (0..layer.len()).any(|k| {
            k != i
                && !groups(k).is_empty()
                && groups(k) != groups(i)
                && groups(k).iter().all(|g| groups(i).contains(g))
        })
    };
    let rest = layer.len() - 1;
    let mut order: Vec<usize> = (0..rest).collect();
    order.sort_by_key(|&i| (larger(i), i));
    order.truncate(most - 1);
    order.push(rest);
    order
}

/// Whether no weed that an option is meant for shrugs off all the partners that control it.
fn works(book: &Knowledge, ask: &Ask, option: &Treatable) -> bool {
    option
        .controls
        .iter()
        .filter(|c| c.rating >= Control::Fair)
        .all(|control| {
            let dead: Vec<u16> = ask
                .resistant
                .iter()
                .filter(|r| r.weed == control.weed)
                .map(|r| r.group)
                .collect();
            control
                .by
                .iter()
                .filter_map(|id| book.actives.get(id))
                .any(|a| !dead.contains(&a.group.is))
        })
}

fn families(book: &Knowledge, actives: &[String]) -> Vec<(u16, String)> {
    let mut all: Vec<(u16, String)> = actives
        .iter()
        .filter_map(|id| book.actives.get(id))
        .flat_map(|a| {
            a.chemical_family
                .iter()
                .flat_map(|f| f.is.iter())
                .map(|f| (a.group.is, f.clone()))
        })
        .collect();
    all.sort();
    all.dedup();
    all
}

/// Words in `status` that say that there is no resistance.
const NO_CASE: [&str; 5] = ["no ", "not ", "none", "naturally", "susceptible"];

/// Whether resistance of one of the weeds to a group is on record in turf: here (`true`) or elsewhere (`false`).
fn on_record(book: &Knowledge, ask: &Ask, group: u16) -> Option<bool> {
    let places: Vec<&str> = ask
        .request
        .places(book)
        .into_iter()
        .filter_map(|id| book.places.get(id))
        .map(|p| p.name.as_str())
        .collect();
    let country = places.last().copied();
    book.resistance
        .iter()
        .flat_map(|r| &r.cases)
        .filter(|c| {
            c.setting == "turf"
                && c.groups.contains(&group)
                && c.weeds.iter().any(|w| ask.request.weeds.contains(w))
        })
        .filter(|c| {
            !c.status
                .as_ref()
                .is_some_and(|s| NO_CASE.iter().any(|no| s.starts_with(no)))
        })
        // The whole country is no neighbourhood: only a case in the same state or town counts as here.
        .map(|c| {
            c.place.as_ref().is_some_and(|p| {
                places
                    .iter()
                    .any(|name| Some(*name) != country && p.contains(name))
            })
        })
        .max()
}

pub fn history(book: &Knowledge, used: &[Used], occasions: &[Occasion]) -> Vec<Past> {
    let mut past: Vec<Past> = used
        .iter()
        .filter(|u| occasions.first().is_none_or(|first| u.when <= *first))
        .map(|u| {
            let mut groups = u.groups.clone();
            groups.extend(
                u.actives
                    .iter()
                    .filter_map(|id| book.actives.get(id))
                    .map(|a| a.group.is),
            );
            groups.sort_unstable();
            groups.dedup();
            Past {
                year: u.when.year,
                month: u.when.month,
                groups,
                families: families(book, &u.actives),
            }
        })
        .collect();
    past.sort();
    past
}
