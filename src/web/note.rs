//! The note: the same page that the terminal writes, to open, print and keep.
use super::ask::Ask;
use super::guard::POLICY_OF_NOTES;
use super::site::Site;
use super::trouble::Trouble;
use super::view::{go, html, saved};
use crate::amounts::sheet::Sheet;
use crate::words::capital;
use crate::{calendar, note};
use axum::http::HeaderValue;
use axum::http::header::{CONTENT_SECURITY_POLICY, CONTENT_TYPE};
use axum::response::{IntoResponse, Response};
use serde::Serialize;

/// Longest remark that is taken, in characters.
const LONGEST: usize = 600;

#[derive(Serialize)]
struct Page {
    headline: String,
    sentences: Vec<String>,
    treats: bool,
    stopped: bool,
    remarks: String,
    gone: String,
}

/// The page about the note.
pub fn show(site: &Site, ask: &Ask) -> Result<Response, Trouble> {
    let id = ask.part("id");
    let visit = site.folder.visit(id)?;
    if let Some((first, _)) = site.lacks(id, &visit) {
        return Ok(go(&first));
    }
    let made = site.worked(id, &visit)?;
    let treatment = &made.worked.treatment;
    let body = Page {
        headline: treatment.verdict.headline.clone(),
        sentences: treatment
            .verdict
            .sentences
            .iter()
            .map(|s| capital(s))
            .collect(),
        treats: treatment.chosen.is_some(),
        stopped: treatment.spray_day.as_ref().is_some_and(Sheet::stopped),
        remarks: visit.remarks.clone().unwrap_or_default(),
        gone: made.gone.clone().unwrap_or_default(),
    };
    let frame = site.frame(id, &visit, "note", "The note");
    site.page("note.html", &frame, &body)
}

/// Keeps remarks for the note.
pub fn remarks(site: &Site, ask: &Ask) -> Result<Response, Trouble> {
    let id = ask.part("id");
    let text: String = ask.form.get("remarks").chars().take(LONGEST).collect();
    site.folder.change(id, |visit| {
        visit.remarks = Some(text).filter(|t| !t.is_empty());
        Ok(())
    })?;
    Ok(go(&format!("/visit/{id}/note")))
}

/// A file of the note.
pub fn file(site: &Site, ask: &Ask) -> Result<Response, Trouble> {
    let (id, file) = (ask.part("id"), ask.part("file"));
    let visit = site.folder.visit(id)?;
    let broken = |e: note::NoteError| Trouble::Broken(format!("The note could not be made: {e}."));
    let plain = visit.without_blanks();
    if file == "answers.yaml" {
        let text = serde_yaml::to_string(&plain)
            .map_err(|e| Trouble::Broken(format!("The answers could not be written: {e}.")))?;
        return Ok(saved(file, "application/yaml", text));
    }
    let made = site.worked(id, &visit)?;
    let treatment = &made.worked.treatment;
    match file {
        "note.html" => {
            let mut page = html(site.notes.html(treatment).map_err(broken)?);
            page.headers_mut().insert(
                CONTENT_SECURITY_POLICY,
                HeaderValue::from_static(POLICY_OF_NOTES),
            );
            Ok(page)
        }
        "note.txt" => Ok((
            [(CONTENT_TYPE, "text/plain; charset=utf-8")],
            site.notes.text(treatment).map_err(broken)?,
        )
            .into_response()),
        "note.json" => Ok(saved(
            file,
            "application/json",
            note::json(treatment).map_err(broken)?,
        )),
        "days.ics" if treatment.chosen.is_some() => {
            let json = note::json(treatment).map_err(broken)?;
            let days = calendar::of_note(site.book(), &json, site.day(&visit))
                .map_err(|e| Trouble::Broken(format!("The days could not be made: {e}.")))?;
            Ok(saved(file, "text/calendar; charset=utf-8", days))
        }
        _ => Err(Trouble::Missing),
    }
}
