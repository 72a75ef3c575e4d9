//! How long a decision takes: `cargo bench --bench choose`.
//!
//! Figures are medians; machines are noisy, so each also stands as a ratio to a yardstick in the same run: sorting ten
//! thousand numbers, which is work of the same kind and size on any machine.
#![allow(clippy::expect_used, reason = "a benchmark")]
use ligule::choose::{Chooser, Request};
use ligule::knowledge::Knowledge;
use std::hint::black_box;
use std::time::{Duration, Instant};

/// Bars, microseconds.
const ONE_WEED: f64 = 60.0;
const SIX_WEEDS: f64 = 2000.0;

fn median(mut all: Vec<Duration>) -> f64 {
    all.sort_unstable();
    all[all.len() / 2].as_secs_f64() * 1e6
}

fn timed<T>(mut run: impl FnMut() -> T) -> Duration {
    let start = Instant::now();
    black_box(run());
    start.elapsed()
}

fn yardstick() -> f64 {
    let numbers: Vec<u64> = (0..10_000_u64)
        .map(|n| n.wrapping_mul(0x9e37_79b9_7f4a_7c15))
        .collect();
    median(
        (0..101)
            .map(|_| {
                timed(|| {
                    let mut sorted = numbers.clone();
                    sorted.sort_unstable();
                    sorted
                })
            })
            .collect(),
    )
}

fn main() {
    let book = Knowledge::embedded().expect("sound");
    let weeds: Vec<&str> = book.weeds.keys().map(String::as_str).collect();
    let turf: Vec<&str> = book.turf.keys().map(String::as_str).collect();
    let yard = yardstick();
    println!("yardstick (sorting 10000 numbers): {yard:.1} us");
    let index = median((0..21).map(|_| timed(|| Chooser::new(&book))).collect());
    println!(
        "index of the book, once: {index:.0} us, {:.2} yardsticks",
        index / yard
    );
    let chooser = Chooser::new(&book);
    // Every weed on every grass, then six weeds from all over the list; the slowest of all is told as well.
    for (name, many, bar) in [("one weed", 1, ONE_WEED), ("six weeds", 6, SIX_WEEDS)] {
        let mut all = Vec::new();
        let (mut slowest, mut of) = (Duration::ZERO, String::new());
        for grass in &turf {
            for first in 0..weeds.len() {
                let some: Vec<&str> = (0..many)
                    .map(|n| weeds[(first + n * 29) % weeds.len()])
                    .collect();
                let mut request = Request::new(&some, grass);
                request.month = Some(5);
                request.near = vec!["near-garden".to_owned()];
                request.place = Some("us".to_owned());
                // The shorter of three, so that an interruption by the system is not counted.
                let took = (0..3)
                    .map(|_| timed(|| chooser.decide(&request)))
                    .min()
                    .unwrap_or_default();
                if took > slowest {
                    (slowest, of) = (took, format!("{} on {grass}", some.join(", ")));
                }
                all.push(took);
            }
        }
        let middle = median(all);
        println!(
            "{name}: median {middle:.1} us, {:.3} yardsticks (bar: {bar} us); slowest {:.1} us ({of})",
            middle / yard,
            slowest.as_secs_f64() * 1e6
        );
    }
    let request = Request::new(&["dandelion"], turf[turf.len() / 2]);
    let words = median(
        (0..101)
            .map(|_| timed(|| chooser.choose(&request)))
            .collect(),
    );
    println!(
        "one weed, all in words: {words:.0} us, {:.2} yardsticks",
        words / yard
    );
}
