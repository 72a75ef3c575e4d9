//! Months as a strip and in words.
use super::page::{Line, Strip};
use super::pen::Pen;
use crate::choose::month_name;
use crate::knowledge::fact::with_note;
use crate::knowledge::form::common::Months;
use crate::words::and_list;

/// A strip of the year, where the book has the months.
pub fn strip(pen: &mut Pen<'_>, label: &str, months: Option<&Months>) -> Option<Strip> {
    let months = months?;
    let text = with_note(&words(&months.months), months.note.as_deref());
    Some(Strip {
        label: label.to_owned(),
        months: (1..=12).map(|m| months.months.contains(&m)).collect(),
        line: pen.words(text, &months.source),
    })
}

/// Strips whose book has months.
pub fn strips<'m>(
    pen: &mut Pen<'_>,
    all: impl IntoIterator<Item = (&'m str, Option<&'m Months>)>,
) -> Vec<Strip> {
    all.into_iter()
        .filter_map(|(label, months)| strip(pen, label, months))
        .collect()
}

/// `April to June and September`; runs go around the turn of the year.
#[must_use]
pub fn words(months: &[u8]) -> String {
    let has = |m: u8| months.contains(&m);
    let before = |m: u8| if m == 1 { 12 } else { m - 1 };
    let after = |m: u8| if m == 12 { 1 } else { m + 1 };
    if (1..=12).all(has) {
        return "all year".to_owned();
    }
    let runs: Vec<String> = (1..=12)
        .filter(|&m| has(m) && !has(before(m)))
        .map(|first| {
            let mut last = first;
            while has(after(last)) {
                last = after(last);
            }
            if first == last {
                month_name(first).to_owned()
            } else {
                format!("{} to {}", month_name(first), month_name(last))
            }
        })
        .collect();
    and_list(&runs)
}

/// A line that says that months are not known.
#[must_use]
pub fn unknown() -> Line {
    Line::plain("The book does not say in which months it grows or flowers.")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn months_read_as_runs_around_the_year() {
        assert_eq!(words(&[4, 5, 6, 9]), "April to June and September");
        assert_eq!(words(&[11, 12, 1, 2]), "November to February");
        assert_eq!(words(&[1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12]), "all year");
        assert_eq!(words(&[]), "");
    }
}
