//! Rules of law worded as permissions.
use super::prelude::*;

pub const CHECK: Check = Check {
    code: "law-as-permission",
    severity: Warning,
    title: "A rule of law reads as a permission",
    explanation: "A sentence that says that something is allowed, legal or exempt may be out of date tomorrow, and somebody would act on \
        it. Word what has to be asked or done; whether it is allowed is the authority's answer.",
    bad: &[Piece {
        file: "places/demoland.yaml",
        yaml: "rules:\n  - {topic: signs, says: Home owners are allowed to spray without a sign., applies_to: homeowner, severity: inform, verify_with: the Demoland lawn office, source: law-x}",
    }],
    good: &[Piece {
        file: "places/demoland.yaml",
        yaml: "rules:\n  - {topic: signs, says: \"Ask whether home owners need a sign.\", applies_to: homeowner, severity: inform, verify_with: the Demoland lawn office, source: law-x}",
    }],
    run,
    needs_all: false,
};

/// Turns of phrase that state a permission.
const PERMITS: [&str; 8] = [
    "are allowed to",
    "is allowed to",
    "are permitted to",
    "is permitted to",
    "it is legal to",
    "may legally",
    "no licence is needed",
    "no license is needed",
];

fn run(book: &Book<'_>, found: &mut Findings) {
    for (id, place) in &book.known.places {
        let at = || At::file(format!("places/{id}.yaml"));
        let rules = place
            .rules
            .iter()
            .enumerate()
            .map(|(i, r)| (&r.says, at().to("rules").to(i).to("says")));
        let limits = place
            .active_limits
            .iter()
            .enumerate()
            .map(|(i, l)| (&l.says, at().to("active_limits").to(i).to("says")));
        for (says, at) in rules.chain(limits) {
            let low = says.to_lowercase();
            if let Some(phrase) = PERMITS.iter().find(|p| low.contains(*p)) {
                found
                    .add(at, format!("`{phrase}` reads as a permission"))
                    .about(format!("{id}: {says}"))
                    .help("word what has to be asked or done");
            }
        }
    }
}
