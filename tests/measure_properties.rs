//! What must hold for any figures.
#![allow(
    clippy::unwrap_used,
    reason = "a test that cannot go on should stop where it is"
)]

use ligule::amounts::loads::{self, Part};
use ligule::amounts::tool::{Tool, measure_out};
use ligule::amounts::{content, cost, limit, product, solution};
use ligule::measure::area::{Corner, Shape, area, shape};
use ligule::measure::droplet::Droplet;
use ligule::measure::{
    Base, Exact, FaultKind, Quantity, Span, Strength, UNITS, Unit, nozzle, quantity, span, sprayer,
    strength, unit,
};
use proptest::prelude::*;

/// A positive decimal with up to nine digits, up to six of them after the point.
fn decimal() -> impl Strategy<Value = Exact> {
    (1_i64..1_000_000_000, 0_i32..=6)
        .prop_map(|(digits, places)| Exact::from(digits).shifted(-places))
}

fn of_kind(base: Base) -> impl Strategy<Value = Unit> {
    let rows: Vec<_> = UNITS
        .iter()
        .filter(|row| row.base == base)
        .map(Unit::plain)
        .collect();
    proptest::sample::select(rows)
}

fn amount(base: Base) -> impl Strategy<Value = Quantity> {
    (decimal(), of_kind(base)).prop_map(|(value, unit)| Quantity { value, unit })
}

fn any_base() -> impl Strategy<Value = Base> {
    proptest::sample::select(vec![
        Base::Length,
        Base::Area,
        Base::Volume,
        Base::Weight,
        Base::Time,
        Base::Pressure,
    ])
}

/// A rate of dry or liquid product per area; never in bare ounces.
fn rate() -> impl Strategy<Value = Quantity> {
    let units = [
        "fl oz/1000 sq ft",
        "oz wt/1000 sq ft",
        "pt/A",
        "lb/A",
        "g/100 m2",
        "mL/100 m2",
        "L/ha",
        "kg/ha",
    ];
    (decimal(), proptest::sample::select(units.to_vec())).prop_map(|(value, name)| Quantity {
        value,
        unit: unit(name).unwrap(),
    })
}

fn spray_rate() -> impl Strategy<Value = Quantity> {
    let units = ["gal/1000 sq ft", "gal/A", "L/ha", "L/100 m2"];
    (1_i64..100_000, proptest::sample::select(units.to_vec())).prop_map(|(n, name)| Quantity {
        value: Exact::from(n).shifted(-2),
        unit: unit(name).unwrap(),
    })
}

fn strengths() -> impl Strategy<Value = Strength> {
    (
        1_i64..1000,
        proptest::sample::select(vec!["lb a.i./gal", "g a.i./L", "% w/w", "lb a.e./gal"]),
    )
        .prop_map(|(tenths, name)| {
            strength(&format!("{} {name}", Exact::from(tenths).shifted(-1))).unwrap()
        })
}

/// So many fluid ounces or grams at a step, as tools show them.
fn tool_for(amount: &Quantity, step: &Exact) -> Tool {
    if amount.kind() == Base::Weight.into() {
        Tool::Scale(Quantity {
            value: step.clone(),
            unit: unit("g").unwrap(),
        })
    } else {
        Tool::Syringe(Quantity {
            value: step.clone(),
            unit: unit("mL").unwrap(),
        })
    }
}

fn sum<'a>(parts: impl IntoIterator<Item = &'a Quantity>) -> Exact {
    parts.into_iter().map(Quantity::in_base).sum()
}

