//! Correcting an entry of the record: the form of its kind, filled in with what it says, and the reason.
use super::ask::Ask;
use super::entry::{Form, Place, WHY, gone, number, put, record};
use super::site::Site;
use super::trouble::Trouble;
use super::typed::Typed;
use super::view::{Frame, go};
use super::{after, applied_read, sown};
use crate::records::{Entry, What};
use axum::response::Response;

/// The entry that is to be corrected. One that has been corrected already leads to what stands in its place.
fn entry(site: &Site, ask: &Ask) -> Result<Entry, Trouble> {
    let number = number(ask.part("n"))?;
    record(site)?.entry(number).map_err(gone)
}

fn action(entry: &Entry) -> String {
    format!("/record/{}/correct", entry.id)
}

fn form(site: &Site, entry: &Entry, typed: Option<&Ask>) -> Result<Form, Trouble> {
    let book = site.book();
    let action = action(entry);
    let sent = |ask: &Ask, name: &str| ask.form.get(name).to_owned();
    let form = match &entry.what {
        What::Application(old) => {
            let value = |name: &str| match typed {
                Some(ask) => sent(ask, name),
                None => applied_read::value(book, old, name),
            };
            Form {
                action,
                parts: applied_read::parts(book, &value),
                ..Form::default()
            }
        }
        What::Observation(old) => {
            let (_, treated) = after::treatment(site, entry.about.unwrap_or(0))?;
            let value = |name: &str| match typed {
                Some(ask) => sent(ask, name),
                None => after::value(old, name),
            };
            after::form(site, &action, &treated, old.date, &value)
        }
        What::Seeding(old) => {
            let value = |name: &str| match typed {
                Some(ask) => sent(ask, name),
                None => sown::value(site, old, name),
            };
            sown::form(&action, &value)
        }
        What::Withdrawal(_) => {
            return Err(Trouble::wrong(format!(
                "Entry {} takes another one back; what was taken back is written down anew.",
                entry.id
            )));
        }
    };
    let why = typed.map_or(String::new(), |ask| sent(ask, WHY));
    Ok(form.with_reason(Place::InPlaceOf(entry.id), &why))
}

fn title(entry: &Entry) -> Frame {
    Frame::plain(&format!("Correct entry {}", entry.id))
}

/// The form.
pub fn show(site: &Site, ask: &Ask) -> Result<Response, Trouble> {
    let entry = entry(site, ask)?;
    if let Some(by) = entry.corrected_by {
        return Ok(go(&format!("/record/{by}/correct")));
    }
    form(site, &entry, None)?.page(site, &title(&entry))
}

/// Writes the correction.
pub fn write(site: &Site, ask: &Ask) -> Result<Response, Trouble> {
    let entry = entry(site, ask)?;
    let mut typed = Typed::new(&ask.form);
    let today = site.today();
    let (what, field_of): (What, fn(&str) -> String) = match &entry.what {
        What::Application(old) => (
            What::Application(applied_read::read(&mut typed, site.book(), old, today)),
            applied_read::field_of,
        ),
        What::Observation(old) => {
            let (_, treated) = after::treatment(site, entry.about.unwrap_or(0))?;
            (
                after::read(site, &mut typed, &treated, old),
                after::field_of,
            )
        }
        What::Seeding(old) => (sown::read(site, &mut typed, old), sown::field_of),
        What::Withdrawal(_) => return form(site, &entry, None)?.page(site, &title(&entry)),
    };
    let why = ask.form.get(WHY);
    if why.is_empty() {
        typed.fault(
            WHY,
            &"Say why it is corrected, so that the record explains itself.",
        );
    }
    if typed.faults.is_empty() {
        match put(site, &what, Place::InPlaceOf(entry.id), why) {
            Ok(number) => return Ok(go(&format!("/record?written={number}"))),
            Err(error) => typed.faults.push(error.fault(&field_of)?),
        }
    }
    form(site, &entry, Some(ask))?
        .with_faults(&typed.faults)
        .page(site, &title(&entry))
}
