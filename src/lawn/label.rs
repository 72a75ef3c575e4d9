//! A product's label as exact quantities, checked for agreement with itself.
use super::LawnError;
use super::product::{Added, Product};
use crate::knowledge::form::lists::{Formulation, Mixing};
use crate::measure::{
    Base, Each, Fault, FaultKind, Kind, Limit, Of, Quantity, Span, State, Strength, state_of_code,
    strength,
};

/// A label.
#[derive(Debug, Clone)]
pub struct Label<'a> {
    /// The product as it was written.
    pub product: &'a Product,
    /// Its actives as typed, with the content where one is given.
    pub contents: Vec<(&'a str, Option<Strength>)>,
    /// Weighed or poured, where the formulation code or a content says so.
    pub state: Option<State>,
    /// The formulation in the book.
    pub formulation: Option<&'a Formulation>,
    /// Rate on the whole area.
    pub broadcast: Option<Span>,
    /// Rate on single plants.
    pub spot: Option<Span>,
    /// Spray per area.
    pub water: Option<Span>,
    /// Most in one treatment, per area.
    pub most: Option<Quantity>,
    /// Most in a year, per area.
    pub most_year: Option<Quantity>,
}

/// Where in the file a product stands.
#[must_use]
pub fn place(product: &Product) -> String {
    format!("lawn: shelf: {}", product.name)
}

/// Reads a product's label.
///
/// # Errors
/// Figures that do not fit each other: a rate by weight of a liquid, a maximum of another kind than the rate, a bare
/// ounce of a liquid, a content that could mean two things.
pub fn label<'a>(mixing: Option<&'a Mixing>, product: &'a Product) -> Result<Label<'a>, LawnError> {
    let at = |part: &str| LawnError::at(format!("{}: {part}", place(product)));
    let formulation = match &product.formulation {
        None => None,
        Some(code) => formulation(mixing, code).map_err(at("formulation"))?,
    };
    let code = product.formulation.as_deref();
    let contents = contents(product, code).map_err(at("actives"))?;
    let state = code
        .and_then(state_of_code)
        .or_else(|| contents.iter().find_map(|(_, s)| s.as_ref()?.state));
    let rate = |span: &Span, part: &str, per: &[Base]| -> Result<Span, LawnError> {
        let settled = span
            .clone()
            .each(|q| q.with_plain_ounces(state)?.positive("the rate"))
            .map_err(at(part))?;
        rate_fits(&settled, state, per).map_err(at(part))?;
        Ok(settled)
    };
    let broadcast = match &product.rates.broadcast {
        None => None,
        Some(span) => Some(rate(span.value(), "rates: broadcast", &[Base::Area])?),
    };
    let spot = match &product.rates.spot {
        None => None,
        Some(span) => Some(rate(
            span.value(),
            "rates: spot",
            &[Base::Volume, Base::Area],
        )?),
    };
    let water = match &product.water {
        None => None,
        Some(span) => Some(
            span.value()
                .clone()
                .each(|q| {
                    q.must_be(Kind::rate(Base::Volume, Base::Area), "the water")?
                        .positive("the water")
                })
                .map_err(at("water"))?,
        ),
    };
    let limit = |typed: &Limit, each: Each, part: &str| -> Result<Quantity, LawnError> {
        most(typed, each, state, broadcast.as_ref().or(spot.as_ref())).map_err(at(part))
    };
    let most = match &product.maximum.application {
        None => None,
        Some(typed) => Some(limit(
            typed.value(),
            Each::Application,
            "maximum: application",
        )?),
    };
    let most_year = match &product.maximum.year {
        None => None,
        Some(typed) => Some(limit(typed.value(), Each::Year, "maximum: year")?),
    };
    Ok(Label {
        product,
        contents,
        state,
        formulation,
        broadcast,
        spot,
        water,
        most,
        most_year,
    })
}

impl Label<'_> {
    /// Whether it is spread dry: a formulation that the book's mixing order has no place for, sold dry.
    #[must_use]
    pub fn is_spread(&self) -> bool {
        self.formulation.is_some_and(|f| f.rank.is_none())
    }

    /// The adjuvants.
    #[must_use]
    pub fn adjuvants(&self) -> &[Added] {
        &self.product.adjuvant
    }
}

