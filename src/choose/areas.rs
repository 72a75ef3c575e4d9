//! Several grasses in one lawn: what would be open if each were treated by itself.
use super::decide::Decision;
use super::index::Chooser;
use super::request::Request;
use super::say::turf_name;
use serde::Serialize;

/// One grass by itself.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Area {
    /// Id of the grass.
    pub turf: String,
    /// Actives of each option on this grass alone, best first.
    pub options: Vec<Vec<String>>,
    /// What it means, in a sentence.
    pub text: String,
}

/// Each grass of a mixed lawn by itself, where that opens something better or more than all together.
pub(super) fn by_grass(chooser: &Chooser<'_>, request: &Request, together: &Decision) -> Vec<Area> {
    if request.turf.len() < 2 {
        return Vec::new();
    }
    let areas: Vec<(String, Decision)> = request
        .turf
        .iter()
        .map(|turf| {
            let alone = Request {
                turf: vec![turf.clone()],
                ..request.clone()
            };
            (turf.clone(), chooser.decide(&alone))
        })
        .collect();
    let best = |d: &Decision| d.options.first().map(|o| o.worth);
    let gains = areas.iter().any(|(_, alone)| {
        let better = best(alone).is_some_and(|a| best(together).is_none_or(|b| a < b));
        better || alone.options.len() > together.options.len()
    });
    if !gains {
        return Vec::new();
    }
    areas
        .into_iter()
        .map(|(turf, decision)| {
            let options: Vec<Vec<String>> = decision
                .options
                .iter()
                .map(|o| {
                    o.actives
                        .iter()
                        .map(|&a| chooser.id(a).to_owned())
                        .collect()
                })
                .collect();
            let name = turf_name(chooser, &turf);
            let text = match options.first() {
                Some(first) => format!(
                    "where only {name} grows, and nothing reaches the rest: {} first, of {} in all",
                    first.join(" + "),
                    options.len()
                ),
                None => format!("where only {name} grows: nothing is proven safe and useful"),
            };
            Area {
                turf,
                options,
                text,
            }
        })
        .collect()
}
