//! Reading the record.
use super::entry::{Entry, What};
use super::error::RecordError;
use super::store::Store;
use crate::words::plain;
use jiff::civil::Date;
use rusqlite::{Connection, OptionalExtension, Row, params};
use rust_decimal::Decimal;
use std::collections::{HashMap, HashSet};
use std::fmt::Display;
use std::sync::Arc;

const COLUMNS: &str = "e.id, e.uid, e.recorded_on, e.corrects, c.id, e.about, e.why, e.body";

/// Which entries are wanted.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Filter {
    /// From this day on.
    pub from: Option<Date>,
    /// Up to this day.
    pub to: Option<Date>,
    /// Of this lawn only, whatever its case and spaces.
    pub lawn: Option<String>,
    /// Also entries that were corrected or taken back.
    pub superseded: bool,
}

/// One treatment, as far as limits turn on it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Treated {
    /// The entry.
    pub entry: i64,
    /// Its day.
    pub day: Date,
    /// What was used. Treatments that were alike share it.
    pub uses: Arc<[Use]>,
}

/// One use of one active.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Use {
    /// Id of the active.
    pub active: String,
    /// Pounds per acre; none where it was not written down.
    pub lb_per_acre: Option<Decimal>,
}

impl Store {
    /// One entry by its number.
    ///
    /// # Errors
    /// No such entry, or one that cannot be read.
    pub fn entry(&self, id: i64) -> Result<Entry, RecordError> {
        match one(&self.db, id).map_err(|e| self.reading(&e))? {
            Some(entry) => entry,
            None => Err(no_entry(&self.db, id)),
        }
    }

    /// The entry that a number or the beginning of a lasting name means.
    ///
    /// # Errors
    /// No such entry, or several.
    pub fn find(&self, typed: &str) -> Result<i64, RecordError> {
        let typed = typed.trim();
        if typed.len() < 8
            && let Ok(id) = typed.parse::<i64>()
        {
            return Ok(self.entry(id)?.id);
        }
        let mut found = self
            .db
            .prepare_cached("SELECT id FROM entry WHERE length(?1) >= 8 AND substr(uid, 1, length(?1)) = ?1 LIMIT 2")
            .map_err(|e| self.reading(&e))?;
        let ids: Result<Vec<i64>, _> = found
            .query_map([typed], |row| row.get(0))
            .and_then(Iterator::collect);
        match ids.map_err(|e| self.reading(&e))?.as_slice() {
            [one] => Ok(*one),
            _ => Err(no_entry(&self.db, typed)),
        }
    }

    /// Entries in the order of their days.
    ///
    /// # Errors
    /// An entry that cannot be read.
    pub fn list(&self, filter: &Filter) -> Result<Vec<Entry>, RecordError> {
        // A withdrawal is itself no event: it shows only where the withdrawn entry does.
        let sql = format!(
            "SELECT {COLUMNS} FROM entry e LEFT JOIN entry c ON c.corrects = e.id
             WHERE e.day >= ?1 AND e.day <= ?2 AND (?3 IS NULL OR e.lawn = ?3)
               AND (?4 OR (c.id IS NULL AND e.kind <> 'withdrawal'))
             ORDER BY e.day, e.id"
        );
        let mut found = self.db.prepare_cached(&sql).map_err(|e| self.reading(&e))?;
        let from = filter.from.map_or_else(String::new, |d| d.to_string());
        let to = filter
            .to
            .map_or_else(|| "9999-12-31".to_owned(), |d| d.to_string());
        let lawn = filter.lawn.as_deref().map(plain);
        let rows = found
            .query_map(params![from, to, lawn, filter.superseded], |row| {
                Ok(read(row))
            })
            .map_err(|e| self.reading(&e))?;
        rows.map(|row| row.map_err(|e| self.reading(&e))?).collect()
    }

    /// Whether the record has a lawn of this name. Far quicker on a long record than listing all of them.
    ///
    /// # Errors
    /// A file that cannot be read.
    pub fn has_lawn(&self, name: &str) -> Result<bool, RecordError> {
        self.db
            .prepare_cached("SELECT EXISTS (SELECT 1 FROM entry WHERE lawn = ?1)")
            .and_then(|mut found| found.query_row([plain(name)], |row| row.get(0)))
            .map_err(|e| self.reading(&e))
    }

    /// Names of lawns in the record, as they were last written.
    ///
    /// # Errors
    /// A file that cannot be read.
    pub fn lawns(&self) -> Result<Vec<String>, RecordError> {
        let mut found = self
            .db
            .prepare_cached("SELECT DISTINCT lawn FROM entry WHERE lawn <> '' ORDER BY lawn")
            .map_err(|e| self.reading(&e))?;
        let names = found
            .query_map([], |row| row.get(0))
            .and_then(Iterator::collect);
        names.map_err(|e| self.reading(&e))
    }

