//! What the columns hold, and what their cells say.
use super::{Finding, Mapped};
use crate::season::units::{Quantity, Unit, figure, number};
use crate::words::plain;

pub type Column = (usize, Quantity, Unit);

/// What a cell says that holds no value.
const EMPTY: [&str; 6] = ["", "na", "n/a", "nan", "-", "m"];

/// Reads `quantity=column:unit`, as typed for a column that does not name itself.
///
/// # Errors
/// What is wrong, in one sentence.
pub fn mapped(typed: &str) -> Result<Mapped, String> {
    let form = "write it as quantity=column name:unit, such as tmax=MaxT:F";
    let (quantity, rest) = typed
        .split_once('=')
        .ok_or_else(|| format!("`{typed}` maps nothing; {form}"))?;
    let (column, unit) = rest
        .rsplit_once(':')
        .ok_or_else(|| format!("`{typed}` states no unit; {form}"))?;
    let name = plain(quantity);
    let quantity = Quantity::of_name(&name).ok_or_else(|| {
        let near =
            Quantity::near(&name).map_or(String::new(), |n| format!("; did you mean `{n}`?"));
        format!("`{quantity}` is nothing that a weather file holds{near}")
    })?;
    let unit = Unit::of(unit)
        .filter(|u| quantity.units().contains(u))
        .ok_or_else(|| {
            let words: Vec<&str> = quantity.units().iter().map(|u| u.word()).collect();
            format!(
                "`{unit}` is no unit of {}; it is one of {}",
                quantity.name(),
                words.join(", ")
            )
        })?;
    Ok(Mapped {
        quantity,
        column: column.trim().to_owned(),
        unit,
    })
}

pub fn columns(header: &csv::StringRecord, mapped: &[Mapped]) -> Result<Vec<Column>, String> {
    let mut found: Vec<Column> = Vec::new();
    for own in mapped {
        let index = header.iter().position(|h| h == own.column).ok_or_else(|| {
            let near = crate::words::nearest(&own.column, header.iter());
            format!(
                "there is no column `{}`{}",
                own.column,
                near.map_or(String::new(), |n| format!("; did you mean `{n}`?"))
            )
        })?;
        found.push((index, own.quantity, own.unit));
    }
    for (index, head) in header.iter().enumerate() {
        if found.iter().any(|(i, ..)| *i == index) {
            continue;
        }
        let (name, unit) = named(head);
        let Some(quantity) = Quantity::of_name(&name) else {
            continue;
        };
        let words: Vec<&str> = quantity.units().iter().map(|u| u.word()).collect();
        let Some(unit) = unit else {
            return Err(format!(
                "the column `{head}` states no unit; call it `{head}_{}`, or map it with {}={head}:{} (units: {})",
                words[0],
                quantity.name(),
                words[0],
                words.join(", ")
            ));
        };
        if !quantity.units().contains(&unit) {
            return Err(format!(
                "{} is no unit of the column `{head}`; it is one of {}",
                unit.word(),
                words.join(", ")
            ));
        }
        if found.iter().any(|(_, q, _)| *q == quantity) {
            return Err(format!(
                "two columns hold {}; map the one that is meant",
                quantity.name()
            ));
        }
        found.push((index, quantity, unit));
    }
    if found.is_empty() {
        return Err("no column holds weather that is known here; name columns as tmax_F, tmin_F, temperature_C, soil_C, humidity_%, wind_mph, gust_mph, rain_mm, rain-chance_%, cloud_%, or map them".to_owned());
    }
    Ok(found)
}

/// Parts a column name from its unit: `tmax_F`, `Wind (mph)`, `soil [°C]`.
pub fn named(head: &str) -> (String, Option<Unit>) {
    let head = head.trim();
    if let Some(open) = head.rfind(['(', '['])
        && let Some(unit) = Unit::of(head[open + 1..].trim_end_matches([')', ']']))
    {
        return (plain(&head[..open]), Some(unit));
    }
    if let Some(cut) = head.rfind(['_', ' '])
        && let Some(unit) = Unit::of(&head[cut + 1..])
    {
        return (plain(&head[..cut]), Some(unit));
    }
    (plain(head), None)
}

pub fn value(
    cell: &str,
    quantity: Quantity,
    unit: Unit,
    line: u64,
    found: &mut Vec<Finding>,
) -> Option<f64> {
    let what = quantity.name();
    if EMPTY.contains(&cell.to_lowercase().as_str()) {
        return None;
    }
    let (raw, unit) = if let Some(raw) = number(cell) {
        (raw, unit)
    } else if let Ok((raw, own)) = figure(cell, quantity.units()) {
        if own != unit {
            found.push(Finding {
                code: "mixed-units",
                line,
                message: format!(
                    "{what} is `{cell}` in a column of {}; it was read as {}",
                    unit.word(),
                    own.word()
                ),
            });
        }
        (raw, own)
    } else {
        found.push(Finding {
            code: "no-number",
            line,
            message: format!("{what} is `{cell}`, which is no number; it counts as missing"),
        });
        return None;
    };
    let inside = unit.inside(raw);
    let (low, high) = quantity.range();
    if (low..=high).contains(&inside) {
        return Some(inside);
    }
    let other = quantity
        .units()
        .iter()
        .find(|u| **u != unit && (low..=high).contains(&u.inside(raw)));
    let doubt = other.map_or(String::new(), |u| {
        format!("; is it {} in a column of {}?", u.word(), unit.word())
    });
    found.push(Finding {
        code: "impossible-value",
        line,
        message: format!(
            "{what} of {raw} {} cannot be{doubt}; it counts as missing",
            unit.word()
        ),
    });
    None
}
