//! What the record does to the choice: intervals, yearly limits, seeding, resistance, rotation.
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "tests")]
use jiff::civil::{Date, date};
use ligule::choose::{Choice, Reason, Request, choose};
use ligule::knowledge::Knowledge;
use ligule::records::limits::{ActiveUse, Amount, History, Suspicion, YEARS, in_force};
use rust_decimal::Decimal;
use std::sync::LazyLock;

static BOOK: LazyLock<Knowledge> = LazyLock::new(|| Knowledge::embedded().unwrap());
const TODAY: Date = date(2026, 6, 15);

fn used(days_since: i64, this_year: &str) -> ActiveUse {
    let amount = Amount {
        lb_per_acre: this_year.parse().unwrap(),
        unknown: 0,
    };
    ActiveUse {
        last_use: TODAY
            .checked_sub(jiff::Span::new().days(days_since))
            .unwrap(),
        days_since,
        uses_this_year: 1,
        this_year: amount.clone(),
        twelve_months: amount,
    }
}

fn with(history: History) -> Choice {
    let mut request = Request::new(&["large-crabgrass"], "kentucky-bluegrass");
    request.month = Some(6);
    request.history = Some(history);
    choose(&BOOK, &request)
}

fn offered(choice: &Choice, active: &str) -> bool {
    choice
        .options
        .iter()
        .any(|o| o.actives.iter().any(|a| a == active))
}

fn reasons(choice: &Choice, active: &str) -> Vec<Reason> {
    choice
        .excluded
        .iter()
        .filter(|e| e.actives == [active])
        .map(|e| e.reason)
        .collect()
}

/// The book gives quinclorac 14 to 35 days between two uses, 0.25 to 0.75 lb/acre for one and 1.5 lb/acre for a year. If it
/// says something else one day, these tests must be looked at again.
#[test]
fn the_figures_these_tests_turn_on_are_in_the_book() {
    let active = &BOOK.actives["quinclorac"];
    let range = |f: &Option<ligule::knowledge::form::common::Figure>| {
        f.as_ref().map(|f| [f.range[0].0, f.range[1].0])
    };
    assert_eq!(range(&active.repeat_interval_days), Some([14.0, 35.0]));
    assert_eq!(range(&active.yearly_max_lb_per_acre), Some([1.5, 1.5]));
    assert!((active.dose_bounds.as_ref().unwrap().lb_per_acre.unwrap()[0].0 - 0.25).abs() < 1e-12);
}

#[test]
fn an_empty_history_changes_nothing() {
    let none = choose(
        &BOOK,
        &Request {
            month: Some(6),
            ..Request::new(&["large-crabgrass"], "kentucky-bluegrass")
        },
    );
    let empty = with(History::none(TODAY));
    assert!(offered(&none, "quinclorac"));
    assert_eq!(none, empty);
}

#[test]
fn the_interval_is_kept_to_the_day() {
    let at = |days| {
        let mut history = History::none(TODAY);
        history
            .actives
            .insert("quinclorac".into(), used(days, "0.5"));
        with(history)
    };
    assert_eq!(reasons(&at(13), "quinclorac"), [Reason::IntervalTooShort]);
    assert!(!offered(&at(13), "quinclorac"));
    assert!(offered(&at(14), "quinclorac"));
    let caution = |choice: &Choice| {
        choice
            .options
            .iter()
            .filter(|o| o.actives.contains(&"quinclorac".to_owned()))
            .all(|o| o.cautions.iter().any(|c| c.contains("up to 35 days")))
    };
    assert!(caution(&at(14)) && caution(&at(34)) && !caution(&at(35)));
}

#[test]
fn the_years_amount_is_kept_to_the_last_digit() {
    let at = |pounds: &str| {
        let mut history = History::none(TODAY);
        history
            .actives
            .insert("quinclorac".into(), used(40, pounds));
        with(history)
    };
    // The smallest dose of the book, 0.25, still fits after 1.25 of 1.5 and no more after a hair above.
    assert!(offered(&at("1.25"), "quinclorac"));
    for pounds in ["1.2500000001", "1.5", "2"] {
        assert_eq!(
            reasons(&at(pounds), "quinclorac"),
            [Reason::YearlyLimit],
            "{pounds}"
        );
        assert!(!offered(&at(pounds), "quinclorac"));
    }
    // A use whose amount nobody wrote down is not taken for nothing.
    let mut history = History::none(TODAY);
    let mut unknown = used(40, "0");
    unknown.this_year.unknown = 1;
    history.actives.insert("quinclorac".into(), unknown);
    assert_eq!(reasons(&with(history), "quinclorac"), [Reason::YearlyLimit]);
}

#[test]
fn seeding_ahead_and_seeding_behind_stop_what_would_hurt_it() {
    let mut history = History::none(TODAY);
    history.seeding_planned = Some(date(2026, 7, 1));
    let choice = with(history);
    for option in &choice.options {
        for id in &option.actives {
            let wait = BOOK.actives[id]
                .seeding_wait_weeks
                .as_ref()
                .expect("an unknown wait is never offered");
            assert!(wait.range[1].0 * 7.0 <= 16.0, "{id}");
        }
    }
    assert!(
        choice
            .excluded
            .iter()
            .any(|e| e.reason == Reason::SeedingPlanned)
    );
    let mut history = History::none(TODAY);
    history.seeded_on = Some(date(2026, 5, 25));
    assert!(
        reasons(&with(history), "quinclorac").contains(&Reason::TurfTooYoung),
        "21 days of 28"
    );
    let mut history = History::none(TODAY);
    history.seeded_on = Some(date(2026, 5, 18));
    assert!(offered(&with(history), "quinclorac"), "28 days of 28");
}

