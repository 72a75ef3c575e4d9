//! Area of a polygon from its corners, exactly. A boundary that crosses or touches itself is refused:
//! its parts would cancel and the figure would be too small.

use super::super::exact::Exact;
use super::super::fault::{Fault, FaultKind};
use super::super::kind::Base;
use super::super::quantity::{Quantity, short};
use super::super::unit::Unit;
use super::super::worked::Worked;
use super::{area_unit, half, in_unit};
use serde::Serialize;
use std::cmp::Ordering;

/// One corner: its distances along and up.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Corner {
    /// Distance along the first line.
    pub x: Exact,
    /// Distance along the line at right angles to it.
    pub y: Exact,
}

impl std::fmt::Display for Corner {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "({}, {})", short(&self.x), short(&self.y))
    }
}

/// Corners that a person can measure; the crossing test looks at every pair of sides.
const MOST_CORNERS: usize = 200;
/// Above this many corners the steps give only the sum.
const SHOWN_CORNERS: usize = 12;

/// Half the sum of `x1*y2 - x2*y1` over the sides (the shoelace formula).
///
/// # Errors
/// [`FaultKind::Shape`].
pub fn area(corners: &[Corner], unit: &Unit) -> Result<Worked<Quantity>, Fault> {
    if unit.kind() != Base::Length.into() {
        return Err(
            Fault::new(FaultKind::WrongKind, format!("corners in `{unit}`"))
                .expected("a length, such as ft or m"),
        );
    }
    // Walking back to the start may be written down or not.
    let corners = match corners {
        [first, .., last] if first == last => &corners[..corners.len() - 1],
        all => all,
    };
    check(corners)?;
    let mut doubled = Exact::zero();
    let mut steps = Vec::new();
    for (a, b) in sides(corners) {
        let term = &(&a.x * &b.y) - &(&b.x * &a.y);
        if corners.len() <= SHOWN_CORNERS {
            steps.push(format!(
                "{a} to {b}: {} x {} - {} x {} = {}",
                short(&a.x),
                short(&b.y),
                short(&b.x),
                short(&a.y),
                short(&term)
            ));
        }
        doubled = doubled + term;
    }
    let value = doubled.abs() * half();
    if value.is_zero() {
        return Err(Fault::new(FaultKind::Shape, "all corners lie on one line")
            .expected("corners that enclose an area"));
    }
    let scale = unit.factor();
    let result = in_unit(
        &(&(&value * &scale) * &scale),
        &area_unit(&Quantity::new(1, unit.clone()))?,
    );
    steps.push(format!(
        "sum {}, half of it without the sign: {}",
        short(&doubled),
        result.short()
    ));
    Ok(Worked::new(result, steps))
}

fn sides(corners: &[Corner]) -> impl Iterator<Item = (&Corner, &Corner)> {
    corners.iter().zip(corners.iter().cycle().skip(1))
}

fn check(corners: &[Corner]) -> Result<(), Fault> {
    if corners.len() < 3 {
        return Err(Fault::new(
            FaultKind::Shape,
            format!("{} corners enclose nothing", corners.len()),
        )
        .expected("three or more"));
    }
    if corners.len() > MOST_CORNERS {
        return Err(
            Fault::new(FaultKind::Shape, format!("{} corners", corners.len()))
                .expected(format!("at most {MOST_CORNERS}")),
        );
    }
    let all: Vec<_> = sides(corners).collect();
    if let Some(i) = all.iter().position(|(a, b)| a == b) {
        return Err(Fault::new(
            FaultKind::Shape,
            format!("corner {} is given twice: {}", i + 1, all[i].0),
        )
        .expected("each corner once"));
    }
    for (i, (a, b)) in all.iter().enumerate() {
        for (j, (c, d)) in all.iter().enumerate().skip(i + 1) {
            let neighbours = j == i + 1 || (i == 0 && j == all.len() - 1);
            let bad = if neighbours {
                folds_back(if j == i + 1 { (a, b, d) } else { (c, d, b) })
            } else {
                meet(a, b, c, d)
            };
            if bad {
                return Err(Fault::new(
                    FaultKind::Shape,
                    format!("the boundary crosses itself: side {} from {a} to {b} meets side {} from {c} to {d}", i + 1, j + 1),
                )
                .expected("corners in the order of walking round")
                .hint("check the order of the corners, or measure the parts one by one"));
            }
        }
    }
    Ok(())
}

/// Does the way from `a` over `b` to `c` turn back on itself?
fn folds_back((a, b, c): (&Corner, &Corner, &Corner)) -> bool {
    let dot = &(&(&b.x - &a.x) * &(&c.x - &b.x)) + &(&(&b.y - &a.y) * &(&c.y - &b.y));
    turn(a, b, c) == Ordering::Equal && dot.is_negative()
}

/// Do two sides have a point in common?
fn meet(a: &Corner, b: &Corner, c: &Corner, d: &Corner) -> bool {
    let (abc, abd, cda, cdb) = (turn(a, b, c), turn(a, b, d), turn(c, d, a), turn(c, d, b));
    if abc != abd && cda != cdb {
        return true;
    }
    let on_line = |t: Ordering, p, q, r| t == Ordering::Equal && between(p, q, r);
    on_line(abc, a, b, c) || on_line(abd, a, b, d) || on_line(cda, c, d, a) || on_line(cdb, c, d, b)
}

/// On which side of the line from `a` to `b` does `c` lie?
fn turn(a: &Corner, b: &Corner, c: &Corner) -> Ordering {
    let left = &(&b.x - &a.x) * &(&c.y - &a.y);
    let right = &(&b.y - &a.y) * &(&c.x - &a.x);
    left.cmp(&right)
}

/// For three corners on one line: does `c` lie between `a` and `b`?
fn between(a: &Corner, b: &Corner, c: &Corner) -> bool {
    let inside = |p: &Exact, q: &Exact, r: &Exact| (p.min(q)..=p.max(q)).contains(&r);
    inside(&a.x, &b.x, &c.x) && inside(&a.y, &b.y, &c.y)
}
