//! Amounts for a jar test: a small jar holds the products in the same proportion as the tank.
use crate::measure::{Base, Fault, FaultKind, Quantity, Worked};

/// A part of a tank: its name and how much of it goes in.
pub type Named = (String, Quantity);

/// Each part of a tank of `spray` scaled to a jar: amount x jar / spray.
///
/// # Errors
/// Kinds that do not fit, figures of nought, a jar larger than the tank.
pub fn amounts(
    parts: &[Named],
    spray: &Quantity,
    jar: &Quantity,
) -> Result<Worked<Vec<Named>>, Fault> {
    let jar = jar
        .clone()
        .must_be(Base::Volume, "the jar")?
        .positive("the jar")?;
    let spray = spray
        .clone()
        .must_be(Base::Volume, "the spray")?
        .positive("the spray")?;
    let share = jar.in_units_of(&spray)?;
    if share > crate::measure::Exact::one() {
        return Err(Fault::new(
            FaultKind::Figures,
            format!(
                "the jar ({}) is larger than the tank ({})",
                jar.short(),
                spray.short()
            ),
        )
        .expected("a small jar, such as 1 pt"));
    }
    let scaled: Vec<Named> = parts
        .iter()
        .map(|(name, amount)| (name.clone(), amount.times(&share)))
        .collect();
    let steps = parts
        .iter()
        .zip(&scaled)
        .map(|(whole, small)| {
            format!(
                "{}: {} x {} / {} = {}",
                whole.0,
                whole.1.short(),
                jar.short(),
                spray.short(),
                small.1.short()
            )
        })
        .collect();
    Ok(Worked::new(scaled, steps))
}
