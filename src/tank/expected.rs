//! What two or three partners are expected to do together when neither helps nor hinders the other (Colby 1967, Weeds
//! 15:20-22): the plants that survive both are the survivors of the one among the survivors of the other.
use crate::measure::{Exact, Fault, FaultKind, Worked, short};

/// Expected control in percent from each partner's control alone, in percent: `100 - product of (100 - x) / 100^(n-1)`.
///
/// # Errors
/// Fewer than two figures, or one that is no percentage.
pub fn control(alone: &[Exact]) -> Result<Worked<Exact>, Fault> {
    if alone.len() < 2 {
        return Err(Fault::new(FaultKind::Empty, "one partner meets nobody")
            .expected("the control of each of two or more partners alone, in percent"));
    }
    let hundred = Exact::from(100);
    let mut survive = Exact::one();
    let mut shown = Vec::new();
    for percent in alone {
        if percent.is_negative() || *percent > hundred {
            return Err(
                Fault::new(FaultKind::Figures, format!("a control of {percent} %"))
                    .expected("0 to 100 percent"),
            );
        }
        let left = &hundred - percent;
        shown.push(format!("{} %", short(&left)));
        survive = &survive * &left.over(&hundred).unwrap_or_else(Exact::zero);
    }
    let expected = &hundred - &(&survive * &hundred);
    let steps = vec![
        format!("left alive by each alone: {}", shown.join(", ")),
        format!(
            "left alive by all: {} = {} %",
            shown.join(" x "),
            short(&(&survive * &hundred))
        ),
        format!("expected control: 100 - that = {} %", short(&expected)),
    ];
    Ok(Worked::new(expected, steps))
}

/// What an observed control says, beside the expected one. Small differences mean nothing without statistics.
#[must_use]
pub fn reading(expected: &Exact, observed: &Exact) -> &'static str {
    match observed.cmp(expected) {
        std::cmp::Ordering::Greater => {
            "more than expected: synergism, if the error of the trial allows"
        }
        std::cmp::Ordering::Equal => "as expected: additive",
        std::cmp::Ordering::Less => {
            "less than expected: antagonism, if the error of the trial allows"
        }
    }
}
