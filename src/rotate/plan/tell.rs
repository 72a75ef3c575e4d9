//! A plan in words, and what to do beside it.
use super::{Planned, Rotation};
use crate::choose::{Advice, Choice};
use crate::knowledge::Knowledge;
use crate::words::and_list;
use std::collections::BTreeSet;

pub fn in_words(book: &Knowledge, rotation: &Rotation, steps: &[Planned]) -> String {
    let name = |id: &String| {
        book.weeds
            .get(id)
            .and_then(|w| w.names.first())
            .unwrap_or(id)
            .clone()
    };
    match rotation {
        Rotation::Nothing { weed } => format!(
            "No rotation: nothing in the book is proven safe on this grass and useful against {} on any of these occasions. Work by hand and strengthen the grass, and ask the extension office.",
            name(weed)
        ),
        Rotation::OneGroup { weed, group } => format!(
            "No rotation: every option against {} is of group {group}, alone or with a partner. Use it seldom, after scouting, at the full rate of the label, and let hand work and a dense sward take turns with it; kill survivors before they seed.",
            name(weed)
        ),
        Rotation::Possible => {
            let used: BTreeSet<u16> = steps
                .iter()
                .flat_map(|s| s.groups.iter().copied())
                .collect();
            let rests = steps.iter().filter(|s| s.groups.is_empty()).count();
            let words: Vec<String> = used.iter().map(u16::to_string).collect();
            let rest = if rests > 0 {
                format!(" and leaves {rests} without chemicals")
            } else {
                String::new()
            };
            if words.is_empty() {
                "The plan does without chemicals: resting costs least here.".to_owned()
            } else {
                format!(
                    "The plan turns through group{} {}{rest}.",
                    if words.len() == 1 { "" } else { "s" },
                    and_list(&words)
                )
            }
        }
    }
}

pub fn instead(choice: &Choice) -> Vec<Advice> {
    choice
        .without_chemicals
        .iter()
        .filter(|a| a.weed.is_some() || a.about == "mowing")
        .cloned()
        .collect()
}

pub fn guidance(book: &Knowledge) -> Vec<Advice> {
    let Some(own) = &book.resistance else {
        return Vec::new();
    };
    let followed: BTreeSet<&String> = own.costs.iter().flat_map(|c| c.follows.iter()).collect();
    own.guidance
        .iter()
        .filter(|g| g.id.as_ref().is_some_and(|id| followed.contains(id)))
        .map(|g| Advice {
            weed: None,
            about: g.id.clone().unwrap_or_default(),
            text: g.text.clone(),
            evidence: book.evidence(&g.source),
            sources: g.source.to_vec(),
        })
        .collect()
}
