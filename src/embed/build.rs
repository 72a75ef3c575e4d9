//! Gathers the knowledge folder into the program.
fn main() {}
