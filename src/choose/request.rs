//! What is asked of the choice: the weeds, the grass and its state, the day and the place.
use crate::knowledge::{Kind, Knowledge, UnknownName};
use crate::records::limits::History;
use serde::{Deserialize, Serialize};

/// Who is going to apply.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Applicator {
    /// Somebody on their own lawn.
    Homeowner,
    /// Somebody who is paid.
    ForHire,
}

/// One question to the choice. All names are ids of the book.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct Request {
    /// The weeds.
    pub weeds: Vec<String>,
    /// The grasses of the lawn; an option must be safe on all.
    pub turf: Vec<String>,
    /// Stage of the grass.
    pub stage: String,
    /// Month, 1 to 12.
    pub month: Option<u8>,
    /// Air temperature of the day, degrees Fahrenheit.
    pub air_temp_f: Option<f64>,
    /// Situations of the site.
    pub near: Vec<String>,
    /// The place whose law counts.
    pub place: Option<String>,
    /// Who applies.
    pub applicator: Option<Applicator>,
    /// What was done here before, from the record; none where there is no record.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub history: Option<History>,
}

/// The stage that is meant where none is named.
pub const USUAL_STAGE: &str = "established";

impl Request {
    /// A request for weeds in one grass that is established.
    #[must_use]
    pub fn new(weeds: &[&str], turf: &str) -> Self {
        Self {
            weeds: weeds.iter().map(|w| (*w).to_owned()).collect(),
            turf: vec![turf.to_owned()],
            stage: USUAL_STAGE.to_owned(),
            ..Self::default()
        }
    }

    /// Turns every name that was typed into the id of the book.
    ///
    /// # Errors
    /// The first name that the book does not know, with the nearest one.
    pub fn check(mut self, book: &Knowledge) -> Result<Self, UnknownName> {
        let many = |kind: Kind, names: &mut Vec<String>| -> Result<(), UnknownName> {
            for name in names.iter_mut() {
                *name = book.find(kind, name)?;
            }
            let mut seen = Vec::new();
            names.retain(|name| {
                let new = !seen.contains(name);
                seen.push(name.clone());
                new
            });
            Ok(())
        };
        many(Kind::Weed, &mut self.weeds)?;
        many(Kind::Turf, &mut self.turf)?;
        many(Kind::Situation, &mut self.near)?;
        if let Some(place) = &mut self.place {
            *place = book.find(Kind::Place, place)?;
        }
        if self.stage.is_empty() {
            USUAL_STAGE.clone_into(&mut self.stage);
        }
        self.stage = book.find(Kind::Stage, &self.stage)?;
        Ok(self)
    }

    /// The place and the places around it, innermost first.
    #[must_use]
    pub fn places<'a>(&self, book: &'a Knowledge) -> Vec<&'a str> {
        self.place
            .as_deref()
            .map(|p| book.around(p))
            .unwrap_or_default()
    }
}
