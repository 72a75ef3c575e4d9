//! Values from memory on which two recollections disagree.
use super::prelude::*;
use crate::knowledge::verdict::Standing;
use std::collections::BTreeSet;

pub const CHECK: Check = Check {
    code: "disputed",
    severity: Note,
    title: "Two recollections disagree",
    explanation: "A value from memory and an independent second recollection differ. The more cautious of the two counts, the \
        value ranks behind everything that is not disputed, and it is marked wherever it is shown. It is the first thing \
        to look up in a source.",
    bad: &[Piece {
        file: "actives/fabricam.yaml",
        yaml: "turf:\n  - {turf: demo-cool-grass, stage: established, rating: tolerant, source: memory}\n  - {turf: demo-cool-grass, stage: established, rating: sensitive, confidence: high, source: second-recollection}",
    }],
    good: &[Piece {
        file: "actives/fabricam.yaml",
        yaml: "turf:\n  - {turf: demo-cool-grass, stage: established, rating: tolerant, source: memory}\n  - {turf: demo-cool-grass, stage: established, rating: tolerant, confidence: high, source: second-recollection}",
    }],
    run,
    needs_all: false,
};

fn run(book: &Book<'_>, found: &mut Findings) {
    for one in rated(book.known) {
        tolerance(book, &one, found);
        control(book, &one, found);
    }
}

fn tolerance(book: &Book<'_>, one: &Rated<'_>, found: &mut Findings) {
    let cells: BTreeSet<(&str, &str)> = one
        .turf
        .iter()
        .map(|r| (r.turf.as_str(), r.stage.as_str()))
        .collect();
    for (turf, stage) in cells {
        let here: Vec<_> = one
            .turf
            .iter()
            .filter(|r| r.turf == turf && r.stage == stage)
            .collect();
        if book
            .known
            .weigh_tolerance(&here)
            .is_none_or(|w| w.standing != Standing::Disputed)
        {
            continue;
        }
        let row = |second: bool| {
            one.turf.iter().position(|r| {
                r.turf == turf && r.stage == stage && r.confidence.is_some() == second
            })
        };
        tell(
            one,
            "turf",
            row(false),
            row(true),
            &format!("{} on {turf} ({stage})", one.id),
            found,
        );
    }
}

fn control(book: &Book<'_>, one: &Rated<'_>, found: &mut Findings) {
    let cells: BTreeSet<_> = one
        .controls
        .iter()
        .map(|r| (r.weed.as_str(), r.timing))
        .collect();
    for (weed, timing) in cells {
        let here: Vec<_> = one
            .controls
            .iter()
            .filter(|r| r.weed == weed && r.timing == timing)
            .collect();
        if book
            .known
            .weigh_control(&here)
            .is_none_or(|w| w.standing != Standing::Disputed)
        {
            continue;
        }
        let row = |second: bool| {
            one.controls.iter().position(|r| {
                r.weed == weed && r.timing == timing && r.confidence.is_some() == second
            })
        };
        tell(
            one,
            "controls",
            row(false),
            row(true),
            &format!("{} against {weed}", one.id),
            found,
        );
    }
}

fn tell(
    one: &Rated<'_>,
    list: &str,
    first: Option<usize>,
    second: Option<usize>,
    about: &str,
    found: &mut Findings,
) {
    if let (Some(first), Some(second)) = (first, second) {
        let at = |index: usize| one.at.clone().to(list).to(index).to("rating");
        found
            .add(
                at(first),
                format!("{about}: two recollections disagree; the more cautious counts"),
            )
            .about(about)
            .help("look it up: a source that was read settles it")
            .also("the second recollection", at(second));
    }
}
