//! The book numbered and weighed once, so that a decision looks up instead of reading.
use super::emergence::{Emergence, emergence};
use super::limits::{Limits, narrowed};
use super::tank::Tank;
use crate::knowledge::Knowledge;
use crate::knowledge::form::active::{
    Active, Control, ControlRow, Timing, Tolerance, ToleranceRow,
};
use crate::knowledge::verdict::Weighed;
use std::collections::BTreeMap;

/// Chooses from one book. Build it once; every decision then takes microseconds.
///
/// All numbers in here are places in sorted lists of ids, or in the book's own lists.
#[derive(Debug)]
pub struct Chooser<'a> {
    pub(super) book: &'a Knowledge,
    pub(super) actives: Vec<Entry<'a>>,
    turf: Vec<&'a str>,
    weeds: Vec<&'a str>,
    /// Active by active, then grass by stage.
    tolerance: Vec<Option<Weighed<Tolerance>>>,
    /// Active by active, then grass by stage: when the rating holds, where a statement limits that.
    limits: Vec<Option<Limits>>,
    /// Active by active, then weed by timing.
    control: Vec<[Option<Weighed<Control>>; 3]>,
    pub(super) mixtures: Vec<Mix>,
    pub(super) tank: Tank,
    /// Cautions that forbid, with what they forbid.
    pub(super) forbidding: Vec<Forbidding>,
    /// The month in which each weed starts to come up: months and whether they are stated as such.
    pub(super) emerging: Vec<Option<Emergence>>,
}

/// One active.
#[derive(Debug)]
pub struct Entry<'a> {
    pub id: &'a str,
    pub form: &'a Active,
    /// Whether it kills grasses and other plants alike.
    pub total: bool,
    /// Risk beside any lawn: restrictions, cautions, movement in soil, vapour.
    pub risk: u16,
}

/// A mixture of the book that fits into an option.
#[derive(Debug)]
pub struct Mix {
    /// Place in `mixtures`.
    pub number: usize,
    /// Its actives, ascending.
    pub actives: Vec<usize>,
    pub sold: bool,
    tolerance: BTreeMap<(usize, usize), Weighed<Tolerance>>,
    control: BTreeMap<(usize, usize), Weighed<Control>>,
}

/// A caution that leaves actives out in some situations, or always.
#[derive(Debug)]
pub struct Forbidding {
    /// Place in `cautions`.
    pub number: usize,
    /// For each active whether it is left out.
    pub actives: Vec<bool>,
}

/// The word of `spectrum` for what kills whatever it touches.
const KILLS_ALL: &str = "non-selective";

fn place(ids: &[&str], id: &str) -> Option<usize> {
    ids.binary_search(&id).ok()
}

fn timing_place(timing: Timing) -> usize {
    match timing {
        Timing::Pre => 0,
        Timing::EarlyPost => 1,
        Timing::Post => 2,
    }
}

