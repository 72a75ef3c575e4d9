//! Why something cannot be written to or read from a record.
use jiff::civil::Date;
use std::io;

/// What is wrong, and how to mend it.
#[derive(Debug, thiserror::Error)]
pub enum RecordError {
    /// There is no such file.
    #[error(
        "there is no record {path}; `ligule record add` makes one, and --record FILE names another"
    )]
    Missing {
        /// The file.
        path: String,
    },
    /// The file cannot be opened.
    #[error("the record {path} cannot be opened: {cause}")]
    Open {
        /// The file.
        path: String,
        /// What the system said.
        cause: String,
    },
    /// The file is something else.
    #[error("{path} is no record: {why}. Nothing was changed")]
    NotARecord {
        /// The file.
        path: String,
        /// What it is instead.
        why: &'static str,
    },
    /// The file was written by a newer program.
    #[error(
        "the record {path} has form {found}, and this program knows forms up to {known}: it was written by a newer program. Use that one. Nothing was changed"
    )]
    Newer {
        /// The file.
        path: String,
        /// Its form.
        found: i32,
        /// The newest form known here.
        known: i32,
    },
    /// The file is there already.
    #[error("{path} is there already and is not written over; name another file")]
    Exists {
        /// The file.
        path: String,
    },
    /// The disk or the file refused.
    #[error("{doing}: {why}. Nothing was written, and what was in the record before is unharmed")]
    Refused {
        /// What was tried.
        doing: String,
        /// Why it failed, and the remedy.
        why: String,
    },
    /// An entry of the file cannot be read.
    #[error(
        "entry {id} of the record cannot be read ({why}); `ligule record verify` tells more, and a backup may have it whole"
    )]
    Damaged {
        /// The entry.
        id: i64,
        /// What is wrong.
        why: String,
    },
    /// A day that has not come yet.
    #[error(
        "{day} lies in the future (today is {today}); a record holds what was done. Check the year, or the clock of this machine"
    )]
    Future {
        /// The day of the entry.
        day: Date,
        /// Today.
        today: Date,
    },
    /// An item that cannot be written down.
    #[error("{item}: `{typed}`: {why}")]
    Item {
        /// Id of the item.
        item: String,
        /// What was given.
        typed: String,
        /// What is wrong and how to mend it.
        why: String,
    },
    /// There is no such entry.
    #[error("the record has no entry {wanted}; it has entries 1 to {last}")]
    NoEntry {
        /// What was asked for.
        wanted: String,
        /// The last entry.
        last: i64,
    },
    /// The entry has been corrected already.
    #[error("entry {id} has been corrected already, by entry {by}; correct entry {by} instead")]
    Superseded {
        /// The entry.
        id: i64,
        /// What stands in its place.
        by: i64,
    },
    /// A correction, or an observation, that does not fit what it points at.
    #[error("entry {id} is {found}; {why}")]
    DoesNotFit {
        /// The entry pointed at.
        id: i64,
        /// What it is.
        found: String,
        /// What is needed.
        why: String,
    },
    /// A file to be imported that is not good.
    #[error("{place}: {why}. Nothing was imported")]
    Import {
        /// Line or entry.
        place: String,
        /// What is wrong.
        why: String,
    },
    /// The page cannot be printed.
    #[error("the page of the record cannot be made: {0}")]
    Page(String),
}

impl RecordError {
    /// A refusal of the file or the disk in plain words.
    pub(super) fn refused(doing: impl Into<String>, cause: &rusqlite::Error) -> Self {
        use rusqlite::ErrorCode;
        let why = match cause.sqlite_error_code() {
            Some(ErrorCode::DiskFull) => "the disk is full; make room and try again".to_owned(),
            Some(ErrorCode::ReadOnly) => {
                "the file or its folder may only be read; change its permissions or name another file".to_owned()
            }
            Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => {
                "another program has been writing to it for more than ten seconds; try again".to_owned()
            }
            Some(ErrorCode::SystemIoFailure) => format!("the disk did not take it ({cause}); check that it has room"),
            Some(ErrorCode::DatabaseCorrupt) => format!("the file is damaged ({cause}); run `ligule record verify`"),
            _ => cause.to_string(),
        };
        Self::Refused {
            doing: doing.into(),
            why,
        }
    }

    /// A refusal of the system in plain words.
    pub(super) fn system(doing: impl Into<String>, cause: &io::Error) -> Self {
        Self::Refused {
            doing: doing.into(),
            why: cause.to_string(),
        }
    }
}
