//! `ligule record`: what was done, what was seen, and what still holds.
mod arguments;
mod asked;
mod draft;
mod files;
mod holds;
mod shown;

pub use arguments::{Command, day};

use super::output::{Format, Outcome, hand_on, load, print, print_json};
use anyhow::{Context, Result, bail};
use arguments::{
    Add, Backup, Common, Correct, Export, Form, Import, Limits, List, Observe, Seeded, Verify,
};
use jiff::civil::Date;
use ligule::knowledge::{Kind, Knowledge};
use ligule::records::limits::{History, in_force};
use ligule::records::{
    Application, Entry, Filter, Observation, Seeding, Store, What, csv, expect, portable,
};
use serde::Serialize;
use std::io::IsTerminal;
use std::path::Path;

pub fn run(command: &Command, folder: Option<&Path>) -> Result<Outcome> {
    match command {
        Command::Add(own) => add(own, &load(folder)?),
        Command::List(own) => list(own),
        Command::Correct(own) => correct(own, &load(folder)?),
        Command::Observe(own) => observe(own, &load(folder)?),
        Command::Seeded(own) => seeded(own, &load(folder)?),
        Command::Limits(own) => limits(own, &load(folder)?),
        Command::Fields(own) => holds::fields(&load(folder)?, own.place.as_deref(), own.format),
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
        _ => Application::on(today),
    };
    own.treatment.over(&mut started);
    let bare = own.note.is_none() && own.details.is_none() && own.treatment.is_empty();
    if own.ask || (bare && std::io::stdin().is_terminal()) {
        if !asked::treatment(book, &mut started, today)? {
            return Ok(Outcome::No);
        }
    } else if started.products.iter().all(|p| p.actives.is_empty()) {
        bail!(
            "what was applied? Give --active ID=RATE (such as --active ID=\"0.75 lb/acre\"), or --note FILE, or --ask to be asked"
        );
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
        bail!(
            "nothing in entry {id} would change; give what is to be corrected, or --withdraw to take it back"
        );
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
        weed: own
            .weed
            .as_deref()
            .map(|w| book.find(Kind::Weed, w))
            .transpose()?,
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
    let history = history(
        book,
        &own.common.record,
        own.lawn.as_deref(),
        own.common.today(),
    )?;
    let holding = in_force(book, &history);
    holds::limits(book, own.common.format, &history, &holding)
}

/// The history of a lawn in a record, for the choice as well.
pub fn history(
    book: &Knowledge,
    record: &Path,
    lawn: Option<&str>,
    today: Date,
) -> Result<History> {
    let store = Store::open(record)?;
    match lawn {
        None => {
            let lawns = store.lawns()?.len();
            if lawns > 1 {
                eprintln!(
                    "the record has {lawns} lawns and none was named (--lawn NAME), so all are counted together"
                );
            }
        }
        Some(name) if !store.has_lawn(name)? => {
            let lawns = store.lawns()?;
            let near = ligule::words::nearest(name, lawns.iter().map(String::as_str));
            let meant = near.map_or(String::new(), |n| format!("; did you mean `{n}`?"));
            // A slip in the name would free everything, so it is not taken for a lawn without a past.
            bail!(
                "the record {} has no lawn `{name}`{meant}",
                record.display()
            );
        }
        Some(_) => {}
    }
    Ok(History::of(book, &store, lawn, today)?)
}

fn export(own: &Export, folder: Option<&Path>) -> Result<Outcome> {
    let store = own.common.open()?;
    let part = own.which.filter(true)
        != Filter {
            superseded: true,
            ..Filter::default()
        };
    let text = match own.form {
        Form::Csv | Form::Json if part => {
            bail!(
                "a table or JSON is always the whole record, so that links hold; --year and the like go with a page or a calendar"
            )
        }
        Form::Csv => csv::to_csv(&store.list(&own.which.filter(true))?)?,
        Form::Json => portable::to_json(&store.list(&own.which.filter(true))?)?,
        Form::Page => {
            let entries = store.list(&own.which.filter(true))?;
            ligule::records::page::html(
                &load(folder)?,
                &entries,
                "Record of treatments",
                own.common.today(),
            )?
        }
        Form::Calendar => files::calendar(
            &load(folder)?,
            &store,
            &own.which.filter(true),
            own.common.today,
        )?,
    };
    let Some(out) = &own.out else {
        hand_on(&text)?;
        return Ok(Outcome::Fine);
    };
    files::write_file(out, &text, own.force)?;
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
    let table = own
        .file
        .extension()
        .is_some_and(|e| e.eq_ignore_ascii_case("csv"));
    let read = if table {
        csv::from_csv(&text)
    } else {
        portable::from_json(&text)
    };
    let entries = read.with_context(|| format!("{shown} cannot be imported"))?;
    let today = own.common.today();
    for (index, entry) in entries.iter().enumerate() {
        if let Err(why) = entry.check(today) {
            bail!(
                "{shown} cannot be imported: {}: {why}. Nothing was imported",
                entry.place(index)
            );
        }
    }
    let (mut store, _) = Store::open_or_create(&own.common.record)?;
    let result = store.import(&entries, today);
    let (added, there) = result.with_context(|| format!("{shown} cannot be imported"))?;
    for active in draft::unknown_actives(book, &entries) {
        eprintln!(
            "the book has no active `{active}`; it is in the record, but no limit is kept for it"
        );
    }
    shown::counted(&own.common, added, there)
}

fn backup(own: &Backup) -> Result<Outcome> {
    own.common.open()?.backup(&own.to)?;
    let (all, standing) = Store::open(&own.to)?.count()?;
    match own.common.format {
        Format::Json => print_json(
            &serde_json::json!({"schema": "ligule/record-backup/1", "file": own.to, "entries": all}),
        )?,
        Format::Human => print(&format!(
            "{} holds all {all} entries ({standing} of them stand)\n",
            own.to.display()
        ))?,
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
        Format::Human if fine => print(&format!(
            "whole: {entries} entries, {standing} of them stand\n"
        ))?,
        Format::Human => {
            for finding in &findings {
                let entry = finding
                    .entry
                    .map_or(String::new(), |id| format!("entry {id}: "));
                print(&format!("{entry}{}\n", finding.text))?;
            }
        }
    }
    Ok(if fine { Outcome::Fine } else { Outcome::No })
}
