//! Rotation: which group to use when, over the coming occasions, so that resistance gets little chance.
//!
//! Every option comes from [`crate::choose::choose`]; nothing that a gate stops there is ever planned. The plan is the
//! cheapest path through the occasions, charged by the points in `resistance.yaml`.
pub mod cost;
pub mod curve;
pub mod genes;
pub mod lawn;
pub mod path;
mod plan;
pub mod share;
pub mod suspect;

pub use cost::{Charge, Past, Rules};
pub use path::{Candidate, cheapest};
pub use plan::{Ask, Occasion, Plan, Planned, Resistant, Rotation, Used, plan, same_again};
