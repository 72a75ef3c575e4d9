//! Active ingredient, acid equivalent and product, turned into each other by the product's strength.

use crate::measure::{
    Base, Exact, Fault, FaultKind, Kind, Of, Quantity, Strength, Unit, Worked, unit,
};

/// Product for an amount, rate or concentration of active: `1 lb a.i./A` of a 4 lb/gal liquid is
/// 0.25 gal/A.
///
/// # Errors
/// [`FaultKind::WrongKind`] when `active` is no weight of active, or is of acid where the strength is of
/// active ingredient; figures of nought.
pub fn product_for(active: &Quantity, strength: &Strength) -> Result<Worked<Quantity>, Fault> {
    let active = active.clone().positive("the active")?;
    let content = &strength.content;
    same_substance(&active, content)?;
    let top = Unit {
        per: None,
        ..active.unit.clone()
    };
    let one = content.covers(&Quantity::new(1, top))?;
    let per = active.unit.per.clone();
    let symbol = product_unit(&active, one.kind())?;
    let product = Quantity {
        value: &active.value * &one.to(&symbol)?.value,
        unit: Unit { per, ..symbol },
    };
    let step = format!(
        "{} / {} = {}",
        active.short(),
        content.short(),
        product.short()
    );
    Ok(Worked::new(product, vec![step]))
}

/// Active in an amount, rate or concentration of product.
///
/// # Errors
/// [`FaultKind::WrongKind`] when the product is weighed and the strength is per volume, or the reverse.
pub fn active_in(product: &Quantity, strength: &Strength) -> Result<Worked<Quantity>, Fault> {
    let product = product.clone().positive("the product")?;
    let content = &strength.content;
    let plain = Quantity {
        value: product.value.clone(),
        unit: Unit {
            per: None,
            ..product.unit.clone()
        },
    };
    let amount = content.on(&plain).map_err(|fault| {
        fault.hint("a strength by weight needs a product that is weighed, one per gallon or litre a product that is poured")
    })?;
    let symbol = unit(if product.unit.top.us { "lb" } else { "g" })?.of(content.kind().of);
    let active = Quantity {
        value: amount.to(&symbol)?.value,
        unit: Unit {
            per: product.unit.per.clone(),
            ..symbol
        },
    };
    let step = format!(
        "{} x {} = {}",
        product.short(),
        content.short(),
        active.short()
    );
    Ok(Worked::new(active, vec![step]))
}

/// A liquid's strength by weight as weight per volume, from its density.
///
/// # Errors
/// Kinds that do not fit, figures of nought.
pub fn by_volume(strength: &Strength, density: &Quantity) -> Result<Worked<Strength>, Fault> {
    let density = density
        .clone()
        .must_be(Kind::rate(Base::Weight, Base::Volume), "the density")?
        .positive("the density")?;
    let of = strength.content.kind().of;
    let by_weight = Kind::rate(Base::Weight, Base::Weight).of(of);
    let share = strength
        .content
        .clone()
        .must_be(by_weight, "the strength")?;
    let content = Quantity {
        value: &density.value * &share.in_base(),
        unit: density.unit.clone().of(of),
    };
    let step = format!(
        "{} x {} = {}",
        density.short(),
        share.short(),
        content.short()
    );
    Ok(Worked::new(
        Strength {
            content,
            code: strength.code.clone(),
            state: strength.state,
        },
        vec![step],
    ))
}

/// How much acid one part of active ingredient holds: both figures stand on the label.
///
/// # Errors
/// [`FaultKind::WrongKind`] when they are not of the same form; [`FaultKind::Figures`] when there is
/// more acid than active ingredient.
pub fn acid_share(acid: &Strength, active: &Strength) -> Result<Worked<Exact>, Fault> {
    let kind = active.content.kind();
    if kind.of != Of::Active || acid.content.kind() != kind.of(Of::Acid) {
        return Err(Fault::new(FaultKind::WrongKind, format!("{} and {} cannot be compared", acid.content, active.content))
            .expected("the same product's content once as acid equivalent (a.e.) and once as active ingredient (a.i.)"));
    }
    let share = acid
        .content
        .in_base()
        .over(&active.content.in_base())
        .unwrap_or_else(Exact::zero);
    if share > Exact::one() {
        return Err(Fault::new(
            FaultKind::Figures,
            format!("{} is more than {}", acid.content, active.content),
        )
        .expected("no more acid than active ingredient"));
    }
    let step = format!(
        "{} / {} = {}",
        acid.content.short(),
        active.content.short(),
        crate::measure::short(&share)
    );
    Ok(Worked::new(share, vec![step]))
}

/// Active ingredient as acid, or acid as active ingredient, by the share of acid in it.
///
/// # Errors
/// [`FaultKind::WrongKind`] for a figure of product; [`FaultKind::Zero`] for a share of nought.
pub fn other_form(figure: &Quantity, acid_share: &Exact) -> Result<Worked<Quantity>, Fault> {
    let (factor, of, sign) = match figure.kind().of {
        Of::Active => (Some(acid_share.clone()), Of::Acid, "x"),
        Of::Acid => (Exact::one().over(acid_share), Of::Active, "/"),
        Of::Product => {
            return Err(Fault::new(
                FaultKind::WrongKind,
                format!("`{figure}` is neither active ingredient nor acid"),
            )
            .expected("a figure such as 1 lb a.i./A or 0.75 lb a.e./A"));
        }
    };
    let factor = factor.ok_or_else(|| {
        Fault::new(FaultKind::Zero, "the share of acid is nought").expected("more than nought")
    })?;
    let result = Quantity {
        value: &figure.value * &factor,
        unit: figure.unit.clone().of(of),
    };
    let step = format!(
        "{} {sign} {} = {}",
        figure.short(),
        crate::measure::short(acid_share),
        result.short()
    );
    Ok(Worked::new(result, vec![step]))
}

fn same_substance(active: &Quantity, content: &Quantity) -> Result<(), Fault> {
    let (is, has) = (active.kind().of, content.kind().of);
    if active.kind().top == Base::Weight && is == has {
        return Ok(());
    }
    let fault = Fault::new(
        FaultKind::WrongKind,
        format!(
            "`{active}` is {}; the product's strength is {content}",
            active.kind().a()
        ),
    );
    Err(match is {
        Of::Product => fault.expected(format!("a weight of what the strength counts, such as 1 lb{}/A", has.suffix())),
        _ => fault.hint("active ingredient and acid equivalent differ: use the strength of the same sort from the label"),
    })
}

/// Gallons, pounds beside US figures; litres, grams beside metric ones.
fn product_unit(active: &Quantity, kind: Kind) -> Result<Unit, Fault> {
    let us = active
        .unit
        .per
        .as_ref()
        .map_or(active.unit.top.us, |(_, per)| per.us);
    unit(match (kind.top, us) {
        (Base::Volume, true) => "gal",
        (Base::Volume, false) => "L",
        (_, true) => "lb",
        (_, false) => "kg",
    })
}
