//! What a spreader puts out, from a pan or a measured strip, and how it stands to the label's rate.
//! Always with the product itself: granules differ.

use super::exact::Exact;
use super::fault::{Fault, FaultKind};
use super::kind::{Base, Kind};
use super::quantity::{Quantity, short};
use super::read::unit;
use super::sprayer::course_area;
use super::worked::{Figure, Figures, Worked};
use serde::Serialize;

/// A spreading rate in the units that labels use.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Spread {
    /// In lb/1000 sq ft.
    pub per_thousand: Quantity,
    /// In lb/A.
    pub per_acre: Quantity,
    /// In g/m2.
    pub per_metre: Quantity,
}

impl Figures for Spread {
    fn figures(&self) -> Vec<Figure> {
        vec![
            Figure::new("per_1000_sq_ft", &self.per_thousand),
            Figure::new("per_acre", &self.per_acre),
            Figure::new("per_m2", &self.per_metre),
        ]
    }
}

impl Spread {
    /// From any weight per area.
    ///
    /// # Errors
    /// [`FaultKind::WrongKind`].
    pub fn new(rate: &Quantity) -> Result<Self, Fault> {
        Ok(Self {
            per_thousand: rate.to(&unit("lb/1000 sq ft")?)?,
            per_acre: rate.to(&unit("lb/A")?)?,
            per_metre: rate.to(&unit("g/m2")?)?,
        })
    }
}

/// Weight on an area.
///
/// # Errors
/// [`FaultKind::WrongKind`], [`FaultKind::Zero`].
pub fn over_area(weight: &Quantity, area: &Quantity) -> Result<Worked<Spread>, Fault> {
    let weight = weight
        .clone()
        .must_be(Base::Weight, "the weight spread")?
        .positive("the weight spread")?;
    let area = area
        .clone()
        .must_be(Base::Area, "the area")?
        .positive("the area")?;
    let spread = Spread::new(&weight.per(&area, &unit("lb/1000 sq ft")?)?)?;
    let step = format!(
        "{} on {} = {} = {}",
        weight.short(),
        area.short(),
        spread.per_thousand.short(),
        spread.per_acre.short()
    );
    Ok(Worked::new(spread, vec![step]))
}

/// What left the hopper: weighed before and after.
///
/// # Errors
/// [`FaultKind::WrongKind`]; [`FaultKind::Figures`] when it weighs no less afterwards.
pub fn weighed_out(before: &Quantity, after: &Quantity) -> Result<Worked<Quantity>, Fault> {
    let before = before.clone().must_be(Base::Weight, "the weight before")?;
    let used = before.minus(&after.clone().must_be(Base::Weight, "the weight after")?)?;
    if !used.value.is_positive() {
        return Err(Fault::new(
            FaultKind::Figures,
            format!(
                "the hopper weighed {} before and {} after",
                before.short(),
                after.short()
            ),
        )
        .expected("less after than before"));
    }
    let step = format!("{} - {} = {}", before.short(), after.short(), used.short());
    Ok(Worked::new(used, vec![step]))
}

/// A strip or pan test: so much weight over so many passes of a width and length.
///
/// # Errors
/// [`FaultKind::WrongKind`], [`FaultKind::Zero`].
pub fn strip(
    weight: &Quantity,
    width: &Quantity,
    length: &Quantity,
    passes: u32,
) -> Result<Worked<Spread>, Fault> {
    if passes == 0 {
        return Err(Fault::new(FaultKind::Zero, "no pass was made").expected("one or more"));
    }
    let one = course_area(width, length)?;
    let area = one.value.times(&Exact::from(i64::from(passes)));
    let mut steps: Vec<String> = one
        .steps
        .into_iter()
        .map(|step| format!("strip: {step}"))
        .collect();
    if passes > 1 {
        steps.push(format!("{passes} passes: {}", area.short()));
    }
    let rate = over_area(weight, &area)?;
    steps.extend(rate.steps);
    Ok(Worked::new(rate.value, steps))
}

/// The run that covers 1,000 sq ft at a width.
///
/// # Errors
/// [`FaultKind::WrongKind`], [`FaultKind::Zero`].
pub fn run_for_thousand(width: &Quantity) -> Result<Worked<Quantity>, Fault> {
    let width = width
        .clone()
        .must_be(Base::Length, "the width")?
        .positive("the width")?
        .to(&unit("ft")?)?;
    let run = Quantity {
        value: Exact::from(1000)
            .over(&width.value)
            .unwrap_or_else(Exact::zero),
        unit: width.unit.clone(),
    };
    let step = format!("1000 sq ft / {} = {}", width.short(), run.short());
    Ok(Worked::new(run, vec![step]))
}

/// How a measured rate stands to the label's.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Compared {
    /// What was measured.
    pub measured: Spread,
    /// What is wanted per pass: the label's rate, or half of it when the lawn is crossed twice.
    pub wanted: Spread,
    /// Measured less wanted, in percent of wanted.
    pub off_percent: Exact,
}

impl Figures for Compared {
    fn figures(&self) -> Vec<Figure> {
        vec![
            Figure::new("measured", &self.measured.per_thousand),
            Figure::new("wanted", &self.wanted.per_thousand),
            Figure::number("off", &self.off_percent, "%"),
        ]
    }
}

/// Compares a measured rate with the label's. With `twice`, the lawn is crossed a second time at
/// right angles and each crossing takes half. `limit` is the deviation in percent that is let pass.
///
/// # Errors
/// [`FaultKind::WrongKind`], [`FaultKind::Zero`].
pub fn compare(
    measured: Worked<Spread>,
    label: &Quantity,
    twice: bool,
    limit: &Exact,
) -> Result<Worked<Compared>, Fault> {
    let label = label
        .clone()
        .must_be(Kind::rate(Base::Weight, Base::Area), "the label's rate")?
        .positive("the label's rate")?;
    let half = Exact::from(5).shifted(-1);
    let wanted = if twice {
        label.times(&half)
    } else {
        label.clone()
    };
    let mut steps = measured.steps;
    if twice {
        steps.push(format!(
            "two crossings at right angles: {} / 2 = {} each",
            label.short(),
            wanted.short()
        ));
    }
    let off = (measured.value.per_thousand.in_units_of(&wanted)? - Exact::one()) * Exact::from(100);
    let wanted = Spread::new(&wanted)?;
    steps.push(format!(
        "measured {}, wanted {}: {} %",
        measured.value.per_thousand.short(),
        wanted.per_thousand.short(),
        short(&off)
    ));
    let compared = Compared {
        measured: measured.value,
        wanted,
        off_percent: off.clone(),
    };
    let worked = Worked {
        value: compared,
        steps,
        warnings: measured.warnings,
    };
    Ok(match off {
        off if off > *limit => {
            worked.warn("it spreads too much: close the opening a little and test again")
        }
        off if off < -limit.clone() => {
            worked.warn("it spreads too little: open it a little and test again")
        }
        _ => worked,
    })
}
