//! "Which grass is it?": the same key about the lawn itself. Its answers live in the address alone.
use super::ask::Ask;
use super::plant::question;
use super::question::{Put, SoFar, so_far};
use super::site::Site;
use super::trouble::Trouble;
use super::view::encoded;
use crate::identify::Key;
use crate::key::Circumstances;
use crate::key::book::What;
use axum::response::Response;
use serde::Serialize;
use std::sync::Arc;

/// Most answers that an address carries.
const MOST: usize = 40;

#[derive(Serialize)]
struct Page {
    action: String,
    back: String,
    put: Option<Put>,
    so_far: Option<SoFar>,
    several: bool,
    several_href: String,
    one_href: String,
    fault: String,
    hidden: Vec<(String, String)>,
    grass: bool,
    about: String,
    trail: String,
    number: usize,
    count: usize,
}

/// The answers so far: trait and word, `~` for "not sure". What was sent last is not among them yet.
fn given(ask: &Ask) -> Vec<(String, String)> {
    let mut all: Vec<(String, String)> = ask
        .query
        .pairs()
        .iter()
        .filter_map(|(name, value)| {
            let of = name.strip_prefix("t.")?;
            Some((of.to_owned(), value.trim().to_owned()))
        })
        .take(MOST)
        .collect();
    let of = ask.query.get("of");
    if of.is_empty() {
        return all;
    }
    let words = if ask.query.get("act") == "unsure" {
        vec!["~".to_owned()]
    } else {
        let mut words = ask.query.all("answer");
        if words.is_empty() {
            words = ask.query.all("measure");
        }
        words
    };
    if !words.is_empty() {
        all.retain(|(t, _)| t != of);
        all.extend(words.into_iter().map(|w| (of.to_owned(), w)));
    }
    all
}

/// The key of the lawn grasses.
pub fn key(site: &Site, ask: &Ask) -> Result<Response, Trouble> {
    let id = ask.part("id");
    let visit = site.folder.visit(id)?;
    let mut all = given(ask);
    let at = Circumstances {
        month: u8::try_from(site.day(&visit).month()).ok(),
        region: visit.lawn.region.clone(),
    };
    let mut key = Key::over(
        site.book(),
        What::Turf,
        Arc::clone(&site.turf_key),
        at,
        None,
    );
    let mut fault = String::new();
    let names: Vec<String> = {
        let mut names: Vec<String> = Vec::new();
        for (of, _) in &all {
            if !names.contains(of) {
                names.push(of.clone());
            }
        }
        names
    };
    for of in &names {
        let words: Vec<&str> = all
            .iter()
            .filter(|(t, _)| t == of)
            .map(|(_, w)| w.as_str())
            .collect();
        let taken = if words == ["~"] {
            key.unsure(of)
        } else {
            key.answer(of, &words)
        };
        if let Err(error) = taken {
            fault = error.to_string();
        }
    }
    if !fault.is_empty() {
        all.retain(|(t, _)| {
            key.book
                .trait_named(t)
                .is_ok_and(|of| key.answers.get(of).is_some())
        });
    }
    let state = key.state();
    let asked_again = ask.query.given("about");
    let next = match asked_again.and_then(|t| key.book.trait_named(t).ok()) {
        Some(of) => Some((of, String::new())),
        None => state.next.as_ref().and_then(|n| {
            let of = key.book.trait_named(&n.trait_id).ok()?;
            Some((of, n.why.clone()))
        }),
    };
    let put = next.map(|(of, why)| Put {
        why,
        ..question(site, &key, of)
    });
    let base = format!("/visit/{id}/grass");
    let back = match names.last() {
        None => format!("/visit/{id}/lawn/grass"),
        Some(last) => format!("{base}{}", query(&all, Some(last))),
    };
    let title = put.as_ref().map_or_else(
        || "No question helps any more".to_owned(),
        |p| p.text.clone(),
    );
    let several = ask.query.get("several") == "yes";
    let here = query(&all, None);
    let join = if here.is_empty() { "?" } else { "&" };
    let body = Page {
        action: base.clone(),
        back,
        several,
        several_href: format!("{base}{here}{join}several=yes"),
        one_href: format!("{base}{here}"),
        so_far: (!all.is_empty()).then(|| so_far(&state)),
        put,
        fault,
        count: names.len(),
        hidden: all
            .into_iter()
            .map(|(t, w)| (format!("t.{t}"), w))
            .collect(),
        grass: true,
        about: asked_again.unwrap_or_default().to_owned(),
        trail: String::new(),
        number: 0,
    };
    let frame = site.frame(id, &visit, "lawn", &title);
    site.page("question.html", &frame, &body)
}

/// The address of the answers, without those to one trait.
fn query(all: &[(String, String)], without: Option<&str>) -> String {
    let pairs: Vec<String> = all
        .iter()
        .filter(|(t, _)| Some(t.as_str()) != without)
        .map(|(t, w)| format!("t.{}={}", encoded(t), encoded(w)))
        .collect();
    if pairs.is_empty() {
        String::new()
    } else {
        format!("?{}", pairs.join("&"))
    }
}
