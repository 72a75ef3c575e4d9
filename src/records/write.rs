//! Writing to the record: entries are only ever added.
use super::entry::{Entry, What, Withdrawal};
use super::error::RecordError;
use super::portable::Portable;
use super::read::{damaged, no_entry, one};
use super::store::Store;
use crate::words::plain;
use jiff::civil::Date;
use rusqlite::{Connection, OptionalExtension, Transaction, TransactionBehavior, params};

impl Store {
    /// Adds an entry. When this returns, the entry is on the disk.
    ///
    /// # Errors
    /// An entry that cannot be written down, a day after `today`, or a disk that refuses; then nothing was written.
    pub fn add(&mut self, what: &What, today: Date) -> Result<Entry, RecordError> {
        if matches!(what, What::Observation(_)) {
            return Err(fit(
                0,
                "missing",
                "an observation is about a treatment; name its number",
            ));
        }
        self.write(what, Links::default(), today)
    }

    /// Adds what was seen after a treatment.
    ///
    /// # Errors
    /// As [`Store::add`]; no such treatment; a day before the treatment.
    pub fn observe(&mut self, about: i64, what: &What, today: Date) -> Result<Entry, RecordError> {
        let links = Links {
            about: Some(about),
            ..Links::default()
        };
        self.write(what, links, today)
    }

    /// Writes a new entry in the place of `id`, which stays in the file.
    ///
    /// # Errors
    /// As [`Store::add`]; no such entry; an entry that has been corrected already; another kind of entry.
    pub fn correct(
        &mut self,
        id: i64,
        what: &What,
        why: &str,
        today: Date,
    ) -> Result<Entry, RecordError> {
        let links = Links {
            corrects: Some(id),
            why: Some(why),
            ..Links::default()
        };
        self.write(what, links, today)
    }

    /// Takes an entry back: it stays in the file and counts no more.
    ///
    /// # Errors
    /// As [`Store::correct`].
    pub fn withdraw(&mut self, id: i64, why: &str, today: Date) -> Result<Entry, RecordError> {
        let old = self.entry(id)?;
        let what = What::Withdrawal(Withdrawal {
            date: old.what.date(),
            lawn: old.what.lawn().map(str::to_owned),
        });
        self.correct(id, &what, why, today)
    }

    fn write(&mut self, what: &What, links: Links<'_>, today: Date) -> Result<Entry, RecordError> {
        what.check(today)?;
        let doing = format!("the entry cannot be written to {}", self.path.display());
        let fail = |e: rusqlite::Error| RecordError::refused(doing.clone(), &e);
        // An immediate transaction takes its turn before it reads, so two programs never write from the same state.
        let tx = self
            .db
            .transaction_with_behavior(TransactionBehavior::Immediate)
            .map_err(fail)?;
        let links = check_links(&tx, what, links)?;
        let row = NewRow {
            uid: None,
            recorded_on: today,
            links,
        };
        let id = insert(&tx, what, &row).map_err(fail)?;
        let entry = one(&tx, id).map_err(fail)?;
        tx.commit().map_err(fail)?;
        entry.ok_or_else(|| damaged(id, "it was not found after it was written"))?
    }

    /// Adds entries of another record, in one piece: all or none. Entries that are there already are passed over.
    /// Gives back how many were added and how many were there.
    ///
    /// # Errors
    /// An entry that cannot be written down, or that differs from the one of the same name that is there.
    pub fn import(
        &mut self,
        entries: &[Portable],
        today: Date,
    ) -> Result<(usize, usize), RecordError> {
        let doing = format!("the entries cannot be written to {}", self.path.display());
        let fail = |e: rusqlite::Error| RecordError::refused(doing.clone(), &e);
        let tx = self
            .db
            .transaction_with_behavior(TransactionBehavior::Immediate)
            .map_err(fail)?;
        let mut added = 0;
        for (index, entry) in entries.iter().enumerate() {
            let bad = |why: String| RecordError::Import {
                place: entry.place(index),
                why,
            };
            entry.check(today).map_err(bad)?;
            if let Some(id) = id_of(&tx, &entry.uid).map_err(fail)? {
                let there = one(&tx, id)
                    .map_err(fail)?
                    .ok_or_else(|| damaged(id, "it is not there"))??;
                if there.what != entry.what {
                    return Err(bad("the record holds something else under the same uid; a correction needs a uid of its own".to_owned()));
                }
                continue;
            }
            let link = |uid: Option<&String>, word: &str| -> Result<Option<i64>, RecordError> {
                let Some(uid) = uid else { return Ok(None) };
                let id = id_of(&tx, uid).map_err(fail)?;
                id.map(Some).ok_or_else(|| {
                    bad(format!(
                        "it {word} `{uid}`, which is neither before it here nor in the record"
                    ))
                })
            };
            let links = Links {
                corrects: link(entry.corrects.as_ref(), "corrects")?,
                about: link(entry.about.as_ref(), "is about")?,
                why: entry.why.as_deref(),
                lawn: String::new(),
            };
            let links = check_links(&tx, &entry.what, links).map_err(|e| bad(e.to_string()))?;
            let row = NewRow {
                uid: Some(&entry.uid),
                recorded_on: entry.recorded_on,
                links,
            };
            insert(&tx, &entry.what, &row).map_err(fail)?;
            added += 1;
        }
        tx.commit().map_err(fail)?;
        Ok((added, entries.len() - added))
    }
}

/// What an entry points at.
#[derive(Debug, Default)]
struct Links<'a> {
    corrects: Option<i64>,
    about: Option<i64>,
    why: Option<&'a str>,
    lawn: String,
}

