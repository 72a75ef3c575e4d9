//! What the choice offers for every weed on every grass: established grass, nothing said of day, place and site.
use super::page::{Block, Line, Span};
use super::pen::Pen;
use crate::choose::{Chooser, Request};
use crate::knowledge::form::active::{Control, Tolerance};
use crate::knowledge::verdict::Standing;
use crate::knowledge::{Kind, Knowledge};
use std::collections::BTreeMap;

/// One way to treat a weed on a grass.
#[derive(Debug, Clone)]
pub struct Offer {
    /// Ids of the actives.
    pub actives: Vec<String>,
    /// Whether it is used before the weed comes up.
    pub pre: bool,
    /// How well it works.
    pub rating: Control,
    /// How the grass stands it.
    pub turf: Tolerance,
    /// How firmly the weaker of the two stands.
    pub standing: Standing,
}

/// Answers for every weed and grass.
pub struct Offers<'a>(Chooser<'a>);

impl<'a> Offers<'a> {
    /// Weighs the book.
    #[must_use]
    pub fn of(book: &'a Knowledge) -> Self {
        Self(Chooser::new(book))
    }

    /// What the choice offers, best first.
    #[must_use]
    pub fn on(&self, weed: &str, turf: &str) -> Vec<Offer> {
        let decision = self.0.decide(&Request::new(&[weed], turf));
        decision
            .options
            .iter()
            .filter_map(|picked| {
                let on = picked.on.first().copied().flatten()?;
                Some(Offer {
                    actives: picked
                        .actives
                        .iter()
                        .map(|&a| self.0.id(a).to_owned())
                        .collect(),
                    pre: picked.pre,
                    rating: on.weighed.rating,
                    turf: picked.worth.turf,
                    standing: picked.worth.turf_standing.max(on.weighed.standing),
                })
            })
            .collect()
    }

    /// A row for each grass: what works well and what works fairly on it, by class.
    pub fn table(&self, pen: &mut Pen<'_>, weed: &str) -> Block {
        let book = pen.book;
        let mut rows: Vec<Vec<Vec<Line>>> = book
            .turf
            .keys()
            .map(|turf| {
                let offers = self.on(weed, turf);
                let name = vec![Line::of(vec![pen.link(Kind::Turf, turf)])];
                if offers.is_empty() {
                    let nothing =
                        "Nothing in this book is proven to be both safe here and good enough.";
                    return vec![name, vec![Line::plain(nothing)], Vec::new()];
                }
                let good = cell(pen, &offers, |r| r == Control::Good);
                let fair = cell(pen, &offers, |r| r != Control::Good);
                vec![name, good, fair]
            })
            .collect();
        let mut columns = ["Established grass", "Good control", "Fair control"]
            .map(str::to_owned)
            .to_vec();
        // Where nothing works well (or nothing only fairly) a column of gaps would take half the page.
        for place in [2, 1] {
            let said = |row: &Vec<Vec<Line>>| {
                row[place]
                    .iter()
                    .any(|l| l.spans.iter().any(|s| s.to.is_some()))
            };
            if !rows.iter().any(said) && columns.len() > 2 {
                let empty: Vec<Vec<Line>> = rows.iter_mut().map(|row| row.remove(place)).collect();
                columns.remove(place);
                for (row, cell) in rows.iter_mut().zip(empty) {
                    row[1].extend(cell);
                }
            }
        }
        Block::Table { columns, rows }
    }
}

/// Offers of one rating, a line for each class and time.
fn cell(pen: &mut Pen<'_>, offers: &[Offer], rated: impl Fn(Control) -> bool) -> Vec<Line> {
    let book = pen.book;
    let mut by: BTreeMap<(bool, Vec<u16>), Vec<&Offer>> = BTreeMap::new();
    for offer in offers.iter().filter(|o| rated(o.rating)) {
        let mut groups: Vec<u16> = offer
            .actives
            .iter()
            .filter_map(|a| book.actives.get(a).map(|a| a.group.is))
            .collect();
        groups.sort_unstable();
        groups.dedup();
        by.entry((offer.pre, groups)).or_default().push(offer);
    }
    by.into_iter()
        .map(|((pre, groups), offers)| {
            let mut spans = Vec::new();
            for (n, group) in groups.iter().enumerate() {
                if n > 0 {
                    spans.push(Span::plain(" + "));
                }
                spans.push(pen.link(Kind::Group, &group.to_string()));
            }
            spans.push(Span::plain(if pre { ", before it is up: " } else { ": " }));
            for (n, offer) in offers.iter().enumerate() {
                if n > 0 {
                    spans.push(Span::plain(", "));
                }
                for (n, active) in offer.actives.iter().enumerate() {
                    if n > 0 {
                        spans.push(Span::plain(" + "));
                    }
                    spans.push(pen.link(Kind::Active, active));
                }
                if offer.turf != Tolerance::Tolerant {
                    spans.push(Span::plain("\u{202f}†"));
                }
                if let (Some(mark), Some(last)) = (pen.letter(offer.standing), spans.last_mut()) {
                    last.mark = Some(mark);
                }
            }
            Line::of(spans)
        })
        .collect()
}
