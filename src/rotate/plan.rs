//! A plan for the weeds of a lawn over the coming occasions.
use super::cost::{Charge, Past, Rules};
use super::path::{Candidate, cheapest};
use crate::choose::{Advice, Choice, Request, Treatable, choose};
use crate::knowledge::Knowledge;
use crate::knowledge::form::active::{Control, Timing};
use crate::knowledge::form::season::CostKind;
use crate::words::and_list;
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;

/// A time at which the weeds might be treated.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Occasion {
    /// Year.
    pub year: i16,
    /// Month, 1 to 12.
    pub month: u8,
}

/// A treatment on record.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Used {
    /// When.
    #[serde(flatten)]
    pub when: Occasion,
    /// Ids of actives, where they are known.
    pub actives: Vec<String>,
    /// Group numbers.
    pub groups: Vec<u16>,
}

/// A weed that does not die of a group on this lawn any more.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Resistant {
    /// Id of the weed.
    pub weed: String,
    /// Group number.
    pub group: u16,
}

/// What is asked. All names are ids of the book.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Ask {
    /// Weeds, grass, stage, place, site and user; the month comes from each occasion.
    pub request: Request,
    /// The occasions, in order of time.
    pub occasions: Vec<Occasion>,
    /// What was used before, in any order.
    pub used: Vec<Used>,
    /// Resistance on this lawn.
    pub resistant: Vec<Resistant>,
}

/// Whether groups can be rotated here.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case", tag = "is")]
pub enum Rotation {
    /// Yes.
    Possible,
    /// Every option for a weed has the same group.
    OneGroup {
        /// The weed.
        weed: String,
        /// The group.
        group: u16,
    },
    /// Nothing is proven safe and useful for a weed on any occasion.
    Nothing {
        /// The weed.
        weed: String,
    },
}

/// One occasion of the plan.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Planned {
    /// When.
    pub when: Occasion,
    /// Ids of actives; empty for an occasion without chemicals.
    pub actives: Vec<String>,
    /// Their groups.
    pub groups: Vec<u16>,
    /// When it is applied; none for an occasion without chemicals.
    pub timing: Option<Timing>,
    /// What it was charged for.
    pub charges: Vec<Charge>,
    /// Points of this occasion.
    pub points: u32,
    /// Weeds that it does not deal with.
    pub leaves: Vec<String>,
    /// How many different sets of groups there were to choose from.
    pub choices: usize,
}

/// The plan.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Plan {
    /// The occasions in order.
    pub steps: Vec<Planned>,
    /// All points together.
    pub points: u32,
    /// Whether groups can be rotated.
    pub rotation: Rotation,
    /// The same in words, with what to do.
    pub why: String,
    /// What else to do, of most use where no rotation is possible.
    pub instead: Vec<Advice>,
    /// Published and recalled advice that the points follow.
    pub guidance: Vec<Advice>,
}

/// Sets of groups that are kept for one occasion; more would not change a plan and cost time.
const MOST_SETS: usize = 6;

/// An option of an occasion.
struct Kept {
    option: Option<Treatable>,
    candidate: Candidate,
    charges: Vec<Charge>,
    leaves: Vec<String>,
}

/// Makes the plan.
#[must_use]
pub fn plan(book: &Knowledge, ask: &Ask) -> Plan {
    let rules = Rules::new(book, &ask.request.weeds);
    let mut occasions = ask.occasions.clone();
    occasions.sort();
    occasions.dedup();
    let layers: Vec<Vec<Kept>> = occasions
        .iter()
        .map(|o| options(book, &rules, ask, o))
        .collect();
    let history = history(book, &ask.used, &occasions);
    let bare: Vec<Vec<Candidate>> = layers
        .iter()
        .map(|l| l.iter().map(|k| k.candidate.clone()).collect())
        .collect();
    // A rest is always among the candidates, so there is always a way.
    let (chosen, points) = cheapest(&rules, &history, &bare).unwrap_or_default();
    let mut before = history;
    let mut steps = Vec::new();
    for ((layer, choice), when) in layers.iter().zip(&chosen).zip(&occasions) {
        let kept = &layer[*choice];
        let mut charges = kept.charges.clone();
        charges.extend(rules.step(&before, &kept.candidate.past));
        before.push(kept.candidate.past.clone());
        steps.push(Planned {
            when: when.clone(),
            actives: kept
                .option
                .as_ref()
                .map_or(Vec::new(), |o| o.actives.clone()),
            groups: kept.candidate.past.groups.clone(),
            timing: kept.option.as_ref().map(|o| o.timing),
            points: charges.iter().map(|c| c.points).sum(),
            charges,
            leaves: kept.leaves.clone(),
            choices: layer.len() - 1,
        });
    }
    let rotation = rotation(&layers, &ask.request.weeds);
    let why = in_words(book, &rotation, &steps);
    let month = occasions.first().map(|o| o.month);
    let choice = choose(
        book,
        &Request {
            month,
            ..ask.request.clone()
        },
    );
    Plan {
        steps,
        points,
        why,
        rotation,
        instead: instead(&choice),
        guidance: guidance(book),
    }
}

