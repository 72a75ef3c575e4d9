//! Limits as labels print them: `1.5 fl oz/1000 sq ft per application`, `2 qt/A/year`, `3 pt/A per season`.

use super::fault::{Fault, FaultKind};
use super::quantity::Quantity;
use super::read::quantity;
use serde::Serialize;
use std::fmt;
use std::str::FromStr;

/// What a limit is counted over.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Each {
    /// One treatment.
    Application,
    /// A year; labels also say season, or "annually".
    Year,
}

impl Each {
    /// The word for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Each::Application => "application",
            Each::Year => "year",
        }
    }
}

/// A figure with what it is counted over, where the text says so.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Limit {
    /// The figure: an amount, or a rate.
    pub amount: Quantity,
    /// What it is counted over; nothing where the text leaves it to the place where it stands.
    pub each: Option<Each>,
}

/// Words at the end of a limit, with what they mean. A growing season is one year on a lawn.
const ENDINGS: [(&str, Each); 12] = [
    ("year", Each::Year),
    ("yr", Each::Year),
    ("calendar year", Each::Year),
    ("12 months", Each::Year),
    ("365 days", Each::Year),
    ("season", Each::Year),
    ("growing season", Each::Year),
    ("annum", Each::Year),
    ("application", Each::Application),
    ("treatment", Each::Application),
    ("appl.", Each::Application),
    ("app.", Each::Application),
];

/// Reads a limit.
///
/// # Errors
/// A [`Fault`] in the figure; [`FaultKind::Trailing`] where two endings stand after each other.
///
/// ```
/// use ligule::measure::limit;
/// let year = limit("2 qt/A/year").unwrap();
/// assert_eq!(year.amount.to_string(), "2 qt/A");
/// assert_eq!(year.to_string(), "2 qt/A/year");
/// ```
pub fn limit(text: &str) -> Result<Limit, Fault> {
    let (figure, each) = without_ending(text);
    if each.is_some() && without_ending(figure).1.is_some() {
        return Err(Fault::at(
            FaultKind::Trailing,
            text,
            figure.len()..text.len(),
            "a limit is counted over one thing",
        )
        .expected("one of `/year` and `/application`"));
    }
    let amount = quantity(figure).map_err(|fault| fault.in_text(text))?;
    Ok(Limit { amount, each })
}

/// The text before an ending such as `/year`, and what the ending means.
fn without_ending(text: &str) -> (&str, Option<Each>) {
    let trimmed = text.trim();
    let lower = trimmed.to_ascii_lowercase();
    for (word, each) in ENDINGS {
        let Some(before) = lower.strip_suffix(word) else {
            continue;
        };
        let before = before.trim_end();
        for sign in ["/", " per", " a", " each"] {
            if let Some(figure) = before.strip_suffix(sign)
                && !figure.trim().is_empty()
            {
                // Lowering ASCII letters keeps every byte in its place.
                return (trimmed[..figure.len()].trim_end(), Some(each));
            }
        }
    }
    (trimmed, None)
}

impl FromStr for Limit {
    type Err = Fault;

    fn from_str(text: &str) -> Result<Self, Fault> {
        limit(text)
    }
}

impl fmt::Display for Limit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.amount)?;
        match self.each {
            Some(each) => write!(f, "/{}", each.word()),
            None => Ok(()),
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(
        clippy::unwrap_used,
        reason = "a test that cannot go on should stop where it is"
    )]
    use super::*;

    #[test]
    fn reads_what_labels_print() {
        for (text, shown) in [
            ("2 qt/A/year", "2 qt/A/year"),
            ("2 qt/A per year", "2 qt/A/year"),
            (
                "1.5 lb a.i. per acre per calendar year",
                "1.5 lb a.i./A/year",
            ),
            ("3 pt/A per season", "3 pt/A/year"),
            ("0.9 oz wt/1000 sq ft a year", "0.9 oz wt/1000 sq ft/year"),
            ("2 pt/A per application", "2 pt/A/application"),
            ("2 pt/A/APPLICATION", "2 pt/A/application"),
            ("2 pt/A", "2 pt/A"),
            ("4 fl oz/year", "4 fl oz/year"),
        ] {
            assert_eq!(limit(text).unwrap().to_string(), shown, "{text}");
        }
    }

    #[test]
    fn refuses_what_is_no_limit() {
        for text in [
            "",
            "/year",
            "year",
            "per year",
            "2 qt/A/application/year",
            "2 qt/A/month",
            "2/A/year",
            "-2 qt/A/year",
            "12,5 oz/A/year",
            "1e3 g/ha/year",
        ] {
            assert!(limit(text).is_err(), "{text}");
        }
        let both = limit("2 qt/A per application per year").unwrap_err();
        assert_eq!(both.kind, FaultKind::Trailing, "{both}");
    }
}
