//! First and last day of a window, by degree days, by the soil and by the calendar.
use super::{Ask, State, Window};
use crate::knowledge::Knowledge;
use crate::knowledge::form::common::{Number, Sources};
use crate::knowledge::form::lists::{DegreeDays, Event};
use crate::season::days::Day;
use crate::season::degree::{Count, Method, sum};
use jiff::ToSpan;
use jiff::civil::Date;

/// A figure that is reached exactly must not be missed by the last digit of a sum or of a change of units.
const ROUNDING: f64 = 1e-6;

/// Days, or why there are none.
pub struct Part {
    pub from: Option<Date>,
    pub to: Option<Date>,
    pub how: String,
    pub tells: bool,
}

impl Part {
    pub fn cannot(how: impl Into<String>) -> Self {
        Self {
            from: None,
            to: None,
            how: how.into(),
            tells: false,
        }
    }

    pub fn window(self, book: &Knowledge, today: Date, source: &Sources) -> Window {
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

pub fn by_degree_days(event: &DegreeDays, days: &[Day], ask: &Ask) -> Part {
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
    let reached = |sum: Number| {
        running
            .iter()
            .find(|r| r.total + ROUNDING >= sum.0)
            .map(|r| r.date)
    };
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

pub fn by_soil(event: &Event, days: &[Day]) -> Part {
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
pub fn soil(days: &[Day], from: f64, to: Option<f64>, run: f64, stated: bool) -> Part {
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
                    .all(|d| d.soil.is_some_and(|c| c * 1.8 + 32.0 + ROUNDING >= limit))
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
pub fn by_months(months: &[u8], today: Date) -> Part {
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
