//! What the commands about the record print.
use super::super::output::{Format, Outcome, print, print_json};
use super::Common;
use anyhow::{Context, Result, bail};
use jiff::civil::{Date, DateTime, Time};
use ligule::calendar::{self, days};
use ligule::knowledge::{Kind, Knowledge};
use ligule::records::expect::Expected;
use ligule::records::fields::Missing;
use ligule::records::limits::{History, InForce};
use ligule::records::{Entry, Filter, Store, What};
use ligule::words::and_list;
use serde::Serialize;
use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::io::Write as _;
use std::path::Path;

/// The JSON of an entry that was written.
#[derive(Serialize)]
struct Written<'a> {
    schema: &'static str,
    record: &'a Path,
    entry: &'a Entry,
    missing: &'a [Missing],
    warnings: &'a [String],
}

pub fn written(common: &Common, word: &str, entry: &Entry, missing: &[Missing], warnings: &[String]) -> Result<Outcome> {
    if common.format == Format::Json {
        print_json(&Written {
            schema: "ligule/record-entry/1",
            record: &common.record,
            entry,
            missing,
            warnings,
        })?;
        return Ok(Outcome::Fine);
    }
    let mut text = format!("{word}: entry {} in {}\n", entry.id, common.record.display());
    let _ = writeln!(text, "  {}", line(entry));
    for warning in warnings {
        let _ = writeln!(text, "  ! {warning}");
    }
    if !missing.is_empty() {
        text.push_str("Rules of the place name these, and they are not written down:\n");
        for item in missing {
            let _ = writeln!(text, "  - {} ({}): check with {}", item.name, flag(&item.field), and_list(&item.check_with));
        }
        let _ = writeln!(text, "Add them with `ligule record correct {} --why \"...\"`.", entry.id);
    }
    print(&text)?;
    Ok(Outcome::Fine)
}

/// The flag that gives an item.
fn flag(field: &str) -> String {
    let own = match field {
        "start-time" => "--start",
        "end-time" => "--end",
        "area-treated" => "--area",
        "weed-target" => "--weed",
        "product-name" => "--product",
        "registration-number" => "--registration",
        "rate-per-unit" => "--rate",
        "amount-product-total" => "--total",
        "active-common-name" => "--active",
        other => return format!("--set {other}=..."),
    };
    own.to_owned()
}

pub fn observed(common: &Common, entry: &Entry, wanted: &[Expected]) -> Result<Outcome> {
    match common.format {
        Format::Json => print_json(&serde_json::json!({
            "schema": "ligule/record-entry/1", "record": common.record, "entry": entry, "expected": wanted,
        }))?,
        Format::Human => {
            let mut text = format!("written: entry {} in {}\n  {}\n", entry.id, common.record.display(), line(entry));
            text.push_str("What it should look like by then:\n");
            for one in wanted {
                let _ = writeln!(text, "  {} [{}]", one.text, one.sources.join(", "));
            }
            print(&text)?;
        }
    }
    Ok(Outcome::Fine)
}

/// One entry in one line.
fn line(entry: &Entry) -> String {
    let mut text = format!("{} ", entry.what.date());
    if let Some(lawn) = entry.what.lawn() {
        let _ = write!(text, "{lawn}: ");
    }
    match &entry.what {
        What::Application(a) => {
            let used: Vec<String> = a
                .products
                .iter()
                .flat_map(|p| &p.actives)
                .map(|u| u.rate.map_or_else(|| format!("{} (amount unknown)", u.active), |r| format!("{} {r}", u.active)))
                .collect();
            text.push_str(&used.join(" + "));
            if !a.weeds.is_empty() {
                let _ = write!(text, " on {}", and_list(&a.weeds));
            }
        }
        What::Observation(o) => {
            let _ = write!(text, "seen after entry {}", entry.about.unwrap_or(0));
            if let Some(control) = o.control_percent {
                let _ = write!(text, ", {control} % control");
            }
            if let Some(injury) = o.injury_percent {
                let _ = write!(text, ", {injury} % injury to the grass");
            }
            if o.resistance_suspected {
                text.push_str(", resistance suspected");
            }
        }
        What::Seeding(s) => {
            let _ = write!(text, "seeded {}", and_list(&s.turf));
        }
        What::Withdrawal(_) => text.push_str("taken back"),
    }
    if let Some(old) = entry.corrects {
        let _ = write!(text, " (replaces {old}: {})", entry.why.as_deref().unwrap_or_default());
    }
    if let Some(by) = entry.corrected_by {
        let _ = write!(text, " (no longer stands: see {by})");
    }
    // A line is a line, whatever was typed into a name.
    text.replace('\n', " ")
}

