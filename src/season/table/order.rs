//! Rows in order of time: doubles, changed clocks, gaps.
use super::columns::Column;
use super::{Finding, Row, Step};
use jiff::ToSpan;
use jiff::civil::DateTime;
use std::borrow::Cow;

pub fn in_order(mut rows: Vec<Row>, step: Step, found: &mut Vec<Finding>) -> Vec<Row> {
    if let Some(pair) = rows.windows(2).find(|w| w[0].seconds() > w[1].seconds()) {
        found.push(Finding {
            code: "out-of-order",
            line: pair[1].line,
            message: format!(
                "{} comes after {}; the rows were sorted by time",
                pair[1].at, pair[0].at
            ),
        });
    }
    let known = rows.iter().filter(|r| r.offset.is_some()).count();
    if known != 0 && known != rows.len() {
        found.push(Finding {
            code: "offset-missing",
            line: 0,
            message: format!(
                "{known} of {} rows state an offset; those without are taken as they stand",
                rows.len()
            ),
        });
    }
    rows.sort_by_key(Row::seconds);
    for pair in rows.windows(2) {
        if let (Some(a), Some(b)) = (pair[0].offset, pair[1].offset)
            && a != b
        {
            found.push(Finding { code: "changed-offset", line: pair[1].line, message: format!("the offset changes from {a} to {b}; hours are counted on, and days are the local ones") });
        }
    }
    let mut kept: Vec<Row> = Vec::with_capacity(rows.len());
    for row in rows {
        if let Some(last) = kept.last()
            && last.seconds() == row.seconds()
        {
            let clock = if step == Step::Hourly && row.offset.is_none() {
                " (a clock set back? state the offset)"
            } else {
                ""
            };
            found.push(Finding {
                code: "twice",
                line: row.line,
                message: format!(
                    "{} stands here and in line {}{clock}; the first one counts",
                    row.at, last.line
                ),
            });
            continue;
        }
        kept.push(row);
    }
    kept
}

pub fn gaps(rows: &[Row], step: Step, columns: &[Column], found: &mut Vec<Finding>) {
    let width = if step == Step::Daily { 86400 } else { 3600 };
    let word = if step == Step::Daily { "day" } else { "hour" };
    for pair in rows.windows(2) {
        let missing = (pair[1].seconds() - pair[0].seconds()) / width - 1;
        if missing < 1 {
            continue;
        }
        let mut why = Cow::Borrowed("");
        if step == Step::Hourly && missing == 1 && pair[1].offset.is_none() {
            why = Cow::Borrowed(" (a clock set forward? state the offset)");
        }
        let leap = pair[0].at.date().saturating_add(1.day());
        if step == Step::Daily && missing == 1 && (leap.month(), leap.day()) == (2, 29) {
            why = Cow::Owned(format!(" (29 February {} is left out)", leap.year()));
        }
        let s = if missing == 1 { "" } else { "s" };
        let shown = |at: DateTime| {
            if step == Step::Daily {
                at.date().to_string()
            } else {
                at.to_string()
            }
        };
        found.push(Finding {
            code: "gap",
            line: pair[1].line,
            message: format!(
                "{missing} {word}{s} missing between {} and {}{why}",
                shown(pair[0].at),
                shown(pair[1].at)
            ),
        });
    }
    for (_, quantity, _) in columns {
        let without: Vec<u64> = rows
            .iter()
            .filter(|r| !r.values.contains_key(quantity))
            .map(|r| r.line)
            .collect();
        if let Some(first) = without.first() {
            found.push(Finding {
                code: "missing-value",
                line: *first,
                message: format!(
                    "{} is missing in {} of {} rows, first here",
                    quantity.name(),
                    without.len(),
                    rows.len()
                ),
            });
        }
    }
}
