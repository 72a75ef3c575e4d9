//! What the record says about the next treatment: what was used when, how much, and how often.
use super::entry::What;
use super::error::RecordError;
use super::expect::{after, days_between, whole_days};
use super::read::Treated;
use super::store::Store;
use crate::knowledge::Knowledge;
use jiff::civil::{Date, date};
use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};

/// How many calendar years uses are counted back, this year included.
pub const YEARS: usize = 5;

/// What was done on a lawn before, as a plain value for the choice.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct History {
    /// The day on which it is looked at.
    pub today: Date,
    /// Uses by active id.
    pub actives: BTreeMap<String, ActiveUse>,
    /// Treatments by site-of-action group: this calendar year, the year before, and so on ([`YEARS`] figures). Actives
    /// without a group (0) are left out.
    pub groups: BTreeMap<u16, Vec<u32>>,
    /// Groups of the latest treatment.
    pub last_groups: Vec<u16>,
    /// Where somebody wrote down that a weed may be resistant.
    pub suspicions: Vec<Suspicion>,
    /// Day of the latest seeding.
    pub seeded_on: Option<Date>,
    /// Day on which seeding is planned, where the user says so.
    pub seeding_planned: Option<Date>,
}

/// Uses of one active.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ActiveUse {
    /// Day of the latest use.
    pub last_use: Date,
    /// Days from then to today; 0 at least.
    pub days_since: i64,
    /// Treatments in this calendar year.
    pub uses_this_year: u32,
    /// Amount in this calendar year, all products together.
    pub this_year: Amount,
    /// Amount in the last twelve months, all products together.
    pub twelve_months: Amount,
}

impl ActiveUse {
    /// A first use on a day, before any amount is added.
    fn on(day: Date) -> Self {
        Self {
            last_use: day,
            days_since: 0,
            uses_this_year: 0,
            this_year: Amount::default(),
            twelve_months: Amount::default(),
        }
    }
}

/// A sum of amounts.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Amount {
    /// Pounds per acre, exact.
    pub lb_per_acre: Decimal,
    /// Treatments among them whose amount was not written down.
    pub unknown: u32,
}

impl Amount {
    fn add(&mut self, amount: Option<Decimal>) {
        match amount {
            // A sum too large to hold is beyond every limit; it stays at the largest number.
            Some(more) => self.lb_per_acre = self.lb_per_acre.saturating_add(more),
            None => self.unknown += 1,
        }
    }
}

/// One treatment on record, as far as rotation turns on it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Past {
    /// Its day.
    pub day: Date,
    /// Ids of what was used.
    pub actives: Vec<String>,
    /// Their groups, ascending; actives without a group (0) are left out.
    pub groups: Vec<u16>,
}

/// The treatments of the last [`YEARS`] calendar years that stand, in the order of their days.
///
/// # Errors
/// A record that cannot be read.
pub fn past(
    book: &Knowledge,
    store: &Store,
    lawn: Option<&str>,
    today: Date,
) -> Result<Vec<Past>, RecordError> {
    let mut all: Vec<Past> = store
        .uses(lawn, first_day(today))?
        .iter()
        .map(|treated| {
            let mut actives: Vec<String> = treated.uses.iter().map(|u| u.active.clone()).collect();
            actives.sort();
            actives.dedup();
            Past {
                day: treated.day,
                groups: groups(&actives, &|id| book.actives.get(id).map(|a| a.group.is)),
                actives,
            }
        })
        .collect();
    all.sort_by_key(|p| p.day);
    Ok(all)
}

/// A suspicion of resistance on this lawn.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Suspicion {
    /// Day of the observation.
    pub on: Date,
    /// Ids of the weeds.
    pub weeds: Vec<String>,
    /// Ids of the actives that had been used.
    pub actives: Vec<String>,
    /// Their groups.
    pub groups: Vec<u16>,
}

impl History {
    /// An empty history: nothing was ever done here.
    #[must_use]
    pub fn none(today: Date) -> Self {
        Self {
            today,
            actives: BTreeMap::new(),
            groups: BTreeMap::new(),
            last_groups: Vec::new(),
            suspicions: Vec::new(),
            seeded_on: None,
            seeding_planned: None,
        }
    }

