//! One case of identification.
use super::{Circumstances, Identification, Key, Kind, NONE_OF_THESE, Sheet, What};
use crate::identify::percent;

/// A plant whose chance falls below this is lost from sight.
const LOST: f64 = 0.01;

/// What the book does instead of what the case asks for.
pub fn run(sheet: &mut Sheet<'_>, case: &Identification) -> Vec<String> {
    let (what, kind) = if case.lawn_grass {
        (What::Turf, Kind::Turf)
    } else {
        (What::Weeds, Kind::Weed)
    };
    let mut fine = case.expect == NONE_OF_THESE || sheet.known("expect", kind, &case.expect);
    for plant in case.keeps.iter() {
        fine &= sheet.known("keeps", kind, plant);
    }
    if case.month.is_some_and(|m| !(1..=12).contains(&m)) {
        sheet.fault(
            "month",
            "this is no month".to_owned(),
            "months are the numbers 1 to 12".to_owned(),
        );
        fine = false;
    }
    let at = Circumstances {
        month: case.month,
        region: case.region.clone(),
    };
    let mut key = Key::new(sheet.book, what, at, None);
    for (of, typed) in &case.observed {
        let words: Vec<&str> = typed.0.iter().map(String::as_str).collect();
        if let Err(error) = key.answer(of, &words) {
            sheet.fault(
                "observed",
                error.to_string(),
                "write the id of a trait and one of its states".to_owned(),
            );
            fine = false;
        }
    }
    for of in case.unsure.iter() {
        if let Err(error) = key.unsure(of) {
            sheet.fault(
                "unsure",
                error.to_string(),
                "write the id of a trait".to_owned(),
            );
            fine = false;
        }
    }
    if !fine {
        return Vec::new();
    }
    let belief = key.belief();
    let ranking: Vec<(String, f64)> = belief
        .ranking()
        .into_iter()
        .map(|(taxon, p)| (key.book.taxa()[taxon].id.clone(), p))
        .collect();
    let chance = |id: &str| {
        ranking
            .iter()
            .find(|(i, _)| i == id)
            .map_or(0.0, |(_, p)| *p)
    };
    let first = ranking.first().map_or(0.0, |(_, p)| *p);
    let likeliest = || {
        let three: Vec<String> = ranking
            .iter()
            .take(3)
            .map(|(id, p)| format!("{id} {}", percent(*p)))
            .collect();
        format!(
            "likeliest: {}; none of these {}",
            three.join(", "),
            percent(belief.none())
        )
    };
    let mut instead = Vec::new();
    if case.expect == NONE_OF_THESE {
        if belief.none() <= first {
            instead.push(format!(
                "the book believes that it knows this plant ({})",
                likeliest()
            ));
        }
    } else {
        let within = usize::from(case.within.unwrap_or(1));
        let place = ranking.iter().position(|(id, _)| *id == case.expect);
        if place.is_none_or(|p| p >= within) {
            let stands = place.map_or_else(
                || "is not in the list".to_owned(),
                |p| format!("stands in place {}", p + 1),
            );
            instead.push(format!(
                "{} {stands}, not among the first {within} ({})",
                case.expect,
                likeliest()
            ));
        } else if belief.none() > chance(&case.expect) {
            instead.push(format!(
                "the book says that it does not know this plant ({})",
                likeliest()
            ));
        }
    }
    for plant in case.keeps.iter().filter(|p| chance(p) < LOST) {
        instead.push(format!(
            "{plant} is lost from sight, at {} ({})",
            percent(chance(plant)),
            likeliest()
        ));
    }
    instead
}
