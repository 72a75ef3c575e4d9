//! Windows of the year from a weather file, by hand and by the figures of the sources.
use jiff::civil::{Date, date};
use ligule::knowledge::Knowledge;
use ligule::knowledge::form::source::Evidence;
use ligule::season::days::{Day, days};
use ligule::season::degree::Method;
use ligule::season::table::read;
use ligule::season::windows::{Ask, State, Window, overseeding, windows};
use proptest::prelude::*;
use std::fmt::Write as _;
use std::sync::OnceLock;

fn book() -> &'static Knowledge {
    static BOOK: OnceLock<Knowledge> = OnceLock::new();
    BOOK.get_or_init(|| Knowledge::embedded().expect("good knowledge"))
}

/// Days of the same air, with a soil of the tester's choice (F).
fn year(
    from: Date,
    number: i32,
    air_f: (f64, f64),
    soil_f: impl Fn(i32) -> Option<f64>,
) -> Vec<Day> {
    let c = |f: f64| (f - 32.0) / 1.8;
    (0..number)
        .map(|n| Day {
            date: from.saturating_add(jiff::Span::new().days(n)),
            air: Some((c(air_f.0), c(air_f.1))),
            soil: soil_f(n).map(c),
            soil_range: None,
        })
        .collect()
}

fn ask(weeds: &[&str], today: Date) -> Ask {
    Ask {
        weeds: weeds.iter().map(|w| (*w).to_owned()).collect(),
        today,
        start: None,
        method: None,
    }
}

fn one<'a>(all: &'a [Window], event: &str) -> &'a Window {
    all.iter()
        .find(|w| w.event == event)
        .unwrap_or_else(|| panic!("{event} is there"))
}

/// Wisconsin and Michigan State: 250 to 500 degree days, base 32 F, simple, from 15 February.
#[test]
fn degree_days_open_and_close_the_window_of_their_source() {
    // 20 degree days a day: 250 are passed on the 13th day, 500 reached on the 25th.
    let days = year(date(2026, 2, 1), 60, (62.0, 42.0), |_| None);
    let found = windows(book(), &days, &ask(&["large-crabgrass"], date(2026, 3, 1)));
    let window = one(&found, "crabgrass-apply-gdd");
    assert_eq!(
        (window.from, window.to),
        (Some(date(2026, 2, 27)), Some(date(2026, 3, 10)))
    );
    assert_eq!(
        (window.state, window.evidence),
        (State::Open, Evidence::Published)
    );
    assert!(
        window
            .how
            .starts_with("300 degree days (base 32 F, simple, air) from 2026-02-15 to 2026-03-01"),
        "{}",
        window.how
    );
    // The second half six to eight weeks later.
    assert_eq!(window.second, Some((date(2026, 4, 10), date(2026, 4, 24))));
    let early = windows(book(), &days, &ask(&["large-crabgrass"], date(2026, 2, 20)));
    assert_eq!(one(&early, "crabgrass-apply-gdd").state, State::Ahead);
    let late = windows(book(), &days, &ask(&["large-crabgrass"], date(2026, 3, 20)));
    assert_eq!(one(&late, "crabgrass-apply-gdd").state, State::Past);
}

#[test]
fn a_sum_is_not_reckoned_with_a_method_that_the_source_does_not_name() {
    let days = year(date(2026, 3, 1), 60, (70.0, 50.0), |_| None);
    let found = windows(book(), &days, &ask(&["dandelion"], date(2026, 4, 1)));
    let window = one(&found, "dandelion-ester");
    assert_eq!((window.state, window.from), (State::CannotTell, None));
    assert!(
        window.how.contains("method it was found with"),
        "{}",
        window.how
    );
    let own = Ask {
        method: Some(Method::Simple),
        ..ask(&["dandelion"], date(2026, 4, 1))
    };
    let found = windows(book(), &days, &own);
    let window = one(&found, "dandelion-ester");
    // Cornell: 145 degree days, base 50 F, from 1 March: ten a day, so the fifteenth day.
    assert_eq!(
        (window.from, window.state),
        (Some(date(2026, 3, 15)), State::Open)
    );
    assert!(window.how.contains("not the source's"), "{}", window.how);
    // A base that no source shows cannot be borrowed.
    let found = windows(
        book(),
        &days,
        &Ask {
            start: Some(date(2026, 3, 1)),
            ..own
        },
    );
    assert!(
        found
            .iter()
            .filter(|w| w.event == "dandelion-florasulam")
            .all(|w| w.from.is_none())
    );
}

/// Virginia Tech: 55-58 F at 4 inches for 4-5 days. Ohio State: 54 F for 7 days.
#[test]
fn soil_has_to_stay_warm_for_the_days_of_the_source() {
    // Warm on two days, cold on one, then warm for good.
    let soil = |n: i32| {
        Some(if n == 10 || n == 11 || n >= 13 {
            56.0
        } else {
            45.0
        })
    };
    let days = year(date(2026, 3, 1), 40, (60.0, 40.0), soil);
    let found = windows(book(), &days, &ask(&["smooth-crabgrass"], date(2026, 4, 5)));
    assert_eq!(
        one(&found, "crabgrass-emerges-55").from,
        Some(date(2026, 3, 17)),
        "the fourth day of the second run"
    );
    assert_eq!(
        one(&found, "crabgrass-emerges-54").from,
        Some(date(2026, 3, 20)),
        "the seventh day"
    );
    assert_eq!(one(&found, "crabgrass-germinates-60").state, State::Ahead);
    let gap = |n: i32| if n == 16 { None } else { soil(n) };
    let days = year(date(2026, 3, 1), 40, (60.0, 40.0), gap);
    let found = windows(book(), &days, &ask(&["smooth-crabgrass"], date(2026, 4, 5)));
    assert_eq!(
        one(&found, "crabgrass-emerges-55").from,
        Some(date(2026, 3, 21)),
        "a day without a value starts the run anew"
    );
}

