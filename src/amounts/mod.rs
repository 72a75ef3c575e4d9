//! How much to weigh or pour: product, water and adjuvant for an area, tank by tank, and what it costs.
//! Pure arithmetic on exact quantities; nothing is rounded before [`tool::measure_out`].

pub mod content;
pub mod cost;
pub mod limit;
pub mod loads;
pub mod product;
pub mod solution;
pub mod tool;
