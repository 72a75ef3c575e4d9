//! `places/*.yaml`: what to ask whom before treating. Never a statement that something is allowed.
use super::common::{Many, Number, Sources};
use serde::{Deserialize, Serialize};

/// How much a rule or caution weighs. Ordered from the least.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Severity {
    /// Background.
    Inform,
    /// Ask or see to it before applying.
    Check,
    /// Reads as "do not" in the stated case.
    Stop,
}

/// Whom a rule touches.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum AppliesTo {
    /// People who treat their own lawn.
    Homeowner,
    /// People who treat for pay.
    ForHire,
    /// Everybody.
    Both,
}

/// One rule that was read, as a prompt to ask.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Rule {
    /// What it is about (`posting`, `records`).
    pub topic: String,
    /// What was read, in our words.
    pub says: String,
    /// Whom it touches.
    pub applies_to: AppliesTo,
    /// How much it weighs.
    pub severity: Severity,
    /// Actives it names; empty for all.
    #[serde(default, skip_serializing_if = "Many::is_empty")]
    pub actives: Many,
    /// Authority to ask.
    pub verify_with: String,
    /// Date of the source.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub source_date: Option<String>,
    /// Exceptions and notes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
    /// What it rests on.
    pub source: Sources,
}

/// A limit on single actives in this place.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ActiveLimit {
    /// Ids of the actives; `all` for every synthetic lawn herbicide.
    pub actives: Many,
    /// Names of actives without an entry.
    #[serde(default, skip_serializing_if = "Many::is_empty")]
    pub others: Many,
    /// Whether the choice leaves these actives out here.
    #[serde(deserialize_with = "super::common::truth")]
    pub forbids: bool,
    /// Kind of site, where the limit is not general (`golf`, `home lawns`).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub site: Option<String>,
    /// What was read, in our words.
    pub says: String,
    /// Whom it touches.
    pub applies_to: AppliesTo,
    /// How much it weighs.
    pub severity: Severity,
    /// Authority to ask.
    pub verify_with: String,
    /// Date of the rule.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub date: Option<String>,
    /// What it rests on.
    pub source: Sources,
}

/// Which items a rule asks to be written down.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RecordRule {
    /// Name of the rule.
    pub rule: String,
    /// What it covers.
    pub scope: String,
    /// Items it names (ids of `record-fields.yaml`).
    pub fields: Vec<String>,
    /// How soon to write, in words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub write_within: Option<String>,
    /// How long to keep, in words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub keep: Option<String>,
    /// Reports to be sent, in words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub report: Option<String>,
    /// Notes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
    /// What it rests on.
    pub source: Sources,
}

/// A sign to be put up.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Sign {
    /// Who has to put it up.
    pub who: String,
    /// Size, lettering, height, colour, in words.
    pub form: String,
    /// The gist of what it says.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub says: Option<String>,
    /// When it goes up.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub up: Option<String>,
    /// When it comes down.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub down: Option<String>,
    /// What it rests on.
    pub source: Sources,
}

/// A number to call.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HelpLine {
    /// Whose number.
    pub name: String,
    /// The number as dialled; missing where none is confirmed (a blank line is printed).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub number: Option<String>,
    /// When to call.
    pub when: String,
    /// What it rests on.
    pub source: Sources,
}

/// One file of `places/`; the file's name is the id (`us-tx`).
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Place {
    /// Name to show.
    pub name: String,
    /// The place around it, whose rows hold here too.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub within: Option<String>,
    /// The authority to ask in general.
    pub authority: String,
    /// What naming the authority rests on.
    pub authority_source: Sources,
    /// Rules that were read.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub rules: Vec<Rule>,
    /// Limits on single actives.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub active_limits: Vec<ActiveLimit>,
    /// Records.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub records: Vec<RecordRule>,
    /// Signs.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub signs: Vec<Sign>,
    /// Numbers to call.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub help_lines: Vec<HelpLine>,
    /// What is known to be missing (days are never a rule for `keep`).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gaps: Option<String>,
    /// Order of display among places; lower first.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub order: Option<Number>,
}
