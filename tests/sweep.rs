//! The sweep: decisions over weeds, grasses, stages, months, temperatures, sites, places and users, each held against a
//! second, naive reading of the knowledge (`sweep/oracle.rs`) that shares no code with the choice.
//!
//! `cargo test --release --test sweep -- --ignored` goes through the whole cross product.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::cast_precision_loss,
    reason = "tests"
)]
#[path = "sweep/judge.rs"]
mod judge;
#[path = "sweep/oracle.rs"]
mod oracle;
#[path = "sweep/space.rs"]
mod space;

use judge::{request, unsafe_option, violations};
use ligule::choose::{Choice, Chooser};
use ligule::knowledge::Knowledge;
use oracle::{Facts, Oracle};
use space::{Dice, Space};
use std::sync::atomic::{AtomicUsize, Ordering};

/// Runs a share of the work on each processor and gives the number of decisions. The first violations end it.
fn on_all_processors(work: impl Fn(usize, usize, &dyn Fn(&Facts)) + Sync) -> (usize, usize) {
    let book = Knowledge::embedded().expect("sound");
    let chooser = Chooser::new(&book);
    let oracle = Oracle::new(serde_json::to_value(&*book).expect("plain data"));
    let (decisions, offers) = (AtomicUsize::new(0), AtomicUsize::new(0));
    let threads = std::thread::available_parallelism().map_or(2, usize::from);
    let check = |facts: &Facts| {
        let decision = chooser.decide(&request(facts));
        let broken = violations(&oracle, &chooser, facts, &decision);
        assert!(broken.is_empty(), "{facts:?}: {broken:#?}");
        decisions.fetch_add(1, Ordering::Relaxed);
        offers.fetch_add(usize::from(!decision.options.is_empty()), Ordering::Relaxed);
    };
    std::thread::scope(|scope| {
        for share in 0..threads {
            let (work, check) = (&work, &check);
            scope.spawn(move || work(share, threads, check));
        }
    });
    (decisions.into_inner(), offers.into_inner())
}

#[test]
fn nothing_unsafe_is_offered_and_every_reason_is_true() {
    let book = Knowledge::embedded().expect("sound");
    let space = Space::of(&book);
    let (decisions, offers) = on_all_processors(|share, shares, check| {
        let mut number = 0;
        for weed in &space.weeds {
            for turf in &space.turf {
                for stage in &space.stages {
                    number += 1;
                    if number % shares != share {
                        continue;
                    }
                    let mut dice = Dice(number as u64);
                    // Most of the grass of the world is established, and so are most statements.
                    let throws = if stage == "established" { 24 } else { 5 };
                    for _ in 0..throws {
                        check(&space.point(&mut dice, weed, turf, stage));
                    }
                }
            }
        }
    });
    println!("{decisions} decisions, {offers} with an offer");
    assert!(decisions >= 200_000, "{decisions} decisions");
    assert!(offers >= 10_000, "only {offers} decisions offer anything");
}

#[test]
fn whole_lawns_share_no_tank_that_they_must_not() {
    let book = Knowledge::embedded().expect("sound");
    let space = Space::of(&book);
    let (decisions, offers) = on_all_processors(|share, shares, check| {
        let mut dice = Dice(77 + share as u64);
        for _ in 0..4000 / shares {
            check(&space.lawn(&mut dice));
        }
    });
    println!("{decisions} lawns, {offers} with an offer");
    assert!(offers >= 1000, "{offers} of {decisions}");
}

/// Weed × grass × stage × month × temperature × site, every one. Places, users, ages and plans are thrown along the way.
#[test]
#[ignore = "the whole cross product: tens of millions of decisions; run it in a release build"]
fn the_whole_cross_product() {
    let book = Knowledge::embedded().expect("sound");
    let space = Space::of(&book);
    let (decisions, offers) = on_all_processors(|share, shares, check| {
        let mut dice = Dice(5 + share as u64);
        let of_share = |n: usize| n % shares == share;
        for (_, weed) in space.weeds.iter().enumerate().filter(|(n, _)| of_share(*n)) {
            for turf in &space.turf {
                for stage in &space.stages {
                    for month in &space.months {
                        for air in &space.air {
                            for near in &space.near {
                                let mut facts = space.point(&mut dice, weed, turf, stage);
                                facts.turf.truncate(1);
                                facts.month = *month;
                                facts.air = *air;
                                facts.near.clone_from(near);
                                check(&facts);
                            }
                        }
                    }
                }
            }
        }
    });
    println!("{decisions} decisions, {offers} with an offer");
}

