//! The cheapest path through the occasions: a layered graph whose nodes remember just as much as the costs look back at.
use super::cost::{Past, Rules};
use petgraph::algo::astar;
use petgraph::graph::{DiGraph, NodeIndex};
use std::collections::BTreeMap;

/// One thing that may be done on an occasion.
#[derive(Debug, Clone, PartialEq)]
pub struct Candidate {
    /// What it would be, once done.
    pub past: Past,
    /// Points that do not hang on what was done before (control, rank, resistance on record).
    pub own: u32,
}

/// The cheapest way: the index of the candidate taken on each occasion, and its points. Of equally cheap ways any may be
/// given, always the same one. `None` if an occasion has no candidates.
///
/// `history` was done before the first occasion, in order of time.
#[must_use]
pub fn cheapest(
    rules: &Rules,
    history: &[Past],
    layers: &[Vec<Candidate>],
) -> Option<(Vec<usize>, u32)> {
    let when: Vec<(i16, u8)> = layers
        .iter()
        .filter_map(|l| l.first())
        .map(|c| (c.past.year, c.past.month))
        .collect();
    let back = look_back(&when);
    let mut graph: DiGraph<usize, u32> = DiGraph::new();
    let start = graph.add_node(usize::MAX);
    // The choices of the last `back` occasions, by node.
    let mut front: BTreeMap<Vec<usize>, NodeIndex> = BTreeMap::from([(Vec::new(), start)]);
    for (index, layer) in layers.iter().enumerate() {
        let mut next: BTreeMap<Vec<usize>, NodeIndex> = BTreeMap::new();
        for (window, node) in &front {
            let first = index - window.len();
            let before: Vec<Past> = history
                .iter()
                .cloned()
                .chain(
                    window
                        .iter()
                        .enumerate()
                        .map(|(i, &c)| layers[first + i][c].past.clone()),
                )
                .collect();
            for (choice, candidate) in layer.iter().enumerate() {
                let cost: u32 = candidate.own
                    + rules
                        .step(&before, &candidate.past)
                        .iter()
                        .map(|c| c.points)
                        .sum::<u32>();
                let mut key = window.clone();
                key.push(choice);
                if key.len() > back {
                    key.remove(0);
                }
                let to = *next.entry(key).or_insert_with(|| graph.add_node(choice));
                graph.add_edge(*node, to, cost);
            }
        }
        front = next;
    }
    let goal = graph.add_node(usize::MAX);
    for node in front.values() {
        graph.add_edge(*node, goal, 0);
    }
    let (cost, nodes) = astar(&graph, start, |n| n == goal, |e| *e.weight(), |_| 0)?;
    let chosen = nodes[1..nodes.len() - 1]
        .iter()
        .map(|n| graph[*n])
        .collect();
    Some((chosen, cost))
}

/// How many occasions the costs look back: two in any case, all of one year, and back to the same month a year before.
/// The occasions are given by year and month, in order of time.
#[must_use]
pub fn look_back(when: &[(i16, u8)]) -> usize {
    let mut most = 2;
    for (index, (year, month)) in when.iter().enumerate() {
        let seen = |(y, m): &(i16, u8)| y == year || (*y == year - 1 && m == month);
        if let Some(first) = when[..index].iter().position(seen) {
            most = most.max(index - first);
        }
    }
    most
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_look_back_reaches_the_same_month_of_the_year_before() {
        assert_eq!(look_back(&[]), 2);
        assert_eq!(look_back(&[(2027, 5), (2028, 5), (2029, 5)]), 2);
        assert_eq!(look_back(&[(2027, 3), (2027, 6), (2027, 9), (2028, 3)]), 3);
        assert_eq!(
            look_back(&[(2027, 1), (2027, 2), (2027, 3), (2027, 4), (2029, 1)]),
            3
        );
    }
}
