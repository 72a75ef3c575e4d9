//! A picked cover as an option for people: its verdicts with conditions and sources, its cautions, its times.
use super::cautions::{add_all, cautions};
use super::index::Chooser;
use super::past;
use super::rank::Picked;
use super::request::Request;
use super::say::{stage_words, turf_name, weed_name};
use super::time::{self, Again, Window};
use super::{Controlled, OnTurf, Treatable};
use crate::knowledge::form::active::{Control, ControlRow, Mixture, Timing, Tolerance};
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
    add_all(
        &mut option.cautions,
        past::cautions(book, request, &option.actives, &option.groups),
    );
    option.why = why(chooser, request, &option);
    option.why.extend(calendar(chooser, request, picked));
    let times = past::repeats(request, &option.groups);
    if times > 0 {
        option.why.push(format!(
            "stands behind options as good whose group was used here less often ({times} times in three years)"
        ));
    }
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
        ungraded: false,
        by: Vec::new(),
        conditions: Vec::new(),
        sources: Vec::new(),
    };
    let Some(on) = picked.on.get(weed).copied().flatten() else {
        return nothing();
    };
    let (rows, by) = match on.by {
        Some(a) => (
            chooser.actives[a].form.controls.as_slice(),
            vec![chooser.id(a).to_owned()],
        ),
        None => (
            mixture.map_or(&[][..], |m| &m.controls),
            picked
                .actives
                .iter()
                .map(|&a| chooser.id(a).to_owned())
                .collect(),
        ),
    };
    let here: Vec<&ControlRow> = rows
        .iter()
        .filter(|r| r.weed == *id && r.timing == on.timing)
        .collect();
    let verdict = chooser.book.control_of(rows, id, on.timing);
    verdict.map_or_else(nothing, |v| Controlled {
        ungraded: chooser.book.deciding(&here).all(|r| r.ungraded),
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

/// What the calendar and the kind of active have against an option that no gate stops.
fn calendar(chooser: &Chooser<'_>, request: &Request, picked: &Picked) -> Vec<String> {
    let mut said = Vec::new();
    if picked.worth.total {
        said.push(format!(
            "kills whatever green it touches, grass too: only while all of the grass is what you said it is {}",
            stage_words(chooser, &request.stage)
        ));
    }
    let Some(month) = request.month else {
        return said;
    };
    for (weed, on) in picked.on.iter().enumerate() {
        if on.is_none() || !time::untimely(chooser, request, weed, picked.pre) {
            continue;
        }
        let name = weed_name(chooser, &request.weeds[weed]);
        let month = time::month_name(month);
        said.push(if picked.pre {
            format!("{name} lives for years and is up in {month}: this keeps its seedlings from coming up and leaves the plants that are there")
        } else {
            format!("{name} is not usually up in {month}: only where you see it growing")
        });
    }
    said
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
        why.push(if option.controls.iter().all(|c| c.standing.is_memory()) {
            "rests on memory alone: no source was read for the grass or for the weed".to_owned()
        } else {
            format!("that {grass} stands it rests on memory alone: look for the grass on the label")
        });
    }
    let stands = match option.turf.rating {
        Tolerance::Tolerant => "stands it",
        _ => "stands it with some injury or under conditions",
    };
    why.push(format!(
        "{grass} {stands} ({})",
        option.turf.standing.words()
    ));
    for control in &option.controls {
        let name = weed_name(chooser, &control.weed);
        why.push(match control.rating {
            Control::Good => format!("controls {name} well ({})", control.standing.words()),
            Control::Fair if control.ungraded => format!(
                "is named as controlling {name}, without a grade ({})",
                control.standing.words()
            ),
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
