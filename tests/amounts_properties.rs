//! What must hold for any label, lawn and sprayer: never above the maximum, loads that add up, twice the ground for
//! twice the amount; and the same amounts by a second, naive way of reckoning.
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "tests")]

use ligule::amounts::reckon::{Job, Reckoned, Spraying, Wanted, sprayed, spread};
use ligule::amounts::tool::Tool;
use ligule::measure::{Base, Exact, Quantity, quantity, unit};
use proptest::prelude::*;

/// A figure with one to three decimals.
fn value(most: i64) -> impl Strategy<Value = Exact> {
    (1..=most, 0..4_i32).prop_map(|(n, places)| Exact::from(n).shifted(-places))
}

fn amount(units: &'static [&'static str], most: i64) -> impl Strategy<Value = Quantity> {
    (value(most), proptest::sample::select(units)).prop_map(|(value, text)| Quantity {
        value,
        unit: unit(text).unwrap(),
    })
}

/// A part at a rate, with a maximum at or above it.
fn part(
    name: &'static str,
    units: &'static [&'static str],
    most: i64,
) -> impl Strategy<Value = Wanted> {
    (amount(units, most), 0..300_i64).prop_map(move |(rate, more)| {
        let most = rate.times(&Exact::ratio(100 + i128::from(more), 100).unwrap());
        let by_area = rate.kind().per == Some(Base::Area);
        Wanted {
            name: name.to_owned(),
            rate,
            most_on_area: by_area.then(|| most.clone()),
            most_in_spray: (!by_area).then_some(most),
        }
    })
}

#[derive(Debug, Clone)]
struct Case {
    area: Quantity,
    volume: Quantity,
    tank: Quantity,
    wanted: Vec<Wanted>,
    tools: Vec<Tool>,
}

fn case() -> impl Strategy<Value = Case> {
    (
        prop_oneof![amount(&["sq ft", "m2"], 9000), amount(&["A", "ha"], 5)],
        amount(&["gal/1000 sq ft", "gal/A", "L/100 m2", "L/ha"], 300),
        amount(&["gal", "L"], 100),
        (
            part(
                "liquid",
                &["fl oz/1000 sq ft", "pt/A", "mL/100 m2", "fl oz/gal"],
                90,
            ),
            part(
                "dry",
                &["oz wt/1000 sq ft", "lb/A", "g/100 m2", "g/ha", "g/L"],
                5000,
            ),
            part("adjuvant", &["% v/v"], 30),
        ),
        proptest::sample::subsequence(
            vec![
                "scale 0.1 g",
                "scale 0.01 g",
                "scale 1 oz wt",
                "syringe 0.5 mL",
                "cup 1 fl oz",
                "spoons",
            ],
            0..=6,
        ),
    )
        .prop_map(
            |(area, volume, tank, (liquid, dry, adjuvant), tools)| Case {
                area,
                volume,
                tank,
                wanted: vec![liquid, dry, adjuvant],
                tools: tools.iter().map(|t| t.parse().unwrap()).collect(),
            },
        )
}

