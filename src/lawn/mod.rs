//! The owner's lawn as the lawn file describes it: named areas, sprayer, spreader, measuring tools, water, and the
//! products on the shelf with the figures of their own labels. [`form`] and [`product`] are the file as it is written;
//! [`ground`], [`equipment`] and [`label`] make exact quantities of it; [`check`] holds a label against the book.
pub mod check;
mod dose;
pub mod equipment;
mod error;
mod finding;
pub mod form;
pub mod ground;
pub mod label;
pub mod product;
mod put;
mod slip;
mod written;

pub use error::LawnError;
pub use finding::{Finding, Weight};
pub use written::{Several, Written};