    /// The history of a lawn, or of all lawns together where none is named.
    ///
    /// # Errors
    /// A record that cannot be read.
    pub fn of(
        book: &Knowledge,
        store: &Store,
        lawn: Option<&str>,
        today: Date,
    ) -> Result<Self, RecordError> {
        Self::besides(book, store, lawn, today, &[])
    }

    /// The same without treatments that were first written down under the numbers `own`: those of the very visit that is
    /// asked about, whose note must not change because it was followed.
    ///
    /// # Errors
    /// A record that cannot be read.
    pub fn besides(
        book: &Knowledge,
        store: &Store,
        lawn: Option<&str>,
        today: Date,
        own: &[i64],
    ) -> Result<Self, RecordError> {
        let mut uses = store.uses(lawn, first_day(today))?;
        if !own.is_empty() {
            let mut others = Vec::new();
            for treated in uses {
                if !own.contains(&store.origin(treated.entry)?.0.id) {
                    others.push(treated);
                }
            }
            uses = others;
        }
        let mut history =
            Self::of_uses(&uses, |id| book.actives.get(id).map(|a| a.group.is), today);
        history.seeded_on = store.last_seeding(lawn, today)?;
        for (on, weed, about) in store.suspicions(lawn)? {
            let What::Application(treated) = about.what else {
                continue;
            };
            let mut actives: Vec<String> = treated
                .products
                .into_iter()
                .flat_map(|p| p.actives)
                .map(|a| a.active)
                .collect();
            actives.sort();
            actives.dedup();
            history.suspicions.push(Suspicion {
                on,
                weeds: weed.map_or(treated.weeds, |w| vec![w]),
                groups: groups(&actives, &|id| book.actives.get(id).map(|a| a.group.is)),
                actives,
            });
        }
        Ok(history)
    }

    /// The part of the history that treatments tell. `group` gives the group of an active; 0 or none for no group.
    #[must_use]
    pub fn of_uses(
        treatments: &[Treated],
        group: impl Fn(&str) -> Option<u16>,
        today: Date,
    ) -> Self {
        let mut history = Self::none(today);
        let year_ago = today
            .checked_sub(jiff::Span::new().years(1))
            .unwrap_or(Date::MIN);
        let mut last = None;
        for treated in treatments {
            // A day after today can only come from a clock that was set back; it counts as today, which is the cautious side.
            let day = treated.day.min(today);
            let mut groups: Vec<u16> = Vec::new();
            for (index, used) in treated.uses.iter().enumerate() {
                let first = !treated.uses[..index]
                    .iter()
                    .any(|before| before.active == used.active);
                let this_year = day.year() == today.year();
                let past = match history.actives.get_mut(&used.active) {
                    Some(past) => past,
                    None => history
                        .actives
                        .entry(used.active.clone())
                        .or_insert_with(|| ActiveUse::on(day)),
                };
                past.last_use = past.last_use.max(day);
                if this_year {
                    past.this_year.add(used.lb_per_acre);
                    past.uses_this_year += u32::from(first);
                }
                if day > year_ago {
                    past.twelve_months.add(used.lb_per_acre);
                }
                let number = group(&used.active).filter(|&g| g != 0);
                groups.extend(number.filter(|g| !groups.contains(g)));
            }
            let back = usize::try_from(today.year() - day.year()).unwrap_or(0);
            if back < YEARS {
                for number in &groups {
                    history
                        .groups
                        .entry(*number)
                        .or_insert_with(|| vec![0; YEARS])[back] += 1;
                }
            }
            if last.is_none_or(|latest| (day, treated.entry) > latest) {
                last = Some((day, treated.entry));
                groups.sort_unstable();
                history.last_groups = groups;
            }
        }
        for used in history.actives.values_mut() {
            used.days_since = days_between(used.last_use, today).max(0);
        }
        history
    }

    /// Treatments with a group in this and the last `years` - 1 calendar years.
    #[must_use]
    pub fn uses_of_group(&self, group: u16, years: usize) -> u32 {
        self.groups
            .get(&group)
            .map_or(0, |counts| counts.iter().take(years).sum())
    }
}

