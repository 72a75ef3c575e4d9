//! The whole job as one value: the one thing that every face shows.
//!
//! [`Treatment::of`] takes a visit (what the user said) and the book through the key and the choice, and gathers what is
//! needed on the lawn: what the plant is and how sure, whether to treat, with what, what to mind, whom to ask, what to
//! write down, what comes next. It decides nothing anew. It is complete; what is printed of it is the note's affair.
mod beside;
mod dates;
mod deciding;
mod error;
mod exclusions;
mod finder;
mod heed;
mod job;
pub mod lawn;
mod option;
mod plant;
mod record;
mod sources;
mod taken;
pub(crate) mod tell;
#[cfg(test)]
pub(crate) mod tests;
mod verdict;

use crate::amounts::sheet::{self, Sheet, Wish};
use crate::choose::{self, Advice, CautionLine, Choice, LawLine, Request, Treatable};
use crate::key::book::What;
use crate::key::{Book, Circumstances};
use crate::knowledge::Knowledge;
use crate::picture::Mark;
use crate::records::limits::History;
use crate::visit::Visit;
use crate::words::and_list;
use fact::{Fact, Named, one_line};
use jiff::civil::Date;
use serde::Serialize;
use std::sync::Arc;

pub use crate::knowledge::fact;
pub use beside::{Beside, Curve, HoursLine, LimitLine, SeasonLine, Weather};
pub use dates::{DateLine, Event};
pub use deciding::Deciding;
pub use error::TreatmentError;
pub use exclusions::ExclusionGroup;
pub use job::{Hint, Step};
pub use lawn::LawnLine;
pub use option::{GroupLine, OptionLine, Rated, line as option_line};
pub use plant::{CouldBe, Known, PlantLine, Seen};
pub use record::{Blank, CallLine, Record, RecordLine};
pub use sources::{Rests, SourceLine};
pub use verdict::{Decision, Verdict};

/// Name and version of the form in which a treatment is serialised.
pub const SCHEMA: &str = "ligule/treatment/1";

/// The whole job.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Treatment {
    /// [`SCHEMA`].
    pub schema: String,
    /// The book that it was taken from.
    pub book: BookLine,
    /// Day of the visit; follow-up days are reckoned from it.
    pub date: Date,
    /// Month of that day, 1 to 12.
    pub month: i8,
    /// The lawn.
    pub lawn: LawnLine,
    /// Remarks of the user.
    pub remarks: Option<String>,
    /// The plants, in the order of the visit.
    pub plants: Vec<PlantLine>,
    /// What to do first.
    pub verdict: Verdict,
    /// Whether to leave the weeds alone, and why.
    pub leave_it: LeaveLine,
    /// What helps without chemicals.
    pub without_chemicals: Vec<Advice>,
    /// The option taken; none where nothing is to be sprayed.
    pub chosen: Option<OptionLine>,
    /// What the groups of the chosen option do.
    pub groups: Vec<GroupLine>,
    /// The next options, at most three.
    pub alternatives: Vec<OptionLine>,
    /// How many options there are in all.
    pub options_in_all: usize,
    /// Names of weeds that no option deals with.
    pub uncovered: Vec<String>,
    /// What is not offered, by reason.
    pub excluded: Vec<ExclusionGroup>,
    /// What to mind before, while and after applying the chosen option.
    pub job: Vec<Hint>,
    /// Cautions, the gravest first.
    pub cautions: Vec<CautionLine>,
    /// Numbers to call.
    pub calls: Vec<CallLine>,
    /// What to check with whom.
    pub law: Vec<LawLine>,
    /// What to write down.
    pub record: Record,
    /// Follow-up days of the chosen option.
    pub dates: Vec<DateLine>,
    /// The sheet of the spray day, where a product on the shelf has figures for the chosen option.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub spray_day: Option<Sheet>,
    /// The hours of the forecast, where there is one and something is to be applied.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hours: Option<HoursLine>,
    /// The season of these weeds, where there is a weather file.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub season: Option<SeasonLine>,
    /// What was applied here before and what this treatment adds, by month and group; only with a record.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub used: Vec<Mark>,
    /// Every source that anything above rests on.
    pub sources: Vec<SourceLine>,
    /// How many statements above rest on what.
    pub rests: Rests,
}

