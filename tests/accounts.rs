//! Blind identification accounts: observed traits in, the plant expected first or among the first three.
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "tests")]
use ligule::identify::Key;
use ligule::key::Circumstances;
use ligule::key::book::What;
use ligule::knowledge::Knowledge;
use ligule::knowledge::read::read;
use ligule::visit::Typed;
use serde::Deserialize;
use std::collections::BTreeMap;

#[derive(Debug, Deserialize)]
struct Account {
    weed: String,
    observed: BTreeMap<String, Typed>,
    #[serde(default)]
    month: Option<u8>,
    #[serde(default)]
    mistake: Option<String>,
}

fn load(name: &str) -> Vec<Account> {
    let path = format!(
        "{}/tests/data/outside/{name}.yaml",
        env!("CARGO_MANIFEST_DIR")
    );
    read(&path, &std::fs::read_to_string(&path).expect("test data"))
        .unwrap_or_else(|e| panic!("{e}"))
}

struct Score {
    all: usize,
    first: usize,
    three: usize,
    refused: usize,
}

fn score(book: &Knowledge, accounts: &[Account]) -> Score {
    let mut score = Score {
        all: 0,
        first: 0,
        three: 0,
        refused: 0,
    };
    for account in accounts {
        let mut key = Key::new(
            book,
            What::Weeds,
            Circumstances {
                month: account.month,
                region: None,
            },
            None,
        );
        for (name, words) in &account.observed {
            let words: Vec<&str> = words.0.iter().map(String::as_str).collect();
            if let Err(e) = key.answer(name, &words) {
                println!("{}: {e}", account.weed);
            }
        }
        let state = key.state();
        let place = state.candidates.iter().position(|c| c.weed == account.weed);
        score.all += 1;
        score.first += usize::from(place == Some(0));
        score.three += usize::from(place.is_some_and(|p| p < 3));
        let refused = state
            .candidates
            .first()
            .is_none_or(|c| c.probability < state.none_of_these);
        score.refused += usize::from(refused);
        if place != Some(0) || refused {
            let top: Vec<String> = state
                .candidates
                .iter()
                .take(3)
                .map(|c| format!("{} {:.2}", c.weed, c.probability))
                .collect();
            println!(
                "{:22} at {place:?} none {:.2} mistake {:?} top {top:?} saw {:?}",
                account.weed,
                state.none_of_these,
                account.mistake,
                account
                    .observed
                    .iter()
                    .map(|(k, v)| format!("{k}={}", v.0.join("|")))
                    .collect::<Vec<_>>()
            );
        }
    }
    score
}

#[test]
fn accounts_come_out_first() {
    let book = Knowledge::embedded().expect("good");
    for name in ["accounts-memory", "accounts-memory-2", "accounts-published"] {
        let s = score(&book, &load(name));
        println!(
            "{name}: {} accounts, first {} ({:.1}%), three {} ({:.1}%), refused {}",
            s.all,
            s.first,
            100.0 * s.first as f64 / s.all as f64,
            s.three,
            100.0 * s.three as f64 / s.all as f64,
            s.refused
        );
    }
}
