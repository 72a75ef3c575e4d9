//! A result with its working: the figures and the lines by which a person can check them by hand.

use super::exact::Exact;
use super::fault::Fault;
use super::quantity::{Quantity, short};
use serde::Serialize;
use std::fmt;

/// A result, how it was reached, and what to mind.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Worked<T> {
    /// The result, exact.
    pub value: T,
    /// The working, one line each, in words and figures.
    pub steps: Vec<String>,
    /// What the user should mind.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub warnings: Vec<String>,
}

impl<T> Worked<T> {
    /// A result with its steps.
    #[must_use]
    pub fn new(value: T, steps: Vec<String>) -> Self {
        Self {
            value,
            steps,
            warnings: Vec::new(),
        }
    }

    /// Adds a warning.
    #[must_use]
    pub fn warn(mut self, warning: impl Into<String>) -> Self {
        self.warnings.push(warning.into());
        self
    }

    /// The result changed, the working kept.
    ///
    /// # Errors
    /// Whatever the change gives.
    pub fn then<U>(self, change: impl FnOnce(T) -> Result<U, Fault>) -> Result<Worked<U>, Fault> {
        Ok(Worked {
            value: change(self.value)?,
            steps: self.steps,
            warnings: self.warnings,
        })
    }
}

impl<T: Figures> Worked<T> {
    /// The form that goes out as JSON; `name` is the calculation, as in `ligule/area/1`.
    #[must_use]
    pub fn answer(&self, name: &str) -> Answer {
        let figures = self.value.figures();
        let (value, unit, results) = match figures.as_slice() {
            [only] => (
                Some(only.value.clone()),
                Some(only.unit.clone()),
                Vec::new(),
            ),
            _ => (None, None, figures),
        };
        let (steps, warnings) = (self.steps.clone(), self.warnings.clone());
        Answer {
            schema: format!("ligule/{name}/1"),
            value,
            unit,
            results,
            steps,
            warnings,
        }
    }
}

/// Results that can be listed by name.
pub trait Figures {
    /// Each result with its name, the most wanted first.
    fn figures(&self) -> Vec<Figure>;
}

impl Figures for Quantity {
    fn figures(&self) -> Vec<Figure> {
        vec![Figure::new("result", self)]
    }
}

impl Figures for Vec<Figure> {
    fn figures(&self) -> Vec<Figure> {
        self.clone()
    }
}

/// One named result.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Figure {
    /// Its name, in lower case with underscores.
    pub name: String,
    /// Its value: every digit where the decimal is finite, else twelve significant ones.
    pub value: String,
    /// Its unit; empty for a plain number.
    pub unit: String,
    /// The value for people: at most six significant digits.
    #[serde(skip)]
    pub short: String,
}

impl Figure {
    /// A named quantity.
    #[must_use]
    pub fn new(name: &str, quantity: &Quantity) -> Self {
        Self::number(name, &quantity.value, &quantity.unit.to_string())
    }

    /// A named number with a unit that is not in the table, such as years.
    #[must_use]
    pub fn number(name: &str, value: &Exact, unit: &str) -> Self {
        Self {
            name: name.to_owned(),
            value: value.to_string(),
            unit: unit.to_owned(),
            short: short(value),
        }
    }

    /// A named word or count.
    #[must_use]
    pub fn plain(name: &str, value: impl fmt::Display) -> Self {
        let value = format!("{value}");
        Self {
            name: name.to_owned(),
            short: value.clone(),
            value,
            unit: String::new(),
        }
    }
}

/// What `--format json` gives for a calculation.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Answer {
    /// `ligule/<calculation>/1`.
    pub schema: String,
    /// The result, when there is one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub value: Option<String>,
    /// Its unit.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub unit: Option<String>,
    /// The results, when there are several.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub results: Vec<Figure>,
    /// The working.
    pub steps: Vec<String>,
    /// What to mind.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub warnings: Vec<String>,
}
