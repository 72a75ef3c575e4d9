//! The choice: what is on offer, and which of it the note shall be about.
use super::super::ask::{Ask, Choice, Reply};
use super::super::choose::{names, report};
use super::{Ended, NONE};
use anyhow::Result;
use ligule::choose::choose;
use ligule::knowledge::Knowledge;
use ligule::knowledge::form::common::Many;
use ligule::records::limits::History;
use ligule::treatment::{Treatment, lawn};
use ligule::visit::Visit;

/// Shows what is on offer and asks which to take.
pub fn choice(
    book: &Knowledge,
    visit: &mut Visit,
    past: Option<&History>,
    ask: &mut Ask<'_>,
) -> Result<Ended> {
    if !visit.choose.is_empty() {
        return Ok(Ended::Complete);
    }
    let day = visit.date.unwrap_or_default();
    // The treatment without a choice knows which plants are known.
    let so_far = Treatment::after(book, visit, day, past.cloned())?;
    let mut request = lawn::request(book, &visit.lawn, day)?;
    request.history = past.cloned();
    let weeds = so_far.plants.iter().map(|p| p.weed.as_deref());
    lawn::add_plants(book, &mut request, visit, weeds)?;
    if request.weeds.is_empty() {
        return Ok(Ended::Complete);
    }
    let found = choose(book, &request);
    ask.say(&report(book, &request, &found))?;
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
