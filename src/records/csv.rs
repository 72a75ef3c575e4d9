//! The record as a table for a spreadsheet, and back. One row for each active; what belongs to the whole entry stands in
//! each of its rows.
//!
//! A cell that a spreadsheet would take for a formula gets an apostrophe before it, which import takes away again.
use super::RecordError;
use super::entry::{ActiveUsed, Application, Entry, Observation, Product, Seeding, What, Withdrawal};
use super::portable::{Portable, portable};
use jiff::civil::{Date, Time};
use rust_decimal::Decimal;
use std::collections::{BTreeMap, BTreeSet};

/// Columns in order; the further items of treatments follow as columns of their own.
pub const COLUMNS: [&str; 27] = [
    "uid", "kind", "date", "recorded-on", "corrects", "about", "why", "lawn", "place", "turf", "weed-target", "area-treated",
    "start-time", "end-time", "product", "product-name", "registration-number", "rate-per-unit", "amount-product-total",
    "active-common-name", "active-rate", "weed", "control-percent", "injury-percent", "injury", "resistance-suspected", "remarks",
];

type Cells = BTreeMap<String, String>;

/// Characters with which a spreadsheet begins a formula, in the usual and the full-width form.
const FORMULA: [char; 8] = ['=', '+', '-', '@', '＝', '＋', '－', '＠'];

/// Makes a cell harmless: what would be a formula becomes text.
#[must_use]
pub fn harmless(cell: &str) -> String {
    if is_formula(cell.trim_start_matches('\'')) {
        format!("'{cell}")
    } else {
        cell.to_owned()
    }
}

/// The cell as it was before [`harmless`].
#[must_use]
pub fn plain_cell(cell: &str) -> &str {
    match cell.strip_prefix('\'') {
        Some(rest) if is_formula(rest.trim_start_matches('\'')) => rest,
        _ => cell,
    }
}

fn is_formula(cell: &str) -> bool {
    cell.trim_start().starts_with(FORMULA)
}

/// The table of all entries, with a header.
///
/// # Errors
/// None that is known; the table is written to memory.
pub fn to_csv(entries: &[Entry]) -> Result<String, RecordError> {
    let entries = portable(entries);
    let items: BTreeSet<String> = entries
        .iter()
        .filter_map(|e| match &e.what {
            What::Application(a) => Some(a.items.keys().cloned()),
            _ => None,
        })
        .flatten()
        .collect();
    let header: Vec<&str> = COLUMNS.into_iter().chain(items.iter().map(String::as_str)).collect();
    let fail = |e: csv::Error| RecordError::Page(e.to_string());
    let mut out = csv::Writer::from_writer(Vec::new());
    out.write_record(&header).map_err(fail)?;
    for row in entries.iter().flat_map(rows) {
        let cells = header.iter().map(|column| row.get(*column).map_or_else(String::new, |cell| harmless(cell)));
        out.write_record(cells).map_err(fail)?;
    }
    let bytes = out.into_inner().map_err(|e| RecordError::Page(e.to_string()))?;
    String::from_utf8(bytes).map_err(|e| RecordError::Page(e.to_string()))
}

