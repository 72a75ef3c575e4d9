//! The label of the product in hand, the ground and the tools: what amounts are reckoned from, one figure at a time.
//!
//! A figure goes through the reader of the lawn file while it is typed, and so does the label as a whole: what does not
//! fit is told at once and not kept.
mod ground;
mod label;

use super::super::ask::Ask;
use super::Ended;
use anyhow::Result;
use ligule::knowledge::fact::Named;
use ligule::knowledge::{Kind, Knowledge};
use ligule::lawn::Finding;
use ligule::lawn::check::{Use, check};
use ligule::lawn::product::{Holds, Maximum, Product, Rates};
use ligule::records::limits::History;
use ligule::treatment::Treatment;
use ligule::visit::{Lawn, Visit};
use ligule::words::{and_list, plain};

/// A question about one figure.
pub struct Question {
    /// What is asked, with an example of how it is typed.
    pub title: String,
    /// What `?` says.
    pub help: &'static str,
    /// Whether it is asked at all, after what was said before.
    pub wanted: fn(&Knowledge, &Lawn) -> bool,
    /// Whether it is answered already.
    pub answered: Box<dyn Fn(&Lawn) -> bool>,
    /// Takes the answer, or says what is wrong with it and how to mend it.
    #[expect(
        clippy::type_complexity,
        reason = "one function of the three things that it needs"
    )]
    pub take: Box<dyn Fn(&Knowledge, &mut Lawn, &str) -> Result<(), String>>,
    /// Takes the answer back.
    pub clear: Box<dyn Fn(&mut Lawn)>,
}

/// How a round of questions ended.
#[derive(PartialEq, Eq)]
enum Round {
    Complete,
    Enough,
    End,
}

/// Asks for the product in hand and what goes with it, where the visit chose something to apply.
pub fn shelf(
    book: &Knowledge,
    visit: &mut Visit,
    past: Option<&History>,
    ask: &mut Ask<'_>,
    keep: &mut dyn FnMut(&Visit) -> Result<()>,
) -> Result<Ended> {
    let chosen: Vec<String> = visit
        .choose
        .iter()
        .filter_map(|typed| book.find(Kind::Active, typed).ok())
        .collect();
    // Nothing was chosen, or no chemical: there is nothing to reckon.
    if chosen.is_empty() {
        return Ok(Ended::Complete);
    }
    loop {
        let missing = not_held(book, &visit.lawn, &chosen);
        let begun = visit.lawn.shelf.last().is_some_and(unfinished);
        if !begun {
            if missing.is_empty() {
                break;
            }
            let names: Vec<&str> = missing.iter().map(|id| name(book, id)).collect();
            let question = format!(
                "\nDo you have a product with {} in hand? With the figures of its label the note says how much to take.",
                and_list(&names)
            );
            if !ask.yes(&question, false)? {
                break;
            }
            ask.say("Type every figure as it stands on the label. Enter or n skips, ? explains, back goes back, done ends these questions.\n")?;
            let Some(called) = ask.line("\nWhat do you call the product? ")? else {
                return early(visit, keep);
            };
            if called.is_empty() || ["n", "done", "back"].contains(&called.as_str()) {
                break;
            }
            if visit
                .lawn
                .shelf
                .iter()
                .any(|p| plain(&p.name) == plain(&called))
            {
                ask.say(&format!(
                    "`{called}` is on the shelf already; give it another name.\n"
                ))?;
                continue;
            }
            visit.lawn.shelf.push(started(&called, &missing));
            keep(visit)?;
        }
        match round(book, &label::questions(book, &visit.lawn), visit, ask, keep)? {
            Round::End => return early(visit, keep),
            Round::Enough => break,
            Round::Complete => {}
        }
        if typed_again(book, visit, past, ask)? {
            keep(visit)?;
            continue;
        }
        if begun && not_held(book, &visit.lawn, &chosen).is_empty() {
            break;
        }
    }
    if visit.lawn.shelf.is_empty() {
        return Ok(Ended::Complete);
    }
    let ended = round(book, &ground::questions(), visit, ask, keep)?;
    if ended == Round::End {
        return early(visit, keep);
    }
    ground::whole(&mut visit.lawn, ask)?;
    keep(visit)?;
    Ok(Ended::Complete)
}

/// Tells what stops the label just copied and, where the user wants, takes its rates and limits back.
fn typed_again(
    book: &Knowledge,
    visit: &mut Visit,
    past: Option<&History>,
    ask: &mut Ask<'_>,
) -> Result<bool> {
    let stops = stops(book, visit, past)?;
    if stops.is_empty() {
        return Ok(false);
    }
    for stop in stops {
        ask.say(&format!("  Stop: {stop}\n"))?;
    }
    // At the end of the input the answer is no: the note says once more why there is no amount.
    if !ask.yes(
        "Type rates, limits, grasses and weeds of this label again?",
        false,
    )? {
        return Ok(false);
    }
    let Some(product) = visit.lawn.shelf.last_mut() else {
        return Ok(false);
    };
    product.rates = Rates::default();
    product.maximum = Maximum::default();
    product.grasses.0.clear();
    product.weeds.0.clear();
    Ok(true)
}

