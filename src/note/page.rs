//! What is printed of a treatment: picked, shortened, put in the order in which it is needed, every statement marked.
use super::cite::{Citations, Entry, Line};
use super::phrase::{day, sentence, some_of};
use super::{NoteError, deciding, doing, spraying, weather};
use crate::choose::Applicator;
use crate::knowledge::sketches::Sketches;
use crate::treatment::{Decision, Treatment};
use crate::words::{and_list, capital};
use serde::Serialize;

/// The page that the templates lay out.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Page {
    /// Title of the document.
    pub title: String,
    /// Day of the visit in words.
    pub date: String,
    /// Title and version of the book.
    pub book: String,
    /// The lawn: label and value.
    pub lawn: Vec<Pair>,
    /// Remarks of the user.
    pub remarks: Option<String>,
    /// What to do first: a headline and sentences.
    pub headline: String,
    /// The sentences under the headline.
    pub sentences: Vec<String>,
    /// The plants.
    pub plants: Vec<deciding::Plant>,
    /// Whether to leave the weeds alone.
    pub leave: Line,
    /// What helps without chemicals.
    pub measures: Listed,
    /// The option taken.
    pub chosen: Option<deciding::Chosen>,
    /// What else could be taken.
    pub alternatives: Vec<deciding::Alternative>,
    /// Options that are not printed.
    pub alternatives_more: usize,
    /// What is not offered, by reason.
    pub excluded: Vec<deciding::Exclusion>,
    /// Before, while and after.
    pub steps: Vec<doing::Steps>,
    /// Cautions, the gravest first.
    pub cautions: Listed,
    /// First aid.
    pub first_aid: Listed,
    /// Numbers to call.
    pub calls: Vec<doing::Call>,
    /// What to check with whom.
    pub law: Listed,
    /// Rules about records.
    pub record_rules: Vec<Line>,
    /// Items to fill in.
    pub blanks: Vec<doing::Blank>,
    /// Follow-up days.
    pub dates: Vec<doing::Day>,
    /// The hours of the forecast.
    pub hours: Option<weather::Hours>,
    /// Windows of the season.
    pub season: Option<weather::Season>,
    /// What was applied here by month and group.
    pub years: Option<weather::Years>,
    /// The sheet of the spray day.
    pub spray_day: Option<spraying::SprayDay>,
    /// Everything cited on the page.
    pub sources: Vec<Entry>,
    /// Sources of the treatment that the page does not cite.
    pub sources_more: usize,
    /// How many statements rest on what.
    pub rests: String,
    /// Whether something could be applied, so that the pages about applying are needed.
    pub applying: bool,
}

/// A label and its value.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Pair {
    /// The label.
    pub label: String,
    /// The value.
    pub value: String,
}

/// Some lines, and how many more there are in the JSON.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct Listed {
    /// The lines printed.
    pub lines: Vec<Line>,
    /// How many were left out.
    pub more: usize,
}

impl Listed {
    /// The first of some lines. Only what is printed is cited.
    pub fn of<T: Clone>(items: &[T], most: usize, line: impl FnMut(T) -> Line) -> Self {
        let (some, more) = some_of(items, most);
        Self {
            lines: some.into_iter().map(line).collect(),
            more,
        }
    }
}

