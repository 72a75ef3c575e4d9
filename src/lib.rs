//! ligule: from an unknown plant in the lawn to a printed treatment note.
#![forbid(unsafe_code)]
pub mod amounts;
pub mod knowledge;
pub mod measure;
