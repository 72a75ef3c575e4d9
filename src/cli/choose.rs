//! `ligule choose`: which class of treatment, if any.
use super::output::{Format, Outcome, load, print, print_json};
use anyhow::Result;
use clap::{Args, ValueEnum};
use jiff::civil::Date;
use ligule::choose::{Applicator, Choice, Reason, Request, Treatable, choose};
use ligule::knowledge::Knowledge;
use ligule::records::limits::History;
use ligule::treatment::lawn::air_temperature_f;
use ligule::words::and_list;
use serde::Serialize;
use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

/// Who applies, as typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Who {
    /// On one's own lawn
    Homeowner,
    /// For pay
    ForHire,
}

impl From<Who> for Applicator {
    fn from(who: Who) -> Self {
        match who {
            Who::Homeowner => Self::Homeowner,
            Who::ForHire => Self::ForHire,
        }
    }
}

#[derive(Debug, Args)]
pub struct Arguments {
    /// A weed, by id or name; may be given several times
    #[arg(long = "weed", value_name = "ID", required = true)]
    weeds: Vec<String>,
    /// The grass of the lawn; several for a mixed lawn
    #[arg(long, value_name = "ID", required = true)]
    turf: Vec<String>,
    /// Month of the treatment
    #[arg(long, value_parser = clap::value_parser!(u8).range(1..=12), value_name = "1..12")]
    month: Option<u8>,
    /// Stage of the grass
    #[arg(long, value_name = "ID", default_value = "established")]
    turf_stage: String,
    /// Air temperature of the day with its unit
    #[arg(long, value_name = "84F|29C")]
    air_temp: Option<String>,
    /// What is near: water, garden, trees, slope, neighbour, ...
    #[arg(long, value_name = "LIST", value_delimiter = ',')]
    near: Vec<String>,
    /// The place whose law counts
    #[arg(long, value_name = "ID")]
    place: Option<String>,
    /// Who applies
    #[arg(long, value_enum)]
    applicator: Option<Who>,
    /// The record of this lawn; its intervals, yearly limits and groups then count
    #[arg(long, value_name = "FILE")]
    record: Option<PathBuf>,
    /// The lawn in the record
    #[arg(long, value_name = "NAME", requires = "record")]
    lawn: Option<String>,
    /// Day on which the lawn is to be seeded
    #[arg(long, value_name = "DATE", value_parser = super::record::day)]
    seed_on: Option<Date>,
    /// The day that counts as today
    #[arg(long, value_name = "DATE", value_parser = super::record::day)]
    today: Option<Date>,
    /// How to print
    #[arg(long, value_enum, default_value_t)]
    format: Format,
}

/// The JSON of the answer.
#[derive(Serialize)]
struct Answer<'a> {
    schema: &'static str,
    #[serde(flatten)]
    choice: &'a Choice,
}

pub fn run(arguments: &Arguments, folder: Option<&Path>) -> Result<Outcome> {
    let knowledge = load(folder)?;
    let request = Request {
        weeds: arguments.weeds.clone(),
        turf: arguments.turf.clone(),
        stage: arguments.turf_stage.clone(),
        month: arguments.month,
        air_temp_f: arguments
            .air_temp
            .as_deref()
            .map(air_temperature_f)
            .transpose()?,
        near: arguments
            .near
            .iter()
            .filter(|n| !n.trim().is_empty())
            .cloned()
            .collect(),
        place: arguments.place.clone(),
        applicator: arguments.applicator.map(Applicator::from),
        history: history(arguments, &knowledge)?,
    }
    .check(&knowledge)?;
    let choice = choose(&knowledge, &request);
    match arguments.format {
        Format::Json => print_json(&Answer {
            schema: "ligule/choose/1",
            choice: &choice,
        })?,
        Format::Human => print(&report(&knowledge, &request, &choice))?,
    }
    Ok(if choice.options.is_empty() {
        Outcome::No
    } else {
        Outcome::Fine
    })
}

/// What the record says, and a seeding that is planned.
fn history(arguments: &Arguments, knowledge: &Knowledge) -> Result<Option<History>> {
    let today = arguments
        .today
        .unwrap_or_else(|| jiff::ZonedDateTime::now().date());
    let mut found = match &arguments.record {
        Some(record) => Some(super::record::history(
            knowledge,
            record,
            arguments.lawn.as_deref(),
            today,
        )?),
        None => arguments.seed_on.map(|_| History::none(today)),
    };
    if let Some(history) = &mut found {
        history.seeding_planned = arguments.seed_on;
    }
    Ok(found)
}

