//! Unit factors against definitions, printed tables and an independent units library.
#![allow(
    clippy::unwrap_used,
    reason = "a test that cannot go on should stop where it is"
)]

use ligule::measure::{Base, Exact, Quantity, UNITS, Unit, quantity, unit};
use rink_core::Value;
use rink_core::ast::Query;
use rink_core::parsing::text_query;
use rink_core::types::{Number, Numeric};

fn exact(digits: &str) -> Exact {
    Exact::from_digits(digits).unwrap()
}

fn converted(from: &str, to: &str) -> Exact {
    quantity(from)
        .unwrap()
        .to(&unit(to).unwrap())
        .unwrap()
        .value
}

/// Definitions and figures marked exact in NIST Handbook 44, Appendix C, and NIST SP 811, Appendix B
/// (foot, gallon, pound, standard gravity in the psi, imperial gallon).
#[test]
fn definitions_hold_exactly() {
    let rows = [
        ("1 in", "mm", "25.4"),
        ("1 ft", "m", "0.3048"),
        ("1 yd", "m", "0.9144"),
        ("1 mi", "m", "1609.344"),
        ("1 mi", "ft", "5280"),
        ("1 hand", "in", "4"),
        ("1 sq in", "cm2", "6.4516"),
        ("1 sq ft", "m2", "0.09290304"),
        ("1 sq yd", "sq ft", "9"),
        ("1 A", "sq ft", "43560"),
        ("1 A", "m2", "4046.8564224"),
        ("1 ha", "m2", "10000"),
        ("1000 sq ft", "m2", "92.90304"),
        ("1 gal", "cu in", "231"),
        ("1 gal", "L", "3.785411784"),
        ("1 qt", "L", "0.946352946"),
        ("1 pt", "mL", "473.176473"),
        ("1 cup", "mL", "236.5882365"),
        ("1 fl oz", "mL", "29.5735295625"),
        ("1 tbsp", "mL", "14.78676478125"),
        ("1 tsp", "mL", "4.92892159375"),
        ("1 tbsp", "tsp", "3"),
        ("1 cu ft", "cu in", "1728"),
        ("1 cu in", "mL", "16.387064"),
        ("1 imp gal", "L", "4.54609"),
        ("1 imp gal", "imp fl oz", "160"),
        ("1 imp gal", "imp pt", "8"),
        ("1 lb", "g", "453.59237"),
        ("1 oz", "g", "28.349523125"),
        ("1 oz wt", "g", "28.349523125"),
        ("1 lb", "oz wt", "16"),
        ("1 short ton", "lb", "2000"),
        ("1 mph", "ft/min", "88"),
        ("1 mph", "m/s", "0.44704"),
        ("1 mph", "km/h", "1.609344"),
        ("1 bar", "kPa", "100"),
        ("212 F", "C", "100"),
        ("32 F", "C", "0"),
        ("-40 F", "C", "-40"),
        ("1 fl oz/1000 sq ft", "fl oz/A", "43.56"),
        ("1 % v/v", "fl oz/gal", "1.28"),
    ];
    for (from, to, printed) in rows {
        let wanted = match printed.strip_prefix('-') {
            Some(digits) => -exact(digits),
            None => exact(printed),
        };
        assert_eq!(converted(from, to), wanted, "{from} in {to}");
    }
    // 0.453 592 37 kg x 9.806 65 m/s2 / (0.0254 m)^2
    let psi = (exact("0.45359237") * exact("9.80665"))
        .over(&exact("0.00064516"))
        .unwrap();
    assert_eq!(converted("1 psi", "Pa"), psi);
}

/// Seven-digit figures of the printed table at fourmilab.ch/hackdiet/e4/units.html, and of SP 811 as the
/// psi and acre are quoted there.
#[test]
fn printed_tables_agree_to_their_last_digit() {
    let rows = [
        ("1 tsp", "mL", "4.928922"),
        ("1 tbsp", "mL", "14.78676"),
        ("1 fl oz", "mL", "29.57353"),
        ("1 pt", "mL", "473.1765"),
        ("1 qt", "mL", "946.3529"),
        ("1 gal", "mL", "3785.412"),
        ("1 tsp", "cu in", "0.300781"),
        ("1 tbsp", "cu in", "0.902344"),
        ("1 fl oz", "cu in", "1.804688"),
        ("1 pt", "cu in", "28.875"),
        ("1 oz wt", "g", "28.34952"),
        ("1 lb", "g", "453.5924"),
        ("1 short ton", "kg", "907.1847"),
        ("1 psi", "Pa", "6894.757"),
    ];
    for (from, to, printed) in rows {
        let places = printed.split_once('.').unwrap().1.len();
        assert_eq!(
            converted(from, to).to_places(places),
            printed.trim_end_matches('0'),
            "{from} in {to}"
        );
    }
}

