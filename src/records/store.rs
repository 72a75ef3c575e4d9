//! The file: opening, adding, reading. Every acknowledged entry has reached the disk.
use super::error::RecordError;
use rusqlite::{Connection, OpenFlags};
use std::fs::File;
use std::path::{Path, PathBuf};
use std::time::Duration;
use tempfile::NamedTempFile;

/// Marks an `SQLite` file as a record of this program ("ligl").
const APPLICATION: i32 = 0x6c69_676c;
/// The form of the tables. A newer file is refused, never guessed at.
pub(super) const FORM: i32 = 1;
const TABLES: &str = include_str!("store.sql");
/// How long one program waits while another one writes.
const PATIENCE: Duration = Duration::from_secs(10);

/// An open record.
#[derive(Debug)]
pub struct Store {
    pub(super) db: Connection,
    pub(super) path: PathBuf,
}

impl Store {
    /// Opens a record that is there.
    ///
    /// # Errors
    /// No such file, no record, a newer form, or a system that refuses.
    pub fn open(path: &Path) -> Result<Self, RecordError> {
        let shown = path.display().to_string();
        if !path.exists() {
            return Err(RecordError::Missing { path: shown });
        }
        let fail = |cause: &rusqlite::Error| match cause.sqlite_error_code() {
            Some(rusqlite::ErrorCode::NotADatabase) => RecordError::NotARecord {
                path: shown.clone(),
                why: "it is no SQLite file",
            },
            _ => RecordError::Open {
                path: shown.clone(),
                cause: cause.to_string(),
            },
        };
        let (db, application, form) = connect(path).map_err(|e| fail(&e))?;
        if application != APPLICATION {
            return Err(RecordError::NotARecord {
                path: shown,
                why: "it is an SQLite file of another program",
            });
        }
        if form > FORM {
            return Err(RecordError::Newer {
                path: shown,
                found: form,
                known: FORM,
            });
        }
        settle(&db).map_err(|e| fail(&e))?;
        Ok(Self {
            db,
            path: path.to_owned(),
        })
    }

    /// Opens a record, or makes an empty one where there is none. The second value tells whether it was made.
    ///
    /// # Errors
    /// As [`Store::open`]; a folder that cannot be written.
    pub fn open_or_create(path: &Path) -> Result<(Self, bool), RecordError> {
        if path.exists() {
            return Ok((Self::open(path)?, false));
        }
        let made = create(path)?;
        Ok((Self::open(path)?, made))
    }

    /// Where the record is.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Writes a whole copy of the record into a new file. The copy is complete before it gets its name.
    ///
    /// # Errors
    /// The file is there already, or the disk refuses.
    pub fn backup(&self, to: &Path) -> Result<(), RecordError> {
        let shown = to.display().to_string();
        if to.exists() {
            return Err(RecordError::Exists { path: shown });
        }
        let doing = format!("the backup {shown} cannot be written");
        let file =
            NamedTempFile::new_in(folder(to)).map_err(|e| RecordError::system(&doing, &e))?;
        let name = file.path().to_string_lossy().into_owned();
        self.db
            .execute("VACUUM INTO ?1", [name])
            .map_err(|e| RecordError::refused(&doing, &e))?;
        publish(file, to)
            .map(drop)
            .map_err(|e| RecordError::system(&doing, &e))
    }
}

/// Opens the file and reads its two marks. A write-ahead log needs to write beside the file even to read it; where that is
/// not allowed and no log is left to be read, the file is taken as it lies, for reading only.
fn connect(path: &Path) -> rusqlite::Result<(Connection, i32, i32)> {
    let marks = |db: Connection| {
        let number = |name: &str| db.pragma_query_value(None, name, |row| row.get::<_, i32>(0));
        let (application, form) = (number("application_id")?, number("user_version")?);
        Ok((db, application, form))
    };
    // SQLite itself falls back to reading only where the file may not be written.
    let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let first = Connection::open_with_flags(path, flags).and_then(marks);
    let barred = first
        .as_ref()
        .err()
        .and_then(rusqlite::Error::sqlite_error_code);
    let log = path.with_file_name(format!(
        "{}-wal",
        path.file_name().unwrap_or_default().to_string_lossy()
    ));
    match (barred, path.to_str()) {
        (Some(rusqlite::ErrorCode::ReadOnly | rusqlite::ErrorCode::CannotOpen), Some(name))
            if !log.exists() =>
        {
            let name = name
                .replace('%', "%25")
                .replace('?', "%3f")
                .replace('#', "%23");
            let flags = OpenFlags::SQLITE_OPEN_READ_ONLY
                | OpenFlags::SQLITE_OPEN_URI
                | OpenFlags::SQLITE_OPEN_NO_MUTEX;
            Connection::open_with_flags(format!("file:{name}?immutable=1"), flags).and_then(marks)
        }
        _ => first,
    }
}

