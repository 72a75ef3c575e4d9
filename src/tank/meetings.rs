//! What is known of the chosen actives in one tank on this grass.
use super::expected;
use crate::choose;
use crate::knowledge::Knowledge;
use crate::knowledge::fact::{Fact, Named};
use crate::knowledge::form::common::Number;
use crate::knowledge::form::lists::{Effect, Interaction};
use crate::measure::Exact;
use serde::Serialize;

/// Whether two actives may share a tank.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Together {
    /// A source says to keep them apart, or one works against the other.
    Apart,
    /// They may hurt the grass, or something is to be minded.
    Care,
    /// Nothing is known: a jar test and the label decide.
    Unknown,
    /// They are known to be sold or used together.
    Known,
}

/// One statement of the book about a pair.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Statement {
    /// What it is about.
    pub effect: Effect,
    /// Whether the finding was made on the grass of this lawn; `None` where the source does not say on which.
    pub on_this_grass: Option<bool>,
    /// The sentence.
    #[serde(flatten)]
    pub fact: Fact,
    /// Expected and observed control, where the source gives both partners alone.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub expected: Option<String>,
}

/// Two actives in one tank.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Meeting {
    /// One.
    pub first: Named,
    /// The other.
    pub second: Named,
    /// Whether they may share a tank.
    pub together: Together,
    /// The same as a sentence.
    pub words: String,
    /// All that the book says of the pair.
    pub statements: Vec<Statement>,
}

/// Every pair of actives.
#[must_use]
pub fn meetings(book: &Knowledge, actives: &[String], turf: &[String]) -> Vec<Meeting> {
    let mut all = Vec::new();
    for (place, first) in actives.iter().enumerate() {
        for second in &actives[place + 1..] {
            all.push(meeting(book, first, second, turf));
        }
    }
    all
}

fn meeting(book: &Knowledge, first: &str, second: &str, turf: &[String]) -> Meeting {
    let of_pair: Vec<&Interaction> = book
        .interactions
        .iter()
        .filter(|i| choose::meets(book, i, first, second) || choose::meets(book, i, second, first))
        .collect();
    let has = |effects: &[Effect]| of_pair.iter().any(|i| effects.contains(&i.effect));
    let sold = book.mixtures.iter().any(|m| {
        m.sold_together.is_some()
            && [first, second]
                .iter()
                .all(|id| m.actives.iter().any(|a| a == id))
    });
    let together = if has(&[Effect::DoNotMix, Effect::Antagonism]) {
        Together::Apart
    } else if has(&[Effect::Injury, Effect::Caution]) {
        Together::Care
    } else if sold {
        Together::Known
    } else {
        Together::Unknown
    };
    let (one, other) = (Named::active(book, first), Named::active(book, second));
    let pair = format!("{} and {}", one.name, other.name);
    let words = match together {
        Together::Apart => format!("Keep {pair} in separate tanks, on separate days."),
        Together::Care => {
            format!("{pair} in one tank need care (see what is known of them); the labels decide.")
        }
        Together::Known => format!(
            "{pair} are sold or used together; from separate packs the labels decide all the same."
        ),
        Together::Unknown => format!(
            "Nothing in the book shows {pair} in one tank to be safe: unless a label names the other, do not mix them; a jar test shows only whether they mix."
        ),
    };
    Meeting {
        first: one,
        second: other,
        together,
        words,
        statements: of_pair
            .iter()
            .filter_map(|i| statement(book, i, turf))
            .collect(),
    }
}

/// A finding on one grass says nothing about another: what spared another grass is left out, what hurt it is told.
fn statement(book: &Knowledge, i: &Interaction, turf: &[String]) -> Option<Statement> {
    let on_this_grass = (!i.turf.is_empty()).then(|| i.turf.iter().any(|t| turf.contains(t)));
    if on_this_grass == Some(false) && i.effect == Effect::Safening {
        return None;
    }
    let mut text = match &i.seen_on {
        Some(weed) => format!("On {weed}: {}", i.text),
        None => i.text.clone(),
    };
    if let Some(remedy) = &i.remedy {
        text = format!("{text} Remedy: {remedy}.");
    }
    if on_this_grass == Some(false) {
        let names: Vec<String> = i
            .turf
            .iter()
            .map(|id| Named::or_id(id, book.turf.get(id).and_then(|t| t.names.first())).name)
            .collect();
        text = format!("{text} (Seen on {}.)", crate::words::and_list(&names));
    }
    if let Some(note) = &i.note {
        text = format!("{text} ({note})");
    }
    Some(Statement {
        effect: i.effect,
        on_this_grass,
        fact: Fact::new(book, text, &i.source),
        expected: colby(i),
    })
}

/// Expected control by both, where the source gives the control of each alone in the same trial.
fn colby(i: &Interaction) -> Option<String> {
    let exact = |n: &Number| Exact::from_digits(&n.0.to_string());
    let alone: Option<Vec<Exact>> = i.alone_percent.as_ref()?.iter().map(exact).collect();
    let expected = expected::control(&alone?).ok()?.value;
    let observed = exact(i.together_percent.as_ref()?)?;
    Some(format!(
        "expected from each alone {} %, observed {} %",
        crate::measure::short(&expected),
        crate::measure::short(&observed)
    ))
}
