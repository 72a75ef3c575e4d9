//! Knowledge compiled for reckoning: for every taxon and trait the row of [`super::observe`].
//!
//! Many taxa share a row (all that are known to be hairy, all of which nothing is known), so a cell holds the number of
//! its row in a list of the trait's distinct rows. Sums over taxa then are sums over few rows.
use super::observe::{self, Confusion, float};
use crate::knowledge::Knowledge;
use crate::knowledge::form::common::Many;
use crate::knowledge::form::plant::{Effort, Shows, Trait, TraitKind};
use crate::words::plain;
use std::collections::{BTreeMap, HashMap};

/// A book that the key can ask about.
#[derive(Debug, Clone)]
pub struct Book {
    pub(crate) taxa: Vec<Taxon>,
    pub(crate) traits: Vec<KeyTrait>,
    /// Names of the kinds of taxa; a single nameless kind where the book has no kind trait.
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
    /// Its kind (a state of the kind trait), the first where it shows several.
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
    /// What answering takes.
    pub effort: Effort,
    /// Observer error.
    pub error: f64,
    /// Only taxa that may show one of these states of these traits are asked.
    pub asked_of: Vec<(usize, Vec<usize>)>,
    /// Distinct rows, each `classes()` long.
    pub(crate) rows: Vec<Vec<f64>>,
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

    /// Whether answers are numbers.
    #[must_use]
    pub fn is_number(&self) -> bool {
        !self.cuts.is_empty()
    }
}

/// Which plants of the knowledge a book is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum What {
    /// The weeds.
    Weeds,
    /// The lawn grasses.
    Turf,
}

/// Questions that turn on answers to others are followed this far.
const LONGEST_CHAIN: usize = 8;

/// A taxon's raw values, before they become rows.
struct Raw<'a> {
    id: &'a str,
    traits: &'a BTreeMap<String, Shows>,
    months: Vec<u8>,
    regions: Vec<String>,
}

