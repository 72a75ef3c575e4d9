//! Days and lists as they are printed.
use jiff::civil::Date;

/// `7 May 2026`.
#[must_use]
pub fn day(date: Date) -> String {
    date.strftime("%-d %B %Y").to_string()
}

/// `7 May 2026`, `7 to 9 May 2026`, `30 May to 2 June 2026`.
#[must_use]
pub fn days(from: Date, to: Date) -> String {
    if from == to {
        return day(from);
    }
    let first = match (from.year() == to.year(), from.month() == to.month()) {
        (true, true) => from.strftime("%-d").to_string(),
        (true, false) => from.strftime("%-d %B").to_string(),
        (false, _) => day(from),
    };
    format!("{first} to {}", day(to))
}

/// The first of some things, and how many were left out.
#[must_use]
pub fn some_of<T: Clone>(items: &[T], most: usize) -> (Vec<T>, usize) {
    // Leaving out a single one saves no line: the note about it takes as much room.
    let most = if items.len() == most + 1 {
        most + 1
    } else {
        most
    };
    (
        items.iter().take(most).cloned().collect(),
        items.len().saturating_sub(most),
    )
}

/// The sentence with a capital and a full stop.
#[must_use]
pub fn sentence(text: &str) -> String {
    let text = text.trim();
    let stop = if text.is_empty() || text.ends_with(['.', '!', '?', ')']) {
        ""
    } else {
        "."
    };
    format!("{}{stop}", crate::words::capital(text))
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    #[test]
    fn spans_of_days_say_nothing_twice() {
        assert_eq!(days(date(2026, 5, 7), date(2026, 5, 7)), "7 May 2026");
        assert_eq!(days(date(2026, 5, 7), date(2026, 5, 9)), "7 to 9 May 2026");
        assert_eq!(
            days(date(2026, 5, 30), date(2026, 6, 2)),
            "30 May to 2 June 2026"
        );
        assert_eq!(
            days(date(2026, 12, 30), date(2027, 1, 2)),
            "30 December 2026 to 2 January 2027"
        );
    }

    #[test]
    fn one_more_is_printed_instead_of_counted() {
        assert_eq!(some_of(&[1, 2, 3], 2), (vec![1, 2, 3], 0));
        assert_eq!(some_of(&[1, 2, 3, 4], 2), (vec![1, 2], 2));
        assert_eq!(some_of::<u8>(&[], 2), (vec![], 0));
    }

    #[test]
    fn sentences_begin_and_end() {
        assert_eq!(sentence("mow high"), "Mow high.");
        assert_eq!(sentence("Ärger? (no)"), "Ärger? (no)");
        assert_eq!(sentence(" "), "");
    }
}
