//! One job reckoned: spray and products for the ground, cut into the smallest number of equal loads, each product
//! measured out with the best tool in hand, and never above what the label allows on the ground of that load.

use super::loads::{self, Part};
use super::portion::{Portion, portion};
use super::tool::Tool;
use super::{product, solution};
use crate::measure::{Base, Exact, Fault, FaultKind, Figure, Figures, Quantity, Worked};
use serde::Serialize;

/// Something that goes into the tank or the spreader.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Wanted {
    /// What it is called.
    pub name: String,
    /// How much: per area, or per volume of spray.
    pub rate: Quantity,
    /// The most that may go on, per area.
    pub most_on_area: Option<Quantity>,
    /// The most that may be in the spray, per volume.
    pub most_in_spray: Option<Quantity>,
}

/// A job.
#[derive(Clone, Debug)]
pub struct Job<'a> {
    /// Ground to treat.
    pub area: &'a Quantity,
    /// Products and adjuvants.
    pub wanted: &'a [Wanted],
    /// Measuring tools in hand; without a fitting one the amount is given unrounded.
    pub tools: &'a [Tool],
}

/// How it is sprayed.
#[derive(Clone, Debug)]
pub struct Spraying<'a> {
    /// Spray per area.
    pub volume: &'a Quantity,
    /// The tank.
    pub tank: &'a Quantity,
}

/// One load.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct LoadLine {
    /// Spray in it, products included; nothing where the product is spread dry.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub spray: Option<Quantity>,
    /// Ground that it is for.
    pub covers: Quantity,
    /// Its parts, in the order given.
    pub parts: Vec<Portion>,
}

/// What the whole job takes of one part.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Total {
    /// What it is called.
    pub name: String,
    /// The exact amount.
    pub exact: Quantity,
    /// What is measured out for all the loads together.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub measured: Option<Quantity>,
    /// The most that the label allows on the ground.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub most: Option<Quantity>,
}

impl Total {
    /// What really goes on: measured where it is measured, else exact.
    #[must_use]
    pub fn put_on(&self) -> &Quantity {
        self.measured.as_ref().unwrap_or(&self.exact)
    }
}

/// A job in figures.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Reckoned {
    /// Ground to treat.
    pub area: Quantity,
    /// Spray for all of it; nothing where the product is spread dry.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub spray: Option<Quantity>,
    /// The loads, in the order of spraying.
    pub loads: Vec<LoadLine>,
    /// The sum of each part.
    pub totals: Vec<Total>,
}

impl Figures for Reckoned {
    fn figures(&self) -> Vec<Figure> {
        let mut all = vec![Figure::new("area", &self.area)];
        all.extend(self.spray.iter().map(|s| Figure::new("spray", s)));
        for total in &self.totals {
            let name = figure_name(&total.name);
            all.push(Figure::new(&name, &total.exact));
            all.extend(
                total
                    .measured
                    .iter()
                    .map(|m| Figure::new(&format!("{name}_measured"), m)),
            );
            all.extend(
                total
                    .most
                    .iter()
                    .map(|m| Figure::new(&format!("{name}_maximum"), m)),
            );
        }
        if self.spray.is_none() {
            return all;
        }
        all.push(Figure::plain("loads", self.loads.len()));
        for (i, load) in self.loads.iter().enumerate() {
            let of = format!("load_{}", i + 1);
            all.extend(
                load.spray
                    .iter()
                    .map(|s| Figure::new(&format!("{of}_spray"), s)),
            );
            all.push(Figure::new(&format!("{of}_area"), &load.covers));
            for part in &load.parts {
                let name = format!("{of}_{}", figure_name(&part.name));
                all.push(Figure::new(&name, &part.exact));
                all.extend(
                    part.measure
                        .iter()
                        .map(|m| Figure::new(&format!("{name}_measure"), m)),
                );
            }
        }
        all
    }
}

/// The name of a figure: lower case with underscores.
fn figure_name(name: &str) -> String {
    let plain: String = name
        .chars()
        .map(|c| {
            if c.is_alphanumeric() {
                c.to_ascii_lowercase()
            } else {
                '_'
            }
        })
        .collect();
    plain.trim_matches('_').to_owned()
}