fn rows(entry: &Portable) -> Vec<Cells> {
    let mut cells = Cells::new();
    let mut put = |column: &str, text: Option<String>| {
        if let Some(text) = text {
            cells.insert(column.to_owned(), text);
        }
    };
    put("uid", Some(entry.uid.clone()));
    put("kind", Some(entry.what.kind().to_owned()));
    put("date", Some(entry.what.date().to_string()));
    put("recorded-on", Some(entry.recorded_on.to_string()));
    put("corrects", entry.corrects.clone());
    put("about", entry.about.clone());
    put("why", entry.why.clone());
    put("lawn", entry.what.lawn().map(str::to_owned));
    match &entry.what {
        What::Application(a) => {
            put("place", a.place.clone());
            put("turf", words(&a.turf));
            put("weed-target", words(&a.weeds));
            put("area-treated", a.area.clone());
            put("start-time", a.start_time.map(|t| t.to_string()));
            put("end-time", a.end_time.map(|t| t.to_string()));
            put("remarks", a.remarks.clone());
            for (name, text) in &a.items {
                put(name, Some(text.clone()));
            }
            return product_rows(&cells, &a.products);
        }
        What::Observation(o) => {
            put("weed", o.weed.clone());
            put("control-percent", o.control_percent.map(|p| p.to_string()));
            put("injury-percent", o.injury_percent.map(|p| p.to_string()));
            put("injury", o.injury.clone());
            put("resistance-suspected", o.resistance_suspected.then(|| "yes".to_owned()));
            put("remarks", o.remarks.clone());
        }
        What::Seeding(s) => {
            put("turf", words(&s.turf));
            put("remarks", s.remarks.clone());
        }
        What::Withdrawal(_) => {}
    }
    vec![cells]
}

fn product_rows(entry: &Cells, products: &[Product]) -> Vec<Cells> {
    let mut all = Vec::new();
    for (index, product) in products.iter().enumerate() {
        for used in &product.actives {
            let mut row = entry.clone();
            let columns = [
                ("product", Some((index + 1).to_string())),
                ("product-name", product.name.clone()),
                ("registration-number", product.registration.clone()),
                ("rate-per-unit", product.rate.clone()),
                ("amount-product-total", product.total.clone()),
                ("active-common-name", Some(used.active.clone())),
                ("active-rate", used.rate.map(|r| r.to_string())),
            ];
            row.extend(columns.into_iter().filter_map(|(column, cell)| Some((column.to_owned(), cell?))));
            all.push(row);
        }
    }
    all
}

fn words(ids: &[String]) -> Option<String> {
    (!ids.is_empty()).then(|| ids.join(" "))
}

