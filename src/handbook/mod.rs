//! The field handbook: the whole knowledge as pages that need nothing but a browser or a printer.
//!
//! [`page::Page`] is what a page says; [`render`] lays it out as HTML, [`text`] as plain text for the terminal. Making
//! pages touches no file; [`put`] writes them.
mod active;
mod group;
mod index;
mod law;
mod mark;
mod mixing;
mod offers;
pub mod page;
mod pen;
mod place;
mod plant;
pub mod put;
mod render;
mod source;
mod stage;
pub mod text;
mod turf;
mod weed;
mod year;

pub use render::{HandbookError, Templates};

use crate::choose::{Request, cautions};
use crate::knowledge::sketches::Sketches;
use crate::knowledge::{Kind, Knowledge};
use crate::words::capital;
use offers::Offers;
use page::{Line, Page};
use pen::Pen;

/// The knowledge with what is reckoned from it once for all pages.
pub struct Shelf<'a> {
    book: &'a Knowledge,
    drawings: Sketches,
    offers: Offers<'a>,
}

/// One file of the handbook.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct File {
    /// Path from the top of the handbook, with `/`.
    pub path: String,
    /// What stands in it.
    pub text: String,
}

impl<'a> Shelf<'a> {
    /// Takes a book and its drawings, and weighs the book once.
    #[must_use]
    pub fn new(book: &'a Knowledge, drawings: Sketches) -> Self {
        Self {
            book,
            drawings,
            offers: Offers::of(book),
        }
    }

    /// The page of one entry; `None` where the book has no such entry.
    #[must_use]
    pub fn page(&self, kind: Kind, id: &str) -> Option<Page> {
        let book = self.book;
        Some(match kind {
            Kind::Weed => weed::page(self, id, book.weeds.get(id)?),
            Kind::Turf => turf::page(self, id, book.turf.get(id)?),
            Kind::Active => active::page(self, id, book.actives.get(id)?),
            Kind::Place => law::page(self, id, book.places.get(id)?),
            Kind::Source => source::page(self, &source::Uses::of(book), id, book.sources.get(id)?),
            Kind::Trait => mark::page(self, book.traits.iter().find(|t| t.id == id)?),
            Kind::Group => group::page(
                self,
                book.groups.iter().find(|g| g.number.to_string() == id)?,
            ),
            Kind::Stage => stage::page(self, book.stages.iter().find(|s| s.id == id)?),
            Kind::Situation => stage::situation(self, book.situations.iter().find(|s| s.id == id)?),
        })
    }

    /// Every page of the handbook.
    #[must_use]
    pub fn pages(&self) -> Vec<Page> {
        let book = self.book;
        let uses = source::Uses::of(book);
        let mut pages = index::pages(self);
        pages.extend(book.weeds.iter().map(|(id, w)| weed::page(self, id, w)));
        pages.extend(book.turf.iter().map(|(id, t)| turf::page(self, id, t)));
        pages.extend(book.actives.iter().map(|(id, a)| active::page(self, id, a)));
        pages.extend(book.groups.iter().map(|g| group::page(self, g)));
        pages.extend(book.places.iter().map(|(id, p)| law::page(self, id, p)));
        pages.extend(book.traits.iter().map(|t| mark::page(self, t)));
        pages.extend(
            book.sources
                .iter()
                .map(|(id, s)| source::page(self, &uses, id, s)),
        );
        pages
    }

    /// The whole handbook as files.
    ///
    /// # Errors
    /// A template that does not work.
    pub fn files(&self, templates: &Templates) -> Result<Vec<File>, HandbookError> {
        let mut files = vec![File {
            path: "handbook.css".to_owned(),
            text: templates.style().to_owned(),
        }];
        for page in self.pages() {
            files.push(File {
                text: templates.html(&page, self.book)?,
                path: page.path,
            });
        }
        for (of, state, drawing) in plant::drawn(&self.drawings, &self.book.traits) {
            files.push(File {
                path: place::drawing(&of, &state),
                text: drawing.to_owned(),
            });
        }
        Ok(files)
    }
}

/// A kind of page in a word or two.
fn kind_words(kind: Kind) -> &'static str {
    match kind {
        Kind::Weed => "weed",
        Kind::Turf => "lawn grass",
        Kind::Active => "active ingredient",
        Kind::Group => "site-of-action group",
        Kind::Place => "place",
        Kind::Trait => "what you see",
        Kind::Source => "source",
        Kind::Stage => "stage of the grass",
        Kind::Situation => "situation",
    }
}

fn empty(path: &str, up: &'static str, kind: &str, title: &str) -> Page {
    Page {
        path: path.to_owned(),
        up,
        kind: kind.to_owned(),
        title: title.to_owned(),
        latin: None,
        lead: Vec::new(),
        warnings: Vec::new(),
        sections: Vec::new(),
        sprays: false,
        cautions: Vec::new(),
        memory: false,
        practice: false,
        cited: Vec::new(),
    }
}

/// The page of an entry before anything is said on it.
fn blank(pen: &Pen<'_>, kind: Kind, id: &str, latin: Option<&str>) -> Page {
    let title = capital(&place::name(pen.book, kind, id));
    let path = place::path(kind, id).unwrap_or_default();
    let mut page = empty(&path, pen.up, &capital(kind_words(kind)), &title);
    page.latin = latin.map(str::to_owned);
    page
}

/// Adds the usual cautions and the list of what was cited.
fn finish(mut page: Page, pen: &mut Pen<'_>) -> Page {
    if page.sprays {
        page.cautions = cautions(pen.book, &Request::default(), &[])
            .into_iter()
            .map(|c| Line {
                marks: pen.marks(&c.sources),
                ..Line::plain(c.text)
            })
            .collect();
    }
    (page.memory, page.practice) = pen.used();
    page.cited = pen.cited();
    let mut seen: Vec<String> = Vec::new();
    for section in &mut page.sections {
        // Two headings may come to the same anchor; a link then leads to the first.
        if seen.contains(&section.anchor) || section.anchor.is_empty() {
            section.anchor = format!("{}-{}", section.anchor, seen.len());
        }
        seen.push(section.anchor.clone());
    }
    page
}
