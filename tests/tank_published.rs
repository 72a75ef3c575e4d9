//! What goes into a tank, against what was published: orders of mixing, jar amounts, expected control, hard water,
//! and the number before a formulation code.
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "tests")]

use ligule::knowledge::Knowledge;
use ligule::knowledge::form::lists::Effect;
use ligule::measure::{Exact, quantity, strength};
use ligule::tank::meetings::{Together, meetings};
use ligule::tank::order::{Goes, order};
use ligule::tank::{droplets, expected, jar, water};
use serde::Deserialize;
use std::collections::BTreeMap;

fn book() -> Knowledge {
    Knowledge::embedded().expect("the book")
}

/// A published order: formulation codes and adjuvants, earliest first; what stands in one line goes in together.
struct Published {
    source: &'static str,
    lines: &'static [&'static [&'static str]],
    /// Pairs that our order turns round, each because another source does so too (`knowledge/mixing.yaml` says where).
    turned: &'static [(&'static str, &'static str)],
    /// Pairs that go in together in our order.
    tied: &'static [(&'static str, &'static str)],
}

const ORDERS: [Published; 5] = [
    // The first three are the orders that the book was built on; the last two were read for this test alone.
    Published {
        source: "Utah State University, Using a jar test, Utah Pests News, winter 2012",
        lines: &[
            &["WP"],
            &["WG"],
            &["CS"],
            &["EC"],
            &["SL"],
            &["SP"],
            &["nonionic surfactant"],
            &["liquid fertilizer"],
        ],
        turned: &[
            ("WP", "SP"),
            ("WG", "SP"),
            ("CS", "SP"),
            ("EC", "SP"),
            ("SL", "SP"),
        ],
        tied: &[("WP", "WG")],
    },
    Published {
        source: "Manitoba Agriculture, Guide to field crop protection (tank mixing)",
        lines: &[
            &["WP", "WG", "SC"],
            &["SL"],
            &["EC"],
            &["nonionic surfactant"],
        ],
        turned: &[("SL", "EC")],
        tied: &[],
    },
    Published {
        source: "North Dakota State University, Weed control guide (mixing order)",
        lines: &[
            &["SG", "SP"],
            &["WG", "WP"],
            &["SC", "SE", "ME"],
            &["EC", "EW", "OD"],
            &["SL"],
        ],
        turned: &[("ME", "EC"), ("ME", "EW"), ("ME", "OD")],
        tied: &[("ME", "SL")],
    },
    Published {
        source: "Oklahoma State University Extension, Herbicide mixing order, extension.okstate.edu/fact-sheets/herbicide-mixing-order.html",
        lines: &[
            &["ammonium sulfate"],
            &["WP", "DF"],
            &["CS", "SC"],
            &["SL"],
            &["EC"],
            &[
                "nonionic surfactant",
                "crop oil concentrate",
                "methylated seed oil",
            ],
        ],
        turned: &[("SL", "EC")],
        tied: &[],
    },
    Published {
        source: "South Dakota State University Extension, Preparing spray solutions: mixing order, extension.sdstate.edu/preparing-spray-solutions-mixing-order",
        lines: &[
            &["ammonium sulfate", "compatibility agent", "defoamer"],
            &["WP", "DF", "WG"],
            &["SC"],
            &["EC"],
            &["nonionic surfactant", "crop oil concentrate"],
        ],
        turned: &[],
        tied: &[],
    },
];

#[test]
fn the_order_of_mixing_is_the_published_one() {
    let book = book();
    let formulations = &book.mixing.as_ref().unwrap().formulations;
    let goes = |name: &'static str| -> Goes<'_> {
        formulations
            .iter()
            .find(|f| f.code == name || f.also.iter().any(|a| a == name))
            .map_or(Goes::Adjuvant(name), |f| Goes::Product(Some(f)))
    };
    let mut compared = 0;
    for published in &ORDERS {
        let (mut turned, mut tied) = (Vec::new(), Vec::new());
        for (place, earlier) in published.lines.iter().enumerate() {
            for later in &published.lines[place + 1..] {
                for (&first, &second) in earlier
                    .iter()
                    .flat_map(|a| later.iter().map(move |b| (a, b)))
                {
                    compared += 1;
                    // The order given is kept among equals, so both ways of giving a pair must be tried.
                    let (wrong, right) = (
                        order(&book, &[goes(second), goes(first)]),
                        order(&book, &[goes(first), goes(second)]),
                    );
                    assert!(wrong.iter().all(|p| p.fact.is_some()), "{first} {second}");
                    match (wrong[0].part, right[0].part) {
                        (1, 0) => {}
                        (0, 0) => tied.push((first, second)),
                        _ => turned.push((first, second)),
                    }
                }
            }
        }
        assert_eq!(tied, published.tied, "{}", published.source);
        assert_eq!(turned, published.turned, "{}", published.source);
    }
    assert!(compared > 80, "{compared} pairs");
}

#[test]
fn what_the_book_does_not_know_goes_last_and_is_not_called_known() {
    let book = book();
    let placed = order(
        &book,
        &[
            Goes::Adjuvant("moon dust"),
            Goes::Product(None),
            Goes::Adjuvant("nonionic surfactant"),
        ],
    );
    let parts: Vec<usize> = placed.iter().map(|p| p.part).collect();
    assert_eq!(parts, [2, 1, 0]);
    assert!(placed[1].fact.is_none() && placed[2].fact.is_none());
}

/// The worked examples of the book's own list that are about a tank.
#[derive(Deserialize)]
struct Example {
    id: String,
    topic: String,
    given: serde_yaml::Value,
    answer: BTreeMap<String, serde_yaml::Value>,
}

fn examples() -> Vec<Example> {
    serde_yaml::from_str(include_str!("data/worked-examples.yaml")).unwrap()
}

fn exact(value: &serde_yaml::Value) -> Exact {
    let text = value
        .as_i64()
        .map_or_else(|| value.as_f64().unwrap().to_string(), |n| n.to_string());
    Exact::from_digits(&text).unwrap()
}

#[test]
fn the_listed_examples_of_expected_control_come_out() {
    let mut seen = 0;
    for example in examples()
        .iter()
        .filter(|e| e.topic.starts_with("expected control"))
    {
        let alone: Vec<Exact> = ["x_percent", "y_percent", "z_percent"]
            .iter()
            .filter_map(|key| example.given.get(key))
            .map(exact)
            .collect();
        let worked = expected::control(&alone).unwrap();
        assert_eq!(
            worked.value,
            exact(&example.answer["expected_percent"]),
            "{}",
            example.id
        );
        seen += 1;
    }
    assert_eq!(seen, 5);
}

#[test]
fn expected_control_is_the_sum_less_the_products() {
    // The other way to write the formula: E = X + Y - XY/100, and with Z the sum of three less the pairs plus all.
    for x in (0..=100).step_by(7) {
        for y in (0..=100).step_by(11) {
            for z in (0..=100).step_by(20) {
                let e = |all: &[i64]| {
                    let all: Vec<Exact> = all.iter().map(|n| Exact::from(*n)).collect();
                    expected::control(&all).unwrap().value
                };
                let two = Exact::ratio(i128::from(100 * (x + y) - x * y), 100).unwrap();
                assert_eq!(e(&[x, y]), two);
                let three = 10_000 * (x + y + z) - 100 * (x * y + x * z + y * z) + x * y * z;
                assert_eq!(
                    e(&[x, y, z]),
                    Exact::ratio(i128::from(three), 10_000).unwrap()
                );
            }
        }
    }
    for bad in [vec![], vec![50], vec![50, 101]] {
        let bad: Vec<Exact> = bad.into_iter().map(Exact::from).collect();
        assert!(expected::control(&bad).is_err());
    }
}

#[test]
fn where_a_trial_gives_both_partners_alone_the_expected_control_is_shown() {
    let actives = ["diclofop-methyl".to_owned(), "dithiopyr".to_owned()];
    let found = meetings(&book(), &actives, &[]);
    let shown: Vec<&str> = found[0]
        .statements
        .iter()
        .filter_map(|s| s.expected.as_deref())
        .collect();
    // 62 and 50 % alone: 100 - 38 x 50 / 100 = 81.
    assert_eq!(shown, ["expected from each alone 81 %, observed 77 %"]);
}

#[test]
fn a_jar_holds_what_the_tank_holds_in_small() {
    // GRDC, Spray application manual, module 7.5 (2025): divide by 100; at 70 L/ha the jar is 0.7 L, a product at
    // 2 L/ha is 20 mL in it and one at 800 mL/ha is 8 mL.
    let parts = [
        ("one".to_owned(), quantity("2 L").unwrap()),
        ("two".to_owned(), quantity("800 mL").unwrap()),
    ];
    let jar = jar::amounts(
        &parts,
        &quantity("70 L").unwrap(),
        &quantity("0.7 L").unwrap(),
    )
    .unwrap();
    let ml = ligule::measure::unit("mL").unwrap();
    let found: Vec<String> = jar
        .value
        .iter()
        .map(|(_, q)| q.to(&ml).unwrap().to_string())
        .collect();
    assert_eq!(found, ["20 mL", "8 mL"]);
    // The book's own example: 8 fl oz a gallon are 1 fl oz in a pint.
    let example = examples()
        .into_iter()
        .find(|e| e.topic == "jar test")
        .unwrap();
    let parts = [("p".to_owned(), quantity("8 fl oz").unwrap())];
    let jar = jar::amounts(
        &parts,
        &quantity("1 gal").unwrap(),
        &quantity("1 pt").unwrap(),
    )
    .unwrap();
    assert_eq!(
        jar.value[0].1.value,
        exact(&example.answer["fl_oz_per_jar"])
    );
    assert!(
        jar::amounts(
            &parts,
            &quantity("1 pt").unwrap(),
            &quantity("1 gal").unwrap()
        )
        .is_err()
    );
    assert!(
        jar::amounts(
            &parts,
            &quantity("0 gal").unwrap(),
            &quantity("1 pt").unwrap()
        )
        .is_err()
    );
    assert!(
        jar::amounts(
            &parts,
            &quantity("1 gal").unwrap(),
            &quantity("1 lb").unwrap()
        )
        .is_err()
    );
}

#[test]
fn ammonium_sulfate_is_summed_over_the_ions() {
    let example = examples()
        .into_iter()
        .find(|e| e.topic.starts_with("ammonium sulfate"))
        .unwrap();
    let ions: Vec<(String, Exact)> = [
        ("calcium", "ca_ppm"),
        ("magnesium", "mg_ppm"),
        ("sodium", "na_ppm"),
        ("potassium", "k_ppm"),
        ("iron", "fe_ppm"),
    ]
    .map(|(ion, key)| (ion.to_owned(), exact(&example.given[key])))
    .to_vec();
    let (worked, fact) = water::ammonium_sulfate(&book(), &ions).unwrap();
    assert_eq!(worked.value.value, exact(&example.answer["lb_per_100_gal"]));
    // Three of the five terms are recalled, so the sum is no better.
    assert_eq!(serde_json::to_value(fact.evidence).unwrap(), "memory");
    let wrong = water::ammonium_sulfate(&book(), &[("gold".to_owned(), Exact::one())]).unwrap_err();
    assert!(wrong.to_string().contains("calcium"), "{wrong}");
}

#[test]
fn the_number_before_a_code_is_pounds_in_a_gallon() {
    // New England Vegetable Management Guide, dilution tables (nevegetable.org/book/export/html/244): the code with
    // what it means, and the product for so many pounds of active in 100 gallons.
    for (code, meaning) in [
        ("1.5 EC", "1 1/2 lb/gal"),
        ("2 EC", "2 lb/gal"),
        ("4 EC", "4 lb/gal"),
        ("6 EC", "6 lb/gal"),
        ("8 EC", "8 lb/gal"),
    ] {
        assert_eq!(
            strength(code).unwrap().content,
            strength(meaning).unwrap().content,
            "{code}"
        );
    }
    for (code, pounds, product) in [
        ("1.5 EC", "0.5 lb a.i.", "1 1/3 qt"),
        ("2 EC", "1 lb a.i.", "2 qt"),
        ("4 EC", "0.5 lb a.i.", "1 pt"),
        ("4 EC", "3 lb a.i.", "3 qt"),
        ("6 EC", "1 lb a.i.", "1 1/3 pt"),
        ("8 EC", "1 lb a.i.", "1 pt"),
    ] {
        let found = ligule::amounts::content::product_for(
            &quantity(pounds).unwrap(),
            &strength(code).unwrap(),
        )
        .unwrap();
        let wanted = quantity(product).unwrap();
        assert_eq!(found.value.to(&wanted.unit).unwrap(), wanted, "{code}");
    }
}

#[test]
fn water_notes_hold_for_the_water_and_the_actives() {
    let book = book();
    let measured = |ph: Option<i64>, hard: Option<i64>| water::Measured {
        ph: ph.map(Exact::from),
        hardness_ppm: hard.map(Exact::from),
    };
    let notes = |m: &water::Measured, a: &str| water::notes(&book, m, &[a.to_owned()]).len();
    assert_eq!(notes(&measured(None, None), "glyphosate"), 0);
    assert_eq!(notes(&measured(Some(7), Some(149)), "glyphosate"), 0);
    assert_eq!(notes(&measured(None, Some(150)), "glyphosate"), 1);
    assert_eq!(notes(&measured(None, Some(200)), "glyphosate"), 2);
    assert_eq!(notes(&measured(None, Some(200)), "quinclorac"), 1);
    assert_eq!(notes(&measured(Some(5), None), "halosulfuron-methyl"), 1);
    assert_eq!(notes(&measured(Some(5), None), "quinclorac"), 0);
    assert_eq!(notes(&measured(Some(9), None), "quinclorac"), 1);
    assert!(!droplets::advice(&book).is_empty());
}

#[test]
fn every_pair_of_the_book_is_judged_and_no_unknown_pair_is_called_safe() {
    let book = book();
    let actives: Vec<String> = book.actives.keys().cloned().collect();
    let turf: Vec<String> = book.turf.keys().cloned().collect();
    let mut count: BTreeMap<Together, usize> = BTreeMap::new();
    for meeting in meetings(&book, &actives, &turf) {
        *count.entry(meeting.together).or_default() += 1;
        let effects: Vec<Effect> = meeting.statements.iter().map(|s| s.effect).collect();
        let grave = effects
            .iter()
            .any(|e| matches!(e, Effect::DoNotMix | Effect::Antagonism));
        assert_eq!(
            grave,
            meeting.together == Together::Apart,
            "{}",
            meeting.words
        );
        if meeting.together == Together::Unknown {
            assert!(meeting.words.contains("do not mix"), "{}", meeting.words);
        }
        for statement in &meeting.statements {
            assert!(!statement.fact.sources.is_empty());
        }
    }
    assert!(
        count.values().all(|n| *n > 0) && count.len() == 4,
        "{count:?}"
    );
}

#[test]
fn what_spared_another_grass_is_not_told_of_this_one() {
    let book = book();
    let pair = ["fluazifop-p-butyl".to_owned(), "triclopyr".to_owned()];
    let safening = |turf: &str| {
        meetings(&book, &pair, &[turf.to_owned()])[0]
            .statements
            .iter()
            .any(|s| s.effect == Effect::Safening)
    };
    assert!(safening("zoysiagrass-japonica"));
    assert!(!safening("tall-fescue"));
}
