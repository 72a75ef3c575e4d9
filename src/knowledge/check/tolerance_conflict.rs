//! Statements about one grass at one stage that disagree.
use super::prelude::*;
use crate::knowledge::form::active::{Tolerance, ToleranceRow};
use std::collections::BTreeMap;

pub const CHECK: Check = Check {
    code: "tolerance-conflict",
    severity: Note,
    title: "Statements on how a grass stands an active disagree",
    explanation: "Trials and memories differ, so statements that disagree may stand side by side within one stage of the \
        grass. The most cautious one counts, whatever it rests on: a grass is never put at risk because somebody else \
        was luckier. The finding shows both ends and names the one that counts. Nothing has to be mended; look whether \
        conditions explain the difference, and whether memory could be replaced by something read.",
    bad: &[Piece {
        file: "actives/demosulf.yaml",
        yaml: "turf:\n  - {turf: demo-cool-grass, stage: established, rating: tolerant, source: guide-a}\n  - {turf: demo-cool-grass, stage: established, rating: sensitive, source: guide-b}",
    }],
    good: &[Piece {
        file: "actives/demosulf.yaml",
        yaml: "turf:\n  - {turf: demo-cool-grass, stage: established, rating: sensitive, source: guide-a}\n  - {turf: demo-cool-grass, stage: established, rating: sensitive, source: guide-b}",
    }],
    run,
    needs_all: false,
};

fn run(book: &Book<'_>, found: &mut Findings) {
    for one in rated(book.known) {
        let mut cells: BTreeMap<(&str, &str), Vec<(usize, &ToleranceRow)>> = BTreeMap::new();
        for (index, row) in one
            .turf
            .iter()
            .enumerate()
            .filter(|(_, r)| r.confidence.is_none())
        {
            cells
                .entry((&row.turf, &row.stage))
                .or_default()
                .push((index, row));
        }
        for ((turf, stage), rows) in cells {
            let Some(worst) = rows.iter().max_by_key(|(_, r)| r.rating) else {
                continue;
            };
            for other in rows.iter().filter(|(_, r)| r.rating < worst.1.rating) {
                let at = |index: usize| one.at.clone().to("turf").to(index).to("rating");
                let message = format!(
                    "{} on {turf} ({stage}): {} says {}, {} says {}; the cautious one counts: {}",
                    one.id,
                    other.1.source.join(" and "),
                    word(other.1.rating),
                    worst.1.source.join(" and "),
                    word(worst.1.rating),
                    word(worst.1.rating),
                );
                found
                    .add(at(other.0), message)
                    .also(format!("{} counts", word(worst.1.rating)), at(worst.0))
                    .about(format!("{} on {turf} {stage}", one.id));
            }
        }
    }
}

/// The word that stands in the file.
fn word(rating: Tolerance) -> &'static str {
    match rating {
        Tolerance::Tolerant => "tolerant",
        Tolerance::Intermediate => "intermediate",
        Tolerance::Sensitive => "sensitive",
        Tolerance::NotRegistered => "not-registered",
    }
}
