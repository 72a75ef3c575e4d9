//! Sprayer, spreader, measuring tools, water.
use super::ask::Ask;
use super::figures::{Reader, Row, fields, text, texts};
use super::site::Site;
use super::trouble::Trouble;
use super::view::{Field, again, go};
use crate::lawn::equipment;
use crate::lawn::form::{Calibration, Sprayer, Spreader, Water};
use crate::visit::{Lawn, Visit};
use axum::response::Response;
use serde::Serialize;

const TABLE: [Row; 16] = [
    ("tank", "What the tank holds", "2 gal, or 8 L", false),
    (
        "output",
        "What the sprayer puts on an area, where you know it",
        "1 gal/1000 sq ft; leave it empty to reckon it from a trial",
        false,
    ),
    (
        "caught",
        "Trial with plain water: water used",
        "44 fl oz",
        false,
    ),
    ("course", "Trial: length of the course", "85 ft", false),
    ("width", "Trial: width of the spray", "4 ft", false),
    (
        "area",
        "Trial: area sprayed, instead of length and width",
        "340 sq ft",
        false,
    ),
    (
        "caught-in",
        "Trial: time of catching, if not while walking",
        "30 s",
        false,
    ),
    (
        "walked",
        "Trial: time to walk the course",
        "22 s; one a line for a mean",
        true,
    ),
    (
        "droplets",
        "Droplets of the nozzle",
        "such as coarse; may stay empty",
        false,
    ),
    (
        "measuring",
        "What you measure with",
        "one a line: syringe 0.5 mL; cup 1 fl oz; scale 0.1 g; spoons",
        true,
    ),
    ("spread-width", "Spreader: width of one pass", "8 ft", false),
    (
        "spread-caught",
        "Spreader: what was caught in a test",
        "12 oz",
        false,
    ),
    (
        "spread-length",
        "Spreader: length of the test strip",
        "100 ft",
        false,
    ),
    (
        "spread-with",
        "Spreader: product of the test",
        "its name on the shelf",
        false,
    ),
    ("ph", "Water: pH", "7.2", false),
    ("hardness", "Water: hardness", "250 ppm", false),
];

#[derive(Serialize)]
struct Page {
    groups: Vec<(&'static str, Vec<Field>)>,
    working: Vec<String>,
    output: String,
    fault: String,
}

fn value(lawn: &Lawn, name: &str) -> String {
    let sprayer = lawn.sprayer.as_ref();
    let trial = sprayer.and_then(|s| s.calibration.as_ref());
    let spreader = lawn.spreader.as_ref();
    let water = lawn.water.as_ref();
    match name {
        "tank" => text(sprayer.and_then(|s| s.tank.as_ref())),
        "output" => text(sprayer.and_then(|s| s.output.as_ref())),
        "droplets" => text(sprayer.and_then(|s| s.droplets.as_ref())),
        "caught" => text(trial.map(|t| &t.caught)),
        "caught-in" => text(trial.and_then(|t| t.caught_in.as_ref())),
        "walked" => trial.map_or(String::new(), |t| texts(&t.walked)),
        "width" => text(trial.and_then(|t| t.width.as_ref())),
        "course" => text(trial.and_then(|t| t.course.as_ref())),
        "area" => text(trial.and_then(|t| t.area.as_ref())),
        "measuring" => texts(&lawn.measuring),
        "spread-width" => text(spreader.map(|s| &s.width)),
        "spread-caught" => text(spreader.and_then(|s| s.caught.as_ref())),
        "spread-length" => text(spreader.and_then(|s| s.length.as_ref())),
        "spread-with" => spreader
            .and_then(|s| s.tested_with.clone())
            .unwrap_or_default(),
        "ph" => text(water.and_then(|w| w.ph.as_ref())),
        "hardness" => text(water.and_then(|w| w.hardness.as_ref())),
        _ => String::new(),
    }
}

/// The gear.
pub fn show(site: &Site, ask: &Ask) -> Result<Response, Trouble> {
    let visit = site.folder.visit(ask.part("id"))?;
    let all = fields(&TABLE, |name| value(&visit.lawn, name));
    page(site, ask, &visit, all)
}

fn page(site: &Site, ask: &Ask, visit: &Visit, all: Vec<Field>) -> Result<Response, Trouble> {
    let sprayer = visit.lawn.sprayer.as_ref();
    let (output, working, fault) = match sprayer.map(equipment::output) {
        Some(Ok(Some(found))) => (found.value.short(), found.steps, String::new()),
        Some(Err(error)) => (String::new(), Vec::new(), error.to_string()),
        _ => (String::new(), Vec::new(), String::new()),
    };
    let mut rest = all;
    let mut group = |title, count: usize| {
        let later = rest.split_off(count.min(rest.len()));
        (title, std::mem::replace(&mut rest, later))
    };
    let body = Page {
        groups: vec![
            group("The sprayer", 9),
            group("Measuring", 1),
            group("The spreader", 4),
            group("The water", 2),
        ],
        working,
        output,
        fault,
    };
    let frame = site.frame(
        ask.part("id"),
        visit,
        "amounts",
        "Sprayer and measuring tools",
    );
    site.page("gear.html", &frame, &body)
}

/// Keeps the gear, or shows the form again with its faults.
pub fn keep(site: &Site, ask: &Ask) -> Result<Response, Trouble> {
    let id = ask.part("id");
    let mut reader = Reader::new(&ask.form, &TABLE);
    let r = &mut reader;
    let output = r.figure("output");
    let caught = r.figure("caught");
    let mut sprayer = Sprayer {
        tank: r.figure("tank"),
        calibration: caught.map(|caught| Calibration {
            caught,
            caught_in: r.figure("caught-in"),
            walked: r.figures("walked"),
            width: r.figure("width"),
            course: r.figure("course"),
            area: r.figure("area"),
        }),
        output,
        droplets: r.figure("droplets"),
    };
    if sprayer.output.is_some() {
        sprayer.calibration = None;
    }
    if sprayer.calibration.is_none()
        && sprayer.output.is_none()
        && ["course", "width", "area", "caught-in", "walked"]
            .iter()
            .any(|n| ask.form.given(n).is_some())
    {
        r.fault("caught", &"A trial needs the water that was used in it.");
    }
    let spreader = r.figure("spread-width").map(|width| Spreader {
        width,
        caught: r.figure("spread-caught"),
        length: r.figure("spread-length"),
        tested_with: ask.form.text("spread-with"),
    });
    let water = Water {
        ph: r.figure("ph"),
        hardness: r.figure("hardness"),
    };
    let measuring = r.figures("measuring");
    // What the figures say together is known only when they are reckoned with.
    if r.is_fine() {
        if let Err(error) = equipment::output(&sprayer) {
            r.fault("caught", &error);
        }
        if let Err(error) = equipment::tank(&sprayer) {
            r.fault("tank", &error);
        }
        if let Some(Err(error)) = spreader.as_ref().map(equipment::spread) {
            r.fault("spread-width", &error);
        }
    }
    if !reader.is_fine() {
        let visit = site.folder.visit(id)?;
        return page(site, ask, &visit, reader.fields).map(again);
    }
    site.folder.change(id, |visit| {
        visit.lawn.sprayer = (sprayer != Sprayer::default()).then_some(sprayer);
        visit.lawn.spreader = spreader;
        visit.lawn.water = (water != Water::default()).then_some(water);
        visit.lawn.measuring = measuring;
        Ok(())
    })?;
    Ok(go(&format!("/visit/{id}/amounts")))
}
