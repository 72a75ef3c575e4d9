//! Identification as one plain value: candidates, what is settled, the next question, warnings.
use crate::choose::{self, Request};
use crate::key::answers::{Answer, AnswerError};
use crate::key::book::What;
use crate::key::question::Question;
use crate::key::{Answers, Belief, Book, Circumstances};
use crate::knowledge::Knowledge;
use crate::knowledge::form::plant::Trait;
use crate::words::{and_list, or_list};
use serde::Serialize;
use std::collections::HashMap;

/// Candidates below this chance are not listed.
const LISTED: f64 = 0.001;
/// The name is settled when one candidate has at least this chance.
const SETTLED: f64 = 0.9;
/// A candidate with at least this chance still counts when the treatment is to be settled, and is worth a warning.
const LIKELY: f64 = 0.05;
/// Taxa that together hold this share of the belief must agree for the treatment to be settled.
const NEARLY_ALL: f64 = 0.95;

/// The answer of the key. The shape is that of `--format json`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Identification {
    /// Name and version of this shape.
    pub schema: &'static str,
    /// Candidates, most likely first.
    pub candidates: Vec<Candidate>,
    /// Chance that it is none of them.
    pub none_of_these: f64,
    /// What need not be asked any more.
    pub settled: Settled,
    /// The question that helps most.
    pub next: Option<NextQuestion>,
    /// What to beware of and what does not fit.
    pub warnings: Vec<String>,
}

/// One candidate.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Candidate {
    /// Id.
    pub weed: String,
    /// Common name.
    pub name: String,
    /// Scientific name.
    pub scientific_name: String,
    /// Chance.
    pub probability: f64,
}

/// What is settled, and why.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Settled {
    /// The name.
    pub name: bool,
    /// What to do, whatever the name.
    pub treatment: bool,
    /// One sentence.
    pub why: String,
}

/// A question as it is put.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct NextQuestion {
    /// Id of the trait.
    #[serde(rename = "trait")]
    pub trait_id: String,
    /// The question.
    pub question: String,
    /// How to look.
    pub help: String,
    /// The answers.
    pub answers: Vec<PossibleAnswer>,
    /// Expected information, bits.
    pub gain_bits: f64,
    /// Unit of a measure; none where the answer is one of a list.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub unit: Option<String>,
}

/// An answer that can be given.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct PossibleAnswer {
    /// What to type.
    pub value: String,
    /// What to read.
    pub label: String,
    /// What it looks like.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub help: Option<String>,
}

/// A run of the key: the compiled book, what was answered, and the grass whose treatment counts.
pub struct Key<'a> {
    knowledge: &'a Knowledge,
    /// The compiled book.
    pub book: Book,
    what: What,
    /// When and where.
    pub at: Circumstances,
    /// What was answered.
    pub answers: Answers,
    /// For the treatment: the request without weeds.
    lawn: Option<Request>,
    /// First option of each taxon, as far as it was looked up.
    outcomes: HashMap<usize, Vec<String>>,
}

impl<'a> Key<'a> {
    /// A fresh run. `lawn` is the request (its weeds do not matter) whose treatment counts first.
    #[must_use]
    pub fn new(
        knowledge: &'a Knowledge,
        what: What,
        at: Circumstances,
        lawn: Option<Request>,
    ) -> Self {
        Self {
            knowledge,
            book: Book::new(knowledge, what),
            what,
            at,
            answers: Answers::new(),
            lawn,
            outcomes: HashMap::new(),
        }
    }

    /// Gives an answer in words. Several words to one trait mean "either".
    ///
    /// # Errors
    /// The words are no answer; see [`AnswerError`].
    pub fn answer(&mut self, trait_name: &str, words: &[&str]) -> Result<(), AnswerError> {
        let of = self.book.trait_named(trait_name)?;
        let mut states = Vec::new();
        for word in words {
            match self.book.answer(of, word)? {
                Answer::States(more) => states.extend(more),
                number => {
                    self.answers.set(of, number);
                }
            }
        }
        if !states.is_empty() {
            states.sort_unstable();
            states.dedup();
            self.answers.set(of, Answer::States(states));
        }
        Ok(())
    }

    /// Says that a trait cannot be answered.
    ///
    /// # Errors
    /// No such trait.
    pub fn unsure(&mut self, trait_name: &str) -> Result<(), AnswerError> {
        let of = self.book.trait_named(trait_name)?;
        self.answers.set(of, Answer::Unsure);
        Ok(())
    }

    /// The belief at this point.
    #[must_use]
    pub fn belief(&self) -> Belief {
        self.book.belief(&self.at, &self.answers)
    }

    /// Everything that can be said at this point.
    #[must_use]
    pub fn state(&mut self) -> Identification {
        let belief = self.belief();
        let settled = self.settled(&belief);
        let next = self.next(&belief).map(|question| self.put(&question));
        Identification {
            schema: "ligule/identify/1",
            candidates: self.candidates(&belief),
            none_of_these: belief.none(),
            settled,
            next,
            warnings: self.warnings(&belief),
        }
    }