impl Book {
    /// Compiles the weeds or the grasses of the knowledge.
    #[must_use]
    pub fn new(knowledge: &Knowledge, what: What) -> Self {
        let raw: Vec<Raw<'_>> = match what {
            What::Weeds => knowledge
                .weeds
                .iter()
                .map(|(id, weed)| Raw {
                    id,
                    traits: &weed.traits,
                    months: weed
                        .seen
                        .growing
                        .as_ref()
                        .map(|m| m.months.clone())
                        .unwrap_or_default(),
                    regions: weed
                        .seen
                        .regions
                        .as_ref()
                        .map(|r| r.is.iter().map(|name| plain(name)).collect())
                        .unwrap_or_default(),
                })
                .collect(),
            What::Turf => knowledge
                .turf
                .iter()
                .map(|(id, turf)| Raw {
                    id,
                    traits: &turf.traits,
                    months: Vec::new(),
                    regions: Vec::new(),
                })
                .collect(),
        };
        // A book of grasses has one kind only: the kind trait that splits the weeds does not split them.
        let kind_trait = knowledge
            .book
            .as_ref()
            .and_then(|b| b.kind_trait.as_deref())
            .filter(|_| what == What::Weeds);
        compile(&knowledge.traits, &raw, kind_trait)
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

fn compile(traits: &[Trait], raw: &[Raw<'_>], kind_trait: Option<&str>) -> Book {
    let index: HashMap<&str, usize> = traits
        .iter()
        .enumerate()
        .map(|(i, t)| (t.id.as_str(), i))
        .collect();
    let kind_trait = kind_trait.and_then(|id| index.get(id).copied());
    let kinds = kind_trait.map_or(1, |t| traits[t].states.len().max(1));
    let taxa: Vec<Taxon> = raw
        .iter()
        .map(|one| Taxon {
            id: one.id.to_owned(),
            months: one.months.clone(),
            regions: one.regions.clone(),
            kind: kind_trait
                .and_then(|t| kind_of(&traits[t], one.traits))
                .unwrap_or(0),
        })
        .collect();
    let traits = traits
        .iter()
        .enumerate()
        .map(|(number, one)| {
            let asked_of = one
                .asked_of
                .iter()
                .filter_map(|(id, states)| {
                    let other = *index.get(id.as_str())?;
                    let states = states
                        .iter()
                        .filter_map(|s| state_index(&traits[other], s))
                        .collect();
                    Some((other, states))
                })
                .collect();
            compile_trait(
                one,
                raw,
                &taxa,
                kinds,
                kind_trait == Some(number),
                traits,
                asked_of,
            )
        })
        .collect();
    Book {
        taxa,
        traits,
        kinds,
        kind_trait,
    }
}

fn kind_of(kind: &Trait, traits: &BTreeMap<String, Shows>) -> Option<usize> {
    let shows = traits.get(&kind.id)?;
    shows
        .is
        .iter()
        .chain(shows.sometimes.iter())
        .find_map(|s| state_index(kind, s))
}

fn state_index(one: &Trait, state: &str) -> Option<usize> {
    one.states.iter().position(|s| s.id == state)
}

fn compile_trait(
    one: &Trait,
    raw: &[Raw<'_>],
    taxa: &[Taxon],
    kinds: usize,
    is_kind: bool,
    traits: &[Trait],
    asked_of: Vec<(usize, Vec<usize>)>,
) -> KeyTrait {
    let number = one.kind == TraitKind::Number;
    let cuts: Vec<f64> = one.cuts.iter().map(|c| c.0).collect();
    let k = if number {
        cuts.len() + 1
    } else {
        one.states.len()
    };
    let mistaken_for: Vec<Vec<usize>> = one
        .states
        .iter()
        .map(|s| {
            s.mistaken_for
                .iter()
                .filter_map(|other| state_index(one, other))
                .collect()
        })
        .collect();
    let confusion = Confusion {
        error: one.error.0,
        mistaken_for: &mistaken_for,
    };
    let known: Vec<Option<Vec<f64>>> = raw
        .iter()
        .map(|r| known_row(one, r.traits.get(&one.id)?, k, &cuts, &confusion))
        .collect();

    // Where a plant is never asked about a trait and nothing is recorded, the trait does not apply to it.
    let asked: Vec<bool> = raw
        .iter()
        .map(|r| is_asked(r, traits, &one.asked_of, LONGEST_CHAIN))
        .collect();
    let not_asked = observe::row_not_applicable(k);
    let known: Vec<Option<Vec<f64>>> = known
        .into_iter()
        .zip(&asked)
        .map(|(row, asked)| row.or_else(|| (!asked).then(|| not_asked.clone())))
        .collect();

    let mut rows = Rows::default();
    let everything = mean(k, known.iter().flatten());
    let mut unknown_rows = Vec::with_capacity(kinds);
    let mut fill = Vec::with_capacity(kinds);
    for kind in 0..kinds {
        let of_kind = || {
            taxa.iter()
                .zip(&known)
                .filter(move |(t, _)| t.kind == kind)
                .filter_map(|(_, row)| row.as_ref())
        };
        // A kind of which too little is known borrows from the whole book, as if four more taxa were average.
        let pooled = pool(k, of_kind(), &everything);
        fill.push(rows.number(pooled.clone()));
        let stranger = if is_kind {
            observe::row_of_states(k, &[kind], &[], &confusion)
        } else {
            super::belief::row_of_unknown(&pooled)
        };
        unknown_rows.push(rows.number(stranger));
    }
    let cells = known
        .into_iter()
        .zip(taxa)
        .map(|(row, taxon)| row.map_or(fill[taxon.kind], |row| rows.number(row)))
        .collect();
    KeyTrait {
        id: one.id.clone(),
        states: one.states.iter().map(|s| s.id.clone()).collect(),
        cuts,
        effort: one.effort,
        error: one.error.0,
        asked_of,
        rows: rows.list,
        cells,
        unknown_rows,
    }
}

/// Whether a plant may show one of the states that a trait is asked of, in each of the traits named.
///
/// A plant that is silent about such a trait may show it only if it is itself asked about that trait, and so on: a
/// broad-leaved plant without a word on its ligule is not asked how long the ligule is.
fn is_asked(
    one: &Raw<'_>,
    traits: &[Trait],
    asked_of: &BTreeMap<String, Many>,
    depth: usize,
) -> bool {
    asked_of
        .iter()
        .all(|(id, states)| match one.traits.get(id) {
            Some(shows) => shows
                .is
                .iter()
                .chain(shows.sometimes.iter())
                .any(|s| states.contains(s)),
            // A chain of questions is short; a circle of them would be a fault of the book and ends here.
            None => {
                depth == 0
                    || traits
                        .iter()
                        .find(|t| &t.id == id)
                        .is_none_or(|t| is_asked(one, traits, &t.asked_of, depth - 1))
            }
        })
}

/// The row of what a taxon shows; `None` where nothing usable is said.
fn known_row(
    one: &Trait,
    shows: &Shows,
    k: usize,
    cuts: &[f64],
    confusion: &Confusion<'_>,
) -> Option<Vec<f64>> {
    if shows.is.iter().any(|s| s == "na") {
        return Some(observe::row_not_applicable(k));
    }
    if let Some([from, to]) = shows.range {
        return Some(observe::row_of_range(from.0, to.0, cuts, confusion.error));
    }
    let indexes = |states: &[String]| -> Vec<usize> {
        states.iter().filter_map(|s| state_index(one, s)).collect()
    };
    let (usual, sometimes) = (indexes(&shows.is), indexes(&shows.sometimes));
    if usual.is_empty() && sometimes.is_empty() {
        return None;
    }
    Some(observe::row_of_states(k, &usual, &sometimes, confusion))
}

fn mean<'a>(k: usize, rows: impl Iterator<Item = &'a Vec<f64>>) -> Vec<f64> {
    pool(k, rows, &vec![1.0 / float(k.max(1)); k])
}

/// Mean of `rows` with a share of `prior` worth [`BORROWED`] rows.
fn pool<'a>(k: usize, rows: impl Iterator<Item = &'a Vec<f64>>, prior: &[f64]) -> Vec<f64> {
    const BORROWED: f64 = 4.0;
    let mut sum: Vec<f64> = prior.iter().map(|p| p * BORROWED).collect();
    let mut count = BORROWED;
    for row in rows {
        for class in 0..k {
            sum[class] += row[class];
        }
        count += 1.0;
    }
    for p in &mut sum {
        *p /= count;
    }
    sum
}

/// Collects distinct rows.
#[derive(Default)]
struct Rows {
    list: Vec<Vec<f64>>,
    numbers: HashMap<Vec<u64>, u32>,
}

impl Rows {
    fn number(&mut self, row: Vec<f64>) -> u32 {
        let bits: Vec<u64> = row.iter().map(|p| p.to_bits()).collect();
        *self.numbers.entry(bits).or_insert_with(|| {
            self.list.push(row);
            u32::try_from(self.list.len() - 1).unwrap_or(u32::MAX)
        })
    }
}