/// The book.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct BookLine {
    /// Title.
    pub title: String,
    /// Version.
    pub version: String,
}

/// Whether to leave the weeds alone.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct LeaveLine {
    /// Yes or no.
    pub advised: bool,
    /// Why.
    #[serde(flatten)]
    pub why: Fact,
}

/// A book made ready: the key compiled and the choice weighed once, for any number of visits.
#[derive(Clone)]
pub struct Ready<'a> {
    /// The book.
    pub book: &'a Knowledge,
    /// The key of its weeds.
    pub key: Arc<Book>,
    /// The choice.
    pub chooser: Arc<choose::Chooser<'a>>,
}

impl<'a> Ready<'a> {
    /// Makes a book ready.
    #[must_use]
    pub fn new(book: &'a Knowledge) -> Self {
        Self {
            book,
            key: Arc::new(Book::new(book, What::Weeds)),
            chooser: Arc::new(choose::Chooser::new(book)),
        }
    }
}

/// A treatment with the choice that it was taken from.
#[derive(Debug, Clone)]
pub struct Worked {
    /// The treatment.
    pub treatment: Treatment,
    /// What the choice was asked.
    pub request: Request,
    /// Its whole answer.
    pub choice: Choice,
}

/// Longest remark of a user that is printed, in characters.
const LONGEST_REMARK: usize = 600;

impl Treatment {
    /// The treatment of a visit. `today` is the day where the visit names none.
    ///
    /// # Errors
    /// Names that the book does not have (with the nearest), a visit without a plant or a grass, a temperature that is
    /// none, an option that is not on offer.
    pub fn of(book: &Knowledge, visit: &Visit, today: Date) -> Result<Self, TreatmentError> {
        Self::with(book, visit, today, Beside::default())
    }

    /// The same, with what the record of this lawn says: intervals, yearly limits, groups used before.
    ///
    /// # Errors
    /// As [`Treatment::of`].
    pub fn after(
        book: &Knowledge,
        visit: &Visit,
        today: Date,
        history: Option<History>,
    ) -> Result<Self, TreatmentError> {
        let beside = Beside {
            history,
            ..Beside::default()
        };
        Self::with(book, visit, today, beside)
    }

    /// The same, with everything that lies beside the answers.
    ///
    /// # Errors
    /// As [`Treatment::of`], and weather that does not serve.
    pub fn with(
        book: &Knowledge,
        visit: &Visit,
        today: Date,
        beside: Beside,
    ) -> Result<Self, TreatmentError> {
        Ok(Self::worked(&Ready::new(book), visit, today, beside)?.treatment)
    }

    /// The same, from a book that is ready, with the choice that it was taken from.
    ///
    /// # Errors
    /// As [`Treatment::with`].
    pub fn worked(
        ready: &Ready<'_>,
        visit: &Visit,
        today: Date,
        beside: Beside,
    ) -> Result<Worked, TreatmentError> {
        // The pages leave blanks where a plant was begun and not gone on with.
        let said = visit.without_blanks();
        let visit = if said.plants.is_empty() { visit } else { &said };
        let book = ready.book;
        let date = visit.date.unwrap_or(today);
        let mut request = lawn::request(book, &visit.lawn, date)?;
        request.history.clone_from(&beside.history);
        let plants = plants(ready, visit, &request)?;
        lawn::add_plants(
            book,
            &mut request,
            visit,
            plants.iter().map(|p| p.weed.as_deref()),
        )?;
        let choice = ready.chooser.choose(&request);
        let wish = taken::wish(book, visit, &request, &choice)?;
        let (decision, taken) = taken::decide(&request, &choice, &wish);
        let grass = grass_words(book, &request);
        let chosen = taken.map(|o| option::line(book, o, &grass));
        let mut verdict = verdict::of(
            book,
            &verdict::Facts {
                decision,
                plants: &plants,
                choice: &choice,
                chosen: chosen.as_ref(),
                grass: &grass,
            },
        );
        if let Some(option) = taken {
            let wrong = verdict::if_the_name_is_wrong(&ready.chooser, &request, &plants, option);
            verdict.sentences.extend(wrong);
        }
        let actives: &[String] = taken.map_or(&[], |o| &o.actives);
        let spray_day = spray_day(book, visit, &request, &choice, taken)?;
        let (hours, season, used) = beside::look(book, beside, &request, taken, &visit.lawn, date)?;
        let offered: Vec<Treatable> = taken.cloned().into_iter().collect();
        let mut treatment = Self {
            schema: SCHEMA.to_owned(),
            book: book_line(book),
            date,
            month: date.month(),
            lawn: lawn::line(book, &visit.lawn, &request),
            remarks: visit
                .remarks
                .as_deref()
                .map(|r| one_line(r, LONGEST_REMARK))
                .filter(|r| !r.is_empty()),
            verdict,
            leave_it: heed::leave(book, &request, &choice),
            without_chemicals: choice.without_chemicals.clone(),
            groups: taken.map_or(Vec::new(), |o| option::groups(book, o)),
            alternatives: taken::alternatives(book, &choice, taken, &grass),
            options_in_all: choice.options.len(),
            uncovered: choice
                .uncovered
                .iter()
                .map(|id| Named::weed(book, id).name)
                .collect(),
            excluded: exclusions::grouped(book, &choice.excluded),
            job: job::hints(book, &request, actives),
            cautions: heed::cautions(book, &request, &offered),
            calls: record::calls(book, &request),
            law: choose::law(book, &request, &offered),
            record: record::blank(book, &request),
            dates: if taken.is_some() {
                dates::lines(book, actives, date)
            } else {
                Vec::new()
            },
            spray_day,
            hours,
            season,
            used,
            chosen,
            plants,
            sources: Vec::new(),
            rests: Rests::default(),
        };
        treatment.name_sources(book);
        Ok(Worked {
            treatment,
            request,
            choice,
        })
    }

