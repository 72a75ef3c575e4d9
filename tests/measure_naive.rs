//! The way from a label to the measuring cup a second time, in the plainest manner: binary fractions,
//! constants typed from a handbook, tanks filled one after the other, steps of the tool counted one by one.
//! Random labels, lawns and sprayers must come out the same both ways.
#![allow(
    clippy::unwrap_used,
    reason = "a test that cannot go on should stop where it is"
)]

use ligule::amounts::loads::{self, Part};
use ligule::amounts::tool::Tool;
use ligule::amounts::{content, product, solution};
use ligule::measure::area::{area, shape};
use ligule::measure::{FaultKind, quantity, strength};
use proptest::prelude::*;

/// What a person would note on paper.
struct Sheet {
    /// Product for the lawn, in mL or g.
    product: f64,
    /// Spray of each load, in mL.
    loads: Vec<f64>,
    /// Adjuvant for the whole job, in mL.
    adjuvant: f64,
}

const SQ_FT: f64 = 0.092_903_04;
const GALLON: f64 = 3_785.411_784;
const OUNCE: f64 = 28.349_523_125;

/// Millilitres or grams per square metre.
fn per_square_metre(value: f64, unit: &str) -> f64 {
    value
        * match unit {
            "fl oz/1000 sq ft" => GALLON / 128.0 / 1000.0 / SQ_FT,
            "pt/A" => GALLON / 8.0 / 43_560.0 / SQ_FT,
            "qt/A" => GALLON / 4.0 / 43_560.0 / SQ_FT,
            "gal/1000 sq ft" => GALLON / 1000.0 / SQ_FT,
            "gal/A" => GALLON / 43_560.0 / SQ_FT,
            "L/ha" | "kg/ha" => 1000.0 / 10_000.0,
            "mL/100 m2" | "g/100 m2" => 1.0 / 100.0,
            "oz wt/1000 sq ft" => OUNCE / 1000.0 / SQ_FT,
            "lb/A" => OUNCE * 16.0 / 43_560.0 / SQ_FT,
            other => panic!("{other}"),
        }
}

fn by_hand(
    rate: (f64, &str),
    sides: (f64, f64),
    spray: (f64, &str),
    tank_gal: f64,
    percent: f64,
    equal: bool,
) -> Sheet {
    let square_metres = sides.0 * sides.1 * SQ_FT;
    let job = per_square_metre(spray.0, spray.1) * square_metres;
    let tank = tank_gal * GALLON;
    let mut loads = Vec::new();
    let mut left = job;
    // A hair of a tank is left by binary fractions, not by the job.
    while left > tank * 1e-9 {
        loads.push(left.min(tank));
        left -= tank;
    }
    if equal {
        let count = loads.len();
        #[allow(clippy::cast_precision_loss)]
        loads.fill(job / count as f64);
    }
    Sheet {
        product: per_square_metre(rate.0, rate.1) * square_metres,
        adjuvant: job * percent / 100.0,
        loads,
    }
}

/// Steps of the tool, counted up while they bring one nearer and stay at or below the most.
fn count_steps(wanted: f64, step: f64, most: f64) -> u32 {
    let mut steps = 0;
    while f64::from(steps + 1) * step <= most * (1.0 + 1e-12)
        && (f64::from(steps + 1) * step - wanted).abs() <= (f64::from(steps) * step - wanted).abs()
    {
        steps += 1;
    }
    steps
}

fn close(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-9 * a.abs().max(b.abs())
}

