//! Cautions of actives that no situation calls up.
use super::prelude::*;
use std::collections::BTreeSet;

pub const CHECK: Check = Check {
    code: "touches-nothing",
    severity: Warning,
    title: "No situation calls up what an active's caution is about",
    explanation: "An active's caution is shown where a situation of the site `touches` what the caution is `about`: `drift` near a \
        garden, `groundwater` near a well. A word that no situation touches, most often a slip in spelling, is shown \
        only with the whole entry, not where it matters. So is a word that a situation touches and no caution is about: the \
        caution that was meant stays away there.",
    bad: &[
        Piece {
            file: "situations.yaml",
            yaml: "- {id: near-garden, touches: drift, aliases: garden, question: Is there a garden?, name: near a garden}",
        },
        Piece {
            file: "actives/inventol.yaml",
            yaml: "cautions:\n  - {about: drfit, text: Its vapour may curl beds near by., source: guide-a}",
        },
    ],
    good: &[
        Piece {
            file: "situations.yaml",
            yaml: "- {id: near-garden, touches: drift, aliases: garden, question: Is there a garden?, name: near a garden}",
        },
        Piece {
            file: "actives/inventol.yaml",
            yaml: "cautions:\n  - {about: drift, text: Its vapour may curl beds near by., source: guide-a}",
        },
    ],
    run,
    needs_all: true,
};

fn run(book: &Book<'_>, found: &mut Findings) {
    let touched: BTreeSet<&str> = book
        .known
        .situations
        .iter()
        .flat_map(|s| s.touches.iter())
        .map(String::as_str)
        .collect();
    // A book whose situations touch nothing does not use the link at all.
    if touched.is_empty() {
        return;
    }
    for (id, active) in &book.known.actives {
        for (index, caution) in active.cautions.iter().enumerate() {
            // What a label prints for everybody needs no situation.
            let Some(about) = caution
                .about
                .as_deref()
                .filter(|a| !touched.contains(a) && *a != "signal-word")
            else {
                continue;
            };
            let help = found.meant(
                about,
                touched.iter().copied(),
                "add the word to the `touches` of a situation",
            );
            found
                .add(
                    At::file(format!("actives/{id}.yaml"))
                        .to("cautions")
                        .to(index)
                        .to("about"),
                    format!("{id}: no situation touches {about}"),
                )
                .about(format!("{id} {about}"))
                .help(help);
        }
    }
    touched_by_nothing(book, found);
}

/// Words that a situation touches and no caution is about.
fn touched_by_nothing(book: &Book<'_>, found: &mut Findings) {
    let about: BTreeSet<&str> = book
        .known
        .actives
        .values()
        .flat_map(|active| active.cautions.iter())
        .filter_map(|caution| caution.about.as_deref())
        .collect();
    for (index, situation) in book.known.situations.iter().enumerate() {
        for word in situation
            .touches
            .iter()
            .filter(|w| !about.contains(w.as_str()))
        {
            let help = found.meant(
                word,
                about.iter().copied(),
                "use a word that stands under `about` in a caution of an active",
            );
            found
                .add(
                    At::file("situations.yaml").to(index).to("touches"),
                    format!(
                        "{} touches {word}, which no caution of an active is about",
                        situation.id
                    ),
                )
                .about(format!("{} {word}", situation.id))
                .help(help);
        }
    }
}
