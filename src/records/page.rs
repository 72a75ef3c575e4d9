//! The record as a page to print.
use super::entry::{Entry, What};
use super::error::RecordError;
use super::fields;
use crate::knowledge::Knowledge;
use serde::Serialize;
use tera::{Context, Tera};

/// What the template is given.
#[derive(Debug, Serialize)]
struct Page<'a> {
    title: &'a str,
    printed_on: String,
    rows: Vec<Sheet>,
}

/// One entry as it is printed.
#[derive(Debug, Serialize)]
struct Sheet {
    number: i64,
    uid: String,
    heading: String,
    /// Whether it was corrected or taken back.
    void: bool,
    /// What became of it, or what it replaces.
    standing: Vec<String>,
    lines: Vec<(String, String)>,
    /// Items that rules name and that are not there, each with whom to ask.
    missing: Vec<String>,
}

const NAME: &str = "record.html";
const TEMPLATE: &str = include_str!("../../templates/record.html");

/// The page as one HTML file that needs nothing else. Text of users is escaped by the template engine.
///
/// # Errors
/// Only if the program was built with a broken template.
pub fn html(
    book: &Knowledge,
    entries: &[Entry],
    title: &str,
    today: jiff::civil::Date,
) -> Result<String, RecordError> {
    let page = Page {
        title,
        printed_on: today.to_string(),
        rows: entries.iter().map(|e| sheet(book, e)).collect(),
    };
    let fail = |e: tera::Error| RecordError::Page(e.to_string());
    let mut engine = Tera::default();
    engine.add_raw_template(NAME, TEMPLATE).map_err(fail)?;
    engine
        .render(NAME, &Context::from_serialize(&page).map_err(fail)?)
        .map_err(fail)
}

fn sheet(book: &Knowledge, entry: &Entry) -> Sheet {
    let mut standing = Vec::new();
    let why = entry.why.as_deref().unwrap_or_default();
    if let Some(old) = entry.corrects {
        standing.push(format!("replaces entry {old}: {why}"));
    }
    if let Some(by) = entry.corrected_by {
        standing.push(format!("no longer stands; see entry {by}"));
    }
    Sheet {
        number: entry.id,
        uid: entry.uid.clone(),
        heading: heading(entry),
        void: entry.corrected_by.is_some() || matches!(entry.what, What::Withdrawal(_)),
        standing,
        lines: lines(book, entry),
        missing: match &entry.what {
            What::Application(a) => fields::missing(book, a)
                .into_iter()
                .map(|m| format!("{} (check with {})", m.name, m.check_with.join(", ")))
                .collect(),
            _ => Vec::new(),
        },
    }
}

fn heading(entry: &Entry) -> String {
    let kind = match entry.what {
        What::Application(_) => "treatment",
        What::Observation(_) => "observation",
        What::Seeding(_) => "seeding",
        What::Withdrawal(_) => "taken back",
    };
    let lawn = entry
        .what
        .lawn()
        .map_or(String::new(), |l| format!(", {l}"));
    format!("{}: {kind}{lawn}", entry.what.date())
}

fn lines(book: &Knowledge, entry: &Entry) -> Vec<(String, String)> {
    let mut lines = vec![("written on".to_owned(), entry.recorded_on.to_string())];
    let mut put = |name: &str, value: Option<String>| {
        if let Some(value) = value {
            lines.push((name.to_owned(), value));
        }
    };
    match &entry.what {
        What::Application(a) => {
            for field in &book.record_fields {
                put(&field.name, fields::value(a, &field.id));
            }
            let known = |id: &String| book.record_fields.iter().any(|f| f.id == *id);
            for (id, text) in a.items.iter().filter(|(id, _)| !known(id)) {
                put(id, Some(text.clone()));
            }
            for used in a.products.iter().flat_map(|p| &p.actives) {
                let amount = used
                    .rate
                    .map_or_else(|| "amount not written down".to_owned(), |r| r.to_string());
                put(&used.active, Some(amount));
            }
            put("remarks", a.remarks.clone());
        }
        What::Observation(o) => {
            put(
                "of the treatment",
                entry.about.map(|id| format!("entry {id}")),
            );
            put("weed", o.weed.clone());
            put("control", o.control_percent.map(|p| format!("{p} %")));
            put(
                "injury to the grass",
                o.injury_percent.map(|p| format!("{p} %")),
            );
            put("what it looks like", o.injury.clone());
            put(
                "resistance",
                o.resistance_suspected.then(|| "suspected".to_owned()),
            );
            put("remarks", o.remarks.clone());
        }
        What::Seeding(s) => {
            put("grass", (!s.turf.is_empty()).then(|| s.turf.join(", ")));
            put("remarks", s.remarks.clone());
        }
        What::Withdrawal(_) => {}
    }
    lines
}
