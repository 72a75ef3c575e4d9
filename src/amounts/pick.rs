//! Which products of the shelf make up the option that was chosen.

use crate::knowledge::Knowledge;
use crate::knowledge::form::common::Many;
use crate::lawn::check;
use crate::lawn::label::Label;
use crate::words::{nearest, plain};
use std::collections::BTreeSet;

/// At most this many products in one tank.
const MOST_PRODUCTS: usize = 3;

/// The fewest products whose actives together are exactly the chosen ones, none twice; places in `labels`.
/// Nothing where the shelf cannot make up the option.
#[must_use]
pub fn for_actives(
    book: &Knowledge,
    labels: &[Label<'_>],
    chosen: &[String],
) -> Option<Vec<usize>> {
    let wanted: BTreeSet<&str> = chosen.iter().map(String::as_str).collect();
    let sets: Vec<Option<BTreeSet<String>>> = labels
        .iter()
        .map(|label| check::actives(book, label).into_iter().collect())
        .collect();
    let usable: Vec<usize> = (0..labels.len())
        .filter(|&i| {
            sets[i]
                .as_ref()
                .is_some_and(|set| set.iter().all(|a| wanted.contains(a.as_str())))
        })
        .collect();
    (1..=MOST_PRODUCTS).find_map(|size| {
        let mut found = None;
        combinations(&usable, size, &mut Vec::new(), &mut |picked| {
            if found.is_some() {
                return;
            }
            let all: Vec<&String> = picked
                .iter()
                .filter_map(|&i| sets[i].as_ref())
                .flatten()
                .collect();
            let distinct: BTreeSet<&str> = all.iter().map(|a| a.as_str()).collect();
            if distinct == wanted && all.len() == wanted.len() {
                found = Some(picked.to_vec());
            }
        });
        found
    })
}

/// Products that hold at least one of the chosen actives.
#[must_use]
pub fn near(book: &Knowledge, labels: &[Label<'_>], chosen: &[String]) -> Vec<usize> {
    (0..labels.len())
        .filter(|&i| {
            check::actives(book, &labels[i])
                .iter()
                .flatten()
                .any(|a| chosen.contains(a))
        })
        .collect()
}

/// The products of these names.
///
/// # Errors
/// The first name that no product has, with the nearest.
pub fn named(labels: &[Label<'_>], names: &Many) -> Result<Vec<usize>, (String, Option<String>)> {
    let mut found = Vec::new();
    for name in names.iter() {
        let place = labels
            .iter()
            .position(|l| plain(&l.product.name) == plain(name))
            .ok_or_else(|| {
                let near = nearest(name, labels.iter().map(|l| l.product.name.as_str()));
                (name.clone(), near.map(str::to_owned))
            })?;
        if !found.contains(&place) {
            found.push(place);
        }
    }
    Ok(found)
}

fn combinations(
    from: &[usize],
    size: usize,
    picked: &mut Vec<usize>,
    take: &mut impl FnMut(&[usize]),
) {
    if picked.len() == size {
        take(picked);
        return;
    }
    for (place, &one) in from.iter().enumerate() {
        picked.push(one);
        combinations(&from[place + 1..], size, picked, take);
        picked.pop();
    }
}
