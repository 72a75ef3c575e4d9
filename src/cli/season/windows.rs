//! Windows of the year.
use super::{FileArguments, PictureArguments, method, told, word};
use crate::cli::output::{Format, Outcome, print, print_json};
use anyhow::{Result, anyhow};
use clap::Args;
use jiff::civil::Date;
use ligule::knowledge::{Kind, Knowledge};
use ligule::picture;
use ligule::season::days::days;
use ligule::season::table::Finding;
use ligule::season::windows::{self, Overseeding, State, Window};
use serde_json::json;
use std::fmt::Write as _;

#[derive(Debug, Args)]
pub struct Arguments {
    #[command(flatten)]
    file: FileArguments,
    /// A weed, by id or name; may be given several times
    #[arg(long = "weed", value_name = "ID", required = true)]
    weeds: Vec<String>,
    /// The day to look from; the last day of the file if it is not given
    #[arg(long, value_name = "DATE")]
    today: Option<Date>,
    /// Day on which degree days start where a source names none
    #[arg(long, value_name = "DATE")]
    start: Option<Date>,
    /// Way of reckoning where a source names none
    #[arg(long)]
    method: Option<String>,
    /// An active that was or will be used, to compare with the seeding
    #[arg(long = "active", value_name = "ID", requires = "seeding")]
    actives: Vec<String>,
    /// Day of a treatment
    #[arg(long = "treated", value_name = "DATE", requires = "seeding")]
    treated: Vec<Date>,
    /// Day on which grass is to be sown
    #[arg(long, value_name = "DATE")]
    seeding: Option<Date>,
    #[command(flatten)]
    picture: PictureArguments,
    /// How to print
    #[arg(long, value_enum, default_value_t)]
    format: Format,
}

pub fn run(own: &Arguments, book: &Knowledge) -> Result<Outcome> {
    let table = own.file.read()?;
    let (days, more) = days(&table);
    let mut findings = table.findings.clone();
    findings.extend(more);
    let weeds = own
        .weeds
        .iter()
        .map(|w| book.find(Kind::Weed, w))
        .collect::<Result<Vec<_>, _>>()?;
    let actives = own
        .actives
        .iter()
        .map(|a| book.find(Kind::Active, a))
        .collect::<Result<Vec<_>, _>>()?;
    let today = own
        .today
        .or(days.last().map(|d| d.date))
        .ok_or_else(|| anyhow!("the weather file has no days; name one with --today"))?;
    let ask = windows::Ask {
        weeds,
        today,
        start: own.start,
        method: own.method.as_deref().map(method).transpose()?,
    };
    let found = windows::windows(book, &days, &ask);
    let seeding = own.seeding.map_or(Vec::new(), |day| {
        windows::overseeding(book, &actives, &own.treated, day)
    });
    if own.picture.picture.is_some() {
        let (count, running) = windows::curve(book, &days, &ask).ok_or_else(|| {
            anyhow!(
                "no window of these weeds can be reckoned by degree days; try --method and --start"
            )
        })?;
        let unit = if count.fahrenheit { "F" } else { "C" };
        let title = format!(
            "Degree days from {} (base {} {unit}, {}) and windows",
            count.start,
            count.base,
            count.method.id()
        );
        own.picture
            .save(|| picture::degree_days(&title, unit, &running, &found, Some(today)))?;
    }
    let steps: Vec<String> = found
        .iter()
        .map(|w| format!("{}: {}", w.event, w.how))
        .collect();
    match own.format {
        Format::Json => print_json(&json!({
            "schema": "ligule/season-windows/1", "today": today, "results": found, "overseeding": seeding, "findings": findings, "steps": steps,
        }))?,
        Format::Human => print(&report(&findings, &found, &seeding, today))?,
    }
    let clash = seeding.iter().any(|s| s.clash != Some(false));
    Ok(if clash { Outcome::No } else { Outcome::Fine })
}

fn report(findings: &[Finding], found: &[Window], seeding: &[Overseeding], today: Date) -> String {
    let mut text = told(findings);
    let _ = writeln!(text, "Seen from {today}");
    for (state, title) in [
        (State::Open, "Open"),
        (State::Ahead, "Ahead"),
        (State::Past, "Past"),
        (State::CannotTell, "Cannot be told"),
    ] {
        let here: Vec<_> = found.iter().filter(|w| w.state == state).collect();
        if here.is_empty() {
            continue;
        }
        let _ = writeln!(text, "\n{title}");
        for window in here {
            let days = match (window.from, window.to) {
                (Some(from), Some(to)) => format!("{from} to {to}: "),
                (Some(from), None) => format!("from {from}: "),
                _ => String::new(),
            };
            let _ = writeln!(
                text,
                "  - {days}{} [{}]",
                window.text,
                word(window.evidence)
            );
            let _ = writeln!(text, "      {}", window.how);
            if let Some((first, last)) = window.second.filter(|_| state != State::Past) {
                let _ = writeln!(
                    text,
                    "      second half of a split treatment: {first} to {last}"
                );
            }
        }
    }
    if !seeding.is_empty() {
        let _ = writeln!(text, "\nSeeding");
        for line in seeding {
            let _ = writeln!(text, "  - {}", line.text);
        }
    }
    text
}
