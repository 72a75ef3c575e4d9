//! `ligule treat`: the whole job, from the lawn to the printed note.
use super::ask::Ask;
use super::beside;
use super::keep::{self, Kept};
use super::output::{Outcome, load, print};
use super::questions::{self, Ended};
use anyhow::{Context, Result, bail};
use clap::Args;
use jiff::civil::Date;
use ligule::calendar;
use ligule::knowledge::Knowledge;
use ligule::knowledge::read::read;
use ligule::note;
use ligule::treatment::{Beside, Treatment};
use ligule::visit::Visit;
use std::fmt::Write as _;
use std::io::{self, IsTerminal};
use std::path::{Path, PathBuf};

/// A visit of our own making; the lawn and its owner are invented.
const DEMO: &str = include_str!("demo-visit.yaml");

#[derive(Debug, Args)]
pub struct Arguments {
    /// Replay the answers in this file (- for standard input)
    #[arg(long, value_name = "FILE", conflicts_with = "demo")]
    answers: Option<PathBuf>,
    /// Replay an invented example
    #[arg(long)]
    demo: bool,
    /// Go on with the visit that was not finished
    #[arg(long, conflicts_with_all = ["answers", "demo"])]
    resume: bool,
    /// Folder for the note
    #[arg(long, value_name = "DIR", default_value = ".")]
    out: PathBuf,
    /// Write over an older note
    #[arg(long)]
    force: bool,
    /// The record of what was applied before: its intervals, limits and groups count in the choice
    #[arg(long, value_name = "FILE")]
    record: Option<PathBuf>,
    /// Name of the lawn in the record; all its lawns count together where this is missing
    #[arg(long, value_name = "NAME", requires = "record")]
    lawn: Option<String>,
    /// Hourly forecast (CSV, columns named with their units): the note shows which hours are fit
    #[arg(long, value_name = "FILE")]
    forecast: Option<String>,
    /// Weather of the season (CSV, daily or hourly): the note shows degree days and windows
    #[arg(long, value_name = "FILE")]
    weather: Option<String>,
    /// Day of the visit, 2026-05-10; today where it is missing
    #[arg(long, value_name = "DATE")]
    today: Option<String>,
}

pub fn run(arguments: &Arguments, folder: Option<&Path>) -> Result<Outcome> {
    let knowledge = load(folder)?;
    let mut visit = replayed(arguments)?.unwrap_or_default();
    let today = match &arguments.today {
        Some(typed) => parse_date(typed)?,
        None => jiff::ZonedDateTime::now().date(),
    };
    let today = if arguments.today.is_some() {
        today
    } else {
        visit.date.unwrap_or(today)
    };
    visit.date = Some(today);
    told_by_flags(arguments, &mut visit);
    // Whether the note can be written is known before the first question, not after the last.
    keep::writable(&arguments.out)?;
    let record = arguments.record.as_deref();
    let record = record.map(|path| (path, arguments.lawn.as_deref()));
    if arguments.answers.is_some() || arguments.demo {
        questions::complete(&visit)?;
        let beside = beside::beside(&knowledge, &visit, record, today)?;
        finish(arguments, (&knowledge, folder), &visit, beside, None)?;
        return Ok(Outcome::Fine);
    }
    let mut input = io::stdin().lock();
    let mut output = io::stdout().lock();
    let mut ask = Ask::new(&mut input, &mut output);
    let mut kept = Kept::open(arguments.resume, &mut ask, &mut visit)?;
    // A visit that was taken up again keeps its day, unless a flag says otherwise.
    let today = match (visit.date, &arguments.today) {
        (Some(kept), None) => kept,
        _ => today,
    };
    visit.date = Some(today);
    told_by_flags(arguments, &mut visit);
    // Files that cannot be read are told before the first question as well.
    let beside = beside::beside(&knowledge, &visit, record, today)?;
    let past = beside.history.as_ref();
    match questions::ask_all(&knowledge, &mut visit, past, &mut ask, &mut |v| {
        kept.save(v)
    })? {
        Ended::Complete => {}
        Ended::Early => {
            ask.say(&format!(
                "\nNot finished. Your answers are kept in {}; `ligule treat --resume` goes on with them.\n",
                kept.path().display()
            ))?;
            return Ok(Outcome::No);
        }
    }
    finish(
        arguments,
        (&knowledge, folder),
        &visit,
        beside,
        Some(&mut ask),
    )?;
    kept.done();
    Ok(Outcome::Fine)
}

