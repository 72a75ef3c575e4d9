//! Actives of which too little is known to offer them.
use super::prelude::*;

pub const CHECK: Check = Check {
    code: "never-offered",
    severity: Note,
    title: "An active can never be offered, because too little is known of it",
    explanation: "What no statement proves on a grass is not offered there, and what controls no weed is not offered at all. This active has \
        no row in one of its two tables, so it waits for somebody who reads up on it.",
    bad: &[Piece {
        file: "actives/placebuline.yaml",
        yaml: "controls: []",
    }],
    good: &[Piece {
        file: "actives/placebuline.yaml",
        yaml: "controls:\n  - {weed: tuft-millet, timing: pre, rating: good, source: guide-a}",
    }],
    run,
    needs_all: false,
};

fn run(book: &Book<'_>, found: &mut Findings) {
    let mixed = |id: &String, which: fn(&crate::knowledge::form::active::Mixture) -> bool| {
        book.known
            .mixtures
            .iter()
            .any(|m| m.actives.contains(id) && which(m))
    };
    for (id, active) in &book.known.actives {
        let at = || At::file(format!("actives/{id}.yaml"));
        if active.turf.iter().all(|r| r.confidence.is_some()) {
            found
                .add(at(), format!("nothing says how any grass stands {id}"))
                .about(format!("{id} turf"));
        }
        if active.controls.iter().all(|r| r.confidence.is_some())
            && !mixed(id, |m| !m.controls.is_empty())
        {
            found
                .add(at(), format!("nothing says which weeds {id} controls"))
                .about(format!("{id} controls"));
        }
    }
}