    /// Treatments from a day on that still stand, with what was used.
    ///
    /// # Errors
    /// A file that cannot be read.
    pub fn uses(&self, lawn: Option<&str>, from: Date) -> Result<Vec<Treated>, RecordError> {
        let corrected = self.corrected()?;
        let mut found = self
            .db
            .prepare_cached(
                "SELECT id, day, uses FROM entry WHERE uses <> '' AND day >= ?1 AND (?2 IS NULL OR lawn = ?2)",
            )
            .map_err(|e| self.reading(&e))?;
        let mut rows = found
            .query(params![from.to_string(), lawn.map(plain)])
            .map_err(|e| self.reading(&e))?;
        let mut all = Vec::new();
        // The same product is used again and again, and whole rounds share a day: each text is read once.
        let mut known: HashMap<String, Arc<[Use]>> = HashMap::new();
        let mut last: (String, Date) = (String::new(), from);
        while let Some(row) = rows.next().map_err(|e| self.reading(&e))? {
            let entry: i64 = row.get(0).map_err(|e| self.reading(&e))?;
            if corrected.contains(&entry) {
                continue;
            }
            let text = |at: usize| row.get_ref(at)?.as_str().map_err(rusqlite::Error::from);
            let day = text(1).map_err(|e| damaged(entry, e))?;
            if last.0 != day {
                last = (day.to_owned(), day.parse().map_err(|e| damaged(entry, e))?);
            }
            let uses = text(2).map_err(|e| damaged(entry, e))?;
            let uses = if let Some(uses) = known.get(uses) {
                Arc::clone(uses)
            } else {
                let read = read_uses(uses).map_err(|why| damaged(entry, why))?;
                known.insert(uses.to_owned(), Arc::clone(&read));
                read
            };
            all.push(Treated {
                entry,
                day: last.1,
                uses,
            });
        }
        Ok(all)
    }

    /// Entries that others stand in the place of. Few are; asking once is quicker than asking for every entry.
    fn corrected(&self) -> Result<HashSet<i64>, RecordError> {
        let mut found = self
            .db
            .prepare_cached("SELECT corrects FROM entry WHERE corrects IS NOT NULL")
            .map_err(|e| self.reading(&e))?;
        let ids = found
            .query_map([], |row| row.get(0))
            .and_then(Iterator::collect);
        ids.map_err(|e| self.reading(&e))
    }

    /// Day of the latest seeding up to a day.
    ///
    /// # Errors
    /// A file that cannot be read.
    pub fn last_seeding(
        &self,
        lawn: Option<&str>,
        until: Date,
    ) -> Result<Option<Date>, RecordError> {
        let mut found = self
            .db
            .prepare_cached(
                "SELECT s.id, s.day FROM entry s WHERE s.kind = 'seeding' AND s.day <= ?1 AND (?2 IS NULL OR s.lawn = ?2)
                   AND NOT EXISTS (SELECT 1 FROM entry c WHERE c.corrects = s.id) ORDER BY s.day DESC LIMIT 1",
            )
            .map_err(|e| self.reading(&e))?;
        let row: Option<(i64, String)> = found
            .query_row(params![until.to_string(), lawn.map(plain)], |row| {
                Ok((row.get(0)?, row.get(1)?))
            })
            .optional()
            .map_err(|e| self.reading(&e))?;
        row.map(|(id, day)| day.parse().map_err(|e| damaged(id, e)))
            .transpose()
    }

    /// Suspicions of resistance that stand: the day, the weed where one was named, and the treatment as it now stands.
    ///
    /// # Errors
    /// An entry that cannot be read.
    pub fn suspicions(
        &self,
        lawn: Option<&str>,
    ) -> Result<Vec<(Date, Option<String>, Entry)>, RecordError> {
        let mut found = self
            .db
            .prepare_cached(
                "SELECT s.id FROM entry s WHERE s.suspected = 1
                   AND NOT EXISTS (SELECT 1 FROM entry c WHERE c.corrects = s.id) ORDER BY +s.id",
            )
            .map_err(|e| self.reading(&e))?;
        let ids: Result<Vec<i64>, _> = found
            .query_map([], |row| row.get(0))
            .and_then(Iterator::collect);
        let mut all = Vec::new();
        for id in ids.map_err(|e| self.reading(&e))? {
            let entry = self.entry(id)?;
            if let (What::Observation(seen), Some(about)) = (&entry.what, entry.about) {
                let treated = self.standing(about)?;
                // The lawn is that of the treatment as it now stands, which a correction may have moved.
                let here = plain(treated.what.lawn().unwrap_or_default());
                if lawn.is_none_or(|lawn| plain(lawn) == here) {
                    all.push((seen.date, seen.weed.clone(), treated));
                }
            }
        }
        Ok(all)
    }

