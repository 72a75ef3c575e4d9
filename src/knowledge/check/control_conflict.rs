//! Statements about one weed and timing that disagree.
use super::prelude::*;
use crate::knowledge::form::active::{Control, ControlRow, Timing};
use std::collections::BTreeMap;

pub const CHECK: Check = Check {
    code: "control-conflict",
    severity: Note,
    title: "Statements on how well a weed is controlled disagree",
    explanation: "Statements on one weed at one time of treatment may differ. What was read decides before what is recalled, \
        a grade before a bare listing, and among equals the more cautious. The finding shows both ends and names the one \
        that counts. Nothing has to be mended; look whether conditions explain the difference.",
    bad: &[Piece {
        file: "actives/demosulf.yaml",
        yaml: "controls:\n  - {weed: thread-sedge, timing: post, rating: good, source: guide-a}\n  - {weed: thread-sedge, timing: post, rating: poor, source: guide-b}",
    }],
    good: &[Piece {
        file: "actives/demosulf.yaml",
        yaml: "controls:\n  - {weed: thread-sedge, timing: post, rating: good, source: guide-a}\n  - {weed: thread-sedge, timing: post, rating: good, source: guide-b}",
    }],
    run,
    needs_all: false,
};

fn run(book: &Book<'_>, found: &mut Findings) {
    for one in rated(book.known) {
        let mut cells: BTreeMap<(&str, Timing), Vec<(usize, &ControlRow)>> = BTreeMap::new();
        for (index, row) in one
            .controls
            .iter()
            .enumerate()
            .filter(|(_, r)| r.confidence.is_none())
        {
            cells
                .entry((&row.weed, row.timing))
                .or_default()
                .push((index, row));
        }
        for ((weed, _), rows) in cells {
            let here: Vec<&ControlRow> = rows.iter().map(|(_, r)| *r).collect();
            let Some(counts) = book.known.weigh_control(&here).map(|w| w.rating) else {
                continue;
            };
            let Some(decides) = book
                .known
                .deciding(&here)
                .find(|r| r.rating == counts)
                .and_then(|row| rows.iter().find(|(_, r)| std::ptr::eq(*r, row)))
            else {
                continue;
            };
            for other in rows.iter().filter(|(_, r)| r.rating != counts) {
                let at = |index: usize| one.at.clone().to("controls").to(index).to("rating");
                let message = format!(
                    "{} against {weed}: {} says {}, {} says {}; what counts: {}",
                    one.id,
                    other.1.source.join(" and "),
                    word(other.1.rating),
                    decides.1.source.join(" and "),
                    word(counts),
                    word(counts),
                );
                found
                    .add(at(other.0), message)
                    .also(format!("{} counts", word(counts)), at(decides.0))
                    .about(format!("{} against {weed}", one.id));
            }
        }
    }
}

/// The word that stands in the file.
fn word(rating: Control) -> &'static str {
    match rating {
        Control::None => "none",
        Control::Poor => "poor",
        Control::Fair => "fair",
        Control::Good => "good",
    }
}
