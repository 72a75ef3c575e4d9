//! The part of the reader that knows units: names of several words, `per`, percentages, active and acid.

use super::Reader;
use crate::measure::exact::Exact;
use crate::measure::fault::{Fault, FaultKind};
use crate::measure::kind::{Base, Kind, Of};
use crate::measure::lex::Piece;
use crate::measure::number::number;
use crate::measure::refused::{RATE_WORDS, refusal};
use crate::measure::table::UnitRow;
use crate::measure::unit::{Unit, nearest, row};

impl Reader<'_> {
    /// The unit on top, with a rate word such as `GPA` taken whole.
    pub(super) fn top_unit(&mut self) -> Result<(Unit, &'static UnitRow), Fault> {
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

    pub(super) fn unit_with_per(&mut self) -> Result<(Unit, &'static UnitRow), Fault> {
        let (unit, top) = self.top_unit()?;
        if unit.per.is_some() {
            return Ok((unit, top));
        }
        let per = self.per(top)?;
        Ok((Unit { per, ..unit }, top))
    }

    /// `/1000 sq ft`, `per gal`.
    pub(super) fn per(
        &mut self,
        top: &UnitRow,
    ) -> Result<Option<(Exact, &'static UnitRow)>, Fault> {
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
        if !count.value.is_short_decimal() {
            let message = "a rate per thirds or sixths cannot be printed exactly";
            return Err(Fault::at(FaultKind::Number, self.text, count.at, message)
                .expected("a whole number or a decimal after `per`"));
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
}
