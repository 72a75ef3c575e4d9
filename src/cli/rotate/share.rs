//! The classic reckoning.
use crate::cli::output::{Format, Outcome, print, print_json};
use anyhow::{Result, bail};
use clap::Args;
use ligule::rotate::share::{Selection, after_uses, uses_until};
use serde_json::json;
use std::fmt::Write as _;

#[derive(Debug, Args)]
pub struct Arguments {
    /// Share of resistant plants at the start
    #[arg(long)]
    start: f64,
    /// Survival of resistant over that of susceptible plants
    #[arg(long)]
    pressure: f64,
    /// Mean life of a seed in the soil, years
    #[arg(long)]
    seed_years: f64,
    /// Fitness of resistant plants without the herbicide
    #[arg(long, default_value_t = 1.0)]
    fitness: f64,
    /// Share that is asked about
    #[arg(long, default_value_t = 0.3)]
    threshold: f64,
    /// How to print
    #[arg(long, value_enum, default_value_t)]
    format: Format,
}

pub fn run(own: &Arguments) -> Result<Outcome> {
    let good = |x: f64| x > 0.0 && x.is_finite();
    if !(good(own.start)
        && own.start < 1.0
        && good(own.threshold)
        && own.threshold <= 1.0
        && own.threshold >= own.start)
    {
        bail!("start and threshold are shares above 0 and at most 1, the start the smaller one");
    }
    if !(good(own.pressure) && good(own.seed_years) && good(own.fitness) && own.fitness <= 1.0) {
        bail!(
            "pressure and seed years are numbers above 0, the fitness a share above 0 and at most 1"
        );
    }
    let selection = Selection {
        fitness: own.fitness,
        pressure: own.pressure,
        seed_years: own.seed_years,
    };
    let uses = uses_until(own.start, selection, own.threshold);
    let mut steps = vec![
        "N_n = N_0 (1 + f a / b)^n; the equation is recalled, not read, and knows neither dominance nor mating".to_owned(),
        format!("f a / b = {} x {} / {} = {:.3}", own.fitness, own.pressure, own.seed_years, own.fitness * own.pressure / own.seed_years),
        format!("n = ln({} / {}) / ln(1 + f a / b) = {uses:.2}", own.threshold, own.start),
    ];
    for n in [1, 2, 5, 10] {
        steps.push(format!(
            "after {n} uses: {:.3e}",
            after_uses(own.start, selection, n)
        ));
    }
    match own.format {
        Format::Json => print_json(&json!({
            "schema": "ligule/rotate-share/1", "value": format!("{uses:.2}"), "unit": "uses", "evidence": "memory", "steps": steps,
        }))?,
        Format::Human => {
            let mut text =
                format!("{uses:.2} uses (illustration; the equation is recalled, not read)\n");
            for step in &steps {
                let _ = writeln!(text, "  {step}");
            }
            print(&text)?;
        }
    }
    Ok(Outcome::Fine)
}
