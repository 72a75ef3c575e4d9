//! Which products of the shelf are taken, and whether they may meet in one tank.

use super::{Sheet, Wish};
use crate::amounts::pick;
use crate::knowledge::Knowledge;
use crate::knowledge::fact::one_line;
use crate::lawn::check::Use;
use crate::lawn::ground::{self, Ground};
use crate::lawn::label::{self, Label};
use crate::lawn::{Finding, LawnError, Weight, check};
use crate::measure::{Exact, Fault, FaultKind};
use crate::tank::meetings::Together;
use crate::visit::Lawn;
use crate::words::plain;

/// A single product must name every weed; of several, each names what it is for.
pub fn named_weeds(wish: &Wish<'_>, products: usize) -> Vec<String> {
    if products > 1 {
        Vec::new()
    } else {
        wish.weeds.to_vec()
    }
}

/// Longest name of a product that is printed, in characters.
const LONGEST_NAME: usize = 60;

pub fn labels<'a>(book: &'a Knowledge, lawn: &'a Lawn) -> Result<Vec<Label<'a>>, LawnError> {
    for (place, one) in lawn.shelf.iter().enumerate() {
        let wrong = |message: String, expected: &str| {
            let fault = Fault::new(FaultKind::Figures, message).expected(expected);
            LawnError::at(format!("lawn: shelf: product {}", place + 1))(fault)
        };
        if one_line(&one.name, LONGEST_NAME) != one.name {
            return Err(wrong(
                format!(
                    "`{}` is no name to print",
                    one_line(&one.name, LONGEST_NAME)
                ),
                "one line of at most 60 characters",
            ));
        }
        if plain(&one.name).is_empty() {
            return Err(wrong("the product has no name".to_owned(), "a name"));
        }
        if lawn.shelf[..place]
            .iter()
            .any(|o| plain(&o.name) == plain(&one.name))
        {
            return Err(wrong(
                format!("two products are called `{}`", one.name),
                "a name of its own for each",
            ));
        }
    }
    lawn.shelf
        .iter()
        .map(|product| label::label(book.mixing.as_ref(), product))
        .collect()
}

