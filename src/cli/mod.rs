//! The terminal face. It holds no rule of the trade: it asks, shows and hands on.
mod amounts;
mod ask;
mod beside;
mod choose;
mod choose_args;
mod choose_more;
mod choose_words;
mod examples;
mod identify;
mod interview;
mod keep;
mod key;
mod knowledge;
mod measure;
mod output;
mod progress;
mod questions;
mod record;
mod rotate;
mod save;
mod season;
mod serve;
mod settings;
mod shell;
mod style;
mod treat;

use clap::{CommandFactory, FromArgMatches, Parser, Subcommand};
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
    /// Bold type for headings and warnings
    #[arg(
        long,
        global = true,
        value_enum,
        default_value_t,
        value_name = "WHEN",
        hide_possible_values = true
    )]
    color: style::Color,
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
    /// Show what is settled once for all runs, and where each value comes from
    Config(settings::Arguments),
    /// Print what a shell needs to complete commands
    Completions(shell::Completions),
    /// Print the manual page
    Manual(shell::Manual),
}

/// The description of the command line, with examples.
fn program() -> clap::Command {
    examples::put_first(Arguments::command())
}

/// Runs the program with the arguments of the process.
pub fn run() -> ExitCode {
    let settings = match settings::Settings::read() {
        Ok(settings) => settings,
        Err(error) => return failed(&error),
    };
    let matches = settings.put_into(program()).get_matches();
    let arguments = Arguments::from_arg_matches(&matches).unwrap_or_else(|error| error.exit());
    style::want(arguments.color);
    let folder = arguments.knowledge.as_deref();
    if let Err(error) = identify::check_flags(&matches) {
        return failed(&error);
    }
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
        Command::Config(own) => settings::show(own, &settings),
        Command::Completions(own) => shell::completions(own, program()),
        Command::Manual(own) => shell::manual(own, program()),
    };
    match result {
        Ok(Outcome::Fine) => ExitCode::SUCCESS,
        Ok(Outcome::No) => ExitCode::from(1),
        // A reader that went away (`| head`) is no failure.
        Err(error) if output::is_closed_pipe(&error) => ExitCode::SUCCESS,
        Err(error) => failed(&error),
    }
}

fn failed(error: &anyhow::Error) -> ExitCode {
    eprintln!("{} {}", style::error_word(), output::chain(error));
    ExitCode::from(2)
}
