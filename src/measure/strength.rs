//! How much active a product holds, as its label says it: `4 lb/gal`, `480 g/L`, `75 % WG`, `50WP`,
//! `0.6 % w/w`, `3.8 lb a.e./gal`.

use super::exact::Exact;
use super::fault::{Fault, FaultKind};
use super::kind::{Base, Kind, Of};
use super::lex::{Piece, tokens};
use super::quantity::{Quantity, State};
use super::read::quantity;
use super::unit::{Unit, row};
use serde::Serialize;

/// A product's content of active.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Strength {
    /// Weight of active (or acid) per volume or per weight of product.
    pub content: Quantity,
    /// The formulation code, when it was given.
    pub code: Option<String>,
    /// Dry or liquid, when the text says so.
    pub state: Option<State>,
}

/// Two-letter codes of the international list (`CropLife` International, Technical Monograph No. 2, 7th
/// ed., 2017) and the short forms printed in the United States, with the state in which the product
/// is sold. A number before a dry code is a percentage by weight.
const CODES: &[(&str, State)] = &[
    ("WP", State::Dry),
    ("WG", State::Dry),
    ("WDG", State::Dry),
    ("DF", State::Dry),
    ("DG", State::Dry),
    ("WT", State::Dry),
    ("SG", State::Dry),
    ("SP", State::Dry),
    ("WSP", State::Dry),
    ("WSG", State::Dry),
    ("ST", State::Dry),
    ("GR", State::Dry),
    ("G", State::Dry),
    ("DP", State::Dry),
    ("SC", State::Liquid),
    ("F", State::Liquid),
    ("FL", State::Liquid),
    ("L", State::Liquid),
    ("SL", State::Liquid),
    ("EC", State::Liquid),
    ("E", State::Liquid),
    ("EW", State::Liquid),
    ("OD", State::Liquid),
    ("ME", State::Liquid),
    ("CS", State::Liquid),
    ("SE", State::Liquid),
    ("ZC", State::Liquid),
    ("DC", State::Liquid),
];

/// Reads a product's strength.
///
/// # Errors
/// A [`Fault`]; [`FaultKind::Ambiguous`] where the text does not say of what the percentage is.
///
/// ```
/// use ligule::measure::strength;
/// assert_eq!(strength("75 % WG").unwrap().content.to_string(), "75 % w/w a.i.");
/// assert!(strength("41 %").is_err());
/// ```
pub fn strength(text: &str) -> Result<Strength, Fault> {
    let pieces = tokens(text)?;
    let after_number = |i: usize| match pieces.get(i).map(|t| &t.piece) {
        Some(Piece::Number(_) | Piece::Fraction(..)) => true,
        Some(Piece::Word(word)) => word == "%",
        _ => false,
    };
    let Some((last, before)) = pieces.split_last() else {
        return from_quantity(text);
    };
    let Piece::Word(word) = &last.piece else {
        return from_quantity(text);
    };
    if before.is_empty() || !after_number(before.len() - 1) || word == "%" {
        return from_quantity(text);
    }
    let Some((code, state)) = CODES.iter().find(|(code, _)| code == word) else {
        return from_quantity(text).map_err(|fault| with_code_hint(fault, word));
    };
    let content = text[..last.at.start].trim_end();
    if *state == State::Liquid {
        if let Some(found) = liquid_by_code(content, code)? {
            return Ok(found);
        }
        return Err(Fault::at(
            FaultKind::Ambiguous,
            text,
            last.at.clone(),
            format!(
                "`{}` may be pounds per gallon, grams per litre or a percentage, of active ingredient or acid",
                text.trim()
            ),
        )
        .expected("the content with its unit, such as 4 lb a.i./gal or 480 g a.i./L"));
    }
    let bare = content.trim_end_matches('%').trim_end();
    let percent = quantity(&format!("{bare} %")).map_err(|fault| fault.in_text(text))?;
    let content = Quantity {
        value: percent.value,
        unit: by_weight(Of::Active)?,
    };
    Ok(Strength {
        content: sound(content)?,
        code: Some((*code).to_owned()),
        state: Some(*state),
    })
}

/// Liquids whose number is, in the United States, pounds of active ingredient in a gallon. Solutions (`SL`) are
/// left out: they are mostly salts, and the number may count the salt or its acid.
const BY_VOLUME: [&str; 8] = ["EC", "E", "SC", "F", "FL", "L", "EW", "CS"];
/// Most pounds of active in a gallon that such a number can mean: a gallon of spray product weighs about 8 to 11 lb.
const MOST_POUNDS: i64 = 8;
/// Grams of active in a litre that a number of the international form (`250 EC`) can mean.
const GRAMS: [i64; 2] = [100, 800];

