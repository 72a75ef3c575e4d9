//! What tells a plant from the others of the book: of what was seen, what weighed most; of a plant that was only named,
//! what to look for.
//!
//! A trait weighs `ln(P(answer | this plant) / mean P(answer | every other plant))`, with the chances of the key. It is the
//! part of that trait in the odds of this plant against one drawn from the rest of the book.
use super::fact::Fact;
use super::tell::{observed_label, trait_label};
use crate::key::{Answer, Answers, Book};
use crate::knowledge::Knowledge;
use crate::knowledge::form::plant::{Shows, Trait};
use serde::Serialize;

/// Most that are kept of one plant.
const MOST: usize = 8;
/// Traits that weigh less tell next to nothing: the answer is hardly commoner on this plant than on the others.
const LEAST: f64 = 0.5;

/// A trait in which a plant differs from most others.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Deciding {
    /// Id of the trait.
    pub of: String,
    /// Id of the state; `class-0`, `class-1` ... for a measure, from the smallest. Drawings are filed by it.
    pub drawing: String,
    /// Whether it was seen; otherwise it is what to look for.
    pub seen: bool,
    /// How much it weighs, as a natural logarithm of odds.
    pub weight: f64,
    /// Trait and state in words, with what the book rests them on.
    #[serde(flatten)]
    pub fact: Fact,
}

/// What tells the plant with this id from the others, the weightiest first.
pub fn deciding(book: &Knowledge, key: &Book, id: &str, answers: &Answers) -> Vec<Deciding> {
    let (Some(weed), Some(taxon)) = (
        book.weeds.get(id),
        key.taxa().iter().position(|t| t.id == id),
    ) else {
        return Vec::new();
    };
    let answered = answers.sorted().any(|(_, a)| !matches!(a, Answer::Unsure));
    let mut found: Vec<Deciding> = key
        .traits()
        .iter()
        .enumerate()
        .filter_map(|(of, compiled)| {
            let one = book.traits.iter().find(|t| t.id == compiled.id)?;
            let shows = weed.traits.get(&one.id)?;
            let answer = if answered {
                answers.get(of).cloned()?
            } else {
                expected(one, shows)?
            };
            let classes = key.classes_of(of, &answer)?;
            let class = shown_class(one, shows, &classes)?;
            let chance = |taxon| {
                classes
                    .iter()
                    .map(|&c| key.chance(taxon, of, c))
                    .sum::<f64>()
            };
            let others: Vec<f64> = (0..key.taxa().len())
                .filter(|&t| t != taxon)
                .map(chance)
                .collect();
            let count = f64::from(u32::try_from(others.len()).ok().filter(|&n| n > 0)?);
            let weight = (chance(taxon) / (others.iter().sum::<f64>() / count)).ln();
            let told = if one.states.is_empty() {
                answer
            } else {
                Answer::States(vec![class])
            };
            (weight >= LEAST).then(|| Deciding {
                of: one.id.clone(),
                drawing: one
                    .states
                    .get(class)
                    .map_or_else(|| format!("class-{class}"), |s| s.id.clone()),
                seen: answered,
                weight,
                fact: Fact::new(
                    book,
                    format!("{}: {}", trait_label(one), observed_label(one, &told)),
                    &shows.source,
                ),
            })
        })
        .collect();
    found.sort_by(|a, b| b.weight.total_cmp(&a.weight).then(a.of.cmp(&b.of)));
    found.truncate(MOST);
    found
}

/// The answer that somebody who looks at the plant would give: its only state, or the middle of its range.
fn expected(of: &Trait, shows: &Shows) -> Option<Answer> {
    if let Some([from, to]) = shows.range {
        return Some(Answer::Number(f64::midpoint(from.0, to.0)));
    }
    let [only] = &shows.is[..] else { return None };
    let state = of.states.iter().position(|s| s.id == *only)?;
    Some(Answer::States(vec![state]))
}

/// Of the classes of an answer the first that the plant shows; none where it shows none of them.
fn shown_class(of: &Trait, shows: &Shows, classes: &[usize]) -> Option<usize> {
    if of.states.is_empty() {
        return classes.first().copied();
    }
    let fits = |class: &usize| {
        of.states
            .get(*class)
            .is_some_and(|s| shows.is.contains(&s.id) || shows.sometimes.contains(&s.id))
    };
    classes.iter().copied().find(fits)
}
