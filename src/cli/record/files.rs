//! Files that are made of the record.
use anyhow::{Context, Result, bail};
use jiff::civil::{Date, DateTime, Time};
use ligule::calendar::{self, days};
use ligule::knowledge::Knowledge;
use ligule::records::{Filter, Store, What};
use std::collections::BTreeSet;
use std::io::Write as _;
use std::path::Path;

/// The calendar of the treatments that are wanted. A treatment that was corrected keeps the names of its days.
pub fn calendar(
    book: &Knowledge,
    store: &Store,
    filter: &Filter,
    today: Option<Date>,
) -> Result<String> {
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
        let What::Application(treatment) = &last.what else {
            continue;
        };
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
        bail!(
            "{} is there already; nothing was written. Use --force to write over it, or --out for another file",
            out.display()
        );
    }
    let dir = out
        .parent()
        .filter(|p| !p.as_os_str().is_empty())
        .unwrap_or(Path::new("."));
    let failed = || format!("cannot write {}", out.display());
    let mut file = tempfile::NamedTempFile::new_in(dir).with_context(failed)?;
    file.write_all(text.as_bytes()).with_context(failed)?;
    file.as_file().sync_all().with_context(failed)?;
    let moved = if force {
        file.persist(out)
    } else {
        file.persist_noclobber(out)
    };
    moved.map_err(|e| e.error).with_context(failed)?;
    Ok(())
}
