//! The key against a naive second implementation, on random books.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::cast_precision_loss,
    clippy::too_many_lines,
    reason = "tests"
)]
use ligule::key::answers::Answer;
use ligule::key::book::{Head, Taxon, What};
use ligule::key::{Answers, Book, Circumstances};
use ligule::knowledge::Knowledge;
use ligule::knowledge::folder::TextFile;
use ligule::knowledge::form::plant::Effort;
use proptest::prelude::*;
use std::fmt::Write as _;

/// A random book: for every taxon and trait the usual states, or nothing known.
#[derive(Debug, Clone)]
struct Sheet {
    states: usize,
    error: f64,
    shows: Vec<Vec<Option<Vec<usize>>>>,
}

fn sheet() -> impl Strategy<Value = Sheet> {
    (2_usize..5, 1_usize..6, 2_usize..9, 0.0..0.4_f64).prop_flat_map(
        |(states, traits, taxa, error)| {
            let cell = prop::option::of(
                prop::collection::btree_set(0..states, 1..=states)
                    .prop_map(|s| s.into_iter().collect::<Vec<_>>()),
            );
            let rows = prop::collection::vec(prop::collection::vec(cell, traits), taxa);
            rows.prop_map(move |shows| Sheet {
                states,
                error: (error * 1000.0).round() / 1000.0,
                shows,
            })
        },
    )
}

fn file(path: &str, text: String) -> TextFile {
    TextFile {
        path: path.to_owned(),
        shown: path.to_owned(),
        text: Ok(text),
    }
}

fn book(sheet: &Sheet) -> Book {
    let mut traits = String::new();
    for number in 0..sheet.shows[0].len() {
        let states: Vec<String> = (0..sheet.states).map(|s| format!("{{id: s{s}}}")).collect();
        writeln!(
            traits,
            "- {{id: t{number}, question: q, help: h, kind: one, effort: glance, error: {}, source: memory, states: [{}]}}",
            sheet.error,
            states.join(", ")
        )
        .unwrap();
    }
    let mut files = vec![
        file(
            "sources.yaml",
            "memory: {evidence: memory, title: recalled}\n".to_owned(),
        ),
        file("traits.yaml", traits),
    ];
    for (number, row) in sheet.shows.iter().enumerate() {
        let mut text =
            format!("names: [w{number}]\nscientific_name: W{number}\nsource: memory\ntraits:\n");
        if row.iter().all(Option::is_none) {
            text = text.replace("traits:\n", "");
        }
        for (t, cell) in row.iter().enumerate() {
            if let Some(states) = cell {
                let names: Vec<String> = states.iter().map(|s| format!("s{s}")).collect();
                writeln!(
                    text,
                    "  t{t}: {{is: [{}], source: memory}}",
                    names.join(", ")
                )
                .unwrap();
            }
        }
        files.push(file(&format!("weeds/w{number}.yaml"), text));
    }
    let knowledge = Knowledge::from_texts(&files).unwrap_or_else(|e| panic!("{e}"));
    Book::new(&knowledge, What::Weeds)
}

/// Straight from the definitions, with nothing shared between taxa: rows, pools, Bayes' rule, information.
struct Naive<'a> {
    sheet: &'a Sheet,
}

