//! The record: what was written down, what still holds, entries taken back, and the record to carry away.
use super::ask::Ask;
use super::entry::{broken, gone, number, record};
use super::guard::POLICY_OF_NOTES;
use super::record_line::{Holding, Line, holding, line};
use super::site::Site;
use super::trouble::Trouble;
use super::view::{Frame, again, go, html, saved};
use crate::records::{Entry, Filter, csv, page as printed, portable};
use axum::http::HeaderValue;
use axum::http::header::CONTENT_SECURITY_POLICY;
use axum::response::Response;
use serde::Serialize;

/// Entries shown at first; a page of hundreds is slow to scroll with a thumb.
const SHOWN: usize = 40;

#[derive(Serialize)]
struct List {
    lines: Vec<Line>,
    more: usize,
    changed: bool,
    everything: bool,
    holding: Vec<Holding>,
    fault: String,
}

/// What was written down.
pub fn list(site: &Site, ask: &Ask) -> Result<Response, Trouble> {
    listed(site, ask, "")
}

fn listed(site: &Site, ask: &Ask, fault: &str) -> Result<Response, Trouble> {
    let everything = ask.query.get("all") == "yes";
    let mut body = List {
        lines: Vec::new(),
        more: 0,
        changed: false,
        everything,
        holding: Vec::new(),
        fault: fault.to_owned(),
    };
    if site.folder.record()?.exists() {
        let store = record(site)?;
        let written = ask.query.given("written").and_then(|w| w.parse().ok());
        let filter = Filter {
            superseded: everything,
            ..Filter::default()
        };
        let entries = store.list(&filter).map_err(broken)?;
        let shown = if everything { entries.len() } else { SHOWN };
        body.more = entries.len().saturating_sub(shown);
        let latest = entries.iter().rev().take(shown);
        body.lines = latest
            .map(|e| line(site, &store, e, written))
            .collect::<Result<_, _>>()?;
        let (all, standing) = store.count().map_err(broken)?;
        body.changed = all > standing;
        body.holding = holding(site, &store)?;
    }
    site.page("record.html", &Frame::plain("The record"), &body)
}

/// Takes an entry back, with the reason; the record keeps both.
pub fn withdraw(site: &Site, ask: &Ask) -> Result<Response, Trouble> {
    let number = number(ask.form.get("entry"))?;
    let why = ask.form.get("why");
    if why.is_empty() {
        let fault = format!("Say why entry {number} is taken back; the record keeps the reason.");
        return listed(site, ask, &fault).map(again);
    }
    match record(site)?.withdraw(number, why, site.today()) {
        Ok(_) => Ok(go("/record")),
        Err(error) => match gone(error) {
            Trouble::Broken(words) => listed(site, ask, &words).map(again),
            other => Err(other),
        },
    }
}

/// The whole record, also what was corrected or taken back, as a page to print.
pub fn page(site: &Site, _: &Ask) -> Result<Response, Trouble> {
    let text = printed::html(
        site.book(),
        &whole(site)?,
        "Record of treatments",
        site.today(),
    );
    let mut page = html(text.map_err(broken)?);
    page.headers_mut().insert(
        CONTENT_SECURITY_POLICY,
        HeaderValue::from_static(POLICY_OF_NOTES),
    );
    Ok(page)
}

fn whole(site: &Site) -> Result<Vec<Entry>, Trouble> {
    let all = Filter {
        superseded: true,
        ..Filter::default()
    };
    record(site)?.list(&all).map_err(broken)
}

/// The whole record as a table.
pub fn table(site: &Site, _: &Ask) -> Result<Response, Trouble> {
    let text = csv::to_csv(&whole(site)?).map_err(broken)?;
    Ok(saved("record.csv", "text/csv; charset=utf-8", text))
}

/// The whole record, to be taken in by another.
pub fn portable(site: &Site, _: &Ask) -> Result<Response, Trouble> {
    let text = portable::to_json(&whole(site)?).map_err(broken)?;
    Ok(saved("record.json", "application/json", text))
}
