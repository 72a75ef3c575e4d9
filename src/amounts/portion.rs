//! One part of one load, measured out with the best tool in hand.

use super::tool::{Tool, measure_out};
use crate::measure::{Exact, Fault, Kind, Quantity, Worked};
use serde::Serialize;

/// One part of one load.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Portion {
    /// What it is called.
    pub name: String,
    /// The exact amount.
    pub exact: Quantity,
    /// The most of it that the label allows in this load.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub most: Option<Quantity>,
    /// What to measure, with a fitting tool.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub measure: Option<Quantity>,
    /// The tool in words.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tool: Option<String>,
}

/// Measures an amount out, never above `most`; without a fitting tool it stays unrounded.
///
/// # Errors
/// Those of [`measure_out`].
pub fn portion(
    name: &str,
    amount: &Quantity,
    most: Option<Quantity>,
    tools: &[Tool],
) -> Result<Worked<Portion>, Fault> {
    let Some(tool) = best_tool(amount, tools) else {
        let kind = Kind::plain(amount.kind().top);
        let portion = Portion {
            name: name.to_owned(),
            exact: amount.clone(),
            most,
            measure: None,
            tool: None,
        };
        let worked = Worked::new(portion, Vec::new());
        return Ok(if tools.is_empty() {
            worked
        } else {
            worked.warn(format!("{name}: no tool in hand measures {}", kind.a()))
        });
    };
    let measured = measure_out(amount, tool, most.as_ref())
        .map_err(|fault| fault.of(&format!("the amount of {name}")))?;
    Ok(Worked {
        value: Portion {
            name: name.to_owned(),
            exact: amount.clone(),
            most,
            measure: Some(measured.value.measure),
            tool: Some(tool.to_string()),
        },
        steps: measured
            .steps
            .into_iter()
            .map(|step| format!("{name}, each load: {step}"))
            .collect(),
        warnings: measured.warnings,
    })
}

/// The coarsest tool that measures the amount to one part in a hundred, since it takes the fewest fillings; failing
/// that the finest. Spoons only where there is nothing else.
fn best_tool<'a>(amount: &Quantity, tools: &'a [Tool]) -> Option<&'a Tool> {
    let fitting: Vec<(&Tool, Exact)> = tools
        .iter()
        .filter_map(|tool| {
            let step = tool.step().ok()?;
            (step.kind() == amount.kind()).then(|| (tool, step.in_base()))
        })
        .collect();
    let real: Vec<&(&Tool, Exact)> = fitting
        .iter()
        .filter(|(t, _)| **t != Tool::Spoons)
        .collect();
    if real.is_empty() {
        return fitting.first().map(|(tool, _)| *tool);
    }
    let base = amount.in_base();
    let near = |step: &Exact| {
        let off = (&base.nearest_to(step) - &base).abs();
        &off * &Exact::from(100) <= base
    };
    real.iter()
        .filter(|(_, step)| near(step))
        .max_by(|a, b| a.1.cmp(&b.1))
        .or_else(|| real.iter().min_by(|a, b| a.1.cmp(&b.1)))
        .map(|(tool, _)| *tool)
}
