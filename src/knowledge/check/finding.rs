//! A finding before its position is known.
use super::Check;
use crate::knowledge::diagnostic::Severity;
use crate::knowledge::locate::Step;
use crate::words::nearest;

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

/// How many findings of one check are listed. A book with more has one mistake many times, or was made to hurt.
const MOST: usize = 1000;

/// How many names may be tried in all, to find those that were probably meant. In a book of a
/// thousand sources that is enough for a hundred slips.
const MOST_TRIED: usize = 100_000;

/// Where checks put what they find.
#[derive(Debug, Default)]
pub struct Findings {
    now: Option<(&'static str, Severity)>,
    list: Vec<Finding>,
    /// Findings of the check at work.
    told: usize,
    tried: usize,
}

impl Findings {
    /// From here on everything belongs to `check`.
    pub fn begin(&mut self, check: &Check) {
        self.say_what_is_left_out();
        self.now = Some((check.code, check.severity));
    }

    /// One more finding of the check at work.
    pub fn add(&mut self, at: At, message: impl Into<String>) -> &mut Finding {
        let (code, severity) = self.now.unwrap_or(("", Severity::Error));
        self.told += 1;
        // Beyond the most there is one place, written over again and again.
        if self.told > MOST + 1 {
            self.list.pop();
        }
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

    /// "did you mean x?", or `otherwise` where nothing is near or too much was tried already.
    pub fn meant<'a>(
        &mut self,
        id: &str,
        ids: impl IntoIterator<Item = &'a str>,
        otherwise: &str,
    ) -> String {
        let ids: Vec<&str> = ids.into_iter().collect();
        self.tried += ids.len();
        let near = if self.tried > MOST_TRIED {
            None
        } else {
            nearest(id, ids)
        };
        near.map_or_else(
            || otherwise.to_owned(),
            |near| format!("did you mean {near}?"),
        )
    }

    fn say_what_is_left_out(&mut self) {
        if self.told > MOST
            && let Some(last) = self.list.last_mut()
        {
            last.message = format!(
                "{}; and {} more of the kind that are not listed",
                last.message,
                self.told - MOST - 1
            );
        }
        self.told = 0;
    }

    /// Everything that was found.
    #[must_use]
    pub fn into_list(mut self) -> Vec<Finding> {
        self.say_what_is_left_out();
        self.list
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::knowledge::check::find;

    #[test]
    fn one_mistake_many_times_is_listed_in_part_and_counted() {
        let mut found = Findings::default();
        found.begin(find("unknown-id").expect("a check"));
        for index in 0..5000_usize {
            found.add(At::file("a.yaml").to(index), format!("slip {index}"));
        }
        found.begin(find("bad-id").expect("a check"));
        found.add(At::file("a.yaml"), "another");
        let list = found.into_list();
        assert_eq!(list.len(), MOST + 2);
        assert_eq!(list[0].message, "slip 0");
        assert_eq!(
            list[MOST].message,
            "slip 4999; and 3999 more of the kind that are not listed"
        );
        assert_eq!(list[MOST + 1].message, "another");
    }

    #[test]
    fn suggestions_stop_when_too_much_was_tried() {
        let many: Vec<String> = (0..100_000).map(|n| format!("plant-{n}")).collect();
        let ids = || many.iter().map(String::as_str);
        let mut found = Findings::default();
        assert_eq!(
            found.meant("plant-77x", ["plant-77"], "no"),
            "did you mean plant-77?"
        );
        for _ in 0..2 {
            found.meant("plant-77x", ids(), "no");
        }
        assert_eq!(found.meant("plant-77x", ["plant-77"], "no"), "no");
    }
}
