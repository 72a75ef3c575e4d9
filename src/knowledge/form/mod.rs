//! The form of the knowledge files: plain structs, one for each kind of file, exactly as they are written.
//!
//! Unknown keys are errors, so that a misspelt key is never ignored.
pub mod active;
pub mod calendar;
pub mod common;
pub mod keeping;
pub mod lists;
pub mod mixing;
pub mod place;
pub mod plant;
pub mod rating;
pub mod resistance;
pub mod season;
pub mod source;
