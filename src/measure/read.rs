//! Reads what stands on a label or in a notebook: `1.3 oz/1000 sq ft`, `0.5-1 fl oz per gal`, `1 1/2 tsp`,
//! `2.5 pt/A`, `0.25 % v/v`, `80 ft 6 in`. A text with two readings is refused, never guessed.

use super::exact::Exact;
use super::fault::{Fault, FaultKind};
use super::kind::{Base, Kind, Of};
use super::lex::{Piece, Token, tokens};
use super::number::{Number, number};
use super::quantity::{Quantity, Span};
use super::table::{RATE_WORDS, UnitRow};
use super::unit::{Unit, nearest, refusal, row};
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
        let mut smallest = sum.unit.factor();
        while let Some(part) = number(self.text, self.rest)? {
            if sum.unit.per.is_some() {
                return Err(self.trailing());
            }
            self.rest = &self.rest[part.tokens..];
            let (unit, _) = self.top_unit()?;
            let at = part.at.start..self.text.len();
            if unit.kind() != sum.kind() || unit.factor() >= smallest || unit.per.is_some() {
                return Err(Fault::at(
                    FaultKind::Trailing,
                    self.text,
                    at,
                    format!("`{unit}` cannot follow `{}` here", sum.unit),
                )
                .expected("one figure, or parts in falling units of one kind, such as 5 ft 6 in"));
            }
            smallest = unit.factor();
            sum = sum.plus(&Quantity::new(part.value, unit))?;
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

    /// The unit on top, with a rate word such as `GPA` taken whole.
    fn top_unit(&mut self) -> Result<(Unit, &'static UnitRow), Fault> {
        if let Some(Piece::Word(word)) = self.rest.first().map(|t| &t.piece) {
            let word = word.to_lowercase();
            if let Some((_, top, per)) = RATE_WORDS.iter().find(|(name, ..)| *name == word)
                && let (Some(top), Some(per)) = (row(top), row(per))
            {
                self.rest = &self.rest[1..];
                return Ok((Unit::plain(top).per(1, per), top));
            }
        }
        let top = self.row()?;
        if top.symbol == "%" {
            return Ok((self.percent(top), top));
        }
        let unit = Unit::plain(top);
        match self.of() {
            Of::Product => Ok((unit, top)),
            of if top.base == Base::Weight => Ok((unit.of(of), top)),
            of => Err(Fault::at(
                FaultKind::WrongKind,
                self.text,
                self.here(),
                format!("`{}{}`: that is counted by weight", top.symbol, of.suffix()),
            )
            .expected("a weight, such as lb a.i.")),
        }
    }

    fn unit_with_per(&mut self) -> Result<(Unit, &'static UnitRow), Fault> {
        let (unit, top) = self.top_unit()?;
        if unit.per.is_some() {
            return Ok((unit, top));
        }
        let per = self.per(top)?;
        Ok((Unit { per, ..unit }, top))
    }

    /// `/1000 sq ft`, `per gal`.
    fn per(&mut self, top: &UnitRow) -> Result<Option<(Exact, &'static UnitRow)>, Fault> {
        let start = self.here();
        match self.rest.first().map(|t| &t.piece) {
            Some(Piece::Slash) => {}
            Some(Piece::Word(word)) if word.eq_ignore_ascii_case("per") => {}
            _ => return Ok(None),
        }
        if matches!(top.base, Base::Share | Base::Temperature | Base::Pressure) {
            return Err(Fault::at(
                FaultKind::WrongKind,
                self.text,
                start,
                format!("{} is not given per anything", Kind::plain(top.base).a()),
            )
            .expected(format!("nothing after `{}`", top.symbol)));
        }
        self.rest = &self.rest[1..];
        let count = number(self.text, self.rest)?;
        if let Some(count) = &count {
            self.rest = &self.rest[count.tokens..];
            if self.range_sign() {
                return Err(
                    Fault::at(FaultKind::Range, self.text, start, "a range after `per`")
                        .expected("one figure, such as per 1000 sq ft"),
                );
            }
        }
        let per = self.row()?;
        if per.base == Base::Share || per.base == Base::Temperature {
            return Err(Fault::at(
                FaultKind::WrongKind,
                self.text,
                start,
                format!("nothing is given per `{}`", per.symbol),
            )
            .expected("an area, a volume, a weight, a time or a count"));
        }
        let Some(count) = count else {
            return Ok(Some((Exact::one(), per)));
        };
        self.check_comma(&count, per)?;
        if !count.value.is_positive() {
            return Err(
                Fault::at(FaultKind::Zero, self.text, count.at, "a rate per nought")
                    .expected("more than nought after `per`"),
            );
        }
        Ok(Some((count.value, per)))
    }

    /// The longest unit name that stands here, of up to four words.
    fn row(&mut self) -> Result<&'static UnitRow, Fault> {
        let words: Vec<&str> = self
            .rest
            .iter()
            .map_while(|t| {
                if let Piece::Word(word) = &t.piece {
                    Some(word.as_str())
                } else {
                    None
                }
            })
            .take(4)
            .collect();
        for length in (1..=words.len()).rev() {
            if let Some(found) = row(&words[..length].join(" ")) {
                self.rest = &self.rest[length..];
                return Ok(found);
            }
        }
        Err(self.no_unit(words.first().copied()))
    }

    fn no_unit(&self, word: Option<&str>) -> Fault {
        let Some(word) = word else {
            let read = self.next_word();
            return Fault::at(
                FaultKind::UnitMissing,
                self.text,
                self.here(),
                format!("{read} stands where a unit should"),
            )
            .expected("a unit, such as fl oz, oz wt, g or sq ft");
        };
        if let Some(reason) = refusal(word) {
            return Fault::at(
                FaultKind::Ambiguous,
                self.text,
                self.here(),
                format!("`{word}` is not taken as a unit"),
            )
            .hint(reason);
        }
        let fault = Fault::at(
            FaultKind::UnitUnknown,
            self.text,
            self.here(),
            format!("`{word}` is no unit that is known"),
        );
        match nearest(word)[..] {
            [] => fault.expected("a unit, such as fl oz, oz wt, g or sq ft"),
            ref near => fault.hint(format!(
                "did you mean {}?",
                near.iter()
                    .map(|n| format!("`{n}`"))
                    .collect::<Vec<_>>()
                    .join(" or ")
            )),
        }
    }

    /// `% v/v`, `% w/w`, `% w/v`, `% by volume`; a bare `%` stays a share of nothing in particular.
    fn percent(&mut self, percent: &'static UnitRow) -> Unit {
        let word = |i: usize| match self.rest.get(i).map(|t| &t.piece) {
            Some(Piece::Word(word)) => word.to_lowercase(),
            _ => String::new(),
        };
        let slash = self.rest.get(1).is_some_and(|t| t.piece == Piece::Slash);
        let (first, last) = (word(0), word(if slash { 2 } else { 1 }));
        let (top, below) = match (first.as_str(), slash, last.as_str()) {
            ("v" | "vol", true, "v" | "vol") | ("by", false, "volume" | "vol") => ("L", "L"),
            ("w" | "wt", true, "w" | "wt") | ("by", false, "weight" | "wt") => ("g", "g"),
            ("w" | "wt", true, "v" | "vol") => ("g", "mL"),
            _ => return Unit::plain(percent),
        };
        let (Some(top), Some(below)) = (row(top), row(below)) else {
            return Unit::plain(percent);
        };
        self.rest = &self.rest[if slash { 3 } else { 2 }..];
        Unit {
            of: self.of(),
            ..Unit::plain(top).per(100, below)
        }
    }

    /// `a.i.`, `active ingredient`, `a.e.`, `acid equivalent`.
    fn of(&mut self) -> Of {
        let word = |i: usize| match self.rest.get(i).map(|t| &t.piece) {
            Some(Piece::Word(word)) => word.to_lowercase(),
            _ => String::new(),
        };
        let (of, taken) = match (word(0).as_str(), word(1).as_str()) {
            ("active", "ingredient") => (Of::Active, 2),
            ("acid", "equivalent") => (Of::Acid, 2),
            ("ai" | "active", _) => (Of::Active, 1),
            ("ae", _) => (Of::Acid, 1),
            _ => (Of::Product, 0),
        };
        self.rest = &self.rest[taken..];
        of
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
