//! Ink on the terminal: bold for headings and warnings, and only where a person looks at it.
//!
//! The commands write plain text. What is bold follows from its form, so that no command has to think of colour, and the
//! words carry everything: the bold adds nothing that is not said.
use clap::ValueEnum;
use std::fmt::Write as _;
use std::io::IsTerminal;
use std::sync::OnceLock;

/// When to use bold type.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, ValueEnum)]
pub enum Color {
    /// On a terminal, unless `NO_COLOR` is set or the terminal is a dumb one
    #[default]
    Auto,
    /// Always
    Always,
    /// Never
    Never,
}

static WANTED: OnceLock<Color> = OnceLock::new();

const BOLD: &str = "\u{1b}[1m";
const PLAIN: &str = "\u{1b}[0m";

/// Settles once for the whole run what the user wants.
pub fn want(color: Color) {
    // Only the first word counts; there is one run in one process.
    let _ = WANTED.set(color);
}

/// Whether bold type goes to a stream.
fn on(stream: &impl IsTerminal) -> bool {
    let plain = || {
        let set = |name: &str| std::env::var_os(name).filter(|v| !v.is_empty());
        set("NO_COLOR").is_some() || set("TERM").is_none_or(|term| term == "dumb")
    };
    match WANTED.get().copied().unwrap_or_default() {
        Color::Always => true,
        Color::Never => false,
        Color::Auto => stream.is_terminal() && !plain(),
    }
}

/// A text for standard output.
pub fn out(text: &str) -> String {
    if on(&std::io::stdout()) {
        dressed(text)
    } else {
        text.to_owned()
    }
}

/// The word before an error on standard error.
pub fn error_word() -> String {
    if on(&std::io::stderr()) {
        format!("{BOLD}ligule:{PLAIN}")
    } else {
        "ligule:".to_owned()
    }
}

/// Makes headings and warnings bold.
fn dressed(text: &str) -> String {
    let mut all = String::with_capacity(text.len() + 64);
    for line in text.split_inclusive('\n') {
        let words = line.trim_end();
        if is_heading(words) || words.trim_start().starts_with("! ") {
            let _ = write!(all, "{BOLD}{words}{PLAIN}{}", &line[words.len()..]);
        } else {
            all.push_str(line);
        }
    }
    all
}

/// A line of its own at the margin that ends with a colon, a question, or a numbered option.
fn is_heading(line: &str) -> bool {
    let at_margin = line.starts_with(|c: char| c.is_alphanumeric());
    let number = line
        .split_once(". ")
        .is_some_and(|(n, _)| !n.is_empty() && n.bytes().all(|b| b.is_ascii_digit()));
    at_margin
        && line.chars().count() <= 100
        && (line.ends_with(':') || line.ends_with('?') || number)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn headings_and_warnings_are_bold_and_nothing_is_lost() {
        let text = "What it may be:\n  dandelion: yes:\n! Wear gloves.\n1. triclopyr\nThe end.\n";
        let bold = dressed(text);
        assert_eq!(bold.replace(BOLD, "").replace(PLAIN, ""), text);
        assert_eq!(bold.matches(BOLD).count(), 3);
        assert!(bold.contains("\u{1b}[1mWhat it may be:\u{1b}[0m\n"));
    }
}
