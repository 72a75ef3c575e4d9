//! Hours of a forecast: each limit alone, the label before the book, and what is not known.
use jiff::civil::{Date, DateTime, date};
use ligule::knowledge::Knowledge;
use ligule::knowledge::form::season::Measure;
use ligule::knowledge::form::source::Evidence;
use ligule::season::hours::{Ask, Fitness, Form, Hour, Hours, HoursError, Label, judge};
use ligule::season::strip;
use ligule::season::sun::Spot;
use ligule::season::table::{Table, read};
use proptest::prelude::*;
use std::fmt::Write as _;
use std::sync::OnceLock;

fn book() -> &'static Knowledge {
    static BOOK: OnceLock<Knowledge> = OnceLock::new();
    BOOK.get_or_init(|| Knowledge::embedded().expect("good knowledge"))
}

/// An hour that every limit is content with.
#[derive(Clone, Copy)]
struct Air {
    f: f64,
    rh: f64,
    wind: f64,
    gust: f64,
    rain: f64,
    chance: f64,
    cloud: f64,
}

const FINE: Air = Air {
    f: 70.0,
    rh: 55.0,
    wind: 4.0,
    gust: 6.0,
    rain: 0.0,
    chance: 0.0,
    cloud: 60.0,
};

/// Three days of the same hour, changed by hand where a test wants it. The first hour is 2026-05-04 00:00, offset -4.
fn forecast(change: impl Fn(usize, &mut Air)) -> Table {
    let mut text = String::from(
        "time,temperature_F,humidity_%,wind_mph,gust_mph,rain_mm,rain-chance_%,cloud_%\n",
    );
    for index in 0..72 {
        let mut air = FINE;
        change(index, &mut air);
        let _ = writeln!(
            text,
            "2026-05-{:02}T{:02}:00-04:00,{},{},{},{},{},{},{}",
            4 + index / 24,
            index % 24,
            air.f,
            air.rh,
            air.wind,
            air.gust,
            air.rain,
            air.chance,
            air.cloud
        );
    }
    read("forecast.csv", &text, &[]).expect("a good forecast")
}

fn ask(actives: &[&str]) -> Ask {
    Ask {
        actives: actives.iter().map(|a| (*a).to_owned()).collect(),
        turf: vec!["tall-fescue".into()],
        stage: "established".into(),
        spot: Some(Spot {
            latitude: 36.0,
            longitude: -84.0,
        }),
        ..Ask::default()
    }
}

fn judged(table: &Table, ask: &Ask) -> Hours {
    judge(book(), table, ask).expect("hours")
}

/// The hour from 10 to 11 on the first day, far from sunrise and sunset.
const TEN: usize = 10;

fn ten(change: impl Fn(&mut Air), ask: &Ask) -> Hour {
    judged(
        &forecast(|i, air| {
            if i == TEN {
                change(air);
            }
        }),
        ask,
    )
    .hours[TEN]
        .clone()
}

#[test]
fn a_fine_hour_is_the_best_there_is() {
    let hour = ten(|_| {}, &ask(&["dicamba"]));
    assert_eq!(hour.fitness, Fitness::Best, "{:?}", hour.reasons);
    assert!(hour.reasons.is_empty());
    assert!((hour.delta_t_c.expect("humidity is told") - 5.6).abs() < 0.5);
}

type Change = fn(&mut Air);

/// Each figure of `weather.yaml` at its edge. The sources stand with the limits.
#[test]
fn each_limit_turns_an_hour_at_its_edge() {
    let plain = ask(&["dicamba"]);
    let cases: [(&str, Fitness, Fitness, Change, Change); 7] = [
        // Iowa State University: no spraying of a lawn above 5 mph; below 3 mph the direction changes (pes-drift).
        (
            "wind",
            Fitness::Best,
            Fitness::Stop,
            |a| a.wind = 5.0,
            |a| a.wind = 5.1,
        ),
        (
            "wind-under",
            Fitness::Best,
            Fitness::Care,
            |a| a.wind = 3.0,
            |a| a.wind = 2.9,
        ),
        (
            "gust",
            Fitness::Care,
            Fitness::Stop,
            |a| a.gust = 10.0,
            |a| a.gust = 10.1,
        ),
        // Iowa State University: no broadleaf spray with 85 F forecast within 24 hours.
        (
            "heat",
            Fitness::Fit,
            Fitness::Stop,
            |a| a.f = 85.0,
            |a| a.f = 85.1,
        ),
        // Bureau of Meteorology: Delta T of 8 to 10 with care, above 10 not at all.
        (
            "dry",
            Fitness::Care,
            Fitness::Stop,
            |a| {
                a.f = 75.0;
                a.rh = 35.0;
            },
            |a| {
                a.f = 84.0;
                a.rh = 22.0;
            },
        ),
        (
            "damp",
            Fitness::Best,
            Fitness::Care,
            |a| a.rh = 80.0,
            |a| a.rh = 97.0,
        ),
        (
            "cold",
            Fitness::Fit,
            Fitness::Stop,
            |a| {
                a.f = 51.0;
                a.rh = 40.0;
            },
            |a| {
                a.f = 49.0;
                a.rh = 40.0;
            },
        ),
    ];
    for (name, before, after, edge, past) in cases {
        assert_eq!(
            ten(edge, &plain).fitness,
            before,
            "{name} at the edge: {:?}",
            ten(edge, &plain).reasons
        );
        assert_eq!(
            ten(past, &plain).fitness,
            after,
            "{name} past it: {:?}",
            ten(past, &plain).reasons
        );
    }
}

