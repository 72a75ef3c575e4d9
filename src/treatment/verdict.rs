//! What to do first, in one headline and a few sentences.
use super::fact::Named;
use super::option::OptionLine;
use super::plant::{Known, PlantLine};
use crate::choose::{Choice, Chooser, Request, Treatable};
use crate::knowledge::Knowledge;
use crate::words::{and_list, capital};
use serde::Serialize;
use std::fmt;

/// What is to be done.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Decision {
    /// No plant is known, so nothing is to be sprayed.
    PlantNotKnown,
    /// The weeds are better left alone.
    LeaveIt,
    /// The user wants no chemical.
    WithoutChemicals,
    /// No class of treatment is proven on this grass against these weeds.
    NothingSafe,
    /// The chosen option may be applied.
    Treat,
}

/// The decision in words.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Verdict {
    /// What is to be done.
    pub decision: Decision,
    /// One line.
    pub headline: String,
    /// A few sentences: what to do before anything else, and how far the verdict carries.
    pub sentences: Vec<String>,
}

/// What the verdict is made of.
pub struct Facts<'a> {
    /// What is to be done.
    pub decision: Decision,
    /// The plants.
    pub plants: &'a [PlantLine],
    /// The choice.
    pub choice: &'a Choice,
    /// The option taken.
    pub chosen: Option<&'a OptionLine>,
    /// The grass in words.
    pub grass: &'a str,
}

/// The verdict.
#[must_use]
pub fn of(book: &Knowledge, facts: &Facts<'_>) -> Verdict {
    let names: Vec<&str> = facts
        .plants
        .iter()
        .filter(|p| p.weed.is_some())
        .map(|p| p.name.as_str())
        .collect();
    let weeds = and_list(&names);
    let mut sentences = Vec::new();
    let headline = match facts.decision {
        Decision::PlantNotKnown => {
            sentences.push(
                "What was seen fits no plant of this book well enough, so no chemical is named for it."
                    .to_owned(),
            );
            "Do not treat: the plant is not known.".to_owned()
        }
        Decision::LeaveIt => {
            sentences.push(facts.choice.leave_it.why.clone());
            if !facts.choice.options.is_empty() {
                sentences.push(
                    "What could be applied all the same stands under the alternatives.".to_owned(),
                );
            }
            format!("Leave {weeds} alone this time.")
        }
        Decision::WithoutChemicals => {
            sentences.push("You chose to apply nothing; what helps stands below.".to_owned());
            format!("Deal with {weeds} without chemicals.")
        }
        Decision::NothingSafe => {
            sentences.push(format!(
                "Nothing in this book is both proven on {} at this stage and known to control {weeds} now. What helps without chemicals stands below, and the reasons after it.",
                facts.grass
            ));
            format!("Do not spray: no class of treatment is proven here against {weeds}.")
        }
        Decision::Treat => {
            // A sentence about an option that was not taken would be no verdict.
            let Some(option) = facts.chosen else {
                return nothing(facts.decision);
            };
            treat(book, facts, option, &weeds, &mut sentences)
        }
    };
    doubts(book, facts, &mut sentences);
    Verdict {
        decision: facts.decision,
        headline,
        sentences,
    }
}

fn nothing(decision: Decision) -> Verdict {
    Verdict {
        decision,
        headline: "Nothing is to be applied.".to_owned(),
        sentences: Vec::new(),
    }
}

fn treat(
    book: &Knowledge,
    facts: &Facts<'_>,
    option: &OptionLine,
    weeds: &str,
    sentences: &mut Vec<String>,
) -> String {
    sentences.push(
        "Do without chemicals where that is enough. The label must name your grass, and it outranks this page."
            .to_owned(),
    );
    if option.memory_alone {
        sentences.push(
            "This choice rests on memory alone: have it confirmed before you buy or spray."
                .to_owned(),
        );
    } else if option.turf.standing.is_memory() {
        sentences.push(format!(
            "That {} stands it rests on memory: look for the grass on the label before you buy.",
            facts.grass
        ));
    }
    if !facts.choice.uncovered.is_empty() {
        let left: Vec<String> = facts
            .choice
            .uncovered
            .iter()
            .map(|id| Named::weed(book, id).name)
            .collect();
        sentences.push(format!(
            "It does not deal with {}: no class of treatment here does.",
            and_list(&left)
        ));
    }
    format!(
        "If you treat {weeds}: {}, {}.",
        option.title, option.timing_words
    )
}

/// Plants that are not known or not sure enough: the first thing to see to.
fn doubts(book: &Knowledge, facts: &Facts<'_>, sentences: &mut Vec<String>) {
    let unsettled: Vec<&str> = facts
        .plants
        .iter()
        .filter(|p| p.known != Known::NotKnown && !p.settled)
        .map(|p| p.name.as_str())
        .collect();
    if !unsettled.is_empty() {
        sentences.insert(
            0,
            format!(
                "First make sure that it is {}: the name is not certain (see below).",
                and_list(&unsettled)
            ),
        );
    }
    if facts.plants.iter().any(|p| p.known == Known::NotKnown) {
        let ask = book
            .book
            .as_ref()
            .map(|b| b.ask.trim().trim_end_matches('.'))
            .filter(|a| !a.is_empty());
        sentences.push(match ask {
            Some(ask) => format!("About the plant that is not known, ask: {ask}."),
            None => "About the plant that is not known, ask somebody who knows plants.".to_owned(),
        });
    }
    for plant in facts.plants.iter().filter(|p| !p.hazards.is_empty()) {
        sentences.push(format!(
            "{} can do harm: the warning stands with the plant.",
            capital(&plant.name)
        ));
    }
}

/// For each plant whose name is not certain: what the option taken does if it is one of the others.
pub fn if_the_name_is_wrong(
    chooser: &Chooser<'_>,
    request: &Request,
    plants: &[PlantLine],
    taken: &Treatable,
) -> Vec<String> {
    plants
        .iter()
        .filter(|p| !p.settled)
        .filter_map(|plant| {
            let first = (plant.weed.clone()?, plant.probability?);
            let others = plant
                .could_be
                .iter()
                .filter_map(|other| Some((other.weed.clone()?, other.probability?)));
            let belief: Vec<(String, f64)> = std::iter::once(first).chain(others).collect();
            let doubt = chooser.choose_in_doubt(request, &belief);
            let same = doubt
                .options
                .into_iter()
                .find(|o| o.option.actives == taken.actives)?;
            Some(format!(
                "If the name {} is wrong: {}",
                plant.name, same.risk
            ))
        })
        .collect()
}

impl fmt::Display for Verdict {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.headline)?;
        for sentence in &self.sentences {
            write!(f, " {sentence}")?;
        }
        Ok(())
    }
}
