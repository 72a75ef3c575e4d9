//! Costs and shares.

use super::super::Cost;
use super::{Told, number, shape_area, told};
use ligule::amounts::cost;
use ligule::measure::{Exact, Fault, Figure, Figures, Worked, quantity};

pub fn cost(arguments: &Cost) -> Result<Told, Fault> {
    let (amount, pack) = (quantity(&arguments.amount)?, quantity(&arguments.pack)?);
    let price = number(&arguments.price, "the price")?;
    let cost = cost::of(
        &amount,
        &cost::Pack {
            size: pack.clone(),
            price,
        },
    )?;
    let Some(treatments) = arguments.treatments else {
        return Ok(told("cost", &cost));
    };
    let keeps = arguments
        .keeps
        .as_deref()
        .map(|text| number(text, "the years"))
        .transpose()?;
    let year = cost::per_year(&amount, treatments, &pack, keeps.as_ref())?;
    Ok(told("cost", &joined(&cost, &year)))
}

pub fn share(areas: &[String], price: &str) -> Result<Told, Fault> {
    let areas = areas
        .iter()
        .map(|text| shape_area(text))
        .collect::<Result<Vec<_>, _>>()?;
    let shares = cost::split(&number(price, "the price")?, &areas)?.then(|shares| {
        let named = |(i, share): (usize, &Exact)| {
            Figure::plain(&format!("share_{}", i + 1), share.to_places(2))
        };
        Ok(shares.iter().enumerate().map(named).collect::<Vec<_>>())
    })?;
    Ok(told("share", &shares))
}

fn joined<A: Figures, B: Figures>(a: &Worked<A>, b: &Worked<B>) -> Worked<Vec<Figure>> {
    let figures = a
        .value
        .figures()
        .into_iter()
        .chain(b.value.figures())
        .collect();
    let steps = a.steps.iter().chain(&b.steps).cloned().collect();
    Worked {
        value: figures,
        steps,
        warnings: a.warnings.iter().chain(&b.warnings).cloned().collect(),
    }
}
