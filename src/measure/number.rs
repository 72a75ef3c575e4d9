//! Reads numbers as labels write them: `43.56`, `1,000`, `1/2`, `1 1/2`, `1½`. Everything that could be
//! taken for another number is refused.

use super::exact::Exact;
use super::fault::{Fault, FaultKind};
use super::lex::{Piece, Token};
use std::ops::Range;

/// A number that was read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Number {
    /// Its value.
    pub value: Exact,
    /// Its bytes.
    pub at: Range<usize>,
    /// Written with exactly one comma before three digits, as `1,500`: a thousand to one reader, a
    /// decimal comma to another. The unit decides.
    pub one_comma: bool,
    /// How many tokens it took.
    pub tokens: usize,
    /// Is it a bare fraction such as `1/2`?
    pub fraction: bool,
}

/// Denominators that people measure with. Others are slips such as `3/1000`.
const DENOMINATORS: [i64; 11] = [2, 3, 4, 5, 6, 8, 10, 12, 16, 32, 64];
/// Digits in one number. More than any tool can show.
const MOST_DIGITS: usize = 15;

/// Reads the number at the start of `tokens`; nothing when none stands there.
///
/// # Errors
/// A [`Fault`] for anything that looks like a number and is not one that can be taken.
pub fn number(text: &str, tokens: &[Token]) -> Result<Option<Number>, Fault> {
    let Some(first) = tokens.first() else {
        return Ok(None);
    };
    match &first.piece {
        Piece::Fraction(n, d) => {
            let value = Exact::ratio((*n).into(), (*d).into()).unwrap_or_else(Exact::zero);
            Ok(Some(Number {
                value,
                at: first.at.clone(),
                one_comma: false,
                tokens: 1,
                fraction: true,
            }))
        }
        Piece::Number(raw) => starting_with_digits(text, raw, tokens).map(Some),
        Piece::Sign(c) if c.is_numeric() => Err(Fault::at(
            FaultKind::Number,
            text,
            first.at.clone(),
            format!("`{c}` is no figure that is taken"),
        )
        .expected("the figures 0 to 9")),
        _ => Ok(None),
    }
}

fn starting_with_digits(text: &str, raw: &str, tokens: &[Token]) -> Result<Number, Fault> {
    let first = &tokens[0];
    if let Some(plain) = bare_fraction(text, tokens)? {
        return Ok(plain);
    }
    let (value, one_comma) = plain_number(text, raw, first.at.clone())?;
    let number = Number {
        value,
        at: first.at.clone(),
        one_comma,
        tokens: 1,
        fraction: false,
    };
    match tokens.get(1).map(|t| &t.piece) {
        Some(Piece::Fraction(..)) => {
            let sign = self::number(text, &tokens[1..])?;
            mixed(text, number, sign)
        }
        Some(Piece::Number(_)) => {
            let fraction = bare_fraction(text, &tokens[1..])?;
            mixed(text, number, fraction)
        }
        _ => Ok(number),
    }
}

/// `1 1/2`: a whole number and a fraction below one.
fn mixed(text: &str, whole: Number, fraction: Option<Number>) -> Result<Number, Fault> {
    let Some(fraction) = fraction else {
        let at = whole.at.start..text.len();
        return Err(Fault::at(FaultKind::Number, text, at, "two numbers stand side by side")
            .expected("one number")
            .hint("write thousands without a space (`1000`), and a part as a decimal (`1.5`) or fraction (`1 1/2`)"));
    };
    let at = whole.at.start..fraction.at.end;
    if !whole.value.is_whole() || whole.one_comma || text[whole.at.clone()].contains('.') {
        return Err(Fault::at(
            FaultKind::Number,
            text,
            at,
            "a fraction follows a number that is not whole",
        )
        .expected("a whole number and a fraction, such as 1 1/2"));
    }
    if fraction.value >= Exact::one() {
        return Err(Fault::at(
            FaultKind::Number,
            text,
            at,
            "the fraction after the whole number is one or more",
        )
        .expected("a fraction below one, such as 1 1/2"));
    }
    let tokens = whole.tokens + fraction.tokens;
    Ok(Number {
        value: whole.value + fraction.value,
        at,
        one_comma: false,
        tokens,
        fraction: false,
    })
}

