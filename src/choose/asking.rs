//! Which unknown fact would change the answer: only those are worth asking for.
use super::decide::Decision;
use super::index::Chooser;
use super::request::{Applicator, Request, Soil, WeedStage};
use serde::Serialize;

/// A fact that can be asked for.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Fact {
    /// The month.
    Month,
    /// The air temperature of the day.
    AirTemperature,
    /// How far the weeds have come.
    WeedStage,
    /// How often new grass has been mown, and how old it is.
    AgeOfGrass,
    /// Whether seed is to be sown soon.
    SeedingPlan,
    /// Moisture of the soil.
    Soil,
    /// A situation of the site.
    Situation(String),
    /// The place.
    Place,
    /// Who applies.
    Applicator,
}

/// An unknown fact that decides.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Unknown {
    /// The fact.
    pub fact: Fact,
    /// The question.
    pub question: String,
    /// Whether it can change what stands first; otherwise only what stands behind it.
    pub changes_first: bool,
}

/// A change of a request.
type Change<'c> = &'c dyn Fn(&mut Request);
/// A request that is changed.
type With<'w> = &'w dyn Fn(Change<'_>) -> Request;
type Outcome = Vec<(Vec<usize>, bool)>;

fn outcome(decision: &Decision) -> Outcome {
    decision
        .options
        .iter()
        .map(|o| (o.actives.clone(), o.pre))
        .collect()
}

impl Chooser<'_> {
    /// The unknown facts that would change which options there are or their order, those that change the first one first.
    ///
    /// Every unknown fact is tried with every value that some gate tells apart.
    #[must_use]
    pub fn deciding(&self, request: &Request) -> Vec<Unknown> {
        let now = outcome(&self.decide(request));
        let mut found = Vec::new();
        for (fact, question, tries) in self.unknown(request) {
            let (mut any, mut first) = (false, false);
            for tried in tries {
                let then = outcome(&self.decide(&tried));
                any |= then != now;
                first |= then.first() != now.first();
            }
            if any {
                found.push(Unknown {
                    fact,
                    question,
                    changes_first: first,
                });
            }
        }
        found.sort_by_key(|u| !u.changes_first);
        found
    }

    fn unknown(&self, request: &Request) -> Vec<(Fact, String, Vec<Request>)> {
        let with = |change: Change<'_>| {
            let mut tried = request.clone();
            change(&mut tried);
            tried
        };
        let mut all = Vec::new();
        if request.month.is_none() {
            let tries = (1..=12).map(|m| with(&|r| r.month = Some(m))).collect();
            all.push((Fact::Month, "Which month is it?".to_owned(), tries));
        }
        if request.air().is_none() {
            let tries = self
                .temperatures()
                .into_iter()
                .map(|t| with(&|r| r.air_temp_f = Some(t)))
                .collect();
            all.push((
                Fact::AirTemperature,
                "How warm does the air get on the day, lowest and highest?".to_owned(),
                tries,
            ));
        }
        if request
            .weeds
            .iter()
            .any(|w| !request.weed_stages.contains_key(w))
        {
            let tries = [WeedStage::NotUp, WeedStage::Young, WeedStage::Grown]
                .into_iter()
                .map(|stage| {
                    with(&|r| {
                        for weed in &request.weeds {
                            r.weed_stages.entry(weed.clone()).or_insert(stage);
                        }
                    })
                })
                .collect();
            all.push((
                Fact::WeedStage,
                "Is the weed not up yet, young, or grown?".to_owned(),
                tries,
            ));
        }
        self.of_grass(request, &with, &mut all);
        self.of_site(request, &with, &mut all);
        all
    }

    fn of_grass(
        &self,
        request: &Request,
        with: With<'_>,
        all: &mut Vec<(Fact, String, Vec<Request>)>,
    ) {
        let young = self
            .book
            .stages
            .iter()
            .any(|s| s.id == request.stage && s.young);
        let weeks = request.weeks_since_seeding.or(request.weeks_since_sodding);
        if young && (weeks.is_none() || request.mowings.is_none()) {
            // Old enough for everything; too young is what not knowing means already.
            let old = with(&|r| {
                r.mowings = r.mowings.or(Some(52));
                r.weeks_since_seeding = weeks.or(Some(52.0));
            });
            all.push((
                Fact::AgeOfGrass,
                "How many weeks ago was it sown or laid, and how often has it been mown?"
                    .to_owned(),
                vec![old],
            ));
        }
        if request.seeding_in_weeks.is_none() {
            let tries = [0.0, 4.0, 8.0]
                .into_iter()
                .map(|w| with(&|r| r.seeding_in_weeks = Some(w)))
                .collect();
            all.push((
                Fact::SeedingPlan,
                "Is seed to be sown in the coming months, and in how many weeks?".to_owned(),
                tries,
            ));
        }
        if request.soil.is_none() {
            let tries = [Soil::Dry, Soil::Waterlogged]
                .into_iter()
                .map(|s| with(&|r| r.soil = Some(s)))
                .collect();
            all.push((
                Fact::Soil,
                "Is the soil dry, moist, waterlogged or frozen?".to_owned(),
                tries,
            ));
        }
    }

    fn of_site(
        &self,
        request: &Request,
        with: With<'_>,
        all: &mut Vec<(Fact, String, Vec<Request>)>,
    ) {
        // The state of the soil is asked for by itself.
        let soil = [Soil::Dry, Soil::Waterlogged].map(Soil::situation);
        let open = |id: &String| {
            !request.near_told && !request.near.contains(id) && !soil.contains(&Some(id.as_str()))
        };
        for situation in self.book.situations.iter().filter(|s| open(&s.id)) {
            let Some(question) = &situation.question else {
                continue;
            };
            let there = with(&|r| r.near.push(situation.id.clone()));
            all.push((
                Fact::Situation(situation.id.clone()),
                question.clone(),
                vec![there],
            ));
        }
        if request.place.is_none() {
            let tries = self
                .book
                .places
                .keys()
                .map(|p| with(&|r| r.place = Some(p.clone())))
                .collect();
            all.push((Fact::Place, "Where is the lawn?".to_owned(), tries));
        }
        if request.applicator.is_none() {
            let tries = [Applicator::Homeowner, Applicator::ForHire]
                .into_iter()
                .map(|a| with(&|r| r.applicator = Some(a)))
                .collect();
            all.push((
                Fact::Applicator,
                "Do you treat your own lawn, or for pay?".to_owned(),
                tries,
            ));
        }
    }

    /// A temperature on each side of every limit of the book.
    fn temperatures(&self) -> Vec<f64> {
        let mut all: Vec<f64> = self
            .actives
            .iter()
            .filter_map(|e| e.form.air_temperature.as_ref())
            .map(|a| (a.above_f, a.below_f))
            .chain(
                self.actives
                    .iter()
                    .flat_map(|e| &e.form.turf)
                    .map(|r| (r.above_f, r.below_f)),
            )
            .flat_map(|(above, below)| [above.map(|n| n.0 - 1.0), below.map(|n| n.0 + 1.0)])
            .flatten()
            .collect();
        all.sort_by(f64::total_cmp);
        all.dedup();
        all
    }
}
