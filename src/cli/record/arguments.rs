//! What the commands about the record take.
use super::draft;
use crate::cli::output::Format;
use anyhow::Result;
use clap::{Args, Subcommand, ValueEnum};
use jiff::civil::Date;
use ligule::records::{Filter, Observation, Store};
use rust_decimal::Decimal;
use std::path::PathBuf;

/// What to do with the record.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Write down a treatment: from a note, by flags, or question by question
    Add(Add),
    /// Show what was done
    List(List),
    /// Replace an entry by a better one, or take it back; the old one stays in the file
    Correct(Correct),
    /// Write down what is seen some days after a treatment
    Observe(Observe),
    /// Write down a seeding or a laying of sod
    Seeded(Seeded),
    /// Show what still holds: intervals, the year's amounts, groups, seeding, mowing, clippings
    Limits(Limits),
    /// List the items that rules ask to be written down
    Fields(Fields),
    /// Print the record as a table, as JSON, as a page or as a calendar
    Export(Export),
    /// Take in entries of another record
    Import(Import),
    /// Write a whole copy
    Backup(Backup),
    /// Check that the record is whole
    Verify(Verify),
}

/// What every command about the record takes.
#[derive(Debug, Args)]
pub struct Common {
    /// The file of the record
    #[arg(long, value_name = "FILE", default_value = "lawn-record.db")]
    pub record: PathBuf,
    /// The day that counts as today
    #[arg(long, value_name = "DATE", value_parser = day)]
    pub today: Option<Date>,
    /// How to print
    #[arg(long, value_enum, default_value_t)]
    pub format: Format,
}

impl Common {
    pub fn today(&self) -> Date {
        self.today
            .unwrap_or_else(|| jiff::ZonedDateTime::now().date())
    }

    pub fn open(&self) -> Result<Store> {
        Ok(Store::open(&self.record)?)
    }
}

/// A day as the command line takes it.
pub fn day(typed: &str) -> Result<Date, String> {
    match typed.parse::<Date>() {
        // The parser also takes 20260510 and drops times; one form is enough.
        Ok(date) if date.to_string() == typed => Ok(date),
        _ => Err("write year, month and day as 2026-05-10".to_owned()),
    }
}

#[derive(Debug, Args)]
pub struct Add {
    #[command(flatten)]
    pub common: Common,
    #[command(flatten)]
    pub treatment: draft::Flags,
    /// Take the plan from this note (treatment-note.json)
    #[arg(long, value_name = "FILE", conflicts_with = "details")]
    pub note: Option<PathBuf>,
    /// Take the whole treatment from this JSON, as `record export --as json` writes it under `details`
    #[arg(long, value_name = "FILE")]
    pub details: Option<PathBuf>,
    /// Ask for what the flags leave out
    #[arg(long)]
    pub ask: bool,
}

#[derive(Debug, Args)]
pub struct List {
    #[command(flatten)]
    pub common: Common,
    #[command(flatten)]
    pub which: Which,
    /// Also entries that were corrected or taken back
    #[arg(long)]
    pub all: bool,
}

/// Which entries.
#[derive(Debug, Args)]
pub struct Which {
    /// Of this year
    #[arg(long, value_name = "YEAR", conflicts_with_all = ["from", "to"], value_parser = clap::value_parser!(i16).range(1..=9999))]
    pub year: Option<i16>,
    /// From this day on
    #[arg(long, value_name = "DATE", value_parser = day)]
    pub from: Option<Date>,
    /// Up to this day
    #[arg(long, value_name = "DATE", value_parser = day)]
    pub to: Option<Date>,
    /// Of this lawn
    #[arg(long, value_name = "NAME")]
    pub lawn: Option<String>,
}

impl Which {
    pub fn filter(&self, superseded: bool) -> Filter {
        let year = |month, day| self.year.map(|y| jiff::civil::date(y, month, day));
        Filter {
            from: self.from.or(year(1, 1)),
            to: self.to.or(year(12, 31)),
            lawn: self.lawn.clone(),
            superseded,
        }
    }
}