/// The answer in lines for people.
pub fn report(book: &Knowledge, request: &Request, choice: &Choice) -> String {
    let mut text = String::new();
    if choice.leave_it.advised {
        let _ = writeln!(text, "Leave it: {}", choice.leave_it.why);
    }
    let _ = writeln!(text, "\nWithout chemicals");
    for advice in choice.without_chemicals.iter().filter(|a| a.weed.is_some()) {
        let _ = writeln!(text, "  - {} [{}]", advice.text, word(advice.evidence));
    }
    if choice.options.is_empty() {
        let _ = writeln!(
            text,
            "\nNothing in the book is proven safe and useful here.{}",
            ask(book)
        );
    } else {
        let _ = writeln!(text, "\nClasses of treatment, best first");
        for (index, option) in choice.options.iter().take(8).enumerate() {
            text.push_str(&lines(book, index + 1, option));
        }
        if choice.options.len() > 8 {
            let _ = writeln!(
                text,
                "  and {} more (--format json lists all)",
                choice.options.len() - 8
            );
        }
    }
    if !choice.uncovered.is_empty() {
        let names: Vec<&str> = choice.uncovered.iter().map(|id| weed(book, id)).collect();
        let _ = writeln!(text, "\nNothing here deals with {}.", and_list(&names));
    }
    text.push_str(&not_offered(choice));
    let _ = writeln!(text, "\nCautions");
    let (stop, rest): (Vec<_>, Vec<_>) = choice
        .cautions
        .iter()
        .partition(|c| c.severity == ligule::knowledge::form::place::Severity::Stop);
    for caution in &stop {
        let _ = writeln!(text, "  ! {}", caution.text);
    }
    let _ = writeln!(
        text,
        "  and {} more for mixing, storing and the site (--format json lists all)",
        rest.len()
    );
    if request.place.is_some() {
        let _ = writeln!(text, "\nLaw: ask before you treat");
        for line in &choice.law {
            let _ = writeln!(text, "  - {} ({})", line.text, line.place);
        }
    } else {
        let _ = writeln!(
            text,
            "\nLaw: no place was given (--place); check with your own authority. A place without rules here is unknown, not free."
        );
    }
    let _ = writeln!(
        text,
        "\nThe label of the product in your hand is the law and outranks all of this."
    );
    text
}

fn ask(book: &Knowledge) -> String {
    book.book
        .as_ref()
        .filter(|b| !b.ask.is_empty())
        .map_or(String::new(), |b| format!(" Ask {}.", b.ask))
}

fn weed<'a>(book: &'a Knowledge, id: &'a str) -> &'a str {
    book.weeds
        .get(id)
        .and_then(|w| w.names.first())
        .map_or(id, String::as_str)
}

fn word(evidence: ligule::knowledge::form::source::Evidence) -> &'static str {
    use ligule::knowledge::form::source::Evidence;
    match evidence {
        Evidence::Published => "published",
        Evidence::Practice => "common practice",
        Evidence::Memory => "from memory",
    }
}

/// Names of actives as written.
pub fn names(book: &Knowledge, ids: &[String]) -> String {
    let names: Vec<&str> = ids
        .iter()
        .map(|id| {
            book.actives
                .get(id)
                .map_or(id.as_str(), |a| a.name.as_str())
        })
        .collect();
    names.join(" + ")
}

fn lines(book: &Knowledge, number: usize, option: &Treatable) -> String {
    let groups: Vec<String> = option.groups.iter().map(ToString::to_string).collect();
    let when = match option.timing {
        ligule::knowledge::form::active::Timing::Pre => "before the weed comes up",
        ligule::knowledge::form::active::Timing::EarlyPost => "on young weeds",
        ligule::knowledge::form::active::Timing::Post => "on the grown weed",
    };
    let mut text = format!(
        "  {number}. {} (group {}), {when}\n",
        names(book, &option.actives),
        groups.join(" and ")
    );
    for why in &option.why {
        let _ = writeln!(text, "     {why}");
    }
    for condition in option.turf.conditions.iter().take(3) {
        let _ = writeln!(text, "     on this grass: {condition}");
    }
    text
}

fn not_offered(choice: &Choice) -> String {
    let mut by_reason: BTreeMap<Reason, Vec<&str>> = BTreeMap::new();
    for excluded in &choice.excluded {
        by_reason
            .entry(excluded.reason)
            .or_default()
            .push(&excluded.detail);
    }
    let mut text = String::from("\nNot offered\n");
    for (reason, details) in by_reason {
        let _ = writeln!(
            text,
            "  {} ({}): {}",
            heading(reason),
            details.len(),
            details[0]
        );
    }
    text.push_str("  (--format json lists every one with its reason)\n");
    text
}

/// A reason as a heading.
pub fn heading(reason: Reason) -> &'static str {
    match reason {
        Reason::TurfInjured => "injures the grass",
        Reason::TurfNotRegistered => "not registered on the grass",
        Reason::TurfNotProven => "not proven on the grass",
        Reason::NotAvailable => "not to be had",
        Reason::Place => "the place",
        Reason::Site => "the site",
        Reason::TooHot => "too hot",
        Reason::TooCold => "too cold",
        Reason::PastEmergence => "too late, the weed is up",
        Reason::OutOfSeason => "not the season",
        Reason::WeedNotControlled => "too weak on the weed",
        Reason::ControlNotProven => "not proven on the weed",
        Reason::IntervalTooShort => "too soon after the last use",
        Reason::YearlyLimit => "the year's limit",
        Reason::SeedingTooSoon => "seeding is planned",
        Reason::TurfTooYoung => "the grass is too young",
        Reason::ResistantHere => "resistance suspected here",
        Reason::TankConflict => "not in one tank",
        Reason::NotNeeded => "not needed",
    }
}
