//! Weather files as people have them: gaps, mixed units, changed clocks, leap days. Nothing is guessed silently.
#![allow(clippy::format_collect, reason = "small texts for tests")]
use jiff::civil::date;
use ligule::season::days::days;
use ligule::season::degree::{Count, Method, sum};
use ligule::season::table::{Step, Table, mapped, read};
use ligule::season::units::Quantity;
use proptest::prelude::*;

fn table(text: &str) -> Table {
    read("weather.csv", text, &[]).expect("a readable file")
}

fn fault(text: &str) -> String {
    read("weather.csv", text, &[])
        .expect_err("a fault")
        .to_string()
}

fn codes(table: &Table) -> Vec<&'static str> {
    table.findings.iter().map(|f| f.code).collect()
}

#[test]
fn columns_state_their_units_in_several_spellings() {
    let read = table("Date,Tmax (F),Tmin [F],Soil_C,Wind mph,note\n2026-03-01,68,50,10,5,fine\n");
    let row = &read.rows[0];
    assert!((row.values[&Quantity::TemperatureMax] - 20.0).abs() < 1e-9);
    assert!((row.values[&Quantity::TemperatureMin] - 10.0).abs() < 1e-9);
    assert!((row.values[&Quantity::Soil] - 10.0).abs() < 1e-9);
    assert!((row.values[&Quantity::Wind] - 2.2352).abs() < 1e-9);
    assert_eq!(read.step, Step::Daily);
    assert!(read.findings.is_empty(), "{:?}", read.findings);
}

#[test]
fn a_column_without_a_unit_is_refused_with_the_remedy() {
    let message = fault("date,tmax,tmin_F\n2026-03-01,68,50\n");
    assert!(
        message.contains("weather.csv:1")
            && message.contains("states no unit")
            && message.contains("tmax_F"),
        "{message}"
    );
    assert!(fault("date,tmax_mph\n2026-03-01,68\n").contains("no unit of the column"));
    assert!(fault("tmax_F\n68\n").contains("no column is called date or time"));
    assert!(fault("date,shoe_F\n2026-03-01,1\n").contains("no column holds weather"));
    assert!(fault("date,tmax_F\n").contains("no rows"));
    assert!(fault("date,tmax_F,high_C\n2026-03-01,1,2\n").contains("two columns"));
}

#[test]
fn columns_can_be_mapped_by_hand() {
    let own = [
        mapped("tmax=MaxT:F").expect("good"),
        mapped("tmin=MinT:F").expect("good"),
    ];
    let read = read("w.csv", "date,MaxT,MinT\n2026-03-01,68,50\n", &own).expect("mapped");
    assert!((read.rows[0].values[&Quantity::TemperatureMax] - 20.0).abs() < 1e-9);
    assert!(
        mapped("tmaxx=MaxT:F")
            .expect_err("a slip")
            .contains("did you mean `tmax`")
    );
    assert!(
        mapped("tmax=MaxT")
            .expect_err("no unit")
            .contains("states no unit")
    );
    assert!(
        mapped("wind=W:F")
            .expect_err("a wrong unit")
            .contains("mph")
    );
}

#[test]
fn missing_days_are_told_and_make_the_sum_a_lower_bound() {
    let read = table(
        "date,tmax_F,tmin_F\n2026-03-01,60,40\n2026-03-04,60,40\n2026-03-05,,40\n2026-03-06,60,40\n",
    );
    let told: Vec<&str> = read.findings.iter().map(|f| f.message.as_str()).collect();
    assert!(
        told.iter()
            .any(|m| m.starts_with("2 days missing between 2026-03-01 and 2026-03-04")),
        "{told:?}"
    );
    assert!(codes(&read).contains(&"missing-value"));
    let (all, _) = days(&read);
    assert_eq!(
        all.len(),
        6,
        "days without rows stand in the list as missing"
    );
    let count = Count {
        method: Method::Simple,
        base: 32.0,
        upper: None,
        fahrenheit: true,
        start: date(2026, 2, 27),
        soil: false,
    };
    let running = sum(&all, &count);
    let last = running.last().expect("days");
    assert!((last.total - 54.0).abs() < 1e-9);
    assert_eq!(
        last.missing, 5,
        "two before the file, two gaps, one without a maximum"
    );
}

#[test]
fn mixed_units_and_impossible_values_are_told() {
    let read =
        table("date,tmax_C,tmin_C\n2026-03-01,68F,10\n2026-03-02,70,10\n2026-03-03,warm,10\n");
    assert!(
        (read.rows[0].values[&Quantity::TemperatureMax] - 20.0).abs() < 1e-9,
        "the cell's own unit counts"
    );
    assert!(
        !read.rows[1].values.contains_key(&Quantity::TemperatureMax),
        "70 C is no air temperature"
    );
    assert_eq!(
        codes(&read)
            .iter()
            .filter(|c| ["mixed-units", "impossible-value", "no-number"].contains(c))
            .count(),
        3
    );
    assert!(
        read.findings
            .iter()
            .any(|f| f.message.contains("is it F in a column of C?")),
        "{:?}",
        read.findings
    );
}

#[test]
fn a_leap_day_that_is_missing_or_cannot_be_is_told() {
    let missing = table("date,tmax_F,tmin_F\n2024-02-28,60,40\n2024-03-01,60,40\n");
    assert!(
        missing
            .findings
            .iter()
            .any(|f| f.message.contains("29 February 2024 is left out")),
        "{:?}",
        missing.findings
    );
    let there = table("date,tmax_F,tmin_F\n2024-02-28,60,40\n2024-02-29,60,40\n2024-03-01,60,40\n");
    assert!(there.findings.is_empty());
    assert!(
        table("date,tmax_F,tmin_F\n2025-02-28,60,40\n2025-03-01,60,40\n")
            .findings
            .is_empty(),
        "2025 has none"
    );
    let wrong = fault("date,tmax_F,tmin_F\n2025-02-29,60,40\n");
    assert!(
        wrong.contains("weather.csv:2") && wrong.contains("no 29 February"),
        "{wrong}"
    );
}

