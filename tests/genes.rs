//! One-gene models against published examples, closed forms, and each other.
use ligule::rotate::genes as g;
use ligule::rotate::lawn::{Model, Year, expected, run};
use ligule::rotate::share::{Selection, after_rotation, after_uses, uses_until};
use proptest::prelude::*;
use serde_yaml::Value;

fn examples(file: &str) -> Vec<Value> {
    let text =
        std::fs::read_to_string(format!("tests/data/{file}")).expect("the examples are there");
    serde_yaml::from_str(&text).expect("a list")
}

fn example(id: &str) -> (Value, Value) {
    let all = examples("worked-examples.yaml");
    let one = all
        .into_iter()
        .find(|e| e["id"] == id)
        .unwrap_or_else(|| panic!("{id} is there"));
    (one["given"].clone(), one["answer"].clone())
}

fn list(value: &Value) -> Vec<f64> {
    value
        .as_sequence()
        .expect("a list")
        .iter()
        .map(|v| v.as_f64().expect("a number"))
        .collect()
}

fn three(value: &Value) -> [f64; 3] {
    list(value).try_into().expect("three figures")
}

fn f(value: &Value, key: &str) -> f64 {
    value[key].as_f64().unwrap_or_else(|| panic!("{key}"))
}

fn near(got: f64, wanted: f64, within: f64) {
    assert!((got - wanted).abs() <= within, "{got} instead of {wanted}");
}

#[test]
fn published_examples_of_hardy_weinberg_come_out() {
    let mut done = 0;
    for example in examples("weather-examples.yaml") {
        let (given, answer, within) =
            (&example["given"], &example["answer"], f(&example, "within"));
        match example["what"].as_str().expect("what") {
            "share-of-recessive" => {
                let q = f(given, "recessive").sqrt();
                let [dominant, mixed, recessive] = g::hardy_weinberg(1.0 - q);
                near(recessive, f(given, "recessive"), 1e-9);
                for (got, wanted) in [q, 1.0 - q, dominant + mixed].into_iter().zip(list(answer)) {
                    near(got, wanted, within);
                }
            }
            "heterozygotes" => near(
                g::hardy_weinberg(f(given, "p"))[1],
                answer.as_f64().expect("a number"),
                within,
            ),
            _ => continue,
        }
        done += 1;
    }
    assert_eq!(done, 3);
}

/// Holsinger, Lecture notes in population genetics: eggs and adults of one brood.
#[test]
fn viability_selection_of_a_textbook_brood() {
    let (given, answer) = example("viability-observed");
    let (eggs, viability) = (three(&given["eggs_11_12_22"]), three(&given["viability"]));
    let adults = [0, 1, 2].map(|i| eggs[i] * viability[i]);
    for (got, wanted) in adults.iter().zip(list(&answer["adults"])) {
        near(got.round(), wanted, 0.01);
    }
    let after = g::select(eggs, viability);
    near(
        eggs[0] / eggs.iter().sum::<f64>(),
        f(&answer, "share_11_before"),
        0.005,
    );
    // The source goes on with whole adults.
    let whole = adults.map(f64::round);
    near(
        whole[0] / whole.iter().sum::<f64>(),
        f(&answer, "share_11_after"),
        0.005,
    );
    near(g::share(eggs), f(&answer, "p_before"), 0.005);
    near(g::share(after), f(&answer, "p_after"), 0.005);
    let (_, exact) = example("viability-exact");
    near(g::share(eggs), f(&exact, "p"), 5e-7);
    near(g::mean_fitness(eggs, viability), f(&exact, "wbar"), 5e-7);
    near(g::share(after), f(&exact, "p_next_from_observed"), 5e-7);
    near(
        g::diploid(g::share(eggs), viability),
        f(&exact, "p_next_from_hardy_weinberg"),
        5e-7,
    );
}

/// Holsinger: full selfing halves the heterozygotes; under 1 percent after 6 generations, under 0.05 percent after 10.
#[test]
fn selfing_halves_heterozygotes_and_settles() {
    let (given, answer) = example("selfing-decay");
    let mut x = [0.25, f(&given, "x12_start"), 0.25];
    let mut at = Vec::new();
    for generation in 1..=10 {
        x = g::selfing(x, 1.0);
        if [6, 10].contains(&generation) {
            at.push(x[1]);
        }
    }
    for (got, below) in at.iter().zip(list(&answer["x12_below"])) {
        assert!(*got < below);
    }
    near(at[0], 0.007_812_5, 1e-12);
    for id in ["selfing-equilibrium-1", "selfing-equilibrium-2"] {
        let (given, answer) = example(id);
        let (p, s) = (f(&given, "p"), f(&given, "selfed_share"));
        let (x12, fixation) = g::selfing_equilibrium(p, s);
        near(x12, f(&answer, "x12"), 5e-7);
        near(fixation, f(&answer, "f"), 5e-7);
        let mut x = g::hardy_weinberg(p);
        for _ in 0..2000 {
            x = g::selfing(x, s);
        }
        near(x[1], x12, 1e-9);
        near(g::share(x), p, 1e-9);
    }
}

