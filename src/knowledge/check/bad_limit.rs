//! Limits of the weather without a figure or with the wrong unit.
use super::prelude::*;

pub const CHECK: Check = Check {
    code: "bad-limit",
    severity: Error,
    title: "A limit of the weather has no figure, or a unit that does not fit",
    explanation: "A limit judges an hour of the forecast by a figure: above, below or both. The unit must be one of what it measures \
        (wind in mph, km/h, m/s or kn; temperature in F or C). Without a figure it would stop nothing.",
    bad: &[Piece {
        file: "weather.yaml",
        yaml: "limits:\n  - {id: too-windy, measure: wind, verdict: stop, above: 10, unit: F, source: guide-a}",
    }],
    good: &[Piece {
        file: "weather.yaml",
        yaml: "limits:\n  - {id: too-windy, measure: wind, verdict: stop, above: 10, unit: mph, source: guide-a}",
    }],
    run,
    needs_all: false,
};

fn run(book: &Book<'_>, found: &mut Findings) {
    for (index, limit) in book
        .known
        .weather
        .iter()
        .flat_map(|w| &w.limits)
        .enumerate()
    {
        let at = |key: &str| At::file("weather.yaml").to("limits").to(index).to(key);
        if limit.above.is_none() && limit.below.is_none() {
            found
                .add(at("id"), format!("the limit {} has no figure", limit.id))
                .help("give `above`, `below` or both");
        }
        let units = limit.measure.units();
        if !units.contains(&limit.unit.as_str()) {
            found
                .add(
                    at("unit"),
                    format!(
                        "{} is no unit of what the limit {} measures",
                        limit.unit, limit.id
                    ),
                )
                .help(format!("write one of {}", units.join(", ")));
        }
    }
}