    /// The entry that now stands in the place of `id`: itself, or the last of its corrections.
    ///
    /// # Errors
    /// As [`Store::entry`].
    pub fn standing(&self, id: i64) -> Result<Entry, RecordError> {
        let mut entry = self.entry(id)?;
        // A correction always has a higher number than what it corrects, so this comes to an end.
        while let Some(next) = entry.corrected_by.filter(|next| *next > entry.id) {
            entry = self.entry(next)?;
        }
        Ok(entry)
    }

    /// The first version of an entry, and how many corrections led from there to it.
    ///
    /// # Errors
    /// As [`Store::entry`].
    pub fn origin(&self, id: i64) -> Result<(Entry, u32), RecordError> {
        let mut entry = self.entry(id)?;
        let mut corrections = 0;
        while let Some(before) = entry.corrects.filter(|before| *before < entry.id) {
            entry = self.entry(before)?;
            corrections += 1;
        }
        Ok((entry, corrections))
    }

    /// How many entries the file has, and how many of them still stand.
    ///
    /// # Errors
    /// A file that cannot be read.
    pub fn count(&self) -> Result<(u64, u64), RecordError> {
        let sql = "SELECT count(*), count(*) FILTER (WHERE kind <> 'withdrawal'
                   AND NOT EXISTS (SELECT 1 FROM entry c WHERE c.corrects = entry.id)) FROM entry";
        let counts: Result<(i64, i64), _> = self
            .db
            .query_row(sql, [], |row| Ok((row.get(0)?, row.get(1)?)));
        let (all, standing) = counts.map_err(|e| self.reading(&e))?;
        Ok((all.unsigned_abs(), standing.unsigned_abs()))
    }

    pub(super) fn reading(&self, cause: &rusqlite::Error) -> RecordError {
        RecordError::refused(
            format!("the record {} cannot be read", self.path.display()),
            cause,
        )
    }
}

pub(super) fn one(
    db: &Connection,
    id: i64,
) -> rusqlite::Result<Option<Result<Entry, RecordError>>> {
    let sql = format!(
        "SELECT {COLUMNS} FROM entry e LEFT JOIN entry c ON c.corrects = e.id WHERE e.id = ?1"
    );
    db.prepare_cached(&sql)?
        .query_row([id], |row| Ok(read(row)))
        .optional()
}

fn read(row: &Row<'_>) -> Result<Entry, RecordError> {
    let id: i64 = row.get(0).map_err(|e| damaged(0, e))?;
    let bad = |e: rusqlite::Error| damaged(id, e);
    let recorded_on: String = row.get(2).map_err(bad)?;
    let body: String = row.get(7).map_err(bad)?;
    Ok(Entry {
        id,
        uid: row.get(1).map_err(bad)?,
        recorded_on: recorded_on.parse().map_err(|e| damaged(id, e))?,
        corrects: row.get(3).map_err(bad)?,
        corrected_by: row.get(4).map_err(bad)?,
        about: row.get(5).map_err(bad)?,
        why: row.get(6).map_err(bad)?,
        what: serde_json::from_str(&body).map_err(|e| damaged(id, e))?,
    })
}

/// `id=0.75 id=` as it stands in the file.
fn read_uses(text: &str) -> Result<Arc<[Use]>, String> {
    text.split(' ')
        .map(|part| {
            let bad = || format!("`{part}` among its uses cannot be read");
            let (active, amount) = part.split_once('=').ok_or_else(bad)?;
            let amount = Some(amount).filter(|a| !a.is_empty());
            Ok(Use {
                active: active.to_owned(),
                lb_per_acre: amount
                    .map(|a| Decimal::from_str_exact(a).map_err(|_| bad()))
                    .transpose()?,
            })
        })
        .collect()
}

pub(super) fn damaged(id: i64, why: impl Display) -> RecordError {
    RecordError::Damaged {
        id,
        why: why.to_string(),
    }
}

pub(super) fn no_entry(db: &Connection, wanted: impl Display) -> RecordError {
    let last = db
        .query_row("SELECT ifnull(max(id), 0) FROM entry", [], |row| row.get(0))
        .unwrap_or(0);
    RecordError::NoEntry {
        wanted: wanted.to_string(),
        last,
    }
}