    fn candidates(&self, belief: &Belief) -> Vec<Candidate> {
        belief
            .ranking()
            .into_iter()
            .take_while(|(_, p)| *p >= LISTED)
            .map(|(taxon, probability)| {
                let id = &self.book.taxa()[taxon].id;
                let (name, scientific_name) = self.names(id);
                Candidate {
                    weed: id.clone(),
                    name,
                    scientific_name,
                    probability,
                }
            })
            .collect()
    }

    /// Common and scientific name of a taxon.
    #[must_use]
    pub fn names(&self, id: &str) -> (String, String) {
        let (names, scientific) = match self.what {
            What::Weeds => self
                .knowledge
                .weeds
                .get(id)
                .map(|w| (&w.names, &w.scientific_name)),
            What::Turf => self
                .knowledge
                .turf
                .get(id)
                .map(|t| (&t.names, &t.scientific_name)),
        }
        .unzip();
        (
            names
                .and_then(|n| n.first())
                .map_or(id, String::as_str)
                .to_owned(),
            scientific.map_or("", String::as_str).to_owned(),
        )
    }

    /// The question that helps most, if any still helps.
    #[must_use]
    pub fn next(&mut self, belief: &Belief) -> Option<Question> {
        let outcomes = self.outcomes(belief);
        self.book
            .questions(belief, &self.answers, outcomes.as_deref())
            .into_iter()
            .next()
    }

    /// A number for what each taxon leads to: equal numbers for the same first option. Taxa too unlikely to matter
    /// share a number with nothing.
    fn outcomes(&mut self, belief: &Belief) -> Option<Vec<usize>> {
        self.lawn.as_ref()?;
        let mut numbers: HashMap<Vec<String>, usize> = HashMap::new();
        let mut all = Vec::with_capacity(belief.taxa.len());
        for (taxon, p) in belief.taxa.iter().enumerate() {
            let outcome = if *p >= LISTED {
                self.outcome(taxon)
            } else {
                vec!["unlikely".to_owned()]
            };
            let next = numbers.len();
            all.push(*numbers.entry(outcome).or_insert(next));
        }
        Some(all)
    }

    /// What a taxon leads to on this lawn: the actives of the first option, or words for leaving it or having none.
    fn outcome(&mut self, taxon: usize) -> Vec<String> {
        if let Some(found) = self.outcomes.get(&taxon) {
            return found.clone();
        }
        let Some(lawn) = &self.lawn else {
            return Vec::new();
        };
        let request = Request {
            weeds: vec![self.book.taxa()[taxon].id.clone()],
            ..lawn.clone()
        };
        let choice = choose::choose(self.knowledge, &request);
        let outcome = if choice.leave_it.advised {
            vec!["leave it".to_owned()]
        } else {
            choice
                .options
                .first()
                .map_or_else(|| vec!["no option".to_owned()], |o| o.actives.clone())
        };
        self.outcomes.insert(taxon, outcome.clone());
        outcome
    }

    fn settled(&mut self, belief: &Belief) -> Settled {
        let ranking = belief.ranking();
        let Some(&(first, most)) = ranking.first() else {
            return Settled {
                name: false,
                treatment: false,
                why: "the book holds no plants".to_owned(),
            };
        };
        let (name, _) = self.names(&self.book.taxa()[first].id.clone());
        let named = most >= SETTLED && most > belief.none();
        let mut treatment = false;
        let mut why = if named {
            format!("{name} fits what you saw, and nothing else comes near")
        } else if belief.none() > most {
            "what you saw fits no plant of this book well".to_owned()
        } else {
            "several plants still fit what you saw".to_owned()
        };
        if self.lawn.is_some() {
            let mut held = 0.0;
            let mut likely = Vec::new();
            for &(taxon, p) in &ranking {
                if held >= NEARLY_ALL - belief.none() && p < LIKELY {
                    break;
                }
                held += p;
                likely.push(taxon);
            }
            let outcomes: Vec<Vec<String>> = likely.iter().map(|&t| self.outcome(t)).collect();
            // An unknown plant has no treatment, so nothing is settled while it is as likely as that.
            treatment = belief.none() < 0.5 && outcomes.windows(2).all(|w| w[0] == w[1]);
            if treatment && !named {
                why = format!(
                    "whichever of these it is, the first choice on this grass is the same ({}); going on would only tell the name",
                    and_list(&outcomes[0])
                );
            }
        }
        Settled {
            name: named,
            treatment,
            why,
        }
    }

