//! Doses that were read and lie outside the bounds.
use super::prelude::*;

pub const CHECK: Check = Check {
    code: "dose-outside",
    severity: Warning,
    title: "A dose that was read lies outside the bounds",
    explanation: "`dose_bounds` are meant to hold every dose that is used on lawns. A dose of kind `use` that was read in a source and \
        lies outside shows that the bounds are too narrow, or that the dose has a wrong unit or is a trial dose \
        (`kind: research`).",
    bad: &[Piece {
        file: "actives/inventol.yaml",
        yaml: "dose_bounds: {lb_per_acre: [0.5, 1], g_per_ha: [560, 1120], basis: ae, confidence: sourced, source: guide-b}\ndoses_read:\n  - {g_per_ha: [5600, 5600], kind: use, source: guide-b}",
    }],
    good: &[Piece {
        file: "actives/inventol.yaml",
        yaml: "dose_bounds: {lb_per_acre: [0.5, 1], g_per_ha: [560, 1120], basis: ae, confidence: sourced, source: guide-b}\ndoses_read:\n  - {g_per_ha: [560, 1120], kind: use, source: guide-b}",
    }],
    run,
    needs_all: false,
};

/// Rounding between units.
const SLACK: f64 = 0.02;

fn run(book: &Book<'_>, found: &mut Findings) {
    for (id, active) in &book.known.actives {
        let at = || At::file(format!("actives/{id}.yaml"));
        let Some([low, high]) = active.dose_bounds.as_ref().and_then(|b| b.g_per_ha) else {
            continue;
        };
        for (index, dose) in active
            .doses_read
            .iter()
            .enumerate()
            .filter(|(_, d)| d.kind == "use")
        {
            let [from, to] = dose.g_per_ha;
            if from.0 < low.0 * (1.0 - SLACK) || to.0 > high.0 * (1.0 + SLACK) {
                let dose_text = if from == to {
                    from.0.to_string()
                } else {
                    format!("{} to {}", from.0, to.0)
                };
                found
                    .add(
                        at().to("doses_read").to(index).to("g_per_ha"),
                        format!(
                            "{id}: a dose of {dose_text} g/ha was read, the bounds are {} to {}",
                            low.0, high.0
                        ),
                    )
                    .about(format!("{id} {dose_text} g/ha"))
                    .help("widen the bounds, or mend the dose or its `kind`")
                    .also("the bounds", at().to("dose_bounds").to("g_per_ha"));
            }
        }
    }
}
