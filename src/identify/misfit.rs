//! Answers that do not fit what the book says of a plant.
use super::Key;
use super::words::labels;
use crate::key::answers::Answer;
use crate::key::book::{KeyTrait, What};
use crate::knowledge::form::plant::Shows;
use crate::words::or_list;

/// An answer does not fit where it is less than this part as likely as the plant's likeliest answer,
const UNFIT: f64 = 0.25;
/// or where the measure is beyond the range in the book by more than this factor: the classes of measures are wide.
const FAR_OUT: f64 = 2.0;

impl Key<'_> {
    /// Answers that a candidate does not explain. What the book does not say of a plant is no contradiction.
    pub(super) fn misfits(&self, taxon: usize) -> Vec<String> {
        let (name, _) = self.names(&self.book.taxa()[taxon].id);
        self.answers
            .sorted()
            .filter_map(|(of, answer)| {
                let expected = self.expected_instead(taxon, of, answer)?;
                let form = self.trait_form(of);
                let saw = match answer {
                    Answer::Number(x) => measured(&x.to_string(), &self.book.traits()[of]),
                    _ => or_list(&labels(form, &self.book.classes_of(of, answer)?)),
                };
                Some(format!(
                    "This does not fit: {} You saw {saw}; {}.",
                    form.question,
                    match expected {
                        Expected::Nothing => format!("{name} has nothing of the kind"),
                        Expected::Mostly(what) => format!("for {name} the answer is mostly {what}"),
                        Expected::Other => format!("{name} hardly ever has that"),
                    }
                ))
            })
            .collect()
    }

    /// What the book says of the plant instead, where an answer does not fit.
    fn expected_instead(&self, taxon: usize, of: usize, answer: &Answer) -> Option<Expected> {
        let one = &self.book.traits()[of];
        let given = self.book.classes_of(of, answer)?;
        if one.cannot_have(taxon) {
            return Some(Expected::Nothing);
        }
        let row = one.recorded_row(taxon)?;
        let best = row.iter().copied().fold(0.0, f64::max);
        let unfit = given.iter().all(|&c| row[c] < UNFIT * best);
        let range = self.shows(taxon, of).and_then(|shows| shows.range);
        if let (Answer::Number(x), Some([from, to])) = (answer, range) {
            let far = x * FAR_OUT < from.0 || *x > FAR_OUT * to.0;
            let text = measured(&format!("{} to {}", from.0, to.0), one);
            return (unfit || far).then_some(Expected::Mostly(text));
        }
        if !unfit {
            return None;
        }
        let shown = (0..one.classes()).filter(|&c| row[c] >= 0.5 * best);
        let shown: Vec<usize> = shown.collect();
        if shown.len() * 2 > one.classes() {
            return Some(Expected::Other);
        }
        let words = labels(self.trait_form(of), &shown);
        Some(Expected::Mostly(or_list(&words)))
    }

    /// What the book says of a plant and a trait.
    fn shows(&self, taxon: usize, of: usize) -> Option<&Shows> {
        let id = &self.book.taxa()[taxon].id;
        let traits = match self.what {
            What::Weeds => &self.knowledge.weeds.get(id)?.traits,
            What::Turf => &self.knowledge.turf.get(id)?.traits,
        };
        traits.get(&self.book.traits()[of].id)
    }
}

/// What a plant shows where something else was seen.
enum Expected {
    /// It cannot have the trait.
    Nothing,
    /// These words.
    Mostly(String),
    /// More than is worth listing.
    Other,
}

fn measured(number: &str, one: &KeyTrait) -> String {
    format!("{number} {}", one.unit).trim_end().to_owned()
}
