//! From covers to options in order, each with its reasons.
use super::cover::Cover;
use super::gates;
use super::past;
use super::request::Request;
use super::{Controlled, OnTurf, Treatable, joined};
use crate::knowledge::Knowledge;
use crate::knowledge::form::active::{Availability, Control, Timing, Tolerance};
use crate::knowledge::form::lists::Effect;
use crate::knowledge::form::source::Evidence;
use crate::knowledge::verdict::Standing;
use crate::words::and_list;
use std::cmp::Reverse;

/// Builds the option of a cover.
pub fn option(book: &Knowledge, request: &Request, cover: &Cover<'_>) -> Treatable {
    let actives: Vec<String> = cover.effects.iter().map(|e| e.active.clone()).collect();
    let mut groups: Vec<u16> = actives
        .iter()
        .filter_map(|id| book.actives.get(id))
        .map(|a| a.group.is)
        .collect();
    groups.sort_unstable();
    groups.dedup();
    let controls: Vec<Controlled> = (0..request.weeds.len())
        .map(|weed| controlled(book, request, cover, weed))
        .collect();
    let pre = cover.effects.iter().all(|e| e.pre);
    let early = cover
        .effects
        .iter()
        .flat_map(|e| e.on.iter().flatten())
        .any(|(timing, _)| *timing == Timing::EarlyPost);
    let timing = match (pre, early) {
        (true, _) => Timing::Pre,
        (false, true) => Timing::EarlyPost,
        (false, false) => Timing::Post,
    };
    Treatable {
        turf: turf(book, request, cover),
        cautions: cautions(book, request, &actives, &controls, &groups),
        why: Vec::new(),
        known_mixture: cover.mixture.is_some_and(|m| m.sold_together.is_some()),
        actives,
        groups,
        timing,
        controls,
    }
}

/// The best partner on a weed; a statement about the whole mixture counts where it is better evidence.
fn controlled(book: &Knowledge, request: &Request, cover: &Cover<'_>, weed: usize) -> Controlled {
    let id = &request.weeds[weed];
    let mut best = Controlled {
        weed: id.clone(),
        rating: Control::None,
        evidence: Evidence::Memory,
        standing: Standing::SingleMemory,
        by: Vec::new(),
        conditions: Vec::new(),
        sources: Vec::new(),
    };
    for effect in &cover.effects {
        if let Some((_, verdict)) = &effect.on[weed]
            && (best.by.is_empty()
                || (verdict.rating, Reverse(verdict.standing))
                    > (best.rating, Reverse(best.standing)))
        {
            best = Controlled {
                weed: id.clone(),
                rating: verdict.rating,
                evidence: verdict.evidence,
                standing: verdict.standing,
                by: vec![effect.active.clone()],
                conditions: verdict.conditions.clone(),
                sources: verdict.sources.clone(),
            };
        }
    }
    let pre = cover.effects.iter().all(|e| e.pre);
    let timing = if pre { Timing::Pre } else { Timing::Post };
    if cover.effects.len() > 1
        && let Some(verdict) = cover
            .mixture
            .and_then(|m| book.control_of(&m.controls, id, timing))
        && (verdict.standing < best.standing || best.by.is_empty())
    {
        best = Controlled {
            weed: id.clone(),
            rating: verdict.rating,
            evidence: verdict.evidence,
            standing: verdict.standing,
            by: cover.effects.iter().map(|e| e.active.clone()).collect(),
            conditions: verdict.conditions,
            sources: verdict.sources,
        };
    }
    best
}

fn turf(book: &Knowledge, request: &Request, cover: &Cover<'_>) -> OnTurf {
    let mut verdicts = Vec::new();
    for turf in &request.turf {
        for effect in &cover.effects {
            let active = book.actives.get(&effect.active);
            verdicts.extend(active.and_then(|a| book.tolerance(a, turf, &request.stage)));
        }
        verdicts.extend(
            cover
                .mixture
                .and_then(|m| book.tolerance_of(&m.turf, turf, &request.stage)),
        );
    }
    // Every active of a cover has passed the gate of the grass, so there is always something to join.
    joined(verdicts).unwrap_or(OnTurf {
        rating: Tolerance::NotRegistered,
        evidence: Evidence::Memory,
        standing: Standing::Disputed,
        conditions: Vec::new(),
        sources: Vec::new(),
    })
}

