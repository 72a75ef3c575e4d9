//! From what a visit says of a plant to its line in the treatment.
use super::TreatmentError;
use super::deciding::deciding;
use super::fact::{Fact, Named};
use super::plant::{CouldBe, Known, PlantLine, Seen};
use super::tell::{apart, observed_label, trait_label};
use crate::key::{Answer, Answers, Belief, Book, Circumstances};
use crate::knowledge::form::plant::Weed;
use crate::knowledge::{Kind, Knowledge};
use crate::visit::Plant;
use std::sync::Arc;

/// From this chance on a name is sure enough to go by.
const SETTLED: f64 = 0.9;
/// Plants less likely than this are not worth a line.
const WORTH_NAMING: f64 = 0.02;
/// A named plant that what was seen makes less likely than this is questioned.
const HARDLY: f64 = 0.2;
const OTHERS: usize = 3;

/// The key of the book's weeds with when and where the plants were found.
pub struct Finder<'a> {
    book: &'a Knowledge,
    key: Arc<Book>,
    at: Circumstances,
}

impl<'a> Finder<'a> {
    /// A finder for this month and region.
    #[must_use]
    pub fn new(book: &'a Knowledge, key: Arc<Book>, at: Circumstances) -> Self {
        Self { book, key, at }
    }

    /// The plant at `number` (from 1) of the visit.
    ///
    /// # Errors
    /// Names, traits and answers that the book does not have; a plant of which nothing is said.
    pub fn line(&self, number: usize, plant: &Plant) -> Result<PlantLine, TreatmentError> {
        let named = plant
            .weed
            .as_deref()
            .map(|typed| self.book.find(Kind::Weed, typed))
            .transpose()
            .map_err(|unknown| TreatmentError::Name {
                place: format!("plant {number}, weed"),
                unknown,
            })?;
        let answers = self.answers(number, plant)?;
        let seen = !plant.observed.is_empty();
        let belief = seen.then(|| self.key.belief(&self.at, &answers));
        if plant.none_of_these && named.is_none() {
            return Ok(self.refused(belief.as_ref(), &answers));
        }
        match (named, belief) {
            (Some(id), belief) => Ok(self.named(&id, belief.as_ref(), &answers)),
            (None, Some(belief)) => Ok(self.described(&belief, &answers)),
            (None, None) => Err(TreatmentError::EmptyPlant { plant: number }),
        }
    }

    fn answers(&self, number: usize, plant: &Plant) -> Result<Answers, TreatmentError> {
        let wrong = |error| TreatmentError::Answer {
            plant: number,
            error,
        };
        let mut answers = Answers::new();
        for (of, typed) in &plant.observed {
            let of = self.key.trait_named(of).map_err(wrong)?;
            let words: Vec<&str> = typed.0.iter().map(String::as_str).collect();
            if let Some(answer) = self.key.either(of, &words).map_err(wrong)? {
                answers.set(of, answer);
            }
        }
        for of in plant.unsure.iter() {
            let of = self.key.trait_named(of).map_err(wrong)?;
            if answers.get(of).is_none() {
                answers.set(of, Answer::Unsure);
            }
        }
        Ok(answers)
    }

    fn named(&self, id: &str, belief: Option<&Belief>, answers: &Answers) -> PlantLine {
        let probability = belief.and_then(|b| {
            let taxon = self.key.taxa().iter().position(|t| t.id == id)?;
            Some(b.taxa[taxon])
        });
        let hardly = probability.is_some_and(|p| p < HARDLY);
        let sure = match probability {
            Some(p) if hardly => format!(
                "named by you, but what was seen hardly fits it ({}): look again before treating",
                percent(p)
            ),
            Some(p) => format!("named by you; what was seen gives it {}", percent(p)),
            None => "named by you, not checked against anything seen".to_owned(),
        };
        let could_be = match belief {
            Some(belief) => self.likely_others(Some(id), belief, answers),
            None => self.look_alikes(id),
        };
        PlantLine {
            known: Known::NamedByYou,
            probability,
            none_of_these: belief.map(Belief::none),
            sure,
            settled: !hardly,
            could_be,
            ..self.plain(Some(id), answers)
        }
    }

    fn described(&self, belief: &Belief, answers: &Answers) -> PlantLine {
        let none = belief.none();
        let first = belief.ranking().first().copied();
        let Some((taxon, p)) = first.filter(|(_, p)| *p > none) else {
            let sure = format!(
                "{} that it is none of the plants in this book",
                percent(none)
            );
            return self.not_known(sure, Some(belief), answers);
        };
        let id = self.key.taxa()[taxon].id.clone();
        let word = match p {
            _ if p >= 0.98 => "almost certain",
            _ if p >= SETTLED => "likely",
            _ if p >= 0.5 => "more likely than not",
            _ => "the best guess, no more",
        };
        PlantLine {
            known: Known::FromWhatWasSeen,
            probability: Some(p),
            none_of_these: Some(none),
            sure: format!(
                "{word} ({}); none of the plants in this book: {}",
                percent(p),
                percent(none)
            ),
            settled: p >= SETTLED,
            could_be: self.likely_others(Some(&id), belief, answers),
            ..self.plain(Some(&id), answers)
        }
    }

