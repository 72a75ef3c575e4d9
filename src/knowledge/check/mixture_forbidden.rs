//! Mixtures whose partners must not be mixed.
use super::prelude::*;
use crate::knowledge::form::lists::Effect;

pub const CHECK: Check = Check {
    code: "mixture-forbidden",
    severity: Warning,
    title: "A mixture holds partners that a rule keeps apart",
    explanation: "A rule of `interactions.yaml` says `do-not-mix` of two actives, and `mixtures.yaml` lists them together. Products that \
        are sold ready-mixed can be sound where a tank mix of the same partners is not; then say so in the rule, or \
        acknowledge the finding. Otherwise one of the two is mistaken.",
    bad: &[Piece {
        file: "interactions.yaml",
        yaml: "- {a: {actives: demosulf}, b: {actives: inventol}, effect: do-not-mix, text: Keep apart., source: guide-b}",
    }],
    good: &[Piece {
        file: "interactions.yaml",
        yaml: "- {a: {actives: demosulf}, b: {actives: fabricam}, effect: do-not-mix, text: Keep apart., source: guide-b}",
    }],
    run,
    needs_all: false,
};

fn run(book: &Book<'_>, found: &mut Findings) {
    for (index, mixture) in book.known.mixtures.iter().enumerate() {
        for (number, rule) in book.known.interactions.iter().enumerate() {
            let in_it = |ids: &[String]| ids.iter().any(|id| mixture.actives.contains(id));
            if rule.effect == Effect::DoNotMix && in_it(&rule.a.actives) && in_it(&rule.b.actives) {
                found
                    .add(
                        At::file("mixtures.yaml").to(index).to("id"),
                        format!("{} holds partners that a rule keeps apart", mixture.id),
                    )
                    .about(mixture.id.clone())
                    .help("mend the rule or the mixture, or acknowledge it")
                    .also("the rule", At::file("interactions.yaml").to(number));
            }
        }
    }
}
