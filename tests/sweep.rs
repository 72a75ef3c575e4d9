//! The sweep: decisions over weeds, grasses, stages, months, temperatures, sites, places and users, each held against a
//! second, naive reading of the knowledge (`sweep/oracle.rs`) that shares no code with the choice.
//!
//! `cargo test --release --test sweep -- --ignored` goes through the whole cross product.
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "tests")]
#[path = "sweep/judge.rs"]
mod judge;
#[path = "sweep/oracle.rs"]
mod oracle;
#[path = "sweep/space.rs"]
mod space;

use judge::{request, violations};
use ligule::choose::Chooser;
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

/// What is shown is what was decided: the choice in words has the options and the exclusions of the decision.
#[test]
fn the_words_say_what_was_decided() {
    let book = Knowledge::embedded().expect("sound");
    let chooser = Chooser::new(&book);
    let space = Space::of(&book);
    let mut dice = Dice(11);
    for number in 0..300 {
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
        assert_eq!(choice.excluded.len(), decision.excluded().count());
        assert!(choice.excluded.iter().all(|e| !e.detail.trim().is_empty()));
    }
}
