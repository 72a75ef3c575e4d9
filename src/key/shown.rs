//! The rows of one trait from what the knowledge says that each taxon shows.
use super::observe::{self, Confusion};
use crate::knowledge::form::plant::{Shows, Trait};

/// Rows of the taxa over the `k` answer classes of a trait; `None` for a taxon of which nothing usable is said.
pub fn rows_shown(
    one: &Trait,
    shows: &[Option<&Shows>],
    k: usize,
    cuts: &[f64],
    confusion: &Confusion<'_>,
) -> Vec<Option<Vec<f64>>> {
    let weights: Vec<Option<Vec<(usize, f64)>>> = shows
        .iter()
        .map(|shows| Some(weights(one, (*shows)?)).filter(|w| !w.is_empty()))
        .collect();
    // One plant of which more than a case was counted shows that the figures of this trait are counts, so that a plant
    // of which a single case was counted is not taken for one that always shows that.
    let counted = weights.iter().flatten().any(|w| observe::are_counts(w));
    let counts: Vec<Option<Vec<(usize, f64)>>> = weights
        .into_iter()
        .map(|w| w.filter(|w| counted && (observe::are_whole(w) || observe::are_counts(w))))
        .collect();
    // All counts of the book together, and one of each state so that none is impossible.
    let mut mean = vec![1.0; k];
    for &(state, n) in counts.iter().flatten().flatten() {
        mean[state] += n;
    }
    let total: f64 = mean.iter().sum();
    for share in &mut mean {
        *share /= total;
    }
    shows
        .iter()
        .zip(counts)
        .map(|(shows, counts)| match counts {
            Some(counts) => Some(observe::row_of_counts(&counts, &mean)),
            None => row(one, (*shows)?, k, cuts, confusion),
        })
        .collect()
}

/// Number of a state of the trait.
pub fn state_index(one: &Trait, state: &str) -> Option<usize> {
    one.states.iter().position(|s| s.id == state)
}

/// Each once, in their order: what is named twice counts once.
pub fn unique<T: PartialEq>(all: impl Iterator<Item = T>) -> Vec<T> {
    let mut found = Vec::new();
    for one in all {
        if !found.contains(&one) {
            found.push(one);
        }
    }
    found
}

/// The row of what a taxon shows where nothing was counted.
fn row(
    one: &Trait,
    shows: &Shows,
    k: usize,
    cuts: &[f64],
    confusion: &Confusion<'_>,
) -> Option<Vec<f64>> {
    if shows.is.iter().any(|s| s == "na") {
        return Some(observe::row_not_applicable(k));
    }
    if let Some([from, to]) = shows.range {
        return Some(observe::row_of_range(from.0, to.0, cuts, confusion.error));
    }
    let indexes = |states: &[String]| unique(states.iter().filter_map(|s| state_index(one, s)));
    let mut all = observe::weigh(&indexes(&shows.is), &indexes(&shows.sometimes));
    all.extend(weights(one, shows));
    (!all.is_empty()).then(|| observe::row_of_states(k, &all, confusion))
}

/// The weights that the book gives to the states of a trait, those of nothing left out.
fn weights(one: &Trait, shows: &Shows) -> Vec<(usize, f64)> {
    shows
        .weights
        .iter()
        .filter_map(|(state, weight)| Some((state_index(one, state)?, weight.0)))
        .filter(|(_, weight)| *weight > 0.0)
        .collect()
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "tests")]
mod tests {
    use super::*;

    const TRAIT: &str = "{id: sap, question: q, help: h, kind: one, effort: glance, error: 0, source: memory, \
        states: [{id: clear}, {id: milky}, {id: red}]}";

    fn rows(shows: &[&str]) -> Vec<Option<Vec<f64>>> {
        let one: Trait = serde_yaml::from_str(TRAIT).unwrap();
        let shows: Vec<Shows> = shows
            .iter()
            .map(|text| serde_yaml::from_str(text).unwrap())
            .collect();
        let shows: Vec<Option<&Shows>> = shows.iter().map(Some).collect();
        let confusion = Confusion {
            error: 0.0,
            mistaken_for: &[vec![], vec![], vec![]],
        };
        rows_shown(&one, &shows, 3, &[], &confusion)
    }

    #[test]
    fn a_single_case_is_a_count_where_others_were_counted() {
        let counted = rows(&[
            "{weights: {clear: 6, milky: 4}, source: memory}",
            "{weights: {red: 1}, source: memory}",
        ]);
        let single = counted[1].as_ref().unwrap();
        // One case of red, and a twentieth of the mean of the book: 7, 5 and 2 of 14.
        assert!(
            (single[0] - 0.05 * 7.0 / 14.0 / 1.05).abs() < 1e-12,
            "{single:?}"
        );
        assert!((single.iter().sum::<f64>() - 1.0).abs() < 1e-12);
        // Alone it is a share: the plant always shows it, but for the slip that is always reckoned with.
        let alone = rows(&["{weights: {red: 1}, source: memory}"]);
        assert!((alone[0].as_ref().unwrap()[2] - 0.995).abs() < 1e-12);
    }

    #[test]
    fn shares_beside_counts_stay_shares() {
        let mixed = rows(&[
            "{weights: {clear: 6, milky: 4}, source: memory}",
            "{weights: {clear: 0.5, red: 0.5}, source: memory}",
        ]);
        let shares = mixed[1].as_ref().unwrap();
        assert!(
            (shares[0] - (0.5 * 0.995 + 0.5 * 0.0025)).abs() < 1e-12,
            "{shares:?}"
        );
    }
}