pub fn list(common: &Common, entries: &[Entry]) -> Result<Outcome> {
    match common.format {
        Format::Json => print_json(&serde_json::json!({"schema": "ligule/record-list/1", "entries": entries}))?,
        Format::Human => {
            let mut text = String::new();
            for entry in entries {
                let _ = writeln!(text, "{:>5}  {}", entry.id, line(entry));
            }
            if entries.is_empty() {
                text.push_str("no entries\n");
            }
            print(&text)?;
        }
    }
    Ok(Outcome::Fine)
}

pub fn counted(common: &Common, added: usize, there: usize) -> Result<Outcome> {
    match common.format {
        Format::Json => print_json(&serde_json::json!({"schema": "ligule/record-import/1", "added": added, "already": there}))?,
        Format::Human => print(&format!("{added} entries added, {there} were there already\n"))?,
    }
    Ok(Outcome::Fine)
}

pub fn fields(book: &Knowledge, place: Option<&str>, format: Format) -> Result<Outcome> {
    let place = place.map(|p| book.find(Kind::Place, p)).transpose()?;
    let around = place.as_deref().map(|p| book.around(p)).unwrap_or_default();
    let rules: Vec<_> = around.iter().filter_map(|id| book.places.get(*id)).flat_map(|p| p.records.iter().map(move |r| (p, r))).collect();
    let mut rows = Vec::new();
    for field in &book.record_fields {
        let named: Vec<String> = rules
            .iter()
            .filter(|(_, r)| r.fields.contains(&field.id))
            .map(|(p, r)| format!("{}; check with {}", r.rule, p.authority))
            .collect();
        rows.push(serde_json::json!({"field": field.id, "name": field.name, "named_by": named}));
    }
    if format == Format::Json {
        print_json(&serde_json::json!({"schema": "ligule/record-fields/1", "place": place, "fields": rows}))?;
        return Ok(Outcome::Fine);
    }
    let mut text = String::new();
    for field in &book.record_fields {
        let mark = if rules.iter().any(|(_, r)| r.fields.contains(&field.id)) { "*" } else { " " };
        let _ = writeln!(text, "{mark} {:<24} {}", field.id, field.name);
    }
    for (place, rule) in &rules {
        let keep = rule.keep.as_ref().map_or(String::new(), |k| format!("; keep {k}"));
        let within = rule.write_within.as_ref().map_or(String::new(), |w| format!("; write within {w}"));
        let _ = writeln!(text, "* {}: {} ({}){within}{keep}; check with {}", place.name, rule.rule, rule.scope, place.authority);
    }
    if rules.is_empty() {
        text.push_str("No rule is known here (--place names the place); an unknown rule is not the same as none. Ask the authority.\n");
    }
    print(&text)?;
    Ok(Outcome::Fine)
}

