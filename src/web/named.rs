//! Settling on a name: the leading candidate, another one, or none; and how much of the plant there is.
use super::ask::Ask;
use super::plants::at;
use super::question::{SoFar, so_far};
use super::site::Site;
use super::trouble::Trouble;
use super::view::{again, go};
use super::work::Basis;
use crate::choose::WeedStage;
use crate::knowledge::{Kind, UnknownName};
use crate::treatment::{CouldBe, PlantLine};
use crate::visit::{Plant, Visit};
use axum::response::Response;
use serde::Serialize;

#[derive(Serialize)]
struct Page {
    number: usize,
    answers: usize,
    known: Option<Shown>,
    so_far: Option<SoFar>,
    names: Vec<String>,
    typed: String,
    fault: String,
    cover: String,
    cover_fault: String,
    stage: &'static str,
}

/// A plant that has a name, or that is said to be none of the book's.
#[derive(Serialize)]
struct Shown {
    name: String,
    scientific: Option<String>,
    sure: String,
    memory: bool,
    none: bool,
    hazards: Vec<String>,
    could_be: Vec<Other>,
    ask: Option<String>,
}

#[derive(Serialize)]
struct Other {
    name: String,
    chance: Option<String>,
    tell: Option<String>,
}

fn other(could: &CouldBe) -> Other {
    Other {
        name: could.name.clone(),
        chance: could.probability.map(crate::identify::percent),
        tell: could.tell.as_ref().map(|t| t.text.clone()),
    }
}

fn shown(line: &PlantLine) -> Shown {
    let memory = |f: &crate::treatment::fact::Fact| {
        let from = f.evidence == crate::knowledge::form::source::Evidence::Memory;
        if from { " (from memory)" } else { "" }
    };
    Shown {
        name: line.name.clone(),
        scientific: line.scientific_name.clone(),
        sure: line.sure.clone(),
        memory: line
            .names_rest_on
            .as_ref()
            .is_some_and(|f| !memory(f).is_empty()),
        none: line.weed.is_none(),
        hazards: line
            .hazards
            .iter()
            .map(|h| format!("{}{}", h.text.trim_end_matches('.'), memory(h)))
            .collect(),
        could_be: line.could_be.iter().map(other).collect(),
        ask: line.ask.clone(),
    }
}

/// The name, or the form to give it.
pub fn show(site: &Site, ask: &Ask) -> Result<Response, Trouble> {
    let visit = site.folder.visit(ask.part("id"))?;
    page(site, ask, &visit, ["", "", ""])
}

/// The page with faults of the name and of the cover, and the name as it was typed.
fn page(
    site: &Site,
    ask: &Ask,
    visit: &Visit,
    [fault, typed, cover_fault]: [&str; 3],
) -> Result<Response, Trouble> {
    let id = ask.part("id");
    let index = ask.index("n")?;
    let plant = at(visit, index)?;
    let settled = plant.weed.is_some() || plant.none_of_these;
    let known = if settled {
        line(site, visit, index)
    } else {
        None
    };
    let mut key = site.key(visit, plant);
    let answers = plant.observed.len() + plant.unsure.len();
    let state = (answers > 0 && !settled).then(|| key.state());
    site.learn(visit, &key);
    let names: Vec<String> = site
        .book()
        .weeds
        .values()
        .filter_map(|w| w.names.first().cloned())
        .collect();
    let title = match &known {
        Some(shown) => crate::words::capital(&shown.name),
        None => "Which plant is it?".to_owned(),
    };
    let body = Page {
        number: index + 1,
        answers,
        known,
        so_far: state.as_ref().map(so_far),
        names,
        typed: typed.to_owned(),
        fault: fault.to_owned(),
        cover: plant.cover_percent.map_or(String::new(), |c| c.to_string()),
        cover_fault: cover_fault.to_owned(),
        stage: match plant.stage {
            None => "",
            Some(WeedStage::NotUp) => "not-up",
            Some(WeedStage::Young) => "young",
            Some(WeedStage::Grown) => "grown",
        },
    };
    let frame = site.frame(id, visit, "plant", &title);
    site.page("named.html", &frame, &body)
}