struct NewRow<'a> {
    uid: Option<&'a str>,
    recorded_on: Date,
    links: Links<'a>,
}

fn id_of(db: &Connection, uid: &str) -> rusqlite::Result<Option<i64>> {
    db.prepare_cached("SELECT id FROM entry WHERE uid = ?1")?
        .query_row([uid], |row| row.get(0))
        .optional()
}

fn fit(id: i64, found: &str, why: &str) -> RecordError {
    RecordError::DoesNotFit {
        id,
        found: found.to_owned(),
        why: why.to_owned(),
    }
}

/// Whether an entry fits what it points at, and the lawn that it is on.
fn check_links<'a>(
    tx: &Transaction<'_>,
    what: &What,
    mut links: Links<'a>,
) -> Result<Links<'a>, RecordError> {
    let fetch = |id: i64| -> Result<Entry, RecordError> {
        one(tx, id)
            .map_err(|e| RecordError::refused("the record cannot be read", &e))?
            .ok_or_else(|| no_entry(tx, id))?
    };
    links.lawn = plain(what.lawn().unwrap_or_default());
    if let Some(id) = links.corrects {
        let old = fetch(id)?;
        if let Some(by) = old.corrected_by {
            return Err(RecordError::Superseded { id, by });
        }
        if links.why.is_none_or(|why| why.trim().is_empty()) {
            return Err(fit(
                id,
                "to be corrected",
                "say why, so that the record explains itself",
            ));
        }
        if matches!(old.what, What::Withdrawal(_)) {
            return Err(fit(
                id,
                "a withdrawal",
                "what was taken back is entered anew, with `record add`",
            ));
        }
        if what.kind() != old.what.kind() && !matches!(what, What::Withdrawal(_)) {
            let why = format!(
                "it cannot become another kind ({}); take it back and enter the right one",
                what.kind()
            );
            return Err(fit(id, &format!("of the kind {}", old.what.kind()), &why));
        }
        links.about = links.about.or(old.about);
    } else if links.why.is_some() {
        return Err(fit(0, "missing", "a reason goes with a correction only"));
    }
    match (what, links.about) {
        (What::Observation(_), None) => Err(fit(
            0,
            "missing",
            "an observation is about a treatment; name its number",
        )),
        (What::Observation(seen), Some(about)) => {
            let treated = fetch(about)?;
            if !matches!(treated.what, What::Application(_)) {
                let found = format!("of the kind {}", treated.what.kind());
                return Err(fit(about, &found, "only a treatment can be followed up"));
            }
            let day = treated.what.date();
            if seen.date < day {
                return Err(fit(
                    about,
                    &format!("of {day}"),
                    "what was seen cannot be older than the treatment",
                ));
            }
            links.lawn = plain(treated.what.lawn().unwrap_or_default());
            Ok(links)
        }
        (What::Withdrawal(_), _) if links.corrects.is_none() => Err(fit(
            0,
            "missing",
            "a withdrawal takes back an entry; name its number",
        )),
        (What::Withdrawal(_), _) | (_, None) => Ok(links),
        (_, Some(about)) => Err(fit(
            about,
            "a treatment",
            "only an observation is about another entry",
        )),
    }
}

fn insert(tx: &Transaction<'_>, what: &What, row: &NewRow<'_>) -> rusqlite::Result<i64> {
    let body = serde_json::to_string(what)
        .map_err(|e| rusqlite::Error::ToSqlConversionFailure(e.into()))?;
    let uid = match row.uid {
        Some(uid) => uid.to_owned(),
        // 128 random bits, so that records of two vans can be joined.
        None => tx.query_row("SELECT lower(hex(randomblob(16)))", [], |r| r.get(0))?,
    };
    let before: Option<i64> = tx
        .prepare_cached("SELECT checksum FROM entry ORDER BY id DESC LIMIT 1")?
        .query_row([], |r| r.get(0))
        .optional()?;
    let day = what.date().to_string();
    let recorded_on = row.recorded_on.to_string();
    let links = &row.links;
    let sum = super::verify::checksum(
        before,
        &[
            &uid,
            what.kind(),
            &day,
            &links.lawn,
            &recorded_on,
            &number(links.corrects),
            &number(links.about),
            links.why.unwrap_or_default(),
            &body,
        ],
    );
    tx.prepare_cached(
        "INSERT INTO entry (uid, kind, day, lawn, recorded_on, corrects, about, why, uses, suspected, body, checksum)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12)",
    )?
    .execute(params![uid, what.kind(), day, links.lawn, recorded_on, links.corrects, links.about, links.why, uses_of(what), suspected(what), body, sum])?;
    Ok(tx.last_insert_rowid())
}

/// A link as it enters the checksum.
pub(super) fn number(link: Option<i64>) -> String {
    link.map_or_else(String::new, |id| id.to_string())
}

/// Actives of a treatment and their pounds per acre, as the file keeps them: `id=0.75 id=`.
pub(super) fn uses_of(what: &What) -> String {
    let What::Application(application) = what else {
        return String::new();
    };
    let all = application.products.iter().flat_map(|p| &p.actives);
    let uses: Vec<String> = all
        .map(|used| {
            let amount = used.rate.map(|r| r.lb_per_acre().to_string());
            format!("{}={}", used.active, amount.unwrap_or_default())
        })
        .collect();
    uses.join(" ")
}

/// Whether an entry tells of suspected resistance.
pub(super) fn suspected(what: &What) -> bool {
    matches!(what, What::Observation(seen) if seen.resistance_suspected)
}
