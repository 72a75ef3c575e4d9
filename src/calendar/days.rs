//! The days that go with a treatment: before, on, and after it, and in the next season.
use super::Event;
use crate::knowledge::Knowledge;
use crate::knowledge::form::active::Active;
use crate::records::Application;
use crate::records::expect::{after, follow_ups, whole_days};
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
    let treatment = plan.treatment;
    let ids: Vec<&str> = treatment.products.iter().flat_map(|p| &p.actives).map(|a| a.active.as_str()).collect();
    let actives: Vec<&Active> = ids.iter().filter_map(|id| book.actives.get(*id)).collect();
    let names = names(book, &ids);
    let lawn = treatment.lawn.as_ref().map_or(String::new(), |l| format!(" ({l})"));
    let day = treatment.date;
    let mut all = Vec::new();
    let mut gaps = Vec::new();
    let mut put = |name: &str, first: Option<Date>, last: Option<Date>, title: String, text: String| {
        if let (Some(first), Some(last)) = (first, last) {
            all.push(Event {
                uid: format!("{}-{name}@ligule", plan.key),
                sequence: plan.sequence,
                first,
                last,
                title: format!("{title}{lawn}"),
                text: format!("{text}\n{OUTRANKS}"),
                cancelled: plan.cancelled,
            });
        }
    };
    let most = |of: &dyn Fn(&Active) -> Option<f64>| actives.iter().filter_map(|a| of(a)).reduce(f64::max);

    let before = most(&|a| a.mowing_hold.as_ref().map(|m| m.before_days.0)).and_then(whole_days).filter(|d| *d > 0);
    put(
        "mow-before",
        before.and_then(|d| after(day, -d)),
        day.yesterday().ok(),
        "Do not mow before the treatment".to_owned(),
        format!("{names}: leave the weeds their leaves until the treatment."),
    );
    let hold = most(&|a| a.mowing_hold.as_ref().map(|m| m.after_days.0)).and_then(whole_days);
    put(
        "mow-after",
        hold.filter(|d| *d > 0).and_then(|_| day.tomorrow().ok()),
        hold.and_then(|d| after(day, d)),
        "Do not mow after the treatment".to_owned(),
        format!("{names}: mow again from the day after this."),
    );
    let watered: Vec<_> = actives.iter().filter_map(|a| Some((a, a.water_in.as_ref()?))).collect();
    let within = watered.iter().map(|(_, w)| w.within_days.0).reduce(f64::min);
    let how: Vec<String> = watered
        .iter()
        .map(|(a, w)| format!("{}: {} to {} inches of water within {} days.", a.name, w.inches[0].0, w.inches[1].0, w.within_days.0))
        .collect();
    put(
        "water-in",
        within.map(|_| day),
        // Part of a day is no whole day here: water is due earlier, not later.
        within.and_then(|d| after(day, whole_days(d.floor())?)),
        "Water the treatment in".to_owned(),
        how.join("\n"),
    );
    put(
        "re-entry",
        Some(day),
        Some(day),
        "Keep people and pets off the lawn".to_owned(),
        re_entry(book),
    );
    for look in follow_ups(book, treatment) {
        put(
            &format!("look-{}", look.day),
            Some(look.date),
            Some(look.date),
            format!("Look at the result, day {}", look.day),
            format!("{}\nWrite down how much of the weed is gone and whether the grass is injured: ligule record observe", look.text),
        );
    }
    // Where the wait of one partner is not known, no day is safe to name.
    let wait = |of: &dyn Fn(&Active) -> Option<[f64; 2]>| -> Option<[f64; 2]> {
        let known: Option<Vec<[f64; 2]>> = actives.iter().map(|a| of(a)).collect();
        let all = known.filter(|k| !k.is_empty() && k.len() == ids.len())?;
        all.into_iter().reduce(|a, b| [a[0].max(b[0]), a[1].max(b[1])])
    };
    let waits = [
        ("repeat", "Earliest day to repeat", wait(&|a| a.repeat_interval_days.as_ref().map(|f| [f.range[0].0, f.range[1].0]))),
        ("seed", "Earliest day to seed", wait(&|a| a.seeding_wait_weeks.as_ref().map(|f| [f.range[0].0 * 7.0, f.range[1].0 * 7.0]))),
    ];
    for (name, title, days) in waits {
        // The later end of a range is the safe one.
        let first = days.and_then(|d| after(day, whole_days(d[1])?));
        if let Some([from, to]) = days {
            put(name, first, first, title.to_owned(), format!("{names}: the wait is {from} to {to} days; this is its later end."));
        } else {
            gaps.push(title.to_lowercase());
        }
    }
    for (weed, first, last, text) in next_season(book, treatment) {
        put(&format!("next-{weed}"), Some(first), Some(last), format!("Next season: {}", weed_name(book, &weed)), text);
    }
    let lacking = if gaps.is_empty() { String::new() } else { format!("\nNo figure in the book, ask the label: {}.", gaps.join(", ")) };
    put("treat", Some(day), Some(day), format!("Treat with {names}"), format!("Area: {}{lacking}", treatment.area.as_deref().unwrap_or("not written down")));
    all.sort_by(|a, b| (a.first, &a.uid).cmp(&(b.first, &b.uid)));
    all
}

/// What stands under every event.
const OUTRANKS: &str = "The label of the product in your hand is the law and outranks this calendar.";

fn names(book: &Knowledge, ids: &[&str]) -> String {
    let names: Vec<&str> = ids.iter().map(|id| book.actives.get(*id).map_or(*id, |a| a.name.as_str())).collect();
    names.join(" + ")
}

fn weed_name(book: &Knowledge, id: &str) -> String {
    book.weeds.get(id).and_then(|w| w.names.first()).cloned().unwrap_or_else(|| id.to_owned())
}

/// What the book says of going back onto a treated lawn; where it says nothing, the label is asked.
fn re_entry(book: &Knowledge) -> String {
    let rules = book.weather.iter().flat_map(|w| &w.rules).filter(|r| r.about.as_deref() == Some("re-entry"));
    let said: Vec<&str> = rules.map(|r| r.text.as_str()).collect();
    if said.is_empty() { "Until when, the label says.".to_owned() } else { said.join("\n") }
}

/// For every weed that was treated, the month before it comes up again, in the year after the treatment. The months are
/// those of the book; weeds without them are left out.
fn next_season(book: &Knowledge, treatment: &Application) -> Vec<(String, Date, Date, String)> {
    let mut all = Vec::new();
    for weed in &treatment.weeds {
        let Some(emerging) = book.weeds.get(weed).and_then(|w| w.seen.emerging.as_ref()) else { continue };
        for start in starts(&emerging.months) {
            let Some(first) = month_before(treatment.date, start) else { continue };
            let text = format!(
                "{} starts to come up in the month after this ({}). Where it was thick, now is the time to think of a treatment before it comes up; `ligule choose` says which, and the record which groups to leave out.",
                weed_name(book, weed),
                emerging.source.join(", ")
            );
            // Weeds that come up twice a year have two events.
            let name = if all.iter().any(|(w, ..): &(String, Date, Date, String)| w == weed) { format!("{weed}-{start}") } else { weed.clone() };
            all.push((name, first, first.last_of_month(), text));
        }
    }
    all
}

fn starts(months: &[u8]) -> Vec<u8> {
    let before = |m: u8| if m == 1 { 12 } else { m - 1 };
    months.iter().copied().filter(|&m| (1..=12).contains(&m) && !months.contains(&before(m))).collect()
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
