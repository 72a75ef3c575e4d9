//! The fewest actives, at most three, that deal with all the weeds and may share a tank.
use super::Excluded;
use super::gates::{Reason, weed_name};
use super::request::Request;
use crate::knowledge::Knowledge;
use crate::knowledge::form::active::{Control, Mixture, Timing};
use crate::knowledge::form::lists::{Effect as Meeting, Interaction, Side};
use crate::knowledge::verdict::Verdict;
use crate::words::and_list;
use petgraph::graph::{NodeIndex, UnGraph};
use std::collections::BTreeSet;

/// At most this many actives in one option.
const MOST_ACTIVES: usize = 3;

/// What one active does on each weed of the request, before or after the weeds come up.
#[derive(Debug, Clone)]
pub struct Effect {
    /// Id of the active.
    pub active: String,
    /// Whether this is about use before the weeds come up.
    pub pre: bool,
    /// For each weed the timing and the verdict, at least fair; `None` where it does not deal with the weed.
    pub on: Vec<Option<(Timing, Verdict<Control>)>>,
}

/// Actives that deal with the weeds together.
#[derive(Debug, Clone)]
pub struct Cover<'a> {
    /// The actives.
    pub effects: Vec<&'a Effect>,
    /// The mixture of the book that this is, if it is one.
    pub mixture: Option<&'a Mixture>,
}

/// What the search found.
pub struct Found<'a> {
    /// Covers of as many weeds as can be covered.
    pub covers: Vec<Cover<'a>>,
    /// Actives that passed every gate but are part of no cover, and sets that may not share a tank.
    pub excluded: Vec<Excluded>,
    /// Weeds that nothing here deals with.
    pub uncovered: Vec<String>,
}

/// Searches all sets of one, two and three candidates. The work is small: a few dozen candidates pass the gates.
pub fn search<'a>(book: &'a Knowledge, request: &Request, candidates: &'a [Effect]) -> Found<'a> {
    let coverable: Vec<usize> = (0..request.weeds.len())
        .filter(|&weed| candidates.iter().any(|c| c.on[weed].is_some()))
        .collect();
    let tank = Tank::new(book, candidates);
    let mut covers = Vec::new();
    let mut conflicts = BTreeSet::new();
    for pre in [false, true] {
        let of_time: Vec<usize> = (0..candidates.len())
            .filter(|&c| candidates[c].pre == pre)
            .collect();
        let sets = smallest(&of_time, &coverable, candidates, &tank, &mut conflicts);
        covers.extend(sets.into_iter().map(|set| cover(book, candidates, &set)));
        covers.extend(mixtures(book, &of_time, &coverable, candidates, &tank));
    }
    covers.dedup_by(|a, b| key(a) == key(b));
    let mut seen = BTreeSet::new();
    covers.retain(|c| seen.insert(key(c)));
    let used: BTreeSet<&str> = covers
        .iter()
        .flat_map(|c| c.effects.iter().map(|e| e.active.as_str()))
        .collect();
    let mut excluded: Vec<Excluded> = conflicts
        .into_iter()
        .map(|(actives, detail)| Excluded {
            actives,
            reason: Reason::TankConflict,
            detail,
        })
        .collect();
    let left: BTreeSet<&str> = candidates
        .iter()
        .map(|c| c.active.as_str())
        .filter(|id| !used.contains(id))
        .collect();
    excluded.extend(
        left.into_iter()
            .map(|id| not_needed(book, request, candidates, id)),
    );
    let uncovered = (0..request.weeds.len())
        .filter(|weed| !coverable.contains(weed))
        .map(|weed| request.weeds[weed].clone())
        .collect();
    Found {
        covers,
        excluded,
        uncovered,
    }
}

fn key(cover: &Cover<'_>) -> (bool, Vec<String>) {
    (
        cover.effects.first().is_some_and(|e| e.pre),
        cover.effects.iter().map(|e| e.active.clone()).collect(),
    )
}

fn covers(set: &[usize], weeds: &[usize], candidates: &[Effect]) -> bool {
    weeds
        .iter()
        .all(|&weed| set.iter().any(|&c| candidates[c].on[weed].is_some()))
}

/// All covers of the smallest size; a partner that adds nothing makes a set no cover.
fn smallest(
    of_time: &[usize],
    weeds: &[usize],
    candidates: &[Effect],
    tank: &Tank,
    conflicts: &mut BTreeSet<(Vec<String>, String)>,
) -> Vec<Vec<usize>> {
    if weeds.is_empty() {
        return Vec::new();
    }
    for size in 1..=MOST_ACTIVES {
        let mut found = Vec::new();
        let mut set = Vec::new();
        choose_sets(of_time, size, 0, &mut set, &mut |set| {
            if !covers(set, weeds, candidates) {
                return;
            }
            match tank.conflict(set) {
                None => found.push(set.to_vec()),
                Some(why) => {
                    let actives = set.iter().map(|&c| candidates[c].active.clone()).collect();
                    conflicts.insert((actives, why));
                }
            }
        });
        if !found.is_empty() {
            return found;
        }
    }
    Vec::new()
}

