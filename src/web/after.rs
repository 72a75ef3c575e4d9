//! What was seen after a treatment, as a form.
use super::ask::{Ask, Fields};
use super::entry::{Choice, Form, Part, Place, WHY, gone, number, put, record};
use super::site::Site;
use super::trouble::Trouble;
use super::typed::Typed;
use super::view::{Field, Frame, go};
use crate::knowledge::fact::Named;
use crate::records::{Application, Entry, Observation, What, expect};
use axum::response::Response;
use jiff::civil::Date;

const TITLE: &str = "What is seen now";
const SUSPECTED: &str = "suspected";

/// What stands in a field of an observation.
pub fn value(old: &Observation, name: &str) -> String {
    let percent = |p: Option<rust_decimal::Decimal>| p.map_or(String::new(), |p| p.to_string());
    match name {
        "date" => old.date.to_string(),
        "weed" => old.weed.clone().unwrap_or_default(),
        "control" => percent(old.control_percent),
        "injury" => percent(old.injury_percent),
        "looks" => old.injury.clone().unwrap_or_default(),
        SUSPECTED if old.resistance_suspected => "yes".to_owned(),
        "remarks" => old.remarks.clone().unwrap_or_default(),
        _ => String::new(),
    }
}

/// The form about a treatment.
pub fn form(
    site: &Site,
    action: &str,
    treated: &Application,
    day: Date,
    value: &dyn Fn(&str) -> String,
) -> Form {
    let book = site.book();
    let one =
        |name: &'static str, label: &'static str, hint| Field::new(name, label, hint, value(name));
    let taken = value("weed");
    let mut answers = vec![(
        String::new(),
        "All weeds of the treatment".to_owned(),
        !treated.weeds.contains(&taken),
    )];
    answers.extend(
        treated
            .weeds
            .iter()
            .map(|w| (w.clone(), Named::weed(book, w).name, *w == taken)),
    );
    let choice = (treated.weeds.len() > 1).then_some(Choice {
        name: "weed",
        legend: "Which weed did you look at?",
        answers,
    });
    Form {
        lead: format!(
            "On {} something was put on. Walk over the place and look closely.",
            treated.date
        ),
        beside: expect::expected(book, treated, expect::days_between(treated.date, day))
            .into_iter()
            .map(|e| e.text)
            .collect(),
        beside_title: "What it should look like by now",
        action: action.to_owned(),
        button: "Write it down",
        parts: vec![
            Part {
                choice,
                fields: vec![
                    one("date", "Day of looking", "2026-05-09"),
                    one(
                        "control",
                        "Percent of the weed that is gone or dying",
                        "0: all of it still green or growing back; 50: half of it dead or dying; 100: all gone",
                    )
                    .figure(),
                    one(
                        "injury",
                        "Percent of the grass that is injured",
                        "0: the grass looks as it did before; may stay empty",
                    )
                    .figure(),
                    one(
                        "looks",
                        "What the injury looks like",
                        "yellow, white tips, thin; may stay empty",
                    ),
                ],
                ..Part::default()
            },
            Part {
                ticks: vec![(
                    SUSPECTED,
                    "The weed withstood it, and other causes have been ruled out: the amount, the weather, the age of the weed, plants that came up later",
                    value(SUSPECTED) == "yes",
                )],
                fields: vec![
                    one("remarks", "Remarks", "new growth from the root, new seedlings, anything else").long(),
                ],
                ..Part::default()
            },
        ],
        ..Form::default()
    }
}

/// Reads the form over what was there.
pub fn read(site: &Site, typed: &mut Typed<'_>, treated: &Application, old: &Observation) -> What {
    let weed = match typed.form.given("weed") {
        Some(id) if treated.weeds.iter().any(|w| w == id) => Some(id.to_owned()),
        Some(_) => None,
        None if typed.form.has("weed") => None,
        None => old.weed.clone(),
    };
    What::Observation(Observation {
        date: typed.date(site.today()),
        weed,
        control_percent: typed.percent("control"),
        injury_percent: typed.percent("injury"),
        injury: typed.text("looks", old.injury.as_ref()),
        resistance_suspected: typed.form.get(SUSPECTED) == "yes",
        remarks: typed.text("remarks", old.remarks.as_ref()),
    })
}

/// The field of an item of the record.
pub fn field_of(item: &str) -> String {
    match item {
        "control-percent" | "observation" => "control",
        "injury-percent" => "injury",
        "injury" => "looks",
        "remarks" => "remarks",
        _ => "date",
    }
    .to_owned()
}

/// The treatment that stands at a number.
pub fn treatment(site: &Site, number: i64) -> Result<(Entry, Application), Trouble> {
    let entry = record(site)?.standing(number).map_err(gone)?;
    match entry.what.clone() {
        What::Application(treated) => Ok((entry, treated)),
        _ => Err(Trouble::wrong(format!(
            "Entry {number} is no treatment that stands, so nothing can be seen after it."
        ))),
    }
}

fn blank(day: Date) -> Observation {
    Observation {
        date: day,
        weed: None,
        control_percent: None,
        injury_percent: None,
        injury: None,
        resistance_suspected: false,
        remarks: None,
    }
}

fn action(entry: &Entry) -> String {
    format!("/record/{}/seen", entry.id)
}

/// The form for something new that was seen.
pub fn show(site: &Site, ask: &Ask) -> Result<Response, Trouble> {
    let (entry, treated) = treatment(site, number(ask.part("n"))?)?;
    let today = site.today();
    let begun = blank(today);
    form(site, &action(&entry), &treated, today, &|name| {
        value(&begun, name)
    })
    .page(site, &Frame::plain(TITLE))
}

/// Writes what was seen.
pub fn write(site: &Site, ask: &Ask) -> Result<Response, Trouble> {
    let (entry, treated) = treatment(site, number(ask.part("n"))?)?;
    let today = site.today();
    let mut typed = Typed::new(&ask.form);
    let what = read(site, &mut typed, &treated, &blank(today));
    if typed.faults.is_empty() {
        match put(site, &what, Place::After(entry.id), ask.form.get(WHY)) {
            Ok(number) => return Ok(go(&format!("/record?written={number}"))),
            Err(error) => typed.faults.push(error.fault(&field_of)?),
        }
    }
    let sent: &Fields = &ask.form;
    form(site, &action(&entry), &treated, today, &|name| {
        sent.get(name).to_owned()
    })
    .with_faults(&typed.faults)
    .page(site, &Frame::plain(TITLE))
}
