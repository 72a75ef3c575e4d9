//! A picked cover as an option for people: its verdicts with conditions and sources, its cautions, its times.
use super::index::{Chooser, moves_in_soil, turns_to_vapour};
use super::rank::Picked;
use super::request::Request;
use super::say::{turf_name, weed_name};
use super::time::{self, Again, Window};
use super::{Controlled, OnTurf, Treatable};
use crate::knowledge::form::active::{Active, Availability, Control, Mixture, Timing, Tolerance};
use crate::knowledge::form::lists::{Effect, Interaction, Side};
use crate::knowledge::form::source::Evidence;
use crate::knowledge::verdict::{Standing, Verdict};
use crate::words::and_list;

/// Builds the option.
pub(super) fn treatable(chooser: &Chooser<'_>, request: &Request, picked: &Picked) -> Treatable {
    let book = chooser.book;
    let actives: Vec<String> = picked
        .actives
        .iter()
        .map(|&a| chooser.id(a).to_owned())
        .collect();
    let mut groups: Vec<u16> = picked
        .actives
        .iter()
        .map(|&a| chooser.actives[a].form.group.is)
        .collect();
    groups.sort_unstable();
    groups.dedup();
    let mixture = chooser
        .mixture(&picked.actives)
        .filter(|_| actives.len() > 1)
        .map(|m| &book.mixtures[m.number]);
    let controls: Vec<Controlled> = (0..request.weeds.len())
        .map(|weed| controlled(chooser, request, picked, mixture, weed))
        .collect();
    let early = picked
        .on
        .iter()
        .flatten()
        .any(|o| o.timing == Timing::EarlyPost);
    let timing = match (picked.pre, early) {
        (true, _) => Timing::Pre,
        (false, true) => Timing::EarlyPost,
        (false, false) => Timing::Post,
    };
    let turf = turf(chooser, request, picked, mixture);
    let mut option = Treatable {
        cautions: cautions(chooser, request, picked, &controls),
        why: Vec::new(),
        known_mixture: mixture.is_some_and(|m| m.sold_together.is_some()),
        again: again(chooser, request, picked, mixture),
        windows: windows(chooser, request, picked),
        actives,
        groups,
        timing,
        controls,
        turf,
    };
    option.why = why(chooser, request, &option);
    option
}

fn controlled(
    chooser: &Chooser<'_>,
    request: &Request,
    picked: &Picked,
    mixture: Option<&Mixture>,
    weed: usize,
) -> Controlled {
    let id = &request.weeds[weed];
    let nothing = || Controlled {
        weed: id.clone(),
        rating: Control::None,
        evidence: Evidence::Memory,
        standing: Standing::SingleMemory,
        by: Vec::new(),
        conditions: Vec::new(),
        sources: Vec::new(),
    };
    let Some(on) = picked.on.get(weed).copied().flatten() else {
        return nothing();
    };
    let (verdict, by) = match on.by {
        Some(a) => (
            chooser
                .book
                .control(chooser.actives[a].form, id, on.timing),
            vec![chooser.id(a).to_owned()],
        ),
        None => (
            mixture.and_then(|m| chooser.book.control_of(&m.controls, id, on.timing)),
            picked
                .actives
                .iter()
                .map(|&a| chooser.id(a).to_owned())
                .collect(),
        ),
    };
    verdict.map_or_else(nothing, |v| Controlled {
        weed: id.clone(),
        rating: v.rating,
        evidence: v.evidence,
        standing: v.standing,
        by,
        conditions: v.conditions,
        sources: v.sources,
    })
}

fn turf(
    chooser: &Chooser<'_>,
    request: &Request,
    picked: &Picked,
    mixture: Option<&Mixture>,
) -> OnTurf {
    let book = chooser.book;
    let mut verdicts: Vec<Verdict<Tolerance>> = Vec::new();
    for turf in &request.turf {
        for &active in &picked.actives {
            verdicts.extend(book.tolerance(chooser.actives[active].form, turf, &request.stage));
        }
        verdicts.extend(mixture.and_then(|m| book.tolerance_of(&m.turf, turf, &request.stage)));
    }
    let mut on = OnTurf {
        rating: picked.worth.turf,
        evidence: verdicts
            .iter()
            .map(|v| v.evidence)
            .max()
            .unwrap_or(Evidence::Memory),
        standing: picked.worth.turf_standing,
        conditions: Vec::new(),
        sources: Vec::new(),
    };
    for verdict in verdicts {
        add_all(&mut on.conditions, verdict.conditions);
        add_all(&mut on.sources, verdict.sources);
    }
    on
}

