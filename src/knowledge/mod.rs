//! The knowledge: read from a folder of YAML or from the copy inside the program, checked and indexed.
pub mod check;
pub mod diagnostic;
mod embedded;
pub mod fact;
pub mod files;
pub mod folder;
pub mod form;
mod load;
pub mod locate;
mod lookup;
mod parallel;
pub mod read;
pub mod sketches;
mod slips;
pub mod verdict;

pub use load::{Knowledge, LoadError, Report};
pub use lookup::{Kind, UnknownName};
