//! What the spray water does to the chosen actives, and how much ammonium sulfate binds its hardness.
use crate::knowledge::Knowledge;
use crate::knowledge::fact::{Fact, with_note};
use crate::knowledge::form::lists::WaterMeasure;
use crate::measure::{Exact, Fault, FaultKind, Quantity, Worked, short, unit};

/// A water, as far as it was measured.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Measured {
    /// pH.
    pub ph: Option<Exact>,
    /// Hardness in parts per million as calcium carbonate.
    pub hardness_ppm: Option<Exact>,
}

/// The book's notes on such water with these actives.
#[must_use]
pub fn notes(book: &Knowledge, water: &Measured, actives: &[String]) -> Vec<Fact> {
    let Some(mixing) = &book.mixing else {
        return Vec::new();
    };
    mixing
        .water_limits
        .iter()
        .filter(|limit| {
            limit.actives.is_empty() || limit.actives.iter().any(|a| actives.contains(a))
        })
        .filter_map(|limit| {
            let (measured, words) = match limit.of {
                WaterMeasure::Ph => (water.ph.as_ref()?, ("Water of pH", "")),
                WaterMeasure::HardnessPpm => {
                    (water.hardness_ppm.as_ref()?, ("Water of hardness", " ppm"))
                }
            };
            let exact =
                |n: crate::knowledge::form::common::Number| Exact::from_digits(&n.0.to_string());
            let from = limit.from.and_then(exact);
            let below = limit.below.and_then(exact);
            let inside = from.is_none_or(|f| *measured >= f) && below.is_none_or(|b| *measured < b);
            inside.then(|| {
                let (word, unit) = words;
                let text = format!("{word} {}{unit}: {}", measured.to_digits(3), limit.text);
                Fact::new(book, with_note(&text, limit.note.as_deref()), &limit.source)
            })
        })
        .collect()
}

/// Ammonium sulfate for 100 gal of water that holds so many ppm of each ion: the sum of ppm x the book's factor.
///
/// # Errors
/// The book has no such factors; an ion that it does not name.
pub fn ammonium_sulfate(
    book: &Knowledge,
    ions: &[(String, Exact)],
) -> Result<(Worked<Quantity>, Fact), Fault> {
    let need = book
        .mixing
        .as_ref()
        .and_then(|m| m.ammonium_sulfate_need.as_ref())
        .ok_or_else(|| Fault::new(FaultKind::Empty, "the book does not say how much"))?;
    let mut total = Exact::zero();
    let mut steps = Vec::new();
    for (ion, ppm) in ions {
        let factor = need.lb_per_100_gal_per_ppm.get(ion).ok_or_else(|| {
            let known: Vec<&str> = need
                .lb_per_100_gal_per_ppm
                .keys()
                .map(String::as_str)
                .collect();
            Fault::new(FaultKind::UnitUnknown, format!("`{ion}` has no factor"))
                .expected(format!("one of {}", known.join(", ")))
        })?;
        if ppm.is_negative() {
            return Err(
                Fault::new(FaultKind::Negative, format!("{ppm} ppm of {ion}"))
                    .expected("nought or more"),
            );
        }
        let factor = Exact::from_digits(&factor.0.to_string()).unwrap_or_else(Exact::zero);
        let part = ppm * &factor;
        steps.push(format!(
            "{ion}: {} ppm x {} = {} lb/100 gal",
            short(ppm),
            short(&factor),
            short(&part)
        ));
        total = total + part;
    }
    let amount = Quantity {
        value: total,
        unit: unit("lb/100 gal")?,
    };
    steps.push(format!("together: {}", amount.short()));
    let fact = Fact::new(
        book,
        with_note(&need.text, need.note.as_deref()),
        &need.source,
    );
    Ok((Worked::new(amount, steps), fact))
}
