//! The one rounding: to what the measuring tool in hand can show, and never above the maximum.

use crate::measure::{Base, Exact, Fault, FaultKind, Quantity, Worked, quantity, short, unit};
use serde::Serialize;
use std::fmt;
use std::str::FromStr;

/// A measuring tool.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Tool {
    /// A scale that shows steps of so much weight.
    Scale(Quantity),
    /// A syringe with marks of so much volume.
    Syringe(Quantity),
    /// A measuring cup or cylinder with marks of so much volume.
    Cup(Quantity),
    /// A set of kitchen spoons down to a quarter teaspoon: last resort.
    Spoons,
}

impl Tool {
    /// The smallest step it shows.
    ///
    /// # Errors
    /// None for tools made by [`Tool::from_str`].
    pub fn step(&self) -> Result<Quantity, Fault> {
        match self {
            Tool::Scale(step) => step
                .clone()
                .must_be(Base::Weight, "the scale's step")?
                .positive("the scale's step"),
            Tool::Syringe(step) | Tool::Cup(step) => step
                .clone()
                .must_be(Base::Volume, "the tool's step")?
                .positive("the tool's step"),
            Tool::Spoons => Ok(Quantity::new(Exact::from(25).shifted(-2), unit("tsp")?)),
        }
    }
}

impl fmt::Display for Tool {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Tool::Scale(step) => write!(f, "scale to {step}"),
            Tool::Syringe(step) => write!(f, "syringe to {step}"),
            Tool::Cup(step) => write!(f, "measuring cup to {step}"),
            Tool::Spoons => f.write_str("kitchen spoons to 0.25 tsp"),
        }
    }
}

/// `scale 0.1 g`, `syringe 0.5 mL`, `cup 1 fl oz`, `spoons`.
impl FromStr for Tool {
    type Err = Fault;

    fn from_str(text: &str) -> Result<Self, Fault> {
        let text = text.trim();
        let (name, step) = text.split_once(char::is_whitespace).unwrap_or((text, ""));
        let make: fn(Quantity) -> Tool = match name {
            "spoons" if step.is_empty() => return Ok(Tool::Spoons),
            "scale" => Tool::Scale,
            "syringe" => Tool::Syringe,
            "cup" => Tool::Cup,
            _ => {
                return Err(
                    Fault::new(FaultKind::Tool, format!("`{text}` is no measuring tool"))
                        .expected("`scale 0.1 g`, `syringe 0.5 mL`, `cup 1 fl oz` or `spoons`"),
                );
            }
        };
        let tool = make(quantity(step).map_err(|fault| fault.of("the tool's step"))?);
        tool.step().map(|_| tool)
    }
}

/// An amount as the tool shows it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Measured {
    /// The exact amount.
    pub exact: Quantity,
    /// What to measure.
    pub measure: Quantity,
    /// The tool.
    pub tool: Tool,
}

impl crate::measure::Figures for Measured {
    fn figures(&self) -> Vec<crate::measure::Figure> {
        use crate::measure::Figure;
        vec![
            Figure::new("measure", &self.measure),
            Figure::new("exact", &self.exact),
        ]
    }
}

/// A rounding that moves the amount by more than this many percent is warned of.
const COARSE_PERCENT: i64 = 5;

/// Rounds an amount to the tool: to the nearest step, or down where the nearest is above `maximum`.
///
/// # Errors
/// [`FaultKind::WrongKind`] for a volume on a scale and the like; [`FaultKind::OverMaximum`] when the
/// amount itself is above `maximum`; [`FaultKind::Tool`] when the amount is too small for the tool.
pub fn measure_out(
    amount: &Quantity,
    tool: &Tool,
    maximum: Option<&Quantity>,
) -> Result<Worked<Measured>, Fault> {
    let amount = amount.clone().positive("the amount")?;
    let step = tool.step()?;
    if amount.kind() != step.kind() {
        let kind = amount.kind();
        let fault = Fault::new(
            FaultKind::WrongKind,
            format!(
                "{} is {}; a {tool} measures {}",
                amount.short(),
                kind.a(),
                step.kind().a()
            ),
        );
        return Err(match kind.top {
            Base::Weight => fault
                .expected("a scale")
                .hint("a spoon or cup of granules weighs something else each time"),
            _ => fault.expected("a syringe or a measuring cup"),
        });
    }
    let exact = amount.to(&step.unit)?;
    if let Some(maximum) = maximum
        && exact.in_base() > maximum.to(&step.unit)?.in_base()
    {
        return Err(Fault::new(
            FaultKind::OverMaximum,
            format!(
                "{} is above the label's maximum {}",
                amount.short(),
                maximum.short()
            ),
        ));
    }
    let (rounded, down) = round(&exact, &step.value, maximum)?;
    if rounded.is_zero() {
        return Err(Fault::new(
            FaultKind::Tool,
            format!("{} is too little for a {tool}", exact.short()),
        )
        .expected("a finer tool")
        .hint("mix more spray at a time, or take a tool with smaller steps"));
    }
    let measure = Quantity {
        value: rounded,
        unit: step.unit.clone(),
    };
    let note = if down {
        " (down, to stay at or below the maximum)"
    } else {
        ""
    };
    let result = format!("{} on a {tool}: {}{note}", exact.short(), spoken(&measure));
    let off = (measure.in_units_of(&exact)? - Exact::one()) * Exact::from(100);
    let measured = Measured {
        exact: amount,
        measure,
        tool: tool.clone(),
    };
    let mut worked = Worked::new(measured, vec![result]);
    if off.abs() > Exact::from(COARSE_PERCENT) {
        worked = worked.warn(format!(
            "rounding to the tool changes the amount by {} %: a finer tool would be better",
            off.to_digits(2)
        ));
    }
    if *tool == Tool::Spoons {
        worked = worked.warn("kitchen spoons are a last resort: a syringe is exact and cheap; never use the spoons for food again");
    }
    Ok(worked)
}

/// The nearest step, or the one below where the nearest is above the maximum; says which.
fn round(
    exact: &Quantity,
    step: &Exact,
    maximum: Option<&Quantity>,
) -> Result<(Exact, bool), Fault> {
    let nearest = exact.value.nearest_to(step);
    let Some(maximum) = maximum else {
        return Ok((nearest, false));
    };
    let over = nearest > maximum.to(&exact.unit)?.value;
    Ok(if over {
        (exact.value.down_to(step), true)
    } else {
        (nearest, false)
    })
}

/// Spoons are counted in spoons: `2 tbsp + 0.5 tsp`.
fn spoken(measure: &Quantity) -> String {
    if measure.unit.top.symbol != "tsp" || measure.value < Exact::from(3) {
        return measure.short();
    }
    let tablespoons = measure.value.down_to(&Exact::from(3));
    let rest = &measure.value - &tablespoons;
    let tablespoons = tablespoons
        .over(&Exact::from(3))
        .unwrap_or_else(Exact::zero);
    if rest.is_zero() {
        return format!("{} tbsp", short(&tablespoons));
    }
    format!("{} tbsp + {} tsp", short(&tablespoons), short(&rest))
}
