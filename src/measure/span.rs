//! A figure or a range of figures in one unit.

use super::fault::Fault;
use super::kind::Kind;
use super::quantity::Quantity;
use serde::Serialize;
use std::fmt;

/// A figure or a range of figures in one unit: what a label gives as a rate.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Span {
    /// The lower end.
    pub low: Quantity,
    /// The upper end; the same as the lower when one figure was given.
    pub high: Quantity,
}

impl Span {
    /// Was one figure given?
    #[must_use]
    pub fn is_single(&self) -> bool {
        self.low == self.high
    }

    /// Its kind.
    #[must_use]
    pub fn kind(&self) -> Kind {
        self.low.kind()
    }

    /// Both ends with a change made to each.
    ///
    /// # Errors
    /// Whatever the change gives.
    pub fn each(self, change: impl Fn(Quantity) -> Result<Quantity, Fault>) -> Result<Self, Fault> {
        Ok(Self {
            low: change(self.low)?,
            high: change(self.high)?,
        })
    }
}

impl fmt::Display for Span {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.is_single() {
            return write!(f, "{}", self.low);
        }
        write!(f, "{} to {}", self.low.value, self.high)
    }
}
