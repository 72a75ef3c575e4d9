//! Knowledge compiled for reckoning: for every taxon and trait the row of [`super::observe`].
//!
//! Many taxa share a row (all that are known to be hairy, all of which nothing is known), so a cell holds the number of
//! its row in a list of the trait's distinct rows. Sums over taxa then are sums over few rows.
use super::{compile, rows};
use crate::knowledge::Knowledge;
use crate::knowledge::form::plant::Effort;

/// A book that the key can ask about.
#[derive(Debug, Clone)]
pub struct Book {
    pub(crate) taxa: Vec<Taxon>,
    pub(crate) traits: Vec<KeyTrait>,
    /// Number of kinds of taxa; one where the book has no kind trait.
    pub(crate) kinds: usize,
    pub(crate) kind_trait: Option<usize>,
}

/// A taxon as the key sees it.
#[derive(Debug, Clone)]
pub struct Taxon {
    /// Id in the book.
    pub id: String,
    /// Months in which it is seen; empty where unknown.
    pub months: Vec<u8>,
    /// Regions in which it is common, as compared names; empty where unknown.
    pub regions: Vec<String>,
    /// How often it is met beside the others; 1 for most.
    pub common: f64,
    /// Its kind (a state of the kind trait): the most usual where it shows several, the first of the trait where it says none.
    pub kind: usize,
}

/// A trait as the key sees it.
#[derive(Debug, Clone)]
pub struct KeyTrait {
    /// Id in the book.
    pub id: String,
    /// Ids of the answer classes; for a number trait the classes are unnamed and this is empty.
    pub states: Vec<String>,
    /// Upper ends of the classes of a number trait.
    pub cuts: Vec<f64>,
    /// Unit of a number trait; empty for a count and for other traits.
    pub unit: String,
    /// What answering takes.
    pub effort: Effort,
    /// Observer error.
    pub error: f64,
    /// Only taxa that may show one of these states of these traits are asked.
    pub asked_of: Vec<(usize, Vec<usize>)>,
    /// Mean log-likelihood (nats) of an answer under the plant that gave it.
    pub(crate) typical_log: f64,
    /// Distinct rows, each `classes()` long.
    pub(crate) rows: Vec<Vec<f64>>,
    /// Number of taxa of which each row is recorded; 0 for a row that is only supposed.
    pub(crate) recorded: Vec<f64>,
    /// Row number of every taxon.
    pub(crate) cells: Vec<u32>,
    /// Row number of an unknown plant of each kind.
    pub(crate) unknown_rows: Vec<u32>,
}

impl KeyTrait {
    /// Number of answer classes.
    #[must_use]
    pub fn classes(&self) -> usize {
        if self.cuts.is_empty() {
            self.states.len()
        } else {
            self.cuts.len() + 1
        }
    }

    /// Whether a row is of a plant that can have the trait: the rows of others sum to less.
    fn applies(row: &[f64]) -> bool {
        row.iter().sum::<f64>() > 0.5
    }

    /// The row that the book records of a taxon; nothing where it is only supposed or the taxon cannot have the trait.
    #[must_use]
    pub(crate) fn recorded_row(&self, taxon: usize) -> Option<&[f64]> {
        let cell = self.cells[taxon] as usize;
        let row = &self.rows[cell];
        (self.recorded[cell] > 0.0 && Self::applies(row)).then_some(row)
    }

    /// Whether the book says that a taxon cannot have the trait. (A row that is only supposed may be small too.)
    #[must_use]
    pub(crate) fn cannot_have(&self, taxon: usize) -> bool {
        self.is_of_none(self.cells[taxon] as usize)
    }

    /// Whether the row with this number is that of taxa which cannot have the trait.
    pub(super) fn is_of_none(&self, row: usize) -> bool {
        self.recorded[row] > 0.0 && !Self::applies(&self.rows[row])
    }

    pub(crate) fn with_typical_log(mut self) -> Self {
        self.typical_log = self.typical_log_of(&[]);
        self
    }