/// Coop, Population and quantitative genetics; Carr, notes on natural selection.
#[test]
fn examples_of_coop_and_carr_come_out() {
    let (given, answer) = example("relative-contribution");
    near(
        f(&given, "share_11") * f(&given, "survival_11"),
        f(&answer, "contribution"),
        1e-9,
    );
    let kept = g::select([0.25, 0.5, 0.25], [f(&given, "survival_11"), 1.0, 1.0]);
    near(
        kept[0] * g::mean_fitness([0.25, 0.5, 0.25], [0.8, 1.0, 1.0]),
        0.2,
        1e-9,
    );
    let (given, answer) = example("varying-years");
    for (allele, wanted) in ["allele_1_dry_wet", "allele_2_dry_wet"]
        .iter()
        .zip(list(&answer["geometric"]))
    {
        near(g::geometric_mean(&list(&given[*allele])), wanted, 0.005);
    }
    let (given, answer) = example("relative-fitness");
    let ratio: Vec<f64> = list(&given["adults"])
        .iter()
        .zip(list(&given["juveniles_11_12_22"]))
        .map(|(a, j)| a / j)
        .collect();
    let largest = ratio.iter().copied().fold(0.0, f64::max);
    for (got, wanted) in ratio
        .iter()
        .map(|r| r / largest)
        .zip(list(&answer["relative_fitness"]))
    {
        // The source divides ratios that it has rounded to one digit first.
        near(got, wanted, 0.03);
    }
    let (given, answer) = example("dominance");
    let [low, high] = list(&given["survival_homozygotes"])[..] else {
        panic!("two")
    };
    let s = 1.0 - low / high;
    near(s, f(&answer, "s"), 1e-9);
    near(
        high * g::directional(s, f(&given, "h"))[1],
        f(&answer, "heterozygote_survival"),
        1e-9,
    );
    let (given, answer) = example("recessive");
    let q = f(&answer, "q");
    let w = [
        f(&given, "survival_dominant"),
        f(&given, "survival_dominant"),
        f(&given, "survival_recessive"),
    ];
    near(
        g::mean_fitness(g::hardy_weinberg(1.0 - q), w),
        f(&answer, "wbar"),
        1e-9,
    );
    near(1.0 - g::diploid(1.0 - q, w), f(&answer, "q_next"), 5e-7);
    let (given, answer) = example("haploid-slope");
    let odds = |p: f64| (p / (1.0 - p)).ln();
    let slope = (odds(f(&given, "p_end")) - odds(1.0 / 150_000.0)) / f(&given, "generations");
    near(slope, f(&answer, "slope_per_generation"), 5e-5);
    near(
        g::haploid_after(1.0 / 150_000.0, slope.exp(), 1.0, 28),
        0.65,
        1e-9,
    );
    let (given, answer) = example("fixation-time");
    near(
        g::fixation_time(f(&given, "s"), f(&given, "n")),
        f(&answer, "generations"),
        0.05,
    );
    let (_, answer) = example("mutation-balance");
    near(
        g::mutation_balance(1e-5, 1.0, f(&answer, "hs")),
        f(&answer, "q"),
        1e-12,
    );
}

#[test]
fn worked_steps_of_resistance_come_out() {
    for id in [
        "resistance-steps-dominant",
        "resistance-steps-additive",
        "resistance-steps-recessive",
    ] {
        let (given, answer) = example(id);
        let w = three(&given["fitness_rr_rs_ss"]);
        let mut p = f(&given, "p0");
        for wanted in list(&answer["p"]) {
            p = g::diploid(p, w);
            assert!(
                (p / wanted - 1.0).abs() < 1e-4,
                "{id}: {p} instead of {wanted}"
            );
        }
    }
}

/// Generations until a share of resistant zygotes is passed.
fn years(p0: f64, w: [f64; 3], selfed: f64, dominant: bool, alternate: bool) -> usize {
    let mut zygotes = g::hardy_weinberg(p0);
    for year in 1..200_000 {
        let fitness = if alternate && year % 2 == 0 {
            [1.0; 3]
        } else {
            w
        };
        zygotes = g::selfing(g::select(zygotes, fitness), selfed);
        let resistant = zygotes[0] + if dominant { zygotes[1] } else { 0.0 };
        if resistant >= 0.2 {
            return year;
        }
    }
    usize::MAX
}