    /// A plant of which the user says that it is none of the book's; what was seen does not outvote that.
    fn refused(&self, belief: Option<&Belief>, answers: &Answers) -> PlantLine {
        let sure = "you say that it is none of the plants in this book".to_owned();
        self.not_known(sure, belief, answers)
    }

    fn not_known(&self, sure: String, belief: Option<&Belief>, answers: &Answers) -> PlantLine {
        let ask = self.book.book.as_ref().map(|b| b.ask.clone());
        PlantLine {
            known: Known::NotKnown,
            none_of_these: belief.map(Belief::none),
            sure,
            could_be: belief.map_or(Vec::new(), |b| self.likely_others(None, b, answers)),
            ask: ask.filter(|a| !a.is_empty()),
            ..self.plain(None, answers)
        }
    }

    /// What does not depend on how the plant was found.
    fn plain(&self, id: Option<&str>, answers: &Answers) -> PlantLine {
        let weed = id.and_then(|id| self.book.weeds.get(id));
        let mut observed = Vec::new();
        let mut unsure = Vec::new();
        for (of, answer) in answers.sorted() {
            let Some(one) = self
                .book
                .traits
                .iter()
                .find(|t| t.id == self.key.traits()[of].id)
            else {
                continue;
            };
            match answer {
                Answer::Unsure => unsure.push(trait_label(one)),
                _ => observed.push(Seen {
                    of: one.id.clone(),
                    label: trait_label(one),
                    seen: observed_label(one, answer),
                    fits: weed
                        .and_then(|w| fits(w, &one.id, &self.key.traits()[of].states, answer)),
                }),
            }
        }
        PlantLine {
            weed: id.map(str::to_owned),
            name: id.map_or_else(
                || "a plant that this book does not know".to_owned(),
                |id| Named::weed(self.book, id).name,
            ),
            scientific_name: weed.map(|w| w.scientific_name.clone()),
            names_rest_on: weed.map(|w| Fact::new(self.book, w.scientific_name.clone(), &w.source)),
            known: Known::NotKnown,
            probability: None,
            none_of_these: None,
            sure: String::new(),
            settled: false,
            observed,
            deciding: id.map_or(Vec::new(), |id| deciding(self.book, &self.key, id, answers)),
            unsure,
            could_be: Vec::new(),
            hazards: weed
                .iter()
                .flat_map(|w| &w.hazards)
                .map(|h| Fact::of_remark(self.book, h))
                .collect(),
            ask: None,
        }
    }

    /// The likeliest plants besides the one named.
    fn likely_others(
        &self,
        than: Option<&str>,
        belief: &Belief,
        answers: &Answers,
    ) -> Vec<CouldBe> {
        belief
            .ranking()
            .into_iter()
            .map(|(taxon, p)| (&self.key.taxa()[taxon].id, p))
            .filter(|(id, p)| Some(id.as_str()) != than && *p >= WORTH_NAMING)
            .take(OTHERS)
            .map(|(id, p)| CouldBe {
                weed: Some(id.clone()),
                name: Named::weed(self.book, id).name,
                scientific_name: self.book.weeds.get(id).map(|w| w.scientific_name.clone()),
                probability: Some(p),
                tell: than.and_then(|than| apart(self.book, &self.key, than, id, answers)),
            })
            .collect()
    }

    /// What the book says that a plant is confused with.
    fn look_alikes(&self, id: &str) -> Vec<CouldBe> {
        let Some(weed) = self.book.weeds.get(id) else {
            return Vec::new();
        };
        weed.look_alikes
            .iter()
            .take(OTHERS)
            .map(|like| {
                let other = like.weed.as_ref().and_then(|id| self.book.weeds.get(id));
                let turf = like.turf.as_ref().and_then(|id| self.book.turf.get(id));
                let (name, scientific_name) = match (other, turf) {
                    (Some(w), _) => (w.names.first().cloned(), Some(w.scientific_name.clone())),
                    (None, Some(t)) => (t.names.first().cloned(), Some(t.scientific_name.clone())),
                    (None, None) => (like.other.clone(), None),
                };
                CouldBe {
                    weed: like.weed.clone(),
                    name: name.unwrap_or_default(),
                    scientific_name,
                    probability: None,
                    tell: Some(Fact::new(self.book, like.tell.clone(), &like.source)),
                }
            })
            .collect()
    }
}

/// Whether a plant shows what was seen, where the book says so.
fn fits(weed: &Weed, of: &str, states: &[String], answer: &Answer) -> Option<bool> {
    let shows = weed.traits.get(of)?;
    match answer {
        Answer::Unsure => None,
        Answer::Number(x) => shows.range.map(|[from, to]| (from.0..=to.0).contains(x)),
        Answer::States(seen) => {
            let mut states_shown = shows.is.iter().chain(shows.sometimes.iter()).peekable();
            states_shown.peek()?;
            Some(states_shown.any(|s| seen.iter().any(|&i| states.get(i) == Some(s))))
        }
    }
}

/// A chance in whole percent; never "0 %" or "100 %" of something that is merely very unlikely or likely.
fn percent(p: f64) -> String {
    match p * 100.0 {
        x if x < 1.0 => "under 1 %".to_owned(),
        x if x > 99.0 => "over 99 %".to_owned(),
        x => format!("{x:.0} %"),
    }
}
