//! Months that do not exist or do not fit together.
use super::prelude::*;

pub const CHECK: Check = Check {
    code: "bad-month",
    severity: Error,
    title: "A month does not exist, or stands there twice",
    explanation: "Months are the numbers 1 to 12, each at most once. The order is free, so a winter weed may run 10, 11, 12, 1, 2. \
        A list without any month is no statement: leave the key out.",
    bad: &[Piece {
        file: "weeds/winter-star.yaml",
        yaml: "seen:\n  growing: {months: [10, 11, 12, 13, 2], source: guide-a}",
    }],
    good: &[Piece {
        file: "weeds/winter-star.yaml",
        yaml: "seen:\n  growing: {months: [10, 11, 12, 1, 2], source: guide-a}",
    }],
    run,
    needs_all: false,
};

fn run(book: &Book<'_>, found: &mut Findings) {
    for (id, weed) in &book.known.weeds {
        let seen = &weed.seen;
        for (key, months) in [
            ("growing", &seen.growing),
            ("flowering", &seen.flowering),
            ("emerging", &seen.emerging),
        ] {
            if let Some(months) = months {
                hold(
                    &months.months,
                    &At::file(format!("weeds/{id}.yaml"))
                        .to("seen")
                        .to(key)
                        .to("months"),
                    found,
                );
            }
        }
    }
    for (index, event) in book.known.timing.iter().flat_map(|t| &t.events).enumerate() {
        if let Some(months) = &event.months {
            hold(
                &months.months,
                &At::file("timing.yaml")
                    .to("events")
                    .to(index)
                    .to("months")
                    .to("months"),
                found,
            );
        }
    }
    for one in rated(book.known) {
        for (index, row) in one
            .turf
            .iter()
            .enumerate()
            .filter(|(_, r)| !r.months.is_empty())
        {
            hold(
                &row.months,
                &one.at.clone().to("turf").to(index).to("months"),
                found,
            );
        }
    }
}

fn hold(months: &[u8], at: &At, found: &mut Findings) {
    if months.is_empty() {
        found
            .add(at.clone(), "no month is named here")
            .help("leave the key out where no month is known");
    }
    for (index, month) in months.iter().enumerate() {
        let at = || at.clone().to(index);
        if !(1..=12).contains(month) {
            found
                .add(at(), format!("{month} is no month"))
                .help("months are the numbers 1 to 12");
        } else if months[..index].contains(month) {
            found
                .add(at(), format!("the month {month} stands here twice"))
                .help("keep one of the two");
        }
    }
}
