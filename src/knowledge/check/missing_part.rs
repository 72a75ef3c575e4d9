//! Parts without which a book that offers treatments would be unsafe.
use super::prelude::*;
use crate::knowledge::form::place::Severity as Weight;

pub const CHECK: Check = Check {
    code: "missing-part",
    severity: Error,
    title: "The book offers treatments, but lacks a part that makes them safe",
    explanation: "A book with actives needs stages of the grass, situations, groups, and cautions that are shown with every treatment, \
        among them one that stops: the label outranks the page. Where such a file is lost or empty, treatments would be \
        shown without a word of care. A book of plants alone needs none of this.",
    bad: &[Piece {
        file: "cautions.yaml",
        yaml: "- {id: label, about: label, text: The label is the rule., when: {situations: near-water}, severity: stop, source: guide-a}\n- {id: gloves, about: protection, text: Wear gloves., when: {situations: near-water}, severity: check, source: memory}",
    }],
    good: &[Piece {
        file: "cautions.yaml",
        yaml: "- {id: label, about: label, text: The label is the rule., when: {situations: always}, severity: stop, source: guide-a}",
    }],
    run,
    needs_all: true,
};

fn run(book: &Book<'_>, found: &mut Findings) {
    let known = book.known;
    if known.traits.is_empty() && !known.weeds.is_empty() {
        found
            .add(
                At::file("traits.yaml"),
                "the book has plants, but no traits",
            )
            .help("bring traits.yaml back");
    }
    if known.actives.is_empty() {
        return;
    }
    let mut need = |there: bool, file: &str, what: &str| {
        if !there {
            found
                .add(
                    At::file(file),
                    format!("the book has actives, but no {what}"),
                )
                .help(format!("bring {file} back, or write it"));
        }
    };
    need(
        !known.stages.is_empty(),
        "stages.yaml",
        "stages of the grass",
    );
    need(
        !known.groups.is_empty(),
        "groups.yaml",
        "site-of-action groups",
    );
    need(
        !known.situations.is_empty(),
        "situations.yaml",
        "situations",
    );
    need(!known.turf.is_empty(), "turf", "grasses");
    let always = |c: &&crate::knowledge::form::lists::Caution| {
        c.when.actives.is_empty()
            && c.when.groups.is_empty()
            && c.when.situations.iter().any(|s| s == "always")
    };
    let shown: Vec<_> = known.cautions.iter().filter(always).collect();
    need(
        !shown.is_empty(),
        "cautions.yaml",
        "caution that is shown with every treatment",
    );
    if !shown.is_empty() {
        need(
            shown.iter().any(|c| c.severity == Weight::Stop),
            "cautions.yaml",
            "caution of weight `stop` that is shown with every treatment",
        );
    }
}
