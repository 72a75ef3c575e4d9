//! What pages of a visit need again and again: the steps of the job, a run of the key, the treatment.
use super::site::Site;
use super::trouble::Trouble;
use super::view::{Frame, StepLine};
use crate::identify::Key;
use crate::key::Circumstances;
use crate::key::book::What;
use crate::knowledge::fact::one_line;
use crate::picture::Mark;
use crate::records::Store;
use crate::records::limits::{self, History};
use crate::season::table;
use crate::treatment::{Beside, Treatment, TreatmentError, Weather, Worked, lawn};
use crate::visit::{Plant, Visit};
use jiff::civil::Date;
use std::sync::Arc;

/// Most plants of one visit.
pub const MOST_PLANTS: usize = 12;

/// What a treatment is made from.
#[derive(PartialEq)]
pub struct Basis {
    /// The answers, without blanks.
    pub visit: Visit,
    /// What was done here before.
    pub history: Option<History>,
    /// The treatments on record, for the picture of the years.
    pub used: Vec<Mark>,
    /// The forecast that was sent.
    pub forecast: Option<String>,
    /// The day.
    pub day: Date,
}

/// A treatment with what it was made from.
pub struct Made {
    /// What it was made from.
    pub from: Basis,
    /// The treatment.
    pub worked: Worked,
    /// What was wrong with the wish, where it is no longer on offer.
    pub gone: Option<String>,
}

type Past = (Option<History>, Vec<Mark>);

fn weather(csv: &str) -> Option<Weather> {
    let name = "forecast".to_owned();
    let table = table::read(&name, csv, &[]).ok()?;
    Some(Weather { name, table })
}

/// Whether nothing was said of a plant yet.
pub fn blank(plant: &Plant) -> bool {
    plant.is_blank()
}

impl Site {
    /// The day of a visit.
    pub fn day(&self, visit: &Visit) -> Date {
        visit.date.unwrap_or_else(|| self.today())
    }

    /// The frame of a page of a visit.
    pub fn frame(&self, id: &str, visit: &Visit, here: &str, title: &str) -> Frame {
        let lawn = visit.lawn.name.as_deref().map(|n| one_line(n, 60));
        let label = lawn
            .filter(|n| !n.is_empty())
            .unwrap_or_else(|| "the lawn".to_owned());
        Frame {
            title: title.to_owned(),
            visit: id.to_owned(),
            label,
            day: self.day(visit).to_string(),
            steps: self.steps(id, visit, here),
        }
    }

    fn steps(&self, id: &str, visit: &Visit, here: &str) -> Vec<StepLine> {
        let book = self.book();
        let first = |names: Option<&Vec<String>>| names.and_then(|n| n.first()).cloned();
        let grass: Vec<String> = visit
            .lawn
            .grass
            .iter()
            .map(|g| first(book.turf.get(g).map(|t| &t.names)).unwrap_or_else(|| one_line(g, 40)))
            .collect();
        let weeds: Vec<String> = visit
            .plants
            .iter()
            .filter(|p| !blank(p))
            .map(|p| {
                p.weed.as_ref().map_or_else(
                    || "not named yet".to_owned(),
                    |w| {
                        first(book.weeds.get(w).map(|w| &w.names))
                            .unwrap_or_else(|| one_line(w, 40))
                    },
                )
            })
            .collect();
        let actives: Vec<&str> = visit.choose.iter().map(String::as_str).collect();
        let products = visit.lawn.shelf.len();
        let lines: [(&str, &str, String); 7] = [
            ("Lawn", "lawn", grass.join(", ")),
            ("Plant", "plant", weeds.join(", ")),
            (
                "Choice",
                "choice",
                match actives.as_slice() {
                    [] => String::new(),
                    ["none"] => "no chemical".to_owned(),
                    all => all.join(" + "),
                },
            ),
            (
                "Amounts",
                "amounts",
                match products {
                    0 => String::new(),
                    1 => "1 product on the shelf".to_owned(),
                    n => format!("{n} products on the shelf"),
                },
            ),
            ("Spray day", "day", String::new()),
            ("Note", "note", String::new()),
            ("Record", "record", String::new()),
        ];
        lines
            .into_iter()
            .map(|(name, step, says)| StepLine {
                name,
                href: format!("/visit/{id}/{step}"),
                says,
                here: step == here,
            })
            .collect()
    }

