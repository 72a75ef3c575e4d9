//! What can be wrong with a text or a calculation, in one value: what was read, where, what was
//! expected, and how to mend it. All wording is made where the fault is found.

use serde::Serialize;
use std::fmt;
use std::ops::{Deref, Range};

/// The sort of fault, for programs and tests. People read the sentence.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum FaultKind {
    /// Nothing was given.
    Empty,
    /// Longer than any label's figure.
    TooLong,
    /// A number was expected or is written in a way that is not taken.
    Number,
    /// Below nought.
    Negative,
    /// A division by nought, or nought where there must be something.
    Zero,
    /// A unit is missing.
    UnitMissing,
    /// A unit that is not known.
    UnitUnknown,
    /// A text with two readings.
    Ambiguous,
    /// A unit of another kind than is needed.
    WrongKind,
    /// A range where one figure is needed, or one that runs backwards.
    Range,
    /// Something left over after the figure.
    Trailing,
    /// A shape that does not hold.
    Shape,
    /// Above what the label allows.
    OverMaximum,
    /// The measuring tool cannot show the amount.
    Tool,
    /// Figures that contradict each other or cannot be worked with.
    Figures,
}

/// A fault in a text or a calculation. Its parts are boxed, so that results stay small.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(transparent)]
pub struct Fault(Box<Parts>);

/// The parts of a [`Fault`], read through it: `fault.kind`.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Parts {
    /// The sort of fault.
    pub kind: FaultKind,
    /// What is wrong, as a clause.
    pub message: String,
    /// The whole text that was read, when there was one.
    pub text: Option<String>,
    /// The bytes of `text` that the fault lies at.
    pub at: Option<Range<usize>>,
    /// What was expected instead.
    pub expected: Option<String>,
    /// How to mend it.
    pub hint: Option<String>,
}

impl Deref for Fault {
    type Target = Parts;

    fn deref(&self) -> &Parts {
        &self.0
    }
}

impl Fault {
    /// A fault without a text.
    #[must_use]
    pub fn new(kind: FaultKind, message: impl Into<String>) -> Self {
        Self(Box::new(Parts {
            kind,
            message: message.into(),
            text: None,
            at: None,
            expected: None,
            hint: None,
        }))
    }

    /// A fault at some bytes of a text.
    #[must_use]
    pub fn at(kind: FaultKind, text: &str, at: Range<usize>, message: impl Into<String>) -> Self {
        let mut fault = Self::new(kind, message).in_text(text);
        fault.0.at = Some(at);
        fault
    }

    /// The same fault, shown in another text than the one where it was found.
    #[must_use]
    pub fn in_text(mut self, text: &str) -> Self {
        self.0.text = Some(text.to_owned());
        self.0.at = None;
        self
    }

    /// Says what was expected.
    #[must_use]
    pub fn expected(mut self, what: impl Into<String>) -> Self {
        self.0.expected = Some(what.into());
        self
    }

    /// Says how to mend it.
    #[must_use]
    pub fn hint(mut self, how: impl Into<String>) -> Self {
        self.0.hint = Some(how.into());
        self
    }

    /// Puts the name of the figure before the message: `the label's rate: …`.
    #[must_use]
    pub fn of(mut self, figure: &str) -> Self {
        self.0.message = format!("{figure}: {}", self.message);
        self
    }

    /// The column of the fault in its text, counted in characters from 1.
    #[must_use]
    pub fn column(&self) -> Option<usize> {
        let (text, at) = (self.text.as_ref()?, self.at.as_ref()?);
        text.get(..at.start)
            .map(|before| before.chars().count() + 1)
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.message)?;
        if let Some(text) = &self.text {
            write!(f, " (in `{}`", shortened(text))?;
            if let Some(column) = self.column() {
                write!(f, ", character {column}")?;
            }
            f.write_str(")")?;
        }
        if let Some(expected) = &self.expected {
            write!(f, "; expected {expected}")?;
        }
        if let Some(hint) = &self.hint {
            write!(f, "; {hint}")?;
        }
        Ok(())
    }
}

impl std::error::Error for Fault {}

/// A long text is cut for the message; the fault keeps it whole.
fn shortened(text: &str) -> String {
    let printable: String = text
        .chars()
        .map(|c| if c.is_control() { '\u{fffd}' } else { c })
        .collect();
    if printable.chars().count() <= 60 {
        return printable;
    }
    printable.chars().take(60).chain(['…']).collect()
}

#[cfg(test)]
mod tests {
    #![allow(
        clippy::unwrap_used,
        reason = "a test that cannot go on should stop where it is"
    )]
    use super::*;

    #[test]
    fn says_what_where_and_how() {
        let fault = Fault::at(
            FaultKind::Number,
            "12,5 oz",
            2..3,
            "a comma is not a decimal point",
        )
        .expected("a number such as 12.5")
        .hint("write `12.5`");
        assert_eq!(
            fault.to_string(),
            "a comma is not a decimal point (in `12,5 oz`, character 3); expected a number such as 12.5; write `12.5`"
        );
    }

    #[test]
    fn columns_count_characters() {
        assert_eq!(
            Fault::at(FaultKind::Number, "½x", 2..3, "x").column(),
            Some(2)
        );
    }
}
