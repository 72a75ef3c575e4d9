//! A plan for the weeds of a lawn over the coming occasions.
mod options;
mod tell;

use crate::choose::{Advice, Request, choose};
use crate::knowledge::Knowledge;
use crate::knowledge::form::active::Timing;
use crate::rotate::cost::{Charge, Rules};
use crate::rotate::path::{Candidate, cheapest, look_back};
use options::{Kept, history, options, trimmed};
use serde::{Deserialize, Serialize};
use tell::{guidance, in_words, instead};

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
    let when: Vec<(i16, u8)> = occasions.iter().map(|o| (o.year, o.month)).collect();
    let back = look_back(&when);
    let taken: Vec<Vec<usize>> = layers.iter().map(|l| trimmed(l, back)).collect();
    let bare: Vec<Vec<Candidate>> = layers
        .iter()
        .zip(&taken)
        .map(|(layer, taken)| taken.iter().map(|&i| layer[i].candidate.clone()).collect())
        .collect();
    // A rest is always among the candidates, so there is always a way.
    let (chosen, points) = cheapest(&rules, &history, &bare).unwrap_or_default();
    let mut before = history;
    let mut steps = Vec::new();
    for (((layer, taken), choice), when) in layers.iter().zip(&taken).zip(&chosen).zip(&occasions) {
        let kept = &layer[taken[*choice]];
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

/// A weed with nothing, or with one group only, on all occasions together. What counts is the partner that deals with the
/// weed, not what else is in the tank.
fn rotation(layers: &[Vec<Kept>], weeds: &[String]) -> Rotation {
    let mut one = None;
    for weed in weeds {
        let hits = layers.iter().flatten().flat_map(|k| &k.hits);
        let sets: Vec<&Vec<u16>> = hits.filter(|(w, _)| w == weed).map(|(_, g)| g).collect();
        let Some(first) = sets.first() else {
            return Rotation::Nothing { weed: weed.clone() };
        };
        if let Some(group) = first.iter().find(|g| sets.iter().all(|s| s.contains(g))) {
            one = one.or(Some(Rotation::OneGroup {
                weed: weed.clone(),
                group: *group,
            }));
        }
    }
    one.unwrap_or(Rotation::Possible)
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
