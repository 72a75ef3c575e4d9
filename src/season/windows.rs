//! Windows of the year: when a weed comes up, when a treatment is due, and when new seed forbids it.
use super::days::Day;
use super::degree::{Count, Method, sum};
use crate::knowledge::Knowledge;
use crate::knowledge::form::common::{Number, Sources};
use crate::knowledge::form::lists::{DegreeDays, Event};
use crate::knowledge::form::source::Evidence;
use jiff::ToSpan;
use jiff::civil::Date;
use serde::Serialize;

/// Where a day stands to a window.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum State {
    /// It is open on the day.
    Open,
    /// It has not opened, as far as the weather goes.
    Ahead,
    /// It is over.
    Past,
    /// The weather or the source does not tell; `how` says why.
    CannotTell,
}

/// A window.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Window {
    /// Id of the event in the knowledge; `emergence` for what the weed's own file says.
    pub event: String,
    /// What happens.
    pub what: String,
    /// Ids of the weeds it is about; empty for all.
    pub weeds: Vec<String>,
    /// First day.
    pub from: Option<Date>,
    /// Last day, where there is one.
    pub to: Option<Date>,
    /// Second half of a split treatment before emergence: first and last day.
    pub second: Option<(Date, Date)>,
    /// Where the day asked about stands.
    pub state: State,
    /// How it was reckoned, or why not.
    pub how: String,
    /// The sentence of the knowledge.
    pub text: String,
    /// Kind of evidence.
    pub evidence: Evidence,
    /// Ids of sources.
    pub sources: Vec<String>,
}

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Ask {
    /// Ids of weeds.
    pub weeds: Vec<String>,
    /// The day that windows are compared with.
    pub today: Date,
    /// Day on which sums start where the source states none.
    pub start: Option<Date>,
    /// Way of reckoning where the source states none.
    pub method: Option<Method>,
}

/// Every window of the knowledge for these weeds and for no weed in particular.
#[must_use]
pub fn windows(book: &Knowledge, days: &[Day], ask: &Ask) -> Vec<Window> {
    let mut found = Vec::new();
    let events = book.timing.as_ref().map_or(&[][..], |t| &t.events);
    for event in events {
        if !event.weeds.is_empty() && !event.weeds.iter().any(|w| ask.weeds.contains(w)) {
            continue;
        }
        let base = |part: Part| Window {
            event: event.id.clone(),
            what: event.event.clone(),
            weeds: event
                .weeds
                .iter()
                .filter(|w| ask.weeds.contains(w))
                .cloned()
                .collect(),
            text: event.text.clone(),
            ..part.window(book, ask.today, &event.source)
        };
        let from = found.len();
        if let Some(count) = &event.degree_days {
            found.push(base(by_degree_days(count, days, ask)));
        }
        if event.soil_f.is_some() {
            found.push(base(by_soil(event, days)));
        }
        if let Some(months) = &event.months {
            let part = by_months(&months.months, ask.today);
            found.push(Window {
                sources: months.source.to_vec(),
                evidence: book.evidence(&months.source),
                ..base(part)
            });
        }
        if is_before_emergence(event) {
            for window in &mut found[from..] {
                window.second = split(book, window.from);
            }
        }
    }
    found.extend(
        ask.weeds
            .iter()
            .flat_map(|id| emergence(book, id, days, ask.today)),
    );
    found.sort_by_key(|w| (w.state, w.from.is_none(), w.from));
    found
}

/// Words that start the name of an event that is a treatment before emergence.
const BEFORE_EMERGENCE: &str = "apply preemergence";

fn is_before_emergence(event: &Event) -> bool {
    event.event == BEFORE_EMERGENCE
}

fn split(book: &Knowledge, from: Option<Date>) -> Option<(Date, Date)> {
    let [first, last] = book.timing.as_ref()?.split_weeks.as_ref()?.range;
    Some((weeks_after(from?, first.0)?, weeks_after(from?, last.0)?))
}

/// The day that lies so many weeks later; part days are rounded up.
fn weeks_after(date: Date, weeks: f64) -> Option<Date> {
    #[expect(
        clippy::cast_possible_truncation,
        reason = "clamped to a century first"
    )]
    let days = (weeks * 7.0).ceil().clamp(-36500.0, 36500.0) as i64;
    date.checked_add(days.days()).ok()
}

/// Days, or why there are none.
struct Part {
    from: Option<Date>,
    to: Option<Date>,
    how: String,
    tells: bool,
}

impl Part {
    fn cannot(how: impl Into<String>) -> Self {
        Self {
            from: None,
            to: None,
            how: how.into(),
            tells: false,
        }
    }

    fn window(self, book: &Knowledge, today: Date, source: &Sources) -> Window {
        let state = match (self.tells, self.from, self.to) {
            (false, ..) => State::CannotTell,
            (_, _, Some(to)) if to < today => State::Past,
            (_, None, None) => State::Ahead,
            (_, Some(from), _) if from > today => State::Ahead,
            _ => State::Open,
        };
        Window {
            event: String::new(),
            what: String::new(),
            weeds: Vec::new(),
            from: self.from,
            to: self.to,
            second: None,
            state,
            how: self.how,
            text: String::new(),
            evidence: book.evidence(source),
            sources: source.to_vec(),
        }
    }
}

