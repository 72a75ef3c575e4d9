//! What an observer reports when a plant shows this or that: the rows of the book.
//!
//! For a trait with K answer classes a row gives, for every class s, the chance that a careful amateur who answers at
//! all answers s. With q(r) the chance that the plant at hand truly shows r, ε the trait's observer error and M(s|r)
//! the distribution of wrong reports of r:
//!
//! ```text
//! row(s) = (1 − ε) q(s) + ε Σ_r q(r) M(s|r)
//! ```
//!
//! M(·|r) spreads [`TO_MISTAKEN`] evenly over the states that the knowledge names as mistaken for r, and the rest evenly
//! over all states but r, those among them; all of it goes there where none is named. ε is at least [`LEAST_ERROR`]. q is the
//! weights of the states over their sum: 1 for the first under `is`, [`ALSO_USUAL`] for each other, [`SOMETIMES`] for each
//! under `sometimes`, or the shares that the book gives. A plant that cannot have the trait has the row
//! [`ANSWERS_ALTHOUGH_NA`] / K.
//! This is the usual "symmetric noise with a confusion list" observation model of Bayesian diagnosis.
//!
//! Where a book gives counts of what was reported (`weights` of a trait that for some plant sum to more than
//! [`SHARES_SUM_TO`]; whole numbers then are counts for the other plants too, fractions stay shares), the mistakes are in the
//! counts already: ε is not added, and a report that was never counted borrows from the mean m of all counts N of the book
//! as if [`UNCOUNTED`] of one more case had been seen (the Dirichlet prior of a multinomial; Good 1965):
//!
//! ```text
//! row(s) = (n_s + a m(s)) / (Σ n + a),   m(s) = (1 + N_s) / (K + Σ N),   a = UNCOUNTED
//! ```
//!
//! A measured range [a, b] is read as the middle nineteen twentieths of a log-normal distribution of sizes, widened by the error
//! of measuring σ = [`MEASURE_SIGMA`]: ln x ~ N( ½ ln ab, (ln(b/a) / 2·1.96)² + σ² ), and wrong measures fall on all classes
//! evenly, (1 − ε) q(s) + ε / K. Ends below [`NOTHING`] × the first cut are taken as that. Most plants are middling; with a
//! distribution flat from end to end the plants of the blind accounts got a smaller chance.

/// No answer is proof: an observer error below this is taken as this, or one slip would rule a plant out for good.
pub(super) const LEAST_ERROR: f64 = 0.005;
/// Share of wrong reports of a state that go to the states it is often mistaken for.
const TO_MISTAKEN: f64 = 0.6;
/// Weight of a further usual state and of one that is shown only now and then, beside 1 for the usual state named first.
const ALSO_USUAL: f64 = 0.6;
const SOMETIMES: f64 = 0.1;
/// Chance that somebody answers a question about a trait that the plant cannot have.
const ANSWERS_ALTHOUGH_NA: f64 = 0.15;
/// Standard deviation of measuring with a thumb or a ruler, on the natural-log scale: about a fifth.
const MEASURE_SIGMA: f64 = 0.2;
/// A printed range holds nineteen of twenty plants: it reaches this many standard deviations to both sides.
const RANGE_REACHES: f64 = 1.96;
/// Weights that sum to more than this are counts of reports, others are shares of what the plant shows.
const SHARES_SUM_TO: f64 = 1.5;
/// Cases that the mean of the book adds to the counts of a plant.
const UNCOUNTED: f64 = 0.05;
/// A range begins at this part of the first cut at least: logarithms need a floor.
const NOTHING: f64 = 0.05;

/// Wrong reports: for each state the states that it is mistaken for.
pub struct Confusion<'a> {
    /// Observer error ε, 0 to 0.5.
    pub error: f64,
    /// For each state the indexes of the states reported in its place.
    pub mistaken_for: &'a [Vec<usize>],
}

/// Weights of states that are usual, the most usual first, and of states that are shown now and then.
///
/// Counted on the answers of blind accounts (written from memory): of 296 to traits with two usual states two in three
/// named the first, and of 306 to traits with a state shown now and then one in thirty named that one.
#[must_use]
pub fn weigh(usual: &[usize], sometimes: &[usize]) -> Vec<(usize, f64)> {
    let place = |n: usize| if n == 0 { 1.0 } else { ALSO_USUAL };
    let usual = usual
        .iter()
        .enumerate()
        .map(|(n, &state)| (state, place(n)));
    usual
        .chain(sometimes.iter().map(|&state| (state, SOMETIMES)))
        .collect()
}

