//! A finding before its position is known.
use super::Check;
use crate::knowledge::diagnostic::Severity;
use crate::knowledge::locate::Step;

/// A value in a file, by the keys that lead to it.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct At {
    /// Path of the file in the knowledge folder; `sources` for whichever file defines the source.
    pub file: String,
    /// Keys and indexes from the top of the file.
    pub steps: Vec<Step>,
}

impl At {
    /// The top of a file.
    #[must_use]
    pub fn file(path: impl Into<String>) -> Self {
        Self {
            file: path.into(),
            steps: Vec::new(),
        }
    }

    /// A step further down: into a key or into an entry of a list.
    #[must_use]
    pub fn to(mut self, step: impl Into<Step>) -> Self {
        self.steps.push(step.into());
        self
    }

    /// The place in words that survive an edit elsewhere in the file: keys, no positions in lists.
    #[must_use]
    pub fn words(&self) -> String {
        let mut words = self.file.clone();
        for step in &self.steps {
            if let Step::Key(key) = step {
                words.push(if words == self.file { ' ' } else { '.' });
                words.push_str(key);
            }
        }
        words
    }
}

/// A finding before its position is known.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// Stable code of the check.
    pub code: &'static str,
    /// How bad it is.
    pub severity: Severity,
    /// What is wrong.
    pub message: String,
    /// What it is about, in words that stay the same while the file is edited elsewhere.
    pub about: String,
    /// Where.
    pub at: At,
    /// How to mend it.
    pub help: Option<String>,
    /// The other ends of a conflict, with what stands there.
    pub related: Vec<(String, At)>,
    /// Why the keeper lets a warning stay; then it is a note.
    pub acknowledged: Option<String>,
}

impl Finding {
    /// How to mend it.
    pub fn help(&mut self, help: impl Into<String>) -> &mut Self {
        self.help = Some(help.into());
        self
    }

    /// The other end of a conflict.
    pub fn also(&mut self, message: impl Into<String>, at: At) -> &mut Self {
        self.related.push((message.into(), at));
        self
    }

    /// What it is about, where the place alone would not tell two findings apart.
    pub fn about(&mut self, about: impl Into<String>) -> &mut Self {
        self.about = about.into();
        self
    }
}

/// Where checks put what they find.
#[derive(Debug, Default)]
pub struct Findings {
    now: Option<(&'static str, Severity)>,
    list: Vec<Finding>,
}

impl Findings {
    /// From here on everything belongs to `check`.
    pub fn begin(&mut self, check: &Check) {
        self.now = Some((check.code, check.severity));
    }

    /// One more finding of the check at work.
    pub fn add(&mut self, at: At, message: impl Into<String>) -> &mut Finding {
        let (code, severity) = self.now.unwrap_or(("", Severity::Error));
        let at_end = self.list.len();
        self.list.push(Finding {
            code,
            severity,
            message: message.into(),
            about: at.words(),
            at,
            help: None,
            related: Vec::new(),
            acknowledged: None,
        });
        &mut self.list[at_end]
    }

    /// Everything that was found.
    #[must_use]
    pub fn into_list(self) -> Vec<Finding> {
        self.list
    }
}
