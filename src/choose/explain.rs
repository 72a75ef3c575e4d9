//! Every option and every exclusion followed down to the rows of the book and their sources.
use super::index::Chooser;
use super::reason::Stop;
use super::request::Request;
use super::rests;
use super::say::{self, control_word, tolerance_word};
use super::{Decision, Treatable, option};
use crate::knowledge::form::active::Timing;
use crate::knowledge::form::common::{Many, Sources};
use crate::knowledge::form::source::Evidence;
use serde::Serialize;

/// Whether it is offered.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Outcome {
    /// Part of the options.
    Offered,
    /// Left out.
    Excluded,
}

/// How something came to be offered or left out.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Trail {
    /// Ids of the actives.
    pub actives: Vec<String>,
    /// Offered or not.
    pub outcome: Outcome,
    /// The steps, each a sentence with its rows.
    pub steps: Vec<Step>,
}

/// One step of a trail.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Step {
    /// What it is about (`grass`, `weed`, `temperature`, a reason code).
    pub about: String,
    /// The sentence.
    pub says: String,
    /// The rows of the book behind it; empty where it rests on the absence of any.
    pub rows: Vec<Row>,
}

/// A row of the book.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Row {
    /// The file and the key in it.
    pub at: String,
    /// What it says.
    pub says: String,
    /// Kind of evidence.
    pub evidence: Evidence,
    /// Ids of its sources with their titles.
    pub sources: Vec<(String, String)>,
}

