//! The days that go with a treatment: before, on, and after it, and in the next season.
use super::Event;
use crate::knowledge::Knowledge;
use crate::knowledge::form::active::{Active, MowingHold};
use crate::knowledge::form::common::Figure;
use crate::records::Application;
use crate::records::expect::{after, follow_ups, whole_days};
use crate::words::and_list;
use jiff::civil::{Date, date};

/// A treatment as the calendar needs it.
#[derive(Debug, Clone)]
pub struct Plan<'a> {
    /// A name that stays the same for this treatment however often it is changed.
    pub key: &'a str,
    /// How often it was changed.
    pub sequence: u32,
    /// Whether it was taken back.
    pub cancelled: bool,
    /// The treatment.
    pub treatment: &'a Application,
}

/// All days of a treatment, in order. Days that the book has no figures for are left out, and the text of the treatment
/// day says so.
#[must_use]
pub fn events(book: &Knowledge, plan: &Plan<'_>) -> Vec<Event> {
    let job = Job::new(book, plan.treatment);
    let mut days = job.mowing();
    days.extend(job.water_in());
    days.push(job.keep_off());
    days.extend(job.looks());
    let (waits, gaps) = job.waits();
    days.extend(waits);
    days.extend(job.next_season());
    days.push(job.treatment_day(&gaps));
    let lawn = plan.treatment.lawn.as_ref();
    let lawn = lawn.map_or(String::new(), |l| format!(" ({l})"));
    let mut all: Vec<Event> = days
        .into_iter()
        .map(|day| Event {
            uid: format!("{}-{}@ligule", plan.key, day.name),
            sequence: plan.sequence,
            first: day.first,
            last: day.last,
            title: format!("{}{lawn}", day.title),
            text: format!("{}\n{OUTRANKS}", day.text),
            cancelled: plan.cancelled,
        })
        .collect();
    all.sort_by(|a, b| (a.first, &a.uid).cmp(&(b.first, &b.uid)));
    all
}

/// A day, or several in a row, before it gets its lasting name.
struct Day {
    name: String,
    first: Date,
    last: Date,
    title: String,
    text: String,
}

impl Day {
    fn new(name: &str, first: Date, last: Date, title: &str, text: String) -> Self {
        Self {
            name: name.to_owned(),
            first,
            last,
            title: title.to_owned(),
            text,
        }
    }
}

/// A treatment with what the book knows of its actives.
struct Job<'a> {
    book: &'a Knowledge,
    treatment: &'a Application,
    /// Ids of all actives, each once, known to the book or not.
    ids: Vec<&'a str>,
    actives: Vec<&'a Active>,
    names: String,
}

impl<'a> Job<'a> {
    fn new(book: &'a Knowledge, treatment: &'a Application) -> Self {
        let mut ids: Vec<&str> = Vec::new();
        for used in treatment.products.iter().flat_map(|p| &p.actives) {
            if !ids.contains(&used.active.as_str()) {
                ids.push(&used.active);
            }
        }
        let names: Vec<&str> = ids
            .iter()
            .map(|id| book.actives.get(*id).map_or(*id, |a| a.name.as_str()))
            .collect();
        Self {
            book,
            treatment,
            names: names.join(" + "),
            actives: ids.iter().filter_map(|id| book.actives.get(*id)).collect(),
            ids,
        }
    }

    /// The longest hold of all partners counts.
    fn mowing(&self) -> Vec<Day> {
        let most = |of: fn(&MowingHold) -> f64| {
            let holds = self.actives.iter().filter_map(|a| a.mowing_hold.as_ref());
            let days = holds.map(of).reduce(f64::max).and_then(whole_days);
            days.filter(|d| *d > 0)
        };
        let (day, names) = (self.treatment.date, &self.names);
        let before = most(|m| m.before_days.0).and_then(|d| {
            let text = format!("{names}: leave the weeds their leaves until the treatment.");
            let title = "Do not mow before the treatment";
            let (first, last) = (after(day, -d)?, day.yesterday().ok()?);
            Some(Day::new("mow-before", first, last, title, text))
        });
        let hold = most(|m| m.after_days.0).and_then(|d| {
            let text = format!("{names}: mow again from the day after this.");
            let title = "Do not mow after the treatment";
            let (first, last) = (day.tomorrow().ok()?, after(day, d)?);
            Some(Day::new("mow-after", first, last, title, text))
        });
        before.into_iter().chain(hold).collect()
    }