/// `4 EC` is 4 lb a.i./gal and `250 EC` is 250 g a.i./L; numbers between the two forms (`25 EC`) could be either
/// or a percentage, and are left to the caller to refuse.
fn liquid_by_code(number: &str, code: &str) -> Result<Option<Strength>, Fault> {
    if number.contains('%') || !BY_VOLUME.contains(&code) {
        return Ok(None);
    }
    let Ok(plain) = quantity(&format!("{number} lb a.i./gal")) else {
        return Ok(None);
    };
    let value = &plain.value;
    let content = if *value <= Exact::from(MOST_POUNDS) {
        plain
    } else if (Exact::from(GRAMS[0])..=Exact::from(GRAMS[1])).contains(value) {
        quantity(&format!("{number} g a.i./L"))?
    } else {
        return Ok(None);
    };
    Ok(Some(Strength {
        content: sound(content)?,
        code: Some(code.to_owned()),
        state: Some(State::Liquid),
    }))
}

/// Whether a product with this formulation code is weighed or poured; nothing for a code that is not known.
#[must_use]
pub fn state_of_code(code: &str) -> Option<State> {
    CODES
        .iter()
        .find(|(known, _)| *known == code)
        .map(|(_, state)| *state)
}

fn from_quantity(text: &str) -> Result<Strength, Fault> {
    let content = quantity(text)?;
    let kind = content.kind();
    if kind == Kind::plain(Base::Share) {
        return Err(Fault::at(
            FaultKind::Ambiguous,
            text,
            0..text.len(),
            "the percentage does not say of what it is",
        )
        .expected("`% w/w`, `% w/v`, or the formulation code of a dry product, such as 75 % WG"));
    }
    let of = if kind.of == Of::Product {
        Of::Active
    } else {
        kind.of
    };
    let content = Quantity {
        unit: content.unit.of(of),
        ..content
    };
    let state = match (kind.top, kind.per) {
        (Base::Weight, Some(Base::Volume)) => Some(State::Liquid),
        (Base::Weight, Some(Base::Weight)) => None,
        _ => {
            return Err(Fault::at(
                FaultKind::WrongKind,
                text,
                0..text.len(),
                format!("{} is no strength", kind.a()),
            )
            .expected("a content such as 4 lb a.i./gal, 480 g a.i./L, 75 % WG or 0.6 % w/w"));
        }
    };
    Ok(Strength {
        content: sound(content)?,
        code: None,
        state,
    })
}

/// More than nought, and never more active than product.
fn sound(content: Quantity) -> Result<Quantity, Fault> {
    let content = content.positive("the strength")?;
    if content.kind().per == Some(Base::Weight) && content.in_base() > Exact::one() {
        return Err(Fault::new(
            FaultKind::Figures,
            format!("a strength of {content} is more active than product"),
        )
        .expected("at most 100 %"));
    }
    Ok(content)
}

fn by_weight(of: Of) -> Result<Unit, Fault> {
    let gram =
        row("g").ok_or_else(|| Fault::new(FaultKind::UnitUnknown, "the unit table has no gram"))?;
    Ok(Unit::plain(gram).per(100, gram).of(of))
}

fn with_code_hint(fault: Fault, word: &str) -> Fault {
    let upper = word.to_uppercase();
    match CODES.iter().find(|(code, _)| *code == upper) {
        Some((code, _)) if fault.hint.is_none() => {
            fault.hint(format!("formulation codes are capitals: `{code}`"))
        }
        _ => fault,
    }
}

#[cfg(test)]
mod tests {
    #![allow(
        clippy::unwrap_used,
        reason = "a test that cannot go on should stop where it is"
    )]
    use super::*;

    fn read(text: &str) -> String {
        strength(text).unwrap().content.to_string()
    }

    #[test]
    fn reads_what_labels_print() {
        assert_eq!(read("4 lb/gal"), "4 lb a.i./gal");
        assert_eq!(read("3.8 lb ae/gal"), "3.8 lb a.e./gal");
        assert_eq!(read("480 g/L"), "480 g a.i./L");
        assert_eq!(read("75 % WG"), "75 % w/w a.i.");
        assert_eq!(read("4 EC"), "4 lb a.i./gal");
        assert_eq!(read("4L"), "4 lb a.i./gal");
        assert_eq!(read("250 EC"), "250 g a.i./L");
        assert_eq!(read("50WP"), "50 % w/w a.i.");
        assert_eq!(read("0.5G"), "0.5 % w/w a.i.");
        assert_eq!(read("0.6 % w/w"), "0.6 % w/w a.i.");
        assert_eq!(read("28.7 % w/w a.e."), "28.7 % w/w a.e.");
        assert_eq!(strength("75 % WG").unwrap().state, Some(State::Dry));
        assert_eq!(strength("4 lb/gal").unwrap().state, Some(State::Liquid));
    }

    #[test]
    fn refuses_what_could_be_two_things() {
        for text in [
            "41 %", "25 EC", "4 SL", "4 % EC", "12 SC", "900 SC", "41 % SL", "75",
        ] {
            assert!(strength(text).is_err(), "{text}");
        }
        assert_eq!(strength("25 EC").unwrap_err().kind, FaultKind::Ambiguous);
        assert_eq!(
            strength("2 fl oz/A").unwrap_err().kind,
            FaultKind::WrongKind
        );
        assert_eq!(strength("120 % WG").unwrap_err().kind, FaultKind::Figures);
        assert_eq!(strength("0 % WG").unwrap_err().kind, FaultKind::Zero);
    }
}
