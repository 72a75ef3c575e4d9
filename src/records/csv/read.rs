//! Reading a table back.
use super::{COLUMNS, Cells, plain_cell};
use crate::records::portable::Portable;
use crate::records::{
    ActiveUsed, Application, BadRate, Observation, Product, RecordError, Seeding, What, Withdrawal,
};
use jiff::civil::{Date, Time};
use rust_decimal::Decimal;
use std::collections::BTreeSet;

/// Entries from a table with a header. Columns may stand in any order; a row without a `uid` gets one from what it says, so
/// that the same table can be imported twice.
///
/// # Errors
/// The first cell that cannot be read, with its line and column.
pub fn from_csv(text: &str) -> Result<Vec<Portable>, RecordError> {
    let mut input =
        csv::ReaderBuilder::new().from_reader(text.trim_start_matches('\u{feff}').as_bytes());
    let header = input.headers().map_err(|e| bad(1, &e.to_string()))?.clone();
    let mut seen = BTreeSet::new();
    for column in &header {
        if !seen.insert(column) {
            return Err(bad(1, &format!("there are two columns `{column}`")));
        }
    }
    for needed in ["kind", "date"] {
        if !seen.contains(needed) {
            return Err(bad(
                1,
                &format!("the column `{needed}` is missing; the first line names the columns"),
            ));
        }
    }
    let mut entries: Vec<Portable> = Vec::new();
    for record in input.records() {
        let record =
            record.map_err(|e| bad(e.position().map_or(0, csv::Position::line), &e.to_string()))?;
        let line = record.position().map_or(0, csv::Position::line);
        let row = RowIn {
            line,
            cells: header
                .iter()
                .zip(record.iter())
                .map(|(column, cell)| (column.to_owned(), plain_cell(cell).to_owned()))
                .filter(|(_, cell)| !cell.is_empty())
                .collect(),
        };
        if row.cells.is_empty() {
            continue;
        }
        let entry = row.entry()?;
        match entries.last_mut().filter(|last| last.uid == entry.uid) {
            Some(last) => row.join(last, entry)?,
            None => entries.push(entry),
        }
    }
    Ok(entries)
}

fn bad(line: u64, why: &str) -> RecordError {
    RecordError::Import {
        place: format!("line {line}"),
        why: why.to_owned(),
    }
}

struct RowIn {
    line: u64,
    cells: Cells,
}

impl RowIn {
    fn text(&self, column: &str) -> Option<String> {
        self.cells.get(column).cloned()
    }

    fn ids(&self, column: &str) -> Vec<String> {
        let cell = self.cells.get(column).map_or("", String::as_str);
        cell.split_whitespace().map(str::to_owned).collect()
    }

    fn parsed<T>(
        &self,
        column: &str,
        example: &str,
        read: impl Fn(&str) -> Option<T>,
    ) -> Result<Option<T>, RecordError> {
        let Some(cell) = self.cells.get(column) else {
            return Ok(None);
        };
        let value = read(cell).ok_or_else(|| {
            bad(
                self.line,
                &format!("{column}: `{cell}` cannot be read; write it as {example}"),
            )
        })?;
        Ok(Some(value))
    }

    fn day(&self, column: &str) -> Result<Option<Date>, RecordError> {
        // The parser also takes 20260510 and drops times; one form is enough.
        self.parsed(column, "2026-05-10", |cell| {
            cell.parse::<Date>().ok().filter(|d| d.to_string() == cell)
        })
    }

    fn time(&self, column: &str) -> Result<Option<Time>, RecordError> {
        self.parsed(column, "07:30", |cell| cell.parse().ok())
    }

    fn percent(&self, column: &str) -> Result<Option<Decimal>, RecordError> {
        self.parsed(column, "85", |cell| Decimal::from_str_exact(cell).ok())
    }

    fn entry(&self) -> Result<Portable, RecordError> {
        let date = self
            .day("date")?
            .ok_or_else(|| bad(self.line, "the date is missing"))?;
        let kind = self.text("kind").unwrap_or_default();
        let what = match kind.as_str() {
            "application" => What::Application(self.application(date)?),
            "observation" => What::Observation(self.observation(date)?),
            "seeding" => What::Seeding(Seeding {
                date,
                lawn: self.text("lawn"),
                turf: self.ids("turf"),
                remarks: self.text("remarks"),
            }),
            "withdrawal" => What::Withdrawal(Withdrawal {
                date,
                lawn: self.text("lawn"),
            }),
            other => {
                let why = format!(
                    "kind: `{other}` is not application, observation, seeding or withdrawal"
                );
                return Err(bad(self.line, &why));
            }
        };
        Ok(Portable {
            uid: self.text("uid").unwrap_or_else(|| self.name()),
            recorded_on: self.day("recorded-on")?.unwrap_or(date),
            corrects: self.text("corrects"),
            about: self.text("about"),
            why: self.text("why"),
            what,
        })
    }

