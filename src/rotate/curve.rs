//! "The same again" against the plan, as two curves with what they assume.
use super::lawn::{Model, State, Year, expected, run};
use crate::knowledge::Knowledge;
use crate::knowledge::form::source::Evidence;
use serde::Serialize;

/// A starting value with what it rests on.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Given {
    /// Id in the knowledge.
    pub id: String,
    /// The value that was taken.
    pub value: f64,
    /// Unit.
    pub unit: String,
    /// In words.
    pub text: String,
    /// Kind of evidence; none where the user gave the value.
    pub evidence: Option<Evidence>,
    /// Ids of sources.
    pub sources: Vec<String>,
}

/// How resistance is passed on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Inheritance {
    /// Whether one resistant allele is enough (1), or both are needed (0); between them the survival lies between.
    pub dominance: f64,
    /// Share of plants that are selfed.
    pub selfed: f64,
}

/// Why there is no model.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ModelError {
    /// A value is missing.
    #[error(
        "this knowledge has no `{0}` among the model_values of resistance.yaml; give the value by hand"
    )]
    Missing(&'static str),
    /// A value cannot be.
    #[error("the value {value} of `{id}` cannot be: {why}")]
    Wrong {
        /// Id of the value.
        id: String,
        /// The value as text.
        value: String,
        /// Why.
        why: &'static str,
    },
}

/// Values that the model takes from the knowledge, in the order in which they are shown.
const IDS: [&str; 10] = [
    "resistant-share-at-start",
    "seeds-per-m2",
    "survival-susceptible",
    "survival-resistant",
    "fitness-cost",
    "mutation-rate",
    "seeds-per-plant",
    "seed-bank-years",
    "plants-per-m2",
    "threshold",
];

/// The values of the knowledge, with those that the user gave in their place.
///
/// # Errors
/// A value is missing or cannot be.
pub fn given(book: &Knowledge, own: &[(String, f64)]) -> Result<Vec<Given>, ModelError> {
    let known = book
        .resistance
        .as_ref()
        .map_or(&[][..], |r| &r.model_values);
    IDS.iter()
        .map(|&id| {
            let stated = known.iter().find(|v| v.id == id);
            let typed = own.iter().find(|(name, _)| name == id).map(|(_, v)| *v);
            let value = typed
                .or(stated.map(|v| v.value.0))
                .ok_or(ModelError::Missing(id))?;
            let most = match id {
                "seeds-per-m2" | "plants-per-m2" | "seeds-per-plant" => 1e6,
                "seed-bank-years" => 100.0,
                _ => 1.0,
            };
            let least = if id == "seed-bank-years" { 1.0 } else { 0.0 };
            if !(least..=most).contains(&value) {
                let why = if most > 1.0 {
                    "it must be a sensible number"
                } else {
                    "it is a share from 0 to 1"
                };
                return Err(ModelError::Wrong {
                    id: id.to_owned(),
                    value: value.to_string(),
                    why,
                });
            }
            Ok(Given {
                id: id.to_owned(),
                value,
                unit: stated.map_or(String::new(), |v| v.unit.clone()),
                text: stated.map_or(String::new(), |v| v.text.clone()),
                evidence: stated
                    .filter(|_| typed.is_none())
                    .map(|v| book.evidence(&v.source)),
                sources: stated
                    .filter(|_| typed.is_none())
                    .map_or(Vec::new(), |v| v.source.to_vec()),
            })
        })
        .collect()
}

/// Puts the values together. `area_m2` is the size of the lawn.
#[must_use]
pub fn model(given: &[Given], area_m2: f64, how: Inheritance) -> Model {
    let get = |id: &str| given.iter().find(|g| g.id == id).map_or(0.0, |g| g.value);
    let (low, high) = (get("survival-susceptible"), get("survival-resistant"));
    let one = low + (high - low) * how.dominance;
    let cost = get("fitness-cost");
    // A seed that lives `b` years on average leaves the soil at a rate of 1/b a year; half of that comes up, half dies.
    let leaving = 1.0 / get("seed-bank-years").max(1.0);
    let coming_up = leaving / 2.0;
    let lasting = (1.0 - leaving) / (1.0 - coming_up);
    Model {
        area_m2,
        seeds_per_m2: get("seeds-per-m2"),
        start_share: get("resistant-share-at-start"),
        survival: [high, one, low],
        seed_set: [1.0 - cost, 1.0 - cost * how.dominance, 1.0],
        selfed: how.selfed,
        mutation: get("mutation-rate"),
        seeds_per_plant: get("seeds-per-plant"),
        plants_per_m2: get("plants-per-m2"),
        coming_up,
        lasting,
    }
}

/// Treatments of each year as the gene of one group meets them. `uses` are the groups of each occasion of each year.
#[must_use]
pub fn exposure(uses: &[Vec<Vec<u16>>], group: u16) -> Vec<Year> {
    let count = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
    uses.iter()
        .map(|year| Year {
            with: count(year.iter().filter(|g| g.contains(&group)).count()),
            others: count(year.iter().flatten().filter(|g| **g != group).count()),
        })
        .collect()
}

