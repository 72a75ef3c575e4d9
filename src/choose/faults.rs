//! Planted faults: every gate left open once must be found by the sweep's second reading.
#[path = "../../tests/sweep/judge.rs"]
mod judge;
#[path = "../../tests/sweep/oracle.rs"]
mod oracle;
#[path = "../../tests/sweep/space.rs"]
mod space;

use super::Chooser;
use super::gates::{Gate, LEFT_OPEN};
use crate::knowledge::Knowledge;
use judge::{request, violations};
use oracle::{Facts, Oracle};
use space::{Dice, Space};
use std::fs;
use std::path::Path;

/// All gates. A gate that is missing here does not compile away: `every_gate_is_listed` counts them.
const GATES: [Gate; 26] = [
    Gate::NotProven,
    Gate::Injured,
    Gate::NotRegistered,
    Gate::EveryGrass,
    Gate::TurfMonth,
    Gate::TurfHot,
    Gate::TurfCold,
    Gate::Age,
    Gate::AgeUnknown,
    Gate::AgeInWords,
    Gate::Seeding,
    Gate::Withdrawn,
    Gate::Licensed,
    Gate::Place,
    Gate::AroundPlace,
    Gate::Site,
    Gate::Hot,
    Gate::Cold,
    Gate::Up,
    Gate::Grown,
    Gate::NotUp,
    Gate::Later,
    Gate::Weak,
    Gate::TankPair,
    Gate::TankTogether,
    Gate::TankMixture,
];

/// The book of the program with three things that it lacks, so that every gate has something to stop: what may not be used
/// on home lawns is for licensed people instead, one mixture hurts one grass, and two actives together must be kept from
/// a third.
fn wider_book(folder: &Path) -> Knowledge {
    copy(
        &Path::new(env!("CARGO_MANIFEST_DIR")).join("knowledge"),
        folder,
    );
    for entry in fs::read_dir(folder.join("actives")).expect("a folder") {
        let path = entry.expect("an entry").path();
        let text = fs::read_to_string(&path).expect("a text");
        let wider = text.replace("is: not-on-home-lawns", "is: licensed-only");
        fs::write(&path, wider).expect("written");
    }
    let path = folder.join("mixtures.yaml");
    let text = fs::read_to_string(&path).expect("a text");
    let row = "turf: [{turf: tall-fescue, stage: established, rating: sensitive, source: memory}]";
    let id = "- id: 2,4-d+triclopyr\n";
    assert!(text.contains(id), "the mixture is there");
    fs::write(&path, text.replace(id, &format!("{id}  {row}\n"))).expect("written");
    let path = folder.join("interactions.yaml");
    let text = fs::read_to_string(&path).expect("a text");
    let ban = "- {a: {actives: [ethofumesate, triclopyr], together: true}, b: {actives: mesotrione}, effect: injury, text: Invented for a test., source: memory}\n";
    fs::write(&path, format!("{}\n{ban}", text.trim_end())).expect("written");
    Knowledge::from_folder(folder).expect("a sound book")
}

fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).expect("a folder");
    for entry in fs::read_dir(from).expect("a folder") {
        let entry = entry.expect("an entry");
        let target = to.join(entry.file_name());
        if entry.file_type().expect("a kind").is_dir() {
            copy(&entry.path(), &target);
        } else {
            fs::copy(entry.path(), target).expect("copied");
        }
    }
}

struct Bench<'a> {
    chooser: Chooser<'a>,
    oracle: Oracle,
    space: Space,
}

impl Bench<'_> {
    fn broken(&self, facts: &Facts) -> Vec<String> {
        let decision = self.chooser.decide(&request(facts));
        violations(&self.oracle, &self.chooser, facts, &decision)
    }

    /// A point that gives the gate something to do: mostly established grass, sometimes a whole lawn.
    fn point(&self, dice: &mut Dice, number: usize) -> Facts {
        if number.is_multiple_of(3) {
            let mut facts = self.space.lawn(dice);
            facts.for_hire = Some(true);
            return facts;
        }
        let weed = dice.pick(&self.space.weeds).clone();
        let turf = dice.pick(&self.space.turf).clone();
        let stage = if dice.below(3) == 0 {
            dice.pick(&self.space.stages).clone()
        } else {
            "established".to_owned()
        };
        self.space.point(dice, &weed, &turf, &stage)
    }
}

/// Lawns made for the two gates of the tank that random lawns hardly ever reach.
fn made(gate: Gate) -> Vec<Facts> {
    let lawn = |weeds: &[&str], turf: &str| Facts {
        weeds: weeds.iter().map(|w| (*w).to_owned()).collect(),
        turf: vec![turf.to_owned()],
        stage: "established".to_owned(),
        for_hire: Some(true),
        ..Facts::default()
    };
    match gate {
        // All that either of the two controls: with both the lawn is covered, but for the ban on the mixture.
        Gate::TankMixture => vec![
            lawn(&["dandelion", "wild-violet"], "tall-fescue"),
            lawn(
                &["dandelion", "ground-ivy", "upright-woodsorrel"],
                "tall-fescue",
            ),
        ],
        Gate::TankTogether => vec![lawn(
            &[
                "yellow-nutsedge",
                "dandelion",
                "large-crabgrass",
                "wild-violet",
                "annual-bluegrass",
            ],
            "tall-fescue",
        )],
        _ => Vec::new(),
    }
}

#[test]
fn a_gate_left_open_is_found_by_the_sweep() {
    let folder = tempfile::tempdir().expect("a folder");
    let book = wider_book(folder.path());
    let bench = Bench {
        chooser: Chooser::new(&book),
        oracle: Oracle::new(serde_json::to_value(&*book).expect("plain data")),
        space: Space::of(&book),
    };
    let mut survivors = Vec::new();
    for gate in GATES {
        LEFT_OPEN.set(Some(gate));
        let mut dice = Dice(1);
        let found = made(gate).iter().any(|f| !bench.broken(f).is_empty())
            || (0..60_000).any(|n| !bench.broken(&bench.point(&mut dice, n)).is_empty());
        if !found {
            survivors.push(gate);
        }
    }
    LEFT_OPEN.set(None);
    let mut dice = Dice(1);
    for number in 0..600 {
        let facts = bench.point(&mut dice, number);
        let broken = bench.broken(&facts);
        assert!(broken.is_empty(), "{facts:?}: {broken:#?}");
    }
    assert!(
        survivors.is_empty(),
        "left open and not found: {survivors:?}"
    );
}

#[test]
fn every_gate_is_listed() {
    // The number of the last gate is the number of gates less one, so a gate that is added must be added here too.
    assert_eq!(GATES.len(), Gate::TankMixture as usize + 1);
    for (number, gate) in GATES.into_iter().enumerate() {
        assert_eq!(gate as usize, number);
    }
}
