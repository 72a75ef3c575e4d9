//! What a sprayer puts on an area, from plain water and a tape measure: caught over a course, caught
//! for a time, or refilled after a test patch.

use super::exact::Exact;
use super::fault::{Fault, FaultKind};
use super::kind::{Base, Kind};
use super::quantity::{Quantity, short};
use super::read::unit;
use super::worked::{Figure, Figures, Worked};
use serde::Serialize;

/// Application volume: the same figure in the units that labels use.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Output {
    /// In gal/A.
    pub per_acre: Quantity,
    /// In gal/1000 sq ft.
    pub per_thousand: Quantity,
    /// In L/ha.
    pub per_hectare: Quantity,
    /// In L/100 m2.
    pub per_hundred: Quantity,
}

impl Output {
    /// From any volume per area.
    ///
    /// # Errors
    /// [`FaultKind::WrongKind`].
    pub fn new(rate: &Quantity) -> Result<Self, Fault> {
        Ok(Self {
            per_acre: rate.to(&unit("gal/A")?)?,
            per_thousand: rate.to(&unit("gal/1000 sq ft")?)?,
            per_hectare: rate.to(&unit("L/ha")?)?,
            per_hundred: rate.to(&unit("L/100 m2")?)?,
        })
    }
}

impl Figures for Output {
    fn figures(&self) -> Vec<Figure> {
        vec![
            Figure::new("per_acre", &self.per_acre),
            Figure::new("per_1000_sq_ft", &self.per_thousand),
            Figure::new("per_hectare", &self.per_hectare),
            Figure::new("per_100_m2", &self.per_hundred),
        ]
    }
}

/// Volume over area, with the step shown.
///
/// # Errors
/// [`FaultKind::WrongKind`], [`FaultKind::Zero`].
pub fn over_area(volume: &Quantity, area: &Quantity) -> Result<Worked<Output>, Fault> {
    let volume = volume
        .clone()
        .must_be(Base::Volume, "the volume")?
        .positive("the volume")?;
    let area = area
        .clone()
        .must_be(Base::Area, "the area")?
        .positive("the area")?;
    let output = Output::new(&volume.per(&area, &unit("gal/A")?)?)?;
    let step = format!(
        "{} on {} = {} = {}",
        volume.short(),
        area.short(),
        output.per_thousand.short(),
        output.per_acre.short()
    );
    Ok(Worked::new(output, vec![step]))
}

/// The area that one pass covers.
///
/// # Errors
/// [`FaultKind::WrongKind`], [`FaultKind::Zero`].
pub fn course_area(width: &Quantity, length: &Quantity) -> Result<Worked<Quantity>, Fault> {
    super::area::area(&super::area::Shape::Rectangle {
        length: length.clone(),
        width: width.clone(),
    })
}

/// Length of a course of 1/128 acre (340.3125 sq ft) for a swath: fluid ounces caught from that swath
/// while walking it are gallons per acre, because a gallon has 128 fluid ounces.
///
/// # Errors
/// [`FaultKind::WrongKind`], [`FaultKind::Zero`].
pub fn course_length(width: &Quantity) -> Result<Worked<Quantity>, Fault> {
    let width = width
        .clone()
        .must_be(Base::Length, "the swath")?
        .positive("the swath")?;
    let feet = width.to(&unit("ft")?)?;
    let plot = Quantity::new(
        Exact::ratio(43_560, 128).unwrap_or_else(Exact::zero),
        unit("sq ft")?,
    );
    let length = Quantity {
        value: plot.value.over(&feet.value).unwrap_or_else(Exact::zero),
        unit: unit("ft")?,
    };
    let steps = vec![
        format!("1/128 acre: 43560 sq ft / 128 = {}", plot.value),
        format!(
            "{} sq ft / {} = {}",
            plot.value,
            feet.short(),
            length.short()
        ),
        "fluid ounces caught while this course is walked are gallons per acre".to_owned(),
    ];
    Ok(Worked::new(length, steps))
}

/// A catch over a measured course: all that came out over `width` while `length` was walked.
///
/// # Errors
/// [`FaultKind::WrongKind`], [`FaultKind::Zero`].
pub fn catch(
    caught: &Quantity,
    width: &Quantity,
    length: &Quantity,
) -> Result<Worked<Output>, Fault> {
    let area = course_area(width, length)?;
    let mut output = over_area(caught, &area.value)?;
    output.steps.splice(
        0..0,
        area.steps.into_iter().map(|step| format!("course: {step}")),
    );
    Ok(output)
}

/// What comes out on the whole course, from a catch for a time and the time that the course takes
/// (both may be means of several runs).
///
/// # Errors
/// [`FaultKind::WrongKind`], [`FaultKind::Zero`].
pub fn on_course(
    caught: &Quantity,
    caught_in: &Quantity,
    walked_in: &Quantity,
) -> Result<Worked<Quantity>, Fault> {
    let caught = caught
        .clone()
        .must_be(Base::Volume, "the volume")?
        .positive("the volume")?;
    let caught_in = caught_in
        .clone()
        .must_be(Base::Time, "the time of the catch")?;
    let walked_in = walked_in
        .clone()
        .must_be(Base::Time, "the time of the course")?;
    let walked_in = walked_in.positive("the time of the course")?;
    let on_course = caught.times(&walked_in.in_units_of(&caught_in)?);
    let times = format!(
        "{} x {} / {}",
        caught.short(),
        walked_in.short(),
        caught_in.short()
    );
    let step = format!("on the course: {times} = {}", on_course.short());
    Ok(Worked::new(on_course, vec![step]))
}

