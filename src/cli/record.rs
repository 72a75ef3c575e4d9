//! `ligule record`: what was done, what was seen, and what still holds.
mod asked;
mod draft;
mod shown;

use super::output::{Format, Outcome, load, print, print_json};
use anyhow::{Context, Result, bail};
use clap::{Args, Subcommand, ValueEnum};
use jiff::civil::Date;
use ligule::knowledge::{Kind, Knowledge};
use ligule::records::limits::{History, in_force};
use ligule::records::{Entry, Filter, Observation, Seeding, Store, What, csv, expect, portable};
use rust_decimal::Decimal;
use serde::Serialize;
use std::io::IsTerminal;
use std::path::{Path, PathBuf};

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
    record: PathBuf,
    /// The day that counts as today
    #[arg(long, value_name = "DATE", value_parser = day)]
    today: Option<Date>,
    /// How to print
    #[arg(long, value_enum, default_value_t)]
    format: Format,
}

impl Common {
    fn today(&self) -> Date {
        self.today.unwrap_or_else(|| jiff::ZonedDateTime::now().date())
    }

    fn open(&self) -> Result<Store> {
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
    common: Common,
    #[command(flatten)]
    treatment: draft::Flags,
    /// Take the plan from this note (treatment-note.json)
    #[arg(long, value_name = "FILE", conflicts_with = "details")]
    note: Option<PathBuf>,
    /// Take the whole treatment from this JSON, as `record export --as json` writes it under `details`
    #[arg(long, value_name = "FILE")]
    details: Option<PathBuf>,
    /// Ask for what the flags leave out
    #[arg(long)]
    ask: bool,
}

#[derive(Debug, Args)]
pub struct List {
    #[command(flatten)]
    common: Common,
    #[command(flatten)]
    which: Which,
    /// Also entries that were corrected or taken back
    #[arg(long)]
    all: bool,
}

/// Which entries.
#[derive(Debug, Args)]
struct Which {
    /// Of this year
    #[arg(long, value_name = "YEAR", conflicts_with_all = ["from", "to"], value_parser = clap::value_parser!(i16).range(1..=9999))]
    year: Option<i16>,
    /// From this day on
    #[arg(long, value_name = "DATE", value_parser = day)]
    from: Option<Date>,
    /// Up to this day
    #[arg(long, value_name = "DATE", value_parser = day)]
    to: Option<Date>,
    /// Of this lawn
    #[arg(long, value_name = "NAME")]
    lawn: Option<String>,
}

impl Which {
    fn filter(&self, superseded: bool) -> Filter {
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
    entry: String,
    /// Why it is corrected
    #[arg(long, value_name = "TEXT")]
    why: String,
    /// Take it back altogether
    #[arg(long)]
    withdraw: bool,
    #[command(flatten)]
    common: Common,
    #[command(flatten)]
    treatment: draft::Flags,
    #[command(flatten)]
    seen: SeenFlags,
}

#[derive(Debug, Args)]
pub struct Observe {
    /// The treatment: the number of its entry, or the beginning of its uid
    entry: String,
    /// Day of looking; today where it is missing
    #[arg(long, value_name = "DATE", value_parser = day)]
    date: Option<Date>,
    #[command(flatten)]
    common: Common,
    #[command(flatten)]
    seen: SeenFlags,
    /// Anything else
    #[arg(long, value_name = "TEXT")]
    remarks: Option<String>,
    /// The weed that was looked at; all weeds of the treatment where it is missing
    #[arg(long, value_name = "ID")]
    weed: Option<String>,
}

#[derive(Debug, Args)]
struct SeenFlags {
    /// Percent of the weed that is gone or dying
    #[arg(long, value_name = "0..100")]
    control: Option<Decimal>,
    /// Percent of the grass that is injured
    #[arg(long, value_name = "0..100")]
    injury: Option<Decimal>,
    /// What the injury looks like
    #[arg(long, value_name = "TEXT")]
    injury_looks: Option<String>,
    /// The weed withstood it, and other causes have been ruled out
    #[arg(long)]
    suspect_resistance: bool,
}

impl SeenFlags {
    fn given(&self) -> bool {
        self.control.is_some() || self.injury.is_some() || self.injury_looks.is_some() || self.suspect_resistance
    }

