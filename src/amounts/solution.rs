//! Percent solutions, adjuvants by volume, and any rate per volume of spray.

use super::content;
use crate::measure::{Base, Fault, FaultKind, Kind, Quantity, Strength, Unit, Worked, unit};

/// What goes into a volume of spray at a rate per volume: `0.25 % v/v`, `0.5 fl oz/gal`, `1 lb/100 gal`.
///
/// # Errors
/// Kinds that do not fit; [`FaultKind::Ambiguous`] for a bare percentage; [`FaultKind::Figures`] for
/// more than the whole volume.
pub fn into(rate: &Quantity, spray: &Quantity) -> Result<Worked<Quantity>, Fault> {
    let rate = rate.clone().positive("the rate")?.with_plain_ounces(None)?;
    let spray = spray
        .clone()
        .must_be(Base::Volume, "the spray")?
        .positive("the spray")?;
    if rate.kind() == Kind::plain(Base::Share) {
        return Err(Fault::new(
            FaultKind::Ambiguous,
            format!("`{rate}` does not say of what"),
        )
        .expected("`% v/v` for a liquid")
        .hint("labels mean volume for liquids: write `% v/v`"));
    }
    if rate.kind().per != Some(Base::Volume) {
        return Err(Fault::new(
            FaultKind::WrongKind,
            format!("`{rate}` is {}", rate.kind().a()),
        )
        .expected("a rate per volume of spray, such as 0.25 % v/v or 0.5 fl oz/gal"));
    }
    let amount = rate.on(&spray)?;
    let amount = if amount.kind() == Kind::plain(Base::Volume) {
        if amount.in_base() > spray.in_base() {
            return Err(Fault::new(
                FaultKind::Figures,
                format!(
                    "{} is more than the {} of spray",
                    amount.short(),
                    spray.short()
                ),
            ));
        }
        amount.to(&small_volume(&spray)?)?
    } else {
        amount
    };
    let step = match spray.to(&small_volume(&spray)?) {
        Ok(small) if rate.unit.to_string() == "% v/v" => {
            format!(
                "{} = {}; x {} / 100 = {}",
                spray.short(),
                small.short(),
                crate::measure::short(&rate.value),
                amount.short()
            )
        }
        _ => format!("{} x {} = {}", rate.short(), spray.short(), amount.short()),
    };
    Ok(Worked::new(amount, vec![step]))
}

/// Product for a spray that holds so much active per volume: `1 lb a.i./100 gal` of a 2 lb/gal liquid.
///
/// # Errors
/// Kinds that do not fit, figures of nought.
pub fn for_active(
    active: &Quantity,
    strength: &Strength,
    spray: &Quantity,
) -> Result<Worked<Quantity>, Fault> {
    let product = content::product_for(active, strength)?;
    let amount = into(&product.value, spray)?;
    let steps = product.steps.into_iter().chain(amount.steps).collect();
    Ok(Worked {
        value: amount.value,
        steps,
        warnings: product.warnings,
    })
}

/// Fluid ounces beside gallons, millilitres beside litres.
fn small_volume(spray: &Quantity) -> Result<Unit, Fault> {
    unit(if spray.unit.top.us { "fl oz" } else { "mL" })
}
