//! Product and water for an area.

use super::limit;
use crate::measure::{Base, Fault, Figure, Figures, Kind, Quantity, Worked, unit};
use serde::Serialize;

/// Product for an area at a rate, never above the label's maximum rate. Ounces must be settled before
/// ([`Quantity::with_plain_ounces`]).
///
/// # Errors
/// [`crate::measure::FaultKind::OverMaximum`] when the rate is above `maximum`; kinds that do not fit.
pub fn for_area(
    rate: &Quantity,
    area: &Quantity,
    maximum: Option<&Quantity>,
) -> Result<Worked<Quantity>, Fault> {
    let rate = rate.clone().positive("the rate")?.with_plain_ounces(None)?;
    let area = area
        .clone()
        .must_be(Base::Area, "the area")?
        .positive("the area")?;
    limit::check_rate(&rate, maximum)?;
    let amount = rate.on(&area)?;
    let step = format!("{} on {} = {}", rate.short(), area.short(), amount.short());
    Ok(Worked::new(amount, vec![step]))
}

/// Spray for an area at a spray volume.
///
/// # Errors
/// Kinds that do not fit, figures of nought.
pub fn spray_for_area(volume: &Quantity, area: &Quantity) -> Result<Worked<Quantity>, Fault> {
    let volume = volume
        .clone()
        .must_be(Kind::rate(Base::Volume, Base::Area), "the spray volume")?;
    for_area(&volume, area, None)
}

/// How strong the spray is: product per volume of spray, from a rate and a spray volume per area.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Strengthened {
    /// Product per gallon or litre of spray.
    pub concentration: Quantity,
    /// Product in one full tank.
    pub per_tank: Option<Quantity>,
}

impl Figures for Strengthened {
    fn figures(&self) -> Vec<Figure> {
        let mut all = vec![Figure::new("concentration", &self.concentration)];
        all.extend(
            self.per_tank
                .iter()
                .map(|tank| Figure::new("per_tank", tank)),
        );
        all
    }
}

/// Product per gallon (or litre) of spray, and in a full tank.
///
/// # Errors
/// Kinds that do not fit, figures of nought.
pub fn in_spray(
    rate: &Quantity,
    volume: &Quantity,
    tank: Option<&Quantity>,
) -> Result<Worked<Strengthened>, Fault> {
    let rate = rate.clone().positive("the rate")?.with_plain_ounces(None)?;
    let volume = volume
        .clone()
        .must_be(Kind::rate(Base::Volume, Base::Area), "the spray volume")?;
    let volume = volume.positive("the spray volume")?;
    let symbol = if volume.unit.top.us { "gal" } else { "L" };
    let one = Quantity::new(1, unit(symbol)?);
    let area = volume.covers(&one)?;
    let product = rate.on(&area)?;
    let per = crate::measure::Unit {
        per: unit(&format!("g/{symbol}"))?.per,
        ..product.unit.clone()
    };
    let concentration = product.per(&one, &per)?;
    let mut steps = vec![format!(
        "{} / {} = {}",
        rate.short(),
        volume.short(),
        concentration.short()
    )];
    let per_tank = match tank {
        None => None,
        Some(tank) => {
            let tank = tank
                .clone()
                .must_be(Base::Volume, "the tank")?
                .positive("the tank")?;
            let amount = concentration.on(&tank)?;
            steps.push(format!(
                "{} x {} = {}",
                concentration.short(),
                tank.short(),
                amount.short()
            ));
            Some(amount)
        }
    };
    Ok(Worked::new(
        Strengthened {
            concentration,
            per_tank,
        },
        steps,
    ))
}
