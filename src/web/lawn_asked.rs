//! The questions about the lawn: what is asked, what can be answered, and how an answer is taken.
use crate::choose::Applicator;
use crate::knowledge::Knowledge;
use crate::knowledge::form::common::Many;
use crate::treatment::lawn::air_range_f;
use crate::visit::Lawn;
use serde::Serialize;

/// In the order in which they are asked.
pub const ORDER: [&str; 8] = [
    "grass", "stage", "near", "place", "who", "air", "region", "name",
];
/// The word for "nothing", so that a question counts as answered.
const NONE: &str = "none";
/// Longest text that is taken, in characters.
const LONGEST: usize = 200;

/// One answer that can be given.
#[derive(Serialize)]
pub struct Choice {
    /// What is sent.
    pub value: String,
    /// What is read.
    pub label: String,
    /// More about it.
    pub help: Option<String>,
    /// Whether it was given before.
    pub chosen: bool,
}

/// A question.
#[derive(Serialize)]
pub struct Asked {
    /// Its name in the address.
    pub id: &'static str,
    /// The question.
    pub title: &'static str,
    /// Why, and how to answer.
    pub help: &'static str,
    /// The answers to choose from; empty where a text is typed.
    pub choices: Vec<Choice>,
    /// Whether several may be chosen.
    pub several: bool,
    /// What "not sure" means here; empty where it is no answer.
    pub unsure: &'static str,
    /// For a text: what was typed, and an example.
    pub typed: String,
    /// An example of a text.
    pub example: &'static str,
}

impl Asked {
    fn new(id: &'static str, title: &'static str, help: &'static str) -> Self {
        Self {
            id,
            title,
            help,
            choices: Vec::new(),
            several: false,
            unsure: "",
            typed: String::new(),
            example: "",
        }
    }
}

fn choice(value: &str, label: &str, help: Option<String>, chosen: bool) -> Choice {
    Choice {
        value: value.to_owned(),
        label: crate::words::capital(label),
        help,
        chosen,
    }
}

/// A question about the lawn with what was answered to it; nothing for a question that there is not.
#[allow(clippy::too_many_lines, reason = "one arm a question")]
pub fn asked(book: &Knowledge, lawn: &Lawn, id: &str) -> Option<Asked> {
    let id = *ORDER.iter().find(|o| **o == id)?;
    let mut asked = match id {
        "grass" => Asked::new(
            id,
            "Which grass is the lawn made of?",
            "What injures one grass is safe on another, so nothing can be chosen without it. Tick several for a mixed lawn.",
        ),
        "stage" => Asked::new(
            id,
            "In what state is the grass?",
            "Young, sleeping or suffering grass stands less. Take the most delicate one if parts of the lawn differ.",
        ),
        "near" => Asked::new(
            id,
            "What is near, or true of the place?",
            "Tick everything that is so.",
        ),
        "place" => Asked::new(
            id,
            "Where is the lawn?",
            "For what to ask which authority. A place that is not in the list is unknown, not free of rules.",
        ),
        "who" => Asked::new(
            id,
            "Who is going to treat?",
            "Treating somebody else's land for pay mostly needs a licence.",
        ),
        "air" => Asked::new(
            id,
            "How warm will it be on the day?",
            "Some treatments injure grass in heat or do nothing in the cold. Write it with its unit; a range is fine.",
        ),
        "region" => Asked::new(
            id,
            "In which region is the lawn?",
            "Some plants are commoner in one region than in another. It only shifts the chances.",
        ),
        _ => Asked::new(
            id,
            "What do you call this lawn?",
            "It stands on the note and in the record. Use the same name every time, so that limits of earlier treatments count.",
        ),
    };
    match id {
        "grass" => {
            asked.several = true;
            asked.choices = book
                .turf
                .iter()
                .map(|(id, t)| {
                    let name = t.names.first().map_or(id.as_str(), String::as_str);
                    let mark = t.marks.first().map(|m| m.text.clone());
                    choice(id, name, mark, lawn.grass.contains(id))
                })
                .collect();
        }
        "stage" => {
            asked.choices = book
                .stages
                .iter()
                .map(|s| {
                    let chosen = lawn.stage.as_ref() == Some(&s.id);
                    choice(&s.id, &s.name, Some(s.help.clone()), chosen)
                })
                .collect();
        }
        "near" => {
            asked.several = true;
            asked.unsure = "Not sure: count all of it as near";
            asked.choices = book
                .situations
                .iter()
                .filter_map(|s| {
                    let question = s.question.clone()?;
                    Some(choice(
                        &s.id,
                        &s.name,
                        Some(question),
                        lawn.near.contains(&s.id),
                    ))
                })
                .collect();
            let none = lawn.near.iter().any(|n| n == NONE);
            asked
                .choices
                .push(choice(NONE, "nothing of these", None, none));
        }
        "place" => {
            asked.unsure = "Not in the list, or not sure";
            asked.choices = book
                .places
                .iter()
                .map(|(id, p)| choice(id, &p.name, None, lawn.place.as_ref() == Some(id)))
                .collect();
        }
        "who" => {
            asked.unsure = "Not sure yet";
            let is = |a| lawn.applicator == Some(a);
            asked.choices = vec![
                choice(
                    "homeowner",
                    "I treat my own lawn",
                    None,
                    is(Applicator::Homeowner),
                ),
                choice("for-hire", "I treat for pay", None, is(Applicator::ForHire)),
            ];
        }
        "air" => {
            asked.unsure = "Not sure: the limits are printed on the note";
            asked.example = "72F, or 22C, or 60F to 84F";
            asked.typed = lawn.air_temperature.clone().unwrap_or_default();
        }
        "region" => {
            asked.unsure = "Not sure";
            asked.choices = book
                .regions()
                .into_iter()
                .map(|r| choice(r, r, None, lawn.region.as_deref() == Some(r)))
                .collect();
        }
        _ => {
            asked.unsure = "It needs no name";
            asked.example = "the side lawn";
            asked.typed = lawn.name.clone().unwrap_or_default();
        }
    }
    Some(asked)
}