    /// A question in words.
    #[must_use]
    pub fn put(&self, question: &Question) -> NextQuestion {
        let one = &self.knowledge.traits[question.of];
        NextQuestion {
            trait_id: one.id.clone(),
            question: one.question.clone(),
            help: one.help.clone(),
            answers: answers_of(one),
            gain_bits: question.gain_bits,
            unit: (!one.cuts.is_empty()).then(|| one.unit.clone().unwrap_or_default()),
        }
    }

    /// The form of the trait with this number.
    #[must_use]
    pub fn trait_form(&self, of: usize) -> &'a Trait {
        &self.knowledge.traits[of]
    }

    fn warnings(&self, belief: &Belief) -> Vec<String> {
        let mut lines = Vec::new();
        let ranking = belief.ranking();
        let most = ranking.first().map_or(0.0, |r| r.1);
        if belief.none() > most {
            let ask = self.knowledge.book.as_ref().map_or("", |b| b.ask.as_str());
            let whom = if ask.is_empty() {
                String::new()
            } else {
                format!(" Ask {ask}.")
            };
            lines.push(format!(
                "This may be a plant that the book does not know.{whom}"
            ));
        }
        if self.what == What::Weeds {
            for &(taxon, p) in ranking.iter().filter(|(_, p)| *p >= LIKELY) {
                let Some(weed) = self.knowledge.weeds.get(&self.book.taxa()[taxon].id) else {
                    continue;
                };
                for hazard in &weed.hazards {
                    let memory = self.knowledge.evidence(&hazard.source)
                        == crate::knowledge::form::source::Evidence::Memory;
                    let mark = if memory { " (from memory)" } else { "" };
                    let name = weed.names.first().map_or("", String::as_str);
                    lines.push(format!(
                        "If it is {name} (chance {}): {}{mark}.",
                        percent(p),
                        hazard.text.trim_end_matches('.')
                    ));
                }
            }
        }
        if let Some(&(first, p)) = ranking.first()
            && p >= LIKELY
        {
            lines.extend(self.misfits(first));
        }
        lines
    }

    /// Answers that the leading candidate does not explain.
    fn misfits(&self, taxon: usize) -> Vec<String> {
        let (name, _) = self.names(&self.book.taxa()[taxon].id);
        let mut lines = Vec::new();
        for (of, answer) in self.answers.sorted() {
            let Answer::States(given) = answer else {
                continue;
            };
            let one = &self.book.traits()[of];
            let chance = |c: usize| self.book.chance(taxon, of, c);
            let best = (0..one.classes()).map(chance).fold(0.0, f64::max);
            if given.iter().all(|&c| chance(c) < 0.25 * best) {
                let said: Vec<&str> = given.iter().map(|&c| one.states[c].as_str()).collect();
                let shows: Vec<&str> = (0..one.classes())
                    .filter(|&c| chance(c) >= 0.5 * best)
                    .map(|c| one.states[c].as_str())
                    .collect();
                let expected = if shows.len() * 2 <= one.classes() {
                    format!(" shows {}", or_list(&shows))
                } else {
                    " does not show it".to_owned()
                };
                lines.push(format!(
                    "{}: you saw {}, but {name}{expected}. Look at it again.",
                    one.id,
                    or_list(&said)
                ));
            }
        }
        lines
    }
}

/// The answers to a trait as they are put; the classes of a number trait stand for their middle.
#[must_use]
pub fn answers_of(one: &Trait) -> Vec<PossibleAnswer> {
    if one.cuts.is_empty() {
        return one
            .states
            .iter()
            .map(|s| PossibleAnswer {
                value: s.id.clone(),
                label: s.label.clone().unwrap_or_else(|| s.id.clone()),
                help: s.help.clone(),
            })
            .collect();
    }
    let unit = one.unit.as_deref().unwrap_or("");
    let cuts: Vec<f64> = one.cuts.iter().map(|c| c.0).collect();
    (0..=cuts.len())
        .map(|class| {
            let label = match (class.checked_sub(1).map(|c| cuts[c]), cuts.get(class)) {
                (None, Some(high)) => format!("up to {high} {unit}"),
                (Some(low), Some(high)) => format!("{low} to {high} {unit}"),
                (Some(low), None) => format!("over {low} {unit}"),
                (None, None) => String::new(),
            };
            let (low, high) = crate::key::observe::class_bounds(class, &cuts);
            // The middle on the log scale, to two digits, is a number that falls into the class.
            let middle = (low * high).sqrt();
            PossibleAnswer {
                value: short(middle),
                label: label.trim().to_owned(),
                help: None,
            }
        })
        .collect()
}

fn short(x: f64) -> String {
    let digits = usize::from(x < 10.0);
    format!("{x:.digits$}")
}

/// A chance as a person reads it.
#[must_use]
pub fn percent(p: f64) -> String {
    if p >= 0.995 {
        "over 99 %".to_owned()
    } else if p < 0.01 {
        "under 1 %".to_owned()
    } else {
        format!("{:.0} %", p * 100.0)
    }
}
