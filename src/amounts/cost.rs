//! What a treatment costs, what is left of the pack, and how neighbours share one.

use crate::measure::{Base, Exact, Fault, FaultKind, Figure, Figures, Quantity, Worked, short};
use serde::Serialize;

/// A pack as it is bought.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Pack {
    /// What it holds.
    pub size: Quantity,
    /// What it costs, in whatever money; above nought.
    pub price: Exact,
}

/// What a treatment takes out of packs.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Cost {
    /// Price of what is used.
    pub used: Exact,
    /// Packs to open.
    pub packs: u64,
    /// Price of those packs.
    pub bought: Exact,
    /// What is left in the last one.
    pub left: Quantity,
}

impl Figures for Cost {
    fn figures(&self) -> Vec<Figure> {
        vec![
            Figure::plain("cost_of_amount", self.used.to_places(2)),
            Figure::plain("packs", self.packs),
            Figure::plain("cost_of_packs", self.bought.to_places(2)),
            Figure::new("left_over", &self.left),
        ]
    }
}

/// Cost of an amount, packs to buy and what is left over.
///
/// # Errors
/// Kinds that do not fit, figures of nought or below.
pub fn of(amount: &Quantity, pack: &Pack) -> Result<Worked<Cost>, Fault> {
    let amount = amount.clone().positive("the amount")?;
    let size = pack.size.clone().positive("the pack")?;
    if pack.price.is_negative() {
        return Err(
            Fault::new(FaultKind::Negative, format!("a price of {}", pack.price))
                .expected("nought or more"),
        );
    }
    let share = amount.in_units_of(&size)?;
    let packs = whole(&share.ceil(), "packs")?;
    let bought = &pack.price * &Exact::from(packs);
    let used = &pack.price * &share;
    let left = size.times(&Exact::from(packs)).minus(&amount)?;
    let steps = vec![
        format!(
            "{} / {} = {} of a pack",
            amount.short(),
            size.short(),
            short(&share)
        ),
        format!("{} x {} = {}", short(&share), pack.price, used.to_places(2)),
        format!(
            "{packs} x {} = {}; {packs} x {} - {} = {} left",
            pack.price,
            bought.to_places(2),
            size.short(),
            amount.short(),
            left.short()
        ),
    ];
    Ok(Worked::new(
        Cost {
            used,
            packs,
            bought,
            left,
        },
        steps,
    ))
}

/// How long a pack lasts.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Use {
    /// What a year takes.
    pub per_year: Quantity,
    /// Packs to open in a year.
    pub packs: u64,
    /// Years that one pack lasts.
    pub years: Exact,
}

impl Figures for Use {
    fn figures(&self) -> Vec<Figure> {
        vec![
            Figure::new("per_year", &self.per_year),
            Figure::plain("packs_per_year", self.packs),
            Figure::number("pack_lasts", &self.years, "years"),
        ]
    }
}

/// Packs a year, and whether one is used up while it keeps.
///
/// # Errors
/// Kinds that do not fit, figures of nought.
pub fn per_year(
    amount: &Quantity,
    treatments: u32,
    pack: &Quantity,
    keeps_years: Option<&Exact>,
) -> Result<Worked<Use>, Fault> {
    let amount = amount.clone().positive("the amount")?;
    let pack = pack.clone().positive("the pack")?;
    if treatments == 0 {
        return Err(Fault::new(FaultKind::Zero, "no treatment in the year").expected("one or more"));
    }
    let per_year = amount.times(&Exact::from(i64::from(treatments)));
    let share = per_year.in_units_of(&pack)?;
    let packs = whole(&share.ceil(), "packs")?;
    let years = Exact::one().over(&share).unwrap_or_else(Exact::zero);
    let steps = vec![
        format!(
            "{} x {treatments} = {} a year",
            amount.short(),
            per_year.short()
        ),
        format!(
            "{} / {} = {} packs a year: a pack lasts {} years",
            per_year.short(),
            pack.short(),
            short(&share),
            short(&years)
        ),
    ];
    let worked = Worked::new(
        Use {
            per_year,
            packs,
            years: years.clone(),
        },
        steps,
    );
    Ok(match keeps_years {
        Some(keeps) if years > *keeps => worked.warn(format!(
            "one pack lasts {} years and keeps {}: look for a smaller pack",
            short(&years),
            short(keeps)
        )),
        _ => worked,
    })
}

/// Splits a price by area; the shares add up to the price exactly.
///
/// # Errors
/// Kinds that do not fit, no areas, figures of nought or below.
pub fn split(price: &Exact, areas: &[Quantity]) -> Result<Worked<Vec<Exact>>, Fault> {
    let (first, more) = areas.split_first().ok_or_else(|| {
        Fault::new(FaultKind::Empty, "no areas were given").expected("one or more")
    })?;
    for area in areas {
        area.clone()
            .must_be(Base::Area, "an area")?
            .positive("an area")?;
    }
    if price.is_negative() {
        return Err(
            Fault::new(FaultKind::Negative, format!("a price of {price}"))
                .expected("nought or more"),
        );
    }
    let total = more
        .iter()
        .try_fold(first.clone(), |sum, next| sum.plus(next))?;
    let mut shares = Vec::new();
    let mut steps = vec![format!("all areas: {}", total.short())];
    for area in areas {
        let share = area.in_units_of(&total)? * price;
        steps.push(format!(
            "{} / {} x {price} = {}",
            area.short(),
            total.short(),
            share.to_places(2)
        ));
        shares.push(share);
    }
    let caution = "who treats another person's land may need a licence: check with the authority for pesticides";
    Ok(Worked::new(shares, steps).warn(caution))
}

fn whole(number: &Exact, what: &str) -> Result<u64, Fault> {
    number.to_u64().filter(|n| *n <= 1_000_000).ok_or_else(|| {
        Fault::new(FaultKind::Figures, format!("{number} {what}"))
            .expected("at most a million")
            .hint("check the units")
    })
}