#[test]
fn without_soil_temperatures_the_air_does_not_stand_in() {
    let days = year(date(2026, 3, 1), 40, (80.0, 60.0), |_| None);
    let found = windows(book(), &days, &ask(&["goosegrass"], date(2026, 4, 5)));
    let window = one(&found, "goosegrass-germinates");
    assert_eq!(window.state, State::CannotTell);
    assert!(window.how.contains("the air does not stand for the soil"));
}

#[test]
fn months_run_over_the_turn_of_the_year() {
    let days = year(date(2026, 1, 10), 3, (40.0, 30.0), |_| None);
    for (today, from, state) in [
        (date(2026, 1, 12), date(2025, 12, 1), State::Open),
        (date(2026, 2, 1), date(2026, 12, 1), State::Ahead),
        (date(2026, 12, 31), date(2026, 12, 1), State::Open),
    ] {
        let found = windows(book(), &days, &ask(&["large-crabgrass"], today));
        let window = one(&found, "crabgrass-south-winter");
        assert_eq!((window.from, window.state), (Some(from), state), "{today}");
    }
}

#[test]
fn windows_of_other_weeds_stay_away() {
    let days = year(date(2026, 3, 1), 10, (60.0, 40.0), |_| None);
    let found = windows(book(), &days, &ask(&["dandelion"], date(2026, 3, 5)));
    assert!(
        found
            .iter()
            .all(|w| w.weeds.is_empty() || w.weeds == ["dandelion"])
    );
    assert!(found.iter().any(|w| w.event == "dandelion-ester"));
}

/// Weeks in whole days, counted up.
fn whole_days(weeks: f64) -> i64 {
    (0_i32..4000)
        .find(|d| f64::from(*d) >= weeks * 7.0)
        .map_or(0, i64::from)
}

#[test]
fn new_seed_and_a_treatment_before_emergence_clash() {
    let book = book();
    let active = &book.actives["prodiamine"];
    let weeks = active
        .seeding_wait_weeks
        .as_ref()
        .expect("a wait is known")
        .range[1]
        .0;
    let treated = date(2026, 4, 1);
    let safe = treated.saturating_add(jiff::Span::new().days(whole_days(weeks)));
    let of =
        |seeding: Date| overseeding(book, &["prodiamine".into()], &[treated], seeding).remove(0);
    let early = of(safe.yesterday().expect("a day before"));
    assert_eq!(
        (early.clash, early.earliest_seeding),
        (Some(true), Some(safe))
    );
    assert_eq!(of(safe).clash, Some(false));
    let unknown = book
        .actives
        .iter()
        .find(|(_, a)| a.seeding_wait_weeks.is_none())
        .expect("one without a wait")
        .0;
    let answer = overseeding(book, std::slice::from_ref(unknown), &[treated], safe).remove(0);
    assert_eq!(answer.clash, None, "what nobody states is not safe");
    assert!(answer.text.contains("the label decides"));
}

#[test]
fn a_file_with_hours_gives_the_same_windows_as_one_with_days() {
    let mut hours = String::from("time,soil_F\n");
    let mut daily = String::from("date,soil_F\n");
    for n in 0..20 {
        let soil = 48.0 + f64::from(n);
        let _ = writeln!(daily, "2026-03-{:02},{soil}", n + 1);
        for h in 0..24 {
            let swing = if h < 12 { 2.0 } else { -2.0 };
            let _ = writeln!(hours, "2026-03-{:02}T{h:02}:00,{}", n + 1, soil + swing);
        }
    }
    let found = |text: &str| {
        let (all, _) = days(&read("w", text, &[]).expect("good"));
        let all = windows(book(), &all, &ask(&["large-crabgrass"], date(2026, 3, 15)));
        all.iter()
            .map(|w| (w.event.clone(), w.from, w.to))
            .collect::<Vec<_>>()
    };
    assert_eq!(found(&hours), found(&daily));
}

proptest! {
    #[test]
    fn warmer_air_never_opens_a_window_later(high in 40.0..80.0_f64, more in 0.0..10.0_f64) {
        let opens = |high: f64| {
            let days = year(date(2026, 2, 1), 90, (high, high - 20.0), |_| None);
            one(&windows(book(), &days, &ask(&["large-crabgrass"], date(2026, 4, 1))), "crabgrass-apply-gdd").from
        };
        if let Some(cool) = opens(high) {
            prop_assert!(opens(high + more).is_some_and(|warm| warm <= cool));
        }
    }

    #[test]
    fn every_window_opens_before_it_closes(high in 30.0..95.0_f64, swing in 0.0..40.0_f64, day in 0_i32..365) {
        let days = year(date(2026, 1, 1), 180, (high, high - swing), |n| Some(30.0 + f64::from(n) / 3.0));
        let today = date(2026, 1, 1).saturating_add(jiff::Span::new().days(day));
        let own = Ask { method: Some(Method::SingleSine), start: Some(date(2026, 2, 1)), ..ask(&["large-crabgrass", "dandelion", "goosegrass"], today) };
        for window in windows(book(), &days, &own) {
            if let (Some(from), Some(to)) = (window.from, window.to) {
                // A sum may pass both ends in one day; the window is then that day at most.
                prop_assert!(from <= to.saturating_add(jiff::Span::new().days(1)), "{window:?}");
            }
            let open = window.state == State::Open;
            prop_assert!(!open || window.from.is_some_and(|f| f <= today) && window.to.is_none_or(|t| t >= today), "{window:?}");
        }
    }
}
