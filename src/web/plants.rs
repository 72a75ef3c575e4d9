//! The plants of a visit: which there are, and another one.
use super::ask::Ask;
use super::site::Site;
use super::trouble::Trouble;
use super::view::go;
use super::work::{MOST_PLANTS, blank};
use crate::knowledge::fact::one_line;
use crate::visit::{Plant, Visit};
use axum::response::Response;
use serde::Serialize;

#[derive(Serialize)]
struct Line {
    number: usize,
    name: String,
    says: String,
    named: bool,
}

#[derive(Serialize)]
struct Plants {
    plants: Vec<Line>,
    full: bool,
}

/// The plants of the visit.
pub fn list(site: &Site, ask: &Ask) -> Result<Response, Trouble> {
    let id = ask.part("id");
    let visit = site.folder.visit(id)?;
    let plants: Vec<Line> = visit
        .plants
        .iter()
        .enumerate()
        .filter(|(_, p)| !blank(p))
        .map(|(index, plant)| line(site, index, plant))
        .collect();
    let body = Plants {
        full: visit.plants.len() >= MOST_PLANTS && !visit.plants.iter().any(blank),
        plants,
    };
    let frame = site.frame(id, &visit, "plant", "The plants");
    site.page("plants.html", &frame, &body)
}

fn line(site: &Site, index: usize, plant: &Plant) -> Line {
    let answers = plant.observed.len() + plant.unsure.len();
    let seen = match answers {
        0 => "named without questions".to_owned(),
        1 => "1 answer".to_owned(),
        n => format!("{n} answers"),
    };
    let name = plant.weed.as_ref().map(|w| {
        let found = site.book().weeds.get(w).and_then(|w| w.names.first());
        found.cloned().unwrap_or_else(|| one_line(w, 40))
    });
    Line {
        number: index + 1,
        named: name.is_some() || plant.none_of_these,
        name: name.unwrap_or_else(|| {
            if plant.none_of_these {
                "none of the book's plants".to_owned()
            } else {
                "not named yet".to_owned()
            }
        }),
        says: seen,
    }
}

/// Adds a plant: by its name where one was typed, else by questions.
pub fn add(site: &Site, ask: &Ask) -> Result<Response, Trouble> {
    let id = ask.part("id");
    let index = site.folder.change(id, |visit| {
        if visit.plants.len() < MOST_PLANTS {
            visit.plants.push(Plant::default());
            return Ok(visit.plants.len() - 1);
        }
        let free = visit.plants.iter().position(blank);
        free.ok_or_else(|| Trouble::wrong("That is enough plants for one visit; begin another."))
    })?;
    let page = if ask.form.get("by") == "name" {
        "/name"
    } else {
        ""
    };
    Ok(go(&format!("/visit/{id}/plant/{}{page}", index + 1)))
}

/// The plant at an index, which must have been added.
pub fn at(visit: &Visit, index: usize) -> Result<&Plant, Trouble> {
    visit.plants.get(index).ok_or(Trouble::Missing)
}
