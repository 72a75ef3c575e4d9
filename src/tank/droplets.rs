//! Which droplets to spray with.
use crate::knowledge::Knowledge;
use crate::knowledge::fact::Fact;

/// The book's advice on droplets for lawns. The label's own classes come first wherever it gives any.
#[must_use]
pub fn advice(book: &Knowledge) -> Vec<Fact> {
    book.mixing
        .iter()
        .flat_map(|m| super::about(book, &m.calibration, "droplet advice"))
        .collect()
}
