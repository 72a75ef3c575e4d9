//! The questions of a visit: the lawn, the plants, the choice.
use super::ask::{Ask, Choice, Reply};
use super::choose::names;
use super::identify::{interview_lines, region};
use anyhow::{Result, bail};
use jiff::civil::Date;
use ligule::choose::{Applicator, choose};
use ligule::identify::Key;
use ligule::key::answers::Answer;
use ligule::key::book::What;
use ligule::key::{Answers, Circumstances};
use ligule::knowledge::form::common::Many;
use ligule::knowledge::{Kind, Knowledge};
use ligule::treatment::{Treatment, lawn};
use ligule::visit::{Plant, Typed, Visit};

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

/// One question about the lawn.
type Step = fn(&Knowledge, &mut Visit, &mut Ask<'_>) -> Result<Reply>;

/// The steps of a visit in order. Each is passed over when its answer is there already.
const STEPS: [Step; 7] = [grass, stage, near, place, applicator, air, seen_in];

/// Asks for everything that the visit lacks and keeps it after every answer.
pub fn ask_all(
    book: &Knowledge,
    visit: &mut Visit,
    ask: &mut Ask<'_>,
    keep: &mut dyn FnMut(&Visit) -> Result<()>,
) -> Result<Ended> {
    ask.say("Answer with a number or a word. ? explains, n is \"not sure\", back goes back, done stops and keeps your answers.\n")?;
    let mut step = 0;
    while step < STEPS.len() {
        match STEPS[step](book, visit, ask)? {
            Reply::End | Reply::Done => {
                keep(visit)?;
                return Ok(Ended::Early);
            }
            Reply::Back => {
                step = step.saturating_sub(1);
                clear(visit, step);
            }
            Reply::Words(_) | Reply::Unsure => step += 1,
        }
        keep(visit)?;
    }
    if plants(book, visit, ask, keep)? == Ended::Early {
        keep(visit)?;
        return Ok(Ended::Early);
    }
    let ended = choice(book, visit, ask)?;
    keep(visit)?;
    Ok(ended)
}

/// Takes the answer of a step back, so that it is asked again.
fn clear(visit: &mut Visit, step: usize) {
    let lawn = &mut visit.lawn;
    match step {
        0 => lawn.grass = Many::default(),
        1 => lawn.stage = None,
        2 => lawn.near = Many::default(),
        3 => lawn.place = None,
        4 => lawn.applicator = None,
        5 => lawn.air_temperature = None,
        _ => lawn.region = None,
    }
}

fn answered() -> Reply {
    Reply::Words(Vec::new())
}

fn grass(book: &Knowledge, visit: &mut Visit, ask: &mut Ask<'_>) -> Result<Reply> {
    if !visit.lawn.grass.is_empty() {
        return Ok(answered());
    }
    let choices: Vec<Choice> = book
        .turf
        .iter()
        .map(|(id, t)| Choice {
            value: id.clone(),
            label: t.names.first().cloned().unwrap_or_else(|| id.clone()),
            help: t.marks.first().map(|m| m.text.clone()),
        })
        .collect();
    let help = "What injures one grass is safe on another, so nothing can be chosen without it. A mixed lawn: give several with commas. `ligule identify --what turf` helps to find out.";
    loop {
        match ask.choose("Which grass is the lawn made of?", help, &choices, None)? {
            Reply::Words(ids) => {
                visit.lawn.grass = Many(ids);
                return Ok(answered());
            }
            Reply::Unsure => ask.say("Without the grass nothing is proven safe. Stop here with `done`, find it out with `ligule identify --what turf`, and come back.\n")?,
            other => return Ok(other),
        }
    }
}

fn stage(book: &Knowledge, visit: &mut Visit, ask: &mut Ask<'_>) -> Result<Reply> {
    if visit.lawn.stage.is_some() || book.stages.is_empty() {
        return Ok(answered());
    }
    let choices: Vec<Choice> = book
        .stages
        .iter()
        .map(|s| Choice {
            value: s.id.clone(),
            label: s.name.clone(),
            help: Some(s.help.clone()),
        })
        .collect();
    let help = "Young, sleeping or suffering grass stands less. What is proven at one stage is not proven at another.";
    loop {
        match ask.choose("In what state is the grass?", help, &choices, None)? {
            Reply::Words(ids) if ids.len() == 1 => {
                visit.lawn.stage = ids.into_iter().next();
                return Ok(answered());
            }
            Reply::Words(_) => ask.say(
                "One state only, please; the most delicate one if parts of the lawn differ.\n",
            )?,
            Reply::Unsure => {
                ask.say("Type ? to see how to tell the states apart. The choice depends on it.\n")?;
            }
            other => return Ok(other),
        }
    }
}

fn near(book: &Knowledge, visit: &mut Visit, ask: &mut Ask<'_>) -> Result<Reply> {
    if !visit.lawn.near.is_empty() {
        return Ok(answered());
    }
    let mut choices: Vec<Choice> = book
        .situations
        .iter()
        .filter_map(|s| {
            let question = s.question.clone()?;
            Some(Choice {
                value: s.id.clone(),
                label: s.name.clone(),
                help: Some(question),
            })
        })
        .collect();
    choices.push(Choice {
        value: NONE.to_owned(),
        label: "nothing of these".to_owned(),
        help: None,
    });
    let help = "Everything that is near or true here, with commas. Not sure counts as: it may be there, so read those cautions too.";
    match ask.choose("What is near, or true of the place?", help, &choices, None)? {
        Reply::Words(ids) => {
            let only: Vec<String> = ids.iter().filter(|id| *id != NONE).cloned().collect();
            visit.lawn.near = Many(if only.is_empty() {
                vec![NONE.to_owned()]
            } else {
                only
            });
            Ok(answered())
        }
        Reply::Unsure => {
            visit.lawn.near = Many(
                choices
                    .into_iter()
                    .map(|c| c.value)
                    .filter(|v| v != NONE)
                    .collect(),
            );
            ask.say("Taken as if all of it were near: the cautious way.\n")?;
            Ok(Reply::Unsure)
        }
        other => Ok(other),
    }
}

fn place(book: &Knowledge, visit: &mut Visit, ask: &mut Ask<'_>) -> Result<Reply> {
    if visit.lawn.place.is_some() || book.places.is_empty() {
        return Ok(answered());
    }
    let choices: Vec<Choice> = book
        .places
        .iter()
        .map(|(id, p)| Choice {
            value: id.clone(),
            label: p.name.clone(),
            help: None,
        })
        .collect();
    let help = "For what to ask which authority. A place that is not in the list is unknown, not free of rules: answer n and ask your own authority.";
    match ask.choose("Where is the lawn?", help, &choices, None)? {
        Reply::Words(ids) => {
            visit.lawn.place = ids.into_iter().next();
            Ok(answered())
        }
        other => Ok(other),
    }
}

fn applicator(_: &Knowledge, visit: &mut Visit, ask: &mut Ask<'_>) -> Result<Reply> {
    if visit.lawn.applicator.is_some() {
        return Ok(answered());
    }
    let choice = |value: &str, label: &str| Choice {
        value: value.to_owned(),
        label: label.to_owned(),
        help: None,
    };
    let choices = [
        choice("homeowner", "I treat my own lawn"),
        choice("for-hire", "I treat for pay"),
    ];
    match ask.choose(
        "Who is going to treat?",
        "Treating somebody else's land for pay mostly needs a licence.",
        &choices,
        None,
    )? {
        Reply::Words(ids) => {
            let for_hire = ids.first().is_some_and(|id| id == "for-hire");
            visit.lawn.applicator = Some(if for_hire {
                Applicator::ForHire
            } else {
                Applicator::Homeowner
            });
            Ok(answered())
        }
        other => Ok(other),
    }
}

fn air(_: &Knowledge, visit: &mut Visit, ask: &mut Ask<'_>) -> Result<Reply> {
    if visit.lawn.air_temperature.is_some() {
        return Ok(answered());
    }
    loop {
        let Some(line) = ask.line("\nHow warm will it be on the day? (84F or 29C, n not sure) ")?
        else {
            return Ok(Reply::End);
        };
        match line.to_lowercase().as_str() {
            "n" | "" | "not sure" => return Ok(Reply::Unsure),
            "back" | "b" => return Ok(Reply::Back),
            "done" | "quit" | "q" => return Ok(Reply::Done),
            "?" => ask.say("Some treatments injure grass in heat or do nothing in the cold. Not sure: the limits are printed on the note.\n")?,
            _ => match lawn::air_temperature_f(&line) {
                Ok(_) => {
                    visit.lawn.air_temperature = Some(line);
                    return Ok(answered());
                }
                Err(error) => ask.say(&format!("{error}\n"))?,
            },
        }
    }
}

fn seen_in(book: &Knowledge, visit: &mut Visit, ask: &mut Ask<'_>) -> Result<Reply> {
    if visit.lawn.region.is_some() {
        return Ok(answered());
    }
    let regions = book.regions();
    if regions.is_empty() {
        return Ok(answered());
    }
    let choices: Vec<Choice> = regions
        .iter()
        .map(|r| Choice {
            value: (*r).to_owned(),
            label: (*r).to_owned(),
            help: None,
        })
        .collect();
    let help =
        "Some plants are commoner in one region than in another. It only shifts the chances.";
    match ask.choose("In which region is the lawn?", help, &choices, None)? {
        Reply::Words(ids) => {
            visit.lawn.region = ids.first().map(|id| region(book, id)).transpose()?;
            Ok(answered())
        }
        other => Ok(other),
    }
}

fn plants(
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
            if line.is_empty() || line == "?" {
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
    ask.say(&super::identify::report(&state))?;
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

fn choice(book: &Knowledge, visit: &mut Visit, ask: &mut Ask<'_>) -> Result<Ended> {
    if !visit.choose.is_empty() {
        return Ok(Ended::Complete);
    }
    let day = visit.date.unwrap_or_default();
    // The treatment without a choice knows which plants are known.
    let so_far = Treatment::of(book, visit, day)?;
    let mut request = lawn::request(book, &visit.lawn, day)?;
    let weeds = so_far.plants.iter().map(|p| p.weed.as_deref());
    lawn::add_plants(book, &mut request, visit, weeds)?;
    if request.weeds.is_empty() {
        return Ok(Ended::Complete);
    }
    let found = choose(book, &request);
    ask.say(&super::choose::report(book, &request, &found))?;
    if found.options.is_empty() {
        return Ok(Ended::Complete);
    }
    let mut choices: Vec<Choice> = found
        .options
        .iter()
        .take(8)
        .map(|o| Choice {
            value: o.actives.join("+"),
            label: names(book, &o.actives),
            help: Some(o.why.join("; ")),
        })
        .collect();
    choices.push(Choice {
        value: NONE.to_owned(),
        label: "no chemical".to_owned(),
        help: None,
    });
    let reply = ask.choose(
        "Which one shall the note be about?",
        "The first is the safest that is proven to work; every choice is yours.",
        &choices,
        None,
    )?;
    Ok(match reply {
        Reply::Words(words) => {
            visit.choose = Many(
                words
                    .first()
                    .map(|w| w.split('+').map(str::to_owned).collect())
                    .unwrap_or_default(),
            );
            Ended::Complete
        }
        Reply::Unsure => Ended::Complete,
        Reply::Back | Reply::Done | Reply::End => Ended::Early,
    })
}