/// `1/2`, without spaces.
fn bare_fraction(text: &str, tokens: &[Token]) -> Result<Option<Number>, Fault> {
    let [
        Token {
            piece: Piece::Number(top),
            at: start,
            ..
        },
        slash,
        below,
        rest @ ..,
    ] = tokens
    else {
        return Ok(None);
    };
    let (Piece::Slash, Piece::Number(bottom)) = (&slash.piece, &below.piece) else {
        return Ok(None);
    };
    let at = start.start..below.at.end;
    if !slash.joined || !below.joined {
        return Err(Fault::at(
            FaultKind::Number,
            text,
            at,
            "a fraction is broken by a space, or a unit is missing before the `/`",
        )
        .expected("a fraction without spaces, such as 1/2, or a rate, such as 2 oz/1000 sq ft"));
    }
    if rest
        .first()
        .is_some_and(|t| t.piece == Piece::Slash && t.joined)
        && rest
            .get(1)
            .is_some_and(|t| matches!(t.piece, Piece::Number(_)))
    {
        return Err(Fault::at(
            FaultKind::Number,
            text,
            at,
            "two fraction strokes in one number",
        )
        .expected("a fraction such as 1/2"));
    }
    let whole = |raw: &str| {
        raw.parse::<i64>()
            .ok()
            .filter(|_| raw.bytes().all(|b| b.is_ascii_digit()))
    };
    let (Some(top), Some(bottom)) = (whole(top), whole(bottom)) else {
        return Err(Fault::at(
            FaultKind::Number,
            text,
            at,
            "a fraction is made of whole numbers",
        )
        .expected("a fraction such as 1/2"));
    };
    if bottom == 0 {
        return Err(Fault::at(
            FaultKind::Zero,
            text,
            at,
            "nothing can be divided by nought",
        )
        .expected("a fraction such as 1/2"));
    }
    if !DENOMINATORS.contains(&bottom) {
        return Err(Fault::at(
            FaultKind::Number,
            text,
            at,
            format!("`{top}/{bottom}` is no fraction of a measure"),
        )
        .expected("halves, thirds, quarters, eighths and the like, or a decimal")
        .hint(format!(
            "if `/{bottom}` begins a rate, its unit is missing before the `/`"
        )));
    }
    let value = Exact::ratio(top.into(), bottom.into()).unwrap_or_else(Exact::zero);
    Ok(Some(Number {
        value,
        at,
        one_comma: false,
        tokens: 3,
        fraction: true,
    }))
}

/// Digits, at most one point, commas only before every third digit.
fn plain_number(text: &str, raw: &str, at: Range<usize>) -> Result<(Exact, bool), Fault> {
    let refuse = |message: &str| {
        Fault::at(
            FaultKind::Number,
            text,
            at.clone(),
            format!("`{raw}`: {message}"),
        )
    };
    if raw.contains(['e', 'E']) {
        return Err(refuse("powers of ten are not taken").expected("a plain number such as 1000"));
    }
    if raw.contains('_') {
        return Err(refuse("underscores are not taken").expected("a plain number such as 1000"));
    }
    if raw.starts_with('.') {
        return Err(
            refuse("a point without a figure before it is easily overlooked")
                .hint(format!("write `0{raw}`")),
        );
    }
    if raw.ends_with('.') || raw.matches('.').count() > 1 {
        return Err(refuse("the decimal point is out of place").expected("a number such as 1.5"));
    }
    let plain = if raw.contains(',') {
        without_commas(raw).ok_or_else(|| comma(text, raw, at.clone()))?
    } else {
        raw.to_owned()
    };
    if plain.len() > 1 && plain.starts_with('0') && !plain.starts_with("0.") {
        return Err(
            refuse("a number does not begin with a nought").expected("a number such as 7 or 0.7")
        );
    }
    if plain.bytes().filter(u8::is_ascii_digit).count() > MOST_DIGITS {
        return Err(refuse("too many figures").expected(format!("at most {MOST_DIGITS}")));
    }
    let value = Exact::from_digits(&plain).ok_or_else(|| refuse("this is no number"))?;
    Ok((value, raw.matches(',').count() == 1))
}

/// Takes the commas out of `12,500` and `1,234,567.5`; nothing when they stand anywhere else.
fn without_commas(raw: &str) -> Option<String> {
    let (whole, fraction) = raw
        .split_once('.')
        .map_or((raw, None), |(w, f)| (w, Some(f)));
    if fraction.is_some_and(|f| f.contains(',')) {
        return None;
    }
    let mut groups = whole.split(',');
    let first = groups.next()?;
    if first.is_empty()
        || first.len() > 3
        || first.starts_with('0')
        || !groups.all(|g| g.len() == 3)
    {
        return None;
    }
    Some(raw.replace(',', ""))
}

fn comma(text: &str, raw: &str, at: Range<usize>) -> Fault {
    let fault = Fault::at(
        FaultKind::Number,
        text,
        at,
        format!("`{raw}`: a comma is no decimal point here"),
    )
    .expected("a point for decimals, as in 12.5, or no sign for thousands, as in 1000");
    match raw.split(',').collect::<Vec<_>>()[..] {
        [whole, part] if part.len() != 3 && !part.contains('.') => {
            fault.hint(format!("write `{whole}.{part}`"))
        }
        _ => fault,
    }
}
