//! The record of what was done on a lawn: one `SQLite` file beside the lawn file.
//!
//! The record is append-only. A correction is a new entry that points at the one it replaces; a wrong entry is taken back
//! by an entry that says so. Nothing is ever overwritten, and the file itself refuses to let it happen. Every entry that
//! was acknowledged has reached the disk. The library is handed the day and never reads the clock.
mod check;
pub mod csv;
pub mod doubts;
mod entry;
mod error;
pub mod expect;
pub mod fields;
pub mod from_note;
pub mod limits;
pub mod page;
pub mod portable;
mod rate;
mod read;
mod store;
mod verify;
mod write;

pub use entry::{
    ActiveUsed, Application, Entry, LONGEST_TEXT, Observation, Product, Seeding, What, Withdrawal,
};
pub use error::RecordError;
pub use rate::{BadRate, Rate};
pub use read::{Filter, Treated, Use};
pub use store::Store;
pub use verify::Finding;
