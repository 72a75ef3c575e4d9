//! Areas of the plain shapes.

use super::{area_unit, half, in_length, in_unit, metres, quarter};
use crate::measure::exact::Exact;
use crate::measure::fault::{Fault, FaultKind};
use crate::measure::quantity::Quantity;
use crate::measure::worked::Worked;

pub(super) fn product(
    a: &Quantity,
    b: &Quantity,
    factor: &Exact,
    note: &str,
) -> Result<Worked<Quantity>, Fault> {
    let unit = area_unit(a)?;
    let value = metres(a, "a side")? * metres(b, "a side")? * factor;
    let result = in_unit(&value, &unit);
    let step = format!("{} x {}{note} = {}", a.short(), b.short(), result.short());
    Ok(Worked::new(result, vec![step]))
}

pub(super) fn trapezoid(
    a: &Quantity,
    b: &Quantity,
    height: &Quantity,
) -> Result<Worked<Quantity>, Fault> {
    let unit = area_unit(a)?;
    let mean = (metres(a, "a side")? + metres(b, "a side")?) * half();
    let mean_shown = in_length(&mean, &a.unit);
    let result = in_unit(&(mean * metres(height, "the height")?), &unit);
    Ok(Worked::new(
        result.clone(),
        vec![
            format!(
                "mean of the parallel sides: ({} + {}) / 2 = {}",
                a.short(),
                b.short(),
                mean_shown.short()
            ),
            format!(
                "{} x {} = {}",
                mean_shown.short(),
                height.short(),
                result.short()
            ),
        ],
    ))
}

pub(super) fn heron(sides: &[Quantity; 3]) -> Result<Worked<Quantity>, Fault> {
    let unit = area_unit(&sides[0])?;
    let lengths = sides
        .iter()
        .map(|side| metres(side, "a side"))
        .collect::<Result<Vec<_>, _>>()?;
    let half_round = lengths.iter().cloned().sum::<Exact>() * half();
    let rests: Vec<Exact> = lengths.iter().map(|side| &half_round - side).collect();
    let [a, b, c] = [&sides[0], &sides[1], &sides[2]].map(Quantity::short);
    if !rests.iter().all(Exact::is_positive) {
        let message = format!("sides of {a}, {b} and {c} do not close to a triangle");
        return Err(Fault::new(FaultKind::Shape, message)
            .expected("any two sides longer together than the third"));
    }
    let square = rests
        .iter()
        .fold(half_round.clone(), |product, rest| product * rest);
    let result = in_unit(&square.sqrt().unwrap_or_else(Exact::zero), &unit);
    let half_round = in_length(&half_round, &sides[0].unit).short();
    let steps = vec![
        format!("half the way round: s = ({a} + {b} + {c}) / 2 = {half_round}"),
        format!(
            "square root of s x (s - {a}) x (s - {b}) x (s - {c}) = {}",
            result.short()
        ),
    ];
    Ok(Worked::new(result, steps))
}

pub(super) fn circle(diameter: &Quantity, share: &Exact) -> Result<Worked<Quantity>, Fault> {
    let unit = area_unit(diameter)?;
    let radius = metres(diameter, "the diameter")? * half();
    let square = &radius * &radius;
    let result = in_unit(&(&(&square * &Exact::pi()) * share), &unit);
    let part = match share {
        s if *s == half() => " / 2",
        s if *s == quarter() => " / 4",
        _ => "",
    };
    // Handbooks print circles with 3.14; the line lets a reader meet their figure.
    let with_3_14 = in_unit(&(&(&square * &Exact::from(314).shifted(-2)) * share), &unit);
    let radius = in_length(&radius, &diameter.unit);
    Ok(Worked::new(
        result.clone(),
        vec![
            format!("radius: {} / 2 = {}", diameter.short(), radius.short()),
            format!(
                "pi x {} x {}{part} = {} (with 3.14 for pi: {})",
                radius.short(),
                radius.short(),
                result.short(),
                with_3_14.short()
            ),
        ],
    ))
}

pub(super) fn spots(count: u64, across: &Quantity) -> Result<Worked<Quantity>, Fault> {
    if count == 0 {
        return Err(Fault::new(FaultKind::Zero, "no spots were counted").expected("one or more"));
    }
    let one = circle(across, &Exact::one())?;
    let total = one.value.times(&Exact::from(count));
    let mut steps = vec![format!("one spot, {} across:", across.short())];
    steps.extend(one.steps);
    steps.push(format!(
        "{count} spots x {} = {}",
        one.value.short(),
        total.short()
    ));
    Ok(Worked::new(total, steps))
}
