//! ligule: from an unknown plant in the lawn to a printed treatment note.
#![forbid(unsafe_code)]
// Unit tests share the sweep's naive reading with `tests/sweep.rs`, which calls this crate by its name.
#[cfg(test)]
extern crate self as ligule;

pub mod amounts;
pub mod calendar;
pub mod choose;
pub mod handbook;
pub mod identify;
pub mod keeper;
pub mod key;
pub mod knowledge;
pub mod lawn;
pub mod measure;
pub mod note;
pub mod paper;
pub mod picture;
pub mod records;
pub mod rotate;
pub mod season;

pub mod tank;
pub mod treatment;
pub mod visit;
pub mod web;
pub mod words;
