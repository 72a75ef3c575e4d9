//! What goes into one tank: expected control, jar test, hard water, droplets.

use super::{Told, number, told};
use anyhow::Result;
use ligule::knowledge::Knowledge;
use ligule::knowledge::form::source::Evidence;
use ligule::measure::{Base, Fault, FaultKind, Figure, Quantity, Worked, quantity, quantity_of};
use ligule::tank::{droplets, expected, jar, water};

pub fn expected(alone: &[String], together: Option<&str>) -> Result<Told, Fault> {
    let alone = alone
        .iter()
        .map(|text| number(text, "a control alone"))
        .collect::<Result<Vec<_>, _>>()?;
    let mut worked = expected::control(&alone)?;
    let mut figures = vec![Figure::number("expected", &worked.value, "%")];
    if let Some(text) = together {
        let observed = number(text, "the control together")?;
        let reading = expected::reading(&worked.value, &observed);
        worked.steps.push(format!(
            "observed {} %: {reading}",
            ligule::measure::short(&observed)
        ));
        figures.push(Figure::plain("reading", reading));
    }
    Ok(told("expected", &Worked::new(figures, worked.steps)))
}

pub fn jar(parts: &[String], spray: &str, jar: &str) -> Result<Told, Fault> {
    let parts = parts
        .iter()
        .map(|text| {
            let (name, amount) = pair(text, "name=amount, such as A=8 fl oz")?;
            Ok((name.to_owned(), quantity(amount)?.with_plain_ounces(None)?))
        })
        .collect::<Result<Vec<(String, Quantity)>, Fault>>()?;
    let spray = quantity_of(spray, Base::Volume, "the spray")?;
    let jar = quantity_of(jar, Base::Volume, "the jar")?;
    let worked = jar::amounts(&parts, &spray, &jar)?.then(|parts| {
        Ok(parts
            .iter()
            .map(|(name, amount)| Figure::new(name, amount))
            .collect::<Vec<_>>())
    })?;
    Ok(told("jar", &worked))
}

pub fn conditioner(book: &Knowledge, ions: &[String]) -> Result<Told> {
    let ions = ions
        .iter()
        .map(|text| {
            let (ion, ppm) = pair(text, "ion=ppm, such as calcium=200")?;
            Ok((ion.to_owned(), number(ppm, ion)?))
        })
        .collect::<Result<Vec<_>, Fault>>()?;
    let (worked, fact) = water::ammonium_sulfate(book, &ions)?;
    let warning = format!("{} [{}]", fact.text, evidence(fact.evidence));
    Ok(told("conditioner", &worked.warn(warning)))
}

/// The comparison with the label, and what the book advises for lawns.
pub fn with_advice(book: &Knowledge, mut told: Told) -> Told {
    for fact in droplets::advice(book) {
        let line = format!("{} [{}]", fact.text, evidence(fact.evidence));
        told.answer.warnings.push(line);
    }
    told
}

fn pair<'a>(text: &'a str, wanted: &str) -> Result<(&'a str, &'a str), Fault> {
    text.split_once('=')
        .map(|(name, figure)| (name.trim(), figure.trim()))
        .filter(|(name, figure)| !name.is_empty() && !figure.is_empty())
        .ok_or_else(|| {
            Fault::new(FaultKind::UnitMissing, format!("`{text}` is no pair")).expected(wanted)
        })
}

fn evidence(evidence: Evidence) -> &'static str {
    match evidence {
        Evidence::Published => "published",
        Evidence::Practice => "common practice",
        Evidence::Memory => "memory",
    }
}
