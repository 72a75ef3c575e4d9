//! What values rest on: nothing without a source, nothing called published that nobody read.
use super::tree::Leaf;
use super::{At, Finding};
use crate::knowledge::diagnostic::Severity;
use crate::knowledge::files::Files;
use crate::knowledge::form::source::Evidence;

pub fn check(files: &Files, leaves: &[Leaf]) -> Vec<Finding> {
    let mut found = Vec::new();
    for leaf in leaves {
        let empty =
            leaf.value.as_array().is_some_and(Vec::is_empty) || leaf.value.as_str() == Some("");
        if leaf.key == "source" && empty {
            found.push(Finding {
                code: "no-evidence",
                severity: Severity::Error,
                message: "this value rests on nothing".to_owned(),
                at: leaf.at.clone(),
                help: Some("name the source that was read, or write `memory`".to_owned()),
                related: None,
            });
        }
    }
    for (id, source) in &files.sources {
        let read = source.read.as_deref().unwrap_or("").to_lowercase();
        let unread = read.is_empty()
            || ["title", "nothing", "none", "n/a"]
                .iter()
                .any(|word| read.starts_with(word));
        if source.evidence == Evidence::Published && unread {
            found.push(Finding {
                code: "published-unread",
                severity: Severity::Error,
                message: format!("{id} calls itself published, but nothing of it was read"),
                at: At {
                    file: "sources".to_owned(),
                    steps: vec![id.into()],
                },
                help: Some(
                    "say in `read` which part was read, or write `evidence: memory`".to_owned(),
                ),
                related: None,
            });
        }
    }
    found
}
