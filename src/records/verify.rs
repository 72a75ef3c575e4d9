//! Whether a record is whole.
use super::entry::What;
use super::error::RecordError;
use super::store::Store;
use super::write::{number, suspected, uses_of};
use jiff::civil::Date;
use rusqlite::Row;
use serde::Serialize;

/// Something that is wrong with a record.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Finding {
    /// The entry, where it is about one.
    pub entry: Option<i64>,
    /// What is wrong, in one sentence.
    pub text: String,
}

fn finding(entry: impl Into<Option<i64>>, text: impl Into<String>) -> Finding {
    Finding {
        entry: entry.into(),
        text: text.into(),
    }
}

/// Cyclic redundancy check CRC-32 of IEEE 802.3 (reflected polynomial 0xEDB88320), over the fields with a separator after
/// each, begun with the checksum of the entry before. It finds slips of disks and hands; it is no seal against forgery.
pub(super) fn checksum(before: Option<i64>, fields: &[&str]) -> i64 {
    let start = before.unwrap_or(0).to_string();
    let mut crc = u32::MAX;
    for field in std::iter::once(start.as_str()).chain(fields.iter().copied()) {
        crc = crc32(crc, field.as_bytes());
        crc = crc32(crc, &[0x1f]);
    }
    i64::from(!crc)
}

fn crc32(mut crc: u32, bytes: &[u8]) -> u32 {
    for byte in bytes {
        crc ^= u32::from(*byte);
        for _ in 0..8 {
            crc = if crc & 1 == 1 {
                (crc >> 1) ^ 0xEDB8_8320
            } else {
                crc >> 1
            };
        }
    }
    crc
}

impl Store {
    /// Checks the whole file: the pages, the chain of checksums, the links, and every entry with what is
    /// kept beside it for speed.
    /// An empty list means that the record is whole.
    ///
    /// # Errors
    /// A file that cannot be read at all.
    pub fn verify(&self, today: Date) -> Result<Vec<Finding>, RecordError> {
        let reading = |e: rusqlite::Error| RecordError::refused("the record cannot be checked", &e);
        let mut found = Vec::new();
        let mut pages = self.db.prepare("PRAGMA integrity_check").map_err(reading)?;
        let lines: Vec<String> = pages
            .query_map([], |row| row.get(0))
            .and_then(Iterator::collect)
            .map_err(reading)?;
        found.extend(
            lines
                .into_iter()
                .filter(|l| l != "ok")
                .map(|l| finding(None, format!("SQLite: {l}"))),
        );
        let mut keys = self
            .db
            .prepare("PRAGMA foreign_key_check")
            .map_err(reading)?;
        let broken: Vec<Option<i64>> = keys
            .query_map([], |row| row.get(1))
            .and_then(Iterator::collect)
            .map_err(reading)?;
        found.extend(
            broken
                .into_iter()
                .map(|id| finding(id, "it points at an entry that is not there")),
        );
        self.entries(today, &mut found).map_err(reading)?;
        Ok(found)
    }

    fn entries(&self, today: Date, found: &mut Vec<Finding>) -> rusqlite::Result<()> {
        let mut all = self.db.prepare(
            "SELECT id, uid, kind, day, lawn, recorded_on, corrects, about, why, body, checksum, suspected, uses FROM entry ORDER BY id",
        )?;
        let mut rows = all.query([])?;
        let mut before = None;
        let mut last = 0;
        while let Some(row) = rows.next()? {
            let id: i64 = row.get(0)?;
            if id != last + 1 {
                found.push(finding(
                    id,
                    format!("the entry before it is {last}; those between are gone"),
                ));
            }
            last = id;
            let written: i64 = row.get(10)?;
            if sum_of(before, row)? != written {
                found.push(finding(
                    id,
                    "its checksum does not fit: it, or what stood before it, was changed",
                ));
            }
            before = Some(written);
            found.extend(content(id, row, today)?);
        }
        // The counter remembers the highest number ever given.
        let highest: i64 = self.db.query_row(
            "SELECT ifnull((SELECT seq FROM sqlite_sequence WHERE name = 'entry'), 0)",
            [],
            |r| r.get(0),
        )?;
        if highest != last {
            found.push(finding(
                None,
                format!("the last entry is {last}, but {highest} were written"),
            ));
        }
        Ok(())
    }
}

fn sum_of(before: Option<i64>, row: &Row<'_>) -> rusqlite::Result<i64> {
    let text = |at: usize| row.get::<_, String>(at);
    let link = |at: usize| row.get::<_, Option<i64>>(at).map(number);
    let why: Option<String> = row.get(8)?;
    Ok(checksum(
        before,
        &[
            &text(1)?,
            &text(2)?,
            &text(3)?,
            &text(4)?,
            &text(5)?,
            &link(6)?,
            &link(7)?,
            &why.unwrap_or_default(),
            &text(9)?,
        ],
    ))
}

fn content(id: i64, row: &Row<'_>, today: Date) -> rusqlite::Result<Option<Finding>> {
    let (kind, day, body): (String, String, String) = (row.get(2)?, row.get(3)?, row.get(9)?);
    let what: What = match serde_json::from_str(&body) {
        Ok(what) => what,
        Err(e) => return Ok(Some(finding(id, format!("it cannot be read: {e}")))),
    };
    if what.kind() != kind || what.date().to_string() != day {
        return Ok(Some(finding(
            id,
            "its kind or day differs from what it tells",
        )));
    }
    if uses_of(&what) != row.get::<_, String>(12)? {
        let text = "its list of uses does not fit what it tells, so limits would be wrong";
        return Ok(Some(finding(id, text)));
    }
    if suspected(&what) != row.get::<_, bool>(11)? {
        return Ok(Some(finding(
            id,
            "its mark of suspected resistance differs from what it tells",
        )));
    }
    Ok(what.check(today).err().map(|e| finding(id, e.to_string())))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_checksum_is_the_standard_one() {
        // The check value of CRC-32/ISO-HDLC in the catalogue of parametrised CRC algorithms (G. Cook): "123456789".
        assert_eq!(!crc32(u32::MAX, b"123456789"), 0xCBF4_3926);
    }

    #[test]
    fn fields_do_not_run_into_each_other() {
        assert_ne!(checksum(None, &["ab", "c"]), checksum(None, &["a", "bc"]));
        assert_ne!(checksum(None, &["a"]), checksum(Some(1), &["a"]));
    }
}
