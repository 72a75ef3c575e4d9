//! A treatment asked for question by question. An empty line leaves an item out, `done` ends the questions.
use super::super::ask::Ask;
use anyhow::Result;
use jiff::civil::Date;
use ligule::knowledge::{Kind, Knowledge};
use ligule::records::{ActiveUsed, Application, Product, Rate, fields};
use std::io;

/// How a question was answered.
enum Got {
    Text(String),
    Nothing,
    Done,
    End,
}

/// Asks for what the treatment lacks. `false` when the input ended before there was enough.
pub fn treatment(book: &Knowledge, treatment: &mut Application, today: Date) -> Result<bool> {
    let mut input = io::stdin().lock();
    // Standard output belongs to the answer; questions are talk.
    let mut output = io::stderr().lock();
    let mut ask = Ask::new(&mut input, &mut output);
    ask.say("An empty line leaves an item out; done ends the questions; the end of input writes nothing.\n")?;
    if treatment.products.is_empty() {
        treatment.products.push(Product::default());
    }
    if !basics(book, treatment, today, &mut ask)? {
        return stopped(&mut ask);
    }
    while treatment.products[0].actives.is_empty() {
        match actives(book, treatment, &mut ask)? {
            Got::End | Got::Done => return stopped(&mut ask),
            Got::Nothing | Got::Text(_) => {}
        }
    }
    let product = &mut treatment.products[0];
    let texts: [(&str, &mut Option<String>); 5] = [
        ("Name of the product as on the label", &mut product.name),
        ("Its registration number", &mut product.registration),
        ("Product per area (0.367 oz/1000 sq ft)", &mut product.rate),
        ("Product in all (1.5 oz)", &mut product.total),
        ("Area treated (4000 sq ft)", &mut treatment.area),
    ];
    for (question, into) in texts.into_iter().filter(|(_, into)| into.is_none()) {
        match line(&mut ask, question)? {
            Got::Text(text) => *into = Some(text),
            Got::Nothing => {}
            Got::Done => return Ok(true),
            Got::End => return stopped(&mut ask),
        }
    }
    items(book, treatment, &mut ask)
}

fn stopped(ask: &mut Ask<'_>) -> Result<bool> {
    ask.say("Nothing was written.\n")?;
    Ok(false)
}

fn line(ask: &mut Ask<'_>, question: &str) -> Result<Got> {
    Ok(match ask.line(&format!("{question}: "))? {
        None => Got::End,
        Some(text) if text.is_empty() => Got::Nothing,
        Some(text) if text == "done" => Got::Done,
        Some(text) => Got::Text(text),
    })
}

/// Day, lawn, place and weeds.
fn basics(
    book: &Knowledge,
    treatment: &mut Application,
    today: Date,
    ask: &mut Ask<'_>,
) -> Result<bool> {
    loop {
        match line(
            ask,
            &format!("Day of the treatment (empty for {})", treatment.date),
        )? {
            Got::End | Got::Done => return Ok(false),
            Got::Nothing => break,
            Got::Text(typed) => match super::day(&typed) {
                Ok(date) if date <= today => {
                    treatment.date = date;
                    break;
                }
                Ok(_) => ask.say(&format!(
                    "That day lies in the future (today is {today}).\n"
                ))?,
                Err(remedy) => ask.say(&format!("`{typed}` is no day; {remedy}.\n"))?,
            },
        }
    }
    if treatment.lawn.is_none() {
        match line(ask, "The lawn or the part of it")? {
            Got::End | Got::Done => return Ok(false),
            Got::Nothing => {}
            Got::Text(text) => treatment.lawn = Some(text),
        }
    }
    if treatment.place.is_none() {
        match named(
            book,
            Kind::Place,
            "The place whose law counts (such as us-tx)",
            ask,
        )? {
            Got::End => return Ok(false),
            Got::Nothing | Got::Done => {}
            Got::Text(place) => treatment.place = Some(place),
        }
    }
    while treatment.weeds.len() < 20 {
        match named(
            book,
            Kind::Weed,
            if treatment.weeds.is_empty() {
                "The weed"
            } else {
                "Another weed"
            },
            ask,
        )? {
            Got::End => return Ok(false),
            Got::Nothing | Got::Done => break,
            Got::Text(weed) => treatment.weeds.push(weed),
        }
    }
    Ok(true)
}

/// The id of a name of the book.
fn named(book: &Knowledge, kind: Kind, question: &str, ask: &mut Ask<'_>) -> Result<Got> {
    loop {
        match line(ask, question)? {
            Got::Text(typed) => match book.find(kind, &typed) {
                Ok(id) => return Ok(Got::Text(id)),
                Err(unknown) => ask.say(&format!("{unknown}\n"))?,
            },
            other => return Ok(other),
        }
    }
}

/// One active after another, each with its amount.
fn actives(book: &Knowledge, treatment: &mut Application, ask: &mut Ask<'_>) -> Result<Got> {
    loop {
        let first = treatment.products[0].actives.is_empty();
        let question = if first {
            "Active ingredient, as the label names it"
        } else {
            "Another active of the same product"
        };
        let active = match named(book, Kind::Active, question, ask)? {
            Got::End => return Ok(Got::End),
            Got::Nothing | Got::Done if first => {
                ask.say(
                    "Without the active no limit can be kept; the label names it on its front.\n",
                )?;
                return Ok(Got::Nothing);
            }
            Got::Nothing | Got::Done => return Ok(Got::Nothing),
            Got::Text(active) => active,
        };
        let rate = loop {
            match line(
                ask,
                &format!("Amount of {active} per area (0.75 lb/acre, 90 g/ha)"),
            )? {
                Got::End => return Ok(Got::End),
                Got::Nothing | Got::Done => break None,
                Got::Text(typed) => match typed.parse::<Rate>() {
                    Ok(rate) => break Some(rate),
                    Err(bad) => ask.say(&format!("{bad}\n"))?,
                },
            }
        };
        treatment.products[0]
            .actives
            .push(ActiveUsed { active, rate });
    }
}

/// The other items: those that a rule of the place names first.
fn items(book: &Knowledge, treatment: &mut Application, ask: &mut Ask<'_>) -> Result<bool> {
    let named: Vec<String> = fields::missing(book, treatment)
        .into_iter()
        .map(|m| m.field)
        .collect();
    let (first, rest): (Vec<_>, Vec<_>) = book
        .record_fields
        .iter()
        .filter(|f| {
            fields::value(treatment, &f.id).is_none()
                && !ligule::records::csv::COLUMNS.contains(&f.id.as_str())
        })
        .partition(|f| named.contains(&f.id));
    for field in first.into_iter().chain(rest) {
        let by_rule = if named.contains(&field.id) {
            " (a rule of the place names it)"
        } else {
            ""
        };
        match line(ask, &format!("{}{by_rule}", field.name))? {
            Got::Text(text) => {
                treatment.items.insert(field.id.clone(), text);
            }
            Got::Nothing => {}
            Got::Done => return Ok(true),
            Got::End => return stopped(ask),
        }
    }
    Ok(true)
}
