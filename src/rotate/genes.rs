//! One gene with two forms in a population without end: the recurrences of the textbooks.
//!
//! `p` is the share of the first form, 0 to 1. Fitnesses are those of the genotypes 11, 12 and 22; only their ratios count.
//! Sources: Holsinger, Lecture notes in population genetics; Coop, Population and quantitative genetics.

/// Zygotes 11, 12 and 22 of random mating.
#[must_use]
pub fn hardy_weinberg(p: f64) -> [f64; 3] {
    let q = 1.0 - p;
    [p * p, 2.0 * p * q, q * q]
}

/// Share of the first form among genotypes.
#[must_use]
pub fn share(genotypes: [f64; 3]) -> f64 {
    let [x11, x12, x22] = genotypes;
    (x11 + x12 / 2.0) / (x11 + x12 + x22)
}

/// Mean fitness of genotypes.
#[must_use]
pub fn mean_fitness(genotypes: [f64; 3], fitness: [f64; 3]) -> f64 {
    let total: f64 = genotypes.iter().sum();
    genotypes
        .iter()
        .zip(fitness)
        .map(|(x, w)| x * w)
        .sum::<f64>()
        / total
}

/// Genotypes after selection, as shares of one. All zero if nothing lives.
#[must_use]
pub fn select(genotypes: [f64; 3], fitness: [f64; 3]) -> [f64; 3] {
    let left = [
        genotypes[0] * fitness[0],
        genotypes[1] * fitness[1],
        genotypes[2] * fitness[2],
    ];
    let total: f64 = left.iter().sum();
    if total > 0.0 {
        left.map(|x| x / total)
    } else {
        [0.0; 3]
    }
}

/// Share after one generation of selection under random mating.
///
/// ```
/// use ligule::rotate::genes::diploid;
/// // A dominant form that ten times as many plants live with grows about tenfold while it is rare.
/// assert!((diploid(1e-6, [1.0, 1.0, 0.1]) / 1e-6 - 10.0).abs() < 1e-3);
/// ```
#[must_use]
pub fn diploid(p: f64, fitness: [f64; 3]) -> f64 {
    share(select(hardy_weinberg(p), fitness))
}

/// Share after one generation of selection on a haploid.
#[must_use]
pub fn haploid(p: f64, first: f64, second: f64) -> f64 {
    p * first / (p * first + (1.0 - p) * second)
}

/// Share after several generations of selection on a haploid, by its odds.
#[must_use]
pub fn haploid_after(p: f64, first: f64, second: f64, generations: i32) -> f64 {
    let odds = p / (1.0 - p) * (first / second).powi(generations);
    odds / (1.0 + odds)
}

/// Fitnesses of 11, 12 and 22 with selection `s` against the second form and dominance `h` of its harm.
#[must_use]
pub fn directional(s: f64, h: f64) -> [f64; 3] {
    [1.0, 1.0 - h * s, 1.0 - s]
}

/// Zygotes of parents of which a share is selfed and the rest mate at random.
#[must_use]
pub fn selfing(parents: [f64; 3], selfed: f64) -> [f64; 3] {
    let total: f64 = parents.iter().sum();
    if total <= 0.0 {
        return [0.0; 3];
    }
    let [x11, x12, x22] = parents.map(|x| x / total);
    let out = hardy_weinberg(share([x11, x12, x22]));
    let within = [x11 + x12 / 4.0, x12 / 2.0, x22 + x12 / 4.0];
    [0, 1, 2].map(|i| out[i] * (1.0 - selfed) + within[i] * selfed)
}

/// Share of 12 and fixation index that selfing settles at.
#[must_use]
pub fn selfing_equilibrium(p: f64, selfed: f64) -> (f64, f64) {
    let q = 1.0 - p;
    (
        2.0 * p * q * (1.0 - selfed) / (1.0 - selfed / 2.0),
        selfed / (2.0 * (1.0 - selfed / 2.0)),
    )
}

/// Share of a harmful form that mutation keeps up: `mu / hs`, or `sqrt(mu / s)` where it is recessive.
#[must_use]
pub fn mutation_balance(mu: f64, h: f64, s: f64) -> f64 {
    if h > 0.0 {
        mu / (h * s)
    } else {
        (mu / s).sqrt()
    }
}

/// Generations from one share to another under weak selection without dominance.
#[must_use]
pub fn weak_time(s: f64, from: f64, to: f64) -> f64 {
    2.0 / s * (to * (1.0 - from) / ((1.0 - to) * from)).ln()
}

/// Generations until a new form without dominance is fixed in `n` diploids.
#[must_use]
pub fn fixation_time(s: f64, n: f64) -> f64 {
    4.0 / s * (2.0 * n).ln()
}

/// Mean over years that multiplies: what counts when fitness varies from year to year.
#[must_use]
pub fn geometric_mean(fitness: &[f64]) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "a handful of years")]
    let n = fitness.len() as f64;
    (fitness.iter().map(|w| w.ln()).sum::<f64>() / n).exp()
}
