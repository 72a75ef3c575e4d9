//! Actives whose group is not the one of the classification.
use super::prelude::*;

pub const CHECK: Check = Check {
    code: "group-clash",
    severity: Error,
    title: "An active stands in another group than in the classification",
    explanation: "`classification.yaml` holds the classification of sites of action apart from the actives' own files. Where the \
        two differ, one is mistaken, and rotation between groups would be built on it. Look the active up in the \
        classification and mend the one that is wrong.",
    bad: &[
        Piece {
            file: "classification.yaml",
            yaml: "numbers:\n  - {number: 2, former_letter: B, source: guide-a}\n  - {number: 3, former_letter: K1, source: guide-a}\n  - {number: 4, former_letter: O, source: guide-a}\nmembers:\n  - {actives: demosulf, number: 2, source: guide-a}",
        },
        Piece {
            file: "actives/demosulf.yaml",
            yaml: "group: {is: 4, source: guide-a}",
        },
    ],
    good: &[
        Piece {
            file: "classification.yaml",
            yaml: "numbers:\n  - {number: 2, former_letter: B, source: guide-a}\n  - {number: 3, former_letter: K1, source: guide-a}\n  - {number: 4, former_letter: O, source: guide-a}\nmembers:\n  - {actives: demosulf, number: 2, source: guide-a}",
        },
        Piece {
            file: "actives/demosulf.yaml",
            yaml: "group: {is: 2, source: guide-a}",
        },
    ],
    run,
    needs_all: false,
};

fn run(book: &Book<'_>, found: &mut Findings) {
    let Some(classes) = &book.known.classification else {
        return;
    };
    for (index, class) in classes.members.iter().enumerate() {
        for id in class.actives.iter() {
            let Some(active) = book.known.actives.get(id) else {
                continue;
            };
            if active.group.is != class.number {
                found
                    .add(
                        At::file(format!("actives/{id}.yaml")).to("group").to("is"),
                        format!("{id} stands in group {}, the classification has {}", active.group.is, class.number),
                    )
                    .help("mend the one that is wrong; the classification's source is named beside it")
                    .also(
                        format!("group {} ({})", class.number, class.source.join(", ")),
                        At::file("classification.yaml").to("members").to(index).to("number"),
                    );
            }
        }
    }
}
