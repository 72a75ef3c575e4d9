//! The same again against the plan.
use super::lawn::LawnArguments;
use crate::cli::output::{Format, Outcome, print, print_json};
use crate::cli::season::PictureArguments;
use anyhow::{Result, anyhow, bail};
use clap::Args;
use ligule::knowledge::Knowledge;
use ligule::picture::{self};
use ligule::rotate::curve::{Comparison, Curve, Inheritance, assumptions, curve, given, model};
use ligule::rotate::{plan, same_again};
use serde_json::json;
use std::fmt::Write as _;

#[derive(Debug, Args)]
pub struct Arguments {
    #[command(flatten)]
    lawn: LawnArguments,
    /// Size of the lawn in square metres
    #[arg(long, value_name = "M2")]
    area_m2: f64,
    /// Years to run; the plan is repeated
    #[arg(long, default_value_t = 20, value_parser = clap::value_parser!(u16).range(1..=200))]
    horizon: u16,
    /// Number of runs
    #[arg(long, default_value_t = 100, value_parser = clap::value_parser!(u32).range(1..=2000))]
    runs: u32,
    /// Number that sets the chance, so that a run can be repeated
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// 1: one resistant allele is enough; 0: both are needed
    #[arg(long, default_value_t = 1.0)]
    dominance: f64,
    /// Share of plants that are selfed
    #[arg(long, default_value_t = 0.0)]
    selfed: f64,
    /// A value in place of the one in the knowledge
    #[arg(long, value_name = "ID=NUMBER")]
    value: Vec<String>,
    #[command(flatten)]
    picture: PictureArguments,
    /// How to print
    #[arg(long, value_enum, default_value_t)]
    format: Format,
}

/// Splits `id=number`.
fn valued(typed: &str) -> Result<(String, f64)> {
    let (id, number) = typed
        .split_once('=')
        .ok_or_else(|| anyhow!("`{typed}` is no value; write id=number"))?;
    let number: f64 = number
        .parse()
        .ok()
        .filter(|n: &f64| n.is_finite())
        .ok_or_else(|| anyhow!("`{number}` is no number"))?;
    Ok((id.to_owned(), number))
}

pub fn run(own: &Arguments, book: &Knowledge) -> Result<Outcome> {
    for (name, share) in [("--dominance", own.dominance), ("--selfed", own.selfed)] {
        if !(0.0..=1.0).contains(&share) {
            bail!("{name} is a share from 0 to 1");
        }
    }
    if !(1.0..=10_000_000.0).contains(&own.area_m2) {
        bail!("--area-m2 takes 1 to 10000000 square metres");
    }
    let ask = own.lawn.ask(book)?;
    let found = plan(book, &ask);
    let same = same_again(&ask, &found);
    if same.is_empty() {
        bail!(
            "there is nothing to compare: the plan does without chemicals and no treatment is on record"
        );
    }
    let typed = own
        .value
        .iter()
        .map(|v| valued(v))
        .collect::<Result<Vec<_>>>()?;
    let known = given(book, &typed)?;
    if let Some((wrong, _)) = typed
        .iter()
        .find(|(id, _)| known.iter().all(|g| g.id != *id))
    {
        let near = ligule::words::nearest(wrong, known.iter().map(|g| g.id.as_str()));
        bail!(
            "there is no value `{wrong}`{}",
            near.map_or(String::new(), |n| format!("; did you mean `{n}`?"))
        );
    }
    let how = Inheritance {
        dominance: own.dominance,
        selfed: own.selfed,
    };
    let model = model(&known, own.area_m2, how);
    let threshold = known
        .iter()
        .find(|g| g.id == "threshold")
        .map_or(0.2, |g| g.value);
    let by_year: Vec<Vec<Vec<u16>>> = (0..own.horizon)
        .map(|year| {
            let year = own.lawn.from + i16::try_from(year % u16::from(own.lawn.years)).unwrap_or(0);
            found
                .steps
                .iter()
                .filter(|s| s.when.year == year)
                .map(|s| s.groups.clone())
                .collect()
        })
        .collect();
    let again: Vec<Vec<Vec<u16>>> = by_year
        .iter()
        .map(|year| year.iter().map(|_| same.clone()).collect())
        .collect();
    let comparison = Comparison {
        curves: vec![
            curve(
                "the same again",
                &model,
                &again,
                threshold,
                own.runs,
                own.seed,
            ),
            curve("the plan", &model, &by_year, threshold, own.runs, own.seed),
        ],
        threshold,
        runs: own.runs,
        seed: own.seed,
        assumptions: assumptions(&model, how),
        given: known,
    };
    own.picture.save(|| {
        picture::resistance(
            "Resistance: the same again and the plan (illustration)",
            &comparison,
        )
    })?;
    let steps: Vec<String> = comparison
        .curves
        .iter()
        .map(|c| curve_words(c, &comparison))
        .collect();
    match own.format {
        Format::Json => print_json(
            &json!({"schema": "ligule/rotate-compare/1", "results": comparison, "plan": found.steps, "steps": steps}),
        )?,
        Format::Human => print(&report(&found.why, &steps, &comparison))?,
    }
    Ok(Outcome::Fine)
}

fn curve_words(curve: &Curve, all: &Comparison) -> String {
    let end = curve.median.last().unwrap_or(&0.0) * 100.0;
    let year = curve
        .expected_year
        .map_or("never within these years".to_owned(), |y| {
            format!("in year {y}")
        });
    format!(
        "{} (group {}): {end:.1} percent resistant at the end in the middle run; {:.0} percent of {} runs pass {:.0} percent; in a population without end {year}",
        curve.name,
        curve.group,
        curve.failing * 100.0,
        all.runs,
        all.threshold * 100.0
    )
}

fn report(plan: &str, steps: &[String], comparison: &Comparison) -> String {
    let mut text = format!("An illustration, not a forecast. {plan}\n\n");
    for step in steps {
        let _ = writeln!(text, "  {step}");
    }
    let _ = writeln!(text, "\nAssumed");
    for line in &comparison.assumptions {
        let _ = writeln!(text, "  - {line}");
    }
    for value in &comparison.given {
        let rests = value.evidence.map_or("given", |e| match e {
            ligule::knowledge::form::source::Evidence::Published => "published",
            ligule::knowledge::form::source::Evidence::Practice => "practice",
            ligule::knowledge::form::source::Evidence::Memory => "memory",
        });
        let _ = writeln!(
            text,
            "  - {} = {} {} [{rests}] {}",
            value.id, value.value, value.unit, value.text
        );
    }
    text
}
