//! Stops in sentences.
use super::cover::Apart;
use super::index::Chooser;
use super::limits;
use super::past;
use super::reason::Stop;
use super::request::Request;
use crate::knowledge::form::active::{Active, Control, Timing, Tolerance};
use crate::knowledge::verdict::Verdict;
use crate::words::{and_list, or_list};

/// Name to show for a weed.
#[must_use]
pub fn weed_name<'a>(chooser: &Chooser<'a>, id: &'a str) -> &'a str {
    chooser
        .book
        .weeds
        .get(id)
        .and_then(|w| w.names.first())
        .map_or(id, String::as_str)
}

/// Name to show for a grass.
#[must_use]
pub fn turf_name<'a>(chooser: &Chooser<'a>, id: &'a str) -> &'a str {
    chooser
        .book
        .turf
        .get(id)
        .and_then(|t| t.names.first())
        .map_or(id, String::as_str)
}

/// Name of a stage of the grass, in brackets.
#[must_use]
pub fn stage_words(chooser: &Chooser<'_>, id: &str) -> String {
    let name = chooser
        .book
        .stages
        .iter()
        .find(|s| s.id == id)
        .map_or(id, |s| s.name.as_str());
    format!("({})", name.to_lowercase())
}

/// Names of actives joined by `+`.
#[must_use]
pub fn active_names(chooser: &Chooser<'_>, actives: &[usize]) -> String {
    let names: Vec<&str> = actives
        .iter()
        .map(|&a| chooser.actives[a].form.name.as_str())
        .collect();
    names.join(" + ")
}

/// What stops an active, in one sentence.
#[must_use]
pub fn sentence(chooser: &Chooser<'_>, request: &Request, active: usize, stop: Stop) -> String {
    let book = chooser.book;
    let form = chooser.actives[active].form;
    let name = &form.name;
    let weed = |index: usize| weed_name(chooser, &request.weeds[index]);
    match stop {
        Stop::NoTurf => "no grass was named".to_owned(),
        Stop::TurfNotProven(t) | Stop::TurfInjured(t) | Stop::TurfNotRegistered(t) => {
            on_turf(chooser, request, form, t)
        }
        Stop::TurfMonth(t) | Stop::TurfHot(t) | Stop::TurfCold(t) => {
            limits::sentence(chooser, request, active, t, stop)
        }
        Stop::Mowings => format!(
            "{name} waits until new grass has been mown {} times; it was mown {} times",
            form.turf_age
                .as_ref()
                .and_then(|a| a.mowings)
                .map_or(0.0, |n| n.0),
            request.mowings.unwrap_or_default()
        ),
        Stop::Weeks => format!(
            "{name} waits until {} weeks after seeding; this grass is younger",
            form.turf_age
                .as_ref()
                .and_then(|a| a.weeks_after_seeding)
                .map_or(0.0, |n| n.0)
        ),
        Stop::AgeUnknown => format!(
            "{name} needs grass of a certain age{}, {}",
            form.turf_age.as_ref().and_then(|a| a.note.as_ref()).map_or(
                String::new(),
                |n| format!(" ({})", lower_first(n.trim_end_matches('.')))
            ),
            if form
                .turf_age
                .as_ref()
                .is_some_and(|a| a.mowings.is_none() && a.weeks_after_seeding.is_none())
            {
                "which new grass cannot be shown to have"
            } else {
                "and how old this new grass is was not said"
            }
        ),
        Stop::Seeding => match &form.seeding_wait_weeks {
            Some(wait) => format!(
                "seed must wait up to {} weeks after {name}; it is to be sown in {}",
                wait.range[1].0,
                request.seeding_in_weeks.unwrap_or_default()
            ),
            None => format!("nothing says how long seed must wait after {name}"),
        },
        Stop::Restriction(r) => format!("{name}: {}", form.restrictions[r].text),
        Stop::Place(p, l) => request
            .places(book)
            .get(p)
            .and_then(|id| book.places.get(*id))
            .map_or(String::new(), |place| {
                let limit = &place.active_limits[l];
                format!(
                    "{}: {}; check with {}",
                    place.name,
                    limit.says.trim_end_matches('.'),
                    limit.verify_with
                )
            }),
        Stop::Site(c) => format!("{name}: {}", book.cautions[c].text),
        Stop::TooHot => format!(
            "{name} is not used above {} °F; the day has {} °F",
            limit(form, true),
            request.air().map_or(0.0, |(_, high)| high)
        ),
        Stop::TooCold => format!(
            "{name} does little below {} °F; the day has {} °F",
            limit(form, false),
            request.air().map_or(0.0, |(low, _)| low)
        ),
        Stop::Up(w) => has_come_up(chooser, request, name, w),
        Stop::Grown(w) => format!("{name} works on young {} only; it is grown", weed(w)),
        Stop::NotUp(w) => format!("{} is not up yet; {name} works on plants", weed(w)),
        Stop::Later(w) => format!(
            "{} comes up later in the year; {name} would be gone by then",
            weed(w)
        ),
        Stop::Weak(w, timing) => weak(chooser, request, form, w, timing),
        Stop::Past(reason) => past::stops(book, request, chooser.actives[active].id, form)
            .into_iter()
            .find(|(found, _)| *found == reason)
            .map_or_else(String::new, |(_, detail)| detail),
        Stop::ControlNotProven => {
            let weeds: Vec<&str> = request
                .weeds
                .iter()
                .map(|w| weed_name(chooser, w))
                .collect();
            if weeds.is_empty() {
                return format!("no weed was named for {name} to control");
            }
            format!("nothing says that {name} controls {}", or_list(&weeds))
        }
    }
}

