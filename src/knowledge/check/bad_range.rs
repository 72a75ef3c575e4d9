//! Ranges that run backwards, and numbers that cannot be.
use super::prelude::*;

pub const CHECK: Check = Check {
    code: "bad-range",
    severity: Error,
    title: "A range runs backwards, or a number cannot be",
    explanation: "A range has its smaller number first. Days, widths, doses, shares and weights are never below zero, percents never \
        above 100, and a lower limit lies below the upper one. Such a number is a slip: a point that was left out, two \
        numbers exchanged, or a wrong unit.",
    bad: &[Piece {
        file: "actives/inventol.yaml",
        yaml: "full_effect_days: {range: [28, 14], source: memory}",
    }],
    good: &[Piece {
        file: "actives/inventol.yaml",
        yaml: "full_effect_days: {range: [14, 28], source: memory}",
    }],
    run,
    needs_all: false,
};

/// Keys whose value is a pair from-to of numbers that cannot be negative.
const PAIRS: [&str; 9] = [
    "first_signs_days",
    "full_effect_days",
    "g_per_ha",
    "inches",
    "lb_per_acre",
    "percent_v_v",
    "range",
    "soil_days",
    "soil_f",
];

/// Keys of single numbers that cannot be negative.
const FROM_ZERO: [&str; 8] = [
    "after_days",
    "before_days",
    "lb_per_100_gal_per_ppm",
    "mowings",
    "points",
    "rank",
    "weeks_after_seeding",
    "within_days",
];

/// Keys of percents.
const PERCENTS: [&str; 3] = ["alone_percent", "percent_v_v", "together_percent"];

/// Keys of lower and upper limits that stand beside each other.
const LIMITS: [(&str, &str); 3] = [("above_f", "below_f"), ("from", "to"), ("from", "below")];

fn run(book: &Book<'_>, found: &mut Findings) {
    for (number, leaf) in book.leaves.iter().enumerate() {
        let Some(value) = leaf.value.as_f64() else {
            continue;
        };
        let key = &*leaf.key;
        let parent = &*leaf.parent;
        if key == "weight" && value <= 0.0 {
            found
                .add(leaf.at(), format!("a weight of {value} cannot be"))
                .help("a weight is more than zero");
        }
        let proportion = parent == "proportions";
        if (PAIRS.contains(&key)
            || FROM_ZERO.contains(&key)
            || proportion
            || parent == "lb_per_100_gal_per_ppm")
            && value < 0.0
        {
            found
                .add(leaf.at(), format!("{key} cannot be negative"))
                .help("write plain numbers from zero up");
        }
        let percent = PERCENTS.contains(&key)
            || (key == "range" && leaf.keys().any(|above| above == "cover_percent"));
        if percent && value > 100.0 {
            found
                .add(leaf.at(), format!("{value} percent cannot be"))
                .help("percents run from 0 to 100");
        }
        // The first of a pair knows its second: they follow each other in the walk.
        if PAIRS.contains(&key)
            && leaf.index() == Some(0)
            && let Some(to) = book.leaves.get(number + 1).and_then(|n| n.value.as_f64())
            && value > to
        {
            found
                .add(
                    leaf.at(),
                    format!("this {key} runs from {value} down to {to}"),
                )
                .help("put the smaller number first");
        }
        limits(book, number, found);
    }
}

/// A lower and an upper limit of one group of keys.
fn limits(book: &Book<'_>, number: usize, found: &mut Findings) {
    let low = &book.leaves[number];
    let Some(value) = low.value.as_f64() else {
        return;
    };
    for (_, upper) in LIMITS.iter().filter(|(lower, _)| *lower == &*low.key) {
        // Keys of one group stand close together in the walk.
        let near = &book.leaves[number.saturating_sub(8)..(number + 8).min(book.leaves.len())];
        let high = near.iter().find(|l| &*l.key == *upper && l.beside(low));
        if let Some((high, to)) = high.and_then(|h| h.value.as_f64().map(|to| (h, to)))
            && value >= to
            && !(value <= to && *upper == "to")
        {
            found
                .add(
                    low.at(),
                    format!(
                        "`{}` is {value}, which is not below `{upper}`: {to}",
                        low.key
                    ),
                )
                .help("exchange the two, or look them up")
                .also(format!("`{upper}`"), high.at());
        }
    }
}