    fn over(&self, seen: &mut Observation) {
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
    date: Option<Date>,
    /// The lawn
    #[arg(long, value_name = "NAME")]
    lawn: Option<String>,
    /// The grass; may be given several times
    #[arg(long, value_name = "ID")]
    turf: Vec<String>,
    /// Anything else
    #[arg(long, value_name = "TEXT")]
    remarks: Option<String>,
    #[command(flatten)]
    common: Common,
}

#[derive(Debug, Args)]
pub struct Limits {
    /// Of this lawn
    #[arg(long, value_name = "NAME")]
    lawn: Option<String>,
    #[command(flatten)]
    common: Common,
}

#[derive(Debug, Args)]
pub struct Fields {
    /// The place whose rules count
    #[arg(long, value_name = "ID")]
    place: Option<String>,
    /// How to print
    #[arg(long, value_enum, default_value_t)]
    format: Format,
}

/// Form of an export.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Form {
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
    form: Form,
    /// The file to write; standard output where it is missing
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    /// Write over an older file
    #[arg(long)]
    force: bool,
    #[command(flatten)]
    which: Which,
    #[command(flatten)]
    common: Common,
}

#[derive(Debug, Args)]
pub struct Import {
    /// A .csv or .json file (- for JSON from standard input)
    file: PathBuf,
    #[command(flatten)]
    common: Common,
}

#[derive(Debug, Args)]
pub struct Backup {
    /// The file to write; it must not be there yet
    to: PathBuf,
    #[command(flatten)]
    common: Common,
}

#[derive(Debug, Args)]
pub struct Verify {
    #[command(flatten)]
    common: Common,
}

pub fn run(command: &Command, folder: Option<&Path>) -> Result<Outcome> {
    match command {
        Command::Add(own) => add(own, &load(folder)?),
        Command::List(own) => list(own),
        Command::Correct(own) => correct(own, &load(folder)?),
        Command::Observe(own) => observe(own, &load(folder)?),
        Command::Seeded(own) => seeded(own, &load(folder)?),
        Command::Limits(own) => limits(own, &load(folder)?),
        Command::Fields(own) => shown::fields(&load(folder)?, own.place.as_deref(), own.format),
        Command::Export(own) => export(own, folder),
        Command::Import(own) => import(own, &load(folder)?),
        Command::Backup(own) => backup(own),
        Command::Verify(own) => verify(own),
    }
}

fn add(own: &Add, book: &Knowledge) -> Result<Outcome> {
    let today = own.common.today();
    let mut started = match (&own.note, &own.details) {
        (Some(path), _) => draft::from_note(path)?,
        (_, Some(path)) => draft::from_details(path)?,
        _ => draft::empty(today),
    };
    own.treatment.over(&mut started);
    let bare = own.note.is_none() && own.details.is_none() && own.treatment.is_empty();
    if own.ask || (bare && std::io::stdin().is_terminal()) {
        if !asked::treatment(book, &mut started, today)? {
            return Ok(Outcome::No);
        }
    } else if started.products.iter().all(|p| p.actives.is_empty()) {
        bail!("what was applied? Give --active ID=RATE (such as --active ID=\"0.75 lb/acre\"), or --note FILE, or --ask to be asked");
    }
    let warnings = draft::settle(book, &mut started)?;
    let missing = ligule::records::fields::missing(book, &started);
    let (entry, made) = write(&own.common, &What::Application(started), today)?;
    if made {
        eprintln!("made a new record, {}", own.common.record.display());
    }
    shown::written(&own.common, "written", &entry, &missing, &warnings)
}

/// Adds an entry; an entry that is refused makes no file either.
fn write(common: &Common, what: &What, today: Date) -> Result<(Entry, bool)> {
    what.check(today)?;
    let (mut store, made) = Store::open_or_create(&common.record)?;
    Ok((store.add(what, today)?, made))
}

fn correct(own: &Correct, book: &Knowledge) -> Result<Outcome> {
    let today = own.common.today();
    let mut store = own.common.open()?;
    let id = store.find(&own.entry)?;
    if own.withdraw {
        if !own.treatment.is_empty() || own.seen.given() {
            bail!("--withdraw takes the whole entry back; it goes with no other change");
        }
        let entry = store.withdraw(id, &own.why, today)?;
        return shown::written(&own.common, "taken back", &entry, &[], &[]);
    }
    let mut what = store.entry(id)?.what;
    let (mut missing, mut warnings) = (Vec::new(), Vec::new());
    let before = what.clone();
    match &mut what {
        What::Application(old) if !own.seen.given() => {
            own.treatment.over(old);
            warnings = draft::settle(book, old)?;
            missing = ligule::records::fields::missing(book, old);
        }
        What::Observation(old) => {
            own.seen.over(old);
            old.date = own.treatment.date.unwrap_or(old.date);
            old.remarks = own.treatment.remarks.clone().or(old.remarks.take());
        }
        What::Seeding(old) => {
            old.date = own.treatment.date.unwrap_or(old.date);
            old.lawn = own.treatment.lawn.clone().or(old.lawn.take());
            old.remarks = own.treatment.remarks.clone().or(old.remarks.take());
        }
        What::Application(_) | What::Withdrawal(_) => {}
    }
    if what == before {
        bail!("nothing in entry {id} would change; give what is to be corrected, or --withdraw to take it back");
    }
    let entry = store.correct(id, &what, &own.why, today)?;
    shown::written(&own.common, "corrected", &entry, &missing, &warnings)
}

fn observe(own: &Observe, book: &Knowledge) -> Result<Outcome> {
    let today = own.common.today();
    let mut store = own.common.open()?;
    let about = store.find(&own.entry)?;
    let mut seen = Observation {
        date: own.date.unwrap_or(today),
        weed: own.weed.as_deref().map(|w| book.find(Kind::Weed, w)).transpose()?,
        control_percent: None,
        injury_percent: None,
        injury: None,
        resistance_suspected: false,
        remarks: own.remarks.clone(),
    };
    own.seen.over(&mut seen);
    let date = seen.date;
    let entry = store.observe(about, &What::Observation(seen), today)?;
    let What::Application(treated) = store.standing(about)?.what else {
        return shown::written(&own.common, "written", &entry, &[], &[]);
    };
    let wanted = expect::expected(book, &treated, expect::days_between(treated.date, date));
    shown::observed(&own.common, &entry, &wanted)
}

fn seeded(own: &Seeded, book: &Knowledge) -> Result<Outcome> {
    let today = own.common.today();
    let turf: Result<Vec<String>, _> = own.turf.iter().map(|t| book.find(Kind::Turf, t)).collect();
    let what = What::Seeding(Seeding {
        date: own.date.unwrap_or(today),
        lawn: own.lawn.clone(),
        turf: turf?,
        remarks: own.remarks.clone(),
    });
    let (entry, made) = write(&own.common, &what, today)?;
    if made {
        eprintln!("made a new record, {}", own.common.record.display());
    }
    shown::written(&own.common, "written", &entry, &[], &[])
}

fn list(own: &List) -> Result<Outcome> {
    let entries = own.common.open()?.list(&own.which.filter(own.all))?;
    shown::list(&own.common, &entries)
}

fn limits(own: &Limits, book: &Knowledge) -> Result<Outcome> {
    let history = history(book, &own.common.record, own.lawn.as_deref(), own.common.today())?;
    let holding = in_force(book, &history);
    shown::limits(book, own.common.format, &history, &holding)
}

/// The history of a lawn in a record, for the choice as well.
pub fn history(book: &Knowledge, record: &Path, lawn: Option<&str>, today: Date) -> Result<History> {
    let store = Store::open(record)?;
    let lawns = store.lawns()?;
    match lawn {
        None if lawns.len() > 1 => eprintln!(
            "the record has {} lawns and none was named (--lawn NAME), so all are counted together",
            lawns.len()
        ),
        Some(name) if !lawns.contains(&ligule::words::plain(name)) => {
            let near = ligule::words::nearest(name, lawns.iter().map(String::as_str));
            let meant = near.map_or(String::new(), |n| format!("; did you mean `{n}`?"));
            // A slip in the name would free everything, so it is not taken for a lawn without a past.
            bail!("the record {} has no lawn `{name}`{meant}", record.display());
        }
        _ => {}
    }
    Ok(History::of(book, &store, lawn, today)?)
}

fn export(own: &Export, folder: Option<&Path>) -> Result<Outcome> {
    let store = own.common.open()?;
    let part = own.which.filter(true) != Filter { superseded: true, ..Filter::default() };
    let text = match own.form {
        Form::Csv | Form::Json if part => {
            bail!("a table or JSON is always the whole record, so that links hold; --year and the like go with a page or a calendar")
        }
        Form::Csv => csv::to_csv(&store.list(&own.which.filter(true))?)?,
        Form::Json => portable::to_json(&store.list(&own.which.filter(true))?)?,
        Form::Page => {
            let entries = store.list(&own.which.filter(true))?;
            ligule::records::page::html(&load(folder)?, &entries, "Record of treatments", own.common.today())?
        }
        Form::Calendar => shown::calendar(&load(folder)?, &store, &own.which.filter(true), own.common.today)?,
    };
    let Some(out) = &own.out else {
        print(&text)?;
        return Ok(Outcome::Fine);
    };
    shown::write_file(out, &text, own.force)?;
    eprintln!("written: {}", out.display());
    Ok(Outcome::Fine)
}

fn import(own: &Import, book: &Knowledge) -> Result<Outcome> {
    let shown = own.file.display().to_string();
    let text = if shown == "-" {
        std::io::read_to_string(std::io::stdin()).context("cannot read standard input")?
    } else {
        std::fs::read_to_string(&own.file).with_context(|| format!("cannot read {shown}"))?
    };
    let table = own.file.extension().is_some_and(|e| e.eq_ignore_ascii_case("csv"));
    let read = if table { csv::from_csv(&text) } else { portable::from_json(&text) };
    let entries = read.with_context(|| format!("{shown} cannot be imported"))?;
    let today = own.common.today();
    for (index, entry) in entries.iter().enumerate() {
        if let Err(why) = entry.check(today) {
            bail!("{shown} cannot be imported: {}: {why}. Nothing was imported", entry.place(index));
        }
    }
    let (mut store, _) = Store::open_or_create(&own.common.record)?;
    let result = store.import(&entries, today);
    let (added, there) = result.with_context(|| format!("{shown} cannot be imported"))?;
    for active in draft::unknown_actives(book, &entries) {
        eprintln!("the book has no active `{active}`; it is in the record, but no limit is kept for it");
    }
    shown::counted(&own.common, added, there)
}

fn backup(own: &Backup) -> Result<Outcome> {
    own.common.open()?.backup(&own.to)?;
    let (all, standing) = Store::open(&own.to)?.count()?;
    match own.common.format {
        Format::Json => print_json(&serde_json::json!({"schema": "ligule/record-backup/1", "file": own.to, "entries": all}))?,
        Format::Human => print(&format!("{} holds all {all} entries ({standing} of them stand)\n", own.to.display()))?,
    }
    Ok(Outcome::Fine)
}

/// The JSON of a check.
#[derive(Serialize)]
struct Checked {
    schema: &'static str,
    entries: u64,
    standing: u64,
    findings: Vec<ligule::records::Finding>,
}

fn verify(own: &Verify) -> Result<Outcome> {
    let store = own.common.open()?;
    let findings = store.verify(own.common.today())?;
    // A damaged file may not even be counted; the findings say more.
    let (entries, standing) = store.count().unwrap_or_default();
    let fine = findings.is_empty();
    match own.common.format {
        Format::Json => print_json(&Checked {
            schema: "ligule/record-check/1",
            entries,
            standing,
            findings,
        })?,
        Format::Human if fine => print(&format!("whole: {entries} entries, {standing} of them stand\n"))?,
        Format::Human => {
            for finding in &findings {
                let entry = finding.entry.map_or(String::new(), |id| format!("entry {id}: "));
                print(&format!("{entry}{}\n", finding.text))?;
            }
        }
    }
    Ok(if fine { Outcome::Fine } else { Outcome::No })
}