fn has_come_up(chooser: &Chooser<'_>, request: &Request, name: &str, weed: usize) -> String {
    let id = &request.weeds[weed];
    let stated = request.weed_stages.contains_key(id)
        || chooser
            .weed_number(id)
            .and_then(|w| chooser.emerging[w].as_ref())
            .is_none_or(|e| e.stated);
    let doubt = if stated {
        ""
    } else {
        ", as far as the months in which it is seen tell"
    };
    format!(
        "{} has come up by now{doubt}; {name} only works before",
        weed_name(chooser, id)
    )
}

fn weak(
    chooser: &Chooser<'_>,
    request: &Request,
    form: &Active,
    weed: usize,
    timing: Timing,
) -> String {
    let id = &request.weeds[weed];
    let verdict = chooser.book.control(form, id, timing);
    let (does, rests) = verdict.as_ref().map_or(("is too weak on", ""), |v| {
        let does = if v.rating == Control::None {
            "does nothing on"
        } else {
            "is too weak on"
        };
        (does, v.standing.words())
    });
    format!("{} {does} {} ({rests})", form.name, weed_name(chooser, id))
}

fn limit(form: &Active, most: bool) -> f64 {
    form.air_temperature
        .as_ref()
        .and_then(|air| if most { air.below_f } else { air.above_f })
        .map_or(0.0, |n| n.0)
}

fn on_turf(chooser: &Chooser<'_>, request: &Request, form: &Active, turf: usize) -> String {
    let id = &request.turf[turf];
    let (name, grass) = (&form.name, turf_name(chooser, id));
    let stage = stage_words(chooser, &request.stage);
    match chooser.book.tolerance(form, id, &request.stage) {
        None => format!("nothing proves {name} safe on {grass} {stage}"),
        Some(v) => hurt(name, grass, &stage, &v),
    }
}

/// A sentence made part of another; names that start with a capital all the way keep it.
fn lower_first(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(|c| c.to_lowercase().to_string());
    first.unwrap_or_default() + letters.as_str()
}

fn hurt(name: &str, grass: &str, stage: &str, verdict: &Verdict<Tolerance>) -> String {
    let resting = verdict.standing.words();
    if verdict.rating == Tolerance::NotRegistered {
        return format!("labels of {name} do not name {grass} ({resting})");
    }
    let detail = verdict
        .conditions
        .first()
        .map_or(String::new(), |c| format!(": {c}"));
    format!("{name} injures {grass} {stage} ({resting}{detail})")
}

/// Why actives are kept apart, in one sentence.
#[must_use]
pub fn apart(chooser: &Chooser<'_>, request: &Request, actives: &[usize], why: Apart) -> String {
    match why {
        Apart::Interaction(i) => {
            let known = &chooser.book.interactions[i];
            let remedy = known
                .remedy
                .as_ref()
                .map_or(String::new(), |r| format!("; {r}"));
            format!("{}{remedy}", known.text)
        }
        Apart::Mixture(m, t) => {
            let turf = &request.turf[t];
            let rows = &chooser.book.mixtures[m].turf;
            let verdict = chooser.book.tolerance_of(rows, turf, &request.stage);
            verdict.map_or(String::new(), |v| {
                hurt(
                    &active_names(chooser, actives),
                    turf_name(chooser, turf),
                    &stage_words(chooser, &request.stage),
                    &v,
                )
            })
        }
    }
}

/// Why an active that passed every gate is part of no option.
#[must_use]
pub fn not_needed(chooser: &Chooser<'_>, request: &Request, active: usize, deals: u64) -> String {
    let weeds: Vec<&str> = request
        .weeds
        .iter()
        .enumerate()
        .filter(|(w, _)| *w < 64 && deals & (1 << w) != 0)
        .map(|(_, id)| weed_name(chooser, id))
        .collect();
    format!(
        "{} deals with {} only; the options deal with more, or with as much in fewer actives",
        chooser.actives[active].form.name,
        and_list(&weeds)
    )
}

/// A tolerance in a word.
#[must_use]
pub fn tolerance_word(rating: Tolerance) -> &'static str {
    match rating {
        Tolerance::Tolerant => "tolerant",
        Tolerance::Intermediate => "intermediate",
        Tolerance::Sensitive => "sensitive",
        Tolerance::NotRegistered => "not registered",
    }
}

/// A control in a word.
#[must_use]
pub fn control_word(rating: Control) -> &'static str {
    match rating {
        Control::Good => "good",
        Control::Fair => "fair",
        Control::Poor => "poor",
        Control::None => "none",
    }
}
