//! Lays pages out as HTML.
use super::index::LEADING;
use super::page::Page;
use crate::knowledge::Knowledge;
use serde::Serialize;
use tera::{Context, Tera};

/// Why a handbook cannot be made.
#[derive(Debug, thiserror::Error)]
pub enum HandbookError {
    /// A template is wrong.
    #[error("the template of the handbook does not work: {}", crate::note::chain(.0))]
    Template(#[from] tera::Error),
}

/// The name ends in `.html`: the template engine then escapes whatever it is given.
const PAGE: &str = "page.html";

/// The template of a page and its style sheet.
pub struct Templates {
    engine: Tera,
    style: String,
}

#[derive(Serialize)]
struct Given<'a> {
    page: &'a Page,
    ways: Vec<Way>,
    from: String,
}

/// A leading page in the head of every page.
#[derive(Serialize)]
struct Way {
    to: String,
    name: &'static str,
    here: bool,
}

impl Templates {
    /// The templates inside the program.
    ///
    /// # Errors
    /// Only if the program was built with a broken template.
    pub fn built_in() -> Result<Self, HandbookError> {
        let mut engine = Tera::default();
        engine.add_raw_template(PAGE, include_str!("../../templates/handbook/page.html"))?;
        Ok(Self {
            engine,
            style: include_str!("../../templates/handbook/handbook.css").to_owned(),
        })
    }

    /// The style sheet that all pages share.
    #[must_use]
    pub fn style(&self) -> &str {
        &self.style
    }

    /// A page as HTML.
    ///
    /// # Errors
    /// The template asks for something that the page does not have.
    pub fn html(&self, page: &Page, book: &Knowledge) -> Result<String, HandbookError> {
        let ways = LEADING
            .iter()
            .map(|(path, name)| Way {
                to: format!("{}{path}", page.up),
                name,
                here: page.path == *path,
            })
            .collect();
        let from = book.book.as_ref().map_or_else(String::new, |b| {
            format!("{}, version {}", b.title, b.version)
        });
        let context = Context::from_serialize(&Given { page, ways, from })?;
        Ok(self.engine.render(PAGE, &context)?)
    }
}
