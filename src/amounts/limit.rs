//! The label's limits: a rate never above its maximum, a year's total never above the year's.

use crate::measure::{Base, Fault, FaultKind, Quantity, Worked};

/// Refuses a rate above the label's maximum, with both figures.
///
/// # Errors
/// [`FaultKind::OverMaximum`]; [`FaultKind::WrongKind`] when the two cannot be compared.
pub fn check_rate(rate: &Quantity, maximum: Option<&Quantity>) -> Result<(), Fault> {
    let Some(maximum) = maximum else {
        return Ok(());
    };
    let maximum = maximum
        .clone()
        .must_be(rate.kind(), "the label's maximum")?
        .positive("the label's maximum")?;
    if rate.in_base() <= maximum.in_base() {
        return Ok(());
    }
    let same = rate.to(&maximum.unit)?;
    Err(Fault::new(
        FaultKind::OverMaximum,
        format!(
            "the rate {} is above the label's maximum {}",
            both(rate, &same),
            maximum.short()
        ),
    )
    .expected(format!("at most {}", maximum.short()))
    .hint("look whether the unit is right: per acre or per 1000 sq ft, ounces or fluid ounces"))
}

/// What may still go on an area this year, from the year's maximum rate and what was put on already.
///
/// # Errors
/// [`FaultKind::WrongKind`], figures of nought.
pub fn left_this_year(
    per_year: &Quantity,
    used: &[Quantity],
    area: &Quantity,
) -> Result<Worked<Quantity>, Fault> {
    let area = area
        .clone()
        .must_be(Base::Area, "the area")?
        .positive("the area")?;
    let allowed = per_year.clone().positive("the year's maximum")?.on(&area)?;
    let mut steps = vec![format!(
        "year's maximum: {} on {} = {}",
        per_year.short(),
        area.short(),
        allowed.short()
    )];
    let mut left = allowed;
    for one in used {
        let rest = left.minus(one)?;
        steps.push(format!(
            "{} - {} used = {}",
            left.short(),
            one.short(),
            rest.short()
        ));
        left = rest;
    }
    if left.value.is_negative() {
        let over = left.value.abs();
        let message = format!(
            "this year's maximum is passed by {}",
            Quantity {
                value: over,
                unit: left.unit
            }
            .short()
        );
        return Err(Fault::new(FaultKind::OverMaximum, message)
            .hint("no more of it on this area this year"));
    }
    Ok(Worked::new(left, steps))
}

/// Refuses what would pass the year's maximum, with what is left of it.
///
/// # Errors
/// [`FaultKind::OverMaximum`]; kinds that do not fit.
pub fn within_year(
    amount: &Quantity,
    most_year: &Quantity,
    used: &[Quantity],
    area: &Quantity,
) -> Result<Worked<Quantity>, Fault> {
    let left = left_this_year(most_year, used, area)?;
    if amount.in_base() > left.value.to(&amount.unit)?.in_base() {
        return Err(Fault::new(
            FaultKind::OverMaximum,
            format!(
                "{} would pass the year's maximum: {} is left of it",
                amount.short(),
                left.value.to(&amount.unit)?.short()
            ),
        )
        .hint("treat less ground, or wait for the next year"));
    }
    Ok(left)
}

fn both(rate: &Quantity, same: &Quantity) -> String {
    if rate.unit == same.unit {
        rate.short()
    } else {
        format!("{} ({})", rate.short(), same.short())
    }
}
