//! The first page, and the page of a visit.
use super::ask::Ask;
use super::site::Site;
use super::trouble::Trouble;
use super::view::{Frame, go};
use super::work::blank;
use crate::knowledge::fact::one_line;
use crate::visit::{Lawn, Visit};
use axum::response::Response;
use serde::Serialize;

/// Visits shown on the first page; older ones stay in the folder.
const SHOWN: usize = 20;

#[derive(Serialize)]
struct VisitLine {
    id: String,
    lawn: String,
    date: String,
    plants: String,
}

#[derive(Serialize)]
struct Home {
    visits: Vec<VisitLine>,
    more: usize,
    recorded: bool,
    listening: bool,
    book: String,
    ligule: Option<String>,
}

/// The first page.
pub fn home(site: &Site, _: &Ask) -> Result<Response, Trouble> {
    let ids = site.folder.ids();
    let visits: Vec<VisitLine> = ids
        .iter()
        .take(SHOWN)
        .filter_map(|id| line(site, id))
        .collect();
    let book = site.book().book.as_ref();
    let body = Home {
        more: ids.len().saturating_sub(SHOWN),
        visits,
        recorded: site.folder.record().is_ok_and(|p| p.exists()),
        listening: site.options.word_needed,
        book: book.map_or(String::new(), |b| format!("{}, {}", b.title, b.version)),
        ligule: None,
    };
    site.page("home.html", &Frame::plain("What grows in the lawn?"), &body)
}

fn line(site: &Site, id: &str) -> Option<VisitLine> {
    let visit = site.folder.visit(id).ok()?;
    let names: Vec<String> = visit
        .plants
        .iter()
        .filter(|p| !blank(p))
        .map(|p| match &p.weed {
            Some(weed) => site
                .book()
                .weeds
                .get(weed)
                .and_then(|w| w.names.first().cloned())
                .unwrap_or_else(|| one_line(weed, 40)),
            None => "a plant not named yet".to_owned(),
        })
        .collect();
    let lawn = visit.lawn.name.as_deref().map(|n| one_line(n, 60));
    Some(VisitLine {
        id: id.to_owned(),
        lawn: lawn
            .filter(|n| !n.is_empty())
            .unwrap_or_else(|| "the lawn".to_owned()),
        date: site.day(&visit).to_string(),
        plants: names.join(", "),
    })
}

/// Begins a visit, on a new lawn or on that of an earlier visit.
pub fn begin(site: &Site, ask: &Ask) -> Result<Response, Trouble> {
    let today = site.today();
    let lawn = match ask.form.given("lawn-of") {
        None => Lawn::default(),
        Some(id) => {
            let old = site.folder.visit(id)?.lawn;
            // The weather of the day and the parts that were treated then are not those of today.
            Lawn {
                air_temperature: None,
                treat: crate::knowledge::form::common::Many::default(),
                ..old
            }
        }
    };
    let visit = Visit {
        date: Some(today),
        lawn,
        ..Visit::default()
    };
    for _ in 0..20 {
        let letters: String = (site.options.chance)()
            .iter()
            .take(5)
            .map(|b| char::from(b"bcdfghjkmnpqrstvwxyz23456789abcd"[usize::from(b % 32)]))
            .collect();
        let id = format!("{today}-{letters}");
        if site.folder.begin(&id, &visit)? {
            let first = if visit.lawn.grass.is_empty() {
                "lawn/grass"
            } else {
                "lawn"
            };
            return Ok(go(&format!("/visit/{id}/{first}")));
        }
    }
    Err(Trouble::Broken(
        "No free name for a visit was found.".into(),
    ))
}

#[derive(Serialize)]
struct Overview {
    next: String,
    why: String,
}

/// The page of a visit: how far it has come.
pub fn visit(site: &Site, ask: &Ask) -> Result<Response, Trouble> {
    let id = ask.part("id");
    let visit = site.folder.visit(id)?;
    let (next, why) = match site.lacks(id, &visit) {
        Some((next, why)) => (next, why),
        None if visit
            .plants
            .iter()
            .any(|p| !blank(p) && p.weed.is_none() && !p.none_of_these) =>
        {
            (format!("/visit/{id}/plant"), "A plant has no name yet.")
        }
        None if visit.choose.is_empty() => (
            format!("/visit/{id}/choice"),
            "The plant is known: now see what can be done about it.",
        ),
        None => (
            format!("/visit/{id}/note"),
            "What is to be done is chosen: the note is ready.",
        ),
    };
    let body = Overview {
        next,
        why: why.to_owned(),
    };
    let frame = site.frame(id, &visit, "", "This visit");
    site.page("visit.html", &frame, &body)
}