#[test]
fn every_reason_says_what_it_rests_on() {
    let windy = ten(|a| a.wind = 12.0, &ask(&["dicamba"]));
    let reason = &windy.reasons[0];
    assert_eq!(
        (reason.from.as_str(), reason.evidence),
        ("wind-over-5", Some(Evidence::Published))
    );
    assert!(
        reason.text.contains("12 mph, more than 5"),
        "{}",
        reason.text
    );
    assert_eq!(reason.sources, ["isu-broadleaf"]);
}

#[test]
fn rain_stops_the_hours_before_it() {
    let wet = judged(
        &forecast(|i, air| {
            if i == 40 {
                air.rain = 2.0;
            }
        }),
        &ask(&["dicamba"]),
    );
    // 24 h without rain for broadleaf sprays (Iowa State University): hours 17 to 39 stop, 16 does not.
    assert_eq!(wet.hours[40].fitness, Fitness::Stop);
    assert!(
        wet.hours[17]
            .reasons
            .iter()
            .any(|r| r.text.contains("rain in 23 h")),
        "{:?}",
        wet.hours[17].reasons
    );
    assert!(
        wet.hours[16]
            .reasons
            .iter()
            .all(|r| !r.text.contains("rain")),
        "{:?}",
        wet.hours[16].reasons
    );
    // The label's 4 hours take the place of the 24.
    let label = Ask {
        label: Label {
            rain_free_hours: Some(4.0),
            ..Label::default()
        },
        ..ask(&["dicamba"])
    };
    let labelled = judged(
        &forecast(|i, air| {
            if i == 40 {
                air.rain = 2.0;
            }
        }),
        &label,
    );
    assert_eq!(
        labelled.hours[34].fitness,
        Fitness::Best,
        "{:?}",
        labelled.hours[34].reasons
    );
    assert_eq!(labelled.hours[37].fitness, Fitness::Stop);
}

#[test]
fn what_the_forecast_does_not_tell_is_not_taken_for_dry() {
    let hours = judged(&forecast(|_, _| {}), &ask(&["dicamba"]));
    let late = &hours.hours[60];
    assert_eq!(
        late.fitness,
        Fitness::NotKnown,
        "the forecast ends 12 h later: {:?}",
        late.reasons
    );
    let told = |hour: &Hour, words: &str| hour.reasons.iter().any(|r| r.text.contains(words));
    assert!(
        told(late, "rain is told for 12 h ahead only"),
        "{:?}",
        late.reasons
    );
    assert!(
        told(late, "temperature of 12 of the 24 hours ahead"),
        "{:?}",
        late.reasons
    );
    assert!(!told(&hours.hours[48], "ahead only") && !told(&hours.hours[48], "24 hours ahead"));
    // A hole in the forecast is no dry hour either.
    let mut holed = forecast(|_, _| {});
    holed.rows.remove(20);
    let before = &judged(&holed, &ask(&["dicamba"])).hours[TEN];
    assert!(
        told(before, "rain is told for 10 h ahead only"),
        "{:?}",
        before.reasons
    );
    let text = "time,temperature_F,humidity_%\n2026-05-04T10:00-04:00,70,55\n";
    let bare = judged(&read("f", text, &[]).expect("good"), &ask(&["dicamba"]));
    assert_eq!(bare.hours[0].fitness, Fitness::NotKnown);
    assert!(
        bare.hours[0]
            .reasons
            .iter()
            .any(|r| r.text.contains("does not tell the wind")),
        "{:?}",
        bare.hours[0].reasons
    );
    let nowhere = Ask {
        spot: None,
        ..ask(&["dicamba"])
    };
    let hour = ten(|_| {}, &nowhere);
    assert_eq!(hour.fitness, Fitness::NotKnown);
    assert!(hour.reasons[0].text.contains("latitude"));
}