pub fn limits(book: &Knowledge, format: Format, history: &History, holding: &[InForce]) -> Result<Outcome> {
    if format == Format::Json {
        print_json(&serde_json::json!({"schema": "ligule/record-limits/1", "history": history, "in_force": holding}))?;
        return Ok(Outcome::Fine);
    }
    let mut text = format!("What the record says on {}\n", history.today);
    for one in holding {
        let name = book.actives.get(&one.active).map_or(one.active.as_str(), |a| a.name.as_str());
        let _ = writeln!(text, "\n{name}: last used {} ({} days ago)", one.used.last_use, one.used.days_since);
        let so_far = one.used.this_year.lb_per_acre.round_dp(4).normalize();
        let unknown = match one.used.this_year.unknown {
            0 => String::new(),
            n => format!(" and {n} uses without an amount"),
        };
        let most = one.yearly_most.map_or("no yearly limit in the book".to_owned(), |m| format!("at most {m} lb/acre a year"));
        let _ = writeln!(text, "  this year {so_far} lb/acre{unknown}; {most}");
        for (word, span) in [("again", one.repeat), ("seed", one.seeding)] {
            match span {
                None => {
                    let _ = writeln!(text, "  {word}: no figure in the book; the label says");
                }
                Some((from, to)) if from == to => {
                    let _ = writeln!(text, "  {word}: from {from}");
                }
                Some((from, to)) => {
                    let _ = writeln!(text, "  {word}: from {from} at the earliest, safely from {to}");
                }
            }
        }
        if let Some(mowing) = one.mowing {
            let _ = writeln!(text, "  mow: after {mowing}");
        }
        for clippings in &one.clippings {
            let _ = writeln!(text, "  clippings: {clippings}");
        }
        let _ = writeln!(text, "  rests on: {}", one.rests_on.join("; "));
    }
    if holding.is_empty() {
        text.push_str("Nothing was used in the last twelve months.\n");
    }
    for (group, counts) in &history.groups {
        let years: Vec<String> = counts.iter().enumerate().map(|(back, n)| format!("{}: {n}", usize::from(history.today.year().unsigned_abs()) - back)).collect();
        let _ = writeln!(text, "\ngroup {group}: {}", years.join(", "));
    }
    for suspicion in &history.suspicions {
        let _ = writeln!(text, "\nresistance suspected on {}: {} against {}", suspicion.on, and_list(&suspicion.weeds), and_list(&suspicion.actives));
    }
    text.push_str("\nThe label of the product in your hand is the law and outranks all of this.\n");
    print(&text)?;
    Ok(Outcome::Fine)
}

/// The calendar of the treatments that are wanted. A treatment that was corrected keeps the names of its days.
pub fn calendar(book: &Knowledge, store: &Store, filter: &Filter, today: Option<Date>) -> Result<String> {
    let mut events = Vec::new();
    let mut keys = BTreeSet::new();
    for entry in store.list(filter)? {
        let now = store.standing(entry.id)?;
        let (first, corrections) = store.origin(now.id)?;
        if !matches!(first.what, What::Application(_)) || !keys.insert(first.uid.clone()) {
            continue;
        }
        // A treatment that was taken back is told as it last was, so that its days are taken away.
        let (last, cancelled) = match (&now.what, now.corrects) {
            (What::Withdrawal(_), Some(before)) => (store.entry(before)?, true),
            _ => (now, false),
        };
        let What::Application(treatment) = &last.what else { continue };
        events.extend(days::events(
            book,
            &days::Plan {
                key: &first.uid,
                sequence: corrections,
                cancelled,
                treatment,
            },
        ));
    }
    let made = today.map_or_else(
        || jiff::tz::Offset::UTC.to_datetime(jiff::Timestamp::now()),
        |day| DateTime::from_parts(day, Time::midnight()),
    );
    Ok(calendar::file(&events, made))
}

/// Writes a file whole or not at all.
pub fn write_file(out: &Path, text: &str, force: bool) -> Result<()> {
    if out.exists() && !force {
        bail!("{} is there already; nothing was written. Use --force to write over it, or --out for another file", out.display());
    }
    let dir = out.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let failed = || format!("cannot write {}", out.display());
    let mut file = tempfile::NamedTempFile::new_in(dir).with_context(failed)?;
    file.write_all(text.as_bytes()).with_context(failed)?;
    file.as_file().sync_all().with_context(failed)?;
    let moved = if force { file.persist(out) } else { file.persist_noclobber(out) };
    moved.map_err(|e| e.error).with_context(failed)?;
    Ok(())
}
