//! The season: weather files, degree days, soil temperature, windows for treatment, and hours fit for spraying.
//!
//! Nothing here reads the clock: days, forecasts and places come in as values.
pub mod air;
pub mod days;
pub mod degree;
pub mod hours;
mod judge;
pub mod strip;
pub mod sun;
pub mod table;
pub mod units;
pub mod windows;