#[test]
fn worked_years_until_a_fifth_is_resistant_come_out() {
    for number in 1..=5 {
        let (given, answer) = example(&format!("resistance-years-{number}"));
        let (p0, low, high) = (
            f(&given, "p0"),
            f(&given, "survival_susceptible"),
            f(&given, "survival_resistant"),
        );
        let (dominant, recessive) = ([high, high, low], [high, low, low]);
        for (key, got) in [
            ("dominant_random", years(p0, dominant, 0.0, true, false)),
            ("dominant_selfing", years(p0, dominant, 0.95, true, false)),
            (
                "recessive_selfing",
                years(p0, recessive, 0.95, false, false),
            ),
            ("recessive_random", years(p0, recessive, 0.0, false, false)),
        ] {
            match answer[key].as_u64() {
                Some(wanted) => assert_eq!(got as u64, wanted, "{number} {key}"),
                None => assert!(got > 100_000, "{number} {key}: {got}"),
            }
        }
        if let Some(wanted) = answer["dominant_alternate_years"].as_u64() {
            assert_eq!(
                years(p0, dominant, 0.0, true, true) as u64,
                wanted,
                "{number} alternate"
            );
        }
    }
}

#[test]
fn worked_shares_after_uses_come_out() {
    let mut done = 0;
    for one in examples("worked-examples.yaml") {
        let (g, a) = (&one["given"], &one["answer"]);
        if one["topic"] == "years until a share of resistant plants"
            && !g["n0"].is_null()
            && !g["alpha"].is_null()
        {
            let selection = Selection {
                fitness: f(g, "f"),
                pressure: f(g, "alpha"),
                seed_years: f(g, "nbar"),
            };
            let uses = uses_until(f(g, "n0"), selection, f(g, "threshold"));
            near(uses, f(a, "years"), 0.0051);
            let whole = (1..1000)
                .find(|n| f64::from(*n) >= uses)
                .expect("under a thousand uses");
            assert!(after_uses(f(g, "n0"), selection, whole) >= f(g, "threshold"));
            assert!(after_uses(f(g, "n0"), selection, whole - 1) < f(g, "threshold"));
            done += 1;
        }
    }
    assert_eq!(done, 13);
    let cost = Selection {
        fitness: 0.6,
        pressure: 20.0,
        seed_years: 3.0,
    };
    near(
        after_rotation(1e-6, cost, 2, 3),
        1e-6 * 5.0_f64.powi(2) * 0.6_f64.powi(3),
        1e-12,
    );
}

fn lawn(area_m2: f64, start_share: f64) -> Model {
    Model {
        area_m2,
        seeds_per_m2: 100.0,
        start_share,
        survival: [1.0, 1.0, 0.1],
        seed_set: [1.0; 3],
        selfed: 0.0,
        mutation: 0.0,
        seeds_per_plant: 100.0,
        plants_per_m2: 50.0,
        coming_up: 0.3,
        lasting: 0.6,
    }
}

#[test]
fn without_a_seed_bank_the_lawn_follows_the_textbook() {
    let model = Model {
        coming_up: 1.0,
        lasting: 0.0,
        ..lawn(1e6, 0.01)
    };
    let years = [Year { with: 1, others: 0 }; 6];
    let mut p = 0.01;
    for state in expected(&model, &years) {
        p = g::diploid(p, [1.0, 1.0, 0.1]);
        near(state.allele, p, 1e-9);
    }
}

#[test]
fn a_large_lawn_of_whole_plants_follows_the_one_without_end() {
    let model = lawn(1e6, 0.01);
    let years: Vec<Year> = (0..10)
        .map(|y| Year {
            with: u32::from(y % 2 == 0),
            others: u32::from(y % 2 == 1),
        })
        .collect();
    for (a, b) in run(&model, &years, 3).iter().zip(expected(&model, &years)) {
        near(a.allele, b.allele, 0.01);
        near(a.resistant, b.resistant, 0.01);
    }
}

#[test]
fn runs_repeat_by_their_number_and_differ_by_it() {
    let model = lawn(300.0, 0.001);
    let years = [Year { with: 1, others: 0 }; 8];
    assert_eq!(run(&model, &years, 5), run(&model, &years, 5));
    assert_ne!(run(&model, &years, 5), run(&model, &years, 6));
}

