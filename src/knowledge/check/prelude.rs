//! What every check needs.
pub use super::finding::{At, Findings};
pub use super::plants::{Rated, plants, rated};
pub use super::{Book, Check, Piece};
pub use crate::knowledge::diagnostic::Severity::{Error, Note, Warning};
use crate::words::nearest;

/// "did you mean x?", or `otherwise` where nothing is near.
pub fn mean<'a>(id: &str, ids: impl IntoIterator<Item = &'a str>, otherwise: &str) -> String {
    nearest(id, ids).map_or_else(
        || otherwise.to_owned(),
        |near| format!("did you mean {near}?"),
    )
}

/// A reader's fault: the reader finds it, the check only explains it.
pub fn by_reader(_: &Book<'_>, _: &mut Findings) {}
