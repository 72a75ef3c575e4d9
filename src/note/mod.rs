//! The note: a treatment as a page to print, as plain text, and as JSON.
//!
//! [`page::Page`] picks what is printed and numbers the sources; the templates only lay it out. The JSON is the treatment
//! itself, whole.
mod cite;
mod deciding;
mod doing;
pub mod page;
mod phrase;
pub mod spraying;
#[cfg(test)]
mod tests;
pub mod weather;
mod wrap;

use crate::knowledge::sketches::Sketches;
use crate::picture::PictureError;
use crate::treatment::Treatment;
use page::Page;
use tera::{Context, Tera};

/// Why a note cannot be made.
#[derive(Debug, thiserror::Error)]
pub enum NoteError {
    /// A template is wrong.
    #[error("the template of the note does not work: {}", chain(.0))]
    Template(#[from] tera::Error),
    /// A picture cannot be drawn.
    #[error(transparent)]
    Picture(#[from] PictureError),
    /// The treatment cannot be written as JSON.
    #[error("the treatment cannot be written as JSON: {0}")]
    Json(#[from] serde_json::Error),
}

/// An error with its causes in one line.
pub(crate) fn chain(error: &tera::Error) -> String {
    let mut text = error.to_string();
    let mut cause = std::error::Error::source(error);
    while let Some(inner) = cause {
        text = format!("{text}: {inner}");
        cause = inner.source();
    }
    text
}

/// Columns of the plain text.
pub const TEXT_COLUMNS: usize = 78;
/// Names of the templates. What ends in `.html` is escaped by the template engine, whatever it holds.
const HTML: &str = "note.html";
const TEXT: &str = "note.txt";

/// The templates of the note. Both are given a [`Page`].
#[derive(Clone)]
pub struct Templates {
    // An engine each: both templates may define components of the same name.
    html: Tera,
    text: Tera,
    sketches: Sketches,
}

impl Templates {
    /// The templates inside the program.
    ///
    /// # Errors
    /// Only if the program was built with a broken template.
    pub fn built_in() -> Result<Self, NoteError> {
        Self::from_texts(
            include_str!("../../templates/note.html"),
            include_str!("../../templates/note.txt"),
        )
    }

    /// Templates of one's own: the text of an HTML template and of a plain text template.
    ///
    /// # Errors
    /// A template that cannot be read; the error shows the line.
    pub fn from_texts(html: &str, text: &str) -> Result<Self, NoteError> {
        let engine = |name: &str, template: &str| -> Result<Tera, NoteError> {
            let mut engine = Tera::default();
            engine.add_raw_template(name, template)?;
            Ok(engine)
        };
        Ok(Self {
            html: engine(HTML, html)?,
            text: engine(TEXT, text)?,
            sketches: Sketches::embedded(),
        })
    }

    /// The same with the drawings of another book.
    #[must_use]
    pub fn with_sketches(self, sketches: Sketches) -> Self {
        Self { sketches, ..self }
    }

    /// The note as one HTML file that needs nothing else.
    ///
    /// # Errors
    /// The template asks for something that the page does not have.
    pub fn html(&self, treatment: &Treatment) -> Result<String, NoteError> {
        let mut page = Page::of(treatment, &self.sketches);
        page.draw(treatment)?;
        render(&self.html, HTML, &page)
    }

    /// The note as plain text of at most [`TEXT_COLUMNS`] columns.
    ///
    /// # Errors
    /// The template asks for something that the page does not have.
    pub fn text(&self, treatment: &Treatment) -> Result<String, NoteError> {
        Ok(wrap::wrap(
            &render(&self.text, TEXT, &Page::of(treatment, &self.sketches))?,
            TEXT_COLUMNS,
        ))
    }
}

fn render(engine: &Tera, name: &str, page: &Page) -> Result<String, NoteError> {
    let context = Context::from_serialize(page)?;
    Ok(engine.render(name, &context)?)
}

/// The note as one HTML file, by the templates inside the program.
///
/// # Errors
/// Only if the program was built with a broken template.
pub fn html(treatment: &Treatment) -> Result<String, NoteError> {
    Templates::built_in()?.html(treatment)
}

/// The note as plain text, by the templates inside the program.
///
/// # Errors
/// Only if the program was built with a broken template.
pub fn text(treatment: &Treatment) -> Result<String, NoteError> {
    Templates::built_in()?.text(treatment)
}

/// The whole treatment as JSON, indented, with a line end.
///
/// # Errors
/// The treatment cannot be written as JSON, which no treatment made by this library is known to do.
pub fn json(treatment: &Treatment) -> Result<String, NoteError> {
    let mut text = serde_json::to_string_pretty(treatment)?;
    text.push('\n');
    Ok(text)
}