/// The formulation that a code names, by its code or an older one. Without a mixing list in the book none is known.
fn formulation<'a>(
    mixing: Option<&'a Mixing>,
    code: &str,
) -> Result<Option<&'a Formulation>, Fault> {
    let Some(mixing) = mixing else {
        return Ok(None);
    };
    let wanted = code.trim();
    let found = mixing
        .formulations
        .iter()
        .find(|f| f.code == wanted || f.also.iter().any(|a| a == wanted));
    if let Some(found) = found {
        return Ok(Some(found));
    }
    let upper = wanted.to_uppercase();
    let fault = Fault::new(
        FaultKind::UnitUnknown,
        format!("`{wanted}` is no formulation code of the book"),
    );
    let near = mixing
        .formulations
        .iter()
        .flat_map(|f| std::iter::once(&f.code).chain(f.also.iter()))
        .find(|c| **c == upper);
    Err(match near {
        Some(code) => fault.hint(format!("codes are capitals: write `{code}`")),
        None => fault
            .expected("a code as printed after the product's name, such as EC, SC, SL, WG, WP, GR"),
    })
}

fn contents<'a>(
    product: &'a Product,
    code: Option<&str>,
) -> Result<Vec<(&'a str, Option<Strength>)>, Fault> {
    if product.actives.is_empty() {
        return Err(Fault::new(FaultKind::Empty, "no active is given")
            .expected("every active of the label, each with its content"));
    }
    product
        .actives
        .iter()
        .map(|holds| {
            let content = holds
                .content
                .as_deref()
                .map(|text| content(text, code).map_err(|f| f.of(&holds.active)))
                .transpose()?;
            Ok((holds.active.as_str(), content))
        })
        .collect()
}

/// `75 %` says of what it is once the formulation is known to be dry.
fn content(text: &str, code: Option<&str>) -> Result<Strength, Fault> {
    let trimmed = text.trim();
    match code {
        Some(code)
            if trimmed.ends_with('%') && state_of_code(code.trim()) == Some(State::Dry) =>
        {
            strength(&format!("{trimmed} w/w"))
        }
        Some(code) if trimmed.ends_with('%') => strength(trimmed).map_err(|fault| {
            fault.hint(format!(
                "the percentage of a liquid ({code}) does not say how much a gallon holds: copy the pounds per gallon or grams per litre that stand under it"
            ))
        }),
        _ => strength(trimmed),
    }
}

fn rate_fits(rate: &Span, state: Option<State>, per: &[Base]) -> Result<(), Fault> {
    let kind = rate.kind();
    let product = kind.of == Of::Product && matches!(kind.top, Base::Weight | Base::Volume);
    if !product || !kind.per.is_some_and(|p| per.contains(&p)) {
        let fault = Fault::new(
            FaultKind::WrongKind,
            format!("`{rate}` is {}", kind.a()),
        )
        .expected("product per area, such as 1.5 fl oz/1000 sq ft, or for spots per volume of spray, such as 1 fl oz/gal");
        return Err(if kind.of == Of::Product {
            fault
        } else {
            fault.hint("`ligule measure active` turns active into product")
        });
    }
    match (state, kind.top) {
        (Some(State::Liquid), Base::Weight) => Err(Fault::new(
            FaultKind::WrongKind,
            format!("`{rate}` is by weight, and the product is a liquid"),
        )
        .expected("a volume of product, such as fl oz or mL")
        .hint("an ounce of a liquid on a label is nearly always a fluid ounce: write `fl oz`")),
        (Some(State::Dry), Base::Volume) => Err(Fault::new(
            FaultKind::WrongKind,
            format!("`{rate}` is by volume, and the product is dry"),
        )
        .expected("a weight of product, such as oz wt, lb or g")),
        _ => Ok(()),
    }
}

/// A maximum, in the kind of the rate: per area.
fn most(
    typed: &Limit,
    each: Each,
    state: Option<State>,
    rate: Option<&Span>,
) -> Result<Quantity, Fault> {
    if typed.each.is_some_and(|said| said != each) {
        return Err(Fault::new(
            FaultKind::Figures,
            format!("`{typed}` is no figure per {}", each.word()),
        )
        .expected(format!("a figure per {}", each.word())));
    }
    let top = rate.map_or(typed.amount.kind().top, |r| r.kind().top);
    typed
        .amount
        .clone()
        .with_plain_ounces(state)?
        .must_be(Kind::rate(top, Base::Area), "the maximum")?
        .positive("the maximum")
}