/// GRDC: assume an inversion from 1-2 h before sundown to about 1 h after sunrise. Sunrise here is about 6:37, sunset 20:26.
#[test]
fn an_inversion_is_assumed_around_the_night() {
    let hours = judged(&forecast(|_, _| {}), &ask(&["dicamba"]));
    for (hour, fitness) in [
        (0, Fitness::Stop),
        (6, Fitness::Stop),
        (7, Fitness::Stop),
        (8, Fitness::Care),
        (12, Fitness::Fit),
        (17, Fitness::Care),
        (19, Fitness::Stop),
        (22, Fitness::Stop),
    ] {
        assert_eq!(
            hours.hours[hour].fitness, fitness,
            "hour {hour}: {:?}",
            hours.hours[hour].reasons
        );
    }
    assert!(
        hours.hours[22]
            .reasons
            .iter()
            .any(|r| r.text.starts_with("night"))
    );
    let calm = ten(
        |a| {
            a.wind = 1.0;
            a.cloud = 5.0;
        },
        &ask(&["dicamba"]),
    );
    assert!(
        calm.reasons
            .iter()
            .any(|r| r.text.contains("signs of an inversion")),
        "{:?}",
        calm.reasons
    );
}

#[test]
fn the_label_takes_the_place_of_the_book() {
    let label = Label {
        wind: Some(10.0 * 1609.344 / 3600.0),
        hottest_c: Some(35.0),
        coldest_c: Some(4.0),
        ..Label::default()
    };
    let own = Ask {
        label,
        ..ask(&["dicamba"])
    };
    assert_eq!(ten(|a| a.wind = 9.0, &own).fitness, Fitness::Best);
    let hour = ten(|a| a.wind = 10.5, &own);
    assert_eq!(
        (hour.fitness, hour.reasons[0].from.as_str()),
        (Fitness::Stop, "label")
    );
    // Too little wind stays a matter of the book.
    assert_eq!(ten(|a| a.wind = 2.0, &own).fitness, Fitness::Care);
    assert!(
        ten(
            |a| {
                a.f = 96.0;
                a.rh = 60.0;
            },
            &own
        )
        .reasons
        .iter()
        .any(|r| r.from == "label")
    );
    assert!(
        ten(
            |a| {
                a.f = 38.0;
                a.rh = 40.0;
            },
            &own
        )
        .reasons
        .iter()
        .any(|r| r.from == "label")
    );
}

/// University of Florida: labels of 90 F, on St. Augustinegrass 85 F.
#[test]
fn a_grass_can_have_a_limit_of_its_own() {
    // An active for sedges: the rule on the heat of the day ahead is about broadleaf sprays and stays out of the way.
    let on = |turf: &str| Ask {
        turf: vec![turf.into()],
        ..ask(&["halosulfuron-methyl"])
    };
    let hot = |turf: &str| {
        ten(
            |a| {
                a.f = 87.0;
                a.rh = 60.0;
            },
            &on(turf),
        )
    };
    assert!(
        hot("st-augustinegrass")
            .reasons
            .iter()
            .any(|r| r.from == "heat-over-85-grass")
    );
    assert!(
        hot("zoysiagrass-japonica")
            .reasons
            .iter()
            .all(|r| r.from != "heat-over-85-grass")
    );
}