/// Settings of every connection. A write-ahead log with full synchronisation: a commit returns after the disk has it.
fn settle(db: &Connection) -> rusqlite::Result<()> {
    db.busy_timeout(PATIENCE)?;
    db.pragma_update(None, "synchronous", "FULL")?;
    db.pragma_update(None, "foreign_keys", true)?;
    db.pragma_update(None, "trusted_schema", false)
}

/// Makes an empty record. It gets its name when it is complete, so no program ever meets half a file; whoever comes second
/// uses the file of the first.
fn create(path: &Path) -> Result<bool, RecordError> {
    let failing = format!("the record {} cannot be made", path.display());
    // A folder of its own, so that what SQLite keeps beside an unfinished file goes with it when something fails.
    let workshop = tempfile::Builder::new()
        .prefix(".ligule-")
        .tempdir_in(folder(path))
        .map_err(|e| RecordError::system(&failing, &e))?;
    let file =
        NamedTempFile::new_in(workshop.path()).map_err(|e| RecordError::system(&failing, &e))?;
    let make = || -> rusqlite::Result<()> {
        let mut db = Connection::open(file.path())?;
        db.pragma_update(None, "synchronous", "FULL")?;
        let tx = db.transaction()?;
        tx.execute_batch(TABLES)?;
        tx.pragma_update(None, "application_id", APPLICATION)?;
        tx.pragma_update(None, "user_version", FORM)?;
        tx.commit()?;
        // The log comes last: closing a connection tells nothing of a log that could not be brought into the file.
        db.pragma_update_and_check(None, "journal_mode", "WAL", |row| row.get::<_, String>(0))?;
        db.close().map_err(|(_, e)| e)
    };
    make().map_err(|e| RecordError::refused(&failing, &e))?;
    publish(file, path).map_err(|e| RecordError::system(&failing, &e))
}

fn folder(path: &Path) -> &Path {
    path.parent()
        .filter(|p| !p.as_os_str().is_empty())
        .unwrap_or(Path::new("."))
}

/// Gives a finished file its name, unless another file took the name meanwhile, and brings both to the disk.
fn publish(file: NamedTempFile, to: &Path) -> std::io::Result<bool> {
    file.as_file().sync_all()?;
    match file.persist_noclobber(to) {
        Ok(_) => {}
        Err(e) if e.error.kind() == std::io::ErrorKind::AlreadyExists => return Ok(false),
        Err(e) => return Err(e.error),
    }
    File::open(folder(to))?.sync_all()?;
    Ok(true)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests")]
    use super::*;
    use crate::records::{ActiveUsed, Application, Product, What};
    use jiff::civil::date;
    use std::collections::BTreeMap;

    fn big(n: u32) -> What {
        What::Application(Application {
            date: date(2026, 5, 10),
            start_time: None,
            end_time: None,
            lawn: None,
            place: None,
            turf: Vec::new(),
            weeds: Vec::new(),
            area: None,
            products: vec![Product {
                actives: vec![ActiveUsed {
                    active: "a".to_owned(),
                    rate: None,
                }],
                ..Product::default()
            }],
            items: BTreeMap::new(),
            remarks: Some(format!("{n} {}", "long ".repeat(390))),
        })
    }

    #[test]
    fn a_disk_that_fills_inside_an_entry_leaves_none_of_it() {
        let dir = tempfile::tempdir().unwrap();
        let mut store = Store::open_or_create(&dir.path().join("r.db")).unwrap().0;
        let today = date(2026, 11, 1);
        // SQLite's own limit on pages makes every growth of the file fail as a full disk does.
        let limit = |store: &Store, pages: i64| {
            store
                .db
                .pragma_update_and_check(None, "max_page_count", pages, |_| Ok(()))
                .unwrap();
        };
        store.add(&big(0), today).unwrap();
        let mut refused = 0;
        for n in 1..40 {
            let pages = store
                .db
                .query_row("PRAGMA page_count", [], |r| r.get(0))
                .unwrap();
            limit(&store, pages);
            let before = store.count().unwrap();
            if let Err(error) = store.add(&big(n), today) {
                refused += 1;
                assert!(error.to_string().contains("the disk is full"), "{error}");
                assert_eq!(store.count().unwrap(), before);
                limit(&store, i64::from(u32::MAX) - 1);
                store.add(&big(n), today).unwrap();
            }
            assert_eq!(store.verify(today).unwrap(), vec![]);
        }
        assert!(refused >= 10, "{refused}");
    }
}
