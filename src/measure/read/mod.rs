//! Reads what stands on a label or in a notebook: `1.3 oz/1000 sq ft`, `0.5-1 fl oz per gal`, `1 1/2 tsp`,
//! `2.5 pt/A`, `0.25 % v/v`, `80 ft 6 in`. A text with two readings is refused, never guessed.

mod units;

use super::fault::{Fault, FaultKind};
use super::kind::{Base, Kind};
use super::lex::{Piece, Token, tokens};
use super::number::{Number, number};
use super::quantity::Quantity;
use super::span::Span;
use super::table::UnitRow;
use super::unit::Unit;
use std::str::FromStr;

/// Reads one figure with its unit.
///
/// # Errors
/// A [`Fault`] that says what was read, where, and what was expected.
///
/// ```
/// let rate = ligule::measure::quantity("1.3 oz/1000 sq ft").unwrap();
/// assert_eq!(rate.to_string(), "1.3 oz/1000 sq ft");
/// assert!(ligule::measure::quantity("12,5 oz").is_err());
/// ```
pub fn quantity(text: &str) -> Result<Quantity, Fault> {
    let span = span(text)?;
    if span.is_single() {
        return Ok(span.low);
    }
    Err(Fault::at(FaultKind::Range, text, 0..text.len(), "this is a range").expected("one figure"))
}

/// Reads one figure of a given kind, named for messages: `quantity_of("3 mph", kind, "the speed")`.
///
/// # Errors
/// A [`Fault`], [`FaultKind::WrongKind`] when the unit measures something else.
pub fn quantity_of(text: &str, kind: impl Into<Kind>, figure: &str) -> Result<Quantity, Fault> {
    quantity(text)
        .map_err(|fault| fault.of(figure))?
        .must_be(kind, figure)
}

/// Reads a figure or a range.
///
/// # Errors
/// A [`Fault`].
pub fn span(text: &str) -> Result<Span, Fault> {
    let all = tokens(text)?;
    let mut reader = Reader { text, rest: &all };
    let span = reader.span()?;
    reader.end()?;
    Ok(span)
}

/// Reads a unit alone, as the target of a conversion: `g/100 m2`.
///
/// # Errors
/// A [`Fault`].
pub fn unit(text: &str) -> Result<Unit, Fault> {
    let all = tokens(text)?;
    let mut reader = Reader { text, rest: &all };
    let (unit, _) = reader.unit_with_per()?;
    reader.end()?;
    Ok(unit)
}

impl FromStr for Quantity {
    type Err = Fault;
    fn from_str(text: &str) -> Result<Self, Fault> {
        quantity(text)
    }
}

impl FromStr for Span {
    type Err = Fault;
    fn from_str(text: &str) -> Result<Self, Fault> {
        span(text)
    }
}

impl FromStr for Unit {
    type Err = Fault;
    fn from_str(text: &str) -> Result<Self, Fault> {
        unit(text)
    }
}

struct Reader<'t> {
    text: &'t str,
    rest: &'t [Token],
}