fn reckon(case: &Case, tools: &[Tool]) -> Option<Reckoned> {
    let job = Job {
        area: &case.area,
        wanted: &case.wanted,
        tools,
    };
    let spraying = Spraying {
        volume: &case.volume,
        tank: &case.tank,
    };
    sprayed(&job, &spraying).ok().map(|w| w.value)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 3000, max_global_rejects: 60_000, ..ProptestConfig::default() })]

    #[test]
    fn nothing_goes_above_the_maximum_in_any_load(case in case()) {
        let Some(found) = reckon(&case, &case.tools) else { return Ok(()) };
        for load in &found.loads {
            let spray = load.spray.as_ref().unwrap();
            prop_assert!(spray.in_base() <= case.tank.in_base());
            for (part, wanted) in load.parts.iter().zip(&case.wanted) {
                let put = part.measure.as_ref().unwrap_or(&part.exact).in_base();
                // The bound straight from the label, not from what was reckoned on the way.
                if let Some(most) = &wanted.most_on_area {
                    prop_assert!(put <= most.on(&load.covers).unwrap().in_base());
                }
                if let Some(most) = &wanted.most_in_spray {
                    prop_assert!(put <= most.on(spray).unwrap().in_base());
                }
            }
        }
    }

    #[test]
    fn loads_add_up_exactly_and_are_the_fewest(case in case()) {
        let Some(found) = reckon(&case, &case.tools) else { return Ok(()) };
        let sum = |of: &dyn Fn(usize) -> Quantity| {
            (1..found.loads.len()).fold(of(0), |sum, i| sum.plus(&of(i)).unwrap())
        };
        let spray = found.spray.as_ref().unwrap();
        prop_assert_eq!(&sum(&|i| found.loads[i].spray.clone().unwrap()), spray);
        prop_assert_eq!(sum(&|i| found.loads[i].covers.clone()).in_base(), case.area.in_base());
        for (place, total) in found.totals.iter().enumerate() {
            prop_assert_eq!(sum(&|i| found.loads[i].parts[place].exact.clone()).in_base(), total.exact.in_base());
            if let Some(measured) = &total.measured {
                prop_assert_eq!(&sum(&|i| found.loads[i].parts[place].measure.clone().unwrap()), measured);
            }
        }
        let fewer = Exact::from(found.loads.len() as u64 - 1) * case.tank.in_base();
        prop_assert!(fewer < spray.in_base(), "one load less would not hold it");
    }

    #[test]
    fn twice_the_ground_takes_twice_as_much(case in case()) {
        let double = Case { area: case.area.times(&Exact::from(2)), ..case.clone() };
        let (Some(once), Some(twice)) = (reckon(&case, &[]), reckon(&double, &[])) else { return Ok(()) };
        let two = Exact::from(2);
        prop_assert_eq!(once.spray.unwrap().times(&two), twice.spray.unwrap());
        for (one, other) in once.totals.iter().zip(&twice.totals) {
            prop_assert_eq!(one.exact.times(&two).in_base(), other.exact.in_base());
            prop_assert_eq!(one.most.as_ref().unwrap().times(&two).in_base(), other.most.as_ref().unwrap().in_base());
        }
    }

    #[test]
    fn a_naive_reckoning_in_binary_fractions_gives_the_same(case in case()) {
        let Some(found) = reckon(&case, &[]) else { return Ok(()) };
        // Everything in sq m, mL and g by constants typed here (NIST SP 811), multiplied straight through.
        let area = case.area.value.to_f64() * square_metres(&case.area.unit.to_string());
        let (volume, per) = split(&case.volume);
        let spray = volume * area / per;
        let close = |a: f64, b: f64| (a - b).abs() <= 1e-9 * a.abs().max(b.abs());
        let tank = case.tank.value.to_f64() * small(&case.tank.unit.to_string());
        let (whole, loads) = (spray / tank, f64::from(u32::try_from(found.loads.len()).unwrap()));
        // At the very edge of a full tank a binary fraction may fall on either side.
        let edge = close(whole, whole.round());
        prop_assert!(edge || (whole.ceil() - loads).abs() < 0.5, "{} {}", whole, loads);
        for (total, wanted) in found.totals.iter().zip(&case.wanted) {
            let (rate, per) = split(&wanted.rate);
            let over = if wanted.rate.kind().per == Some(Base::Area) { area } else { spray };
            let naive = rate * over / per;
            let exact = total.exact.value.to_f64() * small(&total.exact.unit.to_string());
            prop_assert!(close(naive, exact), "{}: {} {}", wanted.rate, naive, exact);
        }
    }

    #[test]
    fn what_is_spread_dry_stays_below_the_maximum(
        area in amount(&["sq ft", "A", "m2"], 9000),
        wanted in part("granule", &["lb/1000 sq ft", "lb/A", "g/m2"], 5000),
        tools in proptest::sample::subsequence(vec!["scale 0.1 g", "scale 1 oz wt", "scale 1 lb"], 0..=3),
    ) {
        let tools: Vec<Tool> = tools.iter().map(|t| t.parse().unwrap()).collect();
        let wanted = [wanted];
        let Ok(found) = spread(&Job { area: &area, wanted: &wanted, tools: &tools }) else { return Ok(()) };
        let most = wanted[0].most_on_area.as_ref().unwrap().on(&area).unwrap();
        prop_assert!(found.value.totals[0].put_on().in_base() <= most.in_base());
        prop_assert_eq!(&found.value.totals[0].exact, &wanted[0].rate.on(&area).unwrap());
    }
}

