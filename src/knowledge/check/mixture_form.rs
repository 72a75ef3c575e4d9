//! Mixtures whose id, actives and proportions do not fit together.
use super::prelude::*;

pub const CHECK: Check = Check {
    code: "mixture-form",
    severity: Error,
    title: "A mixture's id, actives and proportions do not fit together",
    explanation: "The id of a mixture is the ids of its actives in alphabetical order, joined by `+`, so that one mixture cannot stand in \
        the book twice. It has at least two actives, each once, and proportions only of those.",
    bad: &[Piece {
        file: "mixtures.yaml",
        yaml: "- {id: inventol+demosulf, actives: [inventol, demosulf]}",
    }],
    good: &[Piece {
        file: "mixtures.yaml",
        yaml: "- {id: demosulf+inventol, actives: [demosulf, inventol]}",
    }],
    run,
    needs_all: false,
};

fn run(book: &Book<'_>, found: &mut Findings) {
    for (index, mixture) in book.known.mixtures.iter().enumerate() {
        let at = |key: &str| At::file("mixtures.yaml").to(index).to(key);
        let mut sorted = mixture.actives.clone();
        sorted.sort();
        sorted.dedup();
        if sorted.len() < 2 || sorted.len() != mixture.actives.len() {
            found
                .add(
                    at("actives"),
                    format!("{} is no mixture of different actives", mixture.id),
                )
                .help("name at least two, each once");
        } else if mixture.id != sorted.join("+") {
            found
                .add(
                    at("id"),
                    format!(
                        "the id of this mixture is not made of its actives: {}",
                        mixture.id
                    ),
                )
                .help(format!("write {}", sorted.join("+")))
                .also("its actives", at("actives"));
        }
        for id in mixture
            .proportions
            .keys()
            .filter(|id| !mixture.actives.contains(id))
        {
            let help = found.meant(
                id,
                mixture.actives.iter().map(String::as_str),
                "take it away, or add the active",
            );
            found
                .add(
                    at("proportions").to(id),
                    format!("{id} has a proportion, but is not in the mixture"),
                )
                .help(help);
        }
    }
}