impl Naive<'_> {
    fn known(&self, taxon: usize, t: usize) -> Option<Vec<f64>> {
        let states = self.sheet.shows[taxon][t].as_ref()?;
        // An observer error below one in two hundred counts as that.
        let (k, e) = (self.sheet.states, self.sheet.error.max(0.005));
        let row = (0..k)
            .map(|s| {
                states
                    .iter()
                    .enumerate()
                    .map(|(place, &true_state)| {
                        // The most usual state counts 1, every other usual one 0.6.
                        let weight = if place == 0 { 1.0 } else { 0.6 };
                        let q = weight / (1.0 + 0.6 * (states.len() - 1) as f64);
                        if s == true_state {
                            (1.0 - e) * q
                        } else {
                            e * q / (k - 1) as f64
                        }
                    })
                    .sum()
            })
            .collect();
        Some(row)
    }

    fn pool(&self, t: usize) -> Vec<f64> {
        let k = self.sheet.states;
        let mean = |prior: &[f64]| -> Vec<f64> {
            let rows: Vec<Vec<f64>> = (0..self.sheet.shows.len())
                .filter_map(|taxon| self.known(taxon, t))
                .collect();
            (0..k)
                .map(|s| {
                    (4.0 * prior[s] + rows.iter().map(|r| r[s]).sum::<f64>())
                        / (4.0 + rows.len() as f64)
                })
                .collect()
        };
        mean(&mean(&vec![1.0 / k as f64; k]))
    }

    fn row(&self, taxon: usize, t: usize) -> Vec<f64> {
        self.known(taxon, t).unwrap_or_else(|| self.pool(t))
    }

    fn stranger(&self, t: usize) -> Vec<f64> {
        ligule::key::belief::row_of_unknown(&self.pool(t))
    }

    /// How well an answer fits the plant that gave it, on geometric average: e to minus the mean entropy of the rows, in
    /// which the states that the observer leaves open stand as one.
    fn typical(&self, t: usize, open: &[usize]) -> f64 {
        let rows: Vec<Vec<f64>> = (0..self.sheet.shows.len())
            .filter_map(|taxon| self.known(taxon, t))
            .collect();
        if rows.is_empty() {
            return 1.0;
        }
        let entropy = |row: &Vec<f64>| -> f64 {
            let mut told: Vec<f64> = (0..row.len())
                .filter(|s| !open.contains(s))
                .map(|s| row[s])
                .collect();
            told.push(open.iter().map(|&s| row[s]).sum());
            told.iter().filter(|x| **x > 0.0).map(|x| -x * x.ln()).sum()
        };
        (-rows.iter().map(entropy).sum::<f64>() / rows.len() as f64).exp()
    }

    /// Chances of all taxa and, last, of the stranger. All states together are no answer.
    fn belief(&self, answers: &[(usize, Vec<usize>)], none: f64) -> Vec<f64> {
        let taxa = self.sheet.shows.len();
        let mut p: Vec<f64> = (0..taxa).map(|_| (1.0 - none) / taxa as f64).collect();
        p.push(none);
        for (t, states) in answers.iter().filter(|a| a.1.len() < self.sheet.states) {
            let any = |row: Vec<f64>| -> f64 { states.iter().map(|&s| row[s]).sum() };
            for (taxon, p) in p.iter_mut().enumerate() {
                *p *= if taxon < taxa {
                    any(self.row(taxon, *t))
                } else {
                    any(self.stranger(*t)).powf(0.3) * self.typical(*t, states).powf(0.7)
                };
            }
        }
        let total: f64 = p.iter().sum();
        p.iter().map(|x| x / total).collect()
    }

    /// Expected fall of the entropy over the book's taxa, given that the plant is one of them.
    fn gain(&self, p: &[f64], t: usize) -> f64 {
        let entropy =
            |p: &[f64]| -> f64 { p.iter().filter(|x| **x > 0.0).map(|x| -x * x.log2()).sum() };
        let taxa = self.sheet.shows.len();
        let known: f64 = p[..taxa].iter().sum();
        let p: Vec<f64> = p[..taxa].iter().map(|x| x / known).collect();
        let mut after = 0.0;
        for s in 0..self.sheet.states {
            let joint: Vec<f64> = (0..taxa).map(|i| p[i] * self.row(i, t)[s]).collect();
            let total: f64 = joint.iter().sum();
            if total > 0.0 {
                let posterior: Vec<f64> = joint.iter().map(|x| x / total).collect();
                after += total * entropy(&posterior);
            }
        }
        entropy(&p) - after
    }
}

fn answers(given: &[(usize, usize)]) -> Answers {
    let mut answers = Answers::new();
    for &(t, s) in given {
        answers.set(t, Answer::States(vec![s]));
    }
    answers
}

#[derive(serde::Deserialize)]
struct Sums {
    books: Vec<Sum>,
}

/// A random book with what a reference library makes of it (`tests/reference/key-sums.py`).
#[derive(serde::Deserialize)]
struct Sum {
    weights: Vec<f64>,
    /// By trait, taxon and state.
    rows: Vec<Vec<Vec<f64>>>,
    /// To the first traits; the last is the one to be asked.
    answers: Vec<usize>,
    posterior: Vec<f64>,
    gain_bits: f64,
}

