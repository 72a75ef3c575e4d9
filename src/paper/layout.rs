//! Numbers for steps, ends and plants: the graph in the order in which a reader meets it.
use super::{Answer, End, Goal, Plant, Step};
use crate::identify::answers_of;
use crate::key::graph::{QuestionGraph, Scope};
use crate::knowledge::Knowledge;
use crate::knowledge::sketches::{Sketches, name};
use petgraph::Direction;
use petgraph::graph::NodeIndex;
use std::collections::HashMap;

/// The graph with its numbers.
pub(super) struct Layout<'a> {
    book: &'a Knowledge,
    key: &'a QuestionGraph,
    sketches: &'a Sketches,
    /// Place of each taxon of the graph among the plants.
    places: HashMap<usize, usize>,
    /// The questions in the order in which a reader meets them, and their numbers.
    order: Vec<NodeIndex>,
    numbers: HashMap<NodeIndex, usize>,
}

impl<'a> Layout<'a> {
    pub(super) fn new(
        book: &'a Knowledge,
        key: &'a QuestionGraph,
        plants: &[Plant],
        sketches: &'a Sketches,
    ) -> Self {
        let by_id: HashMap<&str, usize> = plants
            .iter()
            .enumerate()
            .map(|(n, p)| (p.id.as_str(), n))
            .collect();
        let (order, numbers) = numbered(key);
        Self {
            book,
            key,
            sketches,
            places: key
                .taxa
                .iter()
                .enumerate()
                .filter_map(|(n, id)| Some((n, *by_id.get(id.as_str())?)))
                .collect(),
            order,
            numbers,
        }
    }

    /// Steps that lead to a node.
    fn from(&self, node: NodeIndex) -> Vec<usize> {
        let mut from: Vec<usize> = self
            .key
            .graph
            .neighbors_directed(node, Direction::Incoming)
            .filter_map(|n| self.numbers.get(&n).copied())
            .collect();
        from.sort_unstable();
        from.dedup();
        from
    }

    /// Steps and ends.
    pub(super) fn steps(&self, scope: &Scope) -> (Vec<Step>, Vec<End>) {
        let mut ends: Vec<End> = Vec::new();
        let mut known: HashMap<NodeIndex, usize> = HashMap::new();
        let mut steps = Vec::with_capacity(self.order.len());
        // A key of one plant, or of plants that need the same, asks nothing.
        if self.order.is_empty() && self.key.taxa.len() > 1 {
            self.end(self.key.root, scope, &mut ends, &mut known);
        }
        for (index, &node) in self.order.iter().enumerate() {
            let Some(of) = self.key.graph[node].asks else {
                continue;
            };
            let one = &self.book.traits[of];
            let labels = answers_of(one);
            let answers = self
                .key
                .answers(node)
                .into_iter()
                .filter_map(|(class, next)| {
                    let put = labels.get(class)?;
                    Some(Answer {
                        label: put.label.clone(),
                        help: put.help.clone().unwrap_or_default(),
                        drawing: self
                            .sketches
                            .of_answer(one, class)
                            .and_then(|_| name(one, class)),
                        goal: self.goal(next, scope, &mut ends, &mut known),
                    })
                })
                .collect();
            steps.push(Step {
                number: index + 1,
                from: self.from(node),
                trait_id: one.id.clone(),
                question: one.question.clone(),
                help: one.help.clone(),
                answers,
            });
        }
        (steps, ends)
    }

    fn goal(
        &self,
        node: NodeIndex,
        scope: &Scope,
        ends: &mut Vec<End>,
        known: &mut HashMap<NodeIndex, usize>,
    ) -> Goal {
        if let Some(number) = self.numbers.get(&node) {
            return Goal::Step(*number);
        }
        match self.key.graph[node].taxa[..] {
            [one] => Goal::Plant(self.places[&one]),
            _ => Goal::End(self.end(node, scope, ends, known)),
        }
    }

    fn end(
        &self,
        node: NodeIndex,
        scope: &Scope,
        ends: &mut Vec<End>,
        known: &mut HashMap<NodeIndex, usize>,
    ) -> usize {
        *known.entry(node).or_insert_with(|| {
            let taxa = &self.key.graph[node].taxa;
            let outcome = |t: &usize| scope.outcomes.get(&self.key.taxa[*t]);
            let first = taxa.first().and_then(outcome);
            ends.push(End {
                plants: taxa.iter().map(|t| self.places[t]).collect(),
                same: first.is_some() && taxa.iter().all(|t| outcome(t) == first),
                from: self.from(node),
            });
            ends.len() - 1
        })
    }
}

/// Numbers the questions in the order in which a reader meets them.
fn numbered(key: &QuestionGraph) -> (Vec<NodeIndex>, HashMap<NodeIndex, usize>) {
    let mut order = Vec::new();
    let mut numbers = HashMap::new();
    let mut waiting = vec![key.root];
    while let Some(node) = waiting.pop() {
        if key.graph[node].asks.is_none() || numbers.contains_key(&node) {
            continue;
        }
        order.push(node);
        numbers.insert(node, order.len());
        waiting.extend(key.answers(node).into_iter().rev().map(|(_, next)| next));
    }
    (order, numbers)
}