impl Page {
    /// The page of a treatment, with the drawings of the traits that tell its plants from others.
    #[must_use]
    pub fn of(treatment: &Treatment, sketches: &Sketches) -> Self {
        let mut cite = Citations::new(treatment);
        let applying = treatment.chosen.is_some() || !treatment.alternatives.is_empty();
        // Sources are numbered in the order of the page, so the parts are made in that order.
        let plants = deciding::plants(treatment, sketches, &mut cite);
        let mut leave = cite.fact(&treatment.leave_it.why);
        leave.text = leave_words(treatment);
        let measures = deciding::measures(treatment, &mut cite);
        let chosen = deciding::chosen(treatment, &mut cite);
        let alternatives = deciding::alternatives(treatment, &mut cite);
        let steps = doing::steps(treatment, &mut cite);
        let hours = weather::hours(treatment, &mut cite);
        let (cautions, first_aid) = if applying {
            doing::cautions(treatment, &mut cite)
        } else {
            (Listed::default(), Listed::default())
        };
        let calls = doing::calls(treatment, &mut cite);
        let law = doing::law(treatment, &mut cite);
        let record_rules = doing::record_rules(treatment, &mut cite);
        let dates = doing::dates(treatment, &mut cite);
        let season = weather::season(treatment, &mut cite);
        let spray_day = spraying::spray_day(treatment, &mut cite);
        let sources = cite.entries();
        let cited = doing::cited(&sources);
        let published = treatment
            .sources
            .iter()
            .filter(|s| s.evidence == crate::knowledge::form::source::Evidence::Published)
            .count();
        Self {
            title: title(treatment),
            date: day(treatment.date),
            book: format!("{}, {}", treatment.book.title, treatment.book.version),
            lawn: lawn(treatment),
            remarks: treatment.remarks.clone(),
            headline: capital(&treatment.verdict.headline),
            sentences: treatment
                .verdict
                .sentences
                .iter()
                .map(|s| capital(s))
                .collect(),
            plants,
            leave,
            measures,
            chosen,
            alternatives_more: treatment
                .options_in_all
                .saturating_sub(alternatives.len() + usize::from(treatment.chosen.is_some())),
            alternatives,
            excluded: if treatment.verdict.decision == Decision::PlantNotKnown {
                // What does not suit an unknown plant is no news; not one chemical is named for it.
                Vec::new()
            } else {
                deciding::exclusions(treatment)
            },
            steps,
            cautions,
            first_aid,
            calls,
            law,
            record_rules,
            blanks: doing::blanks(treatment),
            dates,
            hours,
            season,
            years: weather::years(treatment),
            spray_day,
            sources_more: published.saturating_sub(cited),
            sources,
            rests: rests(treatment),
            applying,
        }
    }
}

impl Page {
    /// Puts the pictures in: of the hours, of the season, of the years.
    ///
    /// # Errors
    /// A picture that cannot be drawn.
    pub fn draw(&mut self, treatment: &Treatment) -> Result<(), NoteError> {
        weather::draw(self, treatment)
    }
}

fn title(treatment: &Treatment) -> String {
    let names: Vec<&str> = treatment
        .plants
        .iter()
        .filter(|p| p.weed.is_some())
        .map(|p| p.name.as_str())
        .collect();
    let grasses: Vec<&str> = treatment
        .lawn
        .grasses
        .iter()
        .map(|g| g.name.as_str())
        .collect();
    let what = if names.is_empty() {
        "an unknown plant".to_owned()
    } else {
        and_list(&names)
    };
    capital(&format!("{what} in {}", and_list(&grasses)))
}

fn lawn(treatment: &Treatment) -> Vec<Pair> {
    let lawn = &treatment.lawn;
    let names = |all: &[crate::treatment::fact::Named]| -> String {
        let names: Vec<&str> = all.iter().map(|n| n.name.as_str()).collect();
        and_list(&names)
    };
    let applicator = lawn.applicator.map(|a| match a {
        Applicator::Homeowner => "the owner".to_owned(),
        Applicator::ForHire => "somebody who is paid".to_owned(),
    });
    let near = (!lawn.near.is_empty()).then(|| {
        let names: Vec<&str> = lawn.near.iter().map(|n| n.name.as_str()).collect();
        names.join("; ")
    });
    [
        ("Lawn", lawn.name.clone()),
        ("Grass", Some(names(&lawn.grasses))),
        ("State of the grass", Some(lawn.stage.name.clone())),
        ("Area", lawn.area.clone()),
        ("Place", lawn.place.as_ref().map(|p| p.name.clone())),
        ("Site", near),
        ("Applied by", applicator),
        ("Air", lawn.air_temperature.clone()),
    ]
    .into_iter()
    .filter_map(|(label, value)| {
        Some(Pair {
            label: label.to_owned(),
            value: value?,
        })
    })
    .collect()
}

/// Whether to leave the weeds alone, as one sentence.
fn leave_words(treatment: &Treatment) -> String {
    let why = sentence(&treatment.leave_it.why.text);
    if treatment.verdict.decision == Decision::PlantNotKnown {
        return "Not before the plant is known.".to_owned();
    }
    if treatment.leave_it.advised {
        format!("Leave it. {why}")
    } else {
        format!(
            "Nothing speaks for simply waiting: {}",
            treatment.leave_it.why.text.trim_end_matches('.')
        ) + "."
    }
}

/// What the whole treatment, not the page alone, rests on.
fn rests(treatment: &Treatment) -> String {
    let rests = treatment.rests;
    let of_chosen = match (&treatment.verdict.decision, &treatment.chosen) {
        (Decision::Treat, Some(option)) if option.memory_alone => {
            " The choice itself rests on memory alone."
        }
        _ => "",
    };
    format!(
        "Of {} statements behind this note {} rest on a source that was read, {} on common practice and {} on memory.{of_chosen}",
        rests.statements, rests.published, rests.practice, rests.memory
    )
}