/// How the degree days of an event are counted; what the source leaves out comes from the one who asks.
///
/// # Errors
/// What nobody states, in one sentence.
pub fn count_of(event: &DegreeDays, ask: &Ask) -> Result<Count, &'static str> {
    let base = event
        .base
        .ok_or("the source does not show the base temperature")?;
    if event.from.is_none() && event.to.is_none() {
        return Err("the source names the base but no sums");
    }
    let method = event.method.as_deref().and_then(Method::of).or(ask.method).ok_or(
        "the source does not say how its degree days are reckoned, and a sum only holds with the method it was found with; name one to try it",
    )?;
    let start = event.start.as_deref().and_then(|words| day_in_words(words, ask.today)).or(ask.start).ok_or(
        "the source does not say from which day its degree days are counted; name a day to try it",
    )?;
    Ok(Count {
        method,
        base: base.0,
        upper: None,
        fahrenheit: event.unit == "F",
        start,
        soil: event
            .sensor
            .as_deref()
            .is_some_and(|s| s.starts_with("soil")),
    })
}

fn by_degree_days(event: &DegreeDays, days: &[Day], ask: &Ask) -> Part {
    let count = match count_of(event, ask) {
        Ok(count) => count,
        Err(why) => return Part::cannot(why),
    };
    let (start, base) = (count.start, count.base);
    let running = sum(days, &count);
    let place = if count.soil { "soil" } else { "air" };
    // The sum that is told is that of the day asked about; a file may run on beyond it.
    let told = running
        .iter()
        .rev()
        .find(|r| r.date <= ask.today)
        .or(running.first());
    let Some(last) = told else {
        return Part::cannot(format!("the weather file has no day from {start} on"));
    };
    if running.iter().all(|r| r.of_day.is_none()) {
        return Part::cannot(format!(
            "the weather file has no {place} temperatures for it from {start} on"
        ));
    }
    let reached = |sum: Number| running.iter().find(|r| r.total >= sum.0).map(|r| r.date);
    let from = event.from.map_or(Some(start), reached);
    // The window ends on the day before the one on which the upper sum is reached.
    let to = event.to.and_then(reached).and_then(|d| d.yesterday().ok());
    let doubt = if last.missing > 0 {
        format!(
            "; {} days are missing, so the true sum may be larger",
            last.missing
        )
    } else {
        String::new()
    };
    let own = if event.method.is_none() || event.start.is_none() {
        "; method or start are not the source's"
    } else {
        ""
    };
    let how = format!(
        "{:.0} degree days (base {} {}, {}, {place}) from {start} to {}{doubt}{own}",
        last.total,
        base,
        event.unit,
        count.method.id(),
        last.date
    );
    Part {
        from,
        to,
        how,
        tells: true,
    }
}

/// `15 February` in the year of another day.
fn day_in_words(words: &str, near: Date) -> Option<Date> {
    let (day, month) = words.split_once(' ')?;
    let months = [
        "january",
        "february",
        "march",
        "april",
        "may",
        "june",
        "july",
        "august",
        "september",
        "october",
        "november",
        "december",
    ];
    let month = months.iter().position(|m| *m == month.to_lowercase())?;
    Date::new(
        near.year(),
        i8::try_from(month + 1).ok()?,
        day.parse().ok()?,
    )
    .ok()
}

fn by_soil(event: &Event, days: &[Day]) -> Part {
    let Some([from, to]) = event.soil_f else {
        return Part::cannot("");
    };
    let (run, stated) = event.soil_days.map_or((1.0, false), |d| (d[0].0, true));
    soil(
        days,
        from.0,
        Some(to.0).filter(|t| *t > from.0),
        run,
        stated,
    )
}

/// First day of a run of days with a mean soil temperature of at least `from`; the window ends when `to` is held as long.
fn soil(days: &[Day], from: f64, to: Option<f64>, run: f64, stated: bool) -> Part {
    if days.iter().all(|d| d.soil.is_none()) {
        return Part::cannot(
            "the weather file has no soil temperature, and the air does not stand for the soil",
        );
    }
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a number of days, clamped"
    )]
    let run = run.ceil().clamp(1.0, 60.0) as usize;
    let held = |limit: f64| {
        days.windows(run)
            .find(|w| {
                w.iter()
                    .all(|d| d.soil.is_some_and(|c| c * 1.8 + 32.0 >= limit))
            })
            .and_then(|w| w.last())
            .map(|d| d.date)
    };
    let missing = days.iter().filter(|d| d.soil.is_none()).count();
    let doubt = if missing > 0 {
        format!("; {missing} days are missing, and a run starts anew after each")
    } else {
        String::new()
    };
    let length = if stated {
        format!("{run} days in a row")
    } else {
        "one day (the source states no number of days)".to_owned()
    };
    Part {
        from: held(from),
        to: to.and_then(held).and_then(|d| d.yesterday().ok()),
        how: format!("mean soil temperature of {from} F for {length}{doubt}"),
        tells: true,
    }
}

