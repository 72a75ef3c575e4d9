//! Codes of plants that cannot be, or that two plants share.
use super::prelude::*;
use std::collections::BTreeMap;

pub const CHECK: Check = Check {
    code: "plant-code",
    severity: Error,
    title: "A plant code is not written as such codes are, or two plants share it",
    explanation: "An EPPO code is five capitals or, now and then, digits (`GLEHE`), and belongs to one species. A code that two plants carry \
        is copied from the wrong one.",
    bad: &[Piece {
        file: "weeds/winter-star.yaml",
        yaml: "eppo_code: fichi",
    }],
    good: &[Piece {
        file: "weeds/winter-star.yaml",
        yaml: "eppo_code: FICHI",
    }],
    run,
    needs_all: false,
};

fn run(book: &Book<'_>, found: &mut Findings) {
    let mut first: BTreeMap<&str, &str> = BTreeMap::new();
    let at = |id: &str| At::file(format!("weeds/{id}.yaml")).to("eppo_code");
    for (id, weed) in &book.known.weeds {
        let Some(code) = &weed.eppo_code else {
            continue;
        };
        // Codes of genera and of taxa above them begin with a digit.
        let sound = (5..=6).contains(&code.len())
            && code
                .chars()
                .all(|c| c.is_ascii_uppercase() || c.is_ascii_digit());
        if !sound {
            found
                .add(at(id), format!("{code} is no plant code"))
                .help("write the five capitals, or leave the key out");
        }
        if let Some(other) = first.insert(code, id) {
            found
                .add(at(id), format!("{code} is the code of {other}, too"))
                .help("look both up in the open list of codes")
                .also(format!("the code of {other}"), at(other));
        }
    }
}
