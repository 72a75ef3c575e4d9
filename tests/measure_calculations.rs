//! Calculations checked by hand: each comment shows the sum.
#![allow(
    clippy::unwrap_used,
    reason = "a test that cannot go on should stop where it is"
)]

use ligule::amounts::tool::{Tool, measure_out};
use ligule::amounts::{content, cost, limit, product, solution};
use ligule::measure::area::{area, shape};
use ligule::measure::{
    Base, Exact, FaultKind, Figures, Quantity, State, nozzle, quantity, span, sprayer, spreader,
    strength,
};

fn q(text: &str) -> Quantity {
    quantity(text).unwrap()
}

fn n(digits: &str) -> Exact {
    Exact::from_digits(digits).unwrap()
}

#[test]
fn simpson_is_exact_for_a_parabola() {
    // y = x(4 - x) at 0, 1, 2, 3, 4 encloses 32/3; the trapezoidal rule gives 10 and plain strips 10.
    let bed = |rule: &str| {
        area(&shape(&format!("offsets {rule} 0, 3, 4, 3, 0 ft every 1 ft")).unwrap())
            .unwrap()
            .value
    };
    assert_eq!(bed("simpson").value, Exact::ratio(32, 3).unwrap());
    assert_eq!(bed("ends").value, n("10"));
    // Ends that are not nought: strips 1 + 3 + 2 = 6, trapezoids 0.5 + 3 + 1 = 4.5.
    let open = |rule: &str| {
        area(&shape(&format!("offsets {rule} 1, 3, 2 ft every 1 ft")).unwrap())
            .unwrap()
            .value
    };
    assert_eq!(open("").value, n("6"));
    assert_eq!(open("ends").value, n("4.5"));
}

#[test]
fn quarter_circles_and_heron() {
    // A quarter of pi x 10^2 is 25 pi.
    let bed = area(&shape("quarter circle radius 10 m").unwrap())
        .unwrap()
        .value;
    assert_eq!(bed.value, Exact::pi() * n("25"));
    // 13, 14, 15: s = 21, sqrt(21 x 8 x 7 x 6) = 84.
    assert_eq!(
        area(&shape("triangle sides 13, 14, 15 ft").unwrap())
            .unwrap()
            .value,
        q("84 sq ft")
    );
}

#[test]
fn spreader_strips_passes_and_crossings() {
    // 3 passes of 2 ft x 50 ft are 300 sq ft; 0.9 lb on them are 3 lb per 1,000.
    let rate = spreader::strip(&q("0.9 lb"), &q("2 ft"), &q("50 ft"), 3).unwrap();
    assert_eq!(rate.value.per_thousand, q("3 lb/1000 sq ft"));
    assert_eq!(rate.value.per_acre, q("130.68 lb/A"));
    // Wanted 5 lb in two crossings: 2.5 each; 3 / 2.5 is 20 % too much.
    let twice = spreader::compare(rate.clone(), &q("5 lb/1000 sq ft"), true, &n("10")).unwrap();
    assert_eq!(twice.value.off_percent, n("20"));
    assert_eq!(twice.value.wanted.per_thousand, q("2.5 lb/1000 sq ft"));
    assert!(twice.warnings[0].contains("too much"));
    // Wanted 5 lb at once: 3 / 5 is 40 % too little.
    let once = spreader::compare(rate.clone(), &q("5 lb/1000 sq ft"), false, &n("10")).unwrap();
    assert_eq!(once.value.off_percent, -n("40"));
    assert!(once.warnings[0].contains("too little"));
    let near = spreader::compare(rate, &q("3.1 lb/1000 sq ft"), false, &n("10")).unwrap();
    assert!(near.warnings.is_empty());
    assert_eq!(
        spreader::weighed_out(&q("10 lb"), &q("6 lb 8 oz"))
            .unwrap()
            .value,
        q("3.5 lb")
    );
    assert_eq!(
        spreader::weighed_out(&q("6 lb"), &q("6 lb"))
            .unwrap_err()
            .kind,
        FaultKind::Figures
    );
    assert_eq!(
        spreader::strip(&q("1 lb"), &q("2 ft"), &q("50 ft"), 0)
            .unwrap_err()
            .kind,
        FaultKind::Zero
    );
    // 1000 / 8 = 125.
    assert_eq!(
        spreader::run_for_thousand(&q("8 ft")).unwrap().value,
        q("125 ft")
    );
}

