//! Finding out what a plant is: the next question, the answers, going back.
use super::ask::Ask;
use super::plants::at;
use super::question::{Put, SoFar, so_far};
use super::site::Site;
use super::trouble::Trouble;
use super::view::{again, encoded, go};
use crate::identify::{Key, NextQuestion};
use crate::key::answers::Answer;
use crate::visit::{Plant, Typed};
use axum::http::StatusCode;
use axum::response::Response;
use serde::Serialize;

/// More traits than this are not kept in an address; the oldest are left out.
const LONGEST_TRAIL: usize = 40;

#[derive(Serialize)]
struct Page {
    action: String,
    back: String,
    trail: String,
    put: Option<Put>,
    so_far: Option<SoFar>,
    several: bool,
    several_href: String,
    one_href: String,
    fault: String,
    number: usize,
    count: usize,
    about: String,
    grass: bool,
    hidden: Vec<(String, String)>,
}

/// Traits that were asked, in order, as the address carries them. Each phone has its own way back.
fn trail(ask: &Ask) -> Vec<String> {
    let given = if ask.form.pairs().is_empty() {
        &ask.query
    } else {
        &ask.form
    };
    let mut all: Vec<String> = given
        .get("trail")
        .split('.')
        .filter(|t| !t.is_empty() && t.len() < 60)
        .map(str::to_owned)
        .collect();
    let over = all.len().saturating_sub(LONGEST_TRAIL);
    all.drain(..over);
    all
}

/// The trail as the query of an address.
fn query(trail: &[String]) -> String {
    if trail.is_empty() {
        String::new()
    } else {
        format!("?trail={}", encoded(&trail.join(".")))
    }
}

/// The question that helps most.
pub fn next(site: &Site, ask: &Ask) -> Result<Response, Trouble> {
    asked(site, ask, None, String::new())
}

/// The question about one trait, to answer it again.
pub fn about(site: &Site, ask: &Ask) -> Result<Response, Trouble> {
    asked(site, ask, Some(ask.part("trait")), String::new())
}

fn asked(site: &Site, ask: &Ask, of: Option<&str>, fault: String) -> Result<Response, Trouble> {
    let id = ask.part("id");
    let index = ask.index("n")?;
    let visit = site.folder.visit(id)?;
    let plant = at(&visit, index)?;
    let mut key = site.key(&visit, plant);
    let state = key.state();
    let put = put(site, &key, of, state.next.as_ref())?;
    site.learn(&visit, &key);
    let trail = trail(ask);
    let base = format!("/visit/{id}/plant/{}", index + 1);
    let here = of.map_or_else(
        || base.clone(),
        |of| format!("{base}/about/{}", encoded(of)),
    );
    let sep = if trail.is_empty() { "?" } else { "&" };
    let answered = plant.observed.len() + plant.unsure.len();
    let title = match &put {
        Some(put) => put.text.clone(),
        None => "No question helps any more".to_owned(),
    };
    let body = Page {
        back: way_back(id, &base, &trail, of),
        action: base,
        several: ask.query.get("several") == "yes",
        several_href: format!("{here}{}{sep}several=yes", query(&trail)),
        one_href: format!("{here}{}", query(&trail)),
        trail: trail.join("."),
        put,
        so_far: (answered > 0).then(|| so_far(&state)),
        fault,
        number: index + 1,
        count: answered,
        about: of.unwrap_or_default().to_owned(),
        grass: false,
        hidden: Vec::new(),
    };
    let frame = site.frame(id, &visit, "plant", &title);
    site.page("question.html", &frame, &body)
}

/// The question about a trait that is asked for again, or the one that helps most.
fn put(
    site: &Site,
    key: &Key<'_>,
    of: Option<&str>,
    next: Option<&NextQuestion>,
) -> Result<Option<Put>, Trouble> {
    if let Some(name) = of {
        let of = key.book.trait_named(name).map_err(|_| Trouble::Missing)?;
        return Ok(Some(question(site, key, of)));
    }
    let Some((next, of)) = next.and_then(|n| Some((n, key.book.trait_named(&n.trait_id).ok()?)))
    else {
        return Ok(None);
    };
    let mut put = question(site, key, of);
    put.why.clone_from(&next.why);
    Ok(Some(put))
}

/// Where "Back" leads: to the question before this one on this phone's way. Behind a question that is asked again lies
/// the one before it.
fn way_back(id: &str, base: &str, trail: &[String], of: Option<&str>) -> String {
    let place = of.and_then(|of| trail.iter().position(|t| t == of));
    match place.unwrap_or(trail.len()).checked_sub(1) {
        Some(last) => format!(
            "{base}/about/{}{}",
            encoded(&trail[last]),
            query(&trail[..last])
        ),
        None if of.is_some() => base.to_owned(),
        None => format!("/visit/{id}/plant"),
    }
}

