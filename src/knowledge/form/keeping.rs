//! `contents.yaml`, `acknowledged.yaml` and `classification.yaml`: what the checks hold the rest of the book against.
use super::common::{Many, Sources};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// `contents.yaml`: kind of entry to the ids that the book holds, so that nothing can get lost unseen.
pub type Contents = BTreeMap<String, Vec<String>>;

/// One entry of `acknowledged.yaml`: a warning that the keeper looked at, and why it may stay.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Acknowledgement {
    /// Code of the check.
    pub code: String,
    /// What it is about, exactly as the warning prints it after `about`.
    #[serde(rename = "where")]
    pub place: Many,
    /// Why it may stay.
    pub why: String,
}

/// A number of the classification of sites of action.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ClassNumber {
    /// The number.
    #[serde(deserialize_with = "super::common::whole")]
    pub number: u16,
    /// The letter that was used for it before.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub former_letter: Option<String>,
    /// The number is not used any more; the present number of what it held.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[serde(deserialize_with = "super::common::whole_list")]
    pub now: Vec<u16>,
    /// A limit or explanation.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
    /// What it rests on.
    pub source: Sources,
}

/// The number that the classification gives an active.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Classified {
    /// Id of the active.
    pub actives: Many,
    /// The present number.
    #[serde(deserialize_with = "super::common::whole")]
    pub number: u16,
    /// A limit or explanation.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
    /// What it rests on.
    pub source: Sources,
}

/// `classification.yaml`: the classification of sites of action as it was read or recalled, apart from the actives' own files.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Classification {
    /// The numbers, present and former.
    pub numbers: Vec<ClassNumber>,
    /// The actives.
    pub members: Vec<Classified>,
}
