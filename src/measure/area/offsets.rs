//! Area of an irregular bed from widths at equal distances.

use super::{Rule, area_unit, half, in_length, in_unit, metres};
use crate::measure::exact::Exact;
use crate::measure::fault::{Fault, FaultKind};
use crate::measure::kind::Base;
use crate::measure::quantity::Quantity;
use crate::measure::worked::Worked;

pub(super) fn offsets(
    widths: &[Quantity],
    spacing: &Quantity,
    rule: Rule,
) -> Result<Worked<Quantity>, Fault> {
    let Some(first) = widths.first() else {
        return Err(Fault::new(FaultKind::Empty, "no widths were given").expected("two or more"));
    };
    if widths.len() < 2 {
        return Err(Fault::new(FaultKind::Shape, "one width is too few").expected("two or more"));
    }
    if rule == Rule::Simpson && widths.len().is_multiple_of(2) {
        return Err(Fault::new(
            FaultKind::Shape,
            format!("Simpson's rule with {} widths", widths.len()),
        )
        .expected("an odd number of widths, the ends included"));
    }
    let unit = area_unit(spacing)?;
    let distance = metres(spacing, "the spacing")?;
    let last = widths.len() - 1;
    let weigh = |i: usize| match rule {
        Rule::Strips => Exact::one(),
        Rule::Ends => {
            if i == 0 || i == last {
                half()
            } else {
                Exact::one()
            }
        }
        Rule::Simpson if i == 0 || i == last => Exact::ratio(1, 3).unwrap_or_else(Exact::zero),
        Rule::Simpson => {
            Exact::ratio(if i % 2 == 1 { 4 } else { 2 }, 3).unwrap_or_else(Exact::zero)
        }
    };
    let mut sum = Exact::zero();
    for (i, width) in widths.iter().enumerate() {
        let width = width.clone().must_be(Base::Length, "a width")?;
        if width.value.is_negative() {
            return Err(
                Fault::new(FaultKind::Negative, format!("a width is {width}"))
                    .expected("nought or more"),
            );
        }
        sum = sum + width.in_base() * weigh(i);
    }
    if sum.is_zero() {
        return Err(
            Fault::new(FaultKind::Zero, "every width is nought").expected("a width above nought")
        );
    }
    let shown = widths
        .iter()
        .map(Quantity::short)
        .collect::<Vec<_>>()
        .join(" + ");
    let sum_shown = in_length(&sum, &first.unit);
    let result = in_unit(&(sum * distance), &unit);
    let how = match rule {
        Rule::Strips => "sum of the widths",
        Rule::Ends => "sum of the widths, the two ends counted half",
        Rule::Simpson => "widths weighted 1, 4, 2, ..., 4, 1 and divided by 3",
    };
    Ok(Worked::new(
        result.clone(),
        vec![
            format!("{how}: {shown} -> {}", sum_shown.short()),
            format!(
                "{} x spacing {} = {}",
                sum_shown.short(),
                spacing.short(),
                result.short()
            ),
        ],
    ))
}
