//! What all pages share: the book made ready, the drawings, the templates, the lawn folder, the door.
use super::door::Door;
use super::forecast::Judged;
use super::keep::Folder;
use super::trouble::SiteError;
use super::view::Views;
use super::work::{Basis, Made};
use crate::choose::Request;
use crate::key::Book;
use crate::key::book::What;
use crate::knowledge::Knowledge;
use crate::knowledge::sketches::Sketches;
use crate::note::Templates;
use crate::treatment::Ready;
use jiff::civil::Date;
use std::collections::{HashMap, VecDeque};
use std::path::PathBuf;
use std::sync::{Arc, Mutex, PoisonError};

/// Gives the day; the library never reads the clock.
pub type Clock = Arc<dyn Fn() -> Date + Send + Sync>;
/// Gives sixteen bytes that nobody can guess.
pub type Chance = Arc<dyn Fn() -> [u8; 16] + Send + Sync>;
/// Says something to the person at the machine.
pub type Teller = Arc<dyn Fn(&str) + Send + Sync>;

/// How the pages are served.
#[derive(Clone)]
pub struct Options {
    /// The folder that holds the visits and the record; nothing outside it is read or written.
    pub folder: PathBuf,
    /// The names and ports by which a browser may call this machine: `127.0.0.1:8080`. Anything else is refused, so that
    /// no foreign name that points here can be used to read the pages.
    pub hosts: Vec<String>,
    /// Whether a phone has to give the word first.
    pub word_needed: bool,
    /// The day.
    pub today: Clock,
    /// Secrets and names of visits.
    pub chance: Chance,
    /// Where new words are told.
    pub tell: Teller,
}

/// Lawns of which first options are remembered. One is a few kilobytes.
const LAWNS_REMEMBERED: usize = 16;
type Outcomes = HashMap<usize, crate::choose::LeadsTo>;
/// Treatments that are remembered: the pages of a visit after the choice all show the same one.
const TREATMENTS_REMEMBERED: usize = 12;

/// Everything that pages are made from.
pub struct Site {
    /// The book, ready for any number of visits.
    pub ready: Ready<'static>,
    /// The key of the lawn grasses.
    pub turf_key: Arc<Book>,
    /// The drawings.
    pub sketches: Sketches,
    /// The templates.
    pub views: Views,
    /// The templates of the note.
    pub notes: Templates,
    /// The lawn folder.
    pub folder: Folder,
    /// Words and sessions.
    pub door: Door,
    /// How the pages are served.
    pub options: Options,
    outcomes: Mutex<VecDeque<(Request, Outcomes)>>,
    made: Mutex<VecDeque<Arc<Made>>>,
    /// The forecasts judged last.
    pub forecasts: Judged,
}

impl Site {
    /// Makes everything ready. The book lives as long as the program.
    ///
    /// # Errors
    /// The lawn folder cannot be used, or the program was built with a broken template.
    pub fn new(
        book: &'static Knowledge,
        sketches: Sketches,
        options: Options,
    ) -> Result<Arc<Self>, SiteError> {
        Ok(Arc::new(Self {
            ready: Ready::new(book),
            turf_key: Arc::new(Book::new(book, What::Turf)),
            notes: Templates::built_in()?.with_sketches(sketches.clone()),
            sketches,
            views: Views::built_in()?,
            folder: Folder::open(&options.folder)?,
            door: Door::new(&options),
            options,
            outcomes: Mutex::default(),
            made: Mutex::default(),
            forecasts: Judged::default(),
        }))
    }

    /// The book.
    pub fn book(&self) -> &'static Knowledge {
        self.ready.book
    }

    /// Today.
    pub fn today(&self) -> Date {
        (self.options.today)()
    }

    /// The word that the next phone must give; nothing where none is needed.
    #[must_use]
    pub fn word(&self) -> Option<String> {
        self.options.word_needed.then(|| self.door.word())
    }

    /// The treatment of these very answers, where it was made lately.
    pub fn made(&self, from: &Basis) -> Option<Arc<Made>> {
        let made = self.made.lock().unwrap_or_else(PoisonError::into_inner);
        made.iter().find(|m| m.from == *from).map(Arc::clone)
    }

    /// Remembers a treatment.
    pub fn keep_made(&self, new: &Arc<Made>) {
        let mut made = self.made.lock().unwrap_or_else(PoisonError::into_inner);
        if made.len() >= TREATMENTS_REMEMBERED {
            made.pop_front();
        }
        made.push_back(Arc::clone(new));
    }

    /// What is remembered of the first options on a lawn.
    pub fn outcomes(&self, lawn: &Request) -> Outcomes {
        let all = self.outcomes.lock().unwrap_or_else(PoisonError::into_inner);
        all.iter()
            .find(|(of, _)| of == lawn)
            .map(|(_, outcomes)| outcomes.clone())
            .unwrap_or_default()
    }

    /// Remembers the first options on a lawn.
    pub fn remember(&self, lawn: &Request, outcomes: &Outcomes) {
        let mut all = self.outcomes.lock().unwrap_or_else(PoisonError::into_inner);
        match all.iter_mut().find(|(of, _)| of == lawn) {
            Some((_, old)) if old.len() < outcomes.len() => old.clone_from(outcomes),
            Some(_) => {}
            None => {
                if all.len() >= LAWNS_REMEMBERED {
                    all.pop_front();
                }
                all.push_back((lawn.clone(), outcomes.clone()));
            }
        }
    }
}
