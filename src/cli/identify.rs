//! `ligule identify`: what is this plant?
use super::ask::Ask;
use super::interview::interview_lines;
use super::output::{Format, Outcome, load, print, print_json};
use anyhow::{Context, Result, bail};
use clap::parser::ValueSource;
use clap::{ArgMatches, Args, ValueEnum};
use ligule::choose::Request;
use ligule::identify::{Identification, Key, percent};
use ligule::key::Circumstances;
use ligule::key::answers::Answer;
use ligule::key::book::What;
use ligule::knowledge::Knowledge;
use ligule::words::and_list;
use std::fmt::Write as _;
use std::io;
use std::path::Path;

/// Which plants to identify.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, ValueEnum)]
pub enum Subject {
    /// Weeds.
    #[default]
    Weed,
    /// Lawn grasses.
    Turf,
}

#[derive(Debug, Args)]
pub struct Arguments {
    /// What was seen, as NAME=VALUE; the same trait twice means "either"
    #[arg(long = "trait", value_name = "NAME=VALUE")]
    traits: Vec<String>,
    /// A trait that was looked for and not made out
    #[arg(long, value_name = "NAME")]
    unsure: Vec<String>,
    /// Month in which the plant was found
    #[arg(long, value_parser = clap::value_parser!(u8).range(1..=12), value_name = "1..12")]
    month: Option<u8>,
    /// Region in which it was found
    #[arg(long, value_name = "ID")]
    region: Option<String>,
    /// Your grass; questions then go first for what is to be done
    #[arg(long, value_name = "ID")]
    turf: Option<String>,
    /// Weeds, or the grass of the lawn itself
    #[arg(long, value_enum, default_value_t)]
    what: Subject,
    /// Go on with questions after the given traits
    #[arg(long)]
    ask: bool,
    /// How to print
    #[arg(long, value_enum, default_value_t)]
    format: Format,
}

pub fn run(arguments: &Arguments, folder: Option<&Path>) -> Result<Outcome> {
    let knowledge = load(folder)?;
    let mut key = start(&knowledge, arguments)?;
    let interview = arguments.format == Format::Human
        && (arguments.ask || (arguments.traits.is_empty() && arguments.unsure.is_empty()));
    if interview {
        let mut input = io::stdin().lock();
        let mut output = io::stdout().lock();
        let mut ask = Ask::new(&mut input, &mut output);
        interview_lines(&mut key, &mut ask, &mut |_| Ok(()))?;
    }
    let state = key.state();
    match arguments.format {
        Format::Json => print_json(&state)?,
        Format::Human => print(&report(&state, key.answers.given() == 0))?,
    }
    let known = state
        .candidates
        .first()
        .is_some_and(|c| c.probability > state.none_of_these);
    // Before anything was seen no plant can lead, and that is no "no".
    Ok(if known || key.answers.given() == 0 {
        Outcome::Fine
    } else {
        Outcome::No
    })
}

fn start<'a>(knowledge: &'a Knowledge, arguments: &Arguments) -> Result<Key<'a>> {
    let lawn = match &arguments.turf {
        Some(turf) => {
            let mut request = Request::new(&[], turf).check(knowledge)?;
            request.month = arguments.month;
            Some(request)
        }
        None => None,
    };
    let what = subject(knowledge, arguments.what)?;
    // Of no lawn grass the book says where it is seen, so a region that was settled once tells nothing here.
    let typed = arguments.region.as_deref().filter(|_| what == What::Weeds);
    let at = Circumstances {
        month: arguments.month,
        region: typed.map(|r| region(knowledge, r)).transpose()?,
    };
    let mut key = Key::new(knowledge, what, at, lawn);
    let mut given: Vec<(&str, Vec<&str>)> = Vec::new();
    for typed in &arguments.traits {
        let (name, value) = typed.split_once('=').with_context(|| {
            format!("`{typed}` is no NAME=VALUE; write for instance --trait flower_colour=yellow")
        })?;
        match given
            .iter_mut()
            .find(|(n, _)| ligule::words::plain(n) == ligule::words::plain(name))
        {
            Some((_, values)) => values.push(value),
            None => given.push((name, vec![value])),
        }
    }
    for (name, values) in given {
        key.answer(name, &values)?;
    }
    for name in &arguments.unsure {
        let of = key.book.trait_named(name)?;
        if key.answers.get(of).is_some_and(|a| *a != Answer::Unsure) {
            bail!(
                "`{}` was answered with --trait and called unsure with --unsure; leave one of the two out",
                key.trait_form(of).id
            );
        }
        key.unsure(name)?;
    }
    Ok(key)
}

