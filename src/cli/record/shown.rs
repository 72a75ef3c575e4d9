//! What the commands about the record print.
use super::super::output::{Format, Outcome, print, print_json};
use super::arguments::Common;
use anyhow::Result;
use ligule::records::expect::Expected;
use ligule::records::fields::Missing;
use ligule::records::{Entry, What};
use ligule::words::and_list;
use serde::Serialize;
use std::fmt::Write as _;
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

pub fn written(
    common: &Common,
    word: &str,
    entry: &Entry,
    missing: &[Missing],
    warnings: &[String],
) -> Result<Outcome> {
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
    let mut text = format!(
        "{word}: entry {} in {}\n",
        entry.id,
        common.record.display()
    );
    let _ = writeln!(text, "  {}", line(entry));
    for warning in warnings {
        let _ = writeln!(text, "  ! {warning}");
    }
    if !missing.is_empty() {
        text.push_str("Rules of the place name these, and they are not written down:\n");
        for item in missing {
            let _ = writeln!(
                text,
                "  - {} ({}): check with {}",
                item.name,
                flag(&item.field),
                and_list(&item.check_with)
            );
        }
        let _ = writeln!(
            text,
            "Add them with `ligule record correct {} --why \"...\"`.",
            entry.id
        );
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
            let mut text = format!(
                "written: entry {} in {}\n  {}\n",
                entry.id,
                common.record.display(),
                line(entry)
            );
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
                .map(|u| {
                    u.rate.map_or_else(
                        || format!("{} (amount unknown)", u.active),
                        |r| format!("{} {r}", u.active),
                    )
                })
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
        let _ = write!(
            text,
            " (replaces {old}: {})",
            entry.why.as_deref().unwrap_or_default()
        );
    }
    if let Some(by) = entry.corrected_by {
        let _ = write!(text, " (no longer stands: see {by})");
    }
    // A line is a line, whatever was typed into a name.
    text.replace('\n', " ")
}

pub fn list(common: &Common, entries: &[Entry]) -> Result<Outcome> {
    match common.format {
        Format::Json => {
            print_json(&serde_json::json!({"schema": "ligule/record-list/1", "entries": entries}))?;
        }
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
        Format::Json => print_json(
            &serde_json::json!({"schema": "ligule/record-import/1", "added": added, "already": there}),
        )?,
        Format::Human => print(&format!(
            "{added} entries added, {there} were there already\n"
        ))?,
    }
    Ok(Outcome::Fine)
}