/// The question about a trait with what was answered to it.
pub fn question(site: &Site, key: &Key<'_>, of: usize) -> Put {
    let form = key.trait_form(of);
    let (given, unsure) = match key.answers.get(of) {
        Some(Answer::States(states)) => {
            let names = &key.book.traits()[of].states;
            (
                Some(states.iter().map(|&s| names[s].clone()).collect()),
                false,
            )
        }
        Some(Answer::Number(x)) => (Some(vec![x.to_string()]), false),
        Some(Answer::Unsure) => (None, true),
        None => (None, false),
    };
    let given: Option<Vec<String>> = given;
    site.put(form, &key.put_about(of), given.as_deref(), unsure)
}

/// Takes an answer, "not sure", or an answer back.
pub fn answer(site: &Site, ask: &Ask) -> Result<Response, Trouble> {
    let id = ask.part("id");
    let index = ask.index("n")?;
    let of = ask.form.get("of").to_owned();
    let act = ask.form.get("act").to_owned();
    let words: Vec<String> = {
        let mut words = ask.form.all("answer");
        if words.is_empty() {
            words = ask.form.all("measure");
        }
        words
    };
    let told = site.folder.change(id, |visit| {
        let plant = visit.plants.get(index).ok_or(Trouble::Missing)?.clone();
        let mut key = site.key(visit, &plant);
        let trait_id = match key.book.trait_named(&of) {
            Ok(found) => key.book.traits()[found].id.clone(),
            Err(error) => return Ok(Some(error.to_string())),
        };
        let mut changed = plant.clone();
        match act.as_str() {
            "unsure" => {
                changed.observed.remove(&trait_id);
                if !changed.unsure.contains(&trait_id) {
                    changed.unsure.0.push(trait_id);
                }
            }
            "take-back" => {
                changed.observed.remove(&trait_id);
                changed.unsure.0.retain(|t| *t != trait_id);
            }
            _ => {
                if words.is_empty() {
                    return Ok(Some(
                        "Touch an answer, or say that you are not sure.".to_owned(),
                    ));
                }
                let plain: Vec<&str> = words.iter().map(String::as_str).collect();
                if let Err(error) = key.answer(&trait_id, &plain) {
                    return Ok(Some(error.to_string()));
                }
                changed.unsure.0.retain(|t| *t != trait_id);
                changed.observed.insert(trait_id, Typed(words.clone()));
            }
        }
        // A name was settled on by what was seen; where that changes, it is open again.
        if changed != plant {
            changed.weed = None;
            changed.none_of_these = false;
        }
        visit.plants[index] = changed;
        Ok(None)
    })?;
    if let Some(fault) = told {
        return asked(site, ask, Some(&of), fault).map(again);
    }
    let mut trail = trail(ask);
    trail.retain(|t| *t != of);
    if act != "take-back" {
        trail.push(of);
    }
    Ok(go(&format!(
        "/visit/{id}/plant/{}{}",
        index + 1,
        query(&trail)
    )))
}

#[derive(Serialize)]
struct SeenLine {
    of: String,
    question: String,
    answer: String,
    unsure: bool,
}

#[derive(Serialize)]
struct SeenPage {
    number: usize,
    lines: Vec<SeenLine>,
}

/// What was answered about a plant.
pub fn seen(site: &Site, ask: &Ask) -> Result<Response, Trouble> {
    let id = ask.part("id");
    let index = ask.index("n")?;
    let visit = site.folder.visit(id)?;
    let key = site.key(&visit, at(&visit, index)?);
    let lines = key
        .answers
        .sorted()
        .map(|(of, answer)| {
            let put = question(site, &key, of);
            let labels: Vec<String> = put
                .cards
                .iter()
                .filter(|c| c.chosen)
                .map(|c| c.label.clone())
                .collect();
            SeenLine {
                of: put.of,
                question: put.text,
                answer: match answer {
                    Answer::Unsure => "Not sure".to_owned(),
                    Answer::Number(x) => format!("{x} {}", put.unit.unwrap_or_default()),
                    Answer::States(_) => labels.join(" or "),
                },
                unsure: *answer == Answer::Unsure,
            }
        })
        .collect();
    let body = SeenPage {
        number: index + 1,
        lines,
    };
    let frame = site.frame(id, &visit, "plant", "What you saw");
    site.page("seen.html", &frame, &body)
}

/// Takes a whole plant out of the visit. Its number stays, so that no other plant is taken for it.
pub fn back(site: &Site, ask: &Ask) -> Result<Response, Trouble> {
    let id = ask.part("id");
    let index = ask.index("n")?;
    if ask.form.get("act") != "remove" {
        return Err(Trouble::told(
            StatusCode::BAD_REQUEST,
            "Nothing was asked for.",
        ));
    }
    site.folder.change(id, |visit| {
        *visit.plants.get_mut(index).ok_or(Trouble::Missing)? = Plant::default();
        Ok(())
    })?;
    Ok(go(&format!("/visit/{id}/plant")))
}
