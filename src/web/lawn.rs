//! The lawn: one question a page, a summary, and its ground by shapes.
use super::ask::Ask;
use super::lawn_asked::{Asked, ORDER, answered, asked, take};
use super::site::Site;
use super::trouble::Trouble;
use super::view::{Field, again, go};
use crate::lawn::form::Area;
use crate::lawn::ground;
use crate::lawn::{Several, Written};
use crate::visit::{Lawn, Visit};
use axum::response::Response;
use serde::Serialize;
use std::str::FromStr;

#[derive(Serialize)]
struct SummaryLine {
    title: &'static str,
    says: String,
    href: String,
}

#[derive(Serialize)]
struct Summary {
    lines: Vec<SummaryLine>,
    area: String,
    ready: bool,
    contradiction: String,
}

/// Everything that was said about the lawn.
pub fn summary(site: &Site, ask: &Ask) -> Result<Response, Trouble> {
    let id = ask.part("id");
    let visit = site.folder.visit(id)?;
    let book = site.book();
    let lines = ORDER
        .iter()
        .filter_map(|question| {
            let put = asked(book, &visit.lawn, question)?;
            Some(SummaryLine {
                title: put.title,
                says: answered(book, &visit.lawn, question),
                href: format!("/visit/{id}/lawn/{question}"),
            })
        })
        .collect();
    let contradiction = if visit.lawn.grass.is_empty() {
        String::new()
    } else {
        crate::treatment::lawn::request(book, &visit.lawn, site.day(&visit))
            .err()
            .map_or(String::new(), |e| e.to_string())
    };
    let body = Summary {
        lines,
        area: ground_words(&visit.lawn),
        ready: !visit.lawn.grass.is_empty(),
        contradiction,
    };
    let frame = site.frame(id, &visit, "lawn", "The lawn");
    site.page("lawn.html", &frame, &body)
}

fn ground_words(lawn: &Lawn) -> String {
    match ground::of(&lawn.areas, lawn.area.as_deref(), &lawn.treat) {
        Ok(Some(ground)) => ground.area.short(),
        Ok(None) => lawn.area.clone().unwrap_or_default(),
        Err(error) => error.to_string(),
    }
}

#[derive(Serialize)]
struct Page {
    asked: Asked,
    back: String,
    fault: String,
    first: bool,
    step: usize,
    steps: usize,
}

/// One question about the lawn.
pub fn question(site: &Site, ask: &Ask) -> Result<Response, Trouble> {
    let visit = site.folder.visit(ask.part("id"))?;
    page(site, ask, &visit, String::new())
}

fn page(site: &Site, ask: &Ask, visit: &Visit, fault: String) -> Result<Response, Trouble> {
    let (id, question) = (ask.part("id"), ask.part("question"));
    let mut put = asked(site.book(), &visit.lawn, question).ok_or(Trouble::Missing)?;
    if !fault.is_empty() {
        if put.choices.is_empty() {
            ask.form.get("answer").clone_into(&mut put.typed);
        } else {
            let sent = ask.form.all("answer");
            for choice in &mut put.choices {
                choice.chosen = sent.contains(&choice.value);
            }
        }
    }
    let place = ORDER.iter().position(|o| *o == question).unwrap_or(0);
    let back = match place.checked_sub(1) {
        Some(before) => format!("/visit/{id}/lawn/{}", ORDER[before]),
        None => format!("/visit/{id}/lawn"),
    };
    let title = put.title;
    let body = Page {
        asked: put,
        back,
        fault,
        first: question == "grass",
        step: place + 1,
        steps: ORDER.len(),
    };
    let frame = site.frame(id, visit, "lawn", title);
    site.page("one.html", &frame, &body)
}

/// Takes the answer to a question about the lawn and goes to the next one that is open.
pub fn answer(site: &Site, ask: &Ask) -> Result<Response, Trouble> {
    let (id, question) = (ask.part("id"), ask.part("question"));
    let words = ask.form.all("answer");
    let unsure = ask.form.get("act") == "unsure";
    let fault = site.folder.change(id, |visit| {
        Ok(take(site.book(), &mut visit.lawn, question, &words, unsure).err())
    })?;
    if let Some(fault) = fault {
        let visit = site.folder.visit(id)?;
        return page(site, ask, &visit, fault).map(again);
    }
    let visit = site.folder.visit(id)?;
    let after = ORDER
        .iter()
        .skip_while(|o| **o != question)
        .skip(1)
        .find(|o| answered(site.book(), &visit.lawn, o).is_empty());
    Ok(match after {
        Some(next) => go(&format!("/visit/{id}/lawn/{next}")),
        None => go(&format!("/visit/{id}/lawn")),
    })
}

#[derive(Serialize)]
struct AreaLine {
    name: String,
    shape: String,
    minus: String,
    treated: bool,
}

#[derive(Serialize)]
struct Ground {
    areas: Vec<AreaLine>,
    fields: Vec<Field>,
    total: String,
    steps: Vec<String>,
    fault: String,
}

