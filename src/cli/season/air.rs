//! Moist air.
use super::celsius;
use crate::cli::output::{Format, Outcome, print, print_json};
use anyhow::{Result, bail};
use clap::Args;
use ligule::season::air;
use serde::Serialize;
use serde_json::json;
use std::fmt::Write as _;

#[derive(Debug, Args)]
pub struct Arguments {
    /// Air temperature with its unit
    #[arg(long, value_name = "68F|20C", allow_hyphen_values = true)]
    temperature: String,
    /// Relative humidity in percent
    #[arg(long, value_name = "0..100")]
    humidity: f64,
    /// Height above the sea in metres
    #[arg(
        long,
        value_name = "METRES",
        default_value_t = 0.0,
        allow_hyphen_values = true
    )]
    altitude: f64,
    /// How to print
    #[arg(long, value_enum, default_value_t)]
    format: Format,
}

/// One figure of a list of results.
#[derive(Serialize)]
struct Figure {
    name: &'static str,
    value: String,
    unit: &'static str,
}

pub fn run(own: &Arguments) -> Result<Outcome> {
    let t = celsius(&own.temperature)?;
    let rh = own.humidity;
    if !(0.0..=100.0).contains(&rh) {
        bail!("a relative humidity of {rh} percent cannot be; it lies between 0 and 100");
    }
    if !(-60.0..=60.0).contains(&t) {
        bail!("{} is no air temperature on a lawn", own.temperature);
    }
    if !(-500.0..=6000.0).contains(&own.altitude) {
        bail!(
            "an altitude of {} m is outside what the formula for pressure holds for (-500 to 6000 m)",
            own.altitude
        );
    }
    let pressure = if own.altitude == 0.0 {
        air::SEA_LEVEL_KPA
    } else {
        air::pressure_kpa(own.altitude)
    };
    let saturation = air::saturation_kpa(t);
    let vapour = air::vapour_kpa(t, rh);
    let psychrometric = air::wet_bulb_psychrometric(t, rh, pressure);
    let mut steps = vec![
        format!(
            "saturation vapour pressure = 0.6108 exp(17.27 T / (T + 237.3)) with T = {t:.2} C: {saturation:.3} kPa"
        ),
        format!("vapour pressure = {saturation:.3} x {rh} / 100 = {vapour:.3} kPa"),
        format!("air pressure at {} m: {pressure:.1} kPa", own.altitude),
        format!("wet bulb of a ventilated psychrometer: {psychrometric:.2} C"),
    ];
    let mut results = vec![
        Figure {
            name: "saturation vapour pressure",
            value: format!("{saturation:.3}"),
            unit: "kPa",
        },
        Figure {
            name: "vapour pressure",
            value: format!("{vapour:.3}"),
            unit: "kPa",
        },
        Figure {
            name: "wet bulb, psychrometer",
            value: format!("{psychrometric:.1}"),
            unit: "C",
        },
    ];
    if let Some(dew) = air::dew_point_c(vapour) {
        results.push(Figure {
            name: "dew point",
            value: format!("{dew:.1}"),
            unit: "C",
        });
    }
    if air::stull_holds(t, rh) {
        let wet = air::wet_bulb_stull(t, rh);
        steps.push(format!(
            "wet bulb by Stull (2011), for sea level: {wet:.2} C"
        ));
        results.push(Figure {
            name: "wet bulb, Stull 2011",
            value: format!("{wet:.1}"),
            unit: "C",
        });
    } else {
        steps.push(
            "Stull's short formula does not hold at this temperature and humidity".to_owned(),
        );
    }
    let delta = air::delta_t(t, rh);
    steps.push(format!("Delta T = T - wet bulb = {delta:.2} C"));
    results.push(Figure {
        name: "Delta T",
        value: format!("{delta:.1}"),
        unit: "C",
    });
    show_figures("ligule/season-air/1", &results, &steps, own.format)
}

fn show_figures(
    schema: &str,
    results: &[Figure],
    steps: &[String],
    format: Format,
) -> Result<Outcome> {
    match format {
        Format::Json => print_json(&json!({"schema": schema, "results": results, "steps": steps}))?,
        Format::Human => {
            let mut text = String::new();
            for figure in results {
                let _ = writeln!(
                    text,
                    "{:<28} {:>8} {}",
                    figure.name, figure.value, figure.unit
                );
            }
            for step in steps {
                let _ = writeln!(text, "  {step}");
            }
            print(&text)?;
        }
    }
    Ok(Outcome::Fine)
}