    fn water_in(&self) -> Option<Day> {
        let with = |a: &&'a Active| Some((a.name.as_str(), a.water_in.as_ref()?));
        let watered: Vec<_> = self.actives.iter().filter_map(with).collect();
        let within = watered.iter().map(|(_, w)| w.within_days.0);
        // The shortest time counts, and part of a day is no whole one: water is due earlier, not later.
        let days = whole_days(within.reduce(f64::min)?.floor())?;
        let how: Vec<String> = watered
            .iter()
            .map(|(name, w)| {
                let [from, to] = w.inches;
                format!(
                    "{name}: {} inches of water within {} days.",
                    plain(from.0, to.0),
                    w.within_days.0
                )
            })
            .collect();
        let day = self.treatment.date;
        Some(Day::new(
            "water-in",
            day,
            after(day, days)?,
            "Water the treatment in",
            how.join("\n"),
        ))
    }

    /// What the book says of going back onto a treated lawn; where it says nothing, the label is asked.
    fn keep_off(&self) -> Day {
        let rules = self.book.weather.iter().flat_map(|w| &w.rules);
        let said: Vec<&str> = rules
            .filter(|r| r.about.as_deref() == Some("re-entry"))
            .map(|r| r.text.as_str())
            .collect();
        let text = if said.is_empty() {
            "Until when, the label says.".to_owned()
        } else {
            said.join("\n")
        };
        let day = self.treatment.date;
        Day::new(
            "re-entry",
            day,
            day,
            "Keep people and pets off the lawn",
            text,
        )
    }

    fn looks(&self) -> Vec<Day> {
        let remind = "Write down how much of the weed is gone and whether the grass is injured: ligule record observe";
        follow_ups(self.book, self.treatment)
            .into_iter()
            .map(|look| {
                let name = format!("look-{}", look.day);
                let title = format!("Look at the result, day {}", look.day);
                Day::new(
                    &name,
                    look.date,
                    look.date,
                    &title,
                    format!("{}\n{remind}", look.text),
                )
            })
            .collect()
    }

    /// The earliest days to repeat and to seed, and the titles of those that the book has no figures for.
    fn waits(&self) -> (Vec<Day>, Vec<&'static str>) {
        let (mut days, mut gaps) = (Vec::new(), Vec::new());
        let repeat = self.longest(|a| a.repeat_interval_days.as_ref(), 1.0);
        let seed = self.longest(|a| a.seeding_wait_weeks.as_ref(), 7.0);
        for (name, title, wait) in [
            ("repeat", "Earliest day to repeat", repeat),
            ("seed", "Earliest day to seed", seed),
        ] {
            let reckoned = wait.and_then(|[from, to]| {
                // The later end of a range is the safe one.
                let first = after(self.treatment.date, whole_days(to)?)?;
                let names = &self.names;
                let range = plain(from, to);
                let text = format!("{names}: the wait is {range} days; this is its later end.");
                Some(Day::new(name, first, first, title, text))
            });
            match reckoned {
                Some(day) => days.push(day),
                None => gaps.push(title),
            }
        }
        (days, gaps)
    }

