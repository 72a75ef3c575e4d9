//! Resistance in the weeds of one lawn: whole plants, seed in the soil, and chance.
//!
//! One gene decides. Every year a share of the seed comes up, treatments kill, the survivors find room or not, set seed,
//! and the seed lies in the soil. All numbers are whole plants and seeds, drawn with a generator that a seed number sets, so
//! that a run can be repeated. Written for comparing two ways of treating; it forecasts nothing.
use super::genes::selfing;
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::SeedableRng;
use rand_distr::{Binomial, Distribution};
use serde::Serialize;

/// What the model is given. Genotypes are RR, RS, SS throughout, for plants with two sets of chromosomes.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Model {
    /// Size of the lawn, square metres.
    pub area_m2: f64,
    /// Seeds in the soil of a square metre at the start.
    pub seeds_per_m2: f64,
    /// Share of resistant alleles at the start.
    pub start_share: f64,
    /// Share of RR, RS and SS plants that live through one treatment.
    pub survival: [f64; 3],
    /// Share of seed that RR, RS and SS plants give, compared with the best.
    pub seed_set: [f64; 3],
    /// Share of plants that are selfed.
    pub selfed: f64,
    /// Chance that a susceptible allele turns resistant in a generation.
    pub mutation: f64,
    /// Seeds of one grown plant.
    pub seeds_per_plant: f64,
    /// Most grown plants on a square metre.
    pub plants_per_m2: f64,
    /// Share of the seed in the soil that comes up in a year.
    pub coming_up: f64,
    /// Share of the seed left in the soil that lives to the next year.
    pub lasting: f64,
}

/// One year of treatments, as this gene meets them.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize)]
pub struct Year {
    /// Treatments with the herbicide that the gene resists.
    pub with: u32,
    /// Treatments with others that kill all genotypes alike.
    pub others: u32,
}

/// The state after a year.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct State {
    /// Share of resistant plants (those that live better than SS) among seedlings.
    pub resistant: f64,
    /// Share of resistant alleles in the seed of the soil.
    pub allele: f64,
    /// Grown plants after treatment and crowding.
    pub plants: u64,
    /// Seeds in the soil.
    pub seeds: u64,
}

/// Survival of all genotypes under a treatment that the gene does not resist: that of susceptible plants.
fn survival(model: &Model, year: Year) -> [f64; 3] {
    let others = model.survival[2].powf(f64::from(year.others));
    model
        .survival
        .map(|s| s.powf(f64::from(year.with)) * others)
}

/// Runs whole plants. The seed number makes the run repeatable.
#[must_use]
pub fn run(model: &Model, years: &[Year], seed: u64) -> Vec<State> {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let start = whole(model.area_m2 * model.seeds_per_m2);
    let room = whole(model.area_m2 * model.plants_per_m2);
    let mut bank = split(&mut rng, start, selfed_start(model));
    let mut out = Vec::with_capacity(years.len());
    for year in years {
        let up = draw_each(&mut rng, bank, [model.coming_up; 3]);
        let left = [0, 1, 2].map(|i| bank[i] - up[i]);
        let alive = draw_each(&mut rng, up, survival(model, *year));
        let grown = crowd(&mut rng, alive, room);
        bank = draw_each(&mut rng, left, [model.lasting; 3]);
        let new = seeds(model, grown, &mut rng);
        bank = [0, 1, 2].map(|i| bank[i].saturating_add(new[i]));
        out.push(State {
            resistant: resistant(model, up.map(real)),
            allele: allele(bank.map(real)),
            plants: grown.iter().sum(),
            seeds: bank.iter().sum(),
        });
    }
    out
}

