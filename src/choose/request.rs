//! What is asked of the choice: the weeds, the grass and its state, the day and the place.
use crate::knowledge::{Kind, Knowledge, UnknownName};
use crate::records::limits::History;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// Who is going to apply.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Applicator {
    /// Somebody on their own lawn.
    Homeowner,
    /// Somebody who is paid.
    ForHire,
}

/// How far the weed has come.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum WeedStage {
    /// Nothing of it is up yet.
    NotUp,
    /// Young: a few leaves, no side shoots.
    Young,
    /// Grown, flowering or seeding.
    Grown,
}

/// Moisture of the soil.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Soil {
    /// Dry to a finger's depth.
    Dry,
    /// Moist.
    Moist,
    /// Waterlogged.
    Waterlogged,
    /// Frozen.
    Frozen,
}

impl Soil {
    /// The situation that goes with it, where the book has one of that name.
    #[must_use]
    pub fn situation(self) -> Option<&'static str> {
        match self {
            Self::Dry => Some("dry-soil"),
            Self::Moist => None,
            Self::Waterlogged | Self::Frozen => Some("frozen-or-saturated-soil"),
        }
    }
}

/// One question to the choice. All names are ids of the book. What is `None` or missing was not said.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Request {
    /// The weeds, at most [`MOST_WEEDS`].
    pub weeds: Vec<String>,
    /// Percent of the ground that a weed covers, where it was said.
    pub cover_percent: BTreeMap<String, f64>,
    /// How far a weed has come, where it was said.
    pub weed_stages: BTreeMap<String, WeedStage>,
    /// The grasses of the lawn; an option must be safe on all.
    pub turf: Vec<String>,
    /// The cultivar as typed; the book's notes that name it come first.
    pub cultivar: Option<String>,
    /// Stage of the grass.
    pub stage: String,
    /// Weeks since the grass was seeded.
    pub weeks_since_seeding: Option<f64>,
    /// Weeks since sod, sprigs or plugs were laid.
    pub weeks_since_sodding: Option<f64>,
    /// How often the new grass has been mown.
    pub mowings: Option<u32>,
    /// Weeks until seed is to be sown or the lawn overseeded.
    pub seeding_in_weeks: Option<f64>,
    /// Moisture of the soil.
    pub soil: Option<Soil>,
    /// Month, 1 to 12.
    pub month: Option<u8>,
    /// Air temperature of the day, degrees Fahrenheit: the lowest while it matters, or the only one known.
    pub air_temp_f: Option<f64>,
    /// Highest air temperature, where a range is known.
    pub air_temp_high_f: Option<f64>,
    /// Situations of the site.
    pub near: Vec<String>,
    /// Whether `near` is the whole answer; otherwise a situation that is not named is unknown.
    pub near_told: bool,
    /// Use of the lawn: a key of the cover thresholds in `care.yaml`.
    pub lawn_use: Option<String>,
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
/// At most this many weeds in one request.
pub const MOST_WEEDS: usize = 64;