impl<'a> Chooser<'a> {
    /// Weighs the whole book.
    #[must_use]
    pub fn new(book: &'a Knowledge) -> Self {
        let ids: Vec<&str> = book.actives.keys().map(String::as_str).collect();
        let turf: Vec<&str> = book.turf.keys().map(String::as_str).collect();
        let weeds: Vec<&str> = book.weeds.keys().map(String::as_str).collect();
        let stages = book.stages.len();
        let stage = |id: &str| book.stages.iter().position(|s| s.id == id);
        let mut tolerance = vec![None; ids.len() * turf.len() * stages];
        let mut limits = vec![None; tolerance.len()];
        let mut control = vec![[None; 3]; ids.len() * weeds.len()];
        let of_turf = |rows: &'a [ToleranceRow]| {
            let mut by: BTreeMap<(usize, usize), Vec<&ToleranceRow>> = BTreeMap::new();
            for row in rows {
                if let (Some(t), Some(s)) = (place(&turf, &row.turf), stage(&row.stage)) {
                    by.entry((t, s)).or_default().push(row);
                }
            }
            by.into_iter()
                .filter_map(|(key, rows)| Some((key, book.weigh_tolerance(&rows)?)))
                .collect::<BTreeMap<_, _>>()
        };
        let of_weeds = |rows: &'a [ControlRow]| {
            let mut by: BTreeMap<(usize, usize), Vec<&ControlRow>> = BTreeMap::new();
            for row in rows {
                if let Some(w) = place(&weeds, &row.weed) {
                    by.entry((w, timing_place(row.timing)))
                        .or_default()
                        .push(row);
                }
            }
            by.into_iter()
                .filter_map(|(key, rows)| Some((key, book.weigh_control(&rows)?)))
                .collect::<BTreeMap<_, _>>()
        };
        for (a, form) in book.actives.values().enumerate() {
            for ((t, s), weighed) in of_turf(&form.turf) {
                tolerance[(a * turf.len() + t) * stages + s] = Some(weighed);
            }
            for row in &form.turf {
                if let (Some(t), Some(s)) = (place(&turf, &row.turf), stage(&row.stage)) {
                    let known = &mut limits[(a * turf.len() + t) * stages + s];
                    *known = narrowed(*known, row);
                }
            }
            for ((w, t), weighed) in of_weeds(&form.controls) {
                control[a * weeds.len() + w][t] = Some(weighed);
            }
        }
        let mixtures = book
            .mixtures
            .iter()
            .enumerate()
            .filter_map(|(number, m)| {
                let actives: Option<Vec<usize>> =
                    m.actives.iter().map(|id| place(&ids, id)).collect();
                let mut actives = actives?;
                actives.sort_unstable();
                Some(Mix {
                    number,
                    actives,
                    sold: m.sold_together.is_some(),
                    tolerance: of_turf(&m.turf),
                    control: of_weeds(&m.controls),
                })
            })
            .collect();
        Self {
            tank: Tank::new(book, &ids),
            forbidding: forbidding(book),
            emerging: book.weeds.values().map(emergence).collect(),
            actives: book
                .actives
                .iter()
                .map(|(id, form)| Entry {
                    id,
                    form,
                    total: form.spectrum.is.iter().any(|s| s == KILLS_ALL),
                    risk: risk(form),
                })
                .collect(),
            book,
            turf,
            weeds,
            tolerance,
            limits,
            control,
            mixtures,
        }
    }

    /// The book that it chooses from.
    #[must_use]
    pub fn book(&self) -> &'a Knowledge {
        self.book
    }

    pub(super) fn turf_number(&self, id: &str) -> Option<usize> {
        place(&self.turf, id)
    }

    pub(super) fn weed_number(&self, id: &str) -> Option<usize> {
        place(&self.weeds, id)
    }

    pub(super) fn stage_number(&self, id: &str) -> Option<usize> {
        self.book.stages.iter().position(|s| s.id == id)
    }

    pub(super) fn active_number(&self, id: &str) -> Option<usize> {
        self.actives.binary_search_by(|e| e.id.cmp(id)).ok()
    }

    pub(super) fn tolerance(
        &self,
        active: usize,
        turf: usize,
        stage: usize,
    ) -> Option<Weighed<Tolerance>> {
        self.tolerance[(active * self.turf.len() + turf) * self.book.stages.len() + stage]
    }

    /// When the rating of that place holds; `None`: no statement limits it.
    pub(super) fn limits(&self, active: usize, turf: usize, stage: usize) -> Option<Limits> {
        self.limits[(active * self.turf.len() + turf) * self.book.stages.len() + stage]
    }

    pub(super) fn control(
        &self,
        active: usize,
        weed: usize,
        timing: Timing,
    ) -> Option<Weighed<Control>> {
        self.control[active * self.weeds.len() + weed][timing_place(timing)]
    }

    /// The mixture of exactly these actives (ascending).
    pub(super) fn mixture(&self, actives: &[usize]) -> Option<&Mix> {
        self.mixtures.iter().find(|m| m.actives == actives)
    }
}

impl Mix {
    pub(super) fn tolerance(&self, turf: usize, stage: usize) -> Option<Weighed<Tolerance>> {
        self.tolerance.get(&(turf, stage)).copied()
    }

    pub(super) fn control(&self, weed: usize, timing: Timing) -> Option<Weighed<Control>> {
        self.control.get(&(weed, timing_place(timing))).copied()
    }
}

fn forbidding(book: &Knowledge) -> Vec<Forbidding> {
    book.cautions
        .iter()
        .enumerate()
        .filter(|(_, c)| c.forbids)
        .map(|(number, c)| Forbidding {
            number,
            actives: book
                .actives
                .iter()
                .map(|(id, active)| {
                    (c.when.actives.is_empty() && c.when.groups.is_empty())
                        || c.when.actives.iter().any(|a| a == id)
                        || c.when.groups.contains(&active.group.is)
                })
                .collect(),
        })
        .collect()
}

/// How much an active puts at risk beside any lawn: one for every caution, restriction and easy movement on record.
fn risk(active: &Active) -> u16 {
    let many = active.cautions.len() + active.restrictions.len();
    u16::try_from(many).unwrap_or(u16::MAX / 2)
        + u16::from(moves_in_soil(active))
        + u16::from(turns_to_vapour(active))
}

/// Whether the book says that it moves easily in soil.
#[must_use]
pub fn moves_in_soil(active: &Active) -> bool {
    active
        .soil_mobility
        .as_ref()
        .is_some_and(|w| w.is.iter().any(|s| s.contains("high")))
}

/// Whether the book says that it turns to vapour more than little.
#[must_use]
pub fn turns_to_vapour(active: &Active) -> bool {
    active
        .volatility
        .as_ref()
        .is_some_and(|w| w.is.iter().any(|s| !s.eq_ignore_ascii_case("low")))
}