    /// A name from what the row says: FNV-1a with 128 bits.
    fn name(&self) -> String {
        let bytes = self.cells.iter().flat_map(|(column, cell)| {
            [column.as_bytes(), b"=", cell.as_bytes(), b"\x1f"].concat()
        });
        let hash = bytes.fold(
            0x6c62_272e_07bb_0142_62b8_2175_6295_c58d_u128,
            |hash, byte| (hash ^ u128::from(byte)).wrapping_mul(0x0100_0000_0000_0000_0000_013B),
        );
        format!("row-{hash:032x}")
    }

    fn application(&self, date: Date) -> Result<Application, RecordError> {
        let rate = self
            .text("active-rate")
            .map(|cell| cell.parse())
            .transpose();
        let rate = rate.map_err(|e: BadRate| bad(self.line, &format!("active-rate: {e}")))?;
        let own = |column: &&String| !COLUMNS.contains(&column.as_str());
        Ok(Application {
            date,
            start_time: self.time("start-time")?,
            end_time: self.time("end-time")?,
            lawn: self.text("lawn"),
            place: self.text("place"),
            turf: self.ids("turf"),
            weeds: self.ids("weed-target"),
            area: self.text("area-treated"),
            products: vec![Product {
                name: self.text("product-name"),
                registration: self.text("registration-number"),
                rate: self.text("rate-per-unit"),
                total: self.text("amount-product-total"),
                actives: self
                    .text("active-common-name")
                    .into_iter()
                    .map(|active| ActiveUsed { active, rate })
                    .collect(),
            }],
            items: self
                .cells
                .iter()
                .filter(|(column, _)| own(column))
                .map(|(column, cell)| (column.clone(), cell.clone()))
                .collect(),
            remarks: self.text("remarks"),
        })
    }

    fn observation(&self, date: Date) -> Result<Observation, RecordError> {
        let suspected = self.parsed("resistance-suspected", "yes or no", |cell| match cell {
            "yes" => Some(true),
            "no" => Some(false),
            _ => None,
        })?;
        Ok(Observation {
            date,
            weed: self.text("weed"),
            control_percent: self.percent("control-percent")?,
            injury_percent: self.percent("injury-percent")?,
            injury: self.text("injury"),
            resistance_suspected: suspected.unwrap_or(false),
            remarks: self.text("remarks"),
        })
    }

    /// A further row of the entry before it: another active of the same product, or another product.
    fn join(&self, last: &mut Portable, mut next: Portable) -> Result<(), RecordError> {
        let (What::Application(into), What::Application(from)) = (&mut last.what, &mut next.what)
        else {
            return Err(bad(
                self.line,
                "its uid is that of the row before, and only treatments have several rows",
            ));
        };
        let product = from.products.pop();
        let mut same = into.clone();
        same.products.clear();
        if same != *from {
            return Err(bad(
                self.line,
                "it belongs to the treatment of the row before but says something else",
            ));
        }
        let number = self
            .parsed("product", "1", |cell| cell.parse::<usize>().ok())?
            .unwrap_or(1);
        let Some(product) = product else {
            return Ok(());
        };
        let known = into.products.len();
        match into.products.last_mut() {
            Some(there) if number == known => there.actives.extend(product.actives),
            _ => into.products.push(product),
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn faults_of_a_table_are_told_with_their_line() {
        let told = |text: &str| from_csv(text).expect_err(text).to_string();
        assert!(told("kind,kind\n").contains("two columns"));
        assert!(told("kind\nseeding\n").contains("`date` is missing"));
        assert!(
            told("kind,date\nseeding,2026-05-10\nmowing,2026-05-11\n")
                .contains("line 3: kind: `mowing`")
        );
        assert!(told("kind,date\nseeding,20260510\n").contains("write it as 2026-05-10"));
        assert!(told("kind,date\nseeding,2026-05-10,x\n").contains("line 2"));
        assert!(
            told("kind,date,active-rate\napplication,2026-05-10,much\n")
                .contains("active-rate: `much`")
        );
    }

    #[test]
    fn a_row_without_a_name_gets_the_same_one_each_time() {
        let table = "date,kind,lawn\n2026-05-10,seeding,front\n";
        assert_eq!(
            from_csv(table).expect("good"),
            from_csv(table).expect("good")
        );
        // FNV-1a, 128 bits: the offset basis is the value of no bytes at all (draft-eastlake-fnv, section 5).
        let none = RowIn {
            line: 1,
            cells: Cells::new(),
        };
        assert_eq!(none.name(), "row-6c62272e07bb014262b821756295c58d");
    }
}
