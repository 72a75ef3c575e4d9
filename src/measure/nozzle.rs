//! Flow, pressure, speed and spray volume of a nozzle, and which of them to change so that a sprayer
//! gives the volume that a label asks for.
//!
//! Volume per area = flow / (speed x width). In gallons, miles per hour and inches that is the
//! handbooks' GPA = 5940 x GPM / (MPH x W), for 43560 x 12 / 88 = 5940. Flow goes with the square root
//! of pressure.

use super::exact::Exact;
use super::fault::{Fault, FaultKind};
use super::kind::{Base, Kind};
use super::quantity::Quantity;
use super::read::unit;
use super::sprayer::Output;
use super::worked::{Figure, Figures, Worked};
use serde::Serialize;

const FLOW: Kind = Kind::rate(Base::Volume, Base::Time);
const SPEED: Kind = Kind::rate(Base::Length, Base::Time);
const SPRAY: Kind = Kind::rate(Base::Volume, Base::Area);

fn checked(quantity: &Quantity, kind: impl Into<Kind>, figure: &str) -> Result<Quantity, Fault> {
    quantity.clone().must_be(kind, figure)?.positive(figure)
}

/// Spray volume of one nozzle over its width, or of a boom over its swath.
///
/// # Errors
/// [`FaultKind::WrongKind`], [`FaultKind::Zero`].
pub fn output(
    flow: &Quantity,
    speed: &Quantity,
    width: &Quantity,
) -> Result<Worked<Output>, Fault> {
    let flow = checked(flow, FLOW, "the flow")?.to(&unit("gal/min")?)?;
    let speed = checked(speed, SPEED, "the speed")?.to(&unit("mph")?)?;
    let width = checked(width, Base::Length, "the width")?.to(&unit("in")?)?;
    let divisor = &speed.value * &width.value;
    let gallons = (Exact::from(5940) * &flow.value)
        .over(&divisor)
        .unwrap_or_else(Exact::zero);
    let output = Output::new(&Quantity::new(gallons, unit("gal/A")?))?;
    let step = format!(
        "5940 x {} / ({} x {}) = {}",
        flow.short(),
        speed.short(),
        width.short(),
        output.per_acre.short()
    );
    Ok(Worked::new(output, vec![step]))
}

/// The flow that a nozzle must have, in gal/min.
///
/// # Errors
/// [`FaultKind::WrongKind`], [`FaultKind::Zero`].
pub fn flow_needed(
    spray: &Quantity,
    speed: &Quantity,
    width: &Quantity,
) -> Result<Worked<Quantity>, Fault> {
    let spray = checked(spray, SPRAY, "the spray volume")?.to(&unit("gal/A")?)?;
    let speed = checked(speed, SPEED, "the speed")?.to(&unit("mph")?)?;
    let width = checked(width, Base::Length, "the width")?.to(&unit("in")?)?;
    let product = &(&spray.value * &speed.value) * &width.value;
    let flow = Quantity {
        value: product.over(&Exact::from(5940)).unwrap_or_else(Exact::zero),
        unit: unit("gal/min")?,
    };
    let step = format!(
        "{} x {} x {} / 5940 = {} = {}",
        spray.short(),
        speed.short(),
        width.short(),
        flow.short(),
        flow.to(&unit("fl oz/min")?)?.short()
    );
    Ok(Worked::new(flow, vec![step]))
}

/// The speed at which a flow gives a spray volume, in mph.
///
/// # Errors
/// [`FaultKind::WrongKind`], [`FaultKind::Zero`].
pub fn speed_needed(
    spray: &Quantity,
    flow: &Quantity,
    width: &Quantity,
) -> Result<Worked<Quantity>, Fault> {
    let spray = checked(spray, SPRAY, "the spray volume")?.to(&unit("gal/A")?)?;
    let flow = checked(flow, FLOW, "the flow")?.to(&unit("gal/min")?)?;
    let width = checked(width, Base::Length, "the width")?.to(&unit("in")?)?;
    let divisor = &spray.value * &width.value;
    let speed = Quantity {
        value: (Exact::from(5940) * &flow.value)
            .over(&divisor)
            .unwrap_or_else(Exact::zero),
        unit: unit("mph")?,
    };
    let step = format!(
        "5940 x {} / ({} x {}) = {}",
        flow.short(),
        spray.short(),
        width.short(),
        speed.short()
    );
    Ok(Worked::new(speed, vec![step]))
}

/// The flow at another pressure: Q2 = Q1 x sqrt(P2 / P1).
///
/// # Errors
/// [`FaultKind::WrongKind`], [`FaultKind::Zero`].
pub fn flow_at(
    flow: &Quantity,
    pressure: &Quantity,
    other: &Quantity,
) -> Result<Worked<Quantity>, Fault> {
    let flow = checked(flow, FLOW, "the flow")?;
    let pressure = checked(pressure, Base::Pressure, "the pressure")?;
    let other = checked(other, Base::Pressure, "the other pressure")?;
    let ratio = other.in_units_of(&pressure)?;
    let result = flow.times(&ratio.sqrt().unwrap_or_else(Exact::zero));
    let step = format!(
        "{} x sqrt({} / {}) = {}",
        flow.short(),
        other.short(),
        pressure.short(),
        result.short()
    );
    Ok(Worked::new(result, vec![step]))
}

