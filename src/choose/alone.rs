//! What stays if only one active is used.
use super::decide::Decision;
use super::effect::Effect;
use super::gates::Here;
use super::index::Chooser;
use super::request::Request;
use super::say::weed_name;
use crate::words::and_list;
use serde::Serialize;
use std::cmp::Reverse;

/// One active by itself where the weeds together need several, or more than there is.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Alone {
    /// Id of the active.
    pub active: String,
    /// Whether it is used before the weeds come up.
    pub pre: bool,
    /// Weeds that it deals with.
    pub deals_with: Vec<String>,
    /// Weeds that it leaves.
    pub leaves: Vec<String>,
    /// Its part of the ground that the weeds cover, 0 to 1, where the cover of every weed was said.
    pub share: Option<f64>,
    /// The same in a sentence.
    pub text: String,
}

/// How many are told.
const TOLD: usize = 3;

/// The best single actives, where the options need several; by cover where it was said, else by number of weeds.
pub(super) fn alone(chooser: &Chooser<'_>, request: &Request, decision: &Decision) -> Vec<Alone> {
    let several = decision
        .options
        .first()
        .is_some_and(|o| o.actives.len() > 1);
    if request.weeds.len() < 2 || !several {
        return Vec::new();
    }
    let here = Here::new(chooser, request);
    let (mut effects, _) = chooser.pass(&here);
    let share = |e: &Effect| share(request, e.deals);
    effects.sort_by(|a, b| {
        let most = |e: &Effect| (share(e).unwrap_or_default(), e.deals.count_ones());
        most(b)
            .partial_cmp(&most(a))
            .unwrap_or(std::cmp::Ordering::Equal)
            .then_with(|| rank(chooser, &here, a).cmp(&rank(chooser, &here, b)))
    });
    effects
        .iter()
        .take(TOLD)
        .map(|effect| {
            let (deals, leaves): (Vec<usize>, Vec<usize>) =
                (0..request.weeds.len()).partition(|&w| effect.on[w].is_some());
            let ids = |of: &[usize]| -> Vec<String> {
                of.iter().map(|&w| request.weeds[w].clone()).collect()
            };
            Alone {
                active: chooser.id(effect.active).to_owned(),
                pre: effect.pre,
                deals_with: ids(&deals),
                leaves: ids(&leaves),
                share: share(effect),
                text: text(chooser, request, effect, &deals, &leaves),
            }
        })
        .collect()
}

/// Among equals the safer on the grass.
fn rank(chooser: &Chooser<'_>, here: &Here<'_>, effect: &Effect) -> impl Ord + use<> {
    let worst = here
        .turf
        .iter()
        .flatten()
        .filter_map(|&t| chooser.tolerance(effect.active, t, here.stage?))
        .map(|w| (w.rating, w.standing))
        .max();
    (worst, Reverse(effect.deals.count_ones()), effect.active)
}

fn share(request: &Request, deals: u64) -> Option<f64> {
    let cover: Option<Vec<f64>> = request
        .weeds
        .iter()
        .map(|w| request.cover_percent.get(w).copied())
        .collect();
    let cover = cover?;
    let all: f64 = cover.iter().sum();
    let part: f64 = cover
        .iter()
        .enumerate()
        .filter(|(w, _)| *w < 64 && deals & (1 << w) != 0)
        .map(|(_, c)| c)
        .sum();
    (all > 0.0).then(|| part / all)
}

fn text(
    chooser: &Chooser<'_>,
    request: &Request,
    effect: &Effect,
    deals: &[usize],
    leaves: &[usize],
) -> String {
    let names = |of: &[usize]| {
        let names: Vec<&str> = of
            .iter()
            .map(|&w| weed_name(chooser, &request.weeds[w]))
            .collect();
        and_list(&names)
    };
    let share = share(request, effect.deals).map_or(String::new(), |s| {
        format!(" ({:.0} percent of what the weeds cover)", s * 100.0)
    });
    let rest = match leaves {
        [] => String::new(),
        [one] => format!("; {} needs its own", names(&[*one])),
        more => format!("; {} need their own", names(more)),
    };
    format!(
        "{} alone deals with {} of the {}{share}: {}{rest}",
        chooser.actives[effect.active].form.name,
        deals.len(),
        request.weeds.len(),
        names(deals)
    )
}