proptest! {
    #[test]
    fn there_and_back_is_exact((from, to) in any_base().prop_flat_map(|b| (amount(b), of_kind(b)))) {
        prop_assert_eq!(from.to(&to).unwrap().to(&from.unit).unwrap(), from);
    }

    #[test]
    fn rates_go_there_and_back((top, below, n, m) in (any_base(), any_base(), 1_i64..5000, 1_i64..5000)
        .prop_flat_map(|(a, b, n, m)| ((amount(a), of_kind(a)), (of_kind(b), of_kind(b)), Just(n), Just(m))))
    {
        let from = Quantity { unit: top.0.unit.per(n, below.0.top), value: top.0.value };
        let to = top.1.per(m, below.1.top);
        prop_assert_eq!(from.to(&to).unwrap().to(&from.unit).unwrap(), from);
    }

    #[test]
    fn what_is_printed_is_read_back((one, below, n) in (any_base(), any_base(), 1_i64..5000)
        .prop_flat_map(|(a, b, n)| (amount(a), of_kind(b), Just(n))))
    {
        prop_assert_eq!(quantity(&one.to_string()).unwrap(), one.clone());
        // A pressure is not given per anything.
        prop_assume!(one.kind() != Base::Pressure.into());
        let rate = Quantity { unit: one.unit.clone().per(n, below.top), value: one.value };
        let read = quantity(&rate.to_string()).unwrap();
        prop_assert_eq!(read.in_base(), rate.in_base());
        prop_assert_eq!(read.kind(), rate.kind());
    }

    #[test]
    fn kinds_never_mix((one, other) in (any_base(), any_base()).prop_flat_map(|(a, b)| (amount(a), of_kind(b)))) {
        prop_assume!(one.kind() != other.kind());
        prop_assert_eq!(one.to(&other).unwrap_err().kind, FaultKind::WrongKind);
    }

    #[test]
    fn twice_the_area_takes_twice_the_product(rate in rate(), ground in amount(Base::Area)) {
        let once = product::for_area(&rate, &ground, None).unwrap().value;
        let twice = product::for_area(&rate, &ground.times(&Exact::from(2)), None).unwrap().value;
        prop_assert_eq!(twice, once.times(&Exact::from(2)));
    }

    #[test]
    fn no_rate_above_the_maximum_is_taken(rate in rate(), factor in 1_i64..2000, ground in amount(Base::Area)) {
        let maximum = rate.times(&Exact::from(factor).shifted(-3));
        let answer = product::for_area(&rate, &ground, Some(&maximum));
        if factor < 1000 {
            prop_assert_eq!(answer.unwrap_err().kind, FaultKind::OverMaximum);
        } else {
            prop_assert!(answer.unwrap().value.in_base() <= maximum.on(&ground).unwrap().in_base());
        }
    }

    #[test]
    fn loads_add_up_exactly(spray in 1_i64..1_000_000, tank in 1_000_i64..100_000, dose in amount(Base::Volume), gallons in any::<bool>()) {
        let volume = |n: i64| Quantity { value: Exact::from(n).shifted(-3), unit: unit(if gallons { "gal" } else { "L" }).unwrap() };
        let (spray, tank) = (volume(spray), volume(tank));
        let parts = [Part { name: "product".to_owned(), amount: dose.clone() }];
        let fewest = spray.in_units_of(&tank).unwrap().ceil().to_u64().unwrap();
        for cut in [loads::equal, loads::full_and_rest] {
            let loads = cut(&spray, &tank, &parts).unwrap().value.loads;
            prop_assert_eq!(loads.len() as u64, fewest);
            prop_assert_eq!(sum(loads.iter().map(|load| &load.spray)), spray.in_base());
            prop_assert_eq!(sum(loads.iter().map(|load| &load.parts[0].amount)), dose.in_base());
            for load in &loads {
                prop_assert!(load.spray.in_base() <= tank.in_base());
                // The same strength in every load.
                prop_assert_eq!(load.spray.in_units_of(&spray).unwrap(), load.parts[0].amount.in_units_of(&dose).unwrap());
            }
        }
        let equal = loads::equal(&spray, &tank, &parts).unwrap().value.loads;
        prop_assert!(equal.windows(2).all(|pair| pair[0] == pair[1]));
    }

    #[test]
    fn measuring_never_passes_the_maximum(
        rate in rate(), ground in amount(Base::Area), count in 1_u64..9, step in 1_i64..2000, slack in 0_i64..20, uneven in any::<bool>(),
    ) {
        let whole = product::for_area(&rate, &ground, None).unwrap().value;
        let tool = tool_for(&whole, &Exact::from(step).shifted(-2));
        let share = Exact::one().over(&Exact::from(count)).unwrap();
        let mut amounts = vec![whole.times(&share); usize::try_from(count).unwrap()];
        if uneven {
            // A small last load: a tenth of one.
            let last = whole.times(&(share * Exact::from(1).shifted(-1)));
            amounts.pop();
            amounts.push(last);
        }
        let whole = amounts[1..].iter().fold(amounts[0].clone(), |sum, one| sum.plus(one).unwrap());
        let maximum = whole.times(&Exact::from(1000 + slack).shifted(-3));
        match loads::portions(&amounts, &tool, Some(&maximum)) {
            Ok(portions) => {
                let measured: Vec<_> = portions.value.portions.iter().map(|p| &p.measure).collect();
                prop_assert_eq!(sum(measured.iter().copied()), portions.value.total.in_base());
                prop_assert!(portions.value.total.in_base() <= maximum.in_base());
                let step = tool.step().unwrap();
                for (one, exact) in measured.iter().zip(&amounts) {
                    // No load is above the rate on its own piece of ground.
                    let share = maximum.times(&exact.in_units_of(&whole).unwrap());
                    prop_assert!(one.in_base() <= share.in_base());
                    prop_assert!(one.in_units_of(&step).unwrap().is_whole());
                    // Rounded once: never a whole step away.
                    prop_assert!(one.minus(exact).unwrap().in_base().abs() < step.in_base());
                }
            }
            Err(fault) => prop_assert_eq!(fault.kind, FaultKind::Tool),
        }
    }

    #[test]
    fn one_measure_is_the_nearest_step_or_the_one_below(rate in rate(), step in 1_i64..2000, slack in 0_i64..20) {
        let amount = product::for_area(&rate, &quantity("1000 sq ft").unwrap(), None).unwrap().value;
        let maximum = amount.times(&Exact::from(1000 + slack).shifted(-3));
        let tool = tool_for(&amount, &Exact::from(step).shifted(-2));
        let step = tool.step().unwrap();
        match measure_out(&amount, &tool, Some(&maximum)) {
            Ok(measured) => {
                let (shown, exact) = (measured.value.measure.in_base(), amount.in_base());
                prop_assert!(shown <= maximum.in_base());
                let off = shown.clone() - exact.clone();
                let half = step.in_base() * Exact::from(5).shifted(-1);
                prop_assert!(off.abs() <= half || (off.is_negative() && shown + step.in_base() > maximum.in_base()));
            }
            Err(fault) => prop_assert_eq!(fault.kind, FaultKind::Tool),
        }
    }

    #[test]
    fn a_year_is_never_overdrawn(per_year in rate(), ground in amount(Base::Area), shares in proptest::collection::vec(0_i64..60, 0..4)) {
        let allowed = per_year.on(&ground).unwrap();
        let used: Vec<_> = shares.iter().map(|percent| allowed.times(&Exact::from(*percent).shifted(-2))).collect();
        let over = shares.iter().sum::<i64>() > 100;
        match limit::left_this_year(&per_year, &used, &ground) {
            Ok(left) => {
                prop_assert!(!over);
                prop_assert_eq!(sum(&used) + left.value.in_base(), allowed.in_base());
            }
            Err(fault) => {
                prop_assert!(over);
                prop_assert_eq!(fault.kind, FaultKind::OverMaximum);
            }
        }
    }

    #[test]
    fn active_and_product_turn_back_into_each_other(strength in strengths(), value in decimal()) {
        let content = &strength.content;
        let top = Unit { per: None, ..content.unit.clone() };
        let active = Quantity { value, unit: top }.per(&quantity("1 A").unwrap(), &Unit { per: unit("g/A").unwrap().per, ..Unit::named("lb").unwrap().of(content.kind().of) }).unwrap();
        let product = content::product_for(&active, &strength).unwrap().value;
        let back = content::active_in(&product, &strength).unwrap().value;
        prop_assert_eq!(back.in_base(), active.in_base());
    }

    #[test]
    fn acid_and_salt_turn_back_into_each_other(value in decimal(), share in 1_i64..1000) {
        let share = Exact::from(share).shifted(-3);
        let salt = Quantity { value, unit: unit("lb a.i./A").unwrap() };
        let acid = content::other_form(&salt, &share).unwrap().value;
        prop_assert!(acid.value <= salt.value);
        prop_assert_eq!(content::other_form(&acid, &share).unwrap().value, salt);
    }

    #[test]
    fn percent_solutions_are_the_share_they_say(percent in 1_i64..10_000, spray in amount(Base::Volume)) {
        let percent = Exact::from(percent).shifted(-2);
        let rate = quantity(&format!("{percent} % v/v")).unwrap();
        let amount = solution::into(&rate, &spray).unwrap().value;
        prop_assert_eq!(amount.in_units_of(&spray).unwrap() * Exact::from(100), percent);
    }

    #[test]
    fn fluid_ounces_on_the_course_are_gallons_per_acre(width in amount(Base::Length), ounces in decimal()) {
        let course = sprayer::course_length(&width).unwrap().value;
        let caught = Quantity { value: ounces.clone(), unit: unit("fl oz").unwrap() };
        prop_assert_eq!(sprayer::catch(&caught, &width, &course).unwrap().value.per_acre.value, ounces);
    }

    #[test]
    fn nozzle_flow_speed_and_volume_agree(flow in 1_i64..10_000, speed in 1_i64..200, width in amount(Base::Length)) {
        let flow = Quantity { value: Exact::from(flow).shifted(-3), unit: unit("gal/min").unwrap() };
        let speed = Quantity { value: Exact::from(speed).shifted(-1), unit: unit("mph").unwrap() };
        let volume = nozzle::output(&flow, &speed, &width).unwrap().value.per_acre;
        prop_assert_eq!(nozzle::flow_needed(&volume, &speed, &width).unwrap().value, flow.clone());
        prop_assert_eq!(nozzle::speed_needed(&volume, &flow, &width).unwrap().value, speed.clone());
        // The same by plain division of what came out by the ground covered in one minute.
        let minute = quantity("1 min").unwrap();
        let ground = Quantity::new(speed.on(&minute).unwrap().in_base() * width.in_base(), unit("m2").unwrap());
        let plain = flow.on(&minute).unwrap().per(&ground, &unit("gal/A").unwrap()).unwrap();
        prop_assert_eq!(plain, volume);
    }

    #[test]
    fn flow_goes_with_the_root_of_pressure(flow in decimal(), pressure in decimal(), times in 1_i64..50) {
        let flow = Quantity { value: flow, unit: unit("L/min").unwrap() };
        let pressure = Quantity { value: pressure, unit: unit("kPa").unwrap() };
        let more = flow.times(&Exact::from(times));
        let needed = nozzle::pressure_for(&flow, &pressure, &more).unwrap().value;
        prop_assert_eq!(nozzle::flow_at(&flow, &pressure, &needed).unwrap().value, more);
    }

    #[test]
    fn a_tank_covers_what_it_is_made_for(rate in spray_rate(), tank in amount(Base::Volume)) {
        let ground = sprayer::tank_covers(&tank, &rate).unwrap().value;
        prop_assert_eq!(product::spray_for_area(&rate, &ground).unwrap().value.in_base(), tank.in_base());
    }

    #[test]
    fn shares_of_a_price_add_up(price in decimal(), areas in proptest::collection::vec(amount(Base::Area), 1..8)) {
        let shares = cost::split(&price, &areas).unwrap().value;
        prop_assert_eq!(shares.into_iter().sum::<Exact>(), price);
    }

    #[test]
    fn packs_hold_what_is_used_and_what_is_left(amount in amount(Base::Volume), size in amount(Base::Volume), price in decimal()) {
        let pack = cost::Pack { size: size.clone(), price: price.clone() };
        match cost::of(&amount, &pack) {
            Ok(cost) => {
                let cost = cost.value;
                prop_assert_eq!(cost.left.in_base() + amount.in_base(), size.in_base() * Exact::from(cost.packs));
                prop_assert!(!cost.left.value.is_negative() && cost.left.in_base() < size.in_base());
                prop_assert!(cost.used <= cost.bought);
            }
            Err(fault) => prop_assert_eq!(fault.kind, FaultKind::Figures),
        }
    }

    #[test]
    fn areas_grow_with_the_square((length, width, times) in (amount(Base::Length), amount(Base::Length), 1_i64..1000)) {
        let times = Exact::from(times);
        let grown = |factor: &Exact| {
            let (length, width) = (length.times(factor), width.times(factor));
            [
                Shape::Rectangle { length: length.clone(), width: width.clone() },
                Shape::Triangle { base: length.clone(), height: width.clone() },
                Shape::Oval { length: length.clone(), width: width.clone() },
                Shape::Circle { diameter: length.clone(), share: Exact::one() },
                Shape::Trapezoid { sides: [length.clone(), width.clone()], height: width },
            ]
        };
        for (small, large) in grown(&Exact::one()).iter().zip(&grown(&times)) {
            let (small, large) = (area(small).unwrap().value, area(large).unwrap().value);
            prop_assert_eq!(large.value, small.value * &times * &times);
        }
    }

    /// Corners on a circle in rising order make a polygon that cannot cross itself.
    #[test]
    fn polygons_do_not_care_where_or_which_way_one_walks(
        mut turns in proptest::collection::btree_set(0_u32..360, 3..12), start in 0_usize..12, x in -500_i64..500, y in -500_i64..500,
    ) {
        // Three corners at most on a half circle would still be fine: the polygon is convex.
        turns.insert(0);
        let mut corners: Vec<Corner> = turns.iter().map(|turn| {
            let angle = f64::from(*turn).to_radians();
            #[allow(clippy::cast_possible_truncation)]
            let place = |v: f64| Exact::from((v * 1e6) as i64).shifted(-4);
            Corner { x: place(angle.cos()), y: place(angle.sin()) }
        }).collect();
        prop_assume!(corners.len() >= 3);
        let feet = unit("ft").unwrap();
        let first = area(&Shape::Polygon { corners: corners.clone(), unit: feet.clone() }).unwrap().value;
        // A fan of triangles from the first corner.
        let fan: Exact = corners.windows(2).skip(1).map(|pair| {
            let (a, b, c) = (&corners[0], &pair[0], &pair[1]);
            let cross = (b.x.clone() - &a.x) * (c.y.clone() - &a.y) - (b.y.clone() - &a.y) * (c.x.clone() - &a.x);
            cross.abs() * Exact::from(5).shifted(-1)
        }).sum();
        prop_assert_eq!(&first.value, &fan);
        for corner in &mut corners {
            corner.x = corner.x.clone() + Exact::from(x);
            corner.y = corner.y.clone() + Exact::from(y);
        }
        let start = start % corners.len();
        corners.rotate_left(start);
        corners.reverse();
        prop_assert_eq!(area(&Shape::Polygon { corners, unit: feet }).unwrap().value, first);
    }

    /// Swapping two neighbours that are no corners of the same side makes the boundary cross.
    #[test]
    fn crossing_polygons_are_refused(w in 1_i64..100, h in 1_i64..100) {
        let corner = |x: i64, y: i64| Corner { x: Exact::from(x), y: Exact::from(y) };
        let corners = vec![corner(0, 0), corner(w, h), corner(w, 0), corner(0, h)];
        let fault = area(&Shape::Polygon { corners, unit: unit("m").unwrap() }).unwrap_err();
        prop_assert_eq!(fault.kind, FaultKind::Shape);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(5000))]

    #[test]
    fn no_text_makes_the_readers_panic(text in ".{0,60}") {
        read_everything(&text)?;
    }

    #[test]
    fn no_text_of_label_words_makes_the_readers_panic(
        words in proptest::collection::vec(proptest::sample::select(vec![
            "1", "0", "1.5", "1/2", "½", "1,000", "12,5", "-", "–", "to", "/", "per", "oz", "fl", "fl oz", "sq", "ft", "sq ft", "A", "gal",
            "%", "v/v", "w/w", "a.i.", "ae", "lb", "WG", "x", "ft2", "m2", "°", "F", "e3", ".", ",", "'", "\"", "circle", "radius", "polygon",
            "0,0", "spots", "every", "offsets", "(", ")", "\u{a0}", "GPA", "1e9", "999999999999999", "0.000000000000001",
        ]), 0..12),
        glue in proptest::sample::select(vec!["", " "]),
    ) {
        read_everything(&words.join(glue))?;
    }
}

