//! What in the lawn file cannot be reckoned with, and where.
use crate::measure::Fault;

/// A figure of the lawn file that does not fit the others.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{place}: {fault}")]
pub struct LawnError {
    /// The spot in the file (`lawn: shelf: clover spray A: water`).
    pub place: String,
    /// What is wrong with it.
    pub fault: Fault,
}

impl LawnError {
    /// A fault at a place, for `map_err`.
    pub fn at(place: impl Into<String>) -> impl FnOnce(Fault) -> Self {
        let place = place.into();
        move |fault| Self { place, fault }
    }
}
