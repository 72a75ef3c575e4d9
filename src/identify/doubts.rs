//! The answer to look at again, and what parts the likeliest pair.
use super::settle::comes_to;
use super::words::{labels, percent};
use super::{Key, LIKELY, LISTED, LookAgain, Pair, UNKNOWN_PLANT};
use crate::choose::LeadsTo;
use crate::key::Belief;
use crate::key::book::What;
use crate::key::doubt::{Doubt, LEAST_MOVE, moved};
use crate::words::{capital, or_list};
use std::collections::HashMap;

/// Two chances nearer than this are read as the same.
const EVEN: f64 = 0.01;

impl Key<'_> {
    /// The answer to check first.
    pub(super) fn look_again(&mut self, belief: &Belief) -> Option<LookAgain> {
        // As long as nothing stands out, there is nothing that a mistake could have changed.
        let most = belief.ranking().first().map_or(0.0, |r| r.1);
        if most.max(belief.none()) < UNKNOWN_PLANT {
            return None;
        }
        let doubt = self.worst_doubt(belief)?;
        let form = self.trait_form(doubt.of);
        let classes = self
            .book
            .classes_of(doubt.of, self.answers.get(doubt.of)?)?;
        let answered = labels(form, &classes);
        let then = self.then(&doubt, belief);
        Some(LookAgain {
            trait_id: form.id.clone(),
            text: format!(
                "If you can, look again at this: {} You saw {}. Without that answer {then}.",
                form.question,
                or_list(&answered)
            ),
            answered,
            mistake: doubt.mistake,
        })
    }

    /// The answer that, if it were wrong, would change most, weighed with the chance that it is wrong: what is to be done
    /// before the name.
    fn worst_doubt(&mut self, belief: &Belief) -> Option<Doubt> {
        let mut doubts = Vec::new();
        for doubt in self.book.doubts(&self.at, &self.answers) {
            let done = self.moved_outcomes(belief, &doubt.then);
            let named = moved(belief, &doubt.then);
            if named >= LEAST_MOVE {
                doubts.push((doubt, done, named));
            }
        }
        let about_outcomes = doubts.iter().any(|(_, done, _)| *done >= LEAST_MOVE);
        let weight = |(doubt, done, named): &(Doubt, f64, f64)| {
            doubt.mistake * if about_outcomes { *done } else { *named }
        };
        let worst = doubts
            .into_iter()
            .max_by(|a, b| weight(a).total_cmp(&weight(b)).then(b.0.of.cmp(&a.0.of)))?;
        Some(worst.0)
    }

    /// Total variation between two beliefs about what is to be done, 0 to 1; 0 without a lawn.
    fn moved_outcomes(&mut self, with: &Belief, without: &Belief) -> f64 {
        let mut change: HashMap<LeadsTo, f64> = HashMap::new();
        for (taxon, (a, b)) in with.taxa.iter().zip(&without.taxa).enumerate() {
            if a.max(*b) >= LISTED {
                let Some(outcome) = self.outcome(taxon) else {
                    return 0.0;
                };
                *change.entry(comes_to(outcome)).or_default() += a - b;
            }
        }
        let strangers = with.none() - without.none();
        0.5 * (change.values().map(|d| d.abs()).sum::<f64>() + strangers.abs())
    }

    /// What the belief would be without a doubtful answer, in words.
    fn then(&mut self, doubt: &Doubt, now: &Belief) -> String {
        let then = &doubt.then;
        let ranking = then.ranking();
        let Some(&(taxon, chance)) = ranking.first() else {
            return "nothing would lead".to_owned();
        };
        if then.none() > chance.max(UNKNOWN_PLANT) {
            let one = self.knowledge.taxon_word();
            let too = if now.none() > chance.max(UNKNOWN_PLANT) {
                "too "
            } else {
                ""
            };
            return format!(
                "{too}it would most likely be a {one} that the book does not know ({})",
                percent(then.none())
            );
        }
        if ranking
            .get(1)
            .is_some_and(|second| chance - second.1 < EVEN)
        {
            let one = self.knowledge.taxon_word();
            return format!("no {one} would stand out ({} at most)", percent(chance));
        }
        let name = self.names(&self.book.taxa()[taxon].id).0;
        let leads = now.ranking().first() == Some(&(taxon, now.taxa[taxon]))
            && (now.taxa[taxon] >= now.none() || now.none() < UNKNOWN_PLANT);
        let what_to_do = if self.settled(now).treatment && !self.settled(then).treatment {
            ", and what to do would be open"
        } else {
            ""
        };
        let (then, now) = (percent(chance), percent(now.taxa[taxon]));
        let instead = if then == now {
            "as now".to_owned()
        } else {
            format!("instead of {now}")
        };
        format!(
            "{name} would {}lead ({then} {instead}){what_to_do}",
            if leads { "still " } else { "" },
        )
    }

    /// What parts the two likeliest, as long as both are likely.
    pub(super) fn pair(&self, belief: &Belief) -> Option<Pair> {
        let ranking = belief.ranking();
        let (&(first, _), &(second, p)) = (ranking.first()?, ranking.get(1)?);
        if p < LIKELY {
            return None;
        }
        let ids = [first, second].map(|t| self.book.taxa()[t].id.clone());
        let names = [&ids[0], &ids[1]].map(|id| self.names(id).0);
        let parting = self.book.parting(first, second, &self.answers);
        let mut text = match &parting {
            Some(parting) => {
                let form = self.trait_form(parting.of);
                format!(
                    "{} {}: {}; {}: {}.",
                    form.question,
                    names[0],
                    or_list(&labels(form, &parting.first)),
                    names[1],
                    or_list(&labels(form, &parting.second))
                )
            }
            None => format!(
                "No trait of this book parts {} and {} well.",
                names[0], names[1]
            ),
        };
        if let Some(tell) = self.tell(&ids) {
            text = format!("{text} {tell}");
        }
        Some(Pair {
            trait_id: parting.map(|p| self.trait_form(p.of).id.clone()),
            weeds: ids,
            text,
        })
    }

    /// What the book says in words about telling two weeds apart.
    fn tell(&self, ids: &[String; 2]) -> Option<String> {
        let says = |a: &String, b: &String| {
            let alike = &self.knowledge.weeds.get(a)?.look_alikes;
            alike
                .iter()
                .find(|l| l.weed.as_ref() == Some(b))
                .map(|l| l.tell.trim_end_matches('.').to_owned())
        };
        if self.what == What::Turf {
            return None;
        }
        let tell = says(&ids[0], &ids[1]).or_else(|| says(&ids[1], &ids[0]))?;
        Some(format!("{}.", capital(&tell)))
    }
}
