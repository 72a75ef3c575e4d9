//! Tank loads: the spray for a job cut into the smallest number of equal loads, or into full tanks and
//! a rest. The loads add up to the job exactly; rounding to a tool comes after.

use super::tool::{Measured, Tool, measure_out};
use crate::measure::{Base, Exact, Fault, FaultKind, Figure, Figures, Quantity, Worked};
use serde::Serialize;

/// More loads than this is a slip in the tank's or the job's figure.
const MOST_LOADS: u64 = 1000;

/// One product in the tank.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Part {
    /// What it is called.
    pub name: String,
    /// How much of it the whole job takes.
    pub amount: Quantity,
}

/// One tank load.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Load {
    /// Spray in it, products included.
    pub spray: Quantity,
    /// Each product in it.
    pub parts: Vec<Part>,
}

/// A job cut into loads.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Loads {
    /// The loads in the order of spraying.
    pub loads: Vec<Load>,
}

impl Figures for Loads {
    fn figures(&self) -> Vec<Figure> {
        let mut all = vec![Figure::plain("loads", self.loads.len())];
        for (i, load) in self.loads.iter().enumerate() {
            all.push(Figure::new(&format!("load_{}_spray", i + 1), &load.spray));
            all.extend(
                load.parts.iter().map(|part| {
                    Figure::new(&format!("load_{}_{}", i + 1, part.name), &part.amount)
                }),
            );
        }
        all
    }
}

/// The smallest number of equal loads.
///
/// # Errors
/// Kinds that do not fit, figures of nought, [`FaultKind::Figures`] above 1000 loads.
pub fn equal(spray: &Quantity, tank: &Quantity, parts: &[Part]) -> Result<Worked<Loads>, Fault> {
    let (spray, tank, times) = tanks(spray, tank)?;
    let count = number_of_loads(&times)?;
    let share = Exact::one()
        .over(&Exact::from(count))
        .unwrap_or_else(Exact::one);
    let load = load(&spray, parts, &share);
    let mut steps = vec![format!(
        "{} / {} tank = {} tanks, so {}",
        spray.short(),
        tank.short(),
        crate::measure::short(&times),
        loads_word(count)
    )];
    if count > 1 {
        steps.push(format!(
            "each load: {} / {count} = {}",
            spray.short(),
            load.spray.short()
        ));
    }
    describe_parts(&mut steps, parts, &format!("/ {count}"), &load);
    let loads = std::iter::repeat_n(load, usize::try_from(count).unwrap_or(1)).collect();
    Ok(Worked::new(Loads { loads }, steps))
}

/// Full tanks and a last one with the rest.
///
/// # Errors
/// As [`equal`].
pub fn full_and_rest(
    spray: &Quantity,
    tank: &Quantity,
    parts: &[Part],
) -> Result<Worked<Loads>, Fault> {
    let (spray, tank, times) = tanks(spray, tank)?;
    number_of_loads(&times)?;
    let full = times.floor();
    let rest = &times - &full;
    let whole = full.to_u64().unwrap_or(0);
    let tank_share = Exact::one().over(&times).unwrap_or_else(Exact::one);
    let mut steps = vec![format!(
        "{} / {} tank = {}: {} full, and {} of one",
        spray.short(),
        tank.short(),
        crate::measure::short(&times),
        whole,
        crate::measure::short(&rest)
    )];
    let full_load = load(&spray, parts, &tank_share);
    let mut loads: Vec<Load> = Vec::new();
    if whole > 0 {
        steps.push(format!("full tank: {}", full_load.spray.short()));
        describe_parts(
            &mut steps,
            parts,
            &format!("/ {}", crate::measure::short(&times)),
            &full_load,
        );
        loads.extend(std::iter::repeat_n(
            full_load,
            usize::try_from(whole).unwrap_or(0),
        ));
    }
    if !rest.is_zero() {
        let last = load(&spray, parts, &(&rest * &tank_share));
        steps.push(format!("last load: {}", last.spray.short()));
        describe_parts(&mut steps, parts, "less the full tanks", &last);
        loads.push(last);
    }
    Ok(Worked::new(Loads { loads }, steps))
}

/// A product measured out load by load, with the total that goes on.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Portions {
    /// What to measure for each load.
    pub portions: Vec<Measured>,
    /// Their sum.
    pub total: Quantity,
}

