//! The terminal face. It holds no rule of the trade: it asks, shows and hands on.
mod knowledge;
mod output;

use clap::{Parser, Subcommand};
use output::Outcome;
use std::path::PathBuf;
use std::process::ExitCode;

/// From an unknown plant in the lawn to a printed treatment note.
#[derive(Debug, Parser)]
#[command(name = "ligule", version, arg_required_else_help = true)]
struct Arguments {
    #[command(subcommand)]
    command: Command,
    /// Use the knowledge in this folder instead of the one inside the program
    #[arg(long, global = true, value_name = "DIR")]
    knowledge: Option<PathBuf>,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Check, list and show what the tool knows
    #[command(subcommand)]
    Knowledge(knowledge::Command),
}

/// Runs the program with the arguments of the process.
pub fn run() -> ExitCode {
    let arguments = Arguments::parse();
    let result = match &arguments.command {
        Command::Knowledge(command) => knowledge::run(command, arguments.knowledge.as_deref()),
    };
    match result {
        Ok(Outcome::Fine) => ExitCode::SUCCESS,
        Ok(Outcome::No) => ExitCode::from(1),
        // A reader that went away (`| head`) is no failure.
        Err(error) if output::is_closed_pipe(&error) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("ligule: {error:#}");
            ExitCode::from(2)
        }
    }
}
