//! How much to weigh or pour: product, water and adjuvant for an area, tank by tank, and what it costs.
//! The arithmetic is pure and exact, and nothing is rounded before [`tool::measure_out`]; [`sheet`] puts the lawn file,
//! the label and the book together into the sheet of one spray day.

pub mod content;
pub mod cost;
pub mod leftover;
pub mod limit;
pub mod loads;
pub mod pick;
pub mod portion;
pub mod product;
pub mod reckon;
pub mod sheet;
pub mod solution;
pub mod tool;
