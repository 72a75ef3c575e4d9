//! ligule: from an unknown plant in the lawn to a printed treatment note.
#![forbid(unsafe_code)]
pub mod choose;
pub mod identify;
pub mod key;
pub mod knowledge;
pub mod picture;
pub mod rotate;
pub mod season;
pub mod visit;
pub mod words;
