//! ligule: from an unknown plant in the lawn to a printed treatment note.
#![forbid(unsafe_code)]
pub mod calendar;
pub mod choose;
pub mod identify;
pub mod key;
pub mod knowledge;
pub mod records;
pub mod visit;
pub mod words;
