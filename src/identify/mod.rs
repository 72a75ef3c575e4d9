//! Identification as one plain value: candidates, what is settled, the next question, warnings.
mod beware;
mod doubts;
mod misfit;
mod settle;
mod shape;
mod words;

use crate::choose::{Chooser, LeadsTo, Request};
use crate::key::answers::{Answer, AnswerError};
use crate::key::book::What;
use crate::key::question::{Question, Reason};
use crate::key::{Answers, Belief, Book, Circumstances};
use crate::knowledge::Knowledge;
use crate::knowledge::form::plant::Trait;
use std::collections::HashMap;
use std::sync::Arc;

pub use shape::{
    Candidate, Identification, LookAgain, NextQuestion, Pair, PossibleAnswer, Settled,
};
pub use words::{answers_of, percent};

/// Candidates below this chance are not listed.
const LISTED: f64 = 0.001;
/// A candidate with at least this chance is worth a warning.
const LIKELY: f64 = 0.05;
/// "None of these" is told as a finding from this chance on: before anything was seen it already leads every single plant.
const UNKNOWN_PLANT: f64 = 0.2;

/// A run of the key: the compiled book, what was answered, and the grass whose treatment counts.
pub struct Key<'a> {
    knowledge: &'a Knowledge,
    /// The compiled book.
    pub book: Arc<Book>,
    what: What,
    /// When and where.
    pub at: Circumstances,
    /// What was answered.
    pub answers: Answers,
    /// For the treatment: the request without weeds.
    lawn: Option<Request>,
    /// The choice for that lawn, weighed once.
    chooser: Option<Arc<Chooser<'a>>>,
    /// First option of each taxon, as far as it was looked up.
    outcomes: HashMap<usize, LeadsTo>,
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
        let book = Arc::new(Book::new(knowledge, what));
        let lawn = lawn.map(|request| (request, Arc::new(Chooser::new(knowledge))));
        Self::over(knowledge, what, book, at, lawn)
    }

    /// A fresh run over a book that is compiled and a choice that is weighed already, for faces that ask many times.
    #[must_use]
    pub fn over(
        knowledge: &'a Knowledge,
        what: What,
        book: Arc<Book>,
        at: Circumstances,
        lawn: Option<(Request, Arc<Chooser<'a>>)>,
    ) -> Self {
        let (lawn, chooser) = lawn.unzip();
        Self {
            knowledge,
            book,
            what,
            at,
            answers: Answers::new(),
            lawn,
            chooser,
            outcomes: HashMap::new(),
        }
    }

    /// What was looked up of the first option of each taxon on this lawn. Another run on the same lawn may begin with it.
    #[must_use]
    pub fn outcomes_so_far(&self) -> &HashMap<usize, LeadsTo> {
        &self.outcomes
    }

    /// Begins with what a run on the same lawn looked up.
    pub fn begin_with(&mut self, outcomes: HashMap<usize, LeadsTo>) {
        self.outcomes = outcomes;
    }

    /// Gives an answer in words. Several words to one trait mean "either".
    ///
    /// # Errors
    /// The words are no answer; see [`AnswerError`].
    pub fn answer(&mut self, trait_name: &str, words: &[&str]) -> Result<(), AnswerError> {
        let of = self.book.trait_named(trait_name)?;
        if let Some(answer) = self.book.either(of, words)? {
            self.answers.set(of, answer);
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
        let mut settled = self.settled(&belief);
        let next = self
            .next(&belief)
            .map(|question| self.put(&question, &belief));
        if let Some(more) = self.going_on(&belief).filter(|_| next.is_some()) {
            settled.why = format!("{}; {more}", settled.why);
        }
        let look_again = self.look_again(&belief);
        Identification {
            schema: "ligule/identify/1",
            candidates: self.candidates(&belief),
            none_of_these: belief.none(),
            settled,
            next,
            warnings: self.warnings(&belief),
            look_again,
            pair: self.pair(&belief),
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

    /// The question that helps most, if any still helps. Once all is settled, only a question with an answer that would
    /// unsettle it.
    #[must_use]
    pub fn next(&mut self, belief: &Belief) -> Option<Question> {
        let outcomes = self.outcomes(belief);
        let confirming = || self.book.confirming(belief, &self.answers);
        if let Some(question) = settle::all_but_strange(belief).then(confirming).flatten() {
            return Some(question);
        }
        let mut questions = self
            .book
            .questions(belief, &self.answers, outcomes.as_deref())
            .into_iter();
        if settle::named(belief).is_none() {
            return questions.next();
        }
        let question = questions.find(|question| self.could_unsettle(question.of, belief))?;
        Some(Question {
            reason: Reason::Unsettle,
            ..question
        })
    }

    /// Why a question comes before the others, in words.
    fn why(&self, question: &Question, belief: &Belief) -> String {
        let one = self.knowledge.taxon_word();
        let bit = "One bit halves what is possible.";
        match question.reason {
            Reason::Kind => {
                "The other questions depend on this one, so it comes first.".to_owned()
            }
            Reason::Outcome => format!(
                "Of all questions left this one tells most for its effort about what to do: about {:.1} bits. ({bit})",
                question.outcome_gain_bits
            ),
            Reason::Taxon => format!(
                "Of all questions left this one tells most for its effort about which {one} it is: about {:.1} of the {:.1} bits that are open. ({bit})",
                question.gain_bits,
                belief.entropy_of_the_known_bits()
            ),
            Reason::InTheBook => format!(
                "One {one} is left; this shows best whether it is that one or none of the book's."
            ),
            Reason::Unsettle => {
                "Everything is settled unless an answer was a mistake; this one could still show that.".to_owned()
            }
        }
    }

    /// A question in words.
    fn put(&self, question: &Question, belief: &Belief) -> NextQuestion {
        NextQuestion {
            gain_bits: question.gain_bits,
            why: self.why(question, belief),
            ..self.put_about(question.of)
        }
    }

    /// The question about the trait with this number, in words, whether or not it is the next.
    #[must_use]
    pub fn put_about(&self, of: usize) -> NextQuestion {
        let one = &self.knowledge.traits[of];
        NextQuestion {
            trait_id: one.id.clone(),
            question: one.question.clone(),
            help: one.help.clone(),
            answers: answers_of(one),
            gain_bits: 0.0,
            why: String::new(),
            unit: (!one.cuts.is_empty()).then(|| one.unit.clone().unwrap_or_default()),
        }
    }

    /// The form of the trait with this number.
    #[must_use]
    pub fn trait_form(&self, of: usize) -> &'a Trait {
        &self.knowledge.traits[of]
    }
}
