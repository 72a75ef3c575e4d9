//! What of a reckoned job belongs into the record: the products with their amounts, and each active per area.
use super::Sheet;
use crate::knowledge::Knowledge;
use crate::lawn::check;
use crate::lawn::label::Label;
use crate::measure::{Exact, Fault, Quantity, unit};
use serde::Serialize;

/// A product as it would be written down if the job is done as it was reckoned.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Recorded {
    /// What the user calls it.
    pub name: String,
    /// Product in all.
    pub total: String,
    /// Product per 1,000 square feet or per 100 square metres of the ground.
    pub rate: String,
    /// Its actives that the book knows.
    pub actives: Vec<RecordedActive>,
}

/// An active per area.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct RecordedActive {
    /// Id.
    pub id: String,
    /// Pounds per acre, as acid equivalent where the label counts so; none where the content is not known.
    pub rate: Option<String>,
}

/// Places of pounds per acre that are kept. The last is rounded up: of two figures the record keeps the one that uses up
/// more of a yearly limit.
const PLACES: i32 = 5;

/// The products of a job. What cannot be reckoned is left for the user to write down.
pub fn recorded(book: &Knowledge, labels: &[&Label<'_>], sheet: &Sheet) -> Vec<Recorded> {
    let Some(reckoned) = &sheet.reckoned else {
        return Vec::new();
    };
    labels
        .iter()
        .zip(&reckoned.totals)
        .map(|(label, total)| {
            let put_on = total.put_on();
            let actives = check::actives(book, label)
                .into_iter()
                .zip(&label.contents)
                .filter_map(|(id, (_, strength))| {
                    let rate = strength
                        .as_ref()
                        .and_then(|s| pounds(&s.content, put_on, &reckoned.area).ok());
                    Some(RecordedActive { id: id?, rate })
                })
                .collect();
            Recorded {
                name: label.product.name.clone(),
                total: put_on.short(),
                rate: per_area(put_on, &reckoned.area).unwrap_or_default(),
                actives,
            }
        })
        .collect()
}

/// `14.1 mL/1000 sq ft`: the amount over the ground, in the units of the two.
fn per_area(put_on: &Quantity, area: &Quantity) -> Option<String> {
    let size = if area.unit.top.us {
        "1000 sq ft"
    } else {
        "100 m2"
    };
    let share = size.parse::<Quantity>().ok()?.in_units_of(area).ok()?;
    Some(format!("{}/{size}", put_on.times(&share).short()))
}

/// Active on the ground, in lb/acre.
fn pounds(content: &Quantity, put_on: &Quantity, area: &Quantity) -> Result<String, Fault> {
    let active = content.on(put_on)?;
    let of = active.kind().of;
    let rate = active.per(area, &unit("lb/A")?.of(of))?.value;
    let up = rate.shifted(PLACES).ceil().shifted(-PLACES);
    Ok(format!("{} lb/acre", decimal(&up)))
}

/// A whole decimal, without the zeros behind it.
fn decimal(value: &Exact) -> String {
    let text = value.to_places(usize::try_from(PLACES).unwrap_or(0));
    let text = text.trim_end_matches('0').trim_end_matches('.');
    text.to_owned()
}
