//! The fixed key: the same knowledge as a graph of questions that can be carried on paper.
//!
//! A node is a set of taxa that are still possible. Its question sends every taxon along each answer that the taxon may
//! give; a taxon of which the answer is unknown goes along all of them. Two ways that leave the same taxa meet in one
//! node. Every answer leaves strictly fewer taxa, so the graph has no cycle and ends.
//!
//! [`super::split`] says which question parts the taxa of a node best.
use super::book::What;
use super::observe::float;
use super::split::{Sheet, may_answer};
use crate::knowledge::Knowledge;
use crate::knowledge::form::plant::Shows;
use crate::words::plain;
use petgraph::Direction;
use petgraph::algo::is_cyclic_directed;
use petgraph::graph::{DiGraph, NodeIndex};
use petgraph::visit::EdgeRef;
use std::collections::{BTreeMap, BTreeSet, HashMap};

/// A key with more nodes than this is no use on paper; what is left then stays together.
const MOST_NODES: usize = 20_000;

/// Which plants the key is for, and what it has to part them for.
#[derive(Debug, Clone, Default)]
pub struct Scope {
    /// Only plants that grow visibly in this month (1 to 12), and those of unknown months.
    pub month: Option<u8>,
    /// Only plants that are common in this region, and those of unknown regions.
    pub region: Option<String>,
    /// What each plant leads to, by id: plants with equal numbers need not be parted, for the same is done about them.
    /// Plants without a number are parted from all.
    pub outcomes: BTreeMap<String, usize>,
}

/// A node of the key.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Node {
    /// Taxa that are still possible, as indexes into [`QuestionGraph::taxa`].
    pub taxa: Vec<usize>,
    /// The trait asked, as an index into the book's traits; `None` at the ends.
    pub asks: Option<usize>,
}

/// The key as a graph; the weight of an edge is the answer class.
#[derive(Debug, Clone)]
pub struct QuestionGraph {
    /// Nodes and answers.
    pub graph: DiGraph<Node, usize>,
    /// Where the key begins.
    pub root: NodeIndex,
    /// Ids of the taxa.
    pub taxa: Vec<String>,
}

/// Steps that the key takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Steps {
    /// Mean over all taxa and all ways that lead to them.
    pub expected: f64,
    /// The longest way.
    pub worst: usize,
    /// Ends that hold one taxon.
    pub single_ends: usize,
    /// Ends that hold several.
    pub shared_ends: usize,
    /// Nodes in all.
    pub nodes: usize,
}

/// A fault of a key.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum KeyFault {
    /// The questions go in a circle.
    #[error("the questions of the key go in a circle")]
    Circle,
    /// A taxon is at no end.
    #[error("no way through the key ends at {0}")]
    Unreachable(String),
    /// A question without answers.
    #[error("a question of the key has no answer that leads on")]
    DeadEnd,
}

impl QuestionGraph {
    /// Builds the key of the weeds or the grasses that the scope leaves.
    #[must_use]
    pub fn build(book: &Knowledge, what: What, scope: &Scope) -> Self {
        let region = scope.region.as_deref().map(plain);
        let plants: Vec<(&String, &BTreeMap<String, Shows>)> = match what {
            What::Weeds => book
                .weeds
                .iter()
                .filter(|(_, w)| match (scope.month, &w.seen.growing) {
                    (Some(month), Some(growing)) => growing.months.contains(&month),
                    _ => true,
                })
                .filter(|(_, w)| match (&region, &w.seen.regions) {
                    (Some(region), Some(common)) => common.is.0.iter().any(|r| plain(r) == *region),
                    _ => true,
                })
                .map(|(id, w)| (id, &w.traits))
                .collect(),
            What::Turf => book.turf.iter().map(|(id, t)| (id, &t.traits)).collect(),
        };
        let sheet = Sheet {
            traits: &book.traits,
            may: book
                .traits
                .iter()
                .map(|one| {
                    plants
                        .iter()
                        .map(|(_, shows)| may_answer(one, shows.get(&one.id)))
                        .collect()
                })
                .collect(),
        };
        let mut building = Building {
            outcomes: plants
                .iter()
                .map(|(id, _)| scope.outcomes.get(*id).copied())
                .collect(),
            sheet,
            graph: DiGraph::new(),
            known: HashMap::new(),
        };
        let root = building.node(&(0..plants.len()).collect::<Vec<_>>());
        Self {
            graph: building.graph,
            root,
            taxa: plants.iter().map(|(id, _)| (*id).clone()).collect(),
        }
    }