/// The same without chance: shares only, as in a population without end. Crowding and numbers play no part in it beyond
/// the balance between old and new seed, which is taken from a full lawn.
#[must_use]
pub fn expected(model: &Model, years: &[Year]) -> Vec<State> {
    let room = model.area_m2 * model.plants_per_m2;
    let mut bank = selfed_start(model).map(|x| x * model.area_m2 * model.seeds_per_m2);
    let mut out = Vec::with_capacity(years.len());
    for year in years {
        let up = bank.map(|x| x * model.coming_up);
        let live = survival(model, *year);
        let alive = [0, 1, 2].map(|i| up[i] * live[i]);
        let total: f64 = alive.iter().sum();
        let grown = if total > room {
            alive.map(|x| x * room / total)
        } else {
            alive
        };
        let set = [0, 1, 2].map(|i| grown[i] * model.seed_set[i]);
        let number = set.iter().sum::<f64>() * model.seeds_per_plant;
        let young = mutate(selfing(set, model.selfed), model.mutation);
        bank = [0, 1, 2].map(|i| (bank[i] - up[i]) * model.lasting + young[i] * number);
        out.push(State {
            resistant: resistant(model, up),
            allele: allele(bank),
            plants: whole(grown.iter().sum()),
            seeds: whole(bank.iter().sum()),
        });
    }
    out
}

/// Genotypes at the start: the balance that the selfed share settles at.
fn selfed_start(model: &Model) -> [f64; 3] {
    let p = model.start_share;
    let (x12, _) = super::genes::selfing_equilibrium(p, model.selfed);
    [p - x12 / 2.0, x12, 1.0 - p - x12 / 2.0].map(|x| x.max(0.0))
}

fn resistant(model: &Model, seedlings: [f64; 3]) -> f64 {
    let total: f64 = seedlings.iter().sum();
    let resistant: f64 = (0..2)
        .filter(|&i| model.survival[i] > model.survival[2])
        .map(|i| seedlings[i])
        .sum();
    if total > 0.0 { resistant / total } else { 0.0 }
}

fn allele(bank: [f64; 3]) -> f64 {
    if bank.iter().sum::<f64>() > 0.0 {
        super::genes::share(bank)
    } else {
        0.0
    }
}

/// Each susceptible allele turns resistant with a small chance.
fn mutate(young: [f64; 3], mu: f64) -> [f64; 3] {
    let [rr, rs, ss] = young;
    let kept = 1.0 - mu;
    [
        rr + rs * mu + ss * mu * mu,
        rs * kept + 2.0 * ss * mu * kept,
        ss * kept * kept,
    ]
}

fn seeds(model: &Model, grown: [u64; 3], rng: &mut ChaCha8Rng) -> [u64; 3] {
    let set = [0, 1, 2].map(|i| real(grown[i]) * model.seed_set[i]);
    let number = whole(set.iter().sum::<f64>() * model.seeds_per_plant);
    split(
        rng,
        number,
        mutate(selfing(set, model.selfed), model.mutation),
    )
}

/// Takes away plants at random until the rest has room.
fn crowd(rng: &mut ChaCha8Rng, alive: [u64; 3], room: u64) -> [u64; 3] {
    let total: u64 = alive.iter().sum();
    if total <= room {
        alive
    } else {
        split(rng, room, alive.map(real))
    }
}

/// Draws from each kind with its chance.
fn draw_each(rng: &mut ChaCha8Rng, of: [u64; 3], chance: [f64; 3]) -> [u64; 3] {
    [0, 1, 2].map(|i| draw(rng, of[i], chance[i]))
}

fn draw(rng: &mut ChaCha8Rng, of: u64, chance: f64) -> u64 {
    // A chance between 0 and 1 always makes a distribution; the fallback keeps a bad figure from drawing anything.
    Binomial::new(of, chance.clamp(0.0, 1.0)).map_or(0, |b| b.sample(rng))
}

/// Deals a number out among three kinds by their weights.
fn split(rng: &mut ChaCha8Rng, number: u64, weights: [f64; 3]) -> [u64; 3] {
    let total: f64 = weights.iter().sum();
    if total <= 0.0 {
        return [0; 3];
    }
    let first = draw(rng, number, weights[0] / total);
    let rest = weights[1] + weights[2];
    let second = if rest > 0.0 {
        draw(rng, number - first, weights[1] / rest)
    } else {
        0
    };
    [first, second, number - first - second]
}

#[expect(
    clippy::cast_precision_loss,
    reason = "numbers of seeds stay far below 2^53"
)]
fn real(n: u64) -> f64 {
    n as f64
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "clamped to what plants on a lawn can be"
)]
fn whole(x: f64) -> u64 {
    x.round().clamp(0.0, 1e15) as u64
}