fn add_all(into: &mut Vec<String>, from: Vec<String>) {
    for item in from {
        if !into.contains(&item) {
            into.push(item);
        }
    }
}

fn windows(chooser: &Chooser<'_>, request: &Request, picked: &Picked) -> Vec<Window> {
    if !picked.pre {
        return Vec::new();
    }
    let covered = request.weeds.iter().zip(&picked.on);
    covered
        .filter(|(_, on)| on.is_some())
        .flat_map(|(weed, _)| time::windows(chooser, weed))
        .collect()
}

fn again(
    chooser: &Chooser<'_>,
    request: &Request,
    picked: &Picked,
    mixture: Option<&Mixture>,
) -> Vec<Again> {
    let all = |actives: &[usize]| -> Vec<String> {
        actives.iter().map(|&a| chooser.id(a).to_owned()).collect()
    };
    request
        .weeds
        .iter()
        .zip(&picked.on)
        .filter_map(|(weed, on)| {
            let on = (*on)?;
            let (actives, rows) = match on.by {
                Some(a) => (all(&[a]), &chooser.actives[a].form.controls),
                None => (all(&picked.actives), &mixture?.controls),
            };
            time::again(chooser.book, &actives, rows, weed, on.timing)
        })
        .collect()
}

/// What this site calls for, then the cautions of the actives themselves, then what partners do to each other.
fn cautions(
    chooser: &Chooser<'_>,
    request: &Request,
    picked: &Picked,
    controls: &[Controlled],
) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for &active in &picked.actives {
        add_all(&mut lines, called_for(chooser, request, active));
    }
    for &active in &picked.actives {
        add_all(&mut lines, of_active(request, chooser.actives[active].form));
    }
    for (place, &first) in picked.actives.iter().enumerate() {
        for &second in &picked.actives[place + 1..] {
            add_all(&mut lines, meetings(chooser, first, second));
        }
    }
    if let Some(month) = request.month
        && !picked.pre
    {
        for control in controls.iter().filter(|c| !c.by.is_empty()) {
            let weed = chooser.book.weeds.get(&control.weed);
            if weed.and_then(|w| time::dying(w, month)) == Some(true) {
                let name = weed_name(chooser, &control.weed);
                add_all(
                    &mut lines,
                    vec![format!(
                        "{name} is an annual at the end of its season: a treatment now gains little"
                    )],
                );
            }
        }
    }
    for control in controls {
        for condition in &control.conditions {
            let name = weed_name(chooser, &control.weed);
            add_all(&mut lines, vec![format!("on {name}: {condition}")]);
        }
    }
    lines
}

/// Cautions of an active that a situation of this site touches.
fn called_for(chooser: &Chooser<'_>, request: &Request, active: usize) -> Vec<String> {
    let form = chooser.actives[active].form;
    let mut lines = Vec::new();
    for situation in chooser
        .book
        .situations
        .iter()
        .filter(|s| request.is_near(&s.id))
    {
        let touched = |about: &str| situation.touches.iter().any(|t| t == about);
        for caution in &form.cautions {
            if caution.about.as_deref().is_some_and(touched) {
                lines.push(format!(
                    "{}, and {}: {}",
                    situation.name, form.name, caution.text
                ));
            }
        }
        if touched("groundwater") && moves_in_soil(form) {
            lines.push(format!(
                "{}, and {} moves easily in soil",
                situation.name, form.name
            ));
        }
        if touched("drift") && turns_to_vapour(form) {
            lines.push(format!(
                "{}, and {} can leave as vapour",
                situation.name, form.name
            ));
        }
    }
    lines
}