/// Row of a plant that shows each state (an index below `k`) as often as its weight says.
///
/// The row sums to 1. `k` must be at least 2, and the weights must have a positive sum.
#[must_use]
pub fn row_of_states(k: usize, weights: &[(usize, f64)], confusion: &Confusion<'_>) -> Vec<f64> {
    let error = confusion.error.max(LEAST_ERROR);
    let total: f64 = weights.iter().map(|(_, weight)| weight).sum();
    let mut row = vec![0.0; k];
    for &(state, weight) in weights {
        let q = weight / total;
        row[state] += (1.0 - error) * q;
        let wrong = error * q;
        let mistaken = confusion
            .mistaken_for
            .get(state)
            .map_or(&[][..], Vec::as_slice);
        let (near, far) = if mistaken.is_empty() {
            (0.0, 1.0)
        } else {
            (TO_MISTAKEN, 1.0 - TO_MISTAKEN)
        };
        for &other in mistaken {
            row[other] += wrong * near / float(mistaken.len());
        }
        for other in (0..k).filter(|&other| other != state) {
            row[other] += wrong * far / float(k - 1);
        }
    }
    row
}

/// Whether weights are counts of what was reported, in which the mistakes are held already.
#[must_use]
pub fn are_counts(weights: &[(usize, f64)]) -> bool {
    weights.iter().map(|(_, weight)| weight).sum::<f64>() > SHARES_SUM_TO
}

/// Whether weights are whole numbers, as counts are.
#[must_use]
pub fn are_whole(weights: &[(usize, f64)]) -> bool {
    weights.iter().all(|(_, weight)| weight.fract() == 0.0)
}

/// Row of a plant of which reports were counted; `mean` is what the book's plants give on average, summing to 1.
#[must_use]
pub fn row_of_counts(counts: &[(usize, f64)], mean: &[f64]) -> Vec<f64> {
    let total: f64 = counts.iter().map(|(_, n)| n).sum::<f64>() + UNCOUNTED;
    let mut row: Vec<f64> = mean.iter().map(|m| UNCOUNTED * m / total).collect();
    for &(state, n) in counts {
        row[state] += n / total;
    }
    row
}

/// Row of a plant to which the trait cannot apply: hardly anybody answers, and whoever does answers anything.
#[must_use]
pub fn row_not_applicable(k: usize) -> Vec<f64> {
    vec![ANSWERS_ALTHOUGH_NA / float(k); k]
}

/// Row over the answer classes of a number trait for a plant whose sizes run `from` to `to`.
#[must_use]
pub fn row_of_range(from: f64, to: f64, cuts: &[f64], error: f64) -> Vec<f64> {
    let error = error.max(LEAST_ERROR);
    let k = cuts.len() + 1;
    // The outer classes are open: the shares of all classes sum to 1.
    let floor = NOTHING * cuts.first().copied().unwrap_or(1.0);
    let ln = |x: f64| x.max(floor).ln();
    let bound = |class: usize| cuts.get(class).map_or(f64::INFINITY, |&cut| ln(cut));
    let mut below = 0.0;
    let mut row: Vec<f64> = (0..k)
        .map(|class| {
            let up_to = share_below(bound(class), ln(from), ln(to));
            let share = up_to - below;
            below = up_to;
            share
        })
        .collect();
    for p in &mut row {
        *p = (1.0 - error) * *p + error / float(k);
    }
    row
}

/// The answer class that a number falls into: the first whose upper end is not below it.
#[must_use]
pub fn class_of(x: f64, cuts: &[f64]) -> usize {
    cuts.partition_point(|&cut| cut < x)
}

/// Lower and upper end of a class. The open ends reach a factor of four beyond the outermost cuts.
#[must_use]
pub fn class_bounds(class: usize, cuts: &[f64]) -> (f64, f64) {
    let first = cuts.first().copied().unwrap_or(1.0);
    let last = cuts.last().copied().unwrap_or(1.0);
    let low = if class == 0 {
        first / 4.0
    } else {
        cuts[class - 1]
    };
    let high = cuts.get(class).copied().unwrap_or(last * 4.0);
    (low, high)
}

/// Share of the measures below `x` on a plant whose sizes run `from` to `to`, all as logarithms: the normal distribution
/// function of the head of this file.
fn share_below(x: f64, from: f64, to: f64) -> f64 {
    let sigma = (0.5 * (to - from) / RANGE_REACHES).hypot(MEASURE_SIGMA);
    let away = (x - f64::midpoint(from, to)) / sigma;
    0.5 * libm::erfc(-away / std::f64::consts::SQRT_2)
}