    /// Proves that the key has no circle, no dead end, and an end for every taxon.
    ///
    /// # Errors
    /// The first fault found.
    pub fn check(&self) -> Result<(), KeyFault> {
        if is_cyclic_directed(&self.graph) {
            return Err(KeyFault::Circle);
        }
        let mut reached = BTreeSet::new();
        for node in self.graph.node_indices() {
            let leads_on = self.graph.edges(node).next().is_some();
            match self.graph[node].asks {
                Some(_) if !leads_on => return Err(KeyFault::DeadEnd),
                Some(_) => {}
                None => reached.extend(self.graph[node].taxa.iter().copied()),
            }
        }
        (0..self.taxa.len())
            .find(|taxon| !reached.contains(taxon))
            .map_or(Ok(()), |taxon| {
                Err(KeyFault::Unreachable(self.taxa[taxon].clone()))
            })
    }

    /// Counts the steps: each taxon answers every question with one of its possible answers, all equally likely.
    #[must_use]
    pub fn steps(&self) -> Steps {
        // In this order every node comes before the nodes that it leads to.
        let order = petgraph::algo::toposort(&self.graph, None).unwrap_or_default();
        let mut worst: HashMap<NodeIndex, usize> = HashMap::new();
        // For each node the chance that each taxon arrives, and the steps taken weighted by it.
        let mut arrives: HashMap<NodeIndex, BTreeMap<usize, (f64, f64)>> = HashMap::new();
        if !self.taxa.is_empty() {
            arrives.insert(
                self.root,
                (0..self.taxa.len()).map(|t| (t, (1.0, 0.0))).collect(),
            );
        }
        let (mut total, mut chance, mut longest) = (0.0, 0.0, 0);
        let (mut single_ends, mut shared_ends) = (0, 0);
        for node in order {
            let depth = worst.get(&node).copied().unwrap_or(0);
            longest = longest.max(depth);
            let here = arrives.remove(&node).unwrap_or_default();
            if self.graph[node].asks.is_none() {
                if self.graph[node].taxa.len() > 1 {
                    shared_ends += 1;
                } else {
                    single_ends += 1;
                }
                for (p, steps) in here.values() {
                    chance += p;
                    total += steps;
                }
                continue;
            }
            let next: Vec<NodeIndex> = self
                .graph
                .neighbors_directed(node, Direction::Outgoing)
                .collect();
            for (taxon, (p, steps)) in here {
                let ways: Vec<&NodeIndex> = next
                    .iter()
                    .filter(|n| self.graph[**n].taxa.contains(&taxon))
                    .collect();
                let share = 1.0 / float(ways.len().max(1));
                for way in ways {
                    let entry = arrives
                        .entry(*way)
                        .or_default()
                        .entry(taxon)
                        .or_insert((0.0, 0.0));
                    entry.0 += p * share;
                    entry.1 += (steps + p) * share;
                }
            }
            for way in next {
                let deeper = worst.entry(way).or_insert(0);
                *deeper = (*deeper).max(depth + 1);
            }
        }
        Steps {
            expected: if chance > 0.0 { total / chance } else { 0.0 },
            worst: longest,
            single_ends,
            shared_ends,
            nodes: self.graph.node_count(),
        }
    }

    /// The answers of a node in order: class and where it leads.
    #[must_use]
    pub fn answers(&self, node: NodeIndex) -> Vec<(usize, NodeIndex)> {
        let mut all: Vec<(usize, NodeIndex)> = self
            .graph
            .edges(node)
            .map(|e| (*e.weight(), e.target()))
            .collect();
        all.sort_unstable();
        all
    }
}

struct Building<'a> {
    sheet: Sheet<'a>,
    outcomes: Vec<Option<usize>>,
    graph: DiGraph<Node, usize>,
    known: HashMap<Vec<usize>, NodeIndex>,
}

impl Building<'_> {
    /// Whether the same is to be done about all that is left.
    fn settled(&self, taxa: &[usize]) -> bool {
        let first = taxa.first().and_then(|&t| self.outcomes[t]);
        first.is_some() && taxa.iter().all(|&t| self.outcomes[t] == first)
    }

    fn node(&mut self, taxa: &[usize]) -> NodeIndex {
        if let Some(node) = self.known.get(taxa) {
            return *node;
        }
        let asks = (self.graph.node_count() < MOST_NODES && !self.settled(taxa))
            .then(|| self.sheet.best(taxa))
            .flatten();
        let node = self.graph.add_node(Node {
            taxa: taxa.to_vec(),
            asks,
        });
        self.known.insert(taxa.to_vec(), node);
        if let Some(of) = asks {
            for (class, branch) in self.sheet.branches(of, taxa) {
                let next = self.node(&branch);
                self.graph.add_edge(node, next, class);
            }
        }
        node
    }
}