fn of_active(request: &Request, active: &Active) -> Vec<String> {
    let mut lines = Vec::new();
    for restriction in active
        .restrictions
        .iter()
        .filter(|r| r.is == Availability::Restricted || r.is == Availability::LicensedOnly)
    {
        lines.push(format!("{}: {}", active.name, restriction.text));
    }
    for caution in &active.cautions {
        let about = caution.about.as_deref().unwrap_or("caution");
        lines.push(format!("{} ({about}): {}", active.name, caution.text));
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
            lines.push(format!(
                "{}: the grass must be old enough ({})",
                active.name,
                parts.join("; ")
            ));
        }
    }
    if let Some(wait) = &active.seeding_wait_weeks
        && request.seeding_in_weeks.is_none()
    {
        lines.push(format!(
            "{}: sow no grass for {} weeks afterwards",
            active.name, wait.range[1].0
        ));
    }
    if let Some(air) = &active.air_temperature
        && request.air().is_none()
    {
        let limits: Vec<String> = [
            air.above_f.map(|f| format!("above {} °F", f.0)),
            air.below_f.map(|f| format!("not above {} °F", f.0)),
        ]
        .into_iter()
        .flatten()
        .collect();
        if !limits.is_empty() {
            lines.push(format!(
                "{}: air temperature {}",
                active.name,
                limits.join(", ")
            ));
        }
    }
    lines
}

/// What is known of two partners in one tank, as far as it calls for care; an unknown pair calls for the jar test.
fn meetings(chooser: &Chooser<'_>, first: usize, second: usize) -> Vec<String> {
    let book = chooser.book;
    let (a, b) = (chooser.id(first), chooser.id(second));
    let side = |s: &Side, id: &str| s.actives.iter().any(|x| x == id);
    let pair = |i: &&Interaction| {
        (side(&i.a, a) && side(&i.b, b)) || (side(&i.a, b) && side(&i.b, a))
    };
    let known: Vec<_> = book.interactions.iter().filter(pair).collect();
    let sold = chooser
        .mixtures
        .iter()
        .any(|m| m.sold && m.actives.contains(&first) && m.actives.contains(&second));
    let (a, b) = (
        &chooser.actives[first].form.name,
        &chooser.actives[second].form.name,
    );
    if known.is_empty() && !sold {
        return vec![format!(
            "nothing is known of {a} and {b} in one tank: a jar test and both labels decide"
        )];
    }
    known
        .into_iter()
        .filter(|i| matches!(i.effect, Effect::Injury | Effect::Caution))
        .map(|i| format!("{a} with {b}: {}", i.text))
        .collect()
}

/// Says why it is offered and stands where it stands. What rests on memory alone says so first.
fn why(chooser: &Chooser<'_>, request: &Request, option: &Treatable) -> Vec<String> {
    let grasses: Vec<&str> = request
        .turf
        .iter()
        .map(|id| turf_name(chooser, id))
        .collect();
    let grass = and_list(&grasses);
    let mut why = Vec::new();
    if option.turf.standing.is_memory() {
        why.push(
            if option.controls.iter().all(|c| c.standing.is_memory()) {
                "rests on memory alone: no source was read for the grass or for the weed".to_owned()
            } else {
                format!("that {grass} stands it rests on memory alone: look for the grass on the label")
            },
        );
    }
    let stands = match option.turf.rating {
        Tolerance::Tolerant => "stands it",
        _ => "stands it with some injury or under conditions",
    };
    why.push(format!("{grass} {stands} ({})", option.turf.standing.words()));
    for control in &option.controls {
        let name = weed_name(chooser, &control.weed);
        why.push(match control.rating {
            Control::Good => format!("controls {name} well ({})", control.standing.words()),
            Control::Fair => format!("controls {name} fairly ({})", control.standing.words()),
            _ => format!("does not deal with {name}"),
        });
    }
    for again in &option.again {
        let name = weed_name(chooser, &again.weed);
        why.push(format!("on {name} {}", again.text));
    }
    for window in &option.windows {
        why.push(window.text.clone());
    }
    if option.actives.len() > 1 && option.known_mixture {
        why.push("these partners are commonly sold together".to_owned());
    }
    why
}
