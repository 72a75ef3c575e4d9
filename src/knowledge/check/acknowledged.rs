//! Warnings that the keeper looked at and lets stay.
use super::prelude::*;
use super::{Finding, find};
use crate::knowledge::Knowledge;
use std::collections::BTreeSet;

/// Acknowledgements that acknowledge nothing that can be acknowledged.
pub const BAD: Check = Check {
    code: "bad-acknowledgement",
    severity: Error,
    title: "An acknowledgement names no warning, or gives no reason",
    explanation: "`acknowledged.yaml` lets a warning stay, with the reason. `code` is the code of a warning (errors must be mended, notes \
        need nothing), `where` is what the warning prints after `about`, and `why` is a sentence that the next keeper \
        understands.",
    bad: &[Piece {
        file: "acknowledged.yaml",
        yaml: "- {code: inseperable, where: false-penny and penny-creeper, why: nobody can}",
    }],
    good: &[
        Piece {
            file: "acknowledged.yaml",
            yaml: "- code: inseparable\n  where: false-penny and penny-creeper\n  why: The two differ in the seed alone, and both get the same treatment.\n",
        },
        Piece {
            file: "weeds/false-penny.yaml",
            yaml: "traits:\n  kind: {is: broadleaf, source: guide-a}\n  leaf_edge: {is: scalloped, source: guide-a}\n  leaf_width_mm: {range: [8, 20], source: memory}",
        },
    ],
    run,
    needs_all: false,
};

/// Acknowledgements of something that is not there any more.
pub const STALE: Check = Check {
    code: "stale-acknowledgement",
    severity: Warning,
    title: "An acknowledged warning is not there any more",
    explanation: "What was acknowledged has been mended, or is worded otherwise now. Take the acknowledgement away: left behind, it could \
        hide the same mistake when it comes back.",
    bad: &[Piece {
        file: "acknowledged.yaml",
        yaml: "- code: inseparable\n  where: saw-rosette and thread-sedge\n  why: They cannot be told apart without a lens.\n",
    }],
    good: &[
        Piece {
            file: "acknowledged.yaml",
            yaml: "- code: inseparable\n  where: false-penny and penny-creeper\n  why: The two differ in the seed alone, and both get the same treatment.\n",
        },
        Piece {
            file: "weeds/false-penny.yaml",
            yaml: "traits:\n  kind: {is: broadleaf, source: guide-a}\n  leaf_edge: {is: scalloped, source: guide-a}\n  leaf_width_mm: {range: [8, 20], source: memory}",
        },
    ],
    // Which are stale is known only when everything else has run: `acknowledge` tells them.
    run: super::prelude::by_reader,
    needs_all: true,
};

/// Shortest reason that can hold one.
const SHORTEST_WHY: usize = 12;

fn run(book: &Book<'_>, found: &mut Findings) {
    for (index, one) in book.known.acknowledged.iter().enumerate() {
        let at = |key: &str| At::file("acknowledged.yaml").to(index).to(key);
        let warnings = super::CHECKS
            .iter()
            .filter(|c| c.severity == Warning)
            .map(|c| c.code);
        match find(&one.code) {
            None => {
                let help = found.meant(
                    &one.code,
                    warnings,
                    "`ligule knowledge explain` lists the codes",
                );
                found
                    .add(at("code"), format!("no check has the code {}", one.code))
                    .help(help);
            }
            Some(check) if check.severity != Warning => {
                found
                    .add(
                        at("code"),
                        format!("{} is no warning, so it cannot be acknowledged", one.code),
                    )
                    .help(if check.severity == Error {
                        "mend what it tells"
                    } else {
                        "a note needs no acknowledgement"
                    });
            }
            Some(_) => {}
        }
        if one.why.trim().chars().count() < SHORTEST_WHY {
            found
                .add(at("why"), "this gives no reason")
                .help("say in a sentence why the warning may stay");
        }
    }
}

/// Turns acknowledged warnings into notes that carry the reason, and tells the acknowledgements that meet nothing.
pub fn acknowledge(known: &Knowledge, findings: &mut Vec<Finding>) {
    let mut met = BTreeSet::new();
    for finding in findings.iter_mut().filter(|f| f.severity == Warning) {
        for (index, one) in known
            .acknowledged
            .iter()
            .enumerate()
            .filter(|(_, one)| one.code == finding.code)
        {
            if let Some(place) = one.place.iter().position(|place| *place == finding.about) {
                met.insert((index, place));
                finding.severity = Note;
                finding.acknowledged = Some(one.why.clone());
            }
        }
    }
    let mut stale = Findings::default();
    stale.begin(&STALE);
    for (index, one) in known.acknowledged.iter().enumerate() {
        for (place, words) in one
            .place
            .iter()
            .enumerate()
            .filter(|(place, _)| !met.contains(&(index, *place)))
        {
            stale
                .add(
                    At::file("acknowledged.yaml")
                        .to(index)
                        .to("where")
                        .to(place),
                    format!("no warning {} is about `{words}` any more", one.code),
                )
                .about(format!("{}: {words}", one.code))
                .help("take it away");
        }
    }
    findings.extend(stale.into_list());
}