#[test]
fn a_weed_suspected_to_be_resistant_is_not_treated_with_the_same_group() {
    let suspicion = |weed: &str| Suspicion {
        on: date(2025, 8, 1),
        weeds: vec![weed.into()],
        actives: vec!["quinclorac".into()],
        groups: vec![4],
    };
    let mut history = History::none(TODAY);
    history.suspicions.push(suspicion("large-crabgrass"));
    let choice = with(history);
    assert!(choice.options.iter().all(|o| !o.groups.contains(&4)));
    assert!(reasons(&choice, "quinclorac").contains(&Reason::ResistantHere));
    let mut history = History::none(TODAY);
    history.suspicions.push(suspicion("dandelion"));
    assert!(
        offered(&with(history), "quinclorac"),
        "another weed is another matter"
    );
}

#[test]
fn among_options_as_good_the_group_used_less_often_comes_first() {
    let before = with(History::none(TODAY));
    let mut history = History::none(TODAY);
    let most: u16 = before.options[0].groups[0];
    history.groups.insert(most, {
        let mut c = vec![0; YEARS];
        c[0] = 2;
        c
    });
    history.last_groups = vec![most];
    let after = with(history.clone());
    assert_eq!(
        before.options.len(),
        after.options.len(),
        "rotation ranks, it does not stop"
    );
    let worst = |o: &ligule::choose::Treatable| {
        o.controls
            .iter()
            .map(|c| (std::cmp::Reverse(c.rating), c.standing))
            .max()
    };
    let times = |o: &ligule::choose::Treatable| {
        o.groups
            .iter()
            .map(|g| history.uses_of_group(*g, 3))
            .max()
            .unwrap_or(0)
    };
    let keys: Vec<_> = after
        .options
        .iter()
        .map(|o| (o.turf.rating, o.turf.standing, worst(o), times(o)))
        .collect();
    assert!(
        keys.is_sorted(),
        "safety and control stay before rotation, and rotation before the rest"
    );
    assert!(
        after
            .options
            .iter()
            .filter(|o| o.groups.contains(&most))
            .all(|o| o.cautions.iter().any(|c| c.contains("last treatment")))
    );
}

/// Every weed with a few histories: nothing that a gate of the record stops is ever part of an option.
#[test]
fn nothing_that_the_record_stops_is_offered_for_any_weed() {
    let mut tried = 0;
    for weed in BOOK.weeds.keys() {
        let plain = choose(&BOOK, &Request::new(&[weed], "tall-fescue"));
        let Some(first) = plain.options.first() else {
            continue;
        };
        for (days, pounds) in [(1, "0.01"), (400, "0"), (60, "1000")] {
            let mut history = History::none(TODAY);
            for id in &first.actives {
                history.actives.insert(id.clone(), used(days, pounds));
            }
            let request = Request {
                history: Some(history.clone()),
                ..Request::new(&[weed], "tall-fescue")
            };
            let choice = choose(&BOOK, &request);
            for id in choice.options.iter().flat_map(|o| &o.actives) {
                let Some(past) = history.actives.get(id) else {
                    continue;
                };
                tried += 1;
                let active = &BOOK.actives[id];
                if let Some(wait) = &active.repeat_interval_days {
                    #[allow(clippy::cast_precision_loss, reason = "small")]
                    let days = past.days_since as f64;
                    assert!(days >= wait.range[0].0, "{weed} {id}");
                }
                if let Some(most) = &active.yearly_max_lb_per_acre {
                    let most: Decimal = most.range[0].0.to_string().parse().unwrap();
                    assert!(past.this_year.lb_per_acre < most, "{weed} {id}");
                }
            }
        }
    }
    assert!(tried > 50, "{tried}");
}

#[test]
fn what_is_in_force_is_reckoned_from_the_last_use() {
    let mut history = History::none(TODAY);
    history.actives.insert("quinclorac".into(), used(10, "0.5"));
    history.actives.insert("triclopyr".into(), used(400, "0"));
    let found = in_force(&BOOK, &history);
    assert_eq!(found.len(), 1, "what is older than a year holds no more");
    let one = &found[0];
    // 5 June 2026 and 14 days are 19 June; 35 days are 10 July; 4 weeks are 3 July; 2 days are 7 June.
    assert_eq!(one.repeat, Some((date(2026, 6, 19), date(2026, 7, 10))));
    assert_eq!(one.seeding, Some((date(2026, 6, 5), date(2026, 7, 3))));
    assert_eq!(one.mowing, Some(date(2026, 6, 7)));
    assert_eq!(one.left_this_year, Some(Decimal::ONE));
    assert!(
        one.clippings[0].contains("clippings"),
        "{:?}",
        one.clippings
    );
}