    /// Lists every source that the treatment rests on, and counts its statements.
    fn name_sources(&mut self, book: &Knowledge) {
        // The reasons of a hundred hours repeat a few limits; each limit counts once, in its own list.
        let hours = self
            .hours
            .as_mut()
            .map(|line| std::mem::take(&mut line.hours.hours));
        // A plain value always serialises; were it not so, no source would be listed and the tests would show it.
        let value = serde_json::to_value(&*self).unwrap_or_default();
        (self.sources, self.rests) = sources::of(book, &value);
        if let (Some(line), Some(hours)) = (&mut self.hours, hours) {
            line.hours.hours = hours;
        }
    }
}

/// The sheet of the spray day for the option taken.
fn spray_day(
    book: &Knowledge,
    visit: &Visit,
    request: &Request,
    choice: &Choice,
    taken: Option<&Treatable>,
) -> Result<Option<Sheet>, TreatmentError> {
    let Some(option) = taken else { return Ok(None) };
    // The label must name the weeds that the option deals with; the others it does not touch.
    let weeds: Vec<String> = request
        .weeds
        .iter()
        .filter(|w| !choice.uncovered.contains(w))
        .cloned()
        .collect();
    let wish = Wish {
        turf: &request.turf,
        weeds: &weeds,
        chosen: &option.actives,
        ..Wish::default()
    };
    Ok(sheet::reckon(book, &visit.lawn, &wish)?)
}

fn book_line(book: &Knowledge) -> BookLine {
    book.book.as_ref().map_or_else(
        || BookLine {
            title: "a book without a title".to_owned(),
            version: "no version".to_owned(),
        },
        |b| BookLine {
            title: b.title.clone(),
            version: b.version.clone(),
        },
    )
}

fn plants(
    ready: &Ready<'_>,
    visit: &Visit,
    request: &Request,
) -> Result<Vec<PlantLine>, TreatmentError> {
    if visit.plants.is_empty() {
        return Err(TreatmentError::NoPlant);
    }
    let at = Circumstances {
        month: request.month,
        region: visit.lawn.region.clone(),
    };
    let finder = finder::Finder::new(ready.book, Arc::clone(&ready.key), at);
    visit
        .plants
        .iter()
        .enumerate()
        .map(|(index, plant)| finder.line(index + 1, plant))
        .collect()
}

fn grass_words(book: &Knowledge, request: &Request) -> String {
    let names: Vec<&str> = request
        .turf
        .iter()
        .map(|id| {
            book.turf
                .get(id)
                .and_then(|t| t.names.first())
                .map_or(id.as_str(), String::as_str)
        })
        .collect();
    and_list(&names)
}
