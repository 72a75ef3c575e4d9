//! The questions of a visit: the lawn, the plants, the choice, the label of the product in hand.
mod choice;
mod lawn;
mod plants;
mod shelf;

use super::ask::{Ask, Reply};
use anyhow::{Result, bail};
use ligule::knowledge::Knowledge;
use ligule::records::limits::History;
use ligule::visit::Visit;

/// How a round of questions ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ended {
    /// Everything needed is answered.
    Complete,
    /// The input ended or the user stopped.
    Early,
}

/// A word that says "nothing", so that a question counts as answered.
const NONE: &str = "none";

/// Whether a replayed visit has what a treatment needs.
pub fn complete(visit: &Visit) -> Result<()> {
    let mut missing = Vec::new();
    if visit.lawn.grass.is_empty() {
        missing.push("lawn:\n    grass: ID");
    }
    if visit.plants.is_empty() {
        missing.push("plants:\n    - weed: ID        (or  observed: {TRAIT: STATE})");
    }
    if missing.is_empty() {
        return Ok(());
    }
    bail!(
        "the answers file lacks what the tool cannot guess:\n  {}",
        missing.join("\n  ")
    )
}

/// The answers file of a visit.
pub fn answers_file(visit: &Visit) -> Result<String> {
    Ok(format!(
        "# Answers of a visit. `ligule treat --answers FILE` makes the note again; change what you like.\n{}",
        serde_yaml::to_string(visit)?
    ))
}

/// Asks for everything that the visit lacks and keeps it after every answer. `past` is what the record says of the lawn.
pub fn ask_all(
    book: &Knowledge,
    visit: &mut Visit,
    past: Option<&History>,
    ask: &mut Ask<'_>,
    keep: &mut dyn FnMut(&Visit) -> Result<()>,
) -> Result<Ended> {
    ask.say("Answer with a number or a word. ? explains, n is \"not sure\", back goes back, done stops and keeps your answers.\n")?;
    let mut step = 0;
    while step < lawn::STEPS.len() {
        match lawn::STEPS[step](book, visit, ask)? {
            Reply::End | Reply::Done => {
                keep(visit)?;
                return Ok(Ended::Early);
            }
            Reply::Back => {
                step = step.saturating_sub(1);
                lawn::clear(visit, step);
            }
            Reply::Words(_) | Reply::Unsure => step += 1,
        }
        keep(visit)?;
    }
    if plants::plants(book, visit, ask, keep)? == Ended::Early {
        keep(visit)?;
        return Ok(Ended::Early);
    }
    let ended = choice::choice(book, visit, past, ask)?;
    keep(visit)?;
    if ended == Ended::Early {
        return Ok(ended);
    }
    shelf::shelf(book, visit, past, ask, keep)
}