#[test]
fn posterior_and_information_agree_with_a_reference_library() {
    let text = include_str!("reference/key-sums.json");
    let sums: Sums = serde_json::from_str(text).expect("reference sums");
    assert_eq!(sums.books.len(), 12);
    for sum in &sums.books {
        let taxa = sum.weights.iter().enumerate().map(|(t, weight)| Taxon {
            id: format!("t{t}"),
            months: Vec::new(),
            regions: Vec::new(),
            common: *weight,
            kind: 0,
        });
        let book = Book::from_rows(taxa.collect(), sum.rows.len(), |t| {
            let head = Head {
                id: format!("q{t}"),
                states: (0..sum.rows[t][0].len()).map(|s| format!("s{s}")).collect(),
                cuts: Vec::new(),
                unit: String::new(),
                effort: Effort::Glance,
                error: 0.0,
                asked_of: Vec::new(),
            };
            (head, sum.rows[t].iter().cloned().map(Some).collect())
        });
        let given: Vec<(usize, usize)> = sum.answers.iter().copied().enumerate().collect();
        let belief = book.belief(&Circumstances::default(), &answers(&given));
        let known = 1.0 - belief.none();
        for (p, theirs) in belief.taxa.iter().zip(&sum.posterior) {
            assert!((p / known - theirs).abs() < 1e-9, "{p} and {theirs}");
        }
        let gain = book.gain(sum.rows.len() - 1, &belief);
        assert!(
            (gain - sum.gain_bits).abs() < 1e-9,
            "{gain} and {}",
            sum.gain_bits
        );
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn belief_and_information_agree_with_the_definitions(sheet in sheet(), picks in prop::collection::vec(any::<prop::sample::Index>(), 0..6)) {
        let book = book(&sheet);
        let given: Vec<(usize, usize)> =
            picks.iter().enumerate().take(sheet.shows[0].len()).map(|(t, s)| (t, s.index(sheet.states))).collect();
        let ours = book.belief(&Circumstances::default(), &answers(&given));
        let naive = Naive { sheet: &sheet };
        let none = book.prior(&Circumstances::default()).none();
        let each: Vec<(usize, Vec<usize>)> = given.iter().map(|&(t, s)| (t, vec![s])).collect();
        let theirs = naive.belief(&each, none);
        for (taxon, p) in ours.taxa.iter().enumerate() {
            prop_assert!((p - theirs[taxon]).abs() < 1e-9, "taxon {taxon}: {p} and {}", theirs[taxon]);
        }
        prop_assert!((ours.none() - theirs[sheet.shows.len()]).abs() < 1e-9);
        for t in 0..sheet.shows[0].len() {
            let (a, b) = (book.gain(t, &ours), naive.gain(&theirs, t));
            prop_assert!((a - b).abs() < 1e-9, "trait {t}: {a} and {b}");
        }
    }

    #[test]
    fn either_agrees_with_the_definitions(sheet in sheet(), open in prop::collection::vec(prop::collection::btree_set(0_usize..4, 1..5), 1..5)) {
        let book = book(&sheet);
        let traits = sheet.shows[0].len();
        let given: Vec<(usize, Vec<usize>)> = open.iter().take(traits).enumerate()
            .map(|(t, states)| (t, states.iter().copied().filter(|s| *s < sheet.states).collect::<Vec<_>>()))
            .filter(|(_, states)| !states.is_empty())
            .collect();
        let mut answers = Answers::new();
        for (t, states) in &given {
            answers.set(*t, Answer::States(states.clone()));
        }
        let ours = book.belief(&Circumstances::default(), &answers);
        let none = book.prior(&Circumstances::default()).none();
        let theirs = Naive { sheet: &sheet }.belief(&given, none);
        for (taxon, p) in ours.taxa.iter().enumerate() {
            prop_assert!((p - theirs[taxon]).abs() < 1e-9, "taxon {taxon}: {p} and {}", theirs[taxon]);
        }
        prop_assert!((ours.none() - theirs[sheet.shows.len()]).abs() < 1e-9);
    }

    #[test]
    fn order_does_not_matter_unsure_changes_nothing_and_back_restores(sheet in sheet(), picks in prop::collection::vec(any::<prop::sample::Index>(), 1..6)) {
        let book = book(&sheet);
        let at = Circumstances::default();
        let given: Vec<(usize, usize)> =
            picks.iter().enumerate().take(sheet.shows[0].len()).map(|(t, s)| (t, s.index(sheet.states))).collect();
        let forward = answers(&given);
        let backward = answers(&given.iter().rev().copied().collect::<Vec<_>>());
        let before = book.belief(&at, &forward);
        prop_assert_eq!(&before, &book.belief(&at, &backward));
        let (last, _) = given[given.len() - 1];
        let mut changed = forward.clone();
        changed.set(last, Answer::Unsure);
        let without = answers(&given[..given.len() - 1]);
        prop_assert_eq!(&book.belief(&at, &changed), &book.belief(&at, &without));
        changed.set(last, forward.get(last).expect("given").clone());
        prop_assert_eq!(&before, &book.belief(&at, &changed));
    }
}