/// The name of each unit in the units library; it takes its definitions from GNU units.
fn library_name(symbol: &str) -> Option<&str> {
    Some(match symbol {
        "in" => "inch",
        "ft" => "foot",
        "yd" => "yard",
        "mi" => "mile",
        "sq in" => "inch^2",
        "sq ft" => "foot^2",
        "sq yd" => "yard^2",
        "A" => "acre",
        "cm2" => "centimeter^2",
        "m2" => "meter^2",
        "ha" => "hectare",
        "fl oz" => "floz",
        "tsp" => "teaspoon",
        "tbsp" => "tablespoon",
        "pt" => "pint",
        "qt" => "quart",
        "gal" => "gallon",
        "cu in" => "inch^3",
        "cu ft" => "foot^3",
        "imp gal" => "brgallon",
        "imp pt" => "brpint",
        "imp fl oz" => "brfloz",
        "mL" => "milliliter",
        "L" => "liter",
        "m3" => "meter^3",
        "oz" | "oz wt" => "ounce",
        "lb" => "pound",
        "short ton" => "shortton",
        "tonne" => "tonne",
        "s" => "second",
        "m" => "meter",
        "g" => "gram",
        "h" => "hour",
        "min" => "minute",
        "d" => "day",
        "kPa" => "kilopascal",
        "Pa" => "pascal",
        "%" => "percent",
        // Counted things and temperatures (compared below) have no factor there.
        "each" | "plant" | "spot" | "tree" | "nozzle" | "F" | "C" => return None,
        other => other,
    })
}

fn library_value(context: &mut rink_core::Context, expression: &str) -> Number {
    let mut tokens = text_query::TokenIterator::new(expression).peekable();
    let Query::Expr(parsed) = text_query::parse_query(&mut tokens) else {
        panic!("{expression} is no expression")
    };
    match context.eval(&parsed) {
        Ok(Value::Number(number)) => number,
        other => panic!("{expression}: {other:?}"),
    }
}

/// The `SplitMix64` generator: the same numbers on every run, so that a failure can be repeated.
struct Dice(u64);

impl Dice {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    fn below(&mut self, n: usize) -> usize {
        usize::try_from(self.next() % n as u64).unwrap()
    }
}

/// The library reckons with rationals too, so no tolerance is needed: the values must be equal.
#[test]
fn a_hundred_thousand_conversions_agree_exactly_with_a_units_library() {
    let mut context = rink_core::simple_context().unwrap();
    let factors: Vec<(Unit, Number)> = UNITS
        .iter()
        .filter_map(|row| Some((Unit::plain(row), library_name(row.symbol)?)))
        .map(|(unit, name)| (unit, library_value(&mut context, &format!("1 {name}"))))
        .collect();
    assert!(factors.len() >= 45, "{} units", factors.len());
    for (unit, value) in &factors {
        let grams = if unit.kind().top == Base::Weight {
            1000
        } else {
            1
        };
        let litres = if unit.kind().top == Base::Volume {
            1000
        } else {
            1
        };
        let ours = unit.factor().over(&Exact::from(grams * litres)).unwrap();
        assert_eq!(
            ours,
            ratio(value, &Number::new(Numeric::from_frac(1, 1))),
            "{unit}"
        );
    }
    let mut dice = Dice(1);
    let mut compared = 0;
    while compared < 100_000 {
        let (top, top_value) = &factors[dice.below(factors.len())];
        let (other, other_value) = &factors[dice.below(factors.len())];
        if top.kind() != other.kind() {
            continue;
        }
        let (digits, places) = (1 + dice.next() % 1_000_000_000, dice.below(7));
        let value = Exact::from(digits).shifted(-i32::try_from(places).unwrap());
        let ours;
        let theirs;
        let scale = Numeric::from_frac(digits, 10_u64.pow(u32::try_from(places).unwrap()));
        // Every second time a rate: per so many of one unit against per so many of another of its kind.
        let (below, below_value) = &factors[dice.below(factors.len())];
        let same: Vec<&(Unit, Number)> = factors
            .iter()
            .filter(|(unit, _)| unit.kind() == below.kind())
            .collect();
        let (under, under_value) = same[dice.below(same.len())];
        if dice.next().is_multiple_of(2) {
            ours = Quantity::new(value, top.clone()).to(other).unwrap().value;
            theirs = ratio(&(&Number::new(scale) * top_value).unwrap(), other_value);
        } else {
            let mut count = || i64::try_from(1 + dice.below(1000)).unwrap();
            let (n, m) = (count(), count());
            let from = top.clone().per(n, below.top);
            let to = other.clone().per(m, under.top);
            ours = Quantity::new(value, from).to(&to).unwrap().value;
            let over = (&Number::new(Numeric::from_frac(n, 1)) * below_value).unwrap();
            let to_over = (&Number::new(Numeric::from_frac(m, 1)) * under_value).unwrap();
            let upper = (&(&Number::new(scale) * top_value).unwrap() * &to_over).unwrap();
            theirs = ratio(&upper, &(&over * other_value).unwrap());
        }
        assert_eq!(ours, theirs, "{digits}e-{places} {top} in {other}");
        compared += 1;
    }
}

fn ratio(upper: &Number, lower: &Number) -> Exact {
    let (n, d) = (upper / lower).unwrap().value.to_rational();
    exact(&n.to_string()).over(&exact(&d.to_string())).unwrap()
}

#[test]
fn temperatures_agree_with_a_units_library() {
    let mut context = rink_core::simple_context().unwrap();
    for tenths in (-400..1300).step_by(7) {
        let value = Exact::from(i64::from(tenths)).shifted(-1);
        let ours = Quantity::new(value, unit("F").unwrap());
        let theirs = library_value(&mut context, &format!("({tenths}/10) °F"));
        let (n, d) = theirs.value.to_rational();
        assert_eq!(
            ours.in_base(),
            exact(&n.to_string()).over(&exact(&d.to_string())).unwrap(),
            "{tenths} tenths F"
        );
    }
}
