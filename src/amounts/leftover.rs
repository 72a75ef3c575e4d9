//! What may be done with spray that is left in the tank.

use crate::measure::{Base, Exact, Fault, Quantity, Worked, short};

/// How much of what is left may go a second time over the ground that was treated, for one product: what lies between
/// the amount put on and the most that the label allows there, as spray of the same strength. Nought where the rate is
/// the maximum.
///
/// # Errors
/// Kinds that do not fit, figures of nought.
pub fn over_again(
    put_on: &Quantity,
    most: &Quantity,
    spray: &Quantity,
) -> Result<Worked<Quantity>, Fault> {
    let put_on = put_on.clone().positive("the product put on")?;
    let spray = spray
        .clone()
        .must_be(Base::Volume, "the spray")?
        .positive("the spray")?;
    let room = most.minus(&put_on)?;
    if !room.value.is_positive() {
        let none = Quantity {
            value: Exact::zero(),
            unit: spray.unit.clone(),
        };
        let step = format!(
            "{} is on the ground, {} is the most: no room for a second time over it",
            put_on.short(),
            most.short()
        );
        return Ok(Worked::new(none, vec![step]));
    }
    let share = room.in_units_of(&put_on)?;
    let again = spray.times(&share);
    let step = format!(
        "most {} - put on {} = {}; x {} of spray / {} = {} at most a second time over it",
        most.short(),
        put_on.short(),
        room.short(),
        spray.short(),
        put_on.short(),
        again.short()
    );
    Ok(Worked::new(again, vec![step]))
}

/// A volume to write down: three figures, rounded down, so that the paper never says more than was reckoned.
#[must_use]
pub fn down(quantity: &Quantity) -> Quantity {
    // The power of ten of the leading figure, found by comparing: rounding first could carry into the next one.
    let value = quantity.value.abs();
    let leading = (-12..12)
        .rev()
        .find(|&power| value >= Exact::one().shifted(power))
        .unwrap_or(-12);
    let step = Exact::one().shifted(leading - 2);
    Quantity {
        value: quantity.value.down_to(&step),
        unit: quantity.unit.clone(),
    }
}

/// `0.53 fl oz (15.6 mL)`: with the metric figure beside a US one, both rounded down.
#[must_use]
pub fn both(quantity: &Quantity) -> String {
    let first = down(quantity);
    let text = format!("{} {}", short(&first.value), first.unit);
    let metric = match (
        quantity.unit.per.is_none(),
        quantity.unit.top.us,
        quantity.kind().top,
    ) {
        (true, true, Base::Volume) => "mL",
        (true, true, Base::Weight) => "g",
        _ => return text,
    };
    match crate::measure::unit(metric).and_then(|unit| quantity.to(&unit)) {
        Ok(other) => {
            let other = down(&other);
            format!("{text} ({} {})", short(&other.value), other.unit)
        }
        Err(_) => text,
    }
}

#[cfg(test)]
mod tests {
    #![allow(
        clippy::unwrap_used,
        reason = "a test that cannot go on should stop where it is"
    )]
    use super::*;
    use crate::measure::quantity;

    fn q(text: &str) -> Quantity {
        quantity(text).unwrap()
    }

    #[test]
    fn room_under_the_maximum_is_given_as_spray() {
        // 4 of 5 fl oz are on: a quarter of the 2 gal of spray may follow.
        let again = over_again(&q("4 fl oz"), &q("5 fl oz"), &q("2 gal")).unwrap();
        assert_eq!(again.value.to_string(), "0.5 gal");
        let none = over_again(&q("5 fl oz"), &q("5 fl oz"), &q("2 gal")).unwrap();
        assert!(none.value.value.is_zero());
        let over = over_again(&q("6 fl oz"), &q("5 fl oz"), &q("2 gal")).unwrap();
        assert!(over.value.value.is_zero());
        assert!(over_again(&q("6 oz wt"), &q("5 fl oz"), &q("2 gal")).is_err());
    }

    #[test]
    fn what_is_written_down_is_never_more() {
        for (text, shown) in [
            ("1.2999 fl oz", "1.29 fl oz"),
            ("0.039999 fl oz", "0.0399 fl oz"),
            ("0.999999 gal", "0.999 gal"),
            ("1234.9 g", "1230 g"),
            ("12.345 g", "12.3 g"),
            ("5 g", "5 g"),
        ] {
            assert_eq!(down(&q(text)).to_string(), shown, "{text}");
        }
        assert_eq!(both(&q("1 fl oz")), "1 fl oz (29.5 mL)");
        assert_eq!(both(&q("20 g")), "20 g");
    }
}
