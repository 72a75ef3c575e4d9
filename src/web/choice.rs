//! The choice: whether to treat, with what, why, and everything that is not offered with its reason.
use super::ask::Ask;
use super::site::Site;
use super::trouble::Trouble;
use super::view::go;
use crate::choose::{Advice, CautionLine, Choice, LawLine, Treatable};
use crate::knowledge::Knowledge;
use crate::knowledge::fact::Named;
use crate::knowledge::form::common::Many;
use crate::knowledge::form::place::Severity;
use crate::treatment::{ExclusionGroup, LeaveLine, OptionLine, Verdict, option_line};
use crate::words::{and_list, capital};
use axum::response::Response;
use serde::Serialize;

/// Options shown open; the others are folded.
const SHOWN: usize = 4;
/// The word for "no chemical".
const NONE: &str = "none";

#[derive(Serialize)]
struct Offer {
    value: String,
    number: usize,
    line: OptionLine,
    why: Vec<String>,
    cautions: Vec<String>,
    again: Vec<String>,
    windows: Vec<String>,
    chosen: bool,
}

#[derive(Serialize)]
struct Page {
    gone: String,
    verdict: Verdict,
    leave: LeaveLine,
    offers: Vec<Offer>,
    more: Vec<Offer>,
    none_chosen: bool,
    own: Vec<Advice>,
    general: Vec<Advice>,
    threshold: String,
    uncovered: Vec<String>,
    besides: Vec<String>,
    programme: String,
    steps: Vec<String>,
    notes: Vec<Advice>,
    excluded: Vec<ExclusionGroup>,
    excluded_count: usize,
    stop: Vec<CautionLine>,
    cautions: Vec<CautionLine>,
    law: Vec<LawLine>,
    place: bool,
    ask: String,
    counted: bool,
}

/// The choice.
pub fn show(site: &Site, ask: &Ask) -> Result<Response, Trouble> {
    let id = ask.part("id");
    let visit = site.folder.visit(id)?;
    if let Some((first, _)) = site.lacks(id, &visit) {
        return Ok(go(&first));
    }
    let made = site.worked(id, &visit)?;
    let book = site.book();
    let (treatment, choice) = (&made.worked.treatment, &made.worked.choice);
    let mut verdict = treatment.verdict.clone();
    for sentence in &mut verdict.sentences {
        *sentence = capital(sentence);
    }
    let mut leave = treatment.leave_it.clone();
    leave.why.text = capital(&leave.why.text);
    let grass: Vec<&str> = treatment
        .lawn
        .grasses
        .iter()
        .map(|g| g.name.as_str())
        .collect();
    let grass = and_list(&grass);
    let chosen = |o: &Treatable| made.gone.is_none() && *o.actives == *visit.choose;
    let mut offers: Vec<Offer> = choice
        .options
        .iter()
        .enumerate()
        .map(|(place, option)| Offer {
            value: option.actives.join("+"),
            number: place + 1,
            line: option_line(book, option, &grass),
            why: option.why.clone(),
            cautions: option.cautions.clone(),
            again: option.again.iter().map(|a| a.text.clone()).collect(),
            windows: option.windows.iter().map(|w| w.text.clone()).collect(),
            chosen: chosen(option),
        })
        .collect();
    let more = offers.split_off(offers.len().min(SHOWN));
    let mut besides: Vec<String> = choice.if_only_one.iter().map(|a| a.text.clone()).collect();
    besides.extend(choice.by_grass.iter().map(|a| a.text.clone()));
    let (own, general) = choice
        .without_chemicals
        .iter()
        .cloned()
        .partition(|a| a.weed.is_some());
    let (stop, cautions) = treatment
        .cautions
        .iter()
        .cloned()
        .partition(|c| c.severity == Severity::Stop);
    let asked = book.book.as_ref().map(|b| b.ask.clone());
    let body = Page {
        gone: made.gone.clone().unwrap_or_default(),
        leave,
        none_chosen: visit.choose.iter().any(|c| c == NONE),
        offers,
        more,
        own,
        general,
        threshold: choice
            .threshold
            .as_ref()
            .map_or(String::new(), |t| capital(&t.text)),
        uncovered: treatment.uncovered.clone(),
        besides,
        steps: steps(book, choice),
        programme: choice
            .programme
            .as_ref()
            .map_or(String::new(), |p| p.why.clone()),
        notes: choice.grass_notes.clone(),
        excluded_count: treatment.excluded.iter().map(|g| g.all.len()).sum(),
        excluded: treatment.excluded.clone(),
        stop,
        cautions,
        law: treatment.law.clone(),
        place: visit.lawn.place.is_some(),
        ask: asked.unwrap_or_default(),
        counted: made.worked.request.history.is_some(),
        verdict,
    };
    let frame = site.frame(id, &visit, "choice", "What to do about it");
    site.page("choice.html", &frame, &body)
}

/// The steps of the year as lines.
fn steps(book: &Knowledge, choice: &Choice) -> Vec<String> {
    let steps = choice.programme.iter().flat_map(|p| {
        p.steps.iter().map(|step| {
            let names = |ids: &[String]| -> String {
                let names: Vec<String> = ids.iter().map(|a| Named::active(book, a).name).collect();
                names.join(" + ")
            };
            let weeds: Vec<String> = step
                .weeds
                .iter()
                .map(|w| Named::weed(book, w).name)
                .collect();
            let weeds: Vec<&str> = weeds.iter().map(String::as_str).collect();
            let again = step.again.as_deref().unwrap_or_default();
            format!(
                "{}: {} against {}. {again}",
                step.when,
                names(&step.option.actives),
                and_list(&weeds)
            )
        })
    });
    steps.collect()
}

/// Takes an option, or no chemical. Whether it is on offer is asked of the choice, not of the page.
pub fn take(site: &Site, ask: &Ask) -> Result<Response, Trouble> {
    let id = ask.part("id");
    let wish: Vec<String> = ask
        .form
        .get("take")
        .split('+')
        .map(str::trim)
        .filter(|w| !w.is_empty())
        .map(str::to_owned)
        .collect();
    if wish.is_empty() {
        return Err(Trouble::wrong("Nothing was chosen."));
    }
    let none = wish == [NONE];
    site.folder.change(id, |visit| {
        let before = std::mem::replace(&mut visit.choose, Many(wish.clone()));
        let made = site.worked(id, visit)?;
        match &made.gone {
            Some(why) => {
                visit.choose = before;
                Err(Trouble::wrong(capital(why)))
            }
            None => Ok(()),
        }
    })?;
    Ok(go(&format!(
        "/visit/{id}/{}",
        if none { "note" } else { "amounts" }
    )))
}
