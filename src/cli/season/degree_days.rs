//! Sums of degree days.
use super::{FileArguments, PictureArguments, TEMPERATURE, method, told};
use crate::cli::output::{Format, Outcome, print, print_json};
use anyhow::{Result, anyhow, bail};
use clap::Args;
use jiff::civil::Date;
use ligule::picture;
use ligule::season::days::days;
use ligule::season::degree::{Count, sum};
use ligule::season::units::{Unit, figure};
use serde_json::json;
use std::fmt::Write as _;

#[derive(Debug, Args)]
pub struct Arguments {
    #[command(flatten)]
    file: FileArguments,
    /// Base temperature with its unit; the sum has the same unit
    #[arg(long, value_name = "50F|10C", allow_hyphen_values = true)]
    base: String,
    /// Upper threshold in the same unit
    #[arg(long, value_name = "86F|30C")]
    upper: Option<String>,
    /// Way of reckoning: simple, modified, modified-lower, substitution or single-sine
    #[arg(long, default_value = "simple")]
    method: String,
    /// First day that counts; the first of the file if it is not given
    #[arg(long, value_name = "DATE")]
    start: Option<Date>,
    /// Soil instead of air
    #[arg(long)]
    soil: bool,
    #[command(flatten)]
    picture: PictureArguments,
    /// How to print
    #[arg(long, value_enum, default_value_t)]
    format: Format,
}

pub fn run(own: &Arguments) -> Result<Outcome> {
    let table = own.file.read()?;
    let (days, more) = days(&table);
    let mut findings = table.findings.clone();
    findings.extend(more);
    let (base, unit) = figure(&own.base, &TEMPERATURE).map_err(|e| anyhow!(e))?;
    let upper = own
        .upper
        .as_deref()
        .map(|u| figure(u, &TEMPERATURE))
        .transpose()
        .map_err(|e| anyhow!(e))?;
    if let Some((_, other)) = upper
        && other != unit
    {
        bail!(
            "base and upper threshold are in different units; write both in {}",
            unit.word()
        );
    }
    let upper = upper.map(|(v, _)| v);
    if upper.is_some_and(|u| u <= base) {
        bail!("the upper threshold must lie above the base");
    }
    let method = method(&own.method)?;
    let start = own
        .start
        .or(days.first().map(|d| d.date))
        .ok_or_else(|| anyhow!("the weather file has no days"))?;
    let count = Count {
        method,
        base,
        upper,
        fahrenheit: unit == Unit::Fahrenheit,
        start,
        soil: own.soil,
    };
    let running = sum(&days, &count);
    let place = if own.soil { "soil" } else { "air" };
    let Some(last) = running.last() else {
        bail!("the weather file has no day from {start} on");
    };
    if running.iter().all(|r| r.of_day.is_none()) {
        bail!("the weather file has no {place} temperatures for this method from {start} on");
    }
    own.picture.save(|| {
        picture::degree_days(
            &format!("Degree days from {start}"),
            unit.word(),
            &running,
            &[],
            None,
        )
    })?;
    let upper_words = upper.map_or(String::new(), |u| format!(", upper threshold {u}"));
    let mut steps = vec![format!(
        "method {}, base {base} {}{upper_words}, {place}, from {start}",
        method.id(),
        unit.word()
    )];
    steps.extend(running.iter().map(|r| match r.of_day {
        Some(dd) => format!("{}: {dd:.1}, sum {:.1}", r.date, r.total),
        None => format!("{}: no temperatures, sum stays {:.1}", r.date, r.total),
    }));
    let unit_words = format!("degree days {}", unit.word());
    match own.format {
        Format::Json => print_json(&json!({
            "schema": "ligule/season-degree-days/1", "value": format!("{:.1}", last.total), "unit": unit_words,
            "complete": last.missing == 0, "missing_days": last.missing, "days": running, "findings": findings, "steps": steps,
        }))?,
        Format::Human => {
            let mut text = told(&findings);
            let _ = writeln!(
                text,
                "{:.1} {unit_words} to {} ({})",
                last.total, last.date, steps[0]
            );
            if last.missing > 0 {
                let _ = writeln!(
                    text,
                    "{} days are missing: the true sum may be larger.",
                    last.missing
                );
            }
            print(&text)?;
        }
    }
    Ok(Outcome::Fine)
}