/// The line that the treatment has about this plant; nothing before the lawn is known.
fn line(site: &Site, visit: &Visit, index: usize) -> Option<Shown> {
    let alone = Visit {
        plants: vec![visit.plants[index].clone()],
        choose: crate::knowledge::form::common::Many::default(),
        ..visit.clone()
    };
    let made = site.worked_from(Basis {
        day: site.day(visit),
        visit: alone,
        history: None,
        used: Vec::new(),
        forecast: None,
    });
    match made.ok() {
        Some(made) => made.worked.treatment.plants.first().map(shown),
        None => visit.plants[index].weed.as_ref().map(|w| Shown {
            name: site
                .book()
                .weeds
                .get(w)
                .and_then(|w| w.names.first().cloned())
                .unwrap_or_else(|| w.clone()),
            scientific: site.book().weeds.get(w).map(|w| w.scientific_name.clone()),
            sure: "named by you".to_owned(),
            memory: false,
            none: false,
            hazards: Vec::new(),
            could_be: Vec::new(),
            ask: None,
        }),
    }
}

/// Takes a name, "none of these", a name back, or how much there is of it.
pub fn settle(site: &Site, ask: &Ask) -> Result<Response, Trouble> {
    let plant = format!("/visit/{}/plant/{}", ask.part("id"), ask.index("n")? + 1);
    match ask.form.get("act") {
        "none" => {
            change(site, ask, |plant| {
                plant.weed = None;
                plant.none_of_these = true;
            })?;
            Ok(go(&format!("{plant}/name")))
        }
        "open" => {
            change(site, ask, |plant| {
                plant.weed = None;
                plant.none_of_these = false;
            })?;
            Ok(go(&plant))
        }
        "much" => how_much(site, ask),
        _ => take_name(site, ask, &format!("{plant}/name")),
    }
}

/// Changes the plant of the address.
fn change(site: &Site, ask: &Ask, with: impl Fn(&mut Plant)) -> Result<(), Trouble> {
    let index = ask.index("n")?;
    site.folder.change(ask.part("id"), |visit| {
        with(visit.plants.get_mut(index).ok_or(Trouble::Missing)?);
        Ok(())
    })
}

/// Takes how much of the plant there is and how far it has come.
fn how_much(site: &Site, ask: &Ask) -> Result<Response, Trouble> {
    let id = ask.part("id");
    let typed = ask.form.get("cover").trim_end_matches('%').trim();
    let cover = if typed.is_empty() {
        None
    } else if let Some(cover) = percentage(typed) {
        Some(cover)
    } else {
        let fault = format!("`{typed}` is no percentage; write a number from 0 to 100.");
        let visit = site.folder.visit(id)?;
        return page(site, ask, &visit, ["", "", &fault]).map(again);
    };
    let stage = match ask.form.get("stage") {
        "not-up" => Some(WeedStage::NotUp),
        "young" => Some(WeedStage::Young),
        "grown" => Some(WeedStage::Grown),
        _ => None,
    };
    change(site, ask, |plant| {
        plant.cover_percent = cover;
        plant.stage = stage;
    })?;
    Ok(go(&format!("/visit/{id}/plant")))
}

fn percentage(typed: &str) -> Option<f64> {
    let number = typed.parse::<f64>().ok();
    number.filter(|x| (0.0..=100.0).contains(x))
}

/// Takes a name that was typed or touched.
fn take_name(site: &Site, ask: &Ask, here: &str) -> Result<Response, Trouble> {
    let typed = ask.form.get("weed");
    match site.book().find(Kind::Weed, typed) {
        Ok(found) => {
            change(site, ask, |plant| {
                plant.weed = Some(found.clone());
                plant.none_of_these = false;
            })?;
            Ok(go(here))
        }
        Err(unknown) => {
            let fault = fault(site, typed, &unknown);
            let visit = site.folder.visit(ask.part("id"))?;
            page(site, ask, &visit, [&fault, typed, ""]).map(again)
        }
    }
}

/// Why a name cannot be taken, and which was probably meant.
fn fault(site: &Site, typed: &str, unknown: &UnknownName) -> String {
    if typed.is_empty() {
        return "Type the name of a plant.".to_owned();
    }
    if !unknown.shared.is_empty() {
        return format!("{unknown}.");
    }
    let Some(near) = &unknown.suggestion else {
        return "The book has no weed of that name. Find it out by questions, or type another name for it.".to_owned();
    };
    let weed = site.book().weeds.get(near);
    let name = weed.and_then(|w| w.names.first()).unwrap_or(near);
    format!("The book has no weed of that name. Did you mean {name}?")
}
