//! `ligule choose`: which class of treatment, if any.
pub use super::choose_args::Arguments;
use super::choose_args::request;
use super::choose_more::{comparison, doubt_report, questions, trails, without};
use super::choose_words::ask;
pub use super::choose_words::{names, report};
use super::output::{Format, Outcome, load, print, print_json};
use anyhow::{Context, Result, bail};
use ligule::choose::{
    Aspect, Choice, Chooser, Doubt, Plan, Request, RequestFault, Trail, Treatable, Unknown,
    compare, without_chemicals,
};
use ligule::identify::Key;
use ligule::key::Circumstances;
use ligule::key::book::What;
use ligule::knowledge::{Kind, Knowledge};
use ligule::records::limits::History;
use ligule::words::plain;
use serde::Serialize;
use std::path::Path;

/// The JSON of the answer.
#[derive(Serialize)]
struct Answer<'a> {
    schema: &'static str,
    #[serde(flatten)]
    choice: &'a Choice,
    #[serde(skip_serializing_if = "Option::is_none")]
    explain: Option<&'a [Trail]>,
}

#[derive(Serialize)]
struct Comparison<'a> {
    schema: &'static str,
    aspects: &'a [Aspect],
}

#[derive(Serialize)]
struct Without<'a> {
    schema: &'static str,
    #[serde(flatten)]
    plan: &'a Plan,
}

#[derive(Serialize)]
struct Questions<'a> {
    schema: &'static str,
    unknown: &'a [Unknown],
}

#[derive(Serialize)]
struct InDoubt<'a> {
    schema: &'static str,
    #[serde(flatten)]
    doubt: &'a Doubt,
}

pub fn run(arguments: &Arguments, folder: Option<&Path>) -> Result<Outcome> {
    let book = load(folder)?;
    let mut request = request(arguments)?
        .check(&book)
        .map_err(|fault| unknown(&book, fault))?;
    request.history = history(arguments, &book)?;
    let json = arguments.format == Format::Json;
    if !arguments.traits.is_empty() {
        return in_doubt(arguments, &book, &request);
    }
    if arguments.without_chemicals {
        let plan = without_chemicals(&book, &request);
        if json {
            print_json(&Without {
                schema: "ligule/without-chemicals/1",
                plan: &plan,
            })?;
        } else {
            print(&without(&plan))?;
        }
        return Ok(Outcome::Fine);
    }
    let chooser = Chooser::new(&book);
    if arguments.ask {
        let unknown = chooser.deciding(&request);
        if json {
            print_json(&Questions {
                schema: "ligule/choose-questions/1",
                unknown: &unknown,
            })?;
        } else {
            print(&questions(&unknown))?;
        }
        return Ok(Outcome::Fine);
    }
    let choice = chooser.choose(&request);
    if let Some(wanted) = &arguments.compare {
        let (a, b) = (
            pick(&book, &choice, &wanted[0])?,
            pick(&book, &choice, &wanted[1])?,
        );
        let aspects = compare(a, b, &|id| names(&book, &[id.to_owned()]));
        if json {
            print_json(&Comparison {
                schema: "ligule/choose-compare/1",
                aspects: &aspects,
            })?;
        } else {
            print(&comparison(&aspects))?;
        }
        return Ok(Outcome::Fine);
    }
    let explained = arguments
        .explain
        .as_deref()
        .map(|active| {
            let only = match active {
                "" => None,
                typed => Some(book.find(Kind::Active, typed)?),
            };
            let decision = chooser.decide(&request);
            anyhow::Ok(chooser.explain(&request, &decision, only.as_deref()))
        })
        .transpose()?;
    if json {
        print_json(&Answer {
            schema: "ligule/choose/1",
            choice: &choice,
            explain: explained.as_deref(),
        })?;
    } else {
        match &explained {
            Some(explained) => print(&trails(&book, explained))?,
            None => print(&report(&book, &request, &choice))?,
        }
    }
    Ok(if choice.options.is_empty() {
        Outcome::No
    } else {
        Outcome::Fine
    })
}

/// A grass or a stage of it that the book does not know is no reason to guess: says what that means and whom to ask.
fn unknown(book: &Knowledge, fault: RequestFault) -> anyhow::Error {
    match fault {
        RequestFault::Name(name) if matches!(name.kind, Kind::Turf | Kind::Stage) => {
            anyhow::anyhow!(
                "{name}. On a grass, or at a stage of it, that the book does not know nothing is proven safe.{}",
                ask(book)
            )
        }
        fault => fault.into(),
    }
}

/// What the record says, and a seeding that is planned.
fn history(arguments: &Arguments, book: &Knowledge) -> Result<Option<History>> {
    let today = arguments
        .today
        .unwrap_or_else(|| jiff::ZonedDateTime::now().date());
    let mut found = match &arguments.record {
        Some(record) => Some(super::record::history(
            book,
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

/// The option that a number or actives joined by `+` mean.
fn pick<'c>(book: &Knowledge, choice: &'c Choice, typed: &str) -> Result<&'c Treatable> {
    if let Ok(number) = typed.parse::<usize>() {
        return choice.options.get(number.wrapping_sub(1)).with_context(|| {
            format!(
                "--compare: there is no option {number}; there are {}",
                choice.options.len()
            )
        });
    }
    let mut ids = typed
        .split('+')
        .map(|one| book.find(Kind::Active, one))
        .collect::<Result<Vec<_>, _>>()?;
    ids.sort();
    if let Some(option) = choice.options.iter().find(|o| o.actives == ids) {
        return Ok(option);
    }
    let why = choice
        .excluded
        .iter()
        .find(|e| e.actives.iter().all(|a| ids.contains(a)))
        .map_or_else(
            || "it is not the smallest set of actives that deals with these weeds".to_owned(),
            |e| e.detail.clone(),
        );
    bail!("--compare: {typed} is not on offer here: {why}")
}

/// Least chance of a plant that is reckoned with.
const RECKONED: f64 = 0.02;
/// At most so many plants are reckoned with.
const MOST_PLANTS: usize = 12;

fn in_doubt(arguments: &Arguments, book: &Knowledge, request: &Request) -> Result<Outcome> {
    let region = arguments
        .region
        .as_deref()
        .map(|typed| super::identify::region(book, typed))
        .transpose()?;
    let at = Circumstances {
        month: arguments.month,
        region,
    };
    let mut key = Key::new(book, What::Weeds, at, None);
    let mut given: Vec<(&str, Vec<&str>)> = Vec::new();
    for typed in &arguments.traits {
        let (name, value) = typed
            .split_once('=')
            .with_context(|| format!("--trait {typed}: write NAME=VALUE"))?;
        match given.iter_mut().find(|(n, _)| plain(n) == plain(name)) {
            Some((_, values)) => values.push(value),
            None => given.push((name, vec![value])),
        }
    }
    for (name, values) in given {
        key.answer(name, &values)?;
    }
    let belief: Vec<(String, f64)> = key
        .belief()
        .ranking()
        .into_iter()
        .filter(|(_, p)| *p >= RECKONED)
        .take(MOST_PLANTS)
        .map(|(taxon, p)| (key.book.taxa()[taxon].id.clone(), p))
        .collect();
    let doubt = Chooser::new(book).choose_in_doubt(request, &belief);
    if arguments.format == Format::Json {
        print_json(&InDoubt {
            schema: "ligule/choose-in-doubt/1",
            doubt: &doubt,
        })?;
    } else {
        print(&doubt_report(book, &doubt))?;
    }
    Ok(if doubt.options.is_empty() {
        Outcome::No
    } else {
        Outcome::Fine
    })
}