/// What flags say outranks the answers.
fn told_by_flags(arguments: &Arguments, visit: &mut Visit) {
    for (flag, answer) in [
        (&arguments.forecast, &mut visit.forecast),
        (&arguments.weather, &mut visit.weather),
    ] {
        if flag.is_some() {
            answer.clone_from(flag);
        }
    }
}

fn replayed(arguments: &Arguments) -> Result<Option<Visit>> {
    if arguments.demo {
        return Ok(Some(parse("the example", DEMO)?));
    }
    arguments.answers.as_deref().map(answers).transpose()
}

/// Reads the answers file at a path; `-` is standard input.
pub fn answers(path: &Path) -> Result<Visit> {
    let shown = path.display().to_string();
    let text = if shown == "-" {
        if io::stdin().is_terminal() {
            eprintln!("reading answers from the terminal; end with Ctrl-D");
        }
        io::read_to_string(io::stdin()).context("cannot read answers from standard input")?
    } else {
        std::fs::read_to_string(path)
            .with_context(|| format!("cannot read the answers file {shown}"))?
    };
    parse(&shown, &text)
}

/// Reads an answers file strictly.
pub fn parse(shown: &str, text: &str) -> Result<Visit> {
    if text
        .lines()
        .all(|l| l.trim().is_empty() || l.trim_start().starts_with('#'))
    {
        bail!(
            "{shown} holds no answers; it needs at least\n  lawn:\n    grass: ID\n  plants:\n    - weed: ID\n(`ligule treat --help` shows more)"
        );
    }
    read(shown, text)
        .map_err(|fault| anyhow::anyhow!("{shown} is not a good answers file\n{fault}"))
}

pub fn parse_date(typed: &str) -> Result<Date> {
    match typed.parse::<Date>() {
        // The parser also takes 20260510 and drops times; one form is enough.
        Ok(date) if date.to_string() == typed => Ok(date),
        _ => bail!("`{typed}` is no date; write year, month and day as 2026-05-10"),
    }
}

fn finish(
    arguments: &Arguments,
    (knowledge, folder): (&Knowledge, Option<&Path>),
    visit: &Visit,
    beside: Beside,
    ask: Option<&mut Ask<'_>>,
) -> Result<()> {
    let today = visit.date.unwrap_or_default();
    let treatment = Treatment::with(knowledge, visit, today, beside)?;
    let templates = note::Templates::built_in()?.with_sketches(beside::sketches(folder));
    let json = note::json(&treatment)?;
    let mut files = vec![
        ("treatment-note.html", templates.html(&treatment)?),
        ("treatment-note.txt", templates.text(&treatment)?),
        ("treatment-answers.yaml", questions::answers_file(visit)?),
    ];
    if treatment.chosen.is_some() {
        files.push((
            "treatment-days.ics",
            calendar::of_note(knowledge, &json, today)?,
        ));
    }
    files.push(("treatment-note.json", json));
    let written = keep::write_all(&arguments.out, &files, arguments.force, ask)?;
    print(&summary(&treatment, &written))
}

fn summary(treatment: &Treatment, written: &[PathBuf]) -> String {
    let mut text = format!(
        "\n{}\n{}\n\nWritten:\n",
        treatment.verdict.headline,
        treatment.verdict.sentences.join(" ")
    );
    for path in written {
        let _ = writeln!(text, "  {}", path.display());
    }
    for sheet in treatment.spray_day.iter().filter(|s| !s.stopped()) {
        for product in &sheet.products {
            let _ = writeln!(text, "{}: {} in all.", product.name, product.takes);
        }
        if let Some(job) = &sheet.summary {
            let _ = writeln!(text, "{job} The note has it load by load.");
        }
    }
    for finding in treatment.spray_day.iter().flat_map(|s| &s.findings) {
        let _ = writeln!(
            text,
            "On the shelf: {}: {}",
            finding.product,
            finding.words()
        );
    }
    text.push_str("Open the .html file in a browser and print it. The label of the product in your hand outranks the note.\n");
    text
}