fn choose_sets(
    from: &[usize],
    size: usize,
    start: usize,
    set: &mut Vec<usize>,
    take: &mut impl FnMut(&[usize]),
) {
    if set.len() == size {
        return take(set);
    }
    for index in start..from.len() {
        set.push(from[index]);
        choose_sets(from, size, index + 1, set, take);
        set.pop();
    }
}

/// Mixtures of the book whose every partner passed the gates and that deal with all the weeds, be it more than the fewest.
fn mixtures<'a>(
    book: &'a Knowledge,
    of_time: &[usize],
    weeds: &[usize],
    candidates: &'a [Effect],
    tank: &Tank,
) -> Vec<Cover<'a>> {
    let mut found = Vec::new();
    for mixture in book
        .mixtures
        .iter()
        .filter(|m| m.sold_together.is_some() && m.actives.len() > 1)
    {
        let set: Option<Vec<usize>> = mixture
            .actives
            .iter()
            .map(|id| {
                of_time
                    .iter()
                    .copied()
                    .find(|&c| &candidates[c].active == id)
            })
            .collect();
        if let Some(set) = set
            && !weeds.is_empty()
            && covers(&set, weeds, candidates)
            && tank.conflict(&set).is_none()
            && mixture.actives.len() <= MOST_ACTIVES
        {
            found.push(cover(book, candidates, &set));
        }
    }
    found
}

fn cover<'a>(book: &'a Knowledge, candidates: &'a [Effect], set: &[usize]) -> Cover<'a> {
    let mut effects: Vec<&Effect> = set.iter().map(|&c| &candidates[c]).collect();
    effects.sort_by(|a, b| a.active.cmp(&b.active));
    let mixture = book.mixtures.iter().find(|m| {
        m.actives.len() == effects.len() && effects.iter().all(|e| m.actives.contains(&e.active))
    });
    Cover { effects, mixture }
}

fn not_needed(book: &Knowledge, request: &Request, candidates: &[Effect], id: &str) -> Excluded {
    let name = book.actives.get(id).map_or(id, |a| a.name.as_str());
    let deals: Vec<&str> = (0..request.weeds.len())
        .filter(|&weed| {
            candidates
                .iter()
                .any(|c| c.active == id && c.on[weed].is_some())
        })
        .map(|weed| weed_name(book, &request.weeds[weed]))
        .collect();
    Excluded {
        actives: vec![id.to_owned()],
        reason: Reason::NotNeeded,
        detail: format!(
            "{name} deals with {} only; the options deal with all that can be dealt with in fewer actives",
            and_list(&deals)
        ),
    }
}

/// Candidates as nodes, an edge for every pair that must not share a tank.
struct Tank {
    graph: UnGraph<usize, String>,
    nodes: Vec<NodeIndex>,
}

impl Tank {
    fn new(book: &Knowledge, candidates: &[Effect]) -> Self {
        let mut graph = UnGraph::new_undirected();
        let nodes: Vec<NodeIndex> = (0..candidates.len()).map(|c| graph.add_node(c)).collect();
        for first in 0..candidates.len() {
            for second in first + 1..candidates.len() {
                if let Some(why) =
                    conflict(book, &candidates[first].active, &candidates[second].active)
                {
                    graph.add_edge(nodes[first], nodes[second], why);
                }
            }
        }
        Self { graph, nodes }
    }

    fn conflict(&self, set: &[usize]) -> Option<String> {
        for (place, &first) in set.iter().enumerate() {
            for &second in &set[place + 1..] {
                if let Some(edge) = self.graph.find_edge(self.nodes[first], self.nodes[second]) {
                    return self.graph.edge_weight(edge).cloned();
                }
            }
        }
        None
    }
}

/// Why two actives must not share a tank: one works against the other, or a source says to keep them apart.
pub fn conflict(book: &Knowledge, first: &str, second: &str) -> Option<String> {
    book.interactions
        .iter()
        .filter(|i| matches!(i.effect, Meeting::Antagonism | Meeting::DoNotMix))
        .find(|i| meets(book, i, first, second) || meets(book, i, second, first))
        .map(|i| {
            let remedy = i
                .remedy
                .as_ref()
                .map_or(String::new(), |r| format!("; {r}"));
            format!("{}{remedy}", i.text)
        })
}

/// Whether two actives are the two sides of an interaction, in this order.
pub fn meets(book: &Knowledge, interaction: &Interaction, first: &str, second: &str) -> bool {
    on_side(book, &interaction.a, first) && on_side(book, &interaction.b, second)
}

fn on_side(book: &Knowledge, side: &Side, id: &str) -> bool {
    // A side that means several actives together is not met by one of them.
    if side.together {
        return false;
    }
    side.actives.iter().any(|a| a == id)
        || book
            .actives
            .get(id)
            .is_some_and(|a| side.groups.contains(&a.group.is))
}