    /// A run of the key with what was answered about a plant. Answers that the book no longer knows are passed over.
    pub fn key(&self, visit: &Visit, plant: &Plant) -> Key<'static> {
        let day = self.day(visit);
        let at = Circumstances {
            month: u8::try_from(day.month()).ok(),
            region: visit.lawn.region.clone(),
        };
        let book = self.book();
        let lawn = lawn::request(book, &visit.lawn, day).ok();
        let with = lawn
            .clone()
            .map(|request| (request, Arc::clone(&self.ready.chooser)));
        let mut key = Key::over(book, What::Weeds, Arc::clone(&self.ready.key), at, with);
        if let Some(lawn) = &lawn {
            key.begin_with(self.outcomes(lawn));
        }
        for (name, words) in &plant.observed {
            let words: Vec<&str> = words.0.iter().map(String::as_str).collect();
            let _ = key.answer(name, &words);
        }
        for name in plant.unsure.iter() {
            let _ = key.unsure(name);
        }
        key
    }

    /// Keeps what a run of the key looked up.
    pub fn learn(&self, visit: &Visit, key: &Key<'_>) {
        if let Ok(lawn) = lawn::request(self.book(), &visit.lawn, self.day(visit)) {
            self.remember(&lawn, key.outcomes_so_far());
        }
    }

    /// What the record says of this lawn. A lawn that the record does not know by name may be one of its lawns under
    /// another name, so all of them count.
    fn past(&self, id: &str, visit: &Visit) -> Result<Past, Trouble> {
        let path = self.folder.record()?;
        if !path.exists() {
            return Ok((None, Vec::new()));
        }
        let fail = |e| Trouble::Broken(format!("The record cannot be read: {e}."));
        let store = Store::open(&path).map_err(fail)?;
        let name = match visit.lawn.name.as_deref() {
            Some(name) if store.has_lawn(name).map_err(fail)? => Some(name),
            _ => None,
        };
        let own = self.folder.written(id)?;
        let day = self.day(visit);
        let book = self.book();
        let history = History::besides(book, &store, name, day, &own).map_err(fail)?;
        let mut past = limits::past(book, &store, name, day).map_err(fail)?;
        // What was written down by this note is not a year before it.
        for entry in own {
            let written = store.standing(entry).map_err(fail)?.what.date();
            if let Some(place) = past.iter().position(|p| p.day == written) {
                past.remove(place);
            }
        }
        let used = past.into_iter().map(|p| Mark {
            year: p.day.year(),
            month: u8::try_from(p.day.month()).unwrap_or_default(),
            groups: p.groups,
            planned: false,
        });
        Ok((Some(history), used.collect()))
    }

    /// The treatment of a visit, with its record and the forecast that was sent.
    ///
    /// # Errors
    /// What the visit lacks or contradicts.
    pub fn worked(&self, id: &str, visit: &Visit) -> Result<Arc<Made>, Trouble> {
        let visit = visit.without_blanks();
        let (history, used) = self.past(id, &visit)?;
        self.worked_from(Basis {
            day: self.day(&visit),
            forecast: self.folder.forecast(id)?,
            visit,
            history,
            used,
        })
    }

    /// The treatment of answers, made anew only where it was not made lately of the very same.
    ///
    /// # Errors
    /// What the visit lacks or contradicts.
    pub fn worked_from(&self, from: Basis) -> Result<Arc<Made>, Trouble> {
        if let Some(made) = self.made(&from) {
            return Ok(made);
        }
        let of = |visit: &Visit, forecast: Option<Weather>| {
            let beside = Beside {
                history: from.history.clone(),
                used: from.used.clone(),
                forecast,
                ..Beside::default()
            };
            Treatment::worked(&self.ready, visit, from.day, beside)
        };
        let weather = from.forecast.as_deref().and_then(weather);
        let with_weather = |visit: &Visit| match of(visit, weather.clone()) {
            // An old forecast helps no more; the page of the spray day says so.
            Err(TreatmentError::Weather { .. }) => of(visit, None),
            other => other,
        };
        let (worked, gone) = match with_weather(&from.visit) {
            Err(gone @ TreatmentError::NotOffered { .. }) => {
                let mut open = from.visit.clone();
                open.choose.0.clear();
                (with_weather(&open)?, Some(gone.to_string()))
            }
            other => (other?, None),
        };
        let made = Arc::new(Made { from, worked, gone });
        self.keep_made(&made);
        Ok(made)
    }

    /// What a visit still lacks before anything can be chosen: where to go, and why.
    pub fn lacks(&self, id: &str, visit: &Visit) -> Option<(String, &'static str)> {
        if visit.lawn.grass.is_empty() {
            let why =
                "First say which grass the lawn is made of: what spares one grass injures another.";
            return Some((format!("/visit/{id}/lawn/grass"), why));
        }
        if visit.plants.iter().all(blank) {
            let why = "First find out which plant it is.";
            return Some((format!("/visit/{id}/plant"), why));
        }
        None
    }
}