    /// Mean log-likelihood of an answer under the plant that gave it, nats, where the observer does not part `lumped`
    /// classes: minus the mean entropy of the recorded rows. 0 where nothing is recorded.
    #[must_use]
    pub(crate) fn typical_log_of(&self, lumped: &[usize]) -> f64 {
        let times_log = |p: f64| if p > 0.0 { p * p.ln() } else { 0.0 };
        let (mut sum, mut count) = (0.0, 0.0);
        for (row, taxa) in self.rows.iter().zip(&self.recorded) {
            if *taxa > 0.0 && Self::applies(row) {
                let together: f64 = lumped.iter().map(|&class| row[class]).sum();
                let single = row.iter().enumerate().filter(|(c, _)| !lumped.contains(c));
                let logs: f64 = single.map(|(_, p)| times_log(*p)).sum();
                sum += taxa * (logs + times_log(together));
                count += taxa;
            }
        }
        if count > 0.0 { sum / count } else { 0.0 }
    }

    /// Whether answers are numbers.
    #[must_use]
    pub fn is_number(&self) -> bool {
        !self.cuts.is_empty()
    }
}

/// What a trait is, without the taxa.
#[derive(Debug, Clone)]
pub struct Head {
    /// Id in the book.
    pub id: String,
    /// Ids of the answer classes; empty for a number trait.
    pub states: Vec<String>,
    /// Upper ends of the classes of a number trait; empty for other traits.
    pub cuts: Vec<f64>,
    /// Unit of a number trait; empty for a count and for other traits.
    pub unit: String,
    /// What answering takes.
    pub effort: Effort,
    /// Observer error.
    pub error: f64,
    /// Only taxa that may show one of these states of these traits are asked.
    pub asked_of: Vec<(usize, Vec<usize>)>,
}

/// Which plants of the knowledge a book is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum What {
    /// The weeds.
    Weeds,
    /// The lawn grasses.
    Turf,
}

impl Book {
    /// Compiles the weeds or the grasses of the knowledge.
    #[must_use]
    pub fn new(knowledge: &Knowledge, what: What) -> Self {
        compile::from_knowledge(knowledge, what, None)
    }

    /// The same, as if the plant with the id `left_out` had no entry: to measure how the key does on plants it does not know.
    #[must_use]
    pub fn without(knowledge: &Knowledge, what: What, left_out: &str) -> Self {
        compile::from_knowledge(knowledge, what, Some(left_out))
    }

    /// A book from rows that are known already, trait by trait: `rows_of(t)` gives the head of trait t and, for every
    /// taxon, its row ([`super::observe`]) or nothing. The taxa are of one kind. For books too large to be knowledge files.
    #[must_use]
    pub fn from_rows(
        taxa: Vec<Taxon>,
        traits: usize,
        rows_of: impl Fn(usize) -> (Head, Vec<Option<Vec<f64>>>),
    ) -> Self {
        let kinds = vec![0; taxa.len()];
        let traits = (0..traits)
            .map(|t| {
                let (head, known) = rows_of(t);
                rows::assemble(head, known, &kinds, &[None])
            })
            .collect();
        Self {
            taxa,
            traits,
            kinds: 1,
            kind_trait: None,
        }
    }

    /// The taxa in the order of beliefs.
    #[must_use]
    pub fn taxa(&self) -> &[Taxon] {
        &self.taxa
    }

    /// Number of different regions that the book speaks of.
    pub(crate) fn regions(&self) -> usize {
        let all: std::collections::BTreeSet<&String> =
            self.taxa.iter().flat_map(|t| &t.regions).collect();
        all.len()
    }

    /// The trait of the kinds, and the kinds of which the book holds taxa; nothing where it has no such trait.
    #[must_use]
    pub fn kinds_with_taxa(&self) -> Option<(usize, Vec<usize>)> {
        let of = self.kind_trait?;
        Some((of, self.taxa.iter().map(|t| t.kind).collect()))
    }

    /// The traits in the order of the book.
    #[must_use]
    pub fn traits(&self) -> &[KeyTrait] {
        &self.traits
    }

    /// Chance that a plant of the taxon at `taxon`, once asked, is reported as class `class` of the trait at `of`.
    #[must_use]
    pub fn chance(&self, taxon: usize, of: usize, class: usize) -> f64 {
        let one = &self.traits[of];
        one.rows[one.cells[taxon] as usize][class]
    }
}
