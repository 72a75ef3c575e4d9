//! The questions about the lawn and its surroundings.
use super::super::ask::{Ask, Choice, Reply};
use super::super::identify::region;
use super::NONE;
use anyhow::Result;
use ligule::choose::Applicator;
use ligule::knowledge::Knowledge;
use ligule::knowledge::form::common::Many;
use ligule::treatment::lawn;
use ligule::visit::Visit;

/// One question about the lawn.
type Step = fn(&Knowledge, &mut Visit, &mut Ask<'_>) -> Result<Reply>;

/// The steps of a visit in order. Each is passed over when its answer is there already.
pub const STEPS: [Step; 7] = [grass, stage, near, place, applicator, air, seen_in];

/// Takes the answer of a step back, so that it is asked again.
pub fn clear(visit: &mut Visit, step: usize) {
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
