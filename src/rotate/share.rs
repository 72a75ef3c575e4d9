//! The classic reckoning of the share of resistant plants after repeated use of one herbicide.
//!
//! `N_n = N_0 (1 + f a / b)^n`: `N_0` the share at the start, `f` the fitness of resistant plants, `a` the survival of
//! resistant over that of susceptible plants, `b` the mean life of a seed in the soil in years, `n` the number of uses. The
//! knowledge marks this equation as recalled, not read; it holds while the share is small, knows no mating and no
//! dominance, and any other combination with the same `f a / b` gives the same answer.

/// Strength of selection.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Selection {
    /// Fitness of resistant plants without the herbicide.
    pub fitness: f64,
    /// Survival of resistant over survival of susceptible plants under the herbicide.
    pub pressure: f64,
    /// Mean life of a seed in the soil, years.
    pub seed_years: f64,
}

impl Selection {
    fn growth(self) -> f64 {
        1.0 + self.fitness * self.pressure / self.seed_years
    }
}

/// Share after a number of uses, never above one.
#[must_use]
pub fn after_uses(start: f64, selection: Selection, uses: u32) -> f64 {
    (start * selection.growth().powf(f64::from(uses))).min(1.0)
}

/// Share after years with and without use; years without only bring the cost in fitness.
#[must_use]
pub fn after_rotation(start: f64, selection: Selection, on: u32, off: u32) -> f64 {
    (start * selection.growth().powf(f64::from(on)) * selection.fitness.powf(f64::from(off)))
        .min(1.0)
}

/// Uses until a share is reached.
#[must_use]
pub fn uses_until(start: f64, selection: Selection, threshold: f64) -> f64 {
    (threshold / start).ln() / selection.growth().ln()
}
