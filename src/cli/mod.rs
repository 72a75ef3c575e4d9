//! A stand-in for the terminal face, to run `measure` alone.
mod measure;
mod output;

use clap::{Parser, Subcommand};
use output::Outcome;
use std::process::ExitCode;

/// From an unknown plant in the lawn to a printed treatment note.
#[derive(Debug, Parser)]
#[command(name = "ligule", version, arg_required_else_help = true)]
struct Arguments {
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Reckon areas, sprayers, spreaders and amounts, with the working shown
    Measure(measure::Arguments),
}

/// Runs the program with the arguments of the process.
pub fn run() -> ExitCode {
    let arguments = Arguments::parse();
    let result = match &arguments.command {
        Command::Measure(measure) => measure::run(measure, &mut std::io::stdout().lock()),
    };
    match result {
        Ok(Outcome::Fine) => ExitCode::SUCCESS,
        Ok(Outcome::No) => ExitCode::from(1),
        Err(error) => {
            eprintln!("ligule: {error:#}");
            ExitCode::from(2)
        }
    }
}
