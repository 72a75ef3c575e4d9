//! The cautions of an option: of the site for these actives, of the actives, of partners in one tank.
use super::Controlled;
use super::index::{Chooser, moves_in_soil, turns_to_vapour};
use super::rank::Picked;
use super::request::Request;
use super::say::weed_name;
use super::time;
use crate::knowledge::Knowledge;
use crate::knowledge::form::active::{Active, Availability};
use crate::knowledge::form::lists::{Effect, Interaction, Side, Situation};
use crate::words::and_list;

/// What this site calls for, then the cautions of the actives themselves, then what partners do to each other.
pub(super) fn cautions(
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
        add_all(
            &mut lines,
            of_active(chooser.book, request, chooser.actives[active].form),
        );
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

/// Cautions of an active that situations of this site touch, each once with all the situations.
fn called_for(chooser: &Chooser<'_>, request: &Request, active: usize) -> Vec<String> {
    let form = chooser.actives[active].form;
    let near: Vec<&Situation> = chooser
        .book
        .situations
        .iter()
        .filter(|s| request.is_near(&s.id))
        .collect();
    let touching = |about: &str| -> Option<String> {
        let names: Vec<&str> = near
            .iter()
            .filter(|s| s.touches.iter().any(|t| t == about))
            .map(|s| s.name.as_str())
            .collect();
        (!names.is_empty()).then(|| and_list(&names))
    };
    let mut lines = Vec::new();
    for caution in &form.cautions {
        if let Some(names) = caution.about.as_deref().and_then(touching) {
            lines.push(format!("{names}, and {}: {}", form.name, caution.text));
        }
    }
    if let Some(names) = touching("groundwater").filter(|_| moves_in_soil(form)) {
        lines.push(format!("{names}, and {} moves easily in soil", form.name));
    }
    if let Some(names) = touching("drift").filter(|_| turns_to_vapour(form)) {
        lines.push(format!("{names}, and {} can leave as vapour", form.name));
    }
    lines
}

fn of_active(book: &Knowledge, request: &Request, active: &Active) -> Vec<String> {
    let mut lines = Vec::new();
    for restriction in active
        .restrictions
        .iter()
        .filter(|r| r.is == Availability::Restricted || r.is == Availability::LicensedOnly)
    {
        lines.push(format!("{}: {}", active.name, restriction.text));
    }
    let called = |about: Option<&str>| {
        let near = book.situations.iter().filter(|s| request.is_near(&s.id));
        about.is_some_and(|about| {
            near.flat_map(|s| s.touches.iter())
                .any(|touched| touched == about)
        })
    };
    // What the site calls for was said already.
    let rest = active.cautions.iter();
    for caution in rest.filter(|c| !called(c.about.as_deref())) {
        let about = caution.about.as_deref().unwrap_or("caution");
        lines.push(format!("{} ({about}): {}", active.name, caution.text));
    }
    if let Some(age) = &active.turf_age {
        let parts: Vec<String> = [
            age.mowings
                .filter(|m| m.0 > 0.0)
                .map(|m| format!("{} mowings", m.0)),
            age.weeks_after_seeding
                .filter(|w| w.0 > 0.0)
                .map(|w| format!("{} weeks after seeding", w.0)),
            age.note.clone(),
        ]
        .into_iter()
        .flatten()
        .collect();
        if !parts.is_empty() {
            lines.push(format!(
                "{}: mind the age of the grass ({})",
                active.name,
                parts.join("; ")
            ));
        }
    }
    if let Some(wait) = &active.seeding_wait_weeks
        && request.seeding_in_weeks.is_none()
        && wait.range[1].0 > 0.0
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
    let pair =
        |i: &&Interaction| (side(&i.a, a) && side(&i.b, b)) || (side(&i.a, b) && side(&i.b, a));
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

/// Adds what is not there yet.
pub(super) fn add_all(into: &mut Vec<String>, from: Vec<String>) {
    for item in from {
        if !into.contains(&item) {
            into.push(item);
        }
    }
}
