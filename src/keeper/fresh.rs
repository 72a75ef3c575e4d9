//! Fresh files to fill in.