/// Entries from a table with a header. Columns may stand in any order; a row without a `uid` gets one from what it says, so
/// that the same table can be imported twice.
///
/// # Errors
/// The first cell that cannot be read, with its line and column.
pub fn from_csv(text: &str) -> Result<Vec<Portable>, RecordError> {
    let mut input = csv::ReaderBuilder::new().from_reader(text.trim_start_matches('\u{feff}').as_bytes());
    let header = input.headers().map_err(|e| bad(1, &e.to_string()))?.clone();
    let mut seen = BTreeSet::new();
    for column in &header {
        if !seen.insert(column) {
            return Err(bad(1, &format!("there are two columns `{column}`")));
        }
    }
    for needed in ["kind", "date"] {
        if !seen.contains(needed) {
            return Err(bad(1, &format!("the column `{needed}` is missing; the first line names the columns")));
        }
    }
    let mut entries: Vec<Portable> = Vec::new();
    for record in input.records() {
        let record = record.map_err(|e| bad(e.position().map_or(0, csv::Position::line), &e.to_string()))?;
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

    fn parsed<T>(&self, column: &str, example: &str, read: impl Fn(&str) -> Option<T>) -> Result<Option<T>, RecordError> {
        let Some(cell) = self.cells.get(column) else { return Ok(None) };
        let value = read(cell).ok_or_else(|| bad(self.line, &format!("{column}: `{cell}` cannot be read; write it as {example}")))?;
        Ok(Some(value))
    }

    fn day(&self, column: &str) -> Result<Option<Date>, RecordError> {
        // The parser also takes 20260510 and drops times; one form is enough.
        self.parsed(column, "2026-05-10", |cell| cell.parse::<Date>().ok().filter(|d| d.to_string() == cell))
    }

    fn time(&self, column: &str) -> Result<Option<Time>, RecordError> {
        self.parsed(column, "07:30", |cell| cell.parse().ok())
    }

    fn percent(&self, column: &str) -> Result<Option<Decimal>, RecordError> {
        self.parsed(column, "85", |cell| Decimal::from_str_exact(cell).ok())
    }

    fn entry(&self) -> Result<Portable, RecordError> {
        let date = self.day("date")?.ok_or_else(|| bad(self.line, "the date is missing"))?;
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
                let why = format!("kind: `{other}` is not application, observation, seeding or withdrawal");
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
        let bytes = self.cells.iter().flat_map(|(column, cell)| [column.as_bytes(), b"=", cell.as_bytes(), b"\x1f"].concat());
        let hash = bytes.fold(0x6c62_272e_07bb_0142_62b8_2175_6295_c58d_u128, |hash, byte| {
            (hash ^ u128::from(byte)).wrapping_mul(0x0100_0000_0000_0000_0000_013B)
        });
        format!("row-{hash:032x}")
    }

    fn application(&self, date: Date) -> Result<Application, RecordError> {
        let rate = self.text("active-rate").map(|cell| cell.parse()).transpose();
        let rate = rate.map_err(|e: super::BadRate| bad(self.line, &format!("active-rate: {e}")))?;
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
                actives: self.text("active-common-name").into_iter().map(|active| ActiveUsed { active, rate }).collect(),
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
        let (What::Application(into), What::Application(from)) = (&mut last.what, &mut next.what) else {
            return Err(bad(self.line, "its uid is that of the row before, and only treatments have several rows"));
        };
        let product = from.products.pop();
        let mut same = into.clone();
        same.products.clear();
        if same != *from {
            return Err(bad(self.line, "it belongs to the treatment of the row before but says something else"));
        }
        let number = self.parsed("product", "1", |cell| cell.parse::<usize>().ok())?.unwrap_or(1);
        let Some(product) = product else { return Ok(()) };
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
    use proptest::prelude::*;

    #[test]
    fn no_cell_is_a_formula() {
        for cell in ["=1+1", "+1", "-1", "@SUM(A1)", " =1", "\t=1", "＝1", "'=1", "''=1"] {
            let safe = harmless(cell);
            assert!(safe.starts_with('\''), "{cell}");
            assert_eq!(plain_cell(&safe), cell);
        }
        for cell in ["", "a=1", "'tis", "5 lb"] {
            assert_eq!(harmless(cell), cell);
            assert_eq!(plain_cell(cell), cell);
        }
    }

    proptest! {
        #[test]
        fn a_harmless_cell_comes_back_as_it_was(cell in "['=+@ \\-a-c]{0,8}|\\PC{0,20}") {
            let safe = harmless(&cell);
            prop_assert!(!is_formula(&safe));
            prop_assert_eq!(plain_cell(&safe), cell);
        }
    }

    #[test]
    fn faults_of_a_table_are_told_with_their_line() {
        let told = |text: &str| from_csv(text).expect_err(text).to_string();
        assert!(told("kind,kind\n").contains("two columns"));
        assert!(told("kind\nseeding\n").contains("`date` is missing"));
        assert!(told("kind,date\nseeding,2026-05-10\nmowing,2026-05-11\n").contains("line 3: kind: `mowing`"));
        assert!(told("kind,date\nseeding,20260510\n").contains("write it as 2026-05-10"));
        assert!(told("kind,date\nseeding,2026-05-10,x\n").contains("line 2"));
        assert!(told("kind,date,active-rate\napplication,2026-05-10,much\n").contains("active-rate: `much`"));
    }

    #[test]
    fn a_row_without_a_name_gets_the_same_one_each_time() {
        let table = "date,kind,lawn\n2026-05-10,seeding,front\n";
        assert_eq!(from_csv(table).expect("good"), from_csv(table).expect("good"));
        // FNV-1a, 128 bits: the offset basis is the value of no bytes at all (draft-eastlake-fnv, section 5).
        let none = RowIn { line: 1, cells: Cells::new() };
        assert_eq!(none.name(), "row-6c62272e07bb014262b821756295c58d");
    }
}
