//! From knowledge to the rows of a book.
//!
//! Where nothing is recorded of a taxon and a trait, its row is the mean of the kind, `ū_g`; such a row is never told as
//! something that the book says of the plant. With n rows r recorded of the kind and m the mean of the whole book, made
//! in the same way from an even row:
//!
//! ```text
//! ū_g = (b m + Σ r) / (b + n),   m = (b / K + Σ_all r) / (b + N),   b = BORROWED
//! ```
use super::belief::row_of_unknown;
use super::book::{Book, Head, KeyTrait, Taxon, What};
use super::observe::{self, Confusion, float};
use super::shown::{rows_shown, state_index};
use crate::knowledge::Knowledge;
use crate::knowledge::form::common::Many;
use crate::knowledge::form::plant::{Shows, Trait};
use crate::words::plain;
use std::collections::{BTreeMap, HashMap};

/// A mean of few rows borrows from a wider one as if it had seen this many more.
const BORROWED: f64 = 4.0;
/// Questions that turn on answers to others are followed this far.
const LONGEST_CHAIN: usize = 8;

/// A taxon's raw values, before they become rows.
struct Raw<'a> {
    id: &'a str,
    traits: &'a BTreeMap<String, Shows>,
    months: Vec<u8>,
    regions: Vec<String>,
    common: f64,
}

/// Compiles the weeds or the grasses, all but the one left out.
pub fn from_knowledge(knowledge: &Knowledge, what: What, left_out: Option<&str>) -> Book {
    let mut raw: Vec<Raw<'_>> = match what {
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
                common: weed.seen.common.as_ref().map_or(1.0, |c| c.weight.0),
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
                common: 1.0,
            })
            .collect(),
    };
    raw.retain(|one| Some(one.id) != left_out);
    // A book of grasses has one kind only: the kind trait that splits the weeds does not split them.
    let kind_trait = knowledge
        .book
        .as_ref()
        .and_then(|b| b.kind_trait.as_deref())
        .filter(|_| what == What::Weeds);
    compile(&knowledge.traits, &raw, kind_trait)
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
            common: one.common,
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
    shows.states().find_map(|s| state_index(kind, s))
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
    let cuts: Vec<f64> = one.cuts.iter().map(|c| c.0).collect();
    let k = one.classes();
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
    let shows: Vec<Option<&Shows>> = raw.iter().map(|r| r.traits.get(&one.id)).collect();
    let known = rows_shown(one, &shows, k, &cuts, &confusion);

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

    let head = Head {
        id: one.id.clone(),
        states: one.states.iter().map(|s| s.id.clone()).collect(),
        cuts,
        unit: one.unit.clone().unwrap_or_default(),
        effort: one.effort,
        error: one.error.0,
        asked_of,
    };
    let kind_of_taxa: Vec<usize> = taxa.iter().map(|t| t.kind).collect();
    // A stranger of a kind shows that kind.
    let strangers: Vec<Option<Vec<f64>>> = (0..kinds)
        .map(|kind| is_kind.then(|| observe::row_of_states(k, &[(kind, 1.0)], &confusion)))
        .collect();
    assemble(head, known, &kind_of_taxa, &strangers)
}

/// Puts rows of single taxa together: fills unknown ones from their kind and numbers the distinct ones.
///
/// `strangers` gives, for each kind, the row of an unknown plant where it is not to be taken from the mean of the kind.
pub fn assemble(
    head: Head,
    known: Vec<Option<Vec<f64>>>,
    kind_of_taxa: &[usize],
    strangers: &[Option<Vec<f64>>],
) -> KeyTrait {
    let k = if head.cuts.is_empty() {
        head.states.len()
    } else {
        head.cuts.len() + 1
    };
    let mut rows = Rows::default();
    let everything = mean(k, known.iter().flatten());
    let mut unknown_rows = Vec::with_capacity(strangers.len());
    let mut fill = Vec::with_capacity(strangers.len());
    for (kind, stranger) in strangers.iter().enumerate() {
        let of_kind = kind_of_taxa
            .iter()
            .zip(&known)
            .filter(|(of, _)| **of == kind)
            .filter_map(|(_, row)| row.as_ref());
        let pooled = pool(k, of_kind, &everything);
        let unknown = stranger.clone().unwrap_or_else(|| row_of_unknown(&pooled));
        fill.push(rows.apart(pooled));
        unknown_rows.push(rows.apart(unknown));
    }
    let cells: Vec<u32> = known
        .into_iter()
        .zip(kind_of_taxa)
        .map(|(row, kind)| row.map_or(fill[*kind], |row| rows.number(row)))
        .collect();
    let mut recorded = vec![0.0; rows.list.len()];
    for cell in cells.iter().filter(|cell| !fill.contains(cell)) {
        recorded[*cell as usize] += 1.0;
    }
    KeyTrait {
        id: head.id,
        states: head.states,
        cuts: head.cuts,
        unit: head.unit,
        effort: head.effort,
        error: head.error,
        asked_of: head.asked_of,
        typical_log: 0.0,
        rows: rows.list,
        recorded,
        cells,
        unknown_rows,
    }
    .with_typical_log()
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
            Some(shows) => shows.states().any(|s| states.contains(s)),
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

fn mean<'a>(k: usize, rows: impl Iterator<Item = &'a Vec<f64>>) -> Vec<f64> {
    pool(k, rows, &vec![1.0 / float(k.max(1)); k])
}

/// Mean of `rows` with a share of `prior` worth [`BORROWED`] rows.
fn pool<'a>(k: usize, rows: impl Iterator<Item = &'a Vec<f64>>, prior: &[f64]) -> Vec<f64> {
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

    /// A number of its own, whatever rows there are: what is only supposed must not be taken for what is recorded.
    fn apart(&mut self, row: Vec<f64>) -> u32 {
        self.list.push(row);
        u32::try_from(self.list.len() - 1).unwrap_or(u32::MAX)
    }
}
