//! Prohibitions that stop nothing.
use super::prelude::*;

pub const CHECK: Check = Check {
    code: "forbids-nothing",
    severity: Error,
    title: "A prohibition names nothing that it stops",
    explanation: "`forbids: true` makes the choice leave actives out. Without `actives` or `groups` it stops nothing, and a caution \
        without any situation, active or group is never shown. Name what it is about.",
    bad: &[Piece {
        file: "cautions.yaml",
        yaml: "- {id: well, about: water, text: Never beside a well., when: {situations: near-water}, severity: stop, forbids: true, source: guide-a}",
    }],
    good: &[Piece {
        file: "cautions.yaml",
        yaml: "- {id: well, about: water, text: Never beside a well., when: {actives: inventol, situations: near-water}, severity: stop, forbids: true, source: guide-a}",
    }],
    run,
    needs_all: false,
};

fn run(book: &Book<'_>, found: &mut Findings) {
    for (index, caution) in book.known.cautions.iter().enumerate() {
        let at = |key: &str| At::file("cautions.yaml").to(index).to(key);
        let when = &caution.when;
        let names = !when.actives.is_empty() || !when.groups.is_empty();
        if caution.forbids && !names {
            found
                .add(
                    at("forbids"),
                    format!(
                        "{} forbids, but names neither actives nor groups",
                        caution.id
                    ),
                )
                .help("name them in `when`, or take `forbids` away");
        } else if !names && when.situations.is_empty() {
            found
                .add(
                    at("when"),
                    format!(
                        "{} is never shown: it names no situation, active or group",
                        caution.id
                    ),
                )
                .help("name a situation; `always` is shown with every treatment");
        }
    }
    for (id, place) in &book.known.places {
        for (index, limit) in place.active_limits.iter().enumerate() {
            if limit.actives.is_empty() && limit.others.is_empty() {
                found
                    .add(
                        At::file(format!("places/{id}.yaml"))
                            .to("active_limits")
                            .to(index),
                        "this limit names no active",
                    )
                    .help("name `actives` (`all` for every one) or `others`");
            }
        }
    }
}
