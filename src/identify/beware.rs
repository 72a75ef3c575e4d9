//! What to beware of: hazards, answers that do not fit, the answer to look at again, and what parts the likeliest pair.
use super::words::{labels, percent};
use super::{Key, LIKELY, LookAgain, Pair, UNKNOWN_PLANT};
use crate::key::Belief;
use crate::key::answers::Answer;
use crate::key::book::What;
use crate::key::doubt::Doubt;
use crate::words::{capital, or_list};

impl Key<'_> {
    pub(super) fn warnings(&self, belief: &Belief) -> Vec<String> {
        let mut lines = Vec::new();
        let ranking = belief.ranking();
        let most = ranking.first().map_or(0.0, |r| r.1);
        if belief.none() > most.max(UNKNOWN_PLANT) {
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

    /// The answer to check first.
    pub(super) fn look_again(&self, belief: &Belief) -> Option<LookAgain> {
        let doubt = self.book.look_again(&self.at, &self.answers)?;
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

    /// What the belief would be without a doubtful answer, in words.
    fn then(&self, doubt: &Doubt, now: &Belief) -> String {
        let Some((taxon, chance)) = doubt.first_then else {
            return "nothing would lead".to_owned();
        };
        if doubt.none_then > chance.max(UNKNOWN_PLANT) {
            return format!("none of these would lead ({})", percent(doubt.none_then));
        }
        let name = self.names(&self.book.taxa()[taxon].id).0;
        let leads = now.ranking().first() == Some(&(taxon, now.taxa[taxon]))
            && (now.taxa[taxon] >= now.none() || now.none() < UNKNOWN_PLANT);
        format!(
            "{name} would {}lead ({} instead of {})",
            if leads { "still " } else { "" },
            percent(chance),
            percent(now.taxa[taxon])
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
                let form = self.trait_form(of);
                let shows: Vec<usize> = (0..one.classes())
                    .filter(|&c| chance(c) >= 0.5 * best)
                    .collect();
                let expected = if shows.len() * 2 <= one.classes() {
                    format!(
                        "for {name} the answer is mostly {}",
                        or_list(&labels(form, &shows))
                    )
                } else {
                    format!("{name} hardly ever has that")
                };
                lines.push(format!(
                    "This does not fit: {} You saw {}; {expected}.",
                    form.question,
                    or_list(&labels(form, given))
                ));
            }
        }
        lines
    }
}