/// The pressure for another flow: P2 = P1 x (Q2 / Q1)^2.
///
/// # Errors
/// [`FaultKind::WrongKind`], [`FaultKind::Zero`].
pub fn pressure_for(
    flow: &Quantity,
    pressure: &Quantity,
    wanted: &Quantity,
) -> Result<Worked<Quantity>, Fault> {
    let flow = checked(flow, FLOW, "the flow")?;
    let pressure = checked(pressure, Base::Pressure, "the pressure")?;
    let wanted = checked(wanted, FLOW, "the flow wanted")?;
    let ratio = wanted.in_units_of(&flow)?;
    let result = pressure.times(&(&ratio * &ratio));
    let step = format!(
        "{} x ({} / {})^2 = {}",
        pressure.short(),
        wanted.short(),
        flow.short(),
        result.short()
    );
    Ok(Worked::new(result, vec![step]))
}

/// A sprayer as it is set now.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Setting {
    /// Flow of one nozzle at `pressure`.
    pub flow: Quantity,
    /// The pressure now.
    pub pressure: Quantity,
    /// The speed now.
    pub speed: Quantity,
    /// Width of one nozzle: its spacing on a boom, or the swath of a single one.
    pub width: Quantity,
    /// The pressures at which the nozzle may be run, from its maker's table, when they are known.
    pub pressures: Option<(Quantity, Quantity)>,
}

/// Three ways to the label's spray volume.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Ways {
    /// What it gives now.
    pub now: Output,
    /// Keep the pressure and go at this speed.
    pub speed: Quantity,
    /// Keep the speed and set this pressure.
    pub pressure: Quantity,
    /// Does that pressure lie within the nozzle's range? Unknown without one.
    pub pressure_fits: Option<bool>,
    /// Keep both and fit a nozzle of this flow at the present pressure.
    pub flow: Quantity,
}

impl Figures for Ways {
    fn figures(&self) -> Vec<Figure> {
        let fits = self
            .pressure_fits
            .map_or("unknown", |fits| if fits { "yes" } else { "no" });
        vec![
            Figure::new("now", &self.now.per_acre),
            Figure::new("speed", &self.speed),
            Figure::new("pressure", &self.pressure),
            Figure::plain("pressure_fits", fits),
            Figure::new("nozzle_flow", &self.flow),
        ]
    }
}

/// Which speed, pressure or nozzle gives the label's spray volume.
///
/// # Errors
/// [`FaultKind::WrongKind`], [`FaultKind::Zero`], [`FaultKind::Range`] for a pressure range that falls.
pub fn ways(setting: &Setting, spray: &Quantity) -> Result<Worked<Ways>, Fault> {
    let Setting {
        flow,
        pressure,
        speed,
        width,
        pressures,
    } = setting;
    let now = output(flow, speed, width)?;
    let new_speed = speed_needed(spray, flow, width)?;
    let needed = flow_needed(spray, speed, width)?;
    let new_pressure = pressure_for(flow, pressure, &needed.value)?;
    let pressure_fits = match pressures {
        None => None,
        Some((low, high)) => {
            let low = checked(low, Base::Pressure, "the lowest pressure")?;
            let high = checked(high, Base::Pressure, "the highest pressure")?;
            if low.in_base() > high.in_base() {
                return Err(Fault::new(
                    FaultKind::Range,
                    format!("the pressures run from {low} to {high}"),
                )
                .expected("the lower one first"));
            }
            Some((low.in_base()..=high.in_base()).contains(&new_pressure.value.in_base()))
        }
    };
    let mut steps = vec![format!("now: {}", now.steps.join("; "))];
    steps.push(format!(
        "same pressure, other speed: {}",
        new_speed.steps.join("; ")
    ));
    steps.push(format!(
        "same speed, flow needed: {}",
        needed.steps.join("; ")
    ));
    steps.push(format!(
        "same speed, other pressure: {}",
        new_pressure.steps.join("; ")
    ));
    let ways = Ways {
        now: now.value,
        speed: new_speed.value,
        pressure: new_pressure.value,
        pressure_fits,
        flow: needed.value,
    };
    let worked = match pressure_fits {
        Some(true) => Worked::new(ways, steps),
        Some(false) => Worked::new(ways, steps)
            .warn("the pressure lies outside the nozzle's range: change the speed or the nozzle"),
        None => Worked::new(ways, steps)
            .warn("check in the nozzle's table that it may be run at this pressure"),
    };
    Ok(worked.warn(
        "a change of pressure changes the droplets: look up the droplet class at the new pressure",
    ))
}
