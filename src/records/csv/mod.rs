//! The record as a table for a spreadsheet, and back. One row for each active; what belongs to the whole entry stands in
//! each of its rows.
//!
//! A cell that a spreadsheet would take for a formula gets an apostrophe before it, which import takes away again.
mod read;

use super::RecordError;
use super::entry::{Entry, Product, What};
use super::portable::{Portable, portable};
use std::collections::{BTreeMap, BTreeSet};

pub use read::from_csv;

/// Columns in order; the further items of treatments follow as columns of their own.
pub const COLUMNS: [&str; 27] = [
    "uid",
    "kind",
    "date",
    "recorded-on",
    "corrects",
    "about",
    "why",
    "lawn",
    "place",
    "turf",
    "weed-target",
    "area-treated",
    "start-time",
    "end-time",
    "product",
    "product-name",
    "registration-number",
    "rate-per-unit",
    "amount-product-total",
    "active-common-name",
    "active-rate",
    "weed",
    "control-percent",
    "injury-percent",
    "injury",
    "resistance-suspected",
    "remarks",
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
    let header: Vec<&str> = COLUMNS
        .into_iter()
        .chain(items.iter().map(String::as_str))
        .collect();
    let fail = |e: csv::Error| RecordError::Page(e.to_string());
    let mut out = csv::Writer::from_writer(Vec::new());
    out.write_record(&header).map_err(fail)?;
    for row in entries.iter().flat_map(rows) {
        let cells = header.iter().map(|column| {
            row.get(*column)
                .map_or_else(String::new, |cell| harmless(cell))
        });
        out.write_record(cells).map_err(fail)?;
    }
    let bytes = out
        .into_inner()
        .map_err(|e| RecordError::Page(e.to_string()))?;
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
            put(
                "resistance-suspected",
                o.resistance_suspected.then(|| "yes".to_owned()),
            );
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
            row.extend(
                columns
                    .into_iter()
                    .filter_map(|(column, cell)| Some((column.to_owned(), cell?))),
            );
            all.push(row);
        }
    }
    all
}

fn words(ids: &[String]) -> Option<String> {
    (!ids.is_empty()).then(|| ids.join(" "))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn no_cell_is_a_formula() {
        for cell in [
            "=1+1", "+1", "-1", "@SUM(A1)", " =1", "\t=1", "＝1", "'=1", "''=1",
        ] {
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
}
