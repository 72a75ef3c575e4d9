//! The terminal face. It holds no rule of the trade: it asks, shows and hands on.
mod amounts;
mod ask;
mod choose;
mod choose_args;
mod choose_more;
mod choose_words;
mod identify;
mod keep;
mod key;
mod knowledge;
mod measure;
mod output;
mod questions;
mod record;
mod rotate;
mod save;
mod season;
mod serve;
mod treat;

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
    /// The whole job: lawn, plant, choice, printed note
    Treat(treat::Arguments),
    /// Find out what a plant is, question by question or from what you saw
    Identify(identify::Arguments),
    /// Choose a class of treatment that is safe on your grass
    Choose(choose::Arguments),
    /// How much of the product in hand, load by load, from the figures of its label
    Amounts(Box<amounts::Arguments>),
    /// Areas, sprayer, spreader, tank: the working shown step by step
    Measure(measure::Arguments),
    /// Print the fixed key: to carry on paper, or as a graph
    Key(key::Arguments),
    /// Degree days, windows of the year, hours fit for treating
    #[command(subcommand)]
    Season(season::Command),
    /// Plan groups over years, illustrate resistance, look for other causes
    #[command(subcommand)]
    Rotate(rotate::Command),
    /// Keep the record of what was done: add, list, correct, observe, limits, export
    #[command(subcommand)]
    Record(Box<record::Command>),
    /// Pages for the phone: the whole job in a browser, without script
    Serve(serve::Arguments),
    /// Check, list and show what the tool knows
    #[command(subcommand)]
    Knowledge(knowledge::Command),
}

/// Runs the program with the arguments of the process.
pub fn run() -> ExitCode {
    let arguments = Arguments::parse();
    let folder = arguments.knowledge.as_deref();
    let result = match &arguments.command {
        Command::Treat(own) => treat::run(own, folder),
        Command::Identify(own) => identify::run(own, folder),
        Command::Choose(own) => choose::run(own, folder),
        Command::Amounts(own) => amounts::run(own, folder),
        Command::Measure(own) => measure::run(own, folder, &mut std::io::stdout().lock()),
        Command::Key(own) => key::run(own, folder),
        Command::Season(command) => season::run(command, folder),
        Command::Rotate(command) => rotate::run(command, folder),
        Command::Record(command) => record::run(command, folder),
        Command::Serve(own) => serve::run(own, folder),
        Command::Knowledge(command) => knowledge::run(command, folder),
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