/// A count as a number; counts here are far below 2^53.
#[expect(
    clippy::cast_precision_loss,
    reason = "counts of states and taxa are far below 2^53"
)]
pub(crate) fn float(count: usize) -> f64 {
    count as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sum(row: &[f64]) -> f64 {
        row.iter().sum()
    }

    #[test]
    fn rows_of_states_are_distributions_and_confusion_goes_where_the_book_says() {
        let confusion = Confusion {
            error: 0.1,
            mistaken_for: &[vec![1], vec![], vec![]],
        };
        let row = row_of_states(3, &weigh(&[0], &[]), &confusion);
        assert!((sum(&row) - 1.0).abs() < 1e-12);
        assert!((row[0] - 0.9).abs() < 1e-12);
        assert!((row[1] - (0.06 + 0.02)).abs() < 1e-12, "{row:?}");
        assert!((row[2] - 0.02).abs() < 1e-12);
    }

    #[test]
    fn a_state_shown_now_and_then_weighs_less() {
        let confusion = Confusion {
            error: 0.2,
            mistaken_for: &[],
        };
        let row = row_of_states(3, &weigh(&[0], &[2]), &confusion);
        // Without its mistakes, half of 0.2 to each other state, the row is as the weights.
        let shown = |s: usize| (row[s] - 0.1) / 0.7;
        assert!((shown(0) / shown(2) - 1.0 / SOMETIMES).abs() < 1e-9);
        assert!(shown(1).abs() < 1e-12);
    }

    #[test]
    fn numbers_are_soft_at_the_edges_and_classes_follow_the_range() {
        let cuts = [1.0, 2.0, 4.0, 8.0];
        assert_eq!(class_of(2.0, &cuts), 1);
        assert_eq!(class_of(2.1, &cuts), 2);
        assert_eq!(class_of(100.0, &cuts), 4);
        let row = row_of_range(3.0, 7.0, &cuts, 0.05);
        assert!((sum(&row) - 1.0).abs() < 1e-9);
        assert!(
            row[3] > row[1] && row[2] > row[1] && row[1] > row[0],
            "{row:?}"
        );
    }

    /// Φ(1.96) = 0.975, Φ(1) = 0.8413, from any table of the normal distribution.
    #[test]
    fn nineteen_of_twenty_sizes_lie_in_a_wide_range_and_halves_meet_at_its_middle() {
        // So wide a range that the error of measuring hardly counts.
        let (from, to) = (0.1_f64.ln(), 1000.0_f64.ln());
        assert!((share_below(to, from, to) - 0.975).abs() < 1e-3);
        assert!((share_below(f64::midpoint(from, to), from, to) - 0.5).abs() < 1e-12);
        // A single printed size: only the error of measuring is left.
        let at = 8.0_f64.ln();
        assert!((share_below(at + MEASURE_SIGMA, at, at) - 0.841_345).abs() < 1e-6);
    }

    #[test]
    fn sizes_beyond_every_class_fall_into_the_last() {
        let row = row_of_range(4000.0, 4000.0, &[1.0, 2.0], 0.0);
        assert!(row[2] > 0.99 && row[0] > 0.0 && (sum(&row) - 1.0).abs() < 1e-12);
    }

    #[test]
    fn no_answer_rules_a_plant_out() {
        let confusion = Confusion {
            error: 0.0,
            mistaken_for: &[],
        };
        let row = row_of_states(3, &[(1, 1.0)], &confusion);
        assert!((row[0] - LEAST_ERROR / 2.0).abs() < 1e-12 && (sum(&row) - 1.0).abs() < 1e-12);
    }

    #[test]
    fn counted_reports_hold_their_mistakes_already() {
        let mean = [0.5, 0.25, 0.25];
        let row = row_of_counts(&[(0, 9.0), (1, 1.0)], &mean);
        assert!((sum(&row) - 1.0).abs() < 1e-12);
        assert!(
            (row[2] - UNCOUNTED * 0.25 / (10.0 + UNCOUNTED)).abs() < 1e-12,
            "{row:?}"
        );
        assert!(are_counts(&[(0, 9.0), (1, 1.0)]) && !are_counts(&[(0, 0.9), (1, 0.1)]));
        assert!(are_whole(&[(0, 1.0)]) && !are_whole(&[(0, 0.9), (1, 0.1)]));
    }
}
