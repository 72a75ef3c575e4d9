//! A product's label held against the book, the grass, the weeds, the sprayer and the option that was chosen.
mod spraying;

use super::dose;
use super::finding::{Finding, Weight};
use super::label::Label;
use crate::knowledge::fact::Named;
use crate::knowledge::{Kind, Knowledge};
use crate::measure::Quantity;
use crate::measure::droplet::Droplet;
use crate::words::and_list;
use spraying::{adjuvants, droplets, spray_volume};

/// What a product is to be used on.
#[derive(Debug, Clone, Default)]
pub struct Use<'a> {
    /// Ids of the grasses; empty where nothing is said.
    pub turf: &'a [String],
    /// Ids of the weeds; empty where nothing is said.
    pub weeds: &'a [String],
    /// Ids of the actives that were chosen; empty where nothing was.
    pub chosen: &'a [String],
    /// Spray per area that the sprayer puts out.
    pub output: Option<&'a Quantity>,
    /// Droplet class of the sprayer's nozzle.
    pub droplets: Option<Droplet>,
}

/// The id of every active of a product that the book knows.
#[must_use]
pub fn actives(book: &Knowledge, label: &Label<'_>) -> Vec<Option<String>> {
    label
        .contents
        .iter()
        .map(|(typed, _)| book.find(Kind::Active, typed).ok())
        .collect()
}

/// Every finding, the gravest first.
#[must_use]
pub fn check(book: &Knowledge, label: &Label<'_>, on: &Use<'_>) -> Vec<Finding> {
    let mut found = Vec::new();
    let ids = actives(book, label);
    found.extend(unknown_actives(book, label));
    found.extend(other_actives(book, label, on, &ids));
    found.extend(grass(book, label, on));
    found.extend(weeds(book, label, on));
    found.extend(over_maximum(label));
    for (id, (_, strength)) in ids.iter().zip(&label.contents) {
        if let Some(id) = id {
            found.extend(dose::check(book, label, id, strength.as_ref(), on.output));
        }
    }
    if !label.is_spread() {
        found.extend(spray_volume(label, on));
        found.extend(droplets(label, on));
        found.extend(adjuvants(book, label, on, &ids));
    }
    found.sort_by_key(|f| f.weight);
    found
}

fn unknown_actives(book: &Knowledge, label: &Label<'_>) -> Vec<Finding> {
    label
        .contents
        .iter()
        .filter_map(|(typed, _)| {
            let unknown = book.find(Kind::Active, typed).err()?;
            Some(Finding::new(
                "active-not-known",
                Weight::Stop,
                &label.product.name,
                format!("{unknown}. What is not known cannot be called safe on a grass."),
            ))
        })
        .collect()
}

fn other_actives(
    book: &Knowledge,
    label: &Label<'_>,
    on: &Use<'_>,
    ids: &[Option<String>],
) -> Option<Finding> {
    if on.chosen.is_empty() {
        return None;
    }
    let other: Vec<String> = ids
        .iter()
        .flatten()
        .filter(|id| !on.chosen.contains(id))
        .map(|id| Named::active(book, id).name)
        .collect();
    if other.is_empty() {
        return None;
    }
    let chosen: Vec<String> = on
        .chosen
        .iter()
        .map(|id| Named::active(book, id).name)
        .collect();
    Some(Finding::new(
        "other-active",
        Weight::Stop,
        &label.product.name,
        format!(
            "It holds {}, which is not what was chosen ({}). It was not checked for this lawn as a part of this choice.",
            and_list(&other),
            and_list(&chosen)
        ),
    ))
}

fn grass(book: &Knowledge, label: &Label<'_>, on: &Use<'_>) -> Vec<Finding> {
    let product = label.product;
    let named: Vec<Result<String, &str>> = product
        .grasses
        .iter()
        .map(|typed| book.find(Kind::Turf, typed).map_err(|_| typed.as_str()))
        .collect();
    let mut found = Vec::new();
    if on.turf.is_empty() {
        found.push(Finding::new(
            "grass-not-said",
            Weight::Question,
            &product.name,
            "The grass of the lawn is not given, so the label could not be held against it: use it only on a grass that the label names.",
        ));
    }
    for id in on.turf {
        if named.iter().any(|n| n.as_ref() == Ok(id)) {
            continue;
        }
        let grass = Named::or_id(id, book.turf.get(id).and_then(|t| t.names.first())).name;
        let text = if product.grasses.is_empty() {
            format!(
                "The file does not say which grasses its label names: copy them to `grasses`. Without {grass} on the label it must not be used here."
            )
        } else {
            format!(
                "Its label does not name {grass} (it names {}): do not use it on this lawn.",
                and_list(&product.grasses.0)
            )
        };
        found.push(Finding::new(
            "grass-not-on-label",
            Weight::Stop,
            &product.name,
            text,
        ));
    }
    let strangers: Vec<&str> = named
        .iter()
        .filter_map(|n| n.as_ref().err().copied())
        .collect();
    if !found.is_empty() && !strangers.is_empty() {
        found.push(Finding::new(
            "grass-not-known",
            Weight::Note,
            &product.name,
            format!(
                "The book has no grass called {}: `ligule knowledge list turf` shows the names it knows.",
                and_list(&strangers)
            ),
        ));
    }
    found
}

fn weeds(book: &Knowledge, label: &Label<'_>, on: &Use<'_>) -> Option<Finding> {
    let product = label.product;
    let named: Vec<String> = product
        .weeds
        .iter()
        .filter_map(|typed| book.find(Kind::Weed, typed).ok())
        .collect();
    let missing: Vec<String> = on
        .weeds
        .iter()
        .filter(|id| !named.contains(id))
        .map(|id| Named::weed(book, id).name)
        .collect();
    if missing.is_empty() {
        return None;
    }
    let text = if product.weeds.is_empty() {
        format!(
            "The file does not say which weeds its label names: look for {} there.",
            and_list(&missing)
        )
    } else {
        format!(
            "Its label does not name {}: ask the maker or the authority before you rely on it.",
            and_list(&missing)
        )
    };
    Some(Finding::new(
        "weed-not-on-label",
        Weight::Question,
        &product.name,
        text,
    ))
}

/// A rate above the label's own maximum is a slip in one of the two.
fn over_maximum(label: &Label<'_>) -> Vec<Finding> {
    let Some(most) = &label.most else {
        return Vec::new();
    };
    [("rate", &label.broadcast), ("rate for spots", &label.spot)]
        .into_iter()
        .filter_map(|(words, span)| {
            let rate = &span.as_ref()?.high;
            let over = rate.kind() == most.kind() && rate.in_base() > most.in_base();
            over.then(|| {
                let same = rate
                    .to(&most.unit)
                    .map_or_else(|_| rate.short(), |q| q.short());
                Finding::new(
                    "rate-over-maximum",
                    Weight::Stop,
                    &label.product.name,
                    format!(
                        "The {words} {} ({same}) is above the label's own maximum {}: one of the two is copied wrongly.",
                        rate.short(),
                        most.short()
                    ),
                )
            })
        })
        .collect()
}