#[test]
fn ways_to_the_label_volume() {
    let setting = nozzle::Setting {
        flow: q("0.2 gal/min"),
        pressure: q("40 psi"),
        speed: q("3 mph"),
        width: q("20 in"),
        pressures: Some((q("20 psi"), q("60 psi"))),
    };
    // Now 5940 x 0.2 / (3 x 20) = 19.8. For 39.6: half the speed, or twice the flow at four times the pressure.
    let ways = nozzle::ways(&setting, &q("39.6 gal/A")).unwrap();
    assert_eq!(ways.value.now.per_acre, q("19.8 gal/A"));
    assert_eq!(ways.value.speed, q("1.5 mph"));
    assert_eq!(ways.value.pressure, q("160 psi"));
    assert_eq!(ways.value.flow, q("0.4 gal/min"));
    assert_eq!(ways.value.pressure_fits, Some(false));
    assert!(ways.warnings[0].contains("outside the nozzle's range"));
    let turned = nozzle::Setting {
        pressures: Some((q("60 psi"), q("20 psi"))),
        ..setting
    };
    assert_eq!(
        nozzle::ways(&turned, &q("39.6 gal/A")).unwrap_err().kind,
        FaultKind::Range
    );
}

#[test]
fn worn_nozzles_are_found() {
    // Mean of 20, 20, 26 is 22: the first two lie 9.09 % below it, the last 18.18 % above.
    let checked =
        sprayer::compare_nozzles(&[q("20 fl oz"), q("20 fl oz"), q("26 fl oz")], &n("10")).unwrap();
    assert_eq!(checked.value.mean, q("22 fl oz"));
    assert_eq!(
        checked
            .value
            .nozzles
            .iter()
            .map(|(_, off)| *off)
            .collect::<Vec<_>>(),
        [false, false, true]
    );
    assert_eq!(checked.value.nozzles[2].0, Exact::ratio(200, 11).unwrap());
    assert_eq!(checked.warnings.len(), 1);
}

#[test]
fn a_year_and_a_pack() {
    // 2 pt/A a year on half an acre is 1 pt; 6 fl oz used leave 10.
    let left = limit::left_this_year(&q("2 pt/A"), &[q("6 fl oz")], &q("0.5 A"))
        .unwrap()
        .value;
    assert_eq!(left.in_base(), q("10 fl oz").in_base());
    let over = limit::left_this_year(&q("2 pt/A"), &[q("6 fl oz"), q("11 fl oz")], &q("0.5 A"))
        .unwrap_err();
    assert_eq!(over.kind, FaultKind::OverMaximum);
    // 3 x 4 fl oz a year from a quart of 32: one pack, which lasts 32 / 12 years.
    let year = cost::per_year(&q("4 fl oz"), 3, &q("1 qt"), Some(&n("2"))).unwrap();
    assert_eq!(
        (year.value.packs, year.value.years.clone()),
        (1, Exact::ratio(8, 3).unwrap())
    );
    assert!(year.warnings[0].contains("smaller pack"));
    // 40 fl oz of quarts at 30.00: two packs, 24 fl oz left, 37.50 used up.
    let pack = cost::Pack {
        size: q("1 qt"),
        price: n("30"),
    };
    let price = cost::of(&q("40 fl oz"), &pack).unwrap().value;
    assert_eq!(
        (price.packs, price.used.clone(), price.bought.clone()),
        (2, n("37.5"), n("60"))
    );
    assert_eq!(price.left.in_base(), q("24 fl oz").in_base());
    assert_eq!(price.figures()[0].value, "37.5");
    // 60.00 over 8,000 and 4,000 sq ft.
    let shares = cost::split(&n("60"), &[q("8000 sq ft"), q("4000 sq ft")]).unwrap();
    assert_eq!(shares.value, [n("40"), n("20")]);
    assert!(shares.warnings[0].contains("licence"));
}

#[test]
fn strengths_and_densities() {
    // 41 % by weight at 9.7 lb/gal: 3.977 lb a.i./gal.
    let by_volume = content::by_volume(&strength("41 % w/w").unwrap(), &q("9.7 lb/gal"))
        .unwrap()
        .value;
    assert_eq!(by_volume.content, q("3.977 lb a.i./gal"));
    // A liquid of 480 g/L at 1 L/ha: 480 g of active.
    let active = content::active_in(&q("1 L/ha"), &strength("480 g/L").unwrap())
        .unwrap()
        .value;
    assert_eq!(active, q("480 g a.i./ha"));
    // Weighed product and strength per gallon do not fit.
    assert_eq!(
        content::active_in(&q("1 lb/A"), &strength("4 lb/gal").unwrap())
            .unwrap_err()
            .kind,
        FaultKind::WrongKind
    );
    // Acid and active are not each other.
    let wrong =
        content::product_for(&q("1 lb a.e./A"), &strength("4 lb a.i./gal").unwrap()).unwrap_err();
    assert_eq!(wrong.kind, FaultKind::WrongKind);
    // 3 lb a.e. of 4 lb a.i.: three quarters.
    let share = content::acid_share(
        &strength("3 lb a.e./gal").unwrap(),
        &strength("4 lb a.i./gal").unwrap(),
    )
    .unwrap()
    .value;
    assert_eq!(share, n("0.75"));
    assert_eq!(
        content::other_form(&q("1 lb a.i./A"), &share)
            .unwrap()
            .value,
        q("0.75 lb a.e./A")
    );
    let more = content::acid_share(
        &strength("5 lb a.e./gal").unwrap(),
        &strength("4 lb a.i./gal").unwrap(),
    )
    .unwrap_err();
    assert_eq!(more.kind, FaultKind::Figures);
    // Granules of 0.5 % for 2 lb a.i./A: 400 lb/A.
    let granules = content::product_for(&q("2 lb a.i./A"), &strength("0.5 % G").unwrap())
        .unwrap()
        .value;
    assert_eq!(granules, q("400 lb/A"));
}

