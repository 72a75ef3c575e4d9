//! Cuts a text into numbers, words and signs, each with its bytes. No meaning is given here.

use super::fault::{Fault, FaultKind};
use std::ops::Range;

/// What a piece of text is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Piece {
    /// Digits with whatever points, commas, underscores and exponent stand among them.
    Number(String),
    /// A fraction sign such as `½`: numerator and denominator.
    Fraction(i64, i64),
    /// Letters, with full stops taken out: `fl.` is `fl`, `a.i.` is `ai`, `ft2` stays `ft2`.
    Word(String),
    /// `/`
    Slash,
    /// A hyphen, dash or minus.
    Dash,
    /// Anything else.
    Sign(char),
}

/// A piece and where it stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Token {
    /// What it is.
    pub piece: Piece,
    /// Its bytes.
    pub at: Range<usize>,
    /// Does it touch the piece before it?
    pub joined: bool,
}

/// Longest text that is read. No figure on a label comes near it.
pub const LONGEST: usize = 200;

/// Cuts a text into tokens.
///
/// # Errors
/// [`FaultKind::Empty`] and [`FaultKind::TooLong`].
pub fn tokens(text: &str) -> Result<Vec<Token>, Fault> {
    if text.trim().is_empty() {
        return Err(Fault::new(FaultKind::Empty, "nothing was given")
            .expected("a number and a unit, such as 1.5 fl oz"));
    }
    if text.chars().count() > LONGEST {
        return Err(Fault::at(
            FaultKind::TooLong,
            text,
            0..0,
            "this is too long for a figure",
        )
        .expected(format!("at most {LONGEST} characters")));
    }
    let chars: Vec<(usize, char)> = text.char_indices().collect();
    let end_of = |i: usize| chars.get(i).map_or(text.len(), |(at, _)| *at);
    let mut found: Vec<Token> = Vec::new();
    let mut i = 0;
    while let Some(&(start, c)) = chars.get(i) {
        if c.is_whitespace() {
            i += 1;
            continue;
        }
        let (piece, length) = piece_at(&chars[i..], c);
        let at = start..end_of(i + length);
        let joined = found.last().is_some_and(|before| before.at.end == start);
        found.push(Token { piece, at, joined });
        i += length;
    }
    Ok(found)
}

fn piece_at(rest: &[(usize, char)], first: char) -> (Piece, usize) {
    let char_at = |i: usize| rest.get(i).map(|(_, c)| *c);
    let digit_at = |i: usize| char_at(i).is_some_and(|c| c.is_ascii_digit());
    if first.is_ascii_digit() || (first == '.' && digit_at(1)) {
        let length = number_length(&char_at);
        return (
            Piece::Number(rest[..length].iter().map(|(_, c)| c).collect()),
            length,
        );
    }
    if let Some((n, d)) = fraction_sign(first) {
        return (Piece::Fraction(n, d), 1);
    }
    match first {
        '/' | '⁄' | '∕' => (Piece::Slash, 1),
        '-' | '–' | '—' | '−' | '‐' | '‑' => (Piece::Dash, 1),
        '%' | '#' | '\'' | '"' | '′' | '″' => (Piece::Word(first.to_string()), 1),
        c if c.is_alphabetic() || c == '°' => {
            let length = word_length(&char_at);
            let word = rest[..length]
                .iter()
                .map(|(_, c)| *c)
                .filter(|c| *c != '.')
                .collect();
            (Piece::Word(word), length)
        }
        c => (Piece::Sign(c), 1),
    }
}

fn number_length(char_at: &dyn Fn(usize) -> Option<char>) -> usize {
    let digit = |i: usize| char_at(i).is_some_and(|c| c.is_ascii_digit());
    let mut length = 1;
    while let Some(c) = char_at(length) {
        // A comma that ends a number belongs to a list, not to the number.
        let inside =
            c.is_ascii_digit() || matches!(c, '.' | '_') || (c == ',' && digit(length + 1));
        if !inside {
            break;
        }
        length += 1;
    }
    if matches!(char_at(length), Some('e' | 'E')) {
        let signed = usize::from(matches!(char_at(length + 1), Some('+' | '-')));
        if digit(length + 1 + signed) {
            length += 1 + signed;
            while digit(length) {
                length += 1;
            }
        }
    }
    length
}

fn word_length(char_at: &dyn Fn(usize) -> Option<char>) -> usize {
    let mut length = 1;
    while char_at(length).is_some_and(|c| c.is_alphabetic() || matches!(c, '.' | '²' | '³')) {
        length += 1;
    }
    // `ft2`, `m2`, `cm3`
    let next_is_figure = char_at(length + 1).is_some_and(|c| c.is_ascii_digit() || c == '.');
    if matches!(char_at(length), Some('2' | '3'))
        && char_at(length - 1) != Some('.')
        && !next_is_figure
    {
        length += 1;
    }
    length
}

fn fraction_sign(c: char) -> Option<(i64, i64)> {
    Some(match c {
        '½' => (1, 2),
        '⅓' => (1, 3),
        '⅔' => (2, 3),
        '¼' => (1, 4),
        '¾' => (3, 4),
        '⅕' => (1, 5),
        '⅖' => (2, 5),
        '⅗' => (3, 5),
        '⅘' => (4, 5),
        '⅙' => (1, 6),
        '⅚' => (5, 6),
        '⅛' => (1, 8),
        '⅜' => (3, 8),
        '⅝' => (5, 8),
        '⅞' => (7, 8),
        '⅒' => (1, 10),
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    #![allow(
        clippy::unwrap_used,
        reason = "a test that cannot go on should stop where it is"
    )]
    use super::*;

    fn pieces(text: &str) -> Vec<Piece> {
        tokens(text).unwrap().into_iter().map(|t| t.piece).collect()
    }

    #[test]
    fn cuts_words_numbers_and_signs() {
        let (n, w) = (
            |s: &str| Piece::Number(s.into()),
            |s: &str| Piece::Word(s.into()),
        );
        assert_eq!(
            pieces("1.3 fl. oz./1,000ft2"),
            [
                n("1.3"),
                w("fl"),
                w("oz"),
                Piece::Slash,
                n("1,000"),
                w("ft2")
            ]
        );
        assert_eq!(
            pieces("0.5lb a.i./A"),
            [n("0.5"), w("lb"), w("ai"), Piece::Slash, w("A")]
        );
        assert_eq!(
            pieces("1½–2"),
            [n("1"), Piece::Fraction(1, 2), Piece::Dash, n("2")]
        );
        assert_eq!(pieces("1e3 84F"), [n("1e3"), n("84"), w("F")]);
        assert_eq!(pieces("3, 4"), [n("3"), Piece::Sign(','), n("4")]);
    }

    #[test]
    fn bytes_are_whole_characters() {
        let text = "½ °F ５";
        for token in tokens(text).unwrap() {
            assert!(text.get(token.at).is_some());
        }
    }
}
