//! How much active a label's rate puts on the ground.
use crate::measure::{Base, Exact, Fault, Of, Quantity, Span, Strength, Unit, unit};

/// Active put on an area, in lb/A.
pub struct Put {
    pub low: Exact,
    pub high: Exact,
    pub of: Of,
}

/// Active in lb/A. A rate per volume of spray becomes one per area by the label's water.
pub fn put(span: &Span, water: Option<&Span>, strength: &Strength) -> Result<Put, String> {
    let of = strength.content.kind().of;
    let plain = |fault: Fault| fault.message.clone();
    let one = |rate: &Quantity, water: Option<&Quantity>| -> Result<Exact, String> {
        let rate = match rate.kind().per {
            Some(Base::Volume) => {
                let water = water.ok_or("the label's water per area is not given")?;
                per_area(rate, water).map_err(plain)?
            }
            _ => rate.clone(),
        };
        active_per_acre(&rate, strength).map_err(plain)
    };
    Ok(Put {
        low: one(&span.low, water.map(|w| &w.low))?,
        high: one(&span.high, water.map(|w| &w.high))?,
        of,
    })
}

/// A rate per volume of spray on an area that gets so much spray.
fn per_area(rate: &Quantity, water: &Quantity) -> Result<Quantity, Fault> {
    let spray = Quantity {
        value: water.value.clone(),
        unit: Unit {
            per: None,
            ..water.unit.clone()
        },
    };
    let product = rate.on(&spray)?;
    Ok(Quantity {
        value: product.value,
        unit: Unit {
            per: water.unit.per.clone(),
            ..product.unit
        },
    })
}

fn active_per_acre(rate: &Quantity, strength: &Strength) -> Result<Exact, Fault> {
    let product = Quantity {
        value: rate.value.clone(),
        unit: Unit {
            per: None,
            ..rate.unit.clone()
        },
    };
    let active = strength.content.on(&product)?;
    let per = Quantity {
        value: active.value,
        unit: Unit {
            per: rate.unit.per.clone(),
            ..active.unit
        },
    };
    let pounds = unit("lb/A")?.of(strength.content.kind().of);
    Ok(per.to(&pounds)?.value)
}