fn hundredths(n: u32) -> String {
    format!("{}.{:02}", n / 100, n % 100)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    #[test]
    fn both_ways_give_the_same_loads(
        rate in (1_u32..5000, proptest::sample::select(vec![
            "fl oz/1000 sq ft", "pt/A", "qt/A", "L/ha", "mL/100 m2", "oz wt/1000 sq ft", "lb/A", "g/100 m2", "kg/ha",
        ])),
        sides in (100_u32..50_000, 100_u32..50_000),
        spray in (10_u32..500, proptest::sample::select(vec!["gal/1000 sq ft", "L/ha", "gal/A"])),
        tank in 100_u32..10_000,
        percent in 1_u32..200,
        equal in any::<bool>(),
    ) {
        let ground = area(&shape(&format!("{} x {} ft", hundredths(sides.0), hundredths(sides.1))).unwrap()).unwrap().value;
        let whole = product::for_area(&quantity(&format!("{} {}", hundredths(rate.0), rate.1)).unwrap(), &ground, None).unwrap().value;
        let job = product::spray_for_area(&quantity(&format!("{} {}", hundredths(spray.0), spray.1)).unwrap(), &ground).unwrap().value;
        let adjuvant = solution::into(&quantity(&format!("{} % v/v", hundredths(percent))).unwrap(), &job).unwrap().value;
        let cut = if equal { loads::equal } else { loads::full_and_rest };
        let part = Part { name: "product".to_owned(), amount: whole.clone() };
        let plan = match cut(&job, &quantity(&format!("{} gal", hundredths(tank))).unwrap(), &[part]) {
            Ok(plan) => plan.value.loads,
            Err(fault) => { prop_assert_eq!(fault.kind, FaultKind::Figures); return Ok(()); }
        };

        let as_number = |n: u32| f64::from(n) / 100.0;
        let sheet = by_hand(
            (as_number(rate.0), rate.1),
            (as_number(sides.0), as_number(sides.1)),
            (as_number(spray.0), spray.1),
            as_number(tank),
            as_number(percent),
            equal,
        );
        // Base units are litres and grams; the sheet is in millilitres and grams.
        let small = |q: &ligule::measure::Quantity| {
            q.in_base().to_f64() * if q.kind() == ligule::measure::Base::Volume.into() { 1000.0 } else { 1.0 }
        };
        prop_assert!(close(small(&whole), sheet.product), "{whole} against {}", sheet.product);
        prop_assert!(close(small(&adjuvant), sheet.adjuvant));
        prop_assert_eq!(plan.len(), sheet.loads.len());
        for (load, by_hand) in plan.iter().zip(&sheet.loads) {
            prop_assert!((small(&load.spray) - by_hand).abs() <= 1e-6 * small(&job));
            let product = sheet.product * by_hand / small(&job);
            prop_assert!((small(&load.parts[0].amount) - product).abs() <= 1e-6 * sheet.product);
        }
    }

    #[test]
    fn both_ways_measure_the_same_steps(milligrams in 1_u32..2_000_000, step in 1_u32..5000, slack in 0_u32..30) {
        let (amount, step) = (milligrams, step * 10);
        // Far from half a step, where a binary fraction might fall on either side; and few enough to count.
        prop_assume!((amount % step) * 2 != step && amount / step < 3000);
        let most = f64::from(amount) * (1.0 + f64::from(slack) / 1000.0);
        let steps = count_steps(f64::from(amount), f64::from(step), most);
        let tool: Tool = format!("scale {step} mg").parse().unwrap();
        let amount = quantity(&format!("{amount} mg")).unwrap();
        let maximum = amount.times(&ligule::measure::Exact::from(i64::from(1000 + slack)).shifted(-3));
        match ligule::amounts::tool::measure_out(&amount, &tool, Some(&maximum)) {
            Ok(measured) => prop_assert!(close(measured.value.measure.value.to_f64(), f64::from(steps * step))),
            Err(fault) => { prop_assert_eq!(fault.kind, FaultKind::Tool); prop_assert_eq!(steps, 0); }
        }
    }

    #[test]
    fn both_ways_turn_active_into_product(rate in 1_u32..1000, content in 10_u32..1000, liquid in any::<bool>()) {
        let active = quantity(&format!("{} lb a.i./A", hundredths(rate))).unwrap();
        let (rate, amount) = (f64::from(rate) / 100.0, f64::from(content) / 100.0);
        let (text, by_hand) = if liquid {
            // pounds / (pounds per gallon) = gallons
            (format!("{} lb/gal", hundredths(content)), rate / amount)
        } else {
            // pounds / share = pounds
            (format!("{} % WG", hundredths(content)), rate / (amount / 100.0))
        };
        let product = content::product_for(&active, &strength(&text).unwrap()).unwrap().value;
        prop_assert!(close(product.value.to_f64(), by_hand), "{product} against {by_hand}");
    }
}