    /// The longest wait of all partners, in days. Where the wait of one is not known, no day is safe to name.
    fn longest(&self, of: fn(&Active) -> Option<&Figure>, days_each: f64) -> Option<[f64; 2]> {
        let known: Option<Vec<&Figure>> = self.actives.iter().map(|a| of(a)).collect();
        let all = known.filter(|k| !k.is_empty() && k.len() == self.ids.len())?;
        let of_end = |end: usize| {
            all.iter()
                .map(|f| f.range[end].0 * days_each)
                .fold(0.0, f64::max)
        };
        Some([of_end(0), of_end(1)])
    }

    /// For every weed that was treated, the month before it comes up again, in the season after the treatment. The months
    /// are those of the book; weeds without them are left out.
    fn next_season(&self) -> Vec<Day> {
        let mut all: Vec<Day> = Vec::new();
        for id in &self.treatment.weeds {
            let weed = self.book.weeds.get(id);
            let Some((weed, emerging)) = weed.and_then(|w| Some((w, w.seen.emerging.as_ref()?)))
            else {
                continue;
            };
            let called = weed.names.first().unwrap_or(id);
            for start in starts(&emerging.months) {
                let Some(first) = month_before(self.treatment.date, start) else {
                    continue;
                };
                let text = format!(
                    "{called} starts to come up in the month after this ({}). Where it was thick, now is the time to think of a treatment before it comes up; `ligule choose` says which, and the record which groups to leave out.",
                    emerging.source.join(", ")
                );
                let title = format!("Next season: {called}");
                let name = format!("next-{id}-{start}");
                all.push(Day::new(&name, first, first.last_of_month(), &title, text));
            }
        }
        all
    }

    fn treatment_day(&self, gaps: &[&str]) -> Day {
        let area = self.treatment.area.as_deref().unwrap_or("not written down");
        let lacking = if gaps.is_empty() {
            String::new()
        } else {
            format!(
                "\nNo figure in the book, ask the label: {}.",
                and_list(gaps).to_lowercase()
            )
        };
        let day = self.treatment.date;
        let title = format!("Treat with {}", self.names);
        Day::new("treat", day, day, &title, format!("Area: {area}{lacking}"))
    }
}

/// `0.5` or `0.25 to 0.5`.
fn plain(from: f64, to: f64) -> String {
    if (from - to).abs() < f64::EPSILON {
        format!("{from}")
    } else {
        format!("{from} to {to}")
    }
}

/// What stands under every event.
const OUTRANKS: &str =
    "The label of the product in your hand is the law and outranks this calendar.";

fn starts(months: &[u8]) -> Vec<u8> {
    let before = |m: u8| if m == 1 { 12 } else { m - 1 };
    months
        .iter()
        .copied()
        .filter(|&m| (1..=12).contains(&m) && !months.contains(&before(m)))
        .collect()
}

/// Days after a treatment before which nothing belongs to the next season.
const THIS_SEASON: i64 = 90;

/// First day of the month before the next `month`, so far after `day` that it belongs to the next season.
fn month_before(day: Date, month: u8) -> Option<Date> {
    let earliest = after(day, THIS_SEASON)?;
    let month = i8::try_from(month).ok()?;
    (0..=2).find_map(|years| {
        let begins = date(day.year().checked_add(years)?, month, 1);
        let ahead = begins.yesterday().ok()?.first_of_month();
        (ahead >= earliest).then_some(ahead)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_next_season_is_never_this_one() {
        // Treated in April, comes up in April: the March of the next year.
        assert_eq!(month_before(date(2026, 4, 10), 4), Some(date(2027, 3, 1)));
        // Treated in February, before it comes up in April: not the March of the same spring.
        assert_eq!(month_before(date(2026, 2, 15), 4), Some(date(2027, 3, 1)));
        assert_eq!(month_before(date(2026, 10, 10), 4), Some(date(2027, 3, 1)));
        // January: the month before is December of the year before.
        assert_eq!(month_before(date(2026, 5, 1), 1), Some(date(2026, 12, 1)));
        assert_eq!(starts(&[11, 12, 1, 4, 5]), [11, 4]);
    }
}