/// What of the label just copied stops the reckoning, whatever the ground and the sprayer are.
fn stops(book: &Knowledge, visit: &Visit, past: Option<&History>) -> Result<Vec<String>> {
    let Some(product) = visit.lawn.shelf.last() else {
        return Ok(Vec::new());
    };
    let day = visit.date.unwrap_or_default();
    let treatment = Treatment::after(book, visit, day, past.cloned())?;
    let Some(option) = &treatment.chosen else {
        return Ok(Vec::new());
    };
    let ids = |all: &[Named]| all.iter().map(|n| n.id.clone()).collect::<Vec<String>>();
    let (turf, chosen) = (ids(&treatment.lawn.grasses), ids(&option.actives));
    let held_alone = not_held(book, &visit.lawn, &chosen).is_empty() && visit.lawn.shelf.len() == 1;
    // Of two products each may name some of the weeds; that is looked at when both are there.
    let weeds: Vec<String> = if held_alone {
        let of_plants = treatment.plants.iter().filter_map(|p| p.weed.clone());
        of_plants
            .filter(|id| {
                let name = Named::weed(book, id).name;
                !treatment.uncovered.contains(&name)
            })
            .collect()
    } else {
        Vec::new()
    };
    let label = ligule::lawn::label::label(book.mixing.as_ref(), product)?;
    let on = Use {
        turf: &turf,
        weeds: &weeds,
        chosen: &chosen,
        output: None,
        droplets: None,
    };
    Ok(check(book, &label, &on)
        .iter()
        .filter(|f| f.stops())
        .map(Finding::words)
        .collect())
}

fn early(visit: &Visit, keep: &mut dyn FnMut(&Visit) -> Result<()>) -> Result<Ended> {
    keep(visit)?;
    Ok(Ended::Early)
}

fn name<'a>(book: &'a Knowledge, id: &'a str) -> &'a str {
    book.actives.get(id).map_or(id, |a| a.name.as_str())
}

/// A product of which nothing but the name is known. Its actives are those that were chosen, until the label says more.
fn started(called: &str, actives: &[String]) -> Product {
    Product {
        name: called.to_owned(),
        actives: actives
            .iter()
            .map(|id| Holds {
                active: id.clone(),
                content: None,
            })
            .collect(),
        ..Product::default()
    }
}

/// Actives that were chosen and that nothing on the shelf holds.
fn not_held(book: &Knowledge, lawn: &Lawn, chosen: &[String]) -> Vec<String> {
    let held: Vec<String> = lawn
        .shelf
        .iter()
        .flat_map(|p| &p.actives)
        .filter_map(|a| book.find(Kind::Active, &a.active).ok())
        .collect();
    chosen
        .iter()
        .filter(|id| !held.contains(id))
        .cloned()
        .collect()
}

/// Whether the questions about a label were broken off: without these nothing is reckoned.
fn unfinished(product: &Product) -> bool {
    product.rates.is_empty() || product.grasses.is_empty() || product.weeds.is_empty()
}

/// Asks the questions that are open. Every answer is kept at once.
fn round(
    book: &Knowledge,
    questions: &[Question],
    visit: &mut Visit,
    ask: &mut Ask<'_>,
    keep: &mut dyn FnMut(&Visit) -> Result<()>,
) -> Result<Round> {
    let mut asked: Vec<usize> = Vec::new();
    let mut at = 0;
    while let Some(question) = questions.get(at) {
        if !(question.wanted)(book, &visit.lawn) || (question.answered)(&visit.lawn) {
            at += 1;
            continue;
        }
        let Some(typed) = ask.line(&format!("{}: ", question.title))? else {
            return Ok(Round::End);
        };
        match typed.to_lowercase().as_str() {
            "" | "n" | "not sure" | "skip" => {
                asked.push(at);
                at += 1;
            }
            "?" | "help" => ask.say(&format!("  {}\n", question.help))?,
            "done" | "q" | "quit" => return Ok(Round::Enough),
            "back" | "b" => {
                if let Some(before) = asked.pop() {
                    at = before;
                    (questions[at].clear)(&mut visit.lawn);
                    keep(visit)?;
                } else {
                    ask.say("  This is the first of these questions.\n")?;
                }
            }
            _ => {
                // The answer is tried on a copy: what does not fit leaves no trace.
                let mut tried = visit.lawn.clone();
                match (question.take)(book, &mut tried, &typed) {
                    Ok(()) => {
                        visit.lawn = tried;
                        keep(visit)?;
                        asked.push(at);
                        at += 1;
                    }
                    Err(why) => ask.say(&format!("  {why}\n"))?,
                }
            }
        }
    }
    Ok(Round::Complete)
}