/// The run of months that is open on a day or comes next.
fn by_months(months: &[u8], today: Date) -> Part {
    let all: Vec<i8> = months
        .iter()
        .filter_map(|m| i8::try_from(*m).ok())
        .filter(|m| (1..=12).contains(m))
        .collect();
    let before = |m: i8| if m == 1 { 12 } else { m - 1 };
    let mut runs = Vec::new();
    for year in [today.year() - 1, today.year(), today.year() + 1] {
        for &first in all
            .iter()
            .filter(|m| !all.contains(&before(**m)) || all.len() == 12)
        {
            let length = (0..12)
                .take_while(|k| all.contains(&((first - 1 + k) % 12 + 1)))
                .count();
            let from = Date::new(year, first, 1).ok();
            let end = from
                .and_then(|d| {
                    d.checked_add(i32::try_from(length).unwrap_or(1).months())
                        .ok()
                })
                .and_then(|d| d.yesterday().ok());
            if let (Some(from), Some(to)) = (from, end) {
                runs.push((from, to));
            }
        }
    }
    runs.sort_unstable();
    match runs.into_iter().find(|(_, to)| *to >= today) {
        Some((from, to)) => Part {
            from: Some(from),
            to: Some(to),
            how: "by the calendar; a warm or a cold year moves it".to_owned(),
            tells: true,
        },
        None => Part::cannot("no months are named"),
    }
}

fn emergence(book: &Knowledge, id: &str, days: &[Day], today: Date) -> Vec<Window> {
    let Some(weed) = book.weeds.get(id) else {
        return Vec::new();
    };
    let name = weed.names.first().map_or(id, String::as_str);
    let own = |part: Part, source: &Sources, text: String| Window {
        event: "emergence".to_owned(),
        what: "emergence".to_owned(),
        weeds: vec![id.to_owned()],
        text,
        ..part.window(book, today, source)
    };
    let mut found = Vec::new();
    if let Some(months) = &weed.seen.emerging {
        found.push(own(
            by_months(&months.months, today),
            &months.source,
            format!("Most of {name} comes up in these months."),
        ));
    }
    if let Some(figure) = &weed.seen.emerging_soil_f {
        let [from, to] = figure.range;
        found.push(own(
            soil(days, from.0, None, 1.0, false),
            &figure.source,
            format!(
                "{name} starts to come up with the soil at {} to {} F.",
                from.0, to.0
            ),
        ));
    }
    found
}

/// What sowing grass means for an active.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Overseeding {
    /// Id of the active.
    pub active: String,
    /// Weeks to wait between treatment and seeding: lowest and highest figure.
    pub wait_weeks: Option<(f64, f64)>,
    /// Earliest seeding after the last treatment.
    pub earliest_seeding: Option<Date>,
    /// Last treatment that leaves the wait before the seeding.
    pub latest_treatment: Option<Date>,
    /// Whether the two clash. `None`: nobody says how long to wait, so it is not proven safe.
    pub clash: Option<bool>,
    /// One sentence.
    pub text: String,
    /// Kind of evidence.
    pub evidence: Option<Evidence>,
    /// Ids of sources.
    pub sources: Vec<String>,
}

/// Compares treatments with a day on which grass is to be sown. The longest wait counts.
#[must_use]
pub fn overseeding(
    book: &Knowledge,
    actives: &[String],
    treated: &[Date],
    seeding: Date,
) -> Vec<Overseeding> {
    actives
        .iter()
        .filter_map(|id| Some((id, book.actives.get(id)?)))
        .map(|(id, active)| {
            let Some(wait) = &active.seeding_wait_weeks else {
                return Overseeding {
                    active: id.clone(),
                    wait_weeks: None,
                    earliest_seeding: None,
                    latest_treatment: None,
                    clash: None,
                    text: format!("how long to wait between {} and seeding is not known: the label decides", active.name),
                    evidence: None,
                    sources: Vec::new(),
                };
            };
            let [low, high] = wait.range;
            let last = treated.iter().filter(|d| **d <= seeding).max();
            let earliest = last.and_then(|d| weeks_after(*d, high.0));
            let latest = weeks_after(seeding, -high.0);
            let clash = earliest.map_or(Some(false), |d| Some(d > seeding));
            let text = match (clash, earliest) {
                (Some(true), Some(day)) => format!("{} would hurt the new grass: seed from {day} on, or treat until {} at the latest", active.name, latest.map_or(String::new(), |d| d.to_string())),
                _ => format!("{} leaves the wait of {} weeks before the seeding", active.name, high.0),
            };
            Overseeding {
                active: id.clone(),
                wait_weeks: Some((low.0, high.0)),
                earliest_seeding: earliest,
                latest_treatment: latest,
                clash,
                text,
                evidence: Some(book.evidence(&wait.source)),
                sources: wait.source.to_vec(),
            }
        })
        .collect()
}
