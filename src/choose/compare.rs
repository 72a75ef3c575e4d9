//! Two options side by side.
use super::Treatable;
use super::say::{control_word, tolerance_word};
use crate::knowledge::form::active::Timing;
use serde::Serialize;
use std::cmp::Ordering;

/// One aspect of two options, in the order in which options are ranked.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Aspect {
    /// What is compared.
    pub about: String,
    /// The first option.
    pub first: String,
    /// The second option.
    pub second: String,
    /// Which is better: `first`, `second` or `equal`; empty where it does not count for the order.
    pub better: &'static str,
}

fn better(order: Ordering) -> &'static str {
    match order {
        Ordering::Less => "first",
        Ordering::Greater => "second",
        Ordering::Equal => "equal",
    }
}

/// Puts two options of one choice side by side. `name` gives the name of a weed or an active for its id.
#[must_use]
pub fn compare(a: &Treatable, b: &Treatable, name: &dyn Fn(&str) -> String) -> Vec<Aspect> {
    let mut all = Vec::new();
    let mut add = |about: &str, first: String, second: String, better: &'static str| {
        all.push(Aspect {
            about: about.to_owned(),
            first,
            second,
            better,
        });
    };
    let names = |o: &Treatable| {
        let all: Vec<String> = o.actives.iter().map(|id| name(id)).collect();
        all.join(" + ")
    };
    add("actives", names(a), names(b), "");
    let turf = |o: &Treatable| {
        format!(
            "{} ({})",
            tolerance_word(o.turf.rating),
            o.turf.standing.words()
        )
    };
    add(
        "the grass",
        turf(a),
        turf(b),
        better((a.turf.rating, a.turf.standing).cmp(&(b.turf.rating, b.turf.standing))),
    );
    for (one, other) in a.controls.iter().zip(&b.controls) {
        let words = |c: &super::Controlled| {
            let grade = if c.ungraded {
                "named, no grade"
            } else {
                control_word(c.rating)
            };
            format!("{grade} ({})", c.standing.words())
        };
        let order = other
            .rating
            .cmp(&one.rating)
            .then_with(|| one.standing.cmp(&other.standing));
        add(&name(&one.weed), words(one), words(other), better(order));
    }
    let list = |items: Vec<String>| {
        if items.is_empty() {
            "-".to_owned()
        } else {
            items.join("; ")
        }
    };
    let groups = |o: &Treatable| list(o.groups.iter().map(ToString::to_string).collect());
    let time = |o: &Treatable| match o.timing {
        Timing::Pre => "before the weed comes up".to_owned(),
        Timing::EarlyPost => "on young weeds".to_owned(),
        Timing::Post => "on grown weeds".to_owned(),
    };
    add("time", time(a), time(b), "");
    add("groups", groups(a), groups(b), "");
    add(
        "number of actives",
        a.actives.len().to_string(),
        b.actives.len().to_string(),
        better(a.actives.len().cmp(&b.actives.len())),
    );
    let again = |o: &Treatable| list(o.again.iter().map(|x| x.text.clone()).collect());
    add("second treatment", again(a), again(b), "");
    let conditions = |o: &Treatable| list(o.turf.conditions.clone());
    add("limits on the grass", conditions(a), conditions(b), "");
    let cautions = |o: &Treatable| list(o.cautions.clone());
    add("cautions", cautions(a), cautions(b), "");
    all
}
