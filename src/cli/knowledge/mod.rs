//! `ligule knowledge …`.
mod check;
mod explain;
mod list;
mod show;

use super::output::{Format, Outcome, load};
use anyhow::Result;
use clap::{Subcommand, ValueEnum};
use ligule::knowledge::Kind;
use std::path::Path;

#[derive(Debug, Subcommand)]
pub enum Command {
    /// Look for mistakes in a knowledge folder
    Check(check::Arguments),
    /// Say what a finding means, with a wrong and a right example
    Explain {
        /// Code of the finding, as printed in brackets; without it all codes are listed
        code: Option<String>,
        /// How to print
        #[arg(long, value_enum, default_value_t)]
        format: Format,
    },
    /// List the ids of one kind
    List {
        /// Kind of entry
        #[arg(value_enum)]
        kind: KindWord,
        /// How to print
        #[arg(long, value_enum, default_value_t)]
        format: Format,
    },
    /// Show one entry with its evidence
    Show {
        /// Kind of entry
        #[arg(value_enum)]
        kind: KindWord,
        /// Id or name of the entry
        id: String,
        /// How to print
        #[arg(long, value_enum, default_value_t)]
        format: Format,
    },
}

/// A kind of entry, as typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum KindWord {
    Weed,
    Turf,
    Active,
    Group,
    Place,
    Trait,
    Source,
    Stage,
    Situation,
}

impl From<KindWord> for Kind {
    fn from(word: KindWord) -> Self {
        match word {
            KindWord::Weed => Self::Weed,
            KindWord::Turf => Self::Turf,
            KindWord::Active => Self::Active,
            KindWord::Group => Self::Group,
            KindWord::Place => Self::Place,
            KindWord::Trait => Self::Trait,
            KindWord::Source => Self::Source,
            KindWord::Stage => Self::Stage,
            KindWord::Situation => Self::Situation,
        }
    }
}

pub fn run(command: &Command, folder: Option<&Path>) -> Result<Outcome> {
    match command {
        Command::Check(arguments) => check::run(arguments, folder),
        Command::Explain { code, format } => explain::run(code.as_deref(), *format),
        Command::List { kind, format } => list::run(&load(folder)?, (*kind).into(), *format),
        Command::Show { kind, id, format } => {
            let book = load(folder)?;
            let id = book.find((*kind).into(), id)?;
            show::run(&book, (*kind).into(), &id, *format)
        }
    }
}