impl Figures for Portions {
    fn figures(&self) -> Vec<Figure> {
        let mut all = vec![Figure::new("total", &self.total)];
        all.extend(
            self.portions
                .iter()
                .enumerate()
                .map(|(i, p)| Figure::new(&format!("load_{}", i + 1), &p.measure)),
        );
        all
    }
}

/// Measures one product out over the loads with a tool. Each portion is rounded once, and down where
/// the nearest step would pass that load's share of `maximum` (the most the label allows on the whole
/// area): each load goes on its own piece of ground, so the rest of the lawn cannot make up for it.
///
/// # Errors
/// Those of [`measure_out`]; [`FaultKind::OverMaximum`] when the job itself is above `maximum`.
pub fn portions(
    amounts: &[Quantity],
    tool: &Tool,
    maximum: Option<&Quantity>,
) -> Result<Worked<Portions>, Fault> {
    let (first, more) = amounts.split_first().ok_or_else(|| {
        Fault::new(FaultKind::Empty, "there are no loads").expected("one or more")
    })?;
    let whole = more
        .iter()
        .try_fold(first.clone(), |sum, next| sum.plus(next))?;
    if let Some(maximum) = maximum
        && whole.in_base() > maximum.to(&whole.unit)?.in_base()
    {
        return Err(Fault::new(
            FaultKind::OverMaximum,
            format!(
                "{} is above the label's maximum {}",
                whole.short(),
                maximum.short()
            ),
        ));
    }
    let mut steps = Vec::new();
    let mut warnings: Vec<String> = Vec::new();
    let mut portions: Vec<Measured> = Vec::new();
    let mut total = Quantity {
        value: Exact::zero(),
        unit: tool.step()?.unit,
    };
    for (i, amount) in amounts.iter().enumerate() {
        let most = match maximum {
            None => None,
            Some(maximum) => Some(maximum.times(&amount.in_units_of(&whole)?)),
        };
        let one = measure_out(amount, tool, most.as_ref())?;
        steps.extend(
            one.steps
                .into_iter()
                .map(|step| format!("load {}: {step}", i + 1)),
        );
        for warning in one.warnings {
            if !warnings.contains(&warning) {
                warnings.push(warning);
            }
        }
        total = total.plus(&one.value.measure)?;
        portions.push(one.value);
    }
    steps.push(format!(
        "together: {} of {} reckoned",
        total.short(),
        whole.to(&total.unit)?.short()
    ));
    Ok(Worked {
        value: Portions { portions, total },
        steps,
        warnings,
    })
}

fn tanks(spray: &Quantity, tank: &Quantity) -> Result<(Quantity, Quantity, Exact), Fault> {
    let spray = spray
        .clone()
        .must_be(Base::Volume, "the spray")?
        .positive("the spray")?;
    let tank = tank
        .clone()
        .must_be(Base::Volume, "the tank")?
        .positive("the tank")?;
    let times = spray.in_units_of(&tank)?;
    Ok((spray, tank, times))
}

fn number_of_loads(times: &Exact) -> Result<u64, Fault> {
    times
        .ceil()
        .to_u64()
        .filter(|count| *count <= MOST_LOADS)
        .ok_or_else(|| {
            Fault::new(FaultKind::Figures, format!("{} loads", times.ceil()))
                .expected(format!("at most {MOST_LOADS}"))
                .hint("check the unit of the tank and of the spray volume")
        })
}

fn load(spray: &Quantity, parts: &[Part], share: &Exact) -> Load {
    let parts = parts
        .iter()
        .map(|part| Part {
            name: part.name.clone(),
            amount: part.amount.times(share),
        })
        .collect();
    Load {
        spray: spray.times(share),
        parts,
    }
}

fn describe_parts(steps: &mut Vec<String>, parts: &[Part], how: &str, load: &Load) {
    for (whole, part) in parts.iter().zip(&load.parts) {
        steps.push(format!(
            "{}: {} {how} = {}",
            part.name,
            whole.amount.short(),
            part.amount.short()
        ));
    }
}

fn loads_word(count: u64) -> String {
    if count == 1 {
        "one load".to_owned()
    } else {
        format!("{count} loads")
    }
}
