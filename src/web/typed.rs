//! Reading what was typed into the form of an entry: days, times, percentages, names of the book. Faults are told by field.
use super::ask::Fields;
use crate::knowledge::fact::Named;
use crate::knowledge::{Kind, Knowledge};
use jiff::civil::{Date, Time};
use rust_decimal::Decimal;

/// A form that is being read.
pub struct Typed<'a> {
    /// The form.
    pub form: &'a Fields,
    /// Field and what is wrong with it.
    pub faults: Vec<(String, String)>,
}

impl<'a> Typed<'a> {
    /// Begins to read.
    pub fn new(form: &'a Fields) -> Self {
        Self {
            form,
            faults: Vec::new(),
        }
    }

    /// Tells a fault of a field.
    pub fn fault(&mut self, name: &str, words: &impl ToString) {
        self.faults.push((name.to_owned(), words.to_string()));
    }

    /// A text; what the form does not ask stays as it was.
    pub fn text(&self, name: &str, old: Option<&String>) -> Option<String> {
        if self.form.has(name) {
            self.form.text(name)
        } else {
            old.cloned()
        }
    }

    /// A day.
    pub fn date(&mut self, today: Date) -> Date {
        let typed = self.form.get("date");
        match typed.parse::<Date>() {
            Ok(date) if date.to_string() == typed => date,
            _ => {
                self.fault(
                    "date",
                    &format!("`{typed}` is no date; write year, month and day as 2026-05-10"),
                );
                today
            }
        }
    }

    /// A time of the day.
    pub fn time(&mut self, name: &str) -> Option<Time> {
        let typed = self.form.given(name)?;
        let time = typed.parse().ok();
        if time.is_none() {
            self.fault(name, &format!("`{typed}` is no time; write it as 07:30"));
        }
        time
    }

    /// A percentage. Whether it lies between 0 and 100 is for the record to say.
    pub fn percent(&mut self, name: &str) -> Option<Decimal> {
        let typed = self.form.given(name)?;
        let number = typed.trim_end_matches('%').trim_end().parse().ok();
        if number.is_none() {
            self.fault(
                name,
                &format!("`{typed}` is no percentage; write a number from 0 to 100"),
            );
        }
        number
    }

    /// One name of the book.
    pub fn name(
        &mut self,
        book: &Knowledge,
        field: &str,
        kind: Kind,
        typed: &str,
    ) -> Option<String> {
        match book.find(kind, typed) {
            Ok(id) => Some(id),
            Err(unknown) => {
                let near = unknown
                    .suggestion
                    .map_or(String::new(), |n| format!(" Did you mean {n}?"));
                let word = kind.word();
                self.fault(field, &format!("The book has no {word} `{typed}`.{near}"));
                None
            }
        }
    }

    /// Names of the book, one a line; what the form does not ask stays as it was.
    pub fn names(
        &mut self,
        book: &Knowledge,
        field: &str,
        kind: Kind,
        old: &[String],
    ) -> Vec<String> {
        if !self.form.has(field) {
            return old.to_vec();
        }
        let form = self.form;
        let mut all = Vec::new();
        for typed in form.get(field).lines().map(str::trim) {
            if typed.is_empty() {
                continue;
            }
            if let Some(id) = self.name(book, field, kind, typed)
                && !all.contains(&id)
            {
                all.push(id);
            }
        }
        all
    }
}

/// Names to be read again by [`Typed::names`]: the name that people use, or the id where the name means something else.
pub fn shown(book: &Knowledge, kind: Kind, ids: &[String]) -> String {
    let lines: Vec<String> = ids
        .iter()
        .map(|id| {
            let name = match kind {
                Kind::Weed => Named::weed(book, id).name,
                Kind::Turf => {
                    let turf = book.turf.get(id).and_then(|t| t.names.first());
                    Named::or_id(id, turf).name
                }
                Kind::Place => Named::or_id(id, book.places.get(id).map(|p| &p.name)).name,
                _ => id.clone(),
            };
            let same = book.find(kind, &name).is_ok_and(|found| found == *id);
            if same { name } else { id.clone() }
        })
        .collect();
    lines.join("\n")
}
