//! What to mind before, while and after applying the chosen actives.
use super::fact::{Fact, plain_number, plain_range, with_note};
use crate::choose::{self, Request};
use crate::knowledge::Knowledge;
use crate::knowledge::form::active::{Active, Adjuvant, Availability};
use crate::knowledge::form::lists::Effect;
use crate::words::and_list;
use serde::Serialize;

/// When a hint is needed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Step {
    /// Before mixing.
    Before,
    /// While mixing and applying.
    While,
    /// Afterwards.
    After,
}

/// Something to mind.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Hint {
    /// When.
    pub step: Step,
    /// What it is about.
    pub about: String,
    /// The sentence.
    #[serde(flatten)]
    pub fact: Fact,
}

/// The hints of an option, in the order of the job. Without actives there is no job and no hint.
#[must_use]
pub fn hints(book: &Knowledge, request: &Request, actives: &[String]) -> Vec<Hint> {
    let mut found = Vec::new();
    if actives.is_empty() {
        return found;
    }
    let several = actives.len() > 1;
    for active in actives.iter().filter_map(|id| book.actives.get(id)) {
        for (step, about, mut fact) in of_active(book, request, active) {
            if several {
                fact.text = format!("{}: {}", active.name, fact.text);
            }
            found.push(hint(step, about, fact));
        }
    }
    for (place, first) in actives.iter().enumerate() {
        for second in &actives[place + 1..] {
            found.extend(
                meetings(book, first, second)
                    .into_iter()
                    .map(|fact| hint(Step::Before, "in one tank", fact)),
            );
        }
    }
    // The book lists its weather rules in the order of use; the first about wind speaks for all, the label decides.
    let wind = book
        .weather
        .iter()
        .flat_map(|w| &w.rules)
        .find(|r| r.about.as_deref() == Some("wind"));
    found.extend(wind.map(|r| hint(Step::While, "wind", Fact::of_remark(book, r))));
    found.sort_by_key(|h| h.step);
    found
}

fn hint(step: Step, about: &str, fact: Fact) -> Hint {
    Hint {
        step,
        about: about.to_owned(),
        fact,
    }
}

fn of_active<'a>(
    book: &Knowledge,
    request: &Request,
    active: &'a Active,
) -> Vec<(Step, &'a str, Fact)> {
    let mut found = Vec::new();
    for restriction in &active.restrictions {
        if matches!(
            restriction.is,
            Availability::Restricted | Availability::LicensedOnly
        ) {
            let fact = Fact::new(book, restriction.text.clone(), &restriction.source);
            found.push((Step::Before, "restriction", fact));
        }
    }
    if let Some(age) = &active.turf_age {
        let limits: Vec<String> = [
            age.mowings
                .map(|n| format!("mown at least {} times", plain_number(n.0))),
            age.weeks_after_seeding
                .map(|n| format!("{} weeks from seeding", plain_number(n.0))),
        ]
        .into_iter()
        .flatten()
        .collect();
        let text = match (limits.is_empty(), &age.note) {
            (false, note) => with_note(&format!("grass {}", and_list(&limits)), note.as_deref()),
            (true, Some(note)) => note.clone(),
            (true, None) => String::new(),
        };
        if !text.is_empty() {
            found.push((
                Step::Before,
                "age of the grass",
                Fact::new(book, text, &age.source),
            ));
        }
    }
    if let Some(hold) = &active.mowing_hold {
        let text = format!("do not mow for {} before", days(hold.before_days.0));
        if hold.before_days.0 > 0.0 {
            found.push((Step::Before, "mowing", Fact::new(book, text, &hold.source)));
        }
        let text = format!("do not mow for {} after", days(hold.after_days.0));
        if hold.after_days.0 > 0.0 {
            found.push((Step::After, "mowing", Fact::new(book, text, &hold.source)));
        }
    }
    found.extend(
        active
            .adjuvant
            .iter()
            .map(|row| (Step::Before, "adjuvant", adjuvant(book, request, row))),
    );
    if let Some(air) = &active.air_temperature {
        let text = match (air.above_f, air.below_f) {
            (Some(least), Some(most)) => format!("air {} to {}", degrees(least.0), degrees(most.0)),
            (Some(least), None) => format!("air above {}", degrees(least.0)),
            (None, Some(most)) => format!("air not above {}", degrees(most.0)),
            (None, None) => "mind the temperature".to_owned(),
        };
        let text = with_note(&text, air.note.as_deref());
        found.push((
            Step::While,
            "temperature",
            Fact::new(book, text, &air.source),
        ));
    }
    if let Some(dry) = &active.rain_free_hours {
        let hours = plain_range(dry.range[0].0, dry.range[1].0);
        let text = with_note(
            &format!("no rain or watering for {hours} hours"),
            dry.note.as_deref(),
        );
        found.push((Step::After, "rain", Fact::new(book, text, &dry.source)));
    }
    if let Some(water) = &active.water_in {
        let text = format!(
            "water it in with {} inch within {}",
            plain_range(water.inches[0].0, water.inches[1].0),
            days(water.within_days.0)
        );
        let text = with_note(&text, water.note.as_deref());
        found.push((
            Step::After,
            "watering in",
            Fact::new(book, text, &water.source),
        ));
    }
    for caution in &active.cautions {
        let about = caution.about.as_deref().unwrap_or("caution");
        let step = match about {
            "clippings" => Step::After,
            "signal-word" => Step::Before,
            _ => Step::While,
        };
        found.push((step, about, Fact::of_remark(book, caution)));
    }
    found
}

fn days(n: f64) -> String {
    if (n - 1.0).abs() < f64::EPSILON {
        "1 day".to_owned()
    } else {
        format!("{} days", plain_number(n))
    }
}

/// `50 °F (10 °C)`.
fn degrees(fahrenheit: f64) -> String {
    let celsius = (fahrenheit - 32.0) / 1.8;
    format!("{} °F ({celsius:.0} °C)", plain_number(fahrenheit))
}

fn adjuvant(book: &Knowledge, request: &Request, row: &Adjuvant) -> Fact {
    let mut text = format!("adjuvant: {}", row.need);
    if let Some(which) = &row.which {
        text = format!("{text}, {which}");
    }
    if let Some([from, to]) = row.percent_v_v {
        text = format!(
            "{text}, {} % of the spray volume",
            plain_range(from.0, to.0)
        );
    }
    let here: Vec<String> = request
        .turf
        .iter()
        .filter(|t| row.avoid_on.contains(t))
        .map(|t| {
            book.turf
                .get(t)
                .and_then(|g| g.names.first())
                .unwrap_or(t)
                .clone()
        })
        .collect();
    if !here.is_empty() {
        text = format!("{text}; NOT on {}", and_list(&here));
    }
    Fact::new(book, with_note(&text, row.note.as_deref()), &row.source)
}

/// What is known of two partners in one tank, as far as it calls for care.
fn meetings(book: &Knowledge, first: &str, second: &str) -> Vec<Fact> {
    book.interactions
        .iter()
        .filter(|i| choose::meets(book, i, first, second) || choose::meets(book, i, second, first))
        .filter(|i| matches!(i.effect, Effect::Injury | Effect::Caution))
        .map(|i| {
            let text = match &i.remedy {
                Some(remedy) => format!("{} Remedy: {remedy}", i.text),
                None => i.text.clone(),
            };
            Fact::new(book, text, &i.source)
        })
        .collect()
}