#[test]
fn mowing_and_watering_hold_hours_off() {
    let on = |day: Date| Ask {
        mowing: vec![day],
        ..ask(&["dicamba"])
    };
    // Clemson: 3-4 days before; Iowa: 3-4 days after.
    for (day, fitness) in [
        (date(2026, 5, 4), Fitness::Stop),
        (date(2026, 5, 2), Fitness::Stop),
        (date(2026, 5, 1), Fitness::Care),
        (date(2026, 4, 30), Fitness::Best),
        (date(2026, 5, 6), Fitness::Stop),
        (date(2026, 5, 7), Fitness::Care),
        (date(2026, 5, 8), Fitness::Best),
    ] {
        assert_eq!(
            ten(|_| {}, &on(day)).fitness,
            fitness,
            "mown on {day}: {:?}",
            ten(|_| {}, &on(day)).reasons
        );
    }
    let watered = |at: DateTime| Ask {
        irrigation: vec![at],
        ..ask(&["dicamba"])
    };
    // University of Florida: 12 h before watering the lawn.
    assert_eq!(
        ten(|_| {}, &watered(date(2026, 5, 4).at(21, 0, 0, 0))).fitness,
        Fitness::Stop
    );
    assert_eq!(
        ten(|_| {}, &watered(date(2026, 5, 4).at(23, 0, 0, 0))).fitness,
        Fitness::Best
    );
    let dry = judged(&forecast(|_, _| {}), &ask(&["dicamba"]));
    assert!(
        dry.hours[48].reasons.iter().all(|r| r.from != "moist-48"),
        "48 h are not more than 48 h"
    );
    assert!(dry.hours[49].reasons.iter().any(|r| r.from == "moist-48"));
}

#[test]
fn granules_want_dew_and_do_not_drift() {
    let granule = Ask {
        form: Form::Granule,
        ..ask(&["dicamba"])
    };
    let dewy = ten(|a| a.rh = 98.0, &granule);
    assert_eq!(
        dewy.fitness,
        Fitness::Best,
        "dew is wanted: {:?}",
        dewy.reasons
    );
    let sprayed = ten(|a| a.rh = 98.0, &ask(&["dicamba"]));
    assert_eq!(sprayed.fitness, Fitness::Care, "{:?}", sprayed.reasons);
    assert!(
        dewy.reasons
            .iter()
            .all(|r| !r.text.contains("Delta T") && !r.text.contains("dew")),
        "{:?}",
        dewy.reasons
    );
    assert!(
        judged(&forecast(|_, _| {}), &granule)
            .notes
            .iter()
            .any(|n| n.contains("wet leaves"))
    );
}

#[test]
fn a_treatment_before_emergence_need_not_stay_dry() {
    let wet = judged(
        &forecast(|i, air| {
            if i == 20 {
                air.rain = 8.0;
            }
        }),
        &ask(&["prodiamine"]),
    );
    assert!(
        wet.hours[TEN]
            .reasons
            .iter()
            .all(|r| !r.text.contains("stay dry")),
        "{:?}",
        wet.hours[TEN].reasons
    );
    assert!(
        wet.notes
            .iter()
            .any(|n| n.contains("inches of water within")),
        "{:?}",
        wet.notes
    );
}

#[test]
fn days_unknown_actives_and_empty_books_are_refused() {
    let daily = read("f", "date,tmax_F,tmin_F\n2026-05-04,70,50\n", &[]).expect("good");
    assert_eq!(judge(book(), &daily, &ask(&[])), Err(HoursError::Daily));
    let hourly = forecast(|_, _| {});
    assert_eq!(
        judge(book(), &hourly, &ask(&["unobtainium"])),
        Err(HoursError::Active("unobtainium".into()))
    );
}

#[test]
fn limits_have_units_rules_and_one_id_each() {
    let book = book();
    let weather = book.weather.as_ref().expect("weather.yaml");
    let rules: Vec<&String> = weather.rules.iter().filter_map(|r| r.id.as_ref()).collect();
    for (index, limit) in weather.limits.iter().enumerate() {
        assert!(
            weather.limits[index + 1..].iter().all(|l| l.id != limit.id),
            "{} stands twice",
            limit.id
        );
        assert!(
            limit.above.is_some() || limit.below.is_some(),
            "{} has no figure",
            limit.id
        );
        if let Some(rule) = &limit.rule {
            assert!(
                rules.contains(&rule),
                "{} rests on {rule}, which is nowhere",
                limit.id
            );
            let said = weather
                .rules
                .iter()
                .find(|r| r.id.as_ref() == Some(rule))
                .expect("found above");
            // A figure can rest on less than its sentence, never on more.
            assert!(
                book.evidence(&limit.source) >= book.evidence(&said.source),
                "{} claims more than {rule}",
                limit.id
            );
        }
    }
    assert!(
        judge(book, &forecast(|_, _| {}), &ask(&["dicamba"])).is_ok(),
        "every unit fits its measure"
    );
    assert!(weather.limits.iter().any(|l| l.measure == Measure::DeltaT));
}