/// Takes an answer. `words` are the choices or the text that was typed; none of them for "not sure".
///
/// # Errors
/// Why it is no answer, in words.
pub fn take(
    book: &Knowledge,
    lawn: &mut Lawn,
    id: &str,
    words: &[String],
    unsure: bool,
) -> Result<(), String> {
    let known = asked(book, lawn, id).ok_or("There is no such question.")?;
    let stranger =
        |w: &String| !known.choices.is_empty() && !known.choices.iter().any(|c| c.value == *w);
    if let Some(word) = words.iter().find(|w| stranger(w)) {
        return Err(format!("`{word}` is not in the list."));
    }
    if unsure && known.unsure.is_empty() {
        return Err("The choice depends on this, so it cannot be left open.".to_owned());
    }
    let one = words.first().filter(|_| !unsure).cloned();
    if one.is_none() && !unsure {
        return Err("Nothing was chosen.".to_owned());
    }
    if one.as_ref().is_some_and(|w| w.chars().count() > LONGEST) {
        return Err(format!("That is too long; at most {LONGEST} letters."));
    }
    match id {
        "grass" => lawn.grass = Many(words.to_vec()),
        "stage" => lawn.stage = one,
        "near" => {
            // Not sure means that it may be there, so all of its cautions are read.
            let all: Vec<String> = if unsure {
                known.choices.iter().map(|c| c.value.clone()).collect()
            } else {
                words.to_vec()
            };
            let only: Vec<String> = all.into_iter().filter(|w| w != NONE).collect();
            lawn.near = Many(if only.is_empty() {
                vec![NONE.to_owned()]
            } else {
                only
            });
        }
        "place" => lawn.place = one,
        "who" => {
            lawn.applicator = one.map(|w| {
                if w == "for-hire" {
                    Applicator::ForHire
                } else {
                    Applicator::Homeowner
                }
            });
        }
        "air" => {
            if let Some(typed) = &one {
                air_range_f(typed).map_err(|e| e.to_string())?;
            }
            lawn.air_temperature = one;
        }
        "region" => lawn.region = one,
        _ => lawn.name = one,
    }
    Ok(())
}

/// What was answered, in words; empty where nothing was.
pub fn answered(book: &Knowledge, lawn: &Lawn, id: &str) -> String {
    let Some(asked) = asked(book, lawn, id) else {
        return String::new();
    };
    if asked.choices.is_empty() {
        return asked.typed;
    }
    let chosen: Vec<&str> = asked
        .choices
        .iter()
        .filter(|c| c.chosen)
        .map(|c| c.label.as_str())
        .collect();
    chosen.join("; ")
}
