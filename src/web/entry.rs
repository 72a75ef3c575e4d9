//! The form of an entry of the record, and its writing: a new one, or one that takes the place of another.
use super::site::Site;
use super::trouble::Trouble;
use super::view::{Field, Frame, again};
use crate::records::{Filter, RecordError, Store, What};
use axum::response::Response;
use serde::Serialize;

/// Answers of which one is taken.
#[derive(Debug, Clone, Default, Serialize)]
pub struct Choice {
    /// Name in the form.
    pub name: &'static str,
    /// What is asked.
    pub legend: &'static str,
    /// Value, words, and whether it is the one that is taken.
    pub answers: Vec<(String, String, bool)>,
}

/// Fields that belong together.
#[derive(Debug, Clone, Default, Serialize)]
pub struct Part {
    /// Its heading; none for the first part.
    pub heading: String,
    /// Whether it is folded until it is wanted.
    pub folded: bool,
    /// Whether a folded part is shown open.
    pub open: bool,
    /// Its choice.
    pub choice: Option<Choice>,
    /// Its fields.
    pub fields: Vec<Field>,
    /// Name, words and state of what is ticked.
    pub ticks: Vec<(&'static str, &'static str, bool)>,
}

/// A form.
#[derive(Debug, Clone, Default, Serialize)]
pub struct Form {
    /// What it is for.
    pub lead: String,
    /// What helps to fill it in.
    pub beside: Vec<String>,
    /// What `beside` is.
    pub beside_title: &'static str,
    /// Where it is sent.
    pub action: String,
    /// What is wrong with the whole.
    pub fault: String,
    /// Fields that are faulty.
    pub faults: usize,
    /// Its parts.
    pub parts: Vec<Part>,
    /// The words on the button.
    pub button: &'static str,
}

/// What a form writes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    /// A new entry.
    New,
    /// What was seen after this treatment.
    After(i64),
    /// An entry in the place of this one.
    InPlaceOf(i64),
}

/// The field for the reason of a correction.
pub const WHY: &str = "why";

impl Form {
    /// Asks for the reason, where something is corrected.
    #[must_use]
    pub fn with_reason(mut self, place: Place, why: &str) -> Self {
        if let Place::InPlaceOf(number) = place {
            self.lead = format!(
                "Entry {number} is replaced by what stands here. The record keeps the old entry and the reason."
            );
            let field = Field::new(
                WHY,
                "Why is it corrected?",
                "read from the wrong line of the label",
                why.to_owned(),
            );
            self.parts.push(Part {
                fields: vec![field],
                ..Part::default()
            });
            self.button = "Put this in its place";
        }
        self
    }

    /// Puts faults to their fields; a fault without a field is told at the top.
    #[must_use]
    pub fn with_faults(mut self, faults: &[(String, String)]) -> Self {
        for (name, words) in faults {
            let mut found = false;
            for part in &mut self.parts {
                for field in part.fields.iter_mut().filter(|f| f.name == *name) {
                    field.fault.clone_from(words);
                    found = true;
                    part.open = true;
                }
            }
            if found {
                self.faults += 1;
            } else {
                self.fault.clone_from(words);
            }
        }
        self
    }

    /// The page with the form.
    ///
    /// # Errors
    /// A template that does not fit.
    pub fn page(&self, site: &Site, frame: &Frame) -> Result<Response, Trouble> {
        let page = site.page("write.html", frame, self);
        if self.faults == 0 && self.fault.is_empty() {
            page
        } else {
            page.map(again)
        }
    }
}

/// Writes an entry and gives its number. The same form sent twice is written once.
///
/// # Errors
/// What the record refuses.
pub fn put(site: &Site, what: &What, place: Place, why: &str) -> Result<i64, PutError> {
    let today = site.today();
    what.check(today)?;
    let path = site.folder.record()?;
    let (mut store, _) = Store::open_or_create(&path)?;
    if let Place::InPlaceOf(id) = place {
        let old = store.entry(id)?;
        if let Some(by) = old.corrected_by
            && store.entry(by)?.what == *what
        {
            return Ok(by);
        }
        if old.what == *what {
            return Err(PutError::Same(id));
        }
        return Ok(store.correct(id, what, why, today)?.id);
    }
    let of_the_day = Filter {
        from: Some(what.date()),
        to: Some(what.date()),
        ..Filter::default()
    };
    let about = match place {
        Place::After(id) => Some(id),
        _ => None,
    };
    let there = store.list(&of_the_day)?;
    if let Some(same) = there.iter().find(|e| e.what == *what && e.about == about) {
        return Ok(same.id);
    }
    let made = match about {
        Some(id) => store.observe(id, what, today)?,
        None => store.add(what, today)?,
    };
    Ok(made.id)
}

/// Why an entry was not written.
#[derive(Debug)]
pub enum PutError {
    /// The record refuses it.
    Refused(RecordError),
    /// The correction corrects nothing.
    Same(i64),
    /// The lawn folder refuses.
    Folder(Trouble),
}

impl From<RecordError> for PutError {
    fn from(error: RecordError) -> Self {
        Self::Refused(error)
    }
}

impl From<Trouble> for PutError {
    fn from(trouble: Trouble) -> Self {
        Self::Folder(trouble)
    }
}

impl PutError {
    /// The fault, at the field that `field_of` knows for an item of the record.
    ///
    /// # Errors
    /// Trouble with the folder, which no field can mend.
    pub fn fault(self, field_of: &dyn Fn(&str) -> String) -> Result<(String, String), Trouble> {
        match self {
            Self::Folder(trouble) => Err(trouble),
            Self::Same(id) => Ok((
                String::new(),
                format!("Nothing in entry {id} would change; write what is to be corrected."),
            )),
            Self::Refused(error) => {
                let field = match &error {
                    RecordError::Item { item, .. } => field_of(item),
                    RecordError::Future { .. } => "date".to_owned(),
                    _ => String::new(),
                };
                Ok((field, error.to_string()))
            }
        }
    }
}

/// The number of an entry in an address.
///
/// # Errors
/// No number.
pub fn number(typed: &str) -> Result<i64, Trouble> {
    typed
        .parse()
        .ok()
        .filter(|n| *n > 0 && typed.len() <= 9)
        .ok_or(Trouble::Missing)
}

/// Trouble with the record that no form can mend.
#[allow(clippy::needless_pass_by_value, reason = "as `map_err` hands it on")]
pub fn broken(error: impl ToString) -> Trouble {
    Trouble::Broken(format!("The record: {}.", error.to_string()))
}

/// Trouble with an entry that may not be there.
pub fn gone(error: RecordError) -> Trouble {
    match error {
        RecordError::NoEntry { .. } => Trouble::Missing,
        other => broken(other),
    }
}

/// The record, where there is one.
///
/// # Errors
/// None is there, or it cannot be read.
pub fn record(site: &Site) -> Result<Store, Trouble> {
    let path = site.folder.record()?;
    if !path.exists() {
        return Err(Trouble::Missing);
    }
    Store::open(&path).map_err(broken)
}
