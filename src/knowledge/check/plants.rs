//! The entries that several checks go through in the same way.
use super::finding::At;
use crate::knowledge::files::Files;
use crate::knowledge::form::active::{ControlRow, Timing, ToleranceRow};
use crate::knowledge::form::plant::Shows;
use std::collections::BTreeMap;

/// A weed or grass with what it shows.
pub struct Plant<'a> {
    /// Id.
    pub id: &'a str,
    /// Its file.
    pub file: String,
    /// What it shows.
    pub traits: &'a BTreeMap<String, Shows>,
}

/// Every weed, then every grass.
pub fn plants(known: &Files) -> impl Iterator<Item = Plant<'_>> {
    let weeds = known.weeds.iter().map(|(id, w)| Plant {
        id,
        file: format!("weeds/{id}.yaml"),
        traits: &w.traits,
    });
    let turf = known.turf.iter().map(|(id, t)| Plant {
        id,
        file: format!("turf/{id}.yaml"),
        traits: &t.traits,
    });
    weeds.chain(turf)
}

/// An active or a mixture with its two tables.
pub struct Rated<'a> {
    /// Id.
    pub id: &'a str,
    /// Where its keys begin.
    pub at: At,
    /// When it works; nothing for a mixture.
    pub timing: &'a [Timing],
    /// How grasses stand it.
    pub turf: &'a [ToleranceRow],
    /// Which weeds it controls.
    pub controls: &'a [ControlRow],
}

/// Every active, then every mixture.
pub fn rated(known: &Files) -> impl Iterator<Item = Rated<'_>> {
    let actives = known.actives.iter().map(|(id, a)| Rated {
        id,
        at: At::file(format!("actives/{id}.yaml")),
        timing: &a.timing.is,
        turf: &a.turf,
        controls: &a.controls,
    });
    let mixtures = known.mixtures.iter().enumerate().map(|(index, m)| Rated {
        id: &m.id,
        at: At::file("mixtures.yaml").to(index),
        timing: &[],
        turf: &m.turf,
        controls: &m.controls,
    });
    actives.chain(mixtures)
}
