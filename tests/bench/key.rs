//! The key on large books: `cargo bench --bench key`.
//!
//! Books of 1,000 to 100,000 taxa and 300 traits are made up from a fixed seed. The table shows how the next question
//! grows with the number of taxa; the last line is the default book. `tests/bench/key_numpy.py` does the same sums with
//! numpy on a matrix of the same shape; it is run at the end of the table where python has numpy (`PYTHON=...`).
#![allow(
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::semicolon_if_nothing_returned,
    reason = "counts of a bench are small"
)]
use ligule::key::book::{Head, Taxon, What};
use ligule::key::{Answers, Book, Circumstances};
use ligule::knowledge::Knowledge;
use ligule::knowledge::form::plant::Effort;
use std::time::{Duration, Instant};

const TRAITS: usize = 300;
const STATES: usize = 4;

/// A small generator of the multiply-with-carry kind: the bench needs numbers that look random and repeat, nothing more.
struct Dice(u64);

impl Dice {
    fn roll(&mut self, sides: u64) -> u64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % sides
    }
}

fn made_up(taxa: usize) -> Book {
    let list = (0..taxa)
        .map(|t| Taxon {
            id: format!("t{t}"),
            months: Vec::new(),
            regions: Vec::new(),
            kind: 0,
            common: 1.0,
        })
        .collect();
    Book::from_rows(list, TRAITS, |number| {
        let mut dice = Dice(number as u64 + 1);
        let rows = (0..taxa)
            .map(|_| {
                // A fifth of the cells is unknown, a fifth shows two states, the rest one.
                let first = dice.roll(STATES as u64) as usize;
                match dice.roll(5) {
                    0 => None,
                    1 => Some(row(&[first, (first + 1) % STATES])),
                    _ => Some(row(&[first])),
                }
            })
            .collect();
        let states = (0..STATES).map(|s| format!("s{s}")).collect();
        (
            Head {
                id: format!("q{number}"),
                states,
                cuts: Vec::new(),
                unit: String::new(),
                effort: Effort::Glance,
                error: 0.1,
                asked_of: Vec::new(),
            },
            rows,
        )
    })
}

fn row(shows: &[usize]) -> Vec<f64> {
    let mut row = vec![0.1 / STATES as f64; STATES];
    for &s in shows {
        row[s] += 0.9 / shows.len() as f64;
    }
    row
}

fn median(runs: usize, mut run: impl FnMut()) -> Duration {
    let mut all: Vec<Duration> = (0..runs)
        .map(|_| {
            let start = Instant::now();
            run();
            start.elapsed()
        })
        .collect();
    all.sort_unstable();
    all[runs / 2]
}

fn peak_mib() -> String {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let kb = status
        .lines()
        .find_map(|l| l.strip_prefix("VmHWM:"))
        .and_then(|l| l.trim().trim_end_matches(" kB").parse::<u64>().ok());
    kb.map_or("unknown".to_owned(), |kb| format!("{} MiB", kb / 1024))
}

fn main() {
    for taxa in [1_000, 10_000, 30_000, 100_000] {
        let book = made_up(taxa);
        let belief = book.belief(&Circumstances::default(), &Answers::new());
        let took = median(9, || {
            assert!(!book.questions(&belief, &Answers::new(), None).is_empty())
        });
        println!(
            "{taxa:>7} taxa x {TRAITS} traits: next question {took:?}, {:.1} ns a cell, peak memory {}",
            took.as_secs_f64() * 1e9 / (taxa * TRAITS) as f64,
            peak_mib()
        );
    }
    // The same sums by numpy in the same run; PYTHON names an interpreter that has it.
    let python = std::env::var("PYTHON").unwrap_or_else(|_| "python3".to_owned());
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/bench/key_numpy.py");
    match std::process::Command::new(&python).arg(script).output() {
        Ok(run) if run.status.success() => print!("{}", String::from_utf8_lossy(&run.stdout)),
        _ => println!("no numpy by `{python}`: set PYTHON to an interpreter that has it"),
    }
    let Ok(knowledge) = Knowledge::embedded() else {
        return;
    };
    let book = Book::new(&knowledge, What::Weeds);
    let belief = book.belief(&Circumstances::default(), &Answers::new());
    let took = median(201, || {
        assert!(!book.questions(&belief, &Answers::new(), None).is_empty())
    });
    println!("default book: next question {took:?} (bar: 200 µs)");
}
