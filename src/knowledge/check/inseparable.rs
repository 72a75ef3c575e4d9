//! Pairs of weeds that no trait tells apart.
use super::prelude::*;
use crate::knowledge::Knowledge;
use crate::knowledge::form::plant::{Shows, Trait, TraitKind};

pub const CHECK: Check = Check {
    code: "inseparable",
    severity: Warning,
    title: "No trait tells two weeds apart",
    explanation: "For every trait that both weeds have, some usual answer fits both, so the key seldom settles on one of them. \
        What is shown now and then (`sometimes`) does not count: it may be told of one plant although it is usual for the \
        other, and of `weights` only those at least half the greatest do. The finding names the trait that would help most: one that is filled in for one of the two and missing for the other, \
        or else the one on which they overlap least. Fill it in from a source. Where two plants really cannot be told \
        apart in a lawn, acknowledge the pair and say so in a look-alike.",
    bad: &[Piece {
        file: "weeds/false-penny.yaml",
        yaml: "traits:\n  kind: {is: broadleaf, source: guide-a}\n  leaf_edge: {is: scalloped, source: guide-a}\n  leaf_width_mm: {range: [8, 20], source: memory}",
    }],
    good: &[Piece {
        file: "weeds/false-penny.yaml",
        yaml: "traits:\n  kind: {is: broadleaf, source: guide-a}\n  leaf_edge: {is: scalloped, source: guide-a}\n  stem: {is: round, source: guide-a}\n  life_cycle: {is: perennial, source: memory}\n  flower: {is: white, source: guide-a}",
    }],
    run,
    needs_all: true,
};

/// What a plant usually shows of a trait, made fit for quick comparison.
#[derive(Clone, Copy)]
enum May {
    Unknown,
    /// One bit for each state, the last for "does not apply".
    States(u64),
    Between(f64, f64),
}

fn run(book: &Book<'_>, found: &mut Findings) {
    let traits: Vec<&Trait> = book
        .known
        .traits
        .iter()
        .filter(|t| t.states.len() < 63)
        .collect();
    let weeds: Vec<(&String, Vec<May>)> = book
        .known
        .weeds
        .iter()
        .map(|(id, weed)| {
            (
                id,
                traits
                    .iter()
                    .map(|t| may(t, weed.traits.get(&t.id)))
                    .collect(),
            )
        })
        .collect();
    for (index, (a, of_a)) in weeds.iter().enumerate() {
        for (b, of_b) in &weeds[index + 1..] {
            if of_a.iter().zip(of_b).any(|(x, y)| apart(*x, *y)) {
                continue;
            }
            let mut help = advice(&traits, (a, of_a.as_slice()), (b, of_b.as_slice()));
            if !speaks_of(book.known, a, b) {
                help.push_str("; neither names the other as a look-alike");
            }
            found
                .add(
                    At::file(format!("weeds/{a}.yaml")).to("traits"),
                    format!("no trait tells {a} from {b}"),
                )
                .about(format!("{a} and {b}"))
                .help(help)
                .also(
                    format!("{b} stands here"),
                    At::file(format!("weeds/{b}.yaml")).to("traits"),
                );
        }
    }
}

fn may(one: &Trait, shows: Option<&Shows>) -> May {
    let Some(shows) = shows else {
        return May::Unknown;
    };
    if shows.is.iter().any(|s| s == "na") {
        return May::States(1 << 63);
    }
    if let (TraitKind::Number, Some([from, to])) = (one.kind, shows.range) {
        return May::Between(from.0, to.0);
    }
    let bit = |state: &String| {
        one.states
            .iter()
            .position(|s| &s.id == state)
            .map_or(0, |i| 1_u64 << i)
    };
    let named = shows.is.iter().map(bit);
    // Where states are weighed, usual are those at least half as frequent as the most frequent.
    let most = shows.weights.values().map(|w| w.0).fold(0.0, f64::max);
    let weighed = shows
        .weights
        .iter()
        .filter(|(_, w)| w.0 > 0.0 && w.0 >= 0.5 * most)
        .map(|(state, _)| bit(state));
    match named.chain(weighed).fold(0, |all, one| all | one) {
        0 => May::Unknown,
        states => May::States(states),
    }
}

/// Whether no answer fits both.
fn apart(a: May, b: May) -> bool {
    match (a, b) {
        (May::States(a), May::States(b)) => a & b == 0,
        (May::Between(a, b), May::Between(c, d)) => b < c || d < a,
        // A trait that does not apply to one and is measured on the other.
        (May::States(_), May::Between(..)) | (May::Between(..), May::States(_)) => true,
        (May::Unknown, _) | (_, May::Unknown) => false,
    }
}

/// How much of two values is shared, from 0 (nothing) to 1 (all).
fn overlap(a: May, b: May) -> f64 {
    match (a, b) {
        (May::States(a), May::States(b)) => {
            f64::from((a & b).count_ones()) / f64::from((a | b).count_ones().max(1))
        }
        (May::Between(a, b), May::Between(c, d)) => {
            let all = b.max(d) - a.min(c);
            if all > 0.0 {
                (b.min(d) - a.max(c)) / all
            } else {
                1.0
            }
        }
        _ => 1.0,
    }
}

/// The trait that would help: one that only one of the two has, the most reliable first; else the least shared one.
fn advice(traits: &[&Trait], a: (&String, &[May]), b: (&String, &[May])) -> String {
    let unknown = |m: &May| matches!(m, May::Unknown);
    let gap = (0..traits.len())
        .filter(|i| unknown(&a.1[*i]) != unknown(&b.1[*i]))
        .min_by(|i, j| traits[*i].error.0.total_cmp(&traits[*j].error.0));
    if let Some(gap) = gap {
        let (has, lacks) = if unknown(&a.1[gap]) {
            (b.0, a.0)
        } else {
            (a.0, b.0)
        };
        return format!(
            "{} would help: it is known of {has} and missing for {lacks}",
            traits[gap].id
        );
    }
    let least = (0..traits.len())
        .filter(|i| !unknown(&a.1[*i]))
        .min_by(|i, j| overlap(a.1[*i], b.1[*i]).total_cmp(&overlap(a.1[*j], b.1[*j])));
    match least {
        Some(least) if overlap(a.1[least], b.1[least]) < 1.0 => {
            format!(
                "{} would help if it were known more exactly: the two share only part of it",
                traits[least].id
            )
        }
        _ => "a trait that the book does not have yet would be needed".to_owned(),
    }
}

/// Whether one of the two warns of the other.
fn speaks_of(known: &Knowledge, a: &str, b: &str) -> bool {
    let says = |one: &str, other: &str| {
        known.weeds.get(one).is_some_and(|w| {
            w.look_alikes
                .iter()
                .any(|l| l.weed.as_deref() == Some(other))
        })
    };
    says(a, b) || says(b, a)
}