impl Chooser<'_> {
    /// The trails of all options and all exclusions of a decision; with `only`, of those that have this active.
    #[must_use]
    pub fn explain(
        &self,
        request: &Request,
        decision: &Decision,
        only: Option<&str>,
    ) -> Vec<Trail> {
        let wanted = only.and_then(|id| self.active_number(id));
        let told = |set: &[usize]| only.is_none() || wanted.is_some_and(|a| set.contains(&a));
        let ids = |set: &[usize]| set.iter().map(|&a| self.id(a).to_owned()).collect();
        let mut trails: Vec<Trail> = decision
            .options
            .iter()
            .filter(|o| told(&o.actives))
            .map(|o| Trail {
                actives: ids(&o.actives),
                outcome: Outcome::Offered,
                steps: self.of_option(request, &option::treatable(self, request, o)),
            })
            .collect();
        for &(active, stop) in decision.stopped.iter().filter(|(a, _)| told(&[*a])) {
            let step = self.of_stop(request, active, stop);
            match trails.last_mut() {
                Some(last)
                    if last.outcome == Outcome::Excluded && last.actives == [self.id(active)] =>
                {
                    last.steps.push(step);
                }
                _ => trails.push(Trail {
                    actives: vec![self.id(active).to_owned()],
                    outcome: Outcome::Excluded,
                    steps: vec![step],
                }),
            }
        }
        for (set, why) in decision.apart.iter().filter(|(set, _)| told(set)) {
            let (at, sources): (String, &Sources) = match why {
                super::cover::Apart::Interaction(i) => (
                    format!("interactions.yaml, entry {}", i + 1),
                    &self.book.interactions[*i].source,
                ),
                super::cover::Apart::Mixture(m, t) => {
                    let mixture = &self.book.mixtures[*m];
                    let row = mixture.turf.iter().find(|r| r.turf == request.turf[*t]);
                    let Some(row) = row else { continue };
                    (format!("mixtures.yaml, {}: turf", mixture.id), &row.source)
                }
            };
            let says = say::apart(self, request, set, *why);
            trails.push(Trail {
                actives: ids(set),
                outcome: Outcome::Excluded,
                steps: vec![Step {
                    about: "tank".to_owned(),
                    rows: vec![self.row(at, says.clone(), sources)],
                    says,
                }],
            });
        }
        for &(active, deals) in decision.not_needed.iter().filter(|(a, _)| told(&[*a])) {
            trails.push(Trail {
                actives: ids(&[active]),
                outcome: Outcome::Excluded,
                steps: vec![Step {
                    about: "number of actives".to_owned(),
                    says: say::not_needed(self, request, active, deals),
                    rows: Vec::new(),
                }],
            });
        }
        trails
    }

    fn row(&self, at: String, says: String, sources: &Sources) -> Row {
        let title = |id: &String| {
            self.book
                .sources
                .get(id)
                .map_or_else(String::new, |s| s.title.clone())
        };
        Row {
            at,
            says,
            evidence: self.book.evidence(sources),
            sources: sources.iter().map(|id| (id.clone(), title(id))).collect(),
        }
    }

    fn of_option(&self, request: &Request, option: &Treatable) -> Vec<Step> {
        let mut steps = Vec::new();
        for turf in &request.turf {
            let rows = option
                .actives
                .iter()
                .flat_map(|id| self.turf_rows(id, turf, &request.stage))
                .collect();
            steps.push(Step {
                about: "grass".to_owned(),
                says: format!(
                    "{} {}: every statement on it, of which the most cautious counts",
                    say::turf_name(self, turf),
                    say::stage_words(self, &request.stage)
                ),
                rows,
            });
        }
        for control in option.controls.iter().filter(|c| !c.by.is_empty()) {
            let rows = option
                .actives
                .iter()
                .flat_map(|id| self.control_rows(id, &control.weed, option.timing == Timing::Pre))
                .collect();
            steps.push(Step {
                about: "weed".to_owned(),
                says: format!(
                    "{}: the best evidence counts, among equals the most cautious",
                    say::weed_name(self, &control.weed)
                ),
                rows,
            });
        }
        steps.extend(
            option
                .windows
                .iter()
                .map(|w| self.told("time", &w.text, &w.sources)),
        );
        steps.extend(
            option
                .again
                .iter()
                .map(|a| self.told("again", &a.text, &a.sources)),
        );
        for id in &option.actives {
            let Some(active) = self.book.actives.get(id) else {
                continue;
            };
            if let (Some(air), Some((low, high))) = (&active.air_temperature, request.air()) {
                let at = format!("actives/{id}.yaml: air_temperature");
                let says = format!("a day of {low} to {high} °F lies within the limits");
                steps.push(Step {
                    about: "temperature".to_owned(),
                    rows: vec![self.row(at, says.clone(), &air.source)],
                    says,
                });
            }
        }
        steps
    }

    fn told(&self, about: &str, says: &str, sources: &[String]) -> Step {
        let all = Many(sources.to_vec());
        Step {
            about: about.to_owned(),
            says: says.to_owned(),
            rows: vec![self.row(String::new(), says.to_owned(), &all)],
        }
    }

    fn turf_rows(&self, id: &str, turf: &str, stage: &str) -> Vec<Row> {
        let Some(active) = self.book.actives.get(id) else {
            return Vec::new();
        };
        let rows = active
            .turf
            .iter()
            .filter(|r| r.turf == turf && r.stage == stage);
        rows.map(|r| {
            let second = r.confidence.map_or("", |_| " (second recollection)");
            let says = format!(
                "{}{}{second}",
                tolerance_word(r.rating),
                condition(r.condition.as_ref())
            );
            self.row(format!("actives/{id}.yaml: turf, {turf}"), says, &r.source)
        })
        .collect()
    }

    fn control_rows(&self, id: &str, weed: &str, pre: bool) -> Vec<Row> {
        let Some(active) = self.book.actives.get(id) else {
            return Vec::new();
        };
        let rows = active
            .controls
            .iter()
            .filter(|r| r.weed == weed && (r.timing == Timing::Pre) == pre);
        rows.map(|r| {
            let second = r.confidence.map_or("", |_| " (second recollection)");
            let says = format!(
                "{}{}{second}",
                control_word(r.rating),
                condition(r.condition.as_ref())
            );
            self.row(
                format!("actives/{id}.yaml: controls, {weed}"),
                says,
                &r.source,
            )
        })
        .collect()
    }

    fn of_stop(&self, request: &Request, active: usize, stop: Stop) -> Step {
        let id = self.id(active);
        let says = say::sentence(self, request, active, stop);
        let (rows, at) = match stop {
            Stop::TurfNotProven(t)
            | Stop::TurfInjured(t)
            | Stop::TurfNotRegistered(t)
            | Stop::TurfMonth(t)
            | Stop::TurfHot(t)
            | Stop::TurfCold(t) => {
                let rows = self.turf_rows(id, &request.turf[t], &request.stage);
                (rows, String::new())
            }
            Stop::Weak(w, timing) => {
                let rows = self.control_rows(id, &request.weeds[w], timing == Timing::Pre);
                (rows, String::new())
            }
            Stop::Site(c) => (
                Vec::new(),
                format!("cautions.yaml, {}", self.book.cautions[c].id),
            ),
            Stop::Place(p, _) => {
                let place = request.places(self.book).get(p).copied().unwrap_or("");
                (Vec::new(), format!("places/{place}.yaml: active_limits"))
            }
            Stop::Up(w) | Stop::Later(w) => {
                (Vec::new(), format!("weeds/{}.yaml: seen", request.weeds[w]))
            }
            _ => (Vec::new(), format!("actives/{id}.yaml")),
        };
        let rows = if rows.is_empty() {
            rests::rests_on(self, request, active, stop)
                .into_iter()
                .map(|sources| self.row(at.clone(), says.clone(), sources))
                .collect()
        } else {
            rows
        };
        Step {
            about: super::explain::code(stop.reason()),
            says,
            rows,
        }
    }
}

/// The code of a reason as it is written in JSON.
fn code(reason: super::Reason) -> String {
    serde_json::to_value(reason)
        .ok()
        .and_then(|v| v.as_str().map(str::to_owned))
        .unwrap_or_default()
}

fn condition(condition: Option<&String>) -> String {
    condition.map_or(String::new(), |c| format!(": {c}"))
}