/// The options of one occasion, one for each set of groups, and the rest.
fn options(book: &Knowledge, rules: &Rules, ask: &Ask, when: &Occasion) -> Vec<Kept> {
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
        if kept.len() >= MOST_SETS
            || !works(book, ask, &option)
            || !sets.insert(option.groups.clone())
        {
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
    });
    kept
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

fn history(book: &Knowledge, used: &[Used], occasions: &[Occasion]) -> Vec<Past> {
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

/// A weed with nothing, or with one group only, on all occasions together.
fn rotation(layers: &[Vec<Kept>], weeds: &[String]) -> Rotation {
    let mut one = None;
    for weed in weeds {
        let sets: BTreeSet<&Vec<u16>> = layers
            .iter()
            .flatten()
            .filter(|k| !k.leaves.contains(weed))
            .map(|k| &k.candidate.past.groups)
            .collect();
        if sets.is_empty() {
            return Rotation::Nothing { weed: weed.clone() };
        }
        let shared = sets
            .iter()
            .next()
            .into_iter()
            .flat_map(|s| s.iter())
            .find(|g| sets.iter().all(|s| s.contains(g)));
        if let Some(group) = shared {
            one = one.or(Some(Rotation::OneGroup {
                weed: weed.clone(),
                group: *group,
            }));
        }
    }
    one.unwrap_or(Rotation::Possible)
}

fn in_words(book: &Knowledge, rotation: &Rotation, steps: &[Planned]) -> String {
    let name = |id: &String| {
        book.weeds
            .get(id)
            .and_then(|w| w.names.first())
            .unwrap_or(id)
            .clone()
    };
    match rotation {
        Rotation::Nothing { weed } => format!(
            "No rotation: nothing in the book is proven safe on this grass and useful against {} on any of these occasions. Work by hand and strengthen the grass, and ask the extension office.",
            name(weed)
        ),
        Rotation::OneGroup { weed, group } => format!(
            "No rotation: every option against {} is of group {group}, alone or with a partner. Use it seldom, after scouting, at the full rate of the label, and let hand work and a dense sward take turns with it; kill survivors before they seed.",
            name(weed)
        ),
        Rotation::Possible => {
            let used: BTreeSet<u16> = steps
                .iter()
                .flat_map(|s| s.groups.iter().copied())
                .collect();
            let rests = steps.iter().filter(|s| s.groups.is_empty()).count();
            let words: Vec<String> = used.iter().map(u16::to_string).collect();
            let rest = if rests > 0 {
                format!(" and leaves {rests} without chemicals")
            } else {
                String::new()
            };
            if words.is_empty() {
                "The plan does without chemicals: resting costs least here.".to_owned()
            } else {
                format!(
                    "The plan turns through group{} {}{rest}.",
                    if words.len() == 1 { "" } else { "s" },
                    and_list(&words)
                )
            }
        }
    }
}

fn instead(choice: &Choice) -> Vec<Advice> {
    choice
        .without_chemicals
        .iter()
        .filter(|a| a.weed.is_some() || a.about == "mowing")
        .cloned()
        .collect()
}

fn guidance(book: &Knowledge) -> Vec<Advice> {
    let Some(own) = &book.resistance else {
        return Vec::new();
    };
    let followed: BTreeSet<&String> = own.costs.iter().flat_map(|c| c.follows.iter()).collect();
    own.guidance
        .iter()
        .filter(|g| g.id.as_ref().is_some_and(|id| followed.contains(id)))
        .map(|g| Advice {
            weed: None,
            about: g.id.clone().unwrap_or_default(),
            text: g.text.clone(),
            evidence: book.evidence(&g.source),
            sources: g.source.to_vec(),
        })
        .collect()
}

/// The groups of "the same again": what was used last, or the first choice of the first occasion, on every occasion.
#[must_use]
pub fn same_again(ask: &Ask, plan: &Plan) -> Vec<u16> {
    let last = ask
        .used
        .iter()
        .max_by_key(|u| u.when.clone())
        .map(|u| u.groups.clone())
        .filter(|g| !g.is_empty());
    last.or_else(|| {
        plan.steps
            .iter()
            .find(|s| !s.groups.is_empty())
            .map(|s| s.groups.clone())
    })
    .unwrap_or_default()
}
