//! Second recollections of something that nobody said first.
use super::prelude::*;

pub const CHECK: Check = Check {
    code: "second-alone",
    severity: Note,
    title: "A second recollection stands alone",
    explanation: "A second recollection confirms or disputes a first statement. Alone it proves nothing, so the tool treats \
        the value as unknown. It is kept because it shows what may be worth reading up.",
    bad: &[Piece {
        file: "actives/fabricam.yaml",
        yaml: "turf:\n  - {turf: demo-warm-grass, stage: established, rating: tolerant, confidence: high, source: second-recollection}",
    }],
    good: &[Piece {
        file: "actives/fabricam.yaml",
        yaml: "turf:\n  - {turf: demo-warm-grass, stage: established, rating: tolerant, source: memory}\n  - {turf: demo-warm-grass, stage: established, rating: tolerant, confidence: high, source: second-recollection}",
    }],
    run,
    needs_all: false,
};

fn run(book: &Book<'_>, found: &mut Findings) {
    for one in rated(book.known) {
        for (index, row) in one.turf.iter().enumerate() {
            let first = |r: &&crate::knowledge::form::active::ToleranceRow| {
                r.confidence.is_none() && r.turf == row.turf && r.stage == row.stage
            };
            if row.confidence.is_some() && !one.turf.iter().any(|r| first(&r)) {
                let message = format!(
                    "{} on {} ({}): only the second recollection says anything",
                    one.id, row.turf, row.stage
                );
                found
                    .add(one.at.clone().to("turf").to(index), message)
                    .about(format!("{} on {} {}", one.id, row.turf, row.stage));
            }
        }
        for (index, row) in one.controls.iter().enumerate() {
            let first = one
                .controls
                .iter()
                .any(|r| r.confidence.is_none() && r.weed == row.weed && r.timing == row.timing);
            if row.confidence.is_some() && !first {
                let message = format!(
                    "{} against {}: only the second recollection says anything",
                    one.id, row.weed
                );
                found
                    .add(one.at.clone().to("controls").to(index), message)
                    .about(format!("{} against {}", one.id, row.weed));
            }
        }
    }
}
