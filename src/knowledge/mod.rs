//! The knowledge: read from a folder of YAML or from the copy inside the program, checked and indexed.
pub mod form;
