//! From knowledge to the rows of a book.
//!
//! A plant that is not asked about a trait (`asked_of`, followed through) and is silent about it has the row of `na`. Such
//! rows count in the means of [`super::rows`], which may then sum to less than 1; they do not count in the h of
//! [`super::belief`].
use super::book::{Book, Head, KeyTrait, Taxon, What};
use super::observe::{self, Confusion};
use super::rows::assemble;
use super::shown::{rows_shown, state_index, unique};
use crate::knowledge::Knowledge;
use crate::knowledge::form::common::Many;
use crate::knowledge::form::plant::{Shows, Trait};
use crate::words::plain;
use std::collections::{BTreeMap, HashMap};

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
                    .map(|r| unique(r.is.iter().map(|name| plain(name))))
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
                    let states = states.iter();
                    let states = states.filter_map(|s| state_index(&traits[other], s));
                    let states = unique(states);
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
            let others = s.mistaken_for.iter().filter(|other| **other != s.id);
            unique(others.filter_map(|other| state_index(one, other)))
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