/// One way of treating, over many runs.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Curve {
    /// Name to show.
    pub name: String,
    /// The group whose resistance is furthest at the end.
    pub group: u16,
    /// In a population without end, share of resistant seedlings by year.
    pub expected: Vec<f64>,
    /// Middle of the runs by year.
    pub median: Vec<f64>,
    /// A tenth of the runs lies below, by year.
    pub low: Vec<f64>,
    /// A tenth of the runs lies above, by year.
    pub high: Vec<f64>,
    /// First year in which the expected share passes the threshold.
    pub expected_year: Option<usize>,
    /// Share of runs that pass the threshold at all.
    pub failing: f64,
}

/// Both ways with what they assume.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Comparison {
    /// The same again, then the plan.
    pub curves: Vec<Curve>,
    /// Share at which a treatment is seen to fail.
    pub threshold: f64,
    /// Number of runs of each.
    pub runs: u32,
    /// Seed number of the first run.
    pub seed: u64,
    /// The values.
    pub given: Vec<Given>,
    /// What is assumed, in sentences.
    pub assumptions: Vec<String>,
}

/// Runs one way of treating. Of several groups the one that ends worst is shown, so that no plan looks better than it is.
#[must_use]
pub fn curve(
    name: &str,
    model: &Model,
    uses: &[Vec<Vec<u16>>],
    threshold: f64,
    runs: u32,
    seed: u64,
) -> Curve {
    let mut groups: Vec<u16> = uses.iter().flatten().flatten().copied().collect();
    groups.sort_unstable();
    groups.dedup();
    if groups.is_empty() {
        groups.push(0);
    }
    let last = |c: &Curve| (c.failing, c.expected.last().copied().unwrap_or(0.0));
    groups
        .into_iter()
        .map(|group| {
            of_group(
                name,
                model,
                &exposure(uses, group),
                group,
                threshold,
                runs,
                seed,
            )
        })
        .max_by(|a, b| {
            last(a)
                .partial_cmp(&last(b))
                .unwrap_or(std::cmp::Ordering::Equal)
        })
        .unwrap_or_else(|| of_group(name, model, &[], 0, threshold, runs, seed))
}

fn of_group(
    name: &str,
    model: &Model,
    years: &[Year],
    group: u16,
    threshold: f64,
    runs: u32,
    seed: u64,
) -> Curve {
    let infinite: Vec<f64> = expected(model, years).iter().map(|s| s.resistant).collect();
    let all: Vec<Vec<State>> = (0..runs)
        .map(|r| run(model, years, seed.wrapping_add(u64::from(r))))
        .collect();
    let at = |share: f64| -> Vec<f64> {
        (0..years.len())
            .map(|y| {
                let mut of: Vec<f64> = all.iter().map(|r| r[y].resistant).collect();
                of.sort_by(f64::total_cmp);
                #[expect(
                    clippy::cast_precision_loss,
                    clippy::cast_possible_truncation,
                    clippy::cast_sign_loss,
                    reason = "an index into a short list"
                )]
                let index = (share * of.len().saturating_sub(1) as f64).round() as usize;
                of.get(index).copied().unwrap_or(0.0)
            })
            .collect()
    };
    let failed = all
        .iter()
        .filter(|r| r.iter().any(|s| s.resistant >= threshold))
        .count();
    Curve {
        name: name.to_owned(),
        group,
        median: at(0.5),
        low: at(0.1),
        high: at(0.9),
        expected_year: infinite.iter().position(|s| *s >= threshold).map(|y| y + 1),
        #[expect(clippy::cast_precision_loss, reason = "a small number of runs")]
        failing: if runs == 0 {
            0.0
        } else {
            failed as f64 / f64::from(runs)
        },
        expected: infinite,
    }
}

/// What the curves assume, in sentences for the reader.
#[must_use]
pub fn assumptions(model: &Model, how: Inheritance) -> Vec<String> {
    let gene = match how.dominance {
        d if d >= 1.0 => "one resistant form of the gene is enough",
        d if d <= 0.0 => "both forms of the gene must be resistant",
        _ => "one resistant form of the gene helps in part",
    };
    vec![
        "This is an illustration, not a forecast: the starting share decides most of it, and nobody can measure it on a lawn.".to_owned(),
        format!("One gene for each group; {gene}; {:.0} percent of the plants are selfed, the rest mate at random.", how.selfed * 100.0),
        "Genes for different groups are not linked, and no plant resists two groups: cross-resistance and resistance by many small genes are left out.".to_owned(),
        format!("A lawn of {:.0} square metres with {:.0} seeds in the soil at the start; no seed, sod or soil comes in from outside.", model.area_m2, model.area_m2 * model.seeds_per_m2),
        format!("{:.0} percent of the seed comes up in a year, and {:.0} percent of the rest lives on in the soil.", model.coming_up * 100.0, model.lasting * 100.0),
        "Every treatment kills by the same share; several in a year multiply; a partner in the tank kills all that lack resistance to it.".to_owned(),
        "The share shown is that of resistant seedlings before the treatments of the year; where the weed has died out it counts as none.".to_owned(),
    ]
}
