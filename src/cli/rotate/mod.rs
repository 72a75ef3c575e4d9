//! `ligule rotate …`: a plan over years, the model of resistance, and suspected resistance.
mod compare;
mod lawn;
mod plan;
mod share;
mod suspect;

use crate::cli::output::{Outcome, load};
use anyhow::Result;
use clap::Subcommand;
use std::path::Path;

#[derive(Debug, Subcommand)]
pub enum Command {
    /// Plan which group to use on the coming occasions
    Plan(plan::Arguments),
    /// Compare the same again with the plan, as an illustration
    Compare(compare::Arguments),
    /// The classic reckoning of the share of resistant plants
    Share(share::Arguments),
    /// Go through other causes before resistance is suspected
    Suspect(suspect::Arguments),
}

pub fn run(command: &Command, folder: Option<&Path>) -> Result<Outcome> {
    match command {
        Command::Plan(own) => plan::run(own, &load(folder)?),
        Command::Compare(own) => compare::run(own, &load(folder)?),
        Command::Share(own) => share::run(own),
        Command::Suspect(own) => suspect::run(own, &load(folder)?),
    }
}
