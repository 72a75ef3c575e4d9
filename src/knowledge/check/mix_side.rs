//! Rules of mixing without partners.
use super::prelude::*;

pub const CHECK: Check = Check {
    code: "mix-side",
    severity: Error,
    title: "A rule of mixing lacks a partner",
    explanation: "A rule is about two sides in one tank. A side that names no active, no group and nothing in `others` matches nothing, so \
        the warning would never be shown. A rule that keeps an active apart from itself is a slip, too.",
    bad: &[Piece {
        file: "interactions.yaml",
        yaml: "- {a: {actives: demosulf}, b: {words: some ester}, effect: do-not-mix, text: Keep apart., source: guide-b}",
    }],
    good: &[Piece {
        file: "interactions.yaml",
        yaml: "- {a: {actives: demosulf}, b: {others: some ester}, effect: do-not-mix, text: Keep apart., source: guide-b}",
    }],
    run,
    needs_all: false,
};

fn run(book: &Book<'_>, found: &mut Findings) {
    for (index, rule) in book.known.interactions.iter().enumerate() {
        let at = At::file("interactions.yaml").to(index);
        for (key, side) in [("a", &rule.a), ("b", &rule.b)] {
            if side.actives.is_empty() && side.groups.is_empty() && side.others.is_empty() {
                found
                    .add(
                        at.clone().to(key),
                        format!("side {key} of this rule names nothing"),
                    )
                    .help("name `actives`, `groups` or `others`");
            }
        }
        if rule.a == rule.b && rule.a.actives.len() == 1 && rule.a.groups.is_empty() {
            found
                .add(at.to("b"), "both sides of this rule are the same active")
                .help("name the other partner");
        }
    }
}
