//! The distinct rows of a trait, with those of taxa of which nothing is recorded.
//!
//! Where nothing is recorded of a taxon and a trait, its row is the mean of the kind, `ū_g`; such a row is never told as
//! something that the book says of the plant. With n rows r recorded of the kind and m the mean of the whole book, made
//! in the same way from an even row:
//!
//! ```text
//! ū_g = (b m + Σ r) / (b + n),   m = (b / K + Σ_all r) / (b + N),   b = BORROWED
//! ```
use super::belief::row_of_unknown;
use super::book::{Head, KeyTrait};
use super::observe::float;
use std::collections::HashMap;

/// A mean of few rows borrows from a wider one as if it had seen this many more.
const BORROWED: f64 = 4.0;

/// Puts rows of single taxa together: fills unknown ones from their kind and numbers the distinct ones.
///
/// `strangers` gives, for each kind, the row of an unknown plant where it is not to be taken from the mean of the kind.
pub fn assemble(
    head: Head,
    known: Vec<Option<Vec<f64>>>,
    kind_of_taxa: &[usize],
    strangers: &[Option<Vec<f64>>],
) -> KeyTrait {
    let k = if head.cuts.is_empty() {
        head.states.len()
    } else {
        head.cuts.len() + 1
    };
    let mut rows = Rows::default();
    let everything = mean(k, known.iter().flatten());
    let mut unknown_rows = Vec::with_capacity(strangers.len());
    let mut fill = Vec::with_capacity(strangers.len());
    for (kind, stranger) in strangers.iter().enumerate() {
        let of_kind = kind_of_taxa
            .iter()
            .zip(&known)
            .filter(|(of, _)| **of == kind)
            .filter_map(|(_, row)| row.as_ref());
        let pooled = pool(k, of_kind, &everything);
        let unknown = stranger.clone().unwrap_or_else(|| row_of_unknown(&pooled));
        fill.push(rows.apart(pooled));
        unknown_rows.push(rows.apart(unknown));
    }
    let cells: Vec<u32> = known
        .into_iter()
        .zip(kind_of_taxa)
        .map(|(row, kind)| row.map_or(fill[*kind], |row| rows.number(row)))
        .collect();
    let mut recorded = vec![0.0; rows.list.len()];
    for cell in cells.iter().filter(|cell| !fill.contains(cell)) {
        recorded[*cell as usize] += 1.0;
    }
    KeyTrait {
        id: head.id,
        states: head.states,
        cuts: head.cuts,
        unit: head.unit,
        effort: head.effort,
        error: head.error,
        asked_of: head.asked_of,
        typical_log: 0.0,
        rows: rows.list,
        recorded,
        cells,
        unknown_rows,
    }
    .with_typical_log()
}

fn mean<'a>(k: usize, rows: impl Iterator<Item = &'a Vec<f64>>) -> Vec<f64> {
    pool(k, rows, &vec![1.0 / float(k.max(1)); k])
}

/// Mean of `rows` with a share of `prior` worth [`BORROWED`] rows.
fn pool<'a>(k: usize, rows: impl Iterator<Item = &'a Vec<f64>>, prior: &[f64]) -> Vec<f64> {
    let mut sum: Vec<f64> = prior.iter().map(|p| p * BORROWED).collect();
    let mut count = BORROWED;
    for row in rows {
        for class in 0..k {
            sum[class] += row[class];
        }
        count += 1.0;
    }
    for p in &mut sum {
        *p /= count;
    }
    sum
}

/// Collects distinct rows.
#[derive(Default)]
struct Rows {
    list: Vec<Vec<f64>>,
    numbers: HashMap<Vec<u64>, u32>,
}

impl Rows {
    fn number(&mut self, row: Vec<f64>) -> u32 {
        let bits: Vec<u64> = row.iter().map(|p| p.to_bits()).collect();
        *self.numbers.entry(bits).or_insert_with(|| {
            self.list.push(row);
            u32::try_from(self.list.len() - 1).unwrap_or(u32::MAX)
        })
    }

    /// A number of its own, whatever rows there are: what is only supposed must not be taken for what is recorded.
    fn apart(&mut self, row: Vec<f64>) -> u32 {
        self.list.push(row);
        u32::try_from(self.list.len() - 1).unwrap_or(u32::MAX)
    }
}