/// Cautions of the actives themselves, of the site for these actives, and of partners that hurt the grass more together.
fn cautions(
    book: &Knowledge,
    request: &Request,
    actives: &[String],
    controls: &[Controlled],
    groups: &[u16],
) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    let mut add = |line: String| {
        if !lines.contains(&line) {
            lines.push(line);
        }
    };
    for id in actives {
        let Some(active) = book.actives.get(id) else {
            continue;
        };
        for restriction in active
            .restrictions
            .iter()
            .filter(|r| r.is == Availability::Restricted || r.is == Availability::LicensedOnly)
        {
            add(format!("{}: {}", active.name, restriction.text));
        }
        for caution in &active.cautions {
            let about = caution.about.as_deref().unwrap_or("caution");
            add(format!("{} ({about}): {}", active.name, caution.text));
        }
        if let Some(age) = &active.turf_age {
            let parts: Vec<String> = [
                age.mowings.map(|m| format!("{} mowings", m.0)),
                age.weeks_after_seeding
                    .map(|w| format!("{} weeks after seeding", w.0)),
                age.note.clone(),
            ]
            .into_iter()
            .flatten()
            .collect();
            if !parts.is_empty() {
                add(format!(
                    "{}: the grass must be old enough ({})",
                    active.name,
                    parts.join("; ")
                ));
            }
        }
        if let Some(air) = &active.air_temperature
            && request.air_temp_f.is_none()
        {
            let limits: Vec<String> = [
                air.above_f.map(|f| format!("above {} °F", f.0)),
                air.below_f.map(|f| format!("not above {} °F", f.0)),
            ]
            .into_iter()
            .flatten()
            .collect();
            if !limits.is_empty() {
                add(format!(
                    "{}: air temperature {}",
                    active.name,
                    limits.join(", ")
                ));
            }
        }
    }
    for (place, first) in actives.iter().enumerate() {
        for second in &actives[place + 1..] {
            for line in meetings(book, first, second) {
                add(line);
            }
        }
    }
    for line in past::cautions(book, request, actives, groups) {
        add(line);
    }
    for control in controls {
        for condition in &control.conditions {
            add(format!(
                "on {}: {condition}",
                gates::weed_name(book, &control.weed)
            ));
        }
    }
    lines
}

/// What is known of two partners in one tank, as far as it calls for care; an unknown pair calls for the jar test.
fn meetings(book: &Knowledge, first: &str, second: &str) -> Vec<String> {
    let side =
        |s: &crate::knowledge::form::lists::Side, id: &str| s.actives.iter().any(|a| a == id);
    let pair = |i: &&crate::knowledge::form::lists::Interaction| {
        (side(&i.a, first) && side(&i.b, second)) || (side(&i.a, second) && side(&i.b, first))
    };
    let known: Vec<_> = book.interactions.iter().filter(pair).collect();
    let sold = book.mixtures.iter().any(|m| {
        m.sold_together.is_some()
            && [first, second]
                .iter()
                .all(|id| m.actives.iter().any(|a| a == id))
    });
    if known.is_empty() && !sold {
        return vec![format!(
            "nothing is known of {first} and {second} in one tank: a jar test and both labels decide"
        )];
    }
    known
        .into_iter()
        .filter(|i| matches!(i.effect, Effect::Injury | Effect::Caution))
        .map(|i| format!("{first} with {second}: {}", i.text))
        .collect()
}

/// How much an option puts at risk beside the lawn: one for every caution, restriction and easy movement on record.
fn risk(book: &Knowledge, option: &Treatable) -> usize {
    option
        .actives
        .iter()
        .filter_map(|id| book.actives.get(id))
        .map(|a| {
            let moves = a
                .soil_mobility
                .as_ref()
                .is_some_and(|w| w.is.iter().any(|s| s.contains("high")));
            let vapour = a
                .volatility
                .as_ref()
                .is_some_and(|w| w.is.iter().any(|s| !s.eq_ignore_ascii_case("low")));
            a.cautions.len() + a.restrictions.len() + usize::from(moves) + usize::from(vapour)
        })
        .sum()
}

/// Orders options: the grass and its evidence, the worst-controlled weed and its evidence, how often the group was used here,
/// number of actives, risk beside the lawn, name.
pub fn sort(book: &Knowledge, request: &Request, options: &mut [Treatable]) {
    options.sort_by_cached_key(|o| {
        let worst = o
            .controls
            .iter()
            .map(|c| (Reverse(c.rating), c.standing))
            .max();
        let at_the_right_time = o.timing == Timing::Pre;
        (
            o.turf.rating,
            o.turf.standing,
            worst,
            past::repeats(request, o),
            at_the_right_time,
            o.actives.len(),
            risk(book, o),
            o.actives.clone(),
        )
    });
}

/// Says of each option why it is offered and stands where it stands.
pub fn explain(book: &Knowledge, request: &Request, options: &mut [Treatable]) {
    let grasses: Vec<&str> = request
        .turf
        .iter()
        .map(|id| {
            book.turf
                .get(id)
                .and_then(|t| t.names.first())
                .map_or(id.as_str(), String::as_str)
        })
        .collect();
    for option in options.iter_mut() {
        let memory = option.turf.standing.is_memory()
            && option.controls.iter().all(|c| c.standing.is_memory());
        let mut why = Vec::new();
        if memory {
            why.push(
                "rests on memory alone: no source was read for the grass or for the weed"
                    .to_owned(),
            );
        }
        let stands = match option.turf.rating {
            Tolerance::Tolerant => "stands it",
            _ => "stands it with some injury or under conditions",
        };
        why.push(format!(
            "{} {stands} ({})",
            and_list(&grasses),
            option.turf.standing.words()
        ));
        for control in &option.controls {
            let name = gates::weed_name(book, &control.weed);
            why.push(match control.rating {
                Control::Good => format!("controls {name} well ({})", control.standing.words()),
                Control::Fair => format!("controls {name} fairly ({})", control.standing.words()),
                _ => format!("does not deal with {name}"),
            });
        }
        match past::repeats(request, option) {
            0 => {}
            times => why.push(format!(
                "stands behind options as good whose group was used here less often ({times} times in three years)"
            )),
        }
        if option.actives.len() > 1 && option.known_mixture {
            why.push("these partners are commonly sold together".to_owned());
        }
        option.why = why;
    }
}
