//! A finding about the knowledge: what, where, why and how to mend it.
use serde::Serialize;
use std::fmt;

/// How bad a finding is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Severity {
    /// The knowledge cannot be used like this.
    Error,
    /// Probably a slip.
    Warning,
    /// Worth knowing.
    Note,
}

/// A spot in a knowledge file. Lines and columns count from 1, columns in characters.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct Spot {
    /// Path of the file as the user knows it.
    pub file: String,
    /// Line.
    pub line: usize,
    /// Column.
    pub column: usize,
    /// The text of that line, cut to a readable length around the column.
    #[serde(skip)]
    pub text: String,
    /// How many characters of the line were cut away before `text`.
    #[serde(skip)]
    cut: usize,
}

/// One finding.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Diagnostic {
    /// Stable code of the check.
    pub code: &'static str,
    /// How bad it is.
    pub severity: Severity,
    /// What is wrong, in a sentence.
    pub message: String,
    /// What it is about, in words that do not change with positions: what an acknowledgement names.
    pub about: String,
    /// Why the keeper lets it stay; then it counts as a note.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub acknowledged: Option<String>,
    /// Where.
    #[serde(flatten)]
    pub spot: Spot,
    /// How to mend it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub help: Option<String>,
    /// The other end of a conflict, with what stands there.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub related: Vec<Related>,
}

/// Another spot that belongs to a finding.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Related {
    /// What stands there.
    pub message: String,
    /// Where.
    #[serde(flatten)]
    pub spot: Spot,
}

/// Longest piece of a source line that is shown, in characters.
const LINE_SHOWN: usize = 160;

impl Spot {
    /// The spot at `line` and `column` of `text`, both brought inside the text.
    #[must_use]
    pub fn new(file: &str, text: &str, line: usize, column: usize) -> Self {
        let lines: Vec<&str> = text.lines().collect();
        Self::in_lines(file, &lines, line, column)
    }

    /// The same for a text that was split into lines before.
    #[must_use]
    pub fn in_lines(file: &str, lines: &[&str], line: usize, column: usize) -> Self {
        let line = line.clamp(1, lines.len().max(1));
        let found = lines
            .get(line - 1)
            .unwrap_or(&"")
            .trim_start_matches('\u{feff}');
        let column = column.clamp(1, found.chars().take(column).count() + 1);
        // A line may be as long as the file, and may hold thousands of findings: none keeps more of it than is shown.
        let cut = column.saturating_sub(LINE_SHOWN / 2);
        Self {
            file: file.to_owned(),
            line,
            column,
            text: found.chars().skip(cut).take(LINE_SHOWN).collect(),
            cut,
        }
    }

    /// The line with a mark under the column, both cut to a readable length.
    fn excerpt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let number = self.line.to_string();
        let shown: String = self
            .text
            .chars()
            .map(|c| if c.is_control() { ' ' } else { c })
            .collect();
        let indent = " ".repeat(self.column - 1 - self.cut.min(self.column - 1));
        writeln!(f, "  {number} | {shown}")?;
        writeln!(f, "  {} | {indent}^", " ".repeat(number.len()))
    }
}

impl fmt::Display for Spot {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}:{}", self.file, self.line, self.column)
    }
}

impl Diagnostic {
    /// A fault that was met while reading.
    #[must_use]
    pub fn error(code: &'static str, message: String, spot: Spot, help: String) -> Self {
        Self {
            code,
            severity: Severity::Error,
            message,
            about: String::new(),
            acknowledged: None,
            spot,
            help: Some(help),
            related: Vec::new(),
        }
    }
}

impl fmt::Display for Diagnostic {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let word = match self.severity {
            Severity::Error => "error",
            Severity::Warning => "warning",
            Severity::Note => "note",
        };
        writeln!(f, "{}: {word} [{}]: {}", self.spot, self.code, self.message)?;
        self.spot.excerpt(f)?;
        for other in &self.related {
            writeln!(f, "  {}: {}", other.spot, other.message)?;
            other.spot.excerpt(f)?;
        }
        if let Some(help) = &self.help {
            writeln!(f, "  mend: {help}")?;
        }
        if let Some(why) = &self.acknowledged {
            writeln!(f, "  acknowledged: {why}")?;
        } else if self.severity == Severity::Warning {
            writeln!(f, "  about: {}", self.about)?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_spot_outside_the_text_is_brought_inside() {
        let spot = Spot::new("a.yaml", "one\ntwo", 9, 99);
        assert_eq!((spot.line, spot.column), (2, 4));
        assert_eq!(Spot::new("a.yaml", "", 0, 0), Spot::new("a.yaml", "", 1, 1));
    }

    #[test]
    fn a_finding_reads_as_where_what_line_and_help() {
        let finding = Diagnostic {
            code: "unknown-id",
            severity: Severity::Error,
            message: "no trait is called stem".to_owned(),
            about: String::new(),
            acknowledged: None,
            spot: Spot::new("weeds/a.yaml", "traits:\n  stem: {}\n", 2, 3),
            help: Some("write stem_section".to_owned()),
            related: Vec::new(),
        };
        assert_eq!(
            finding.to_string(),
            "weeds/a.yaml:2:3: error [unknown-id]: no trait is called stem\n  2 |   stem: {}\n    |   ^\n  mend: write stem_section\n"
        );
    }

    #[test]
    fn a_very_long_line_is_cut_around_the_column() {
        let text = "x".repeat(5000);
        let finding = Spot::new("a", &text, 1, 3000);
        let shown = Diagnostic {
            code: "c",
            severity: Severity::Note,
            message: String::new(),
            about: String::new(),
            acknowledged: None,
            spot: finding,
            help: None,
            related: Vec::new(),
        }
        .to_string();
        assert!(shown.lines().all(|l| l.chars().count() < 200), "{shown}");
    }
}