#[derive(Debug, Args)]
pub struct Correct {
    /// The entry: its number, or the beginning of its uid
    pub entry: String,
    /// Why it is corrected
    #[arg(long, value_name = "TEXT")]
    pub why: String,
    /// Take it back altogether
    #[arg(long)]
    pub withdraw: bool,
    #[command(flatten)]
    pub common: Common,
    #[command(flatten)]
    pub treatment: draft::Flags,
    #[command(flatten)]
    pub seen: SeenFlags,
}

#[derive(Debug, Args)]
pub struct Observe {
    /// The treatment: the number of its entry, or the beginning of its uid
    pub entry: String,
    /// Day of looking; today where it is missing
    #[arg(long, value_name = "DATE", value_parser = day)]
    pub date: Option<Date>,
    #[command(flatten)]
    pub common: Common,
    #[command(flatten)]
    pub seen: SeenFlags,
    /// Anything else
    #[arg(long, value_name = "TEXT")]
    pub remarks: Option<String>,
    /// The weed that was looked at; all weeds of the treatment where it is missing
    #[arg(long, value_name = "ID")]
    pub weed: Option<String>,
}

#[derive(Debug, Args)]
pub struct SeenFlags {
    /// Percent of the weed that is gone or dying
    #[arg(long, value_name = "0..100")]
    pub control: Option<Decimal>,
    /// Percent of the grass that is injured
    #[arg(long, value_name = "0..100")]
    pub injury: Option<Decimal>,
    /// What the injury looks like
    #[arg(long, value_name = "TEXT")]
    pub injury_looks: Option<String>,
    /// The weed withstood it, and other causes have been ruled out
    #[arg(long)]
    pub suspect_resistance: bool,
}

impl SeenFlags {
    pub fn given(&self) -> bool {
        self.control.is_some()
            || self.injury.is_some()
            || self.injury_looks.is_some()
            || self.suspect_resistance
    }

    pub fn over(&self, seen: &mut Observation) {
        seen.control_percent = self.control.or(seen.control_percent);
        seen.injury_percent = self.injury.or(seen.injury_percent);
        seen.injury = self.injury_looks.clone().or(seen.injury.take());
        seen.resistance_suspected |= self.suspect_resistance;
    }
}

#[derive(Debug, Args)]
pub struct Seeded {
    /// Day of seeding; today where it is missing
    #[arg(long, value_name = "DATE", value_parser = day)]
    pub date: Option<Date>,
    /// The lawn
    #[arg(long, value_name = "NAME")]
    pub lawn: Option<String>,
    /// The grass; may be given several times
    #[arg(long, value_name = "ID")]
    pub turf: Vec<String>,
    /// Anything else
    #[arg(long, value_name = "TEXT")]
    pub remarks: Option<String>,
    #[command(flatten)]
    pub common: Common,
}

#[derive(Debug, Args)]
pub struct Limits {
    /// Of this lawn
    #[arg(long, value_name = "NAME")]
    pub lawn: Option<String>,
    #[command(flatten)]
    pub common: Common,
}

#[derive(Debug, Args)]
pub struct Fields {
    /// The place whose rules count
    #[arg(long, value_name = "ID")]
    pub place: Option<String>,
    /// How to print
    #[arg(long, value_enum, default_value_t)]
    pub format: Format,
}

/// Form of an export.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Form {
    /// A table for a spreadsheet
    Csv,
    /// Everything, to be imported again
    Json,
    /// An HTML page to print
    Page,
    /// Days to keep, as an iCalendar file
    Calendar,
}

#[derive(Debug, Args)]
pub struct Export {
    /// The form
    #[arg(long = "as", value_enum, value_name = "FORM")]
    pub form: Form,
    /// The file to write; standard output where it is missing
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
    /// Write over an older file
    #[arg(long)]
    pub force: bool,
    #[command(flatten)]
    pub which: Which,
    #[command(flatten)]
    pub common: Common,
}

#[derive(Debug, Args)]
pub struct Import {
    /// A .csv or .json file (- for JSON from standard input)
    pub file: PathBuf,
    #[command(flatten)]
    pub common: Common,
}

#[derive(Debug, Args)]
pub struct Backup {
    /// The file to write; it must not be there yet
    pub to: PathBuf,
    #[command(flatten)]
    pub common: Common,
}

#[derive(Debug, Args)]
pub struct Verify {
    #[command(flatten)]
    pub common: Common,
}