impl Reader<'_> {
    fn span(&mut self) -> Result<Span, Fault> {
        let negative = self.sign();
        let low = self.number("a number")?;
        if negative {
            return self.below_zero(&low);
        }
        let (first, high) = if self.range_sign() {
            (None, self.number("the upper figure of the range")?)
        } else {
            let (unit, grouped) = self.top_unit()?;
            self.check_comma(&low, grouped)?;
            if !self.range_sign() {
                let low = self.add_parts(Quantity::new(low.value, unit))?;
                return self.single(low);
            }
            (Some(unit), self.number("the upper figure of the range")?)
        };
        let (unit, row) = self.unit_with_per()?;
        self.check_comma(&high, row)?;
        let lower = match first {
            None => {
                self.check_comma(&low, row)?;
                Quantity::new(low.value.clone(), unit.clone())
            }
            Some(first) => {
                let per = Unit {
                    per: unit.per.clone(),
                    ..first
                };
                Quantity::new(low.value.clone(), per).to(&unit)?
            }
        };
        let upper = Quantity::new(high.value.clone(), unit);
        self.rising(&low, &high, &lower, &upper)?;
        Ok(Span {
            low: lower,
            high: upper,
        })
    }

    fn rising(
        &self,
        low: &Number,
        high: &Number,
        lower: &Quantity,
        upper: &Quantity,
    ) -> Result<(), Fault> {
        let at = low.at.start..high.at.end;
        if low.value.is_whole() && !low.fraction && high.fraction && high.value < low.value {
            let (whole, part) = (&self.text[low.at.clone()], &self.text[high.at.clone()]);
            return Err(Fault::at(
                FaultKind::Ambiguous,
                self.text,
                at,
                "this may be a number with a fraction or a range",
            )
            .hint(format!(
                "write `{whole} {part}` for the number, or the range with the smaller figure first"
            )));
        }
        if lower.value >= upper.value {
            return Err(
                Fault::at(FaultKind::Range, self.text, at, "the range does not rise")
                    .expected("the smaller figure first"),
            );
        }
        if !lower.value.is_positive() {
            return Err(Fault::at(
                FaultKind::Range,
                self.text,
                at,
                "the range begins at nought",
            )
            .expected("a range such as 0.5-1 oz, or its upper figure alone"));
        }
        Ok(())
    }

    /// What follows the first unit when no range does: perhaps `/A`.
    fn single(&mut self, quantity: Quantity) -> Result<Span, Fault> {
        let per = if quantity.unit.per.is_some() {
            None
        } else {
            self.per(quantity.unit.top)?
        };
        let unit = match per {
            Some(per) => Unit {
                per: Some(per),
                ..quantity.unit
            },
            None => quantity.unit,
        };
        let figure = Quantity::new(quantity.value, unit);
        Ok(Span {
            low: figure.clone(),
            high: figure,
        })
    }

    /// `80 ft 6 in`, `1 lb 4 oz`: a smaller unit of the same kind may follow.
    fn add_parts(&mut self, mut sum: Quantity) -> Result<Quantity, Fault> {
        let mut last = sum.clone();
        while let Some(part) = number(self.text, self.rest)? {
            if sum.unit.per.is_some() {
                return Err(self.trailing());
            }
            self.rest = &self.rest[part.tokens..];
            let (unit, row) = self.top_unit()?;
            self.check_comma(&part, row)?;
            let at = part.at.start..self.text.len();
            let part = Quantity::new(part.value, unit);
            if !continues(&last, &part) {
                let message = format!("`{part}` cannot follow `{last}` here");
                return Err(
                    Fault::at(FaultKind::Trailing, self.text, at, message).expected(
                        "one figure, or parts in falling units of one kind, such as 5 ft 6 in",
                    ),
                );
            }
            sum = sum.plus(&part)?;
            last = part;
        }
        Ok(sum)
    }

    fn below_zero(&mut self, number: &Number) -> Result<Span, Fault> {
        let (unit, _) = self.unit_with_per()?;
        if unit.kind() == Kind::plain(Base::Temperature) {
            let figure = Quantity::new(-number.value.clone(), unit);
            return Ok(Span {
                low: figure.clone(),
                high: figure,
            });
        }
        Err(Fault::at(
            FaultKind::Negative,
            self.text,
            0..number.at.end,
            "an amount cannot be below nought",
        )
        .expected(format!("{} of nought or more", unit.kind().a())))
    }

    fn number(&mut self, wanted: &str) -> Result<Number, Fault> {
        match number(self.text, self.rest)? {
            Some(number) => {
                self.rest = &self.rest[number.tokens..];
                Ok(number)
            }
            None => Err(Fault::at(
                FaultKind::Number,
                self.text,
                self.here(),
                format!("{} stands where a number should", self.next_word()),
            )
            .expected(format!("{wanted}, such as 1.5 or 1 1/2"))),
        }
    }

    /// Takes a minus at the start.
    fn sign(&mut self) -> bool {
        let dash = self.rest.first().is_some_and(|t| t.piece == Piece::Dash);
        if dash {
            self.rest = &self.rest[1..];
        }
        dash
    }

    /// Takes `-` or `to` when a number follows.
    fn range_sign(&mut self) -> bool {
        let sign = match self.rest.first().map(|t| &t.piece) {
            Some(Piece::Dash) => true,
            Some(Piece::Word(word)) => word.eq_ignore_ascii_case("to"),
            _ => false,
        };
        let number = matches!(
            self.rest.get(1).map(|t| &t.piece),
            Some(Piece::Number(_) | Piece::Fraction(..))
        );
        if sign && number {
            self.rest = &self.rest[1..];
        }
        sign && number
    }

    /// `1,500 sq ft` is a US figure; `1,500 L` could be one and a half litres.
    fn check_comma(&self, number: &Number, unit: &UnitRow) -> Result<(), Fault> {
        if !number.one_comma || unit.us {
            return Ok(());
        }
        let raw = &self.text[number.at.clone()];
        Err(Fault::at(
            FaultKind::Ambiguous,
            self.text,
            number.at.clone(),
            format!("`{raw}` with a metric unit may be thousands or a decimal"),
        )
        .hint(format!(
            "write `{}` or `{}`",
            raw.replace(',', ""),
            raw.replace(',', ".")
        )))
    }

    fn here(&self) -> std::ops::Range<usize> {
        self.rest
            .first()
            .map_or(self.text.len()..self.text.len(), |t| t.at.clone())
    }

    fn next_word(&self) -> String {
        match self.rest.first() {
            Some(token) => format!("`{}`", &self.text[token.at.clone()]),
            None => "the end of the text".to_owned(),
        }
    }

    fn trailing(&self) -> Fault {
        let second_per = match self.rest.first().map(|t| &t.piece) {
            Some(Piece::Slash) => true,
            Some(Piece::Word(word)) => word.eq_ignore_ascii_case("per"),
            _ => false,
        };
        let fault = Fault::at(
            FaultKind::Trailing,
            self.text,
            self.here().start..self.text.len(),
            format!("{} is left over", self.next_word()),
        );
        if second_per {
            return fault
                .expected("one `per` at most")
                .hint("give the rate and the water volume as two figures");
        }
        fault.expected("nothing after the unit")
    }

    fn end(&self) -> Result<(), Fault> {
        if self.rest.is_empty() {
            Ok(())
        } else {
            Err(self.trailing())
        }
    }
}

/// May `part` stand after `before`, as 6 in after 5 ft? It must be of the same kind, in a smaller unit
/// and less than one of the unit before; and only the last part may be broken.
fn continues(before: &Quantity, part: &Quantity) -> bool {
    let summed = matches!(
        before.kind().top,
        Base::Length | Base::Volume | Base::Weight | Base::Time
    );
    summed
        && part.kind() == before.kind()
        && part.kind().per.is_none()
        && before.value.is_whole()
        && part.in_base() < before.unit.factor()
        && part.unit.factor() < before.unit.factor()
}
