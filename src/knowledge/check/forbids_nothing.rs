//! Prohibitions that stop nothing.
use super::prelude::*;

pub const CHECK: Check = Check {
    code: "forbids-nothing",
    severity: Error,
    title: "A caution is never shown, or a prohibition stops nothing or everything",
    explanation: "A caution is shown where one of its situations, actives or groups is met; one that names none of them is never shown. \
        `forbids: true` makes the choice leave out the actives and groups that are named, or all of them where none is named: \
        with `always` that would be every treatment, everywhere. A limit of a place must name the actives that it limits.",
    bad: &[Piece {
        file: "cautions.yaml",
        yaml: "- {id: well, about: water, text: Never beside a well., when: {}, severity: stop, forbids: true, source: guide-a}",
    }],
    good: &[Piece {
        file: "cautions.yaml",
        yaml: "- {id: well, about: water, text: Never beside a well., when: {situations: near-water}, severity: stop, forbids: true, source: guide-a}",
    }],
    run,
    needs_all: false,
};

fn run(book: &Book<'_>, found: &mut Findings) {
    for (index, caution) in book.known.cautions.iter().enumerate() {
        let at = |key: &str| At::file("cautions.yaml").to(index).to(key);
        let when = &caution.when;
        let names = !when.actives.is_empty() || !when.groups.is_empty();
        if !names && when.situations.is_empty() {
            found
                .add(
                    at("when"),
                    format!(
                        "{} is never shown: it names no situation, active or group",
                        caution.id
                    ),
                )
                .help("name a situation; `always` is shown with every treatment");
        } else if caution.forbids && !names && when.situations.iter().any(|s| s == "always") {
            found
                .add(at("forbids"), format!("{} forbids every treatment everywhere", caution.id))
                .help("name the actives, groups or situations that it is about, or take `forbids` away");
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
