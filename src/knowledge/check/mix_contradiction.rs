//! Rules of mixing that say opposite things of the same partners.
use super::prelude::*;
use crate::knowledge::Knowledge;
use crate::knowledge::form::lists::{Effect, Interaction, Side};
use std::collections::BTreeSet;

pub const CHECK: Check = Check {
    code: "mix-contradiction",
    severity: Warning,
    title: "Two rules say opposite things of the same partners in the tank",
    explanation: "One rule keeps two partners apart or warns that one weakens the other, another rule praises the same pair, and neither \
        grass nor weed tells the cases apart. The warning always wins in the choice, so nothing unsafe follows; but one of \
        the two is mistaken, or lacks `seen_on` or `turf`, which say where it was found.",
    bad: &[Piece {
        file: "interactions.yaml",
        yaml: "- {a: {actives: demosulf}, b: {actives: inventol}, effect: synergy, text: Better together., source: guide-a}\n- {a: {actives: inventol}, b: {actives: demosulf}, effect: do-not-mix, text: Keep apart., source: guide-b}",
    }],
    good: &[Piece {
        file: "interactions.yaml",
        yaml: "- {a: {actives: demosulf}, b: {actives: inventol}, effect: synergy, seen_on: thread sedge, text: Better together., source: guide-a}\n- {a: {actives: inventol}, b: {actives: demosulf}, effect: antagonism, seen_on: tuft millet, text: Keep apart on this one., source: guide-b}",
    }],
    run,
    needs_all: false,
};

struct Rule<'a> {
    a: BTreeSet<&'a str>,
    b: BTreeSet<&'a str>,
    of: &'a Interaction,
    /// -1 speaks against the pair, 1 for it, 0 neither.
    leaning: i8,
}

fn run(book: &Book<'_>, found: &mut Findings) {
    let rules: Vec<Rule<'_>> = book
        .known
        .interactions
        .iter()
        .map(|of| Rule {
            a: members(book.known, &of.a),
            b: members(book.known, &of.b),
            of,
            leaning: match of.effect {
                Effect::Antagonism | Effect::DoNotMix => -1,
                Effect::Synergy | Effect::Enhanced => 1,
                _ => 0,
            },
        })
        .collect();
    for (index, rule) in rules.iter().enumerate() {
        for (earlier, other) in rules[..index].iter().enumerate() {
            if rule.leaning * other.leaning >= 0 || !same_case(rule.of, other.of) {
                continue;
            }
            let meet = |x: &BTreeSet<&str>, y: &BTreeSet<&str>| !x.is_disjoint(y);
            let same = (meet(&rule.a, &other.a) && meet(&rule.b, &other.b))
                || (meet(&rule.a, &other.b) && meet(&rule.b, &other.a));
            // A rule on a whole group gives way to one that names the active.
            let exact = rule.of.a.groups.is_empty()
                && rule.of.b.groups.is_empty()
                && other.of.a.groups.is_empty()
                && other.of.b.groups.is_empty();
            if same && exact {
                let at = |index: usize| At::file("interactions.yaml").to(index).to("effect");
                let pair = format!("{} with {}", names(&rule.a), names(&rule.b));
                found
                    .add(at(index), format!("{pair}: this rule and another say opposite things"))
                    .about(pair)
                    .help("look both up; if both are right, say in `seen_on` or `turf` where each was found")
                    .also("the other rule", at(earlier));
            }
        }
    }
}

fn members<'a>(known: &'a Knowledge, side: &'a Side) -> BTreeSet<&'a str> {
    let of_group = known
        .actives
        .iter()
        .filter(|(_, a)| side.groups.contains(&a.group.is))
        .map(|(id, _)| id.as_str());
    side.actives
        .iter()
        .map(String::as_str)
        .chain(of_group)
        .collect()
}

fn names(side: &BTreeSet<&str>) -> String {
    side.iter().copied().collect::<Vec<_>>().join(" or ")
}

/// Whether both rules may speak of the same weed on the same grass.
fn same_case(one: &Interaction, other: &Interaction) -> bool {
    let weed = match (&one.seen_on, &other.seen_on) {
        (Some(a), Some(b)) => a == b,
        _ => true,
    };
    let turf = one.turf.is_empty()
        || other.turf.is_empty()
        || one.turf.iter().any(|t| other.turf.contains(t));
    weed && turf
}
