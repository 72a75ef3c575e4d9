//! The amounts: what the labels on the shelf make of the choice, load by load.
use super::ask::Ask;
use super::site::Site;
use super::trouble::Trouble;
use super::view::go;
use crate::amounts::sheet::{LoadSheet, ProductLine, Sheet, Tick};
use crate::lawn::Weight;
use axum::response::Response;
use serde::Serialize;

#[derive(Serialize)]
struct Found {
    word: &'static str,
    grave: bool,
    text: String,
    memory: bool,
}

#[derive(Serialize)]
struct Part {
    title: String,
    ticks: Vec<Tick>,
}

#[derive(Serialize)]
struct Page {
    gone: String,
    headline: String,
    option: String,
    shelf: usize,
    fault: String,
    reckoned: bool,
    stopped: bool,
    findings: Vec<Found>,
    products: Vec<ProductLine>,
    summary: String,
    parts: Vec<Part>,
    steps: Vec<String>,
    warnings: Vec<String>,
}

/// The amounts.
pub fn show(site: &Site, ask: &Ask) -> Result<Response, Trouble> {
    let id = ask.part("id");
    let visit = site.folder.visit(id)?;
    if let Some((first, _)) = site.lacks(id, &visit) {
        return Ok(go(&first));
    }
    let mut body = Page {
        gone: String::new(),
        headline: String::new(),
        option: String::new(),
        shelf: visit.lawn.shelf.len(),
        fault: String::new(),
        reckoned: false,
        stopped: false,
        findings: Vec::new(),
        products: Vec::new(),
        summary: String::new(),
        parts: Vec::new(),
        steps: Vec::new(),
        warnings: Vec::new(),
    };
    match site.worked(id, &visit) {
        // A figure that does not hold with the others is told here, beside the way to mend it.
        Err(Trouble::Told(_, words)) => body.fault = words,
        Err(other) => return Err(other),
        Ok(made) => {
            let treatment = &made.worked.treatment;
            body.gone = made.gone.clone().unwrap_or_default();
            body.headline.clone_from(&treatment.verdict.headline);
            if let Some(chosen) = &treatment.chosen {
                body.option.clone_from(&chosen.title);
            }
            if let Some(sheet) = &treatment.spray_day {
                fill(&mut body, sheet.clone());
            }
        }
    }
    let frame = site.frame(id, &visit, "amounts", "How much");
    site.page("amounts.html", &frame, &body)
}

fn fill(body: &mut Page, sheet: Sheet) {
    body.reckoned = true;
    body.stopped = sheet.stopped();
    body.findings = sheet
        .findings
        .iter()
        .map(|f| Found {
            word: match f.weight {
                Weight::Stop => "Stop",
                Weight::Refused => "Refused",
                Weight::Question => "Look again",
                Weight::Note => "Note",
            },
            grave: f.stops(),
            text: format!("{}: {}", f.product, f.words()),
            memory: f.evidence == Some(crate::knowledge::form::source::Evidence::Memory),
        })
        .collect();
    let part = |title: &str, ticks: Vec<Tick>| Part {
        title: title.to_owned(),
        ticks,
    };
    body.products = sheet.products;
    body.summary = sheet.summary.unwrap_or_default();
    body.parts.push(part("Before you mix", sheet.before));
    body.parts.extend(sheet.loads.into_iter().map(|load| {
        let LoadSheet { title, ticks } = load;
        Part { title, ticks }
    }));
    body.parts.push(part("When it is done", sheet.after));
    body.parts.push(part("What is left", sheet.leftover));
    body.parts.push(part("Packs and cost", sheet.buying));
    body.parts.retain(|p| !p.ticks.is_empty());
    body.steps = sheet.steps;
    body.warnings = sheet.warnings;
}
