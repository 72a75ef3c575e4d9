//! The sheet of one spray day: from the lawn file, the labels and the book to what is weighed, poured and done, in the
//! order of doing. Where anything stops it, the sheet holds the findings and no amount.

mod buying;
mod doing;
mod job;
mod recorded;
mod spreading;
mod taking;

use super::reckon::Reckoned;
use crate::knowledge::Knowledge;
use crate::knowledge::fact::Fact;
use crate::knowledge::form::common::Many;
use crate::knowledge::form::source::Evidence;
use crate::lawn::check::Use;
use crate::lawn::label::Label;
use crate::lawn::{Finding, LawnError, Weight, check, equipment, ground};
use crate::measure::{Figure, Figures, Quantity, Worked};
use crate::tank::meetings::{Meeting, meetings};
use crate::visit::Lawn;
pub use recorded::{Recorded, RecordedActive};
use serde::Serialize;
use taking::{all_actives, apart, labels, named_weeds, taken, two_areas, weeds_between};

/// What is wanted of the shelf.
#[derive(Debug, Clone, Default)]
pub struct Wish<'a> {
    /// Ids of the grasses; empty where nothing is said.
    pub turf: &'a [String],
    /// Ids of the weeds; empty where nothing is said.
    pub weeds: &'a [String],
    /// Ids of the actives that were chosen; empty where nothing was.
    pub chosen: &'a [String],
    /// Names of products to take, whatever was chosen.
    pub products: Many,
}

/// Something to do or to mind, with what it rests on where the book says it. What has no evidence comes from the
/// label and the lawn file.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Tick {
    /// The sentence.
    pub text: String,
    /// Kind of evidence of the book's side.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub evidence: Option<Evidence>,
    /// Ids of the book's sources.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub sources: Vec<String>,
}

impl Tick {
    fn plain(text: impl Into<String>) -> Self {
        Self {
            text: text.into(),
            evidence: None,
            sources: Vec::new(),
        }
    }

    fn resting_on(text: impl Into<String>, fact: Option<&Fact>) -> Self {
        Self {
            text: text.into(),
            evidence: fact.map(|f| f.evidence),
            sources: fact.map_or(Vec::new(), |f| f.sources.clone()),
        }
    }
}

impl From<Fact> for Tick {
    fn from(fact: Fact) -> Self {
        Self {
            text: fact.text,
            evidence: Some(fact.evidence),
            sources: fact.sources,
        }
    }
}

/// One load in the order of doing.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct LoadSheet {
    /// `Load 1 of 2: 1.2 gal for 1,200 sq ft`.
    pub title: String,
    /// What to do.
    pub ticks: Vec<Tick>,
}

/// A product on the sheet.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct ProductLine {
    /// What the user calls it.
    pub name: String,
    /// Its rate as copied, and what is taken of it.
    pub rate: String,
    /// How much of it the day takes.
    pub takes: String,
}

/// The sheet.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Sheet {
    /// What was found about the products, the gravest first.
    pub findings: Vec<Finding>,
    /// The products taken.
    pub products: Vec<ProductLine>,
    /// The job in one line: ground, spray, loads.
    pub summary: Option<String>,
    /// What is known of the actives in one tank.
    pub meetings: Vec<Meeting>,
    /// Before mixing.
    pub before: Vec<Tick>,
    /// The loads.
    pub loads: Vec<LoadSheet>,
    /// Afterwards.
    pub after: Vec<Tick>,
    /// What to do with what is left.
    pub leftover: Vec<Tick>,
    /// Packs, cost, shares.
    pub buying: Vec<Tick>,
    /// The figures behind it, all exact; nothing where something stops the job.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reckoned: Option<Reckoned>,
    /// More figures: cost, packs, what may go on a second time.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub figures: Vec<Figure>,
    /// The working.
    pub steps: Vec<String>,
    /// What belongs into the record if the job is done as it was reckoned.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub recorded: Vec<Recorded>,
    /// What to mind.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub warnings: Vec<String>,
}

impl Sheet {
    /// Whether no amount is given.
    #[must_use]
    pub fn stopped(&self) -> bool {
        self.reckoned.is_none()
    }

    /// Whether anything was found that the user must look at.
    #[must_use]
    pub fn has_findings(&self) -> bool {
        self.findings.iter().any(|f| f.weight != Weight::Note)
    }

