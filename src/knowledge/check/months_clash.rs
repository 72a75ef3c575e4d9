//! Flowering or coming up in months in which the plant is said not to be there.
use super::prelude::*;

pub const CHECK: Check = Check {
    code: "months-clash",
    severity: Warning,
    title: "A plant flowers or comes up in a month in which it is not seen",
    explanation: "A plant that flowers, or has come up, is there to be seen. A month of flowering or coming up that is missing from the \
        months of growing makes the key call the plant unlikely in that month, just when it is easiest to know. Add the \
        month to `growing`, or look the other list up.",
    bad: &[Piece {
        file: "weeds/tuft-millet.yaml",
        yaml: "seen:\n  growing: {months: [5, 6, 7, 8, 9, 10], source: guide-a}\n  flowering: {months: [10, 11], source: guide-a}",
    }],
    good: &[Piece {
        file: "weeds/tuft-millet.yaml",
        yaml: "seen:\n  growing: {months: [5, 6, 7, 8, 9, 10, 11], source: guide-a}\n  flowering: {months: [10, 11], source: guide-a}",
    }],
    run,
    needs_all: false,
};

fn run(book: &Book<'_>, found: &mut Findings) {
    for (id, weed) in &book.known.weeds {
        let Some(growing) = &weed.seen.growing else {
            continue;
        };
        let at = |key: &str| At::file(format!("weeds/{id}.yaml")).to("seen").to(key);
        // Coming up begins before a plant is noticed, so a month ahead of `growing` is no contradiction there.
        let next = |m: u8| if m == 12 { 1 } else { m + 1 };
        let gone = |months: &[u8], early: bool| -> Vec<String> {
            months
                .iter()
                .filter(|m| {
                    !(growing.months.contains(m) || early && growing.months.contains(&next(**m)))
                })
                .map(u8::to_string)
                .collect()
        };
        for (key, months, early) in [
            ("flowering", &weed.seen.flowering, false),
            ("emerging", &weed.seen.emerging, true),
        ] {
            let Some(months) = months else {
                continue;
            };
            let outside = gone(&months.months, early);
            if !outside.is_empty() {
                found
                    .add(
                        at(key),
                        format!(
                            "{id}: {key} in month {}, which `growing` does not have",
                            outside.join(", ")
                        ),
                    )
                    .about(format!("{id} {key}"))
                    .help("add the month to `growing`, or look this list up")
                    .also("the months in which it is seen", at("growing"));
            }
        }
    }
}
