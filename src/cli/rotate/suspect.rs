//! Other causes first.
use crate::cli::output::{Format, Outcome, print, print_json};
use anyhow::{Result, anyhow, bail};
use clap::Args;
use ligule::knowledge::{Kind, Knowledge};
use ligule::rotate::suspect::{Answer, Suspicion, suspect};
use serde_json::json;
use std::collections::BTreeMap;
use std::fmt::Write as _;

#[derive(Debug, Args)]
pub struct Arguments {
    /// The weed that lived
    #[arg(long, value_name = "ID")]
    weed: String,
    /// The group that was used
    #[arg(long)]
    group: u16,
    /// An answer to a question of the list: id=yes, id=no or id=unsure
    #[arg(long, value_name = "ID=YES|NO")]
    answer: Vec<String>,
    /// How to print
    #[arg(long, value_enum, default_value_t)]
    format: Format,
}

pub fn run(own: &Arguments, book: &Knowledge) -> Result<Outcome> {
    let weed = book.find(Kind::Weed, &own.weed)?;
    book.find(Kind::Group, &own.group.to_string())?;
    let known: Vec<&str> = book
        .resistance
        .iter()
        .flat_map(|r| &r.other_causes)
        .map(|c| c.id.as_str())
        .collect();
    let mut answers = BTreeMap::new();
    for typed in &own.answer {
        let (id, answer) = typed
            .split_once('=')
            .ok_or_else(|| anyhow!("`{typed}` is no answer; write id=yes or id=no"))?;
        if !known.contains(&id) {
            let near = ligule::words::nearest(id, known.iter().copied());
            bail!(
                "there is no question `{id}`{}; the questions are {}",
                near.map_or(String::new(), |n| format!(" (did you mean `{n}`?)")),
                known.join(", ")
            );
        }
        let answer = match answer.to_lowercase().as_str() {
            "yes" | "y" => Answer::Yes,
            "no" | "n" => Answer::No,
            "unsure" => Answer::Unsure,
            other => bail!("`{other}` is no answer; write yes, no or unsure"),
        };
        answers.insert(id.to_owned(), answer);
    }
    let found = suspect(book, &weed, own.group, &answers);
    match own.format {
        Format::Json => {
            let steps: Vec<&str> = found
                .questions
                .iter()
                .map(|q| q.question.as_str())
                .collect();
            print_json(
                &json!({"schema": "ligule/rotate-suspect/1", "results": found, "steps": steps}),
            )?;
        }
        Format::Human => {
            let mut text = format!("{}\n\n", found.next);
            for question in &found.questions {
                let answer = match question.answer {
                    Answer::Yes => "yes",
                    Answer::No => "no",
                    Answer::Unsure => "?",
                };
                let _ = writeln!(
                    text,
                    "  {answer:<4} {} ({})",
                    question.question, question.id
                );
            }
            if !found.cases.is_empty() {
                let _ = writeln!(text, "\nOn record");
                for case in &found.cases {
                    let works = case
                        .still_works
                        .as_ref()
                        .map_or(String::new(), |w| format!("; still worked: {w}"));
                    let _ = writeln!(
                        text,
                        "  - {}, {} ({}){works}",
                        case.plant, case.place, case.status
                    );
                }
            }
            print(&text)?;
        }
    }
    Ok(if found.suspicion == Suspicion::Suspected {
        Outcome::No
    } else {
        Outcome::Fine
    })
}
