//! An entry of the record as it is shown, and what still holds of what was applied.
use super::entry::broken;
use super::site::Site;
use super::trouble::Trouble;
use crate::knowledge::fact::{Named, one_line};
use crate::records::doubts::doubts;
use crate::records::fields::missing;
use crate::records::limits::{History, InForce, in_force};
use crate::records::{Application, Entry, Observation, Store, What, expect};
use crate::words::and_list;
use serde::Serialize;

/// An entry.
#[derive(Serialize)]
pub struct Line {
    id: i64,
    date: String,
    title: String,
    facts: Vec<String>,
    expected: Vec<String>,
    doubts: Vec<String>,
    missing: Vec<String>,
    standing: Vec<String>,
    new: bool,
    treatment: bool,
    open: bool,
}

/// What still holds of an active.
#[derive(Serialize)]
pub struct Holding {
    active: String,
    last: String,
    lines: Vec<String>,
}

/// What still holds of everything that was applied.
///
/// # Errors
/// A record that cannot be read.
pub fn holding(site: &Site, store: &Store) -> Result<Vec<Holding>, Trouble> {
    let book = site.book();
    let history = History::of(book, store, None, site.today()).map_err(broken)?;
    Ok(in_force(book, &history)
        .iter()
        .map(|one| Holding {
            active: Named::active(book, &one.active).name,
            last: one.used.last_use.to_string(),
            lines: holds(one),
        })
        .collect())
}

/// An entry as it is shown; `written` is the one that was written just now.
///
/// # Errors
/// A record that cannot be read.
pub fn line(
    site: &Site,
    store: &Store,
    entry: &Entry,
    written: Option<i64>,
) -> Result<Line, Trouble> {
    let book = site.book();
    let new = written == Some(entry.id);
    let mut line = Line {
        id: entry.id,
        date: entry.what.date().to_string(),
        title: String::new(),
        facts: Vec::new(),
        expected: Vec::new(),
        doubts: Vec::new(),
        missing: Vec::new(),
        standing: Vec::new(),
        new,
        treatment: false,
        open: entry.corrected_by.is_none() && !matches!(entry.what, What::Withdrawal(_)),
    };
    match &entry.what {
        What::Application(a) => {
            (line.title, line.facts) = applied(site, a);
            line.treatment = line.open;
            if new {
                line.doubts = doubts(book, a);
            }
            line.missing = missing(book, a)
                .into_iter()
                .map(|m| {
                    let ask: Vec<&str> = m.check_with.iter().map(String::as_str).collect();
                    format!("{}: check with {}", m.name, and_list(&ask))
                })
                .collect();
        }
        What::Observation(o) => {
            let about = entry.about.unwrap_or(0);
            line.title = format!("looked at after entry {about}");
            line.facts = seen(site, o);
            if new && let What::Application(a) = store.standing(about).map_err(broken)?.what {
                let days = expect::days_between(a.date, o.date);
                let wanted = expect::expected(book, &a, days);
                line.expected = wanted.into_iter().map(|e| e.text).collect();
            }
        }
        What::Seeding(s) => {
            "seeded or laid".clone_into(&mut line.title);
            line.facts.extend(s.lawn.iter().map(|l| one_line(l, 120)));
            line.facts.extend(s.turf.iter().map(|t| {
                let name = book.turf.get(t).and_then(|t| t.names.first());
                Named::or_id(t, name).name
            }));
            line.facts
                .extend(s.remarks.iter().map(|r| one_line(r, 600)));
        }
        What::Withdrawal(_) => "taken back".clone_into(&mut line.title),
    }
    if let Some(old) = entry.corrects {
        let why = one_line(entry.why.as_deref().unwrap_or_default(), 600);
        line.standing.push(format!("replaces entry {old}: {why}"));
    }
    if let Some(by) = entry.corrected_by {
        line.standing
            .push(format!("no longer stands; see entry {by}"));
    }
    Ok(line)
}

fn applied(site: &Site, a: &Application) -> (String, Vec<String>) {
    let book = site.book();
    let names: Vec<String> = a
        .products
        .iter()
        .flat_map(|p| &p.actives)
        .map(|used| {
            let name = Named::active(book, &used.active).name;
            match &used.rate {
                Some(rate) => format!("{name} {rate}"),
                None => format!("{name} (amount unknown)"),
            }
        })
        .collect();
    let mut facts = Vec::new();
    let weeds: Vec<String> = a.weeds.iter().map(|w| Named::weed(book, w).name).collect();
    let weeds: Vec<&str> = weeds.iter().map(String::as_str).collect();
    if !weeds.is_empty() {
        facts.push(format!("on {}", and_list(&weeds)));
    }
    facts.extend(a.lawn.iter().map(|l| one_line(l, 120)));
    facts.extend(a.area.iter().cloned());
    let products = a.products.iter().filter_map(|p| p.name.as_ref());
    facts.extend(products.map(|n| one_line(n, 120)));
    facts.extend(a.remarks.iter().map(|r| one_line(r, 600)));
    (names.join(" + "), facts)
}

fn seen(site: &Site, o: &Observation) -> Vec<String> {
    let mut facts = Vec::new();
    facts.extend(o.weed.iter().map(|w| Named::weed(site.book(), w).name));
    let of =
        |percent: &rust_decimal::Decimal, what: &str| format!("{} % {what}", percent.normalize());
    facts.extend(
        o.control_percent
            .map(|c| of(&c, "of the weed gone or dying")),
    );
    facts.extend(o.injury_percent.map(|c| of(&c, "of the grass injured")));
    facts.extend(o.injury.iter().map(|i| one_line(i, 600)));
    if o.resistance_suspected {
        facts.push("it may withstand the treatment".to_owned());
    }
    facts.extend(o.remarks.iter().map(|r| one_line(r, 600)));
    facts
}

/// What still holds of an active, in sentences.
fn holds(one: &InForce) -> Vec<String> {
    let span = |what: &str, (from, to): (jiff::civil::Date, jiff::civil::Date)| {
        if from == to {
            format!("{what}: not before {from}")
        } else {
            format!("{what}: not before {from}, and rather not before {to}")
        }
    };
    let mut lines = Vec::new();
    lines.extend(one.repeat.map(|r| span("Next treatment with it", r)));
    lines.extend(one.seeding.map(|s| span("Seeding", s)));
    lines.extend(one.mowing.map(|m| format!("Mowing: not before {m}")));
    match (one.left_this_year, one.yearly_most) {
        (Some(left), Some(most)) => lines.push(format!(
            "{} of {} lb/acre are left this year",
            left.normalize(),
            most.normalize()
        )),
        (None, Some(most)) => lines.push(format!(
            "what is left of {} lb/acre this year is not known: an amount was not written down",
            most.normalize()
        )),
        _ => {}
    }
    lines.extend(one.clippings.iter().cloned());
    lines
}
