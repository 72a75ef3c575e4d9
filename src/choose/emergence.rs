//! When a weed comes up.
use crate::knowledge::form::plant::Weed;

/// When a weed starts to come up.
#[derive(Debug)]
pub struct Emergence {
    /// Months in which it comes up, or in which it is seen where nothing else is known.
    pub months: Vec<u8>,
    /// First months of the runs of these months.
    pub starts: Vec<u8>,
    /// Whether the months are about coming up.
    pub stated: bool,
}

/// When this weed comes up; none where the book has no months of it.
#[must_use]
pub fn emergence(weed: &Weed) -> Option<Emergence> {
    let (months, stated) = match (&weed.seen.emerging, &weed.seen.growing) {
        (Some(emerging), _) => (&emerging.months, true),
        (None, Some(growing)) => (&growing.months, false),
        (None, None) => return None,
    };
    Some(Emergence {
        months: months.clone(),
        starts: starts(months),
        stated,
    })
}

/// Months that begin a run of months around the year. A whole year has no beginning.
#[must_use]
pub fn starts(months: &[u8]) -> Vec<u8> {
    months
        .iter()
        .copied()
        .filter(|&m| !months.contains(&if m == 1 { 12 } else { m - 1 }))
        .collect()
}
