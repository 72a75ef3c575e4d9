//! Which slip of the pen would explain a figure that is far off: another unit on the label than in the file.
use crate::measure::{Base, Exact, Quantity, Unit, unit};

/// Units that labels print, of each kind.
const WEIGHTS: [&str; 4] = ["oz wt", "lb", "g", "kg"];
const VOLUMES: [&str; 6] = ["fl oz", "pt", "qt", "gal", "mL", "L"];
const AREAS: [&str; 4] = ["g/1000 sq ft", "g/A", "g/100 m2", "g/ha"];
const SPRAYS: [&str; 3] = ["g/gal", "g/L", "g/100 gal"];

/// What the label may say instead of `typed`, so that the figure becomes `wanted` times as large; at most two, the
/// commonest slips first. `fits` says whether a figure so many times as large would be a likely one.
pub fn likely(typed: &Quantity, fits: impl Fn(&Exact) -> bool) -> Vec<String> {
    let mut found: Vec<String> = Vec::new();
    for unit in per_other(typed).into_iter().chain(other_top(typed)) {
        let meant = Quantity {
            value: typed.value.clone(),
            unit,
        };
        let Ok(factor) = meant.in_units_of(typed) else {
            continue;
        };
        if fits(&factor) {
            found.push(format!("`{}`", meant.short()));
        }
    }
    if found.is_empty() {
        for (places, words) in [(-1, "ten"), (-2, "a hundred")] {
            let factor = Exact::one().shifted(places);
            let inverse = Exact::one().shifted(-places);
            for (factor, way) in [(factor, "less"), (inverse, "more")] {
                if fits(&factor) {
                    let meant = typed.times(&factor);
                    found.push(format!("`{}`, {words} times {way}", meant.short()));
                }
            }
        }
    }
    found.truncate(2);
    found
}

/// The same figure per another area or volume.
fn per_other(typed: &Quantity) -> Vec<Unit> {
    let others: &[&str] = match typed.kind().per {
        Some(Base::Area) => &AREAS,
        Some(Base::Volume) => &SPRAYS,
        _ => &[],
    };
    others
        .iter()
        .filter_map(|text| unit(text).ok())
        .map(|other| Unit {
            per: other.per,
            ..typed.unit.clone()
        })
        .filter(|other| *other != typed.unit)
        .collect()
}

/// The same figure in another unit of weight or volume.
fn other_top(typed: &Quantity) -> Vec<Unit> {
    let others: &[&str] = match typed.kind().top {
        Base::Weight => &WEIGHTS,
        Base::Volume => &VOLUMES,
        _ => &[],
    };
    others
        .iter()
        .filter_map(|text| unit(text).ok())
        .map(|other| Unit {
            top: other.top,
            ..typed.unit.clone()
        })
        .filter(|other| *other != typed.unit)
        .collect()
}