/// The products to take, or nothing with the reason in the findings.
pub fn taken(
    book: &Knowledge,
    labels: &[Label<'_>],
    wish: &Wish<'_>,
    sheet: &mut Sheet,
) -> Result<Option<Vec<usize>>, LawnError> {
    if !wish.products.is_empty() {
        return pick::named(labels, &wish.products)
            .map(Some)
            .map_err(|(name, near)| {
                let fault = Fault::new(FaultKind::Empty, format!("no product is called `{name}`"));
                LawnError::at("lawn: shelf")(match near {
                    Some(near) => fault.hint(format!("did you mean `{near}`?")),
                    None => fault.expected("the name of a product on the shelf"),
                })
            });
    }
    if wish.chosen.is_empty() {
        return match labels {
            [] => Ok(None),
            [_] => Ok(Some(vec![0])),
            _ => {
                let fault = Fault::new(FaultKind::Empty, "several products stand on the shelf")
                    .expected("which of them is meant");
                Err(LawnError::at("lawn: shelf")(fault))
            }
        };
    }
    if let Some(found) = pick::for_actives(book, labels, wish.chosen) {
        return Ok(Some(found));
    }
    let near = pick::near(book, labels, wish.chosen);
    for &i in &near {
        let on = Use {
            chosen: wish.chosen,
            ..Use::default()
        };
        let all = check::check(book, &labels[i], &on);
        let mut other: Vec<Finding> = all
            .into_iter()
            .filter(|f| matches!(f.code, "other-active" | "active-not-known"))
            .collect();
        if other.is_empty() {
            other.push(Finding::new(
                "part-of-the-choice",
                Weight::Stop,
                &labels[i].product.name,
                "It holds a part of what was chosen only; the rest is not on the shelf.",
            ));
        }
        sheet.findings.extend(other);
    }
    if near.is_empty() && !labels.is_empty() {
        let names: Vec<&str> = labels.iter().map(|l| l.product.name.as_str()).collect();
        sheet.findings.push(Finding::new(
            "not-on-the-shelf",
            Weight::Note,
            &crate::words::and_list(&names),
            "Nothing on the shelf holds what was chosen, so no amounts are given.",
        ));
    }
    Ok(None)
}

pub fn all_actives(book: &Knowledge, picked: &[&Label<'_>]) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    for id in picked
        .iter()
        .flat_map(|l| check::actives(book, l))
        .flatten()
    {
        if !all.contains(&id) {
            all.push(id);
        }
    }
    all
}

/// Every weed must stand on one of the labels.
pub fn weeds_between(book: &Knowledge, picked: &[&Label<'_>], wish: &Wish<'_>, sheet: &mut Sheet) {
    use crate::knowledge::Kind;
    let named: Vec<String> = picked
        .iter()
        .flat_map(|l| l.product.weeds.iter())
        .filter_map(|w| book.find(Kind::Weed, w).ok())
        .collect();
    let products: Vec<&str> = picked.iter().map(|l| l.product.name.as_str()).collect();
    for id in wish.weeds.iter().filter(|w| !named.contains(w)) {
        let weed = crate::knowledge::fact::Named::weed(book, id).name;
        sheet.findings.push(Finding::new(
            "weed-not-on-label",
            Weight::Question,
            &crate::words::and_list(&products),
            format!("None of the labels, as copied, names {weed}."),
        ));
    }
}

/// Actives of two packs that must not meet stop the job; unknown pairs are asked about.
pub fn apart(sheet: &mut Sheet, picked: &[&Label<'_>]) {
    let all: Vec<&str> = picked.iter().map(|l| l.product.name.as_str()).collect();
    let products = crate::words::and_list(&all);
    let found: Vec<Finding> = sheet
        .meetings
        .iter()
        .filter_map(|m| {
            let (code, weight) = match m.together {
                Together::Apart => ("do-not-mix", Weight::Stop),
                Together::Unknown => ("mix-not-known", Weight::Question),
                Together::Care => ("mix-with-care", Weight::Question),
                Together::Known => return None,
            };
            let mut finding = Finding::new(code, weight, &products, m.words.clone());
            let grave = m.statements.iter().find(|s| {
                use crate::knowledge::form::lists::Effect::{
                    Antagonism, Caution, DoNotMix, Injury,
                };
                matches!(s.effect, DoNotMix | Antagonism | Injury | Caution)
            });
            if let Some(statement) = grave {
                finding.text = format!("{} {}", finding.text, statement.fact.text);
                finding.evidence = Some(statement.fact.evidence);
                finding.sources.clone_from(&statement.fact.sources);
            }
            Some(finding)
        })
        .collect();
    sheet.findings.extend(found);
}

/// An `area` that is far from the sum of the named areas is a slip in one of them.
pub fn two_areas(lawn: &Lawn, ground: Option<&Ground>, picked: &[&Label<'_>], sheet: &mut Sheet) {
    let (Some(ground), Some(first), true) = (ground, picked.first(), lawn.treat.is_empty()) else {
        return;
    };
    let Ok(Some(typed)) = ground::of(&[], lawn.area.as_deref(), &[]) else {
        return;
    };
    // A tenth more or less is how well lawns are measured.
    let Ok(ratio) = typed.area.in_units_of(&ground.area) else {
        return;
    };
    let off = (&ratio - &Exact::one()).abs();
    if &off * &Exact::from(10) > Exact::one() {
        sheet.findings.push(Finding::new(
            "areas-differ",
            Weight::Question,
            &first.product.name,
            format!(
                "`area` says {}, the named areas are {} together: the named areas are taken.",
                typed.area.short(),
                ground.area.short()
            ),
        ));
    }
}
