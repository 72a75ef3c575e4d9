//! Values of traits that are never asked of the plant.
use super::prelude::*;

pub const CHECK: Check = Check {
    code: "never-asked",
    severity: Note,
    title: "A value is hardly ever used, because the question is not put for such plants",
    explanation: "`asked_of` limits a question to plants that may show one of the named states of another trait. This plant shows \
        none of them, so its value counts only where the observer brings the trait up unasked. Nothing is wrong as long as that \
        is meant; most often the plant's kind, or `asked_of`, is a slip.",
    bad: &[Piece {
        file: "weeds/tuft-millet.yaml",
        yaml: "traits:\n  kind: {is: grass, source: guide-a}\n  leaf_edge: {is: smooth, source: memory}",
    }],
    good: &[Piece {
        file: "weeds/tuft-millet.yaml",
        yaml: "traits:\n  kind: {is: grass, source: guide-a}\n  stem: {is: round, source: memory}",
    }],
    run,
    needs_all: false,
};

fn run(book: &Book<'_>, found: &mut Findings) {
    for plant in plants(book.known) {
        for (id, shows) in plant.traits {
            let Some(one) = book.known.traits.iter().find(|t| &t.id == id) else {
                continue;
            };
            if shows.is.iter().any(|s| s == "na") {
                continue;
            }
            for (other, wanted) in &one.asked_of {
                let Some(has) = plant.traits.get(other) else {
                    continue;
                };
                let may = |s: &String| {
                    has.is.contains(s) || has.sometimes.contains(s) || has.weights.contains_key(s)
                };
                if !wanted.iter().any(may) {
                    found
                        .add(
                            At::file(plant.file.as_str()).to("traits").to(id),
                            format!(
                                "{}: {id} is asked only where {other} may be {}",
                                plant.id,
                                wanted.join(" or ")
                            ),
                        )
                        .help("take the value away, or widen `asked_of` in traits.yaml")
                        .also(
                            format!("its {other}"),
                            At::file(plant.file.as_str()).to("traits").to(other),
                        );
                }
            }
        }
    }
}