/// The mean of repeated measurements, in the unit of the first.
///
/// # Errors
/// [`FaultKind::Empty`], [`FaultKind::WrongKind`].
pub fn mean(runs: &[Quantity]) -> Result<Worked<Quantity>, Fault> {
    let (first, rest) = runs.split_first().ok_or_else(|| {
        Fault::new(FaultKind::Empty, "no measurement was given").expected("one or more")
    })?;
    let sum = rest
        .iter()
        .try_fold(first.clone(), |sum, run| sum.plus(run))?;
    let count = Exact::from(runs.len() as u64);
    let mean = Quantity {
        value: sum.value.over(&count).unwrap_or_else(Exact::zero),
        unit: first.unit.clone(),
    };
    if rest.is_empty() {
        return Ok(Worked::new(mean, Vec::new()));
    }
    let shown: Vec<String> = runs.iter().map(Quantity::short).collect();
    let step = format!(
        "mean of {}: {} / {} = {}",
        shown.join(", "),
        sum.short(),
        runs.len(),
        mean.short()
    );
    Ok(Worked::new(mean, vec![step]))
}

/// Walking speed, in mph.
///
/// # Errors
/// [`FaultKind::WrongKind`], [`FaultKind::Zero`].
pub fn speed(distance: &Quantity, time: &Quantity) -> Result<Worked<Quantity>, Fault> {
    let distance = distance
        .clone()
        .must_be(Base::Length, "the distance")?
        .positive("the distance")?;
    let time = time
        .clone()
        .must_be(Base::Time, "the time")?
        .positive("the time")?;
    let speed = distance.per(&time, &unit("mph")?)?;
    let step = format!(
        "{} in {} = {} = {} (88 ft/min are 1 mph)",
        distance.short(),
        time.short(),
        distance.per(&time, &unit("ft/min")?)?.short(),
        speed.short()
    );
    Ok(Worked::new(speed, vec![step]))
}

/// The area that a tank covers.
///
/// # Errors
/// [`FaultKind::WrongKind`], [`FaultKind::Zero`].
pub fn tank_covers(tank: &Quantity, rate: &Quantity) -> Result<Worked<Quantity>, Fault> {
    let tank = tank
        .clone()
        .must_be(Base::Volume, "the tank")?
        .positive("the tank")?;
    let rate = rate
        .clone()
        .must_be(Kind::rate(Base::Volume, Base::Area), "the spray volume")?
        .positive("the spray volume")?;
    let symbol = if tank.unit.top.us { "sq ft" } else { "m2" };
    let area = rate.covers(&tank)?.to(&unit(symbol)?)?;
    let step = format!(
        "{} at {} cover {}",
        tank.short(),
        rate.short(),
        area.short()
    );
    Ok(Worked::new(area, vec![step]))
}

/// How far single nozzles lie from their mean.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct NozzleCheck {
    /// Mean flow or catch.
    pub mean: Quantity,
    /// For each nozzle: its deviation from the mean in percent, and whether that is above the limit.
    pub nozzles: Vec<(Exact, bool)>,
}

impl Figures for NozzleCheck {
    fn figures(&self) -> Vec<Figure> {
        let mut all = vec![Figure::new("mean", &self.mean)];
        all.extend(
            self.nozzles
                .iter()
                .enumerate()
                .map(|(i, (off, _))| Figure::number(&format!("nozzle_{}_off", i + 1), off, "%")),
        );
        all
    }
}

/// Compares the nozzles of a boom. `limit` is the deviation, in percent, above which a tip is to be
/// cleaned or changed; limits of 5 and 10 are both in use.
///
/// # Errors
/// [`FaultKind::Empty`], [`FaultKind::WrongKind`], [`FaultKind::Zero`].
pub fn compare_nozzles(catches: &[Quantity], limit: &Exact) -> Result<Worked<NozzleCheck>, Fault> {
    let mean = mean(catches)?;
    let middle = mean.value.clone().positive("the mean catch")?;
    let mut checked = Worked::new(
        NozzleCheck {
            mean: middle.clone(),
            nozzles: Vec::new(),
        },
        mean.steps,
    );
    for (i, one) in catches.iter().enumerate() {
        let off = (one.in_units_of(&middle)? - Exact::one()) * Exact::from(100);
        let beyond = off.abs() > *limit;
        checked.steps.push(format!(
            "nozzle {}: {} is {} % from the mean",
            i + 1,
            one.short(),
            short(&off)
        ));
        if beyond {
            checked.warnings.push(format!(
                "nozzle {} is more than {} % from the mean: clean or change it",
                i + 1,
                short(limit)
            ));
        }
        checked.value.nozzles.push((off, beyond));
    }
    Ok(checked)
}