#[test]
fn the_strip_has_a_letter_for_every_hour_and_its_key() {
    let hours = judged(&forecast(|_, _| {}), &ask(&["dicamba"]));
    let strip = strip::text(&hours);
    let line = strip.lines().nth(1).expect("the first day");
    assert_eq!(line, "2026-05-04  ........!###+++#!!......");
    assert!(strip.ends_with("do not treat\n"));
    assert!(strip.is_ascii() && strip.lines().all(|l| l.len() <= 80));
}

/// How grave a verdict is for somebody beside the lawn.
fn grave(fitness: Fitness) -> u8 {
    match fitness {
        Fitness::Best | Fitness::Fit => 0,
        Fitness::Care => 1,
        Fitness::NotKnown => 2,
        Fitness::Stop => 3,
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    #[test]
    fn worse_weather_never_makes_an_hour_fitter(wind in 3.0..15.0_f64, gust in 3.0..20.0_f64, f in 55.0..100.0_f64, more in 0.0..10.0_f64) {
        let ask = ask(&["dicamba", "2,4-d"]);
        let calm = ten(|a| { a.wind = wind; a.gust = gust; a.f = f; a.rh = 60.0 }, &ask);
        let rough = ten(|a| { a.wind = wind + more; a.gust = gust + more; a.f = f + more; a.rh = 60.0 }, &ask);
        prop_assert!(grave(rough.fitness) >= grave(calm.fitness), "{:?} {:?}", calm.reasons, rough.reasons);
    }

    #[test]
    fn a_value_that_is_missing_never_makes_an_hour_fit(column in 1_usize..=3, wind in 0.0..20.0_f64, f in 40.0..100.0_f64, rh in 10.0..100.0_f64) {
        let cells = [f.to_string(), rh.to_string(), wind.to_string()];
        let row = |hidden: Option<usize>| (0..3).map(|i| if Some(i) == hidden { String::new() } else { cells[i].clone() }).collect::<Vec<_>>().join(",");
        let text = |hidden| format!("time,temperature_F,humidity_%,wind_mph\n2026-05-04T10:00-04:00,{}\n", row(hidden));
        let hour = |hidden| judged(&read("f", &text(hidden), &[]).expect("good"), &ask(&["dicamba"])).hours[0].fitness;
        prop_assert!(hour(Some(column - 1)) >= Fitness::NotKnown);
    }
}

#[test]
fn slips_in_the_limits_and_costs_are_told_with_their_place() {
    use ligule::knowledge::Report;
    use ligule::knowledge::folder::TextFile;
    let file = |path: &str, text: &str| TextFile {
        path: path.into(),
        shown: path.into(),
        text: Ok(text.into()),
    };
    let weather = "rules:\n  - {id: wind-5, about: wind, text: No more than 5 mph., source: memory}\nlimits:\n  - {id: a, measure: wind, verdict: stop, above: 5, unit: F, source: memory}\n  - {id: a, measure: wind, verdict: stop, unit: mph, rule: wind-6, source: memory}\n";
    let report = Report::of_texts(&[
        file(
            "sources.yaml",
            "memory: {evidence: memory, title: recalled}\n",
        ),
        file("weather.yaml", weather),
    ]);
    let told: Vec<(&str, usize)> = report.found.iter().map(|f| (f.code, f.spot.line)).collect();
    assert_eq!(
        told,
        [
            ("bad-limit", 4),
            ("bad-limit", 5),
            ("duplicate-id", 5),
            ("unknown-id", 5)
        ],
        "{:?}",
        report.found
    );
}

#[test]
fn fit_hours_in_a_row_are_one_run_and_a_hole_parts_them() {
    // An active against grasses has no rule on the heat ahead, and an hour without rain is enough for this label: the hole
    // itself is all that parts the hours.
    let own = Ask {
        label: Label {
            rain_free_hours: Some(1.0),
            ..Label::default()
        },
        ..ask(&["fenoxaprop-p-ethyl"])
    };
    let whole = judged(&forecast(|_, _| {}), &own);
    let first = |found: &Hours| {
        let mut runs: Vec<(String, usize, usize)> = found
            .runs
            .iter()
            .filter(|r| r.from.date() == date(2026, 5, 4))
            .map(|r| (r.from.time().to_string(), r.hours, r.best))
            .collect();
        runs.sort();
        runs
    };
    assert_eq!(first(&whole), [("09:00:00".to_owned(), 7, 4)]);
    let mut holed = forecast(|_, _| {});
    holed.rows.remove(12);
    let parted = judged(&holed, &own);
    assert_eq!(
        first(&parted),
        [("09:00:00".to_owned(), 3, 3), ("13:00:00".to_owned(), 3, 1)]
    );
}