/// A job that is sprayed.
///
/// # Errors
/// Kinds that do not fit, figures of nought, [`FaultKind::OverMaximum`], a tool too coarse for the amount.
pub fn sprayed(job: &Job<'_>, spraying: &Spraying<'_>) -> Result<Worked<Reckoned>, Fault> {
    let spray = product::spray_for_area(spraying.volume, job.area)?;
    let mut steps: Vec<String> = spray
        .steps
        .iter()
        .map(|step| format!("spray: {step}"))
        .collect();
    let mut parts = Vec::new();
    let mut most = Vec::new();
    for wanted in job.wanted {
        let (amount, allowed) = amount(wanted, job.area, Some(&spray.value))?;
        steps.extend(
            amount
                .steps
                .iter()
                .map(|step| format!("{}: {step}", wanted.name)),
        );
        parts.push(Part {
            name: wanted.name.clone(),
            amount: amount.value,
        });
        most.push(allowed);
    }
    let cut = loads::equal(&spray.value, spraying.tank, &parts)?;
    steps.extend(cut.steps);
    let count = Exact::from(u64::try_from(cut.value.loads.len()).unwrap_or(1));
    let share = Exact::one().over(&count).unwrap_or_else(Exact::one);
    // The loads are equal, so one of them is measured out and stands for all.
    let mut portions = Vec::new();
    let mut warnings: Vec<String> = Vec::new();
    for (part, allowed) in parts.iter().zip(&most) {
        let allowed = allowed.as_ref().map(|m| m.times(&share));
        let one = portion(&part.name, &part.amount.times(&share), allowed, job.tools)?;
        steps.extend(one.steps);
        warnings.extend(one.warnings);
        portions.push(one.value);
    }
    let load = LoadLine {
        spray: Some(spray.value.times(&share)),
        covers: job.area.times(&share),
        parts: portions.clone(),
    };
    let totals = totals(&parts, most, &portions, &count);
    let reckoned = Reckoned {
        area: job.area.clone(),
        spray: Some(spray.value),
        loads: vec![load; cut.value.loads.len()],
        totals,
    };
    Ok(Worked {
        value: reckoned,
        steps,
        warnings,
    })
}

/// A job that is spread dry or applied undiluted: the whole amount in one.
///
/// # Errors
/// As [`sprayed`].
pub fn spread(job: &Job<'_>) -> Result<Worked<Reckoned>, Fault> {
    let mut steps = Vec::new();
    let mut warnings = Vec::new();
    let (mut parts, mut most, mut portions) = (Vec::new(), Vec::new(), Vec::new());
    for wanted in job.wanted {
        let (amount, allowed) = amount(wanted, job.area, None)?;
        steps.extend(
            amount
                .steps
                .iter()
                .map(|step| format!("{}: {step}", wanted.name)),
        );
        let one = portion(&wanted.name, &amount.value, allowed.clone(), job.tools)?;
        steps.extend(one.steps);
        warnings.extend(one.warnings);
        portions.push(one.value);
        parts.push(Part {
            name: wanted.name.clone(),
            amount: amount.value,
        });
        most.push(allowed);
    }
    let load = LoadLine {
        spray: None,
        covers: job.area.clone(),
        parts: portions.clone(),
    };
    let reckoned = Reckoned {
        area: job.area.clone(),
        spray: None,
        loads: vec![load],
        totals: totals(&parts, most, &portions, &Exact::one()),
    };
    Ok(Worked {
        value: reckoned,
        steps,
        warnings,
    })
}

/// The amount of one part, and the most that the label allows of it on the ground and in the spray.
fn amount(
    wanted: &Wanted,
    area: &Quantity,
    spray: Option<&Quantity>,
) -> Result<(Worked<Quantity>, Option<Quantity>), Fault> {
    let of_name = |fault: Fault| fault.of(&wanted.name);
    let by_area = wanted
        .most_on_area
        .as_ref()
        .map(|most| most.on(area))
        .transpose()
        .map_err(of_name)?;
    let by_spray = match (&wanted.most_in_spray, spray) {
        (Some(most), Some(spray)) => Some(solution::into(most, spray).map_err(of_name)?.value),
        _ => None,
    };
    let amount = if wanted.rate.kind().per == Some(Base::Area) {
        product::for_area(&wanted.rate, area, wanted.most_on_area.as_ref())
    } else {
        let spray = spray.ok_or_else(|| {
            Fault::new(
                FaultKind::WrongKind,
                format!(
                    "`{}` is per volume of spray, and nothing is sprayed",
                    wanted.rate
                ),
            )
            .expected("a rate per area")
        });
        spray.and_then(|spray| solution::into(&wanted.rate, spray))
    }
    .map_err(of_name)?;
    let mut most = by_area;
    if let Some(other) = by_spray {
        most = Some(match most {
            Some(first) if first.in_base() <= other.in_base() => first,
            _ => other,
        });
    }
    if let Some(most) = &most
        && amount.value.in_base() > most.to(&amount.value.unit)?.in_base()
    {
        return Err(Fault::new(
            FaultKind::OverMaximum,
            format!(
                "{} of {} is above the most that the label allows there, {}",
                amount.value.short(),
                wanted.name,
                most.short()
            ),
        )
        .expected("less spray on the ground, or a lower rate"));
    }
    Ok((amount, most))
}

fn totals(
    parts: &[Part],
    most: Vec<Option<Quantity>>,
    portions: &[Portion],
    count: &Exact,
) -> Vec<Total> {
    parts
        .iter()
        .zip(most)
        .zip(portions)
        .map(|((part, most), portion)| Total {
            name: part.name.clone(),
            exact: part.amount.clone(),
            measured: portion.measure.as_ref().map(|m| m.times(count)),
            most,
        })
        .collect()
}