/// Diggle, Neve and Smith 2003: at one allele in a million a small area hardly ever holds a resistant plant at all.
#[test]
fn a_home_lawn_seldom_holds_a_resistant_plant_at_the_start() {
    let model = lawn(500.0, 1e-6);
    let years = [Year { with: 1, others: 0 }; 12];
    let holding = (0..400)
        .filter(|seed| {
            run(&model, &years, *seed)
                .iter()
                .any(|s| s.resistant > 0.0 || s.allele > 0.0)
        })
        .count();
    // Expected: 50,000 seeds with 2 alleles each, so about 1 - exp(-0.1) = 9.5 percent of lawns hold one at the start.
    assert!((10..=70).contains(&holding), "{holding} of 400");
    let (_, answer) = example("expected-plants-500-m2");
    near(
        f(&answer, "single_resistant"),
        50_000.0 * (1.0 - (1.0 - 1e-6_f64).powi(2)),
        0.01,
    );
}

/// Beckie and Reboud 2009 saw a seed bank of susceptible seed slow the rise; so must the model.
#[test]
fn a_seed_bank_and_a_cost_slow_the_rise() {
    let years = [Year { with: 1, others: 0 }; 4];
    let share = |model: &Model| expected(model, &years).last().map_or(0.0, |s| s.allele);
    let without = share(&Model {
        coming_up: 1.0,
        lasting: 0.0,
        ..lawn(1e5, 0.001)
    });
    let with = share(&Model {
        coming_up: 0.1,
        lasting: 0.9,
        ..lawn(1e5, 0.001)
    });
    let costly = share(&Model {
        seed_set: [0.6, 0.6, 1.0],
        ..lawn(1e5, 0.001)
    });
    assert!(with < without, "{with} {without}");
    assert!(costly < share(&lawn(1e5, 0.001)));
}

proptest! {
    #[test]
    fn random_mating_keeps_shares_and_only_ratios_count(p in 0.0..=1.0_f64, k in 0.01..100.0_f64, w in prop::array::uniform3(0.01..1.0_f64)) {
        prop_assert!((g::share(g::hardy_weinberg(p)) - p).abs() < 1e-12);
        prop_assert!((g::hardy_weinberg(p).iter().sum::<f64>() - 1.0).abs() < 1e-12);
        prop_assert!((g::diploid(p, w) - g::diploid(p, w.map(|x| x * k))).abs() < 1e-9);
        prop_assert!((0.0..=1.0 + 1e-12).contains(&g::diploid(p, w)));
    }

    #[test]
    fn the_change_is_the_one_of_the_textbook(p in 0.01..0.99_f64, s in 0.0..0.99_f64, h in 0.0..1.0_f64) {
        let w = g::directional(s, h);
        let q = 1.0 - p;
        let mean = g::mean_fitness(g::hardy_weinberg(p), w);
        // Holsinger: dp = pq (p h s + q s (1 - h)) / wbar.
        let wanted = p * q * (p * h * s + q * s * (1.0 - h)) / mean;
        prop_assert!((g::diploid(p, w) - p - wanted).abs() < 1e-12);
    }

    #[test]
    fn haploid_steps_multiply_the_odds(p in 0.001..0.999_f64, a in 0.1..2.0_f64, b in 0.1..2.0_f64, n in 1..12_i32) {
        let mut one = p;
        for _ in 0..n {
            one = g::haploid(one, a, b);
        }
        prop_assert!((one - g::haploid_after(p, a, b, n)).abs() < 1e-9);
    }

    #[test]
    fn selfing_never_moves_the_share(x in prop::array::uniform3(0.01..1.0_f64), s in 0.0..=1.0_f64) {
        prop_assert!((g::share(g::selfing(x, s)) - g::share(x)).abs() < 1e-12);
    }

    #[test]
    fn nothing_is_selected_without_treatment_or_cost(p in 0.001..0.5_f64, selfed in 0.0..1.0_f64) {
        let model = Model { selfed, ..lawn(1000.0, p) };
        for state in expected(&model, &[Year::default(); 5]) {
            prop_assert!((state.allele - p).abs() < 1e-9);
        }
    }

    #[test]
    fn more_treatments_never_give_less_resistance(p in 0.0001..0.1_f64, first in 0_u32..3, more in 1_u32..3) {
        let share = |with: u32| expected(&lawn(1000.0, p), &[Year { with, others: 0 }; 5]).last().map_or(0.0, |s| s.allele);
        prop_assert!(share(first + more) >= share(first) - 1e-12);
    }

    #[test]
    fn seeds_and_plants_stay_within_bounds(seed in 0_u64..1000, with in 0_u32..3) {
        let model = lawn(50.0, 0.01);
        for state in run(&model, &[Year { with, others: 1 }; 6], seed) {
            prop_assert!(state.plants <= 2500);
            prop_assert!(state.seeds <= 2500 * 100 + 5000 + 2500 * 100 * 6);
            prop_assert!((0.0..=1.0).contains(&state.resistant) && (0.0..=1.0).contains(&state.allele));
        }
    }
}