#[test]
fn concentration_of_a_spray() {
    // 32 fl oz/A in 40 gal/A are 0.8 fl oz a gallon, 2.4 in a 3-gallon tank.
    let spray = product::in_spray(&q("32 fl oz/A"), &q("40 gal/A"), Some(&q("3 gal")))
        .unwrap()
        .value;
    assert_eq!(spray.concentration, q("0.8 fl oz/gal"));
    assert_eq!(spray.per_tank, Some(q("2.4 fl oz")));
    // More than the whole is refused.
    assert_eq!(
        solution::into(&q("120 % v/v"), &q("1 gal"))
            .unwrap_err()
            .kind,
        FaultKind::Figures
    );
}

#[test]
fn ounces_are_never_guessed() {
    let rate = q("1.3 oz/1000 sq ft");
    for state in [None, Some(State::Liquid)] {
        assert_eq!(
            rate.clone().with_plain_ounces(state).unwrap_err().kind,
            FaultKind::Ambiguous
        );
    }
    let dry = rate.clone().with_plain_ounces(Some(State::Dry)).unwrap();
    assert_eq!(dry, q("1.3 oz wt/1000 sq ft"));
    // The sums themselves refuse it too, should a caller forget.
    assert_eq!(
        product::for_area(&rate, &q("1000 sq ft"), None)
            .unwrap_err()
            .kind,
        FaultKind::Ambiguous
    );
    assert_eq!(
        product::in_spray(&rate, &q("1 gal/1000 sq ft"), None)
            .unwrap_err()
            .kind,
        FaultKind::Ambiguous
    );
    assert_eq!(
        solution::into(&q("1 oz/gal"), &q("3 gal"))
            .unwrap_err()
            .kind,
        FaultKind::Ambiguous
    );
}

#[test]
fn tools_show_what_they_can() {
    let tool = |text: &str| text.parse::<Tool>().unwrap();
    // 1.28 fl oz are 37.854 mL: 38 to the millilitre, 37.5 when 37.9 is the most.
    let measured = measure_out(&q("1.28 fl oz"), &tool("syringe 0.5 mL"), None)
        .unwrap()
        .value;
    assert_eq!(measured.measure, q("38 mL"));
    let held = measure_out(
        &q("1.28 fl oz"),
        &tool("syringe 0.5 mL"),
        Some(&q("37.9 mL")),
    )
    .unwrap();
    assert_eq!(held.value.measure, q("37.5 mL"));
    assert!(held.steps[0].contains("(down, to stay at or below the maximum)"));
    let over =
        measure_out(&q("1.28 fl oz"), &tool("syringe 0.5 mL"), Some(&q("37 mL"))).unwrap_err();
    assert_eq!(over.kind, FaultKind::OverMaximum);
    // 0.3 g on a 1 g scale cannot be shown; 1.4 g is 1 g, and 29 % off is said.
    assert_eq!(
        measure_out(&q("0.3 g"), &tool("scale 1 g"), None)
            .unwrap_err()
            .kind,
        FaultKind::Tool
    );
    assert!(
        measure_out(&q("1.4 g"), &tool("scale 1 g"), None)
            .unwrap()
            .warnings[0]
            .contains("finer tool")
    );
    assert_eq!(
        measure_out(&q("1 oz wt"), &tool("cup 1 fl oz"), None)
            .unwrap_err()
            .kind,
        FaultKind::WrongKind
    );
    for bad in [
        "scale",
        "scale 1 mL",
        "syringe 1 g",
        "cup 0 mL",
        "ladle 1 mL",
        "spoons 3",
        "",
    ] {
        assert!(bad.parse::<Tool>().is_err(), "{bad:?}");
    }
}

#[test]
fn ranges_turn_both_ends() {
    let range = span("0.5-1 oz/1000 sq ft")
        .unwrap()
        .each(|one| one.with_plain_ounces(Some(State::Dry)))
        .unwrap();
    assert_eq!(range.to_string(), "0.5 to 1 oz wt/1000 sq ft");
    assert!(!range.is_single());
    assert_eq!(range.kind().per, Some(Base::Area));
}
