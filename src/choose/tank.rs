//! Which actives must not share a tank: a graph whose edges are what is known to go wrong.
use crate::knowledge::Knowledge;
use crate::knowledge::form::lists::{Effect, Interaction, Side};
use petgraph::graph::{NodeIndex, UnGraph};

/// Actives as nodes in the order of their ids; an edge holds the numbers of the interactions that keep two apart.
#[derive(Debug)]
pub struct Tank {
    graph: UnGraph<(), Vec<usize>>,
    /// Interactions that need several actives of one side together, with the actives of both sides.
    together: Vec<(usize, Vec<usize>, Vec<usize>)>,
}

impl Tank {
    /// The graph of the book's interactions. `ids` are the ids of all actives in order.
    #[must_use]
    pub fn new(book: &Knowledge, ids: &[&str]) -> Self {
        let mut graph = UnGraph::new_undirected();
        let nodes: Vec<NodeIndex> = ids.iter().map(|_| graph.add_node(())).collect();
        let mut together = Vec::new();
        for (number, interaction) in book.interactions.iter().enumerate() {
            if !keeps_apart(interaction.effect) {
                continue;
            }
            let named = |side: &Side| -> Vec<usize> {
                (0..ids.len())
                    .filter(|&a| is_named(book, side, ids[a]))
                    .collect()
            };
            let (first, second) = (named(&interaction.a), named(&interaction.b));
            if interaction.a.together {
                together.push((number, first, second));
                continue;
            }
            if interaction.b.together {
                together.push((number, second, first));
                continue;
            }
            for &a in &first {
                for &b in second.iter().filter(|&&b| b != a) {
                    let edge = match graph.find_edge(nodes[a], nodes[b]) {
                        Some(edge) => edge,
                        None => graph.add_edge(nodes[a], nodes[b], Vec::new()),
                    };
                    if let Some(known) = graph.edge_weight_mut(edge)
                        && !known.contains(&number)
                    {
                        known.push(number);
                    }
                }
            }
        }
        Self { graph, together }
    }

    /// The interaction that keeps two actives apart on these grasses.
    #[must_use]
    pub fn apart(&self, book: &Knowledge, turf: &[String], a: usize, b: usize) -> Option<usize> {
        let edge = self.graph.find_edge(NodeIndex::new(a), NodeIndex::new(b))?;
        self.graph
            .edge_weight(edge)?
            .iter()
            .copied()
            .find(|&i| counts_on(&book.interactions[i], turf))
    }

    /// Actives that something is known to keep apart from this one.
    pub fn neighbours(&self, a: usize) -> impl Iterator<Item = usize> {
        self.graph
            .neighbors(NodeIndex::new(a))
            .map(NodeIndex::index)
    }

    /// Interactions that only count with several actives of one side in the tank.
    pub fn together<'t>(
        &'t self,
        book: &'t Knowledge,
        turf: &'t [String],
    ) -> impl Iterator<Item = &'t (usize, Vec<usize>, Vec<usize>)> {
        self.together
            .iter()
            .filter(move |(i, _, _)| counts_on(&book.interactions[*i], turf))
    }
}

/// Effects that keep partners apart: one works against the other, they hurt the grass more, or a source says so.
#[must_use]
pub fn keeps_apart(effect: Effect) -> bool {
    matches!(
        effect,
        Effect::Antagonism | Effect::DoNotMix | Effect::Injury
    )
}

/// Loss of control is not a matter of the grass; injury counts on the grasses that it was seen on, or on all where none is named.
fn counts_on(interaction: &Interaction, turf: &[String]) -> bool {
    interaction.effect != Effect::Injury
        || interaction.turf.is_empty()
        || interaction.turf.iter().any(|t| turf.contains(t))
}

/// Whether two actives are the two sides of an interaction, in this order.
#[must_use]
pub fn meets(book: &Knowledge, interaction: &Interaction, first: &str, second: &str) -> bool {
    // A side that means several actives together is not met by one of them.
    let single = |side: &Side, id: &str| !side.together && is_named(book, side, id);
    single(&interaction.a, first) && single(&interaction.b, second)
}

fn is_named(book: &Knowledge, side: &Side, id: &str) -> bool {
    side.actives.iter().any(|a| a == id)
        || book
            .actives
            .get(id)
            .is_some_and(|a| side.groups.contains(&a.group.is))
}
