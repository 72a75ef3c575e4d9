//! What every check needs.
pub use super::finding::{At, Findings};
pub use super::plants::{Rated, plants, rated};
pub use super::{Book, Check, Piece};
pub use crate::knowledge::diagnostic::Severity::{Error, Note, Warning};

/// A reader's fault: the reader finds it, the check only explains it.
pub fn by_reader(_: &Book<'_>, _: &mut Findings) {}