#[test]
fn a_changed_clock_is_told_and_hours_are_counted_on() {
    let spring = table(
        "time,temperature_F\n2026-03-08T01:00-05:00,50\n2026-03-08T03:00-04:00,50\n2026-03-08T04:00-04:00,50\n",
    );
    assert_eq!(
        codes(&spring),
        ["changed-offset"],
        "no gap: one hour passed"
    );
    let bare = table("time,temperature_F\n2026-03-08T01:00,50\n2026-03-08T03:00,50\n");
    assert!(
        bare.findings[0].message.contains("a clock set forward?"),
        "{:?}",
        bare.findings
    );
    let autumn =
        table("time,temperature_F\n2026-11-01T01:00-04:00,50\n2026-11-01T01:00-05:00,49\n");
    assert_eq!(
        (autumn.rows.len(), codes(&autumn)),
        (2, vec!["changed-offset"])
    );
    let twice = table("time,temperature_F\n2026-11-01T01:00,50\n2026-11-01T01:00,49\n");
    assert_eq!(twice.rows.len(), 1);
    assert!(twice.findings[0].message.contains("a clock set back?"));
    let half = table("time,temperature_F\n2026-11-01T01:00-04:00,50\n2026-11-01T02:00,49\n");
    assert!(codes(&half).contains(&"offset-missing"));
}

#[test]
fn rows_out_of_order_days_swapped_and_kinds_mixed_are_told() {
    let order = table("date,tmax_F,tmin_F\n2026-03-02,60,40\n2026-03-01,60,40\n");
    assert_eq!(codes(&order), ["out-of-order"]);
    assert_eq!(order.rows[0].at.date(), date(2026, 3, 1));
    let (all, found) = days(&table("date,tmax_F,tmin_F\n2026-03-02,40,60\n"));
    assert_eq!((all[0].air, found[0].code), (None, "swapped"));
    assert!(
        fault("time,temperature_F\n2026-03-02,60\n2026-03-02T05:00,60\n")
            .contains("mixes days and hours")
    );
    assert!(fault("date,tmax_F\n2026-03-02\n").contains("not a row"));
    for cell in [
        "20260302",
        "02/03/2026",
        "2026-3-2",
        "2026-13-01",
        "2026-03-02T25:00",
        "2026-03-02T05:30",
        "2026-03-02T05:00+99:00",
        "märz 2026",
        "",
    ] {
        assert!(
            fault(&format!("date,tmax_F\n{cell},60\n")).contains("2026-05-10"),
            "{cell}"
        );
    }
}

#[test]
fn hours_make_a_day_only_when_all_are_there() {
    let hours = |n: i32| {
        (0..n)
            .map(|h| format!("2026-05-04T{h:02}:00,{}\n", 50 + h))
            .collect::<String>()
    };
    let (whole, found) = days(&table(&format!("time,temperature_F\n{}", hours(24))));
    let (high, low) = whole[0].air.expect("a whole day");
    assert!((high * 1.8 + 32.0 - 73.0).abs() < 1e-9 && (low * 1.8 + 32.0 - 50.0).abs() < 1e-9);
    assert!(found.is_empty());
    let (part, found) = days(&table(&format!("time,temperature_F\n{}", hours(23))));
    assert_eq!((part[0].air, found[0].code), (None, "part-day"));
}

proptest! {
    #[test]
    fn no_text_panics(text in "\\PC{0,200}") {
        let _ = read("w", &text, &[]);
        let _ = read("w", &format!("date,tmax_F,tmin_F\n{text}"), &[]);
        let _ = read("w", &format!("time,temperature_F\n2026-03-01T00:00{text},50\n"), &[]);
    }

    #[test]
    fn order_of_rows_does_not_matter(shuffled in Just((1..=28_i8).collect::<Vec<_>>()).prop_shuffle()) {
        let rows = |of: &[i8]| format!("date,tmax_F,tmin_F\n{}", of.iter().map(|d| format!("2026-02-{d:02},{},40\n", 50 + d)).collect::<String>());
        let sorted: Vec<i8> = (1..=28).collect();
        let (a, b) = (days(&table(&rows(&shuffled))).0, days(&table(&rows(&sorted))).0);
        prop_assert_eq!(a, b);
    }

    #[test]
    fn fahrenheit_and_celsius_files_say_the_same(highs in prop::collection::vec(40.0..100.0_f64, 1..20)) {
        let line = |d: usize, high: f64, low: f64| format!("2026-03-{:02},{high:.6},{low:.6}\n", d + 1);
        let c = |f: f64| (f - 32.0) / 1.8;
        let f_text: String = highs.iter().enumerate().map(|(d, h)| line(d, *h, h - 20.0)).collect();
        let c_text: String = highs.iter().enumerate().map(|(d, h)| line(d, c(*h), c(h - 20.0))).collect();
        let total = |text: String| {
            let (all, _) = days(&table(&text));
            let count = Count { method: Method::SingleSine, base: 50.0, upper: Some(86.0), fahrenheit: true, start: date(2026, 3, 1), soil: false };
            sum(&all, &count).last().map_or(0.0, |r| r.total)
        };
        let (a, b) = (total(format!("date,tmax_F,tmin_F\n{f_text}")), total(format!("date,tmax_C,tmin_C\n{c_text}")));
        prop_assert!((a - b).abs() < 1e-3, "{} {}", a, b);
    }
}
