//! Doses whose two units say different things, and doses outside their bounds.
use super::prelude::*;

pub const CHECK: Check = Check {
    code: "dose-clash",
    severity: Error,
    title: "A dose in pounds per acre and in grams per hectare are not the same",
    explanation: "1 lb/acre is 1120.85 g/ha. The bounds of a dose are written in both units so that a slip in one of them shows: here \
        they differ by more than a tenth (rounding in a source explains less). The bounds catch wrong labels, so a wrong \
        bound would let a tenfold dose pass.",
    bad: &[Piece {
        file: "actives/inventol.yaml",
        yaml: "dose_bounds: {lb_per_acre: [0.5, 1], g_per_ha: [56, 1120], basis: ae, confidence: sourced, source: guide-b}",
    }],
    good: &[Piece {
        file: "actives/inventol.yaml",
        yaml: "dose_bounds: {lb_per_acre: [0.5, 1], g_per_ha: [560, 1120], basis: ae, confidence: sourced, source: guide-b}",
    }],
    run,
    needs_all: false,
};

/// Grams per hectare in one pound per acre: 453.59237 g and 0.404 685 642 24 ha (NIST SP 811, appendix B.8).
const G_PER_HA: f64 = 453.592_37 / 0.404_685_642_24;

/// Small doses are printed with few digits; half a gram is never a slip.
const ROUNDING_G: f64 = 0.5;

fn run(book: &Book<'_>, found: &mut Findings) {
    for (id, active) in &book.known.actives {
        let Some(bounds) = &active.dose_bounds else {
            continue;
        };
        let at = |key: &str| {
            At::file(format!("actives/{id}.yaml"))
                .to("dose_bounds")
                .to(key)
        };
        let (Some(us), Some(metric)) = (bounds.lb_per_acre, bounds.g_per_ha) else {
            continue;
        };
        for end in 0..2 {
            let expected = us[end].0 * G_PER_HA;
            if (metric[end].0 - expected).abs() > ROUNDING_G.max(expected * 0.1) {
                found
                    .add(
                        at("g_per_ha").to(end),
                        format!(
                            "{} lb/acre is {expected:.0} g/ha, not {}",
                            us[end].0, metric[end].0
                        ),
                    )
                    .help("look the dose up and mend the unit that is wrong")
                    .also(
                        "the same dose in pounds per acre",
                        at("lb_per_acre").to(end),
                    );
            }
        }
    }
}
