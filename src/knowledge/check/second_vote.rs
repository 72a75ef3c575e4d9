//! Second recollections that are not marked as such.
use super::prelude::*;
use crate::knowledge::form::active::Confidence;
use crate::knowledge::form::common::Sources;
use crate::knowledge::form::source::Evidence;
use std::collections::BTreeMap;

pub const CHECK: Check = Check {
    code: "second-vote",
    severity: Error,
    title: "A second recollection is not marked as one, or a first statement is",
    explanation: "`confidence` marks a row as an independent second recollection. Such a row can make a value more cautious, \
        never less, and proves nothing alone. Without the mark it would count as a statement of its own; with the mark, a \
        statement that was really read would not count at all. So rows that rest on the second recollection carry \
        `confidence`, and no others do.",
    bad: &[Piece {
        file: "actives/fabricam.yaml",
        yaml: "turf:\n  - {turf: demo-cool-grass, stage: established, rating: tolerant, confidence: high, source: guide-b}",
    }],
    good: &[Piece {
        file: "actives/fabricam.yaml",
        yaml: "turf:\n  - {turf: demo-cool-grass, stage: established, rating: tolerant, source: guide-b}",
    }],
    run,
    needs_all: false,
};

type Row<'a> = (Option<Confidence>, &'a Sources, At);

fn run(book: &Book<'_>, found: &mut Findings) {
    let mut rows: Vec<Row<'_>> = Vec::new();
    for one in rated(book.known) {
        let at = |list: &str, index: usize| one.at.clone().to(list).to(index);
        rows.extend(
            one.turf
                .iter()
                .enumerate()
                .map(|(i, r)| (r.confidence, &r.source, at("turf", i))),
        );
        rows.extend(
            one.controls
                .iter()
                .enumerate()
                .map(|(i, r)| (r.confidence, &r.source, at("controls", i))),
        );
    }
    let is_memory = |id: &String| {
        book.known
            .sources
            .get(id)
            .is_some_and(|s| s.evidence == Evidence::Memory)
    };
    // Which sources are second recollections is known from the rows: most of what rests on one is marked.
    let mut marked: BTreeMap<&String, (usize, usize)> = BTreeMap::new();
    for (confidence, sources, _) in &rows {
        for id in sources.iter() {
            let count = marked.entry(id).or_default();
            count.0 += usize::from(confidence.is_some());
            count.1 += 1;
        }
    }
    let second = |id: &String| marked.get(id).is_some_and(|(with, all)| with * 2 > *all);
    for (confidence, sources, at) in rows {
        if confidence.is_some() && !sources.iter().all(is_memory) {
            found
                .add(at.clone().to("confidence"), "a statement that was read is marked as a second recollection, so it would not count")
                .help("take `confidence` away");
        }
        if confidence.is_none() && sources.iter().any(second) {
            found
                .add(at.to("source"), "a second recollection stands here without `confidence`, so it would count as a first statement")
                .help("add `confidence: low`, `medium` or `high`");
        }
    }
}
