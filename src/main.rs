//! The `ligule` program: reads the command line, calls the library, and turns the result into an exit code.
#![forbid(unsafe_code)]
mod cli;

use std::process::ExitCode;

fn main() -> ExitCode {
    cli::run()
}
