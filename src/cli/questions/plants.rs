//! The questions about the plants: a name, or what was seen.
use super::super::ask::{Ask, Reply};
use super::super::identify::report;
use super::super::interview::interview_lines;
use super::Ended;
use anyhow::Result;
use jiff::civil::Date;
use ligule::identify::Key;
use ligule::key::answers::Answer;
use ligule::key::book::What;
use ligule::key::{Answers, Circumstances};
use ligule::knowledge::form::common::Many;
use ligule::knowledge::{Kind, Knowledge};
use ligule::treatment::lawn;
use ligule::visit::{Plant, Typed, Visit};

/// Asks for one plant after another.
pub fn plants(
    book: &Knowledge,
    visit: &mut Visit,
    ask: &mut Ask<'_>,
    keep: &mut dyn FnMut(&Visit) -> Result<()>,
) -> Result<Ended> {
    loop {
        // A plant that was begun and not finished is at the end of the list.
        let begun = visit.plants.pop_if(|p| p.weed.is_none());
        if begun.is_none()
            && !visit.plants.is_empty()
            && !ask.yes("\nIs there another weed to deal with?", false)?
        {
            return Ok(Ended::Complete);
        }
        let mut plant = begun.unwrap_or_default();
        let ended = one_plant(book, visit, &mut plant, ask, keep)?;
        if plant.weed.is_some() || !plant.observed.is_empty() {
            visit.plants.push(plant);
        }
        keep(visit)?;
        if ended == Ended::Early {
            return Ok(Ended::Early);
        }
        if !ask.yes("\nIs there another weed to deal with?", false)? {
            return Ok(Ended::Complete);
        }
        visit.plants.push(Plant::default());
    }
}

fn one_plant(
    book: &Knowledge,
    visit: &Visit,
    plant: &mut Plant,
    ask: &mut Ask<'_>,
    keep: &mut dyn FnMut(&Visit) -> Result<()>,
) -> Result<Ended> {
    if plant.observed.is_empty() && plant.unsure.is_empty() {
        loop {
            let Some(line) = ask.line(
                "\nWhich weed is it? Type its name, or press Enter to find out by questions: ",
            )?
            else {
                return Ok(Ended::Early);
            };
            let unknown = ["", "?", "n", "no", "not sure", "unsure", "unknown"];
            if unknown.contains(&line.to_lowercase().as_str()) {
                break;
            }
            if ["done", "quit", "q"].contains(&line.to_lowercase().as_str()) {
                return Ok(Ended::Early);
            }
            match book.find(Kind::Weed, &line) {
                Ok(id) => {
                    plant.weed = Some(id);
                    return Ok(Ended::Complete);
                }
                Err(unknown) => ask.say(&format!("{unknown}\n"))?,
            }
        }
    }
    let at = Circumstances {
        month: visit.date.and_then(month),
        region: visit.lawn.region.clone(),
    };
    let lawn = lawn::request(book, &visit.lawn, visit.date.unwrap_or_default())?;
    let mut key = Key::new(book, What::Weeds, at, Some(lawn));
    for (name, words) in &plant.observed {
        let words: Vec<&str> = words.0.iter().map(String::as_str).collect();
        key.answer(name, &words)?;
    }
    for name in plant.unsure.iter() {
        key.unsure(name)?;
    }
    let reply = interview_lines(&mut key, ask, &mut |key| {
        let mut so_far = visit.clone();
        so_far.plants.push(seen(key, &key.answers));
        keep(&so_far)
    })?;
    *plant = seen(&key, &key.answers);
    if reply == Reply::End {
        return Ok(Ended::Early);
    }
    settle(book, &mut key, plant, ask)
}

/// The user takes the leading candidate, or names another plant.
fn settle(
    book: &Knowledge,
    key: &mut Key<'_>,
    plant: &mut Plant,
    ask: &mut Ask<'_>,
) -> Result<Ended> {
    let state = key.state();
    let nothing = key.answers.given() == 0;
    ask.say(&report(&state, nothing))?;
    if nothing {
        return Ok(Ended::Complete);
    }
    let Some(first) = state
        .candidates
        .first()
        .filter(|c| c.probability > state.none_of_these)
    else {
        ask.say("The note will say that the plant is not known, and give no chemical treatment for it.\n")?;
        return Ok(Ended::Complete);
    };
    loop {
        let prompt = format!(
            "Take it as {}? Enter for yes, or type another name: ",
            first.name
        );
        let Some(line) = ask.line(&prompt)? else {
            return Ok(Ended::Early);
        };
        if line.is_empty() || ["y", "yes"].contains(&line.to_lowercase().as_str()) {
            return Ok(Ended::Complete);
        }
        match book.find(Kind::Weed, &line) {
            Ok(id) => {
                plant.weed = Some(id);
                return Ok(Ended::Complete);
            }
            Err(unknown) => ask.say(&format!("{unknown}\n"))?,
        }
    }
}

/// What was answered, as it is kept.
fn seen(key: &Key<'_>, answers: &Answers) -> Plant {
    let mut plant = Plant::default();
    let mut unsure = Vec::new();
    for (of, answer) in answers.sorted() {
        let one = &key.book.traits()[of];
        match answer {
            Answer::States(states) => {
                let words = states.iter().map(|&s| one.states[s].clone()).collect();
                plant.observed.insert(one.id.clone(), Typed(words));
            }
            Answer::Number(x) => {
                plant
                    .observed
                    .insert(one.id.clone(), Typed(vec![x.to_string()]));
            }
            Answer::Unsure => unsure.push(one.id.clone()),
        }
    }
    plant.unsure = Many(unsure);
    plant
}

fn month(date: Date) -> Option<u8> {
    u8::try_from(date.month()).ok()
}
