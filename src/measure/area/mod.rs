//! Areas of lawns from what a tape measures: shapes, sums of shapes, and what is taken away from them.

mod offsets;
mod plain;
mod polygon;
mod text;

use super::exact::Exact;
use super::fault::{Fault, FaultKind};
use super::kind::Base;
use super::quantity::Quantity;
use super::unit::{Unit, row};
use super::worked::Worked;
use offsets::offsets;
use plain::{circle, heron, product, spots, trapezoid};
use serde::Serialize;

pub use polygon::Corner;
pub use text::shape;

/// How widths across an irregular bed are summed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Rule {
    /// Each width stands for one spacing: the sum of the widths times the spacing.
    Strips,
    /// The first and last widths lie at the very ends and count half (trapezoidal rule).
    Ends,
    /// Simpson's 1/3 rule, for smooth edges; wants an odd number of widths, ends included.
    Simpson,
}

/// A shape, with lengths of any unit.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Shape {
    /// Length by width; also a strip along a fence.
    Rectangle {
        /// Long side.
        length: Quantity,
        /// Short side.
        width: Quantity,
    },
    /// Base and the height at right angles to it.
    Triangle {
        /// One side.
        base: Quantity,
        /// From that side to the opposite corner.
        height: Quantity,
    },
    /// A triangle by its three sides (Heron's formula).
    Sides {
        /// The three sides.
        sides: [Quantity; 3],
    },
    /// Two parallel sides and the distance between them.
    Trapezoid {
        /// The parallel sides.
        sides: [Quantity; 2],
        /// Their distance.
        height: Quantity,
    },
    /// A circle, or a half or quarter of one.
    Circle {
        /// Across the whole circle.
        diameter: Quantity,
        /// How much of the circle: one, a half, a quarter.
        share: Exact,
    },
    /// An oval, taken as an ellipse.
    Oval {
        /// Longest line across.
        length: Quantity,
        /// Widest line at right angles to it.
        width: Quantity,
    },
    /// An irregular bed by widths at equal distances along its longest line.
    Offsets {
        /// The widths, in order.
        widths: Vec<Quantity>,
        /// Distance between them.
        spacing: Quantity,
        /// How they are summed.
        rule: Rule,
    },
    /// Corners in the order of walking round, as distances from two fixed lines at right angles.
    Polygon {
        /// The corners.
        corners: Vec<Corner>,
        /// The unit of their figures.
        unit: Unit,
    },
    /// So many round patches, each so far across.
    Spots {
        /// How many.
        count: u64,
        /// Across one.
        across: Quantity,
    },
    /// An area that is known already.
    Known {
        /// The area.
        area: Quantity,
    },
}

/// The area of one shape, in square feet where its lengths are in US units, else in square metres.
///
/// # Errors
/// [`FaultKind::Shape`] for shapes that do not close or cross themselves, [`FaultKind::Zero`] for
/// lengths of nought, [`FaultKind::WrongKind`] for figures that are no lengths.
pub fn area(shape: &Shape) -> Result<Worked<Quantity>, Fault> {
    match shape {
        Shape::Rectangle { length, width } => product(length, width, &Exact::one(), ""),
        Shape::Triangle { base, height } => product(base, height, &half(), " / 2"),
        Shape::Trapezoid {
            sides: [a, b],
            height,
        } => trapezoid(a, b, height),
        Shape::Sides { sides } => heron(sides),
        Shape::Circle { diameter, share } => circle(diameter, share),
        Shape::Oval { length, width } => {
            let quarter_pi = Exact::pi() * quarter();
            product(length, width, &quarter_pi, " x pi / 4")
        }
        Shape::Offsets {
            widths,
            spacing,
            rule,
        } => offsets(widths, spacing, *rule),
        Shape::Polygon { corners, unit } => polygon::area(corners, unit),
        Shape::Spots { count, across } => spots(*count, across),
        Shape::Known { area } => {
            let area = area
                .clone()
                .must_be(Base::Area, "the area")?
                .positive("the area")?;
            let step = format!("area as given: {area}");
            Ok(Worked::new(area, vec![step]))
        }
    }
}

/// The parts of a lawn added up, less what is not treated: house, drive, beds.
///
/// # Errors
/// Those of [`area`]; [`FaultKind::Figures`] when nothing is left.
pub fn lawn(parts: &[Shape], without: &[Shape]) -> Result<Worked<Quantity>, Fault> {
    let Some((first, more)) = parts.split_first() else {
        return Err(
            Fault::new(FaultKind::Empty, "no area was given").expected("at least one shape")
        );
    };
    let mut total = area(first)?;
    let single = more.is_empty() && without.is_empty();
    for part in more {
        let next = area(part)?;
        let sum = total.value.plus(&next.value)?;
        total.steps.extend(next.steps);
        total.steps.push(format!(
            "together: {} + {} = {}",
            total.value.short(),
            next.value.to(&total.value.unit)?.short(),
            sum.short()
        ));
        total.value = sum;
    }
    for part in without {
        let next = area(part)?;
        let rest = total.value.minus(&next.value)?;
        total.steps.extend(
            next.steps
                .into_iter()
                .map(|step| format!("not treated: {step}")),
        );
        total.steps.push(format!(
            "left: {} - {} = {}",
            total.value.short(),
            next.value.to(&total.value.unit)?.short(),
            rest.short()
        ));
        total.value = rest;
    }
    if !total.value.value.is_positive() {
        return Err(Fault::new(
            FaultKind::Figures,
            format!("what is taken away leaves {}", total.value.short()),
        )
        .expected("less taken away than there is"));
    }
    if !single {
        total
            .steps
            .push(format!("area to treat: {}", total.value.short()));
    }
    Ok(total)
}

fn half() -> Exact {
    Exact::from(5).shifted(-1)
}

fn quarter() -> Exact {
    Exact::from(25).shifted(-2)
}

/// A positive length in metres.
fn metres(length: &Quantity, figure: &str) -> Result<Exact, Fault> {
    Ok(length
        .clone()
        .must_be(Base::Length, figure)?
        .positive(figure)?
        .in_base())
}

/// Square feet for US lengths, square metres for others.
fn area_unit(length: &Quantity) -> Result<Unit, Fault> {
    let symbol = if length.unit.top.us { "sq ft" } else { "m2" };
    row(symbol)
        .map(Unit::plain)
        .ok_or_else(|| Fault::new(FaultKind::UnitUnknown, "the unit table has no area"))
}

fn in_unit(square_metres: &Exact, unit: &Unit) -> Quantity {
    Quantity::new(
        square_metres
            .over(&unit.factor())
            .unwrap_or_else(Exact::zero),
        unit.clone(),
    )
}

fn in_length(metres: &Exact, unit: &Unit) -> Quantity {
    Quantity::new(
        metres.over(&unit.factor()).unwrap_or_else(Exact::zero),
        unit.clone(),
    )
}