/// A label with a range and perhaps a maximum, as it is typed into the lawn file.
fn label_text() -> impl Strategy<Value = (String, String, Quantity)> {
    (1..400_i64, 0..300_i64, proptest::option::of(0..200_i64), 500..20_000_i64, 1..8_i64, 100..1000_i64).prop_map(
        |(low, more, over, ground, tank, output)| {
            let hundredths = |n: i64| Exact::from(n).shifted(-2).to_string();
            let (low, high) = (low, low + more);
            let rate = if more == 0 {
                format!("{} fl oz/1000 sq ft", hundredths(low))
            } else {
                format!("{}-{} fl oz/1000 sq ft", hundredths(low), hundredths(high))
            };
            let most = high + over.unwrap_or(0);
            let maximum = over.map_or(String::new(), |_| {
                format!("      maximum: {{application: {} fl oz/1000 sq ft}}\n", hundredths(most))
            });
            let text = format!(
                "lawn:\n  area: {ground} sq ft\n  sprayer: {{tank: {tank} gal, output: {} gal/1000 sq ft}}\n  measuring: [syringe 0.5 mL, cup 1 fl oz]\n  shelf:\n    - name: spray\n      actives: [{{active: triclopyr}}]\n      formulation: EC\n      rates: {{broadcast: {rate}}}\n{maximum}",
                hundredths(output)
            );
            let most = quantity(&format!("{} fl oz/1000 sq ft", hundredths(most))).unwrap();
            (text, rate, most)
        },
    )
}

#[test]
fn no_random_label_leads_above_its_own_maximum() {
    use ligule::amounts::sheet::{self, Wish};
    use proptest::strategy::ValueTree;
    let book = ligule::knowledge::Knowledge::embedded().unwrap();
    let mut runner = proptest::test_runner::TestRunner::deterministic();
    let (mut given, mut stopped) = (0, 0);
    for _ in 0..500 {
        let (text, rate, most) = label_text().new_tree(&mut runner).unwrap().current();
        let visit: ligule::visit::Visit = ligule::knowledge::read::read("lawn.yaml", &text)
            .unwrap_or_else(|e| panic!("{e}{text}"));
        let sheet = sheet::reckon(&book, &visit.lawn, &Wish::default())
            .unwrap()
            .unwrap();
        let Some(found) = &sheet.reckoned else {
            stopped += 1;
            assert!(
                sheet.findings.iter().any(|f| f.code == "amount"),
                "{text}: {:?}",
                sheet.findings
            );
            continue;
        };
        given += 1;
        for load in &found.loads {
            let allowed = most.on(&load.covers).unwrap().in_base();
            let put = load.parts[0].measure.as_ref().unwrap().in_base();
            assert!(put <= allowed, "{rate} {most}: {load:?}");
        }
    }
    assert!(given > 475, "{given} given, {stopped} stopped");
}

#[test]
fn no_lawn_file_makes_the_sheet_panic() {
    use ligule::amounts::sheet::{self, Wish};
    use proptest::strategy::ValueTree;
    let book = ligule::knowledge::Knowledge::embedded().unwrap();
    let pieces = vec![
        "0",
        "1",
        "-1",
        "1e9",
        "999999999999",
        "0.0000001",
        "1/0",
        "1/3",
        "fl oz",
        "oz",
        "lb",
        "g",
        "gal",
        "A",
        "sq ft",
        "ha",
        "% v/v",
        "%",
        "/year",
        "per",
        "-",
        "to",
        "x",
        "spots",
        "circle",
        "EC",
        "WG",
        "GR",
        "a.e.",
        "",
        "½",
        "\u{0}",
        "psi",
        "1000 sq ft",
        "/",
    ];
    let text = proptest::collection::vec(proptest::sample::select(pieces), 1..5);
    let ten = proptest::collection::vec(text, 12);
    let mut runner = proptest::test_runner::TestRunner::deterministic();
    let (mut read, mut refused) = (0, 0);
    for _ in 0..1500 {
        let words = ten.new_tree(&mut runner).unwrap().current();
        let good = [
            "3000 sq ft",
            "2 gal",
            "1 gal/1000 sq ft",
            "syringe 0.5 mL",
            "triclopyr",
            "4 lb/gal",
            "EC",
            "0.5 fl oz/1000 sq ft",
            "1-2 gal/1000 sq ft",
            "2 pt/A",
            "0.25 % v/v",
            "8 fl oz",
        ];
        // One or two figures of a good file are spoilt, so that every place is reached.
        let spoilt = words[0].len() * 5 % 12;
        let at = |i: usize| -> String {
            let text = if i == spoilt || i == (spoilt + words[1].len()) % 12 {
                words[i].join(" ")
            } else {
                good[i].to_owned()
            };
            serde_json::to_string(&text).unwrap()
        };
        let file = format!(
            "lawn:\n  area: {}\n  sprayer: {{tank: {}, output: {}}}\n  measuring: {}\n  shelf:\n    - name: spray\n      actives: [{{active: {}, content: {}}}]\n      formulation: {}\n      rates: {{broadcast: {}}}\n      water: {}\n      maximum: {{year: {}}}\n      adjuvant: [{{name: oil, rate: {}}}]\n      pack: {{size: {}, price: 20}}\n",
            at(0),
            at(1),
            at(2),
            at(3),
            at(4),
            at(5),
            at(6),
            at(7),
            at(8),
            at(9),
            at(10),
            at(11)
        );
        match ligule::knowledge::read::read::<ligule::visit::Visit>("lawn.yaml", &file) {
            Err(_) => refused += 1,
            Ok(visit) => {
                read += 1;
                let _ = sheet::reckon(&book, &visit.lawn, &Wish::default());
            }
        }
    }
    assert!(read > 50 && refused > 300, "{read} read, {refused} refused");
}

