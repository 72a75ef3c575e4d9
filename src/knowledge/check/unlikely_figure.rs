//! Figures that look like another unit.
use super::prelude::*;

pub const CHECK: Check = Check {
    code: "unlikely-figure",
    severity: Warning,
    title: "A figure looks as if it were in another unit, or had a slipped point",
    explanation: "The key says the unit: `_f` is degrees Fahrenheit, `_mm` millimetres, `_days` days, `lb_per_acre` pounds per acre. The \
        figure lies far outside what such a thing ever is, as a temperature in Celsius or a width in centimetres would. \
        Look it up; if it is right, acknowledge it.",
    bad: &[Piece {
        file: "actives/inventol.yaml",
        yaml: "air_temperature: {above_f: 10, below_f: 29, source: guide-b}",
    }],
    good: &[Piece {
        file: "actives/inventol.yaml",
        yaml: "air_temperature: {above_f: 50, below_f: 85, source: guide-b}",
    }],
    run,
    needs_all: false,
};

/// Key, the key above it (empty for any), lowest and highest likely value, what the unit is.
const LIKELY: [(&str, &str, f64, f64, &str); 20] = [
    ("soil_f", "", 32.0, 110.0, "degrees Fahrenheit of the soil"),
    (
        "range",
        "emerging_soil_f",
        32.0,
        110.0,
        "degrees Fahrenheit of the soil",
    ),
    ("above_f", "", 32.0, 100.0, "degrees Fahrenheit of the air"),
    ("below_f", "", 50.0, 120.0, "degrees Fahrenheit of the air"),
    ("range", "first_signs_days", 0.0, 60.0, "days"),
    ("range", "full_effect_days", 0.0, 365.0, "days"),
    ("first_signs_days", "", 0.0, 60.0, "days"),
    ("full_effect_days", "", 0.0, 365.0, "days"),
    ("range", "rain_free_hours", 0.0, 72.0, "hours"),
    ("range", "seeding_wait_weeks", 0.0, 104.0, "weeks"),
    ("range", "repeat_interval_days", 1.0, 366.0, "days"),
    ("range", "least_weeks", 0.0, 104.0, "weeks"),
    ("within_days", "", 0.0, 42.0, "days"),
    ("inches", "", 0.05, 2.0, "inches of water"),
    ("percent_v_v", "", 0.01, 10.0, "percent of the spray volume"),
    ("mowings", "", 0.0, 20.0, "mowings"),
    ("weeks_after_seeding", "", 0.0, 104.0, "weeks"),
    ("before_days", "", 0.0, 14.0, "days"),
    ("after_days", "", 0.0, 14.0, "days"),
    ("range", "split_weeks", 1.0, 26.0, "weeks"),
];

/// Widest measure of a plant of a lawn in millimetres: a leaf of a metre.
const WIDEST_MM: f64 = 1000.0;

fn run(book: &Book<'_>, found: &mut Findings) {
    for leaf in book.leaves {
        let Some(value) = leaf.value.as_f64() else {
            continue;
        };
        let likely = LIKELY.iter().find(|(key, above, ..)| {
            &*leaf.key == *key && (above.is_empty() || &*leaf.parent == *above)
        });
        if let Some((_, _, low, high, unit)) = likely
            && !(*low..=*high).contains(&value)
        {
            found
                .add(
                    leaf.at(),
                    format!("{value} is unlikely for {unit}, which lie between {low} and {high}"),
                )
                .help("look at the unit and at the point");
        }
        let in_mm = &*leaf.key == "range" && leaf.parent.ends_with("_mm");
        if in_mm && !(0.05..=WIDEST_MM).contains(&value) && value != 0.0 {
            found
                .add(
                    leaf.at(),
                    format!("{value} mm is unlikely for a part of a lawn plant"),
                )
                .help("look at the unit and at the point");
        }
    }
}