/// What is to be named, if the book holds any of it.
pub fn subject(book: &Knowledge, subject: Subject) -> Result<What> {
    match subject {
        Subject::Weed if book.weeds.is_empty() => {
            bail!("this book holds no {}", book.taxon_words())
        }
        Subject::Turf if book.turf.is_empty() => bail!("this book holds no lawn grasses"),
        Subject::Weed => Ok(What::Weeds),
        Subject::Turf => Ok(What::Turf),
    }
}

/// Refuses flags beside `--what turf` that tell nothing about lawn grasses. What was settled once for all runs is no
/// flag, and is left aside.
pub fn check_flags(matches: &ArgMatches) -> Result<()> {
    let Some((_, own)) = matches.subcommand() else {
        return Ok(());
    };
    if !matches!(own.try_get_one("what"), Ok(Some(Subject::Turf))) {
        return Ok(());
    }
    let vain: Vec<String> = ["month", "region", "turf"]
        .into_iter()
        .filter(|flag| own.value_source(flag) == Some(ValueSource::CommandLine))
        .map(|flag| format!("--{flag}"))
        .collect();
    match &vain[..] {
        [] => Ok(()),
        [one] => bail!("{one} has no effect with --what turf; leave it out"),
        _ => bail!(
            "{} have no effect with --what turf; leave them out",
            and_list(&vain)
        ),
    }
}

/// The region of the book that `typed` names.
pub fn region(knowledge: &Knowledge, typed: &str) -> Result<String> {
    let regions = knowledge.regions();
    let wanted = ligule::words::plain(typed);
    if let Some(region) = regions.iter().find(|r| ligule::words::plain(r) == wanted) {
        return Ok((*region).to_owned());
    }
    if regions.is_empty() {
        bail!("the book has no region called `{typed}`; it names no regions at all");
    }
    let near = ligule::words::nearest(typed, regions.iter().copied());
    let meant = near.map_or(".".to_owned(), |n| format!("; did you mean `{n}`?"));
    bail!(
        "the book has no region called `{typed}`{meant} Regions are: {}",
        regions.join(", ")
    )
}

/// The result in lines for people. Before anything was seen no name is told, since none is likelier by what was seen.
pub fn report(state: &Identification, nothing_seen: bool) -> String {
    let mut text = String::new();
    if nothing_seen {
        text.push_str("\nNothing was seen yet, so no name can be told.\n");
    } else {
        candidates(&mut text, state);
    }
    if let Some(next) = &state.next {
        let _ = writeln!(
            text,
            "The next question would be: {} (--trait {}=...)",
            next.question, next.trait_id
        );
        let values: Vec<&str> = next.answers.iter().map(|a| a.value.as_str()).collect();
        let _ = match next.unit.as_deref() {
            None => writeln!(text, "  answers: {}", values.join(", ")),
            Some("") => writeln!(text, "  answer: a number"),
            Some(unit) => writeln!(text, "  answer: a number of {unit}"),
        };
    }
    text
}

/// The likeliest names, what is settled, and what to beware of.
fn candidates(text: &mut String, state: &Identification) {
    let _ = writeln!(text, "\nWhat it may be:");
    for candidate in state.candidates.iter().take(6) {
        let _ = writeln!(
            text,
            "  {:>9}  {} ({}), id {}",
            percent(candidate.probability),
            candidate.name,
            candidate.scientific_name,
            candidate.weed
        );
    }
    let _ = writeln!(text, "  {:>9}  none of these", percent(state.none_of_these));
    let _ = writeln!(text, "\n{}.", ligule::words::capital(&state.settled.why));
    for warning in &state.warnings {
        let _ = writeln!(text, "! {warning}");
    }
    if let Some(pair) = &state.pair {
        let _ = writeln!(text, "To part the first two: {}", pair.text);
    }
    if let Some(again) = &state.look_again {
        let _ = writeln!(text, "{}", again.text);
    }
}
