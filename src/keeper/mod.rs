//! Help for those who keep the knowledge: schemas for editors, files to fill in, cases that must keep holding.
pub mod cases;
pub mod fresh;
pub mod ids;
pub mod schema;