fn groups(actives: &[String], group: &impl Fn(&str) -> Option<u16>) -> Vec<u16> {
    let found: BTreeSet<u16> = actives
        .iter()
        .filter_map(|id| group(id))
        .filter(|&g| g != 0)
        .collect();
    found.into_iter().collect()
}

fn first_day(today: Date) -> Date {
    let back = i16::try_from(YEARS - 1).unwrap_or(0);
    date(today.year().saturating_sub(back).max(1), 1, 1)
}

/// The most of an active in a year by the book, exact as written there, with the sources.
#[must_use]
pub fn yearly_most(book: &Knowledge, active: &str) -> Option<Decimal> {
    let most = book.actives.get(active)?.yearly_max_lb_per_acre.as_ref()?;
    decimal(most.range[0].0)
}

/// A number of the book as a decimal: the shortest text that means it is the text that was written.
#[must_use]
pub fn decimal(number: f64) -> Option<Decimal> {
    Decimal::from_str_exact(&number.to_string()).ok()
}

/// What still holds of one active that was used.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct InForce {
    /// Id of the active.
    pub active: String,
    /// What was used.
    #[serde(flatten)]
    pub used: ActiveUse,
    /// Most in a year, pounds per acre.
    pub yearly_most: Option<Decimal>,
    /// What is left of it this year; none where it cannot be known.
    pub left_this_year: Option<Decimal>,
    /// First and last day of the span in which the next treatment with it may come at the earliest.
    pub repeat: Option<(Date, Date)>,
    /// The same for seeding.
    pub seeding: Option<(Date, Date)>,
    /// First day on which to mow again.
    pub mowing: Option<Date>,
    /// What the book says about clippings.
    pub clippings: Vec<String>,
    /// What the book says about figures here: notes, evidence, sources.
    pub rests_on: Vec<String>,
}

/// What holds today of everything used in the last twelve months.
#[must_use]
pub fn in_force(book: &Knowledge, history: &History) -> Vec<InForce> {
    let recent = history
        .actives
        .iter()
        .filter(|(_, used)| used.days_since <= 366);
    recent.map(|(id, used)| of_active(book, id, used)).collect()
}

fn of_active(book: &Knowledge, id: &str, used: &ActiveUse) -> InForce {
    let active = book.actives.get(id);
    let mut rests_on = Vec::new();
    let span = |from: f64, to: f64| {
        Some((
            after(used.last_use, whole_days(from)?)?,
            after(used.last_use, whole_days(to)?)?,
        ))
    };
    let mut figure =
        |name: &str, figure: Option<&crate::knowledge::form::common::Figure>, days: f64| {
            let figure = figure?;
            let note = figure
                .note
                .as_ref()
                .map_or(String::new(), |n| format!("; {n}"));
            rests_on.push(format!("{name}: {}{note}", figure.source.join(", ")));
            span(figure.range[0].0 * days, figure.range[1].0 * days)
        };
    let repeat = figure(
        "repeat",
        active.and_then(|a| a.repeat_interval_days.as_ref()),
        1.0,
    );
    let seeding = figure(
        "seeding",
        active.and_then(|a| a.seeding_wait_weeks.as_ref()),
        7.0,
    );
    let _ = figure(
        "yearly most",
        active.and_then(|a| a.yearly_max_lb_per_acre.as_ref()),
        0.0,
    );
    let hold = active.and_then(|a| a.mowing_hold.as_ref());
    rests_on.extend(hold.map(|h| format!("mowing: {}", h.source.join(", "))));
    let most = yearly_most(book, id);
    InForce {
        active: id.to_owned(),
        yearly_most: most,
        left_this_year: most.filter(|_| used.this_year.unknown == 0).map(|most| {
            most.saturating_sub(used.this_year.lb_per_acre)
                .max(Decimal::ZERO)
        }),
        repeat,
        seeding,
        mowing: hold.and_then(|h| after(used.last_use, whole_days(h.after_days.0)?)),
        clippings: active
            .iter()
            .flat_map(|a| &a.cautions)
            .filter(|c| c.about.as_deref() == Some("clippings"))
            .map(|c| c.text.clone())
            .collect(),
        used: used.clone(),
        rests_on,
    }
}
