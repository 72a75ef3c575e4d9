//! The explanation of a check as text, and all of them as the page `knowledge/CHECKS.md`.
use super::{CHECKS, Check, Piece};
use crate::knowledge::diagnostic::Severity;
use std::fmt::Write as _;

/// The word of a severity, and what it means for the keeper.
#[must_use]
pub fn meaning(severity: Severity) -> (&'static str, &'static str) {
    match severity {
        Severity::Error => ("error", "the book is not used until it is mended"),
        Severity::Warning => (
            "warning",
            "mend it, or say in acknowledged.yaml why it may stay",
        ),
        Severity::Note => ("note", "a gap or a disagreement that is worth knowing"),
    }
}

/// The explanation of one check, for a terminal.
#[must_use]
pub fn explain(check: &Check) -> String {
    let (word, means) = meaning(check.severity);
    let mut text = format!("{} ({word}: {means})\n{}\n\n", check.code, check.title);
    text.push_str(&wrap(check.explanation, 78));
    for (what, pieces) in [("Wrong", check.bad), ("Right", check.good)] {
        let _ = writeln!(text, "\n{what}:");
        for piece in pieces {
            let _ = writeln!(text, "  # {}", piece.file);
            for line in piece.yaml.lines() {
                let _ = writeln!(text, "  {line}");
            }
        }
    }
    text
}

/// Every code with its title, one a line.
#[must_use]
pub fn list() -> String {
    let mut text = String::new();
    let width = CHECKS.iter().map(|c| c.code.len()).max().unwrap_or(0);
    for check in CHECKS {
        let word = meaning(check.severity).0;
        let _ = writeln!(text, "{:width$}  {word:7}  {}", check.code, check.title);
    }
    text
}

/// The page for people who edit the knowledge.
#[must_use]
pub fn markdown() -> String {
    let mut text = String::from(
        "# What `ligule knowledge check` looks for\n\n\
         This page is made from the checks themselves; `ligule knowledge explain CODE` prints one of them. The plants, grasses and \
         actives of the examples are invented.\n\n",
    );
    for severity in [Severity::Error, Severity::Warning, Severity::Note] {
        let (word, means) = meaning(severity);
        let _ = writeln!(text, "- **{word}**: {means}.");
    }
    text.push_str(
        "\nAn acknowledged warning counts as a note. An acknowledgement is an entry of `acknowledged.yaml`:\n\n\
         ```yaml\n- code: inseparable\n  where: false-penny and penny-creeper   # what the warning prints after `about`\n  \
         why: The two differ in the seed alone, and both get the same treatment.\n```\n\n\
         | code | | |\n|---|---|---|\n",
    );
    for check in CHECKS {
        let word = meaning(check.severity).0;
        let _ = writeln!(
            text,
            "| [{0}](#{0}) | {word} | {1} |",
            check.code, check.title
        );
    }
    for check in CHECKS {
        let word = meaning(check.severity).0;
        let _ = writeln!(
            text,
            "\n## {}\n\n**{}** ({word})\n\n{}",
            check.code, check.title, check.explanation
        );
        for (what, pieces) in [("Wrong", check.bad), ("Right", check.good)] {
            let _ = writeln!(text, "\n{what}:\n\n```yaml\n{}```", example(pieces));
        }
    }
    text
}

fn example(pieces: &[Piece]) -> String {
    let lines: Vec<String> = pieces
        .iter()
        .map(|piece| format!("# {}\n{}\n", piece.file, piece.yaml.trim_end()))
        .collect();
    lines.concat()
}

/// Breaks a text into lines of at most `width` characters, at blanks.
fn wrap(text: &str, width: usize) -> String {
    let mut out = String::new();
    let mut line = 0;
    for word in text.split_whitespace() {
        let long = word.chars().count();
        if line > 0 && line + 1 + long > width {
            out.push('\n');
            line = 0;
        } else if line > 0 {
            out.push(' ');
            line += 1;
        }
        out.push_str(word);
        line += long;
    }
    out.push('\n');
    out
}
