//! Forms of figures as they stand on a label or a tape: a table of fields, what stands in them, and reading them, every
//! fault beside its field.
use super::ask::Fields;
use super::lawn::lines;
use super::view::Field;
use crate::lawn::{Several, Written};
use crate::measure::Fault;
use std::str::FromStr;

/// A field: name in the form, what to read, how to fill it in, whether it takes several lines.
pub type Row = (&'static str, &'static str, &'static str, bool);

/// The fields of a table with what stands in them.
pub fn fields(table: &[Row], value: impl Fn(&str) -> String) -> Vec<Field> {
    table
        .iter()
        .map(|(name, label, hint, long)| Field {
            long: *long,
            ..Field::new(*name, *label, hint, value(name))
        })
        .collect()
}

/// A figure as it was written.
pub fn text<T>(one: Option<&Written<T>>) -> String {
    one.map_or(String::new(), |w| w.text().to_owned())
}

/// Figures as they were written, one a line.
pub fn texts<T>(all: &Several<Written<T>>) -> String {
    let all: Vec<&str> = all.0.iter().map(Written::text).collect();
    all.join("\n")
}

/// Reads a form, field by field; every fault goes beside its field.
pub struct Reader<'a> {
    form: &'a Fields,
    /// The fields with their faults.
    pub fields: Vec<Field>,
}

impl<'a> Reader<'a> {
    /// Begins to read a form with the fields of a table.
    pub fn new(form: &'a Fields, table: &[Row]) -> Self {
        Self {
            form,
            fields: fields(table, |name| form.get(name).to_owned()),
        }
    }

    /// Whether nothing is wrong so far.
    pub fn is_fine(&self) -> bool {
        self.fields.iter().all(|f| f.fault.is_empty())
    }

    /// Tells a fault of a field.
    pub fn fault(&mut self, name: &str, words: &impl ToString) {
        if let Some(field) = self.fields.iter_mut().find(|f| f.name == name) {
            field.fault = words.to_string();
        }
    }

    /// A figure.
    pub fn figure<T: FromStr<Err = Fault>>(&mut self, name: &str) -> Option<Written<T>> {
        match self.form.given(name)?.parse() {
            Ok(figure) => Some(figure),
            Err(fault) => {
                self.fault(name, &fault);
                None
            }
        }
    }

    /// Figures, one a line.
    pub fn figures<T: FromStr<Err = Fault>>(&mut self, name: &str) -> Several<Written<T>> {
        lines(self.form.get(name)).unwrap_or_else(|fault| {
            self.fault(name, &fault);
            Several::default()
        })
    }

    /// A whole number.
    pub fn number(&mut self, name: &str) -> Option<u32> {
        let typed = self.form.given(name)?;
        match typed.parse() {
            Ok(number) if number <= 1000 => Some(number),
            _ => {
                self.fault(name, &format!("`{typed}` is no whole number"));
                None
            }
        }
    }

    /// Words, one a line.
    pub fn words(&self, name: &str) -> Vec<String> {
        let lines = self.form.get(name).lines().map(str::trim);
        lines.filter(|l| !l.is_empty()).map(str::to_owned).collect()
    }

    /// `name = figure`, one a line.
    pub fn pairs(&mut self, name: &str) -> Vec<(String, String)> {
        let mut pairs = Vec::new();
        for line in self.words(name) {
            match line.split_once('=') {
                Some((of, figure)) if !of.trim().is_empty() => {
                    pairs.push((of.trim().to_owned(), figure.trim().to_owned()));
                }
                _ => self.fault(
                    name,
                    &format!("`{line}`: write the name, =, and the figure"),
                ),
            }
        }
        pairs
    }
}
