//! Which step and which plant stands on which sheet of paper, so that a printed key can say "go to 31, page 4".
//!
//! A sheet has columns of a number of lines. What is put on it is kept whole; its lines are counted beforehand, a little
//! generously, because a printer breaks lines where it likes.

/// Where things stand: for each column its things, by their places in the list that was packed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Sheets {
    /// Sheets of columns of things.
    pub sheets: Vec<Vec<Vec<usize>>>,
}

impl Sheets {
    /// Packs things of these heights, in order, into sheets of `columns` columns of `lines` lines. A thing that is
    /// higher than a column has one for itself.
    pub fn pack(heights: &[usize], columns: usize, lines: usize) -> Self {
        let mut sheets: Vec<Vec<Vec<usize>>> = Vec::new();
        let mut full = lines;
        for (thing, &height) in heights.iter().enumerate() {
            if full + height > lines {
                match sheets.last_mut() {
                    Some(sheet) if sheet.len() < columns => sheet.push(Vec::new()),
                    _ => sheets.push(vec![Vec::new()]),
                }
                full = 0;
            }
            if let Some(column) = sheets.last_mut().and_then(|s| s.last_mut()) {
                column.push(thing);
            }
            full += height;
        }
        Self { sheets }
    }

    /// The sheet of a thing, from 0.
    pub fn of(&self, thing: usize) -> Option<usize> {
        self.sheets
            .iter()
            .position(|sheet| sheet.iter().any(|column| column.contains(&thing)))
    }
}

/// Lines that a text takes in a column of this width.
pub(super) fn lines_of(text: &str, width: usize) -> usize {
    let mut lines = 1;
    let mut used = 0;
    for word in text.split_whitespace() {
        let long = word.chars().count();
        if used > 0 && used + 1 + long > width {
            lines += 1;
            used = 0;
        }
        used += long + usize::from(used > 0);
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn things_stay_whole_and_in_order() {
        let packed = Sheets::pack(&[5, 5, 3, 9, 30, 2], 2, 10);
        assert_eq!(
            packed.sheets,
            vec![
                vec![vec![0, 1], vec![2]],
                vec![vec![3], vec![4]],
                vec![vec![5]]
            ]
        );
        assert_eq!(
            (packed.of(0), packed.of(4), packed.of(5)),
            (Some(0), Some(1), Some(2))
        );
        assert_eq!(packed.of(6), None);
        assert_eq!(Sheets::pack(&[], 2, 10).sheets.len(), 0);
    }

    #[test]
    fn lines_are_broken_between_words() {
        assert_eq!(lines_of("", 10), 1);
        assert_eq!(lines_of("one two", 7), 1);
        assert_eq!(lines_of("one two", 6), 2);
        assert_eq!(lines_of("a-word-longer-than-the-column x", 10), 2);
    }
}
