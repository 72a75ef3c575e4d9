//! `sources.yaml`: every document, practice or memory that values rest on.
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// How far a value can be trusted. Ordered from the strongest to the weakest.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Evidence {
    /// A published text that was really read says so.
    Published,
    /// Common practice of the trade, without a source.
    Practice,
    /// Recalled; nothing was read.
    Memory,
}

/// One entry of `sources.yaml`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Source {
    /// What a value that rests on this source may call itself.
    pub evidence: Evidence,
    /// Author or publishing body.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub by: Option<String>,
    /// Title of the document.
    pub title: String,
    /// Journal, series, publication number.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub publication: Option<String>,
    /// Year as printed ("2007", "about 2013", "not shown").
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub year: Option<String>,
    /// Web address or DOI.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub address: Option<String>,
    /// Kind of document ("extension", "paper", "statute").
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub kind: Option<String>,
    /// How much of it was read ("abstract", "excerpt", "table", "full", "title only", "nothing").
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub read: Option<String>,
    /// How its grades were brought into ours, and other notes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
}
