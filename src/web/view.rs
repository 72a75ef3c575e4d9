//! Templates, and what every page carries around its own part.
use super::site::Site;
use super::trouble::Trouble;
use axum::http::StatusCode;
use axum::http::header::{CONTENT_DISPOSITION, CONTENT_TYPE, LOCATION};
use axum::response::{IntoResponse, Response};
use serde::Serialize;
use std::borrow::Cow;
use tera::{Context, Tera};

macro_rules! pages {
    ($($name:literal),* $(,)?) => {
        [$(($name, include_str!(concat!("../../templates/web/", $name)))),*]
    };
}

/// The style sheet.
pub const STYLE: &str = include_str!("../../templates/web/look.css");

/// The templates of the pages. All names end in `.html`, so everything in them is escaped.
pub struct Views(Tera);

impl Views {
    /// The templates inside the program.
    pub fn built_in() -> Result<Self, tera::Error> {
        let mut engine = Tera::default();
        engine.add_raw_templates(pages![
            "parts.html",
            "base.html",
            "amounts.html",
            "area.html",
            "choice.html",
            "day.html",
            "enter.html",
            "gear.html",
            "home.html",
            "label.html",
            "lawn.html",
            "message.html",
            "named.html",
            "note.html",
            "nothing.html",
            "one.html",
            "plants.html",
            "question.html",
            "record.html",
            "seen.html",
            "shelf.html",
            "visit.html",
            "write.html",
        ])?;
        Ok(Self(engine))
    }
}

/// What stands around a page.
#[derive(Debug, Clone, Default, Serialize)]
pub struct Frame {
    /// The heading, which is also the title.
    pub title: String,
    /// Id of the visit; empty outside a visit.
    pub visit: String,
    /// Lawn of the visit.
    pub label: String,
    /// Day of the visit.
    pub day: String,
    /// The steps of the job.
    pub steps: Vec<StepLine>,
}

/// A step of the job.
#[derive(Debug, Clone, Serialize)]
pub struct StepLine {
    /// Its name.
    pub name: &'static str,
    /// Where it is.
    pub href: String,
    /// What is settled of it, in a few words; empty where nothing is.
    pub says: String,
    /// Whether it is the one that is shown.
    pub here: bool,
}

impl Frame {
    /// A page outside a visit.
    pub fn plain(title: &str) -> Self {
        Self {
            title: title.to_owned(),
            ..Self::default()
        }
    }
}

/// What went wrong with a field, beside which it is told.
#[derive(Debug, Clone, Default, Serialize)]
pub struct Field {
    /// Name in the form.
    pub name: Cow<'static, str>,
    /// What to read.
    pub label: Cow<'static, str>,
    /// How to fill it in.
    pub hint: Cow<'static, str>,
    /// What was typed.
    pub value: String,
    /// What is wrong with it; empty where nothing is.
    pub fault: String,
    /// Whether several lines may be typed.
    pub long: bool,
    /// Whether it is a bare number, for which phones show their figures.
    pub figure: bool,
}

impl Field {
    /// A field of one line.
    pub fn new(
        name: impl Into<Cow<'static, str>>,
        label: impl Into<Cow<'static, str>>,
        hint: &'static str,
        value: String,
    ) -> Self {
        Self {
            name: name.into(),
            label: label.into(),
            hint: Cow::Borrowed(hint),
            value,
            ..Self::default()
        }
    }

    /// The same of several lines.
    #[must_use]
    pub fn long(self) -> Self {
        Self { long: true, ..self }
    }

    /// The same for a bare number.
    #[must_use]
    pub fn figure(self) -> Self {
        Self {
            figure: true,
            ..self
        }
    }
}

impl Site {
    /// A page.
    ///
    /// # Errors
    /// The template asks for something that the body does not have.
    pub fn page<T: Serialize>(
        &self,
        template: &str,
        frame: &Frame,
        body: &T,
    ) -> Result<Response, Trouble> {
        let mut context = Context::from_serialize(body)?;
        context.insert("frame", frame);
        let text = self.views.0.render(template, &context)?;
        Ok(html(text))
    }
}

/// A text as a page.
pub fn html(text: String) -> Response {
    ([(CONTENT_TYPE, "text/html; charset=utf-8")], text).into_response()
}

/// A text to be saved. The name is one of ours, never a user's.
pub fn saved(name: &str, kind: &'static str, text: String) -> Response {
    let how = format!("attachment; filename=\"ligule-{name}\"");
    (
        [(CONTENT_TYPE, kind.to_owned()), (CONTENT_DISPOSITION, how)],
        text,
    )
        .into_response()
}

/// Sends the browser on to another page after a form, so that going back or reloading sends nothing twice.
pub fn go(to: &str) -> Response {
    (StatusCode::SEE_OTHER, [(LOCATION, to.to_owned())]).into_response()
}

/// The page with a form whose faults are told in it.
pub fn again(mut page: Response) -> Response {
    *page.status_mut() = StatusCode::UNPROCESSABLE_ENTITY;
    page
}

/// A text as it may stand in a query.
pub fn encoded(text: &str) -> String {
    form_urlencoded::byte_serialize(text.as_bytes()).collect()
}