/// The fields of a part of the lawn, with what was typed into them.
fn part_fields(value: &dyn Fn(&str) -> String) -> [Field; 3] {
    let one =
        |name: &'static str, label: &'static str, hint| Field::new(name, label, hint, value(name));
    [
        one("name", "Name of this part", "front, back, by the drive"),
        one(
            "shape",
            "Its shape",
            "60 ft x 40 ft; circle diameter 30 ft; triangle 50 ft x 30 ft; 1500 sq ft; spots 12 x 1 ft. One a line where there are several.",
        )
        .long(),
        one(
            "minus",
            "To take away (may stay empty)",
            "house, drive and beds in it: 20 ft x 10 ft. One a line.",
        )
        .long(),
    ]
}

/// The ground by shapes.
pub fn areas(site: &Site, ask: &Ask) -> Result<Response, Trouble> {
    let visit = site.folder.visit(ask.part("id"))?;
    ground_page(site, ask, &visit, part_fields(&|_| String::new()).to_vec())
}

fn ground_page(
    site: &Site,
    ask: &Ask,
    visit: &Visit,
    fields: Vec<Field>,
) -> Result<Response, Trouble> {
    let lawn = &visit.lawn;
    let joined = |several: &Several<_>| -> String {
        let texts: Vec<&str> = several.0.iter().map(Written::text).collect();
        texts.join("; ")
    };
    let found = ground::of(&lawn.areas, lawn.area.as_deref(), &lawn.treat);
    let (total, steps, fault) = match found {
        Ok(Some(ground)) => (ground.area.short(), ground.steps, String::new()),
        Ok(None) => (String::new(), Vec::new(), String::new()),
        Err(error) => (String::new(), Vec::new(), error.to_string()),
    };
    let body = Ground {
        areas: lawn
            .areas
            .iter()
            .map(|a| AreaLine {
                name: a.name.clone(),
                shape: joined(&a.shape),
                minus: joined(&a.minus),
                treated: lawn.treat.is_empty() || lawn.treat.contains(&a.name),
            })
            .collect(),
        fields,
        total,
        steps,
        fault,
    };
    let frame = site.frame(ask.part("id"), visit, "lawn", "How large is it?");
    site.page("area.html", &frame, &body)
}

/// Reads one figure a line.
pub fn lines<T: FromStr<Err = crate::measure::Fault>>(
    text: &str,
) -> Result<Several<Written<T>>, String> {
    text.lines()
        .map(str::trim)
        .filter(|l| !l.is_empty())
        .map(|l| l.parse::<Written<T>>().map_err(|e| e.to_string()))
        .collect::<Result<_, _>>()
        .map(Several)
}

/// Adds, changes or removes a part of the ground.
pub fn add_area(site: &Site, ask: &Ask) -> Result<Response, Trouble> {
    let id = ask.part("id");
    let form = &ask.form;
    if form.get("act") == "remove" {
        let name = form.get("name").to_owned();
        site.folder.change(id, |visit| {
            visit.lawn.areas.retain(|a| a.name != name);
            visit.lawn.treat.0.retain(|t| *t != name);
            Ok(())
        })?;
        return Ok(go(&format!("/visit/{id}/area")));
    }
    let mut fields = part_fields(&|name| form.get(name).to_owned());
    let (shape, minus) = (lines(form.get("shape")), lines(form.get("minus")));
    let name = form.get("name").to_owned();
    if name.is_empty() {
        "Give this part a name.".clone_into(&mut fields[0].fault);
    }
    match &shape {
        Err(fault) => fields[1].fault.clone_from(fault),
        Ok(shape) if shape.is_empty() => {
            "Write at least one shape, such as 60 ft x 40 ft.".clone_into(&mut fields[1].fault);
        }
        Ok(_) => {}
    }
    if let Err(fault) = &minus {
        fields[2].fault.clone_from(fault);
    }
    let mut told = fields.iter().any(|f| !f.fault.is_empty());
    if let (false, Ok(shape), Ok(minus)) = (told, shape, minus) {
        let area = Area { name, shape, minus };
        // What the shapes do together is known only when they are added up.
        if let Err(error) = ground::of(std::slice::from_ref(&area), None, &[]) {
            fields[1].fault = error.to_string();
            told = true;
        } else {
            site.folder.change(id, |visit| {
                let same =
                    |a: &Area| crate::words::plain(&a.name) == crate::words::plain(&area.name);
                match visit.lawn.areas.iter_mut().find(|a| same(a)) {
                    Some(old) => *old = area.clone(),
                    None => visit.lawn.areas.push(area.clone()),
                }
                Ok(())
            })?;
        }
    }
    if told {
        let visit = site.folder.visit(id)?;
        return ground_page(site, ask, &visit, fields.to_vec()).map(again);
    }
    Ok(go(&format!("/visit/{id}/area")))
}
