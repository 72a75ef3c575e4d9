//! What is odd about a treatment that is written down, and yet no fault: what was done is recorded whatever it was.
use super::entry::Application;
use super::limits::decimal;
use super::rate::Rate;
use crate::knowledge::Knowledge;

/// Amounts that are missing, and amounts beyond what the book knows of an active.
#[must_use]
pub fn doubts(book: &Knowledge, treatment: &Application) -> Vec<String> {
    treatment
        .products
        .iter()
        .flat_map(|p| &p.actives)
        .filter_map(|used| match &used.rate {
            None => Some(format!(
                "the amount of {} is not written down, so its yearly limit cannot be kept",
                used.active
            )),
            Some(rate) => odd(book, &used.active, *rate),
        })
        .collect()
}

fn odd(book: &Knowledge, active: &str, rate: Rate) -> Option<String> {
    let [from, to] = book
        .actives
        .get(active)?
        .dose_bounds
        .as_ref()?
        .lb_per_acre?;
    let (from, to) = (decimal(from.0)?, decimal(to.0)?);
    let given = rate.lb_per_acre();
    (given > to || given < from).then(|| {
        format!(
            "{rate} of {active} is {} lb/acre; the book knows {from} to {to} lb/acre. If it is a slip, correct the entry",
            given.round_dp(4).normalize()
        )
    })
}