/// Every reader on one text: none panics, and what is read prints and reads back the same.
fn read_everything(text: &str) -> Result<(), TestCaseError> {
    if let Ok(read) = ligule::measure::limit(text) {
        prop_assert!(
            !read.amount.value.is_negative() || read.amount.kind() == Base::Temperature.into()
        );
        prop_assert!(
            read.each.is_none() || span(text).is_err(),
            "{text:?} is a limit and a rate"
        );
    }
    let _ = text.parse::<ligule::lawn::form::Hardness>();
    let _ = text.parse::<ligule::lawn::form::Plain>();
    if let Ok(read) = span(text) {
        let temperature = read.kind() == Base::Temperature.into();
        prop_assert!(
            temperature || !read.low.value.is_negative(),
            "{text:?} gives {read}"
        );
        prop_assert!(
            read.is_single() || read.low.value < read.high.value,
            "{text:?} gives {read}"
        );
        // A sum of parts may have more figures than one number may.
        let readable =
            |one: &Quantity| one.value.is_short_decimal() && one.value.to_string().len() <= 15;
        if readable(&read.low) && readable(&read.high) {
            let again: Span = read
                .to_string()
                .parse()
                .map_err(|fault| TestCaseError::fail(format!("{text:?} gives {read}: {fault}")))?;
            prop_assert_eq!(again.low.in_base(), read.low.in_base());
            prop_assert_eq!(again.high.in_base(), read.high.in_base());
        }
    }
    if let Ok(read) = strength(text) {
        prop_assert!(read.content.value.is_positive());
    }
    if let Ok(read) = shape(text)
        && let Ok(area) = area(&read)
    {
        prop_assert!(
            area.value.value.is_positive(),
            "{text:?} gives {}",
            area.value
        );
    }
    for fault in [
        span(text).err(),
        unit(text).err(),
        strength(text).err(),
        shape(text).err(),
    ]
    .into_iter()
    .flatten()
    {
        prop_assert!(!fault.to_string().is_empty());
        if let (Some(text), Some(at)) = (&fault.text, &fault.at) {
            prop_assert!(
                text.get(at.clone()).is_some(),
                "{at:?} is no part of {text:?}"
            );
        }
    }
    let _ = (
        text.parse::<Tool>(),
        text.parse::<Droplet>(),
        Exact::from_digits(text),
    );
    Ok(())
}
