//! Places and rules without somebody to ask.
use super::prelude::*;

pub const CHECK: Check = Check {
    code: "no-authority",
    severity: Error,
    title: "A place or a rule of law names nobody to ask",
    explanation: "The tool never says what is allowed; it says whom to ask. So every place has an `authority`, and every rule and limit \
        of a place a `verify_with`. An empty one would print \"check with\" and nothing behind it.",
    bad: &[Piece {
        file: "places/demoland.yaml",
        yaml: "authority: \" \"",
    }],
    good: &[Piece {
        file: "places/demoland.yaml",
        yaml: "authority: the Demoland lawn office",
    }],
    run,
    needs_all: false,
};

fn run(book: &Book<'_>, found: &mut Findings) {
    for (id, place) in &book.known.places {
        let at = || At::file(format!("places/{id}.yaml"));
        let mut hold = |text: &str, at: At, what: &str| {
            let nobody = !text.chars().any(char::is_alphabetic)
                || ["none", "unknown", "nobody", "tbd", "todo", "n/a"]
                    .contains(&text.trim().to_lowercase().as_str());
            if nobody {
                found
                    .add(at, format!("{what} names nobody to ask"))
                    .help("name the office that answers questions about it");
            }
        };
        hold(&place.authority, at().to("authority"), id);
        for (index, rule) in place.rules.iter().enumerate() {
            hold(
                &rule.verify_with,
                at().to("rules").to(index).to("verify_with"),
                "this rule",
            );
        }
        for (index, limit) in place.active_limits.iter().enumerate() {
            hold(
                &limit.verify_with,
                at().to("active_limits").to(index).to("verify_with"),
                "this limit",
            );
        }
    }
}