    fn takes<T>(&mut self, worked: Worked<T>) -> T {
        self.steps.extend(worked.steps);
        for warning in worked.warnings {
            if !self.warnings.contains(&warning) {
                self.warnings.push(warning);
            }
        }
        worked.value
    }

    fn stop(&mut self, code: &'static str, product: &str, text: impl Into<String>) {
        self.findings
            .push(Finding::new(code, Weight::Stop, product, text));
    }
}

impl Figures for Sheet {
    fn figures(&self) -> Vec<Figure> {
        let mut all = self.reckoned.as_ref().map_or(Vec::new(), Figures::figures);
        all.extend(self.figures.iter().cloned());
        all
    }
}

/// Reckons the sheet. Nothing where the shelf is empty or holds nothing that was chosen.
///
/// # Errors
/// Figures of the lawn file that cannot be reckoned with, and names that are not in it.
pub fn reckon(book: &Knowledge, lawn: &Lawn, wish: &Wish<'_>) -> Result<Option<Sheet>, LawnError> {
    let labels = labels(book, lawn)?;
    let output = match &lawn.sprayer {
        Some(sprayer) => equipment::output(sprayer)?,
        None => None,
    };
    // Read even where nothing is taken from the shelf, so that no fault of the file stays hidden.
    let ground = ground::of(&lawn.areas, lawn.area.as_deref(), &lawn.treat)?;
    if let Some(sprayer) = &lawn.sprayer {
        equipment::tank(sprayer)?;
    }
    if let Some(spreader) = &lawn.spreader {
        equipment::spread(spreader)?;
    }
    let mut sheet = Sheet::default();
    let Some(taken) = taken(book, &labels, wish, &mut sheet)? else {
        return Ok((!sheet.findings.is_empty()).then_some(sheet));
    };
    let picked: Vec<&Label<'_>> = taken.iter().map(|&i| &labels[i]).collect();
    let rate = output.as_ref().map(|o| o.value.clone());
    let droplets = lawn
        .sprayer
        .as_ref()
        .and_then(|s| s.droplets.as_ref())
        .map(|d| *d.value());
    for label in &picked {
        let on = Use {
            turf: wish.turf,
            weeds: &named_weeds(wish, picked.len()),
            chosen: wish.chosen,
            output: rate.as_ref(),
            droplets,
        };
        sheet.findings.extend(check::check(book, label, &on));
    }
    if picked.len() > 1 {
        weeds_between(book, &picked, wish, &mut sheet);
    }
    two_areas(lawn, ground.as_ref(), &picked, &mut sheet);
    let actives = all_actives(book, &picked);
    // What the actives of one product do to each other was settled by its maker; partners from two packs meet here.
    let own: Vec<Vec<Option<String>>> = picked.iter().map(|l| check::actives(book, l)).collect();
    sheet.meetings = meetings(book, &actives, wish.turf)
        .into_iter()
        .filter(|m| {
            !own.iter().any(|ids| {
                let has = |id: &str| ids.iter().flatten().any(|one| one == id);
                has(&m.first.id) && has(&m.second.id)
            })
        })
        .collect();
    apart(&mut sheet, &picked);
    let job = job::job(lawn, &picked, ground, output, &mut sheet);
    if let Some(job) = job
        && !sheet.findings.iter().any(Finding::stops)
    {
        job.reckon(&mut sheet);
        if sheet.reckoned.is_some() {
            doing::write(book, lawn, &job, &actives, &mut sheet);
            buying::write(&job, &mut sheet)?;
            sheet.recorded = recorded::recorded(book, &picked, &sheet);
        }
    }
    sheet.findings.sort_by_key(|f| f.weight);
    if sheet.findings.iter().any(Finding::stops) {
        sheet.reckoned = None;
        sheet.products.clear();
        sheet.summary = None;
        for part in [
            &mut sheet.before,
            &mut sheet.after,
            &mut sheet.leftover,
            &mut sheet.buying,
        ] {
            part.clear();
        }
        sheet.loads.clear();
        sheet.recorded.clear();
        sheet.figures.clear();
    }
    Ok(Some(sheet))
}

/// The figure of an amount, named.
fn figure(name: &str, quantity: &Quantity) -> Figure {
    Figure::new(name, quantity)
}