/// Why a request cannot be answered.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum RequestFault {
    /// A name that the book does not know.
    #[error(transparent)]
    Name(#[from] UnknownName),
    /// Two facts that cannot both be true, or one that cannot be.
    #[error("{0}")]
    Contradiction(String),
}

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

    /// Turns every name that was typed into the id of the book, and refuses facts that contradict each other.
    ///
    /// # Errors
    /// The first name that the book does not know, with the nearest one; the first contradiction, with how to mend it.
    pub fn check(mut self, book: &Knowledge) -> Result<Self, RequestFault> {
        let many = |kind: Kind, names: &mut Vec<String>| -> Result<(), UnknownName> {
            let mut ids: Vec<String> = Vec::new();
            for name in names.iter() {
                let id = book.find(kind, name)?;
                if !ids.contains(&id) {
                    ids.push(id);
                }
            }
            *names = ids;
            Ok(())
        };
        many(Kind::Weed, &mut self.weeds)?;
        many(Kind::Turf, &mut self.turf)?;
        many(Kind::Situation, &mut self.near)?;
        self.cover_percent = by_id(book, &self.cover_percent)?;
        self.weed_stages = by_id(book, &self.weed_stages)?;
        if let Some(place) = &mut self.place {
            *place = book.find(Kind::Place, place)?;
        }
        if self.stage.is_empty() {
            USUAL_STAGE.clone_into(&mut self.stage);
        }
        self.stage = book.find(Kind::Stage, &self.stage)?;
        if let Some(fault) = self.contradiction(book) {
            return Err(RequestFault::Contradiction(fault));
        }
        Ok(self)
    }

    /// The first thing said that cannot be true together with the rest.
    #[must_use]
    pub fn contradiction(&self, book: &Knowledge) -> Option<String> {
        if self.weeds.len() > MOST_WEEDS {
            return Some(format!(
                "{} weeds are too many for one choice: name at most {MOST_WEEDS}, the worst ones first",
                self.weeds.len()
            ));
        }
        self.numbers()
            .or_else(|| self.age(book))
            .or_else(|| self.ground())
            .or_else(|| self.cover(book))
    }

    fn numbers(&self) -> Option<String> {
        for (value, what) in [
            (self.weeks_since_seeding, "weeks since seeding"),
            (self.weeks_since_sodding, "weeks since sodding"),
            (self.seeding_in_weeks, "weeks until seeding"),
        ] {
            if value.is_some_and(|v| !v.is_finite() || v < 0.0) {
                return Some(format!("{what} must be 0 or more"));
            }
        }
        if self.month.is_some_and(|m| !(1..=12).contains(&m)) {
            return Some("the month must be 1 to 12".to_owned());
        }
        if let (Some(low), Some(high)) = (self.air_temp_f, self.air_temp_high_f)
            && low > high
        {
            return Some(format!(
                "the air cannot be at most {high} °F and at least {low} °F: give the lower figure first"
            ));
        }
        None
    }

    /// Grass that is too new for the stage that was named.
    fn age(&self, book: &Knowledge) -> Option<String> {
        let stage = book.stages.iter().find(|s| s.id == self.stage)?;
        let weeks = [self.weeks_since_seeding, self.weeks_since_sodding]
            .into_iter()
            .flatten()
            .reduce(f64::min);
        if let (Some(weeks), Some(least)) = (weeks, &stage.least_weeks)
            && weeks < least.range[0].0
        {
            return Some(format!(
                "grass that was sown or laid {weeks} weeks ago is not yet \"{}\" (at least {} weeks): name another stage (`ligule knowledge list stage`) or leave the weeks out",
                stage.name, least.range[0].0
            ));
        }
        if let (Some(weeks), Some(mowings)) = (weeks, self.mowings)
            && f64::from(mowings) > weeks * 7.0
        {
            return Some(format!(
                "{mowings} mowings in {weeks} weeks is more than one a day: look at both figures"
            ));
        }
        None
    }

    fn ground(&self) -> Option<String> {
        let wet = Soil::Frozen.situation().unwrap_or_default();
        let said_wet = self.near.iter().any(|n| n == wet);
        if said_wet && matches!(self.soil, Some(Soil::Dry | Soil::Moist)) {
            return Some(
                "the soil is called dry or moist, and frozen or waterlogged as well: keep one"
                    .to_owned(),
            );
        }
        if self.soil == Some(Soil::Frozen) && self.air_temp_f.is_some_and(|t| t > 70.0) {
            return Some(
                "the soil is called frozen and the air is above 70 °F: look at both".to_owned(),
            );
        }
        None
    }

    fn cover(&self, book: &Knowledge) -> Option<String> {
        let fine = |p: f64| p.is_finite() && (0.0..=100.0).contains(&p);
        if let Some((weed, p)) = self.cover_percent.iter().find(|(_, p)| !fine(**p)) {
            return Some(format!(
                "{weed} cannot cover {p} percent of the ground: give 0 to 100"
            ));
        }
        let sum: f64 = self.cover_percent.values().sum();
        if sum > 100.0 {
            return Some(format!(
                "the weeds together cover {sum} percent of the ground: at most 100 is possible"
            ));
        }
        let uses = book.care.as_ref().map(|c| &c.cover_percent);
        if let (Some(typed), Some(uses)) = (&self.lawn_use, uses)
            && !uses.contains_key(typed)
        {
            let known: Vec<&str> = uses.keys().map(String::as_str).collect();
            return Some(format!(
                "`{typed}` is no use of a lawn in this book: {}",
                crate::words::or_list(&known)
            ));
        }
        None
    }

    /// The place and the places around it, innermost first.
    #[must_use]
    pub fn places<'a>(&self, book: &'a Knowledge) -> Vec<&'a str> {
        self.place
            .as_deref()
            .map(|p| book.around(p))
            .unwrap_or_default()
    }

    /// Whether the site or the soil brings this situation along.
    #[must_use]
    pub fn is_near(&self, situation: &str) -> bool {
        self.near.iter().any(|n| n == situation)
            || self.soil.and_then(Soil::situation) == Some(situation)
    }

    /// Lowest and highest air temperature known, degrees Fahrenheit.
    #[must_use]
    pub fn air(&self) -> Option<(f64, f64)> {
        let low = self.air_temp_f.or(self.air_temp_high_f)?;
        Some((low, self.air_temp_high_f.unwrap_or(low)))
    }
}

fn by_id<T: Copy>(
    book: &Knowledge,
    map: &BTreeMap<String, T>,
) -> Result<BTreeMap<String, T>, UnknownName> {
    map.iter()
        .map(|(name, value)| Ok((book.find(Kind::Weed, name)?, *value)))
        .collect()
}