/// The cases must not slip through by being refused.
#[test]
fn most_cases_are_reckoned() {
    use proptest::strategy::ValueTree;
    let mut runner = proptest::test_runner::TestRunner::deterministic();
    let (mut reckoned, mut rounded) = (0, 0);
    for _ in 0..500 {
        let case = case().new_tree(&mut runner).unwrap().current();
        reckoned += usize::from(reckon(&case, &[]).is_some());
        rounded += usize::from(
            reckon(&case, &case.tools)
                .is_some_and(|r| r.totals.iter().any(|t| t.measured.is_some())),
        );
    }
    assert!(reckoned >= 250, "{reckoned} of 500 were reckoned");
    assert!(
        rounded >= 80,
        "{rounded} of 500 were measured out with a tool"
    );
}

/// Square metres in one.
fn square_metres(symbol: &str) -> f64 {
    match symbol {
        "sq ft" => 0.3048 * 0.3048,
        "A" => 43_560.0 * 0.3048 * 0.3048,
        "m2" => 1.0,
        "ha" => 10_000.0,
        other => panic!("{other}"),
    }
}

/// Millilitres or grams in one.
fn small(symbol: &str) -> f64 {
    match symbol {
        "fl oz" => 29.573_529_562_5,
        "pt" => 473.176_473,
        "gal" => 3_785.411_784,
        "mL" | "g" => 1.0,
        "L" => 1000.0,
        "oz wt" => 28.349_523_125,
        "lb" => 453.592_37,
        other => panic!("{other}"),
    }
}

/// A rate as millilitres or grams over square metres or millilitres.
fn split(rate: &Quantity) -> (f64, f64) {
    let text = rate.unit.to_string();
    let value = rate.value.to_f64();
    if text == "% v/v" {
        return (value, 100.0);
    }
    let (top, per) = text.split_once('/').unwrap();
    let (count, per) = per
        .split_once(' ')
        .map_or((1.0, per), |(n, unit)| match n.parse() {
            Ok(n) => (n, unit),
            Err(_) => (1.0, per),
        });
    let per = match per {
        "gal" | "L" => count * small(per),
        area => count * square_metres(area),
    };
    (value * small(top), per)
}

#[test]
fn a_job_by_hand() {
    // 5,000 sq ft at 1.5 gal and 0.8 fl oz on 1,000 sq ft: 7.5 gal and 4 fl oz; a 4 gal tank takes two loads of 3.75 gal
    // with 2 fl oz each, which is 59.147 mL, so 59 mL on a syringe with marks of 0.5 mL.
    let wanted = [Wanted {
        name: "clover spray A".to_owned(),
        rate: quantity("0.8 fl oz/1000 sq ft").unwrap(),
        most_on_area: Some(quantity("0.8 fl oz/1000 sq ft").unwrap()),
        most_in_spray: None,
    }];
    let (area, volume, tank) = (
        quantity("5000 sq ft").unwrap(),
        quantity("1.5 gal/1000 sq ft").unwrap(),
        quantity("4 gal").unwrap(),
    );
    let tools = ["syringe 0.5 mL".parse().unwrap()];
    let job = Job {
        area: &area,
        wanted: &wanted,
        tools: &tools,
    };
    let found = sprayed(
        &job,
        &Spraying {
            volume: &volume,
            tank: &tank,
        },
    )
    .unwrap()
    .value;
    assert_eq!(found.loads.len(), 2);
    assert_eq!(
        found.loads[1].spray.as_ref().unwrap().to_string(),
        "3.75 gal"
    );
    assert_eq!(found.loads[1].parts[0].exact.to_string(), "2 fl oz");
    assert_eq!(
        found.loads[1].parts[0]
            .measure
            .as_ref()
            .unwrap()
            .to_string(),
        "59 mL"
    );
    assert_eq!(
        found.totals[0].measured.as_ref().unwrap().to_string(),
        "118 mL"
    );
}
