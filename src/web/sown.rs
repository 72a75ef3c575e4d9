//! A seeding, an overseeding or a laying of sod, as a form.
use super::ask::{Ask, Fields};
use super::entry::{Form, Part, Place, WHY, put};
use super::site::Site;
use super::trouble::Trouble;
use super::typed::{Typed, shown};
use super::view::{Field, Frame, go};
use crate::knowledge::Kind;
use crate::records::{Seeding, What};
use axum::response::Response;

const LEAD: &str = "A seeding counts in every later choice: many treatments keep seed from coming up for weeks, and young grass bears less.";

/// What stands in a field of a seeding.
pub fn value(site: &Site, old: &Seeding, name: &str) -> String {
    match name {
        "date" => old.date.to_string(),
        "lawn" => old.lawn.clone().unwrap_or_default(),
        "turf" => shown(site.book(), Kind::Turf, &old.turf),
        "remarks" => old.remarks.clone().unwrap_or_default(),
        _ => String::new(),
    }
}

/// The form.
pub fn form(action: &str, value: &dyn Fn(&str) -> String) -> Form {
    let one =
        |name: &'static str, label: &'static str, hint| Field::new(name, label, hint, value(name));
    Form {
        lead: LEAD.to_owned(),
        action: action.to_owned(),
        button: "Write it down",
        parts: vec![Part {
            fields: vec![
                one(
                    "date",
                    "Day of seeding, overseeding or laying sod",
                    "2026-05-09",
                ),
                one("lawn", "Lawn", "the name that you always use for it"),
                one("turf", "Grass", "its name, one a line").long(),
                one(
                    "remarks",
                    "Remarks",
                    "anything else worth knowing next year",
                )
                .long(),
            ],
            ..Part::default()
        }],
        ..Form::default()
    }
}

/// Reads the form over what was there.
pub fn read(site: &Site, typed: &mut Typed<'_>, old: &Seeding) -> What {
    What::Seeding(Seeding {
        date: typed.date(site.today()),
        lawn: typed.text("lawn", old.lawn.as_ref()),
        turf: typed.names(site.book(), "turf", Kind::Turf, &old.turf),
        remarks: typed.text("remarks", old.remarks.as_ref()),
    })
}

/// The field of an item of the record.
pub fn field_of(item: &str) -> String {
    item.to_owned()
}

const ACTION: &str = "/record/sown";
const TITLE: &str = "Seed or sod";

fn blank(site: &Site) -> Seeding {
    Seeding {
        date: site.today(),
        lawn: None,
        turf: Vec::new(),
        remarks: None,
    }
}

/// The form for a new seeding; the address may name the lawn.
pub fn show(site: &Site, ask: &Ask) -> Result<Response, Trouble> {
    let begun = Seeding {
        lawn: ask.query.text("lawn"),
        turf: ask.query.all("turf"),
        ..blank(site)
    };
    form(ACTION, &|name| value(site, &begun, name)).page(site, &Frame::plain(TITLE))
}

/// Writes a new seeding.
pub fn write(site: &Site, ask: &Ask) -> Result<Response, Trouble> {
    let mut typed = Typed::new(&ask.form);
    let what = read(site, &mut typed, &blank(site));
    if typed.faults.is_empty() {
        match put(site, &what, Place::New, ask.form.get(WHY)) {
            Ok(number) => return Ok(go(&format!("/record?written={number}"))),
            Err(error) => typed.faults.push(error.fault(&field_of)?),
        }
    }
    again(&ask.form, &typed.faults).page(site, &Frame::plain(TITLE))
}

fn again(sent: &Fields, faults: &[(String, String)]) -> Form {
    form(ACTION, &|name| sent.get(name).to_owned()).with_faults(faults)
}
