//! `ligule identify`: what is this plant?
use super::ask::{Ask, Reply};
use super::output::{Format, Outcome, load, print, print_json};
use anyhow::{Context, Result, bail};
use clap::{Args, ValueEnum};
use ligule::choose::Request;
use ligule::identify::{Identification, Key, percent};
use ligule::key::Circumstances;
use ligule::key::book::What;
use ligule::knowledge::Knowledge;
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
        Format::Human => print(&report(&state))?,
    }
    let known = state
        .candidates
        .first()
        .is_some_and(|c| c.probability > state.none_of_these);
    // Before anything was seen no plant can lead, and that is no "no".
    Ok(if known || key.answers.is_empty() {
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
    let what = match arguments.what {
        Subject::Weed => What::Weeds,
        Subject::Turf => What::Turf,
    };
    let at = Circumstances {
        month: arguments.month,
        region: arguments
            .region
            .as_deref()
            .map(|r| region(knowledge, r))
            .transpose()?,
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
        key.unsure(name)?;
    }
    Ok(key)
}

/// The region of the book that `typed` names.
pub fn region(knowledge: &Knowledge, typed: &str) -> Result<String> {
    let regions = knowledge.regions();
    let wanted = ligule::words::plain(typed);
    if let Some(region) = regions.iter().find(|r| ligule::words::plain(r) == wanted) {
        Ok((*region).to_owned())
    } else {
        let near = ligule::words::nearest(typed, regions.iter().copied());
        let meant = near.map_or(String::new(), |n| format!("; did you mean `{n}`?"));
        bail!(
            "the book has no region called `{typed}`{meant} Regions are: {}",
            regions.join(", ")
        )
    }
}

/// Asks question by question until nothing helps any more or the user has had enough.
pub fn interview_lines(
    key: &mut Key<'_>,
    ask: &mut Ask<'_>,
    keep: &mut dyn FnMut(&Key<'_>) -> Result<()>,
) -> Result<Reply> {
    let mut asked: Vec<usize> = Vec::new();
    let mut told: Vec<String> = Vec::new();
    loop {
        keep(key)?;
        let belief = key.belief();
        let state = key.state();
        if !asked.is_empty() {
            ask.say(&so_far(&state))?;
            // What can hurt and what does not fit is told at once, and once.
            for warning in &state.warnings {
                let plain = without_figures(warning);
                if !told.contains(&plain) {
                    ask.say(&format!("! {warning}\n"))?;
                    told.push(plain);
                }
            }
        }
        if state.settled.name || state.settled.treatment {
            ask.say(&format!(
                "\n{}.\n",
                ligule::words::capital(&state.settled.why)
            ))?;
            if let Some(again) = &state.look_again {
                let plain = without_figures(&again.text);
                if !told.contains(&plain) {
                    ask.say(&format!("{}\n", again.text))?;
                    told.push(plain);
                }
            }
            if state.next.is_none() || !ask.yes("Go on with questions?", false)? {
                return Ok(Reply::Done);
            }
        }
        let Some(question) = key.next(&belief) else {
            return Ok(Reply::Done);
        };
        let put = key.put(&question);
        let number = asked.len() + 1;
        let reply = ask.pick(
            &format!("Question {number}: {}", put.question),
            &put,
            &why(&put, &belief),
        )?;
        match reply {
            Reply::Words(words) => {
                let words: Vec<&str> = words.iter().map(String::as_str).collect();
                if let Err(error) = key.answer(&put.trait_id, &words) {
                    ask.say(&format!("{error}\n"))?;
                    continue;
                }
                asked.push(question.of);
            }
            Reply::Unsure => {
                key.unsure(&put.trait_id)?;
                asked.push(question.of);
            }
            Reply::Back => match asked.pop() {
                Some(of) => {
                    key.answers.take_back(of);
                    ask.say("Taken back.\n")?;
                }
                None => ask.say("This is the first question; nothing to take back.\n")?,
            },
            Reply::Done | Reply::End => return Ok(reply),
        }
    }
}

fn why(put: &ligule::identify::NextQuestion, belief: &ligule::key::Belief) -> String {
    format!(
        "Of all questions left this one tells most for its effort: about {:.1} of the {:.1} bits that are open. (One bit halves what is possible.)",
        put.gain_bits,
        belief.entropy_bits()
    )
}

/// A sentence without its digits: a chance that moved makes no new warning.
fn without_figures(text: &str) -> String {
    text.chars().filter(|c| !c.is_ascii_digit()).collect()
}

fn so_far(state: &Identification) -> String {
    let mut names: Vec<String> = state
        .candidates
        .iter()
        .take(4)
        .filter(|c| c.probability >= 0.02)
        .map(|c| format!("{} {}", c.name, percent(c.probability)))
        .collect();
    names.push(format!("none of these {}", percent(state.none_of_these)));
    format!("So far: {}\n", names.join(", "))
}

/// The result in lines for people.
pub fn report(state: &Identification) -> String {
    let mut text = String::new();
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
    if let Some(next) = &state.next {
        let _ = writeln!(
            text,
            "The next question would be: {} (--trait {}=...)",
            next.question, next.trait_id
        );
        let values: Vec<&str> = next.answers.iter().map(|a| a.value.as_str()).collect();
        let _ = writeln!(text, "  answers: {}", values.join(", "));
    }
    text
}