/// What speaks against anything that is told beside the options: the steps of the year, each grass alone, one active alone,
/// and the options of a plant that may be any of these weeds.
fn beside_the_options(
    oracle: &Oracle,
    chooser: &Chooser<'_>,
    facts: &Facts,
    choice: &Choice,
) -> Vec<String> {
    let mut broken = Vec::new();
    let mut judged = |facts: &Facts, actives: &[String]| {
        let numbers: Vec<usize> = actives
            .iter()
            .map(|id| oracle.actives.iter().position(|a| a == id).expect("known"))
            .collect();
        let ids: Vec<&str> = actives.iter().map(String::as_str).collect();
        broken.extend(unsafe_option(&oracle.case(facts), &ids, &numbers));
    };
    for step in choice.programme.iter().flat_map(|p| &p.steps) {
        if step.months.is_empty() {
            judged(facts, &step.option.actives);
            continue;
        }
        let open = facts.month.is_some_and(|m| step.months.contains(&m));
        for &month in step
            .months
            .iter()
            .filter(|m| !open || facts.month == Some(**m))
        {
            let mut then = facts.clone();
            then.month = Some(month);
            then.air = None;
            then.near.retain(|n| n != "frozen-or-saturated-soil");
            judged(&then, &step.option.actives);
            // By the time of a later step grass that is brown, new or greening up now will be as grass mostly is.
            if !open {
                "established".clone_into(&mut then.stage);
                judged(&then, &step.option.actives);
            }
        }
    }
    for area in &choice.by_grass {
        let mut alone = facts.clone();
        alone.turf = vec![area.turf.clone()];
        for actives in &area.options {
            judged(&alone, actives);
        }
    }
    for alone in &choice.if_only_one {
        judged(facts, std::slice::from_ref(&alone.active));
    }
    let even = 1.0 / (facts.weeds.len() + 1) as f64;
    let belief: Vec<(String, f64)> = facts.weeds.iter().map(|w| (w.clone(), even)).collect();
    for weighted in &chooser.choose_in_doubt(&request(facts), &belief).options {
        judged(facts, &weighted.option.actives);
    }
    broken
}

/// What is shown is what was decided: the choice in words has the options and the exclusions of the decision.
#[test]
fn the_words_say_what_was_decided() {
    let book = Knowledge::embedded().expect("sound");
    let chooser = Chooser::new(&book);
    let space = Space::of(&book);
    let oracle = Oracle::new(serde_json::to_value(&*book).expect("plain data"));
    let mut dice = Dice(11);
    for number in 0..600 {
        let facts = if number % 2 == 0 {
            space.lawn(&mut dice)
        } else {
            let weed = dice.pick(&space.weeds).clone();
            let turf = dice.pick(&space.turf).clone();
            space.point(&mut dice, &weed, &turf, "established")
        };
        let asked = request(&facts);
        let (decision, choice) = (chooser.decide(&asked), chooser.choose(&asked));
        let decided: Vec<Vec<&str>> = decision
            .options
            .iter()
            .map(|o| o.actives.iter().map(|&a| chooser.id(a)).collect())
            .collect();
        let shown: Vec<Vec<&str>> = choice
            .options
            .iter()
            .map(|o| o.actives.iter().map(String::as_str).collect())
            .collect();
        assert_eq!(decided, shown);
        for (option, picked) in choice.options.iter().zip(&decision.options) {
            assert_eq!(option.turf.rating, picked.worth.turf, "{facts:?}");
            for (control, on) in option.controls.iter().zip(&picked.on) {
                let rating = on.map(|o| (o.weighed.rating, o.weighed.standing));
                let said = (!control.by.is_empty()).then_some((control.rating, control.standing));
                assert_eq!(said, rating, "{facts:?}");
            }
        }
        let beside = beside_the_options(&oracle, &chooser, &facts, &choice);
        assert!(beside.is_empty(), "{facts:?}: {beside:#?}");
        assert_eq!(choice.excluded.len(), decision.excluded().count());
        assert!(choice.excluded.iter().all(|e| !e.detail.trim().is_empty()));
    }
}
