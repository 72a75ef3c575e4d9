//! What a check of a product found.
use crate::knowledge::form::source::Evidence;
use serde::Serialize;

/// How much a finding weighs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Weight {
    /// No amount is given.
    Stop,
    /// The figure is so far off that no amount is given from it.
    Refused,
    /// The user should look again before going on.
    Question,
    /// Good to know.
    Note,
}

/// A finding about a product.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Finding {
    /// Stable code.
    pub code: &'static str,
    /// How much it weighs.
    pub weight: Weight,
    /// Which product.
    pub product: String,
    /// One or two sentences: what was read, what was expected, how to mend it.
    pub text: String,
    /// The most likely slip, where one would explain the figure.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub slip: Option<String>,
    /// What the book's side of it rests on; memory where the book has no part in it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub evidence: Option<Evidence>,
    /// Ids of the sources of the book.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub sources: Vec<String>,
}

impl Finding {
    /// A finding that rests on the label and the lawn file alone.
    pub fn new(code: &'static str, weight: Weight, product: &str, text: impl Into<String>) -> Self {
        Self {
            code,
            weight,
            product: product.to_owned(),
            text: text.into(),
            slip: None,
            evidence: None,
            sources: Vec::new(),
        }
    }

    /// Whether no amount is to be given.
    #[must_use]
    pub fn stops(&self) -> bool {
        matches!(self.weight, Weight::Stop | Weight::Refused)
    }

    /// The text with the likely slip.
    #[must_use]
    pub fn words(&self) -> String {
        match &self.slip {
            Some(slip) => format!("{} {slip}", self.text),
            None => self.text.clone(),
        }
    }
}
