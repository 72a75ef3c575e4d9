//! What goes wrong, in words and as an answer with its status.
use super::site::Site;
use super::view::Frame;
use crate::treatment::TreatmentError;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use serde::Serialize;

#[derive(Serialize)]
struct Body {
    words: String,
}

/// Why a page cannot be given.
#[derive(Debug)]
pub enum Trouble {
    /// There is nothing at this address.
    Missing,
    /// Something the reader can act on.
    Told(StatusCode, String),
    /// Something failed that the reader cannot mend here.
    Broken(String),
}

impl Trouble {
    /// Trouble with words for the reader.
    pub fn told(status: StatusCode, words: impl Into<String>) -> Self {
        Self::Told(status, words.into())
    }

    /// Trouble with something that was sent.
    pub fn wrong(words: impl Into<String>) -> Self {
        Self::Told(StatusCode::UNPROCESSABLE_ENTITY, words.into())
    }

    /// The page that says so.
    pub fn response(&self, site: &Site) -> Response {
        let (status, title, words) = match self {
            Self::Missing => (
                StatusCode::NOT_FOUND,
                "Nothing grows here",
                "There is no page at this address. It may have been a visit that is no longer in the lawn folder."
                    .to_owned(),
            ),
            Self::Told(status, words) => (*status, "That did not work", words.clone()),
            Self::Broken(words) => (
                StatusCode::INTERNAL_SERVER_ERROR,
                "Something broke here",
                format!("{words} What you answered before is kept."),
            ),
        };
        let page = site.page("message.html", &Frame::plain(title), &Body { words });
        match page {
            Ok(mut response) => {
                *response.status_mut() = status;
                response
            }
            Err(_) => (status, title).into_response(),
        }
    }
}

impl From<TreatmentError> for Trouble {
    fn from(error: TreatmentError) -> Self {
        Self::wrong(error.to_string())
    }
}

impl From<tera::Error> for Trouble {
    fn from(error: tera::Error) -> Self {
        Self::Broken(format!("The page could not be laid out: {error}."))
    }
}

/// Why the pages cannot be served at all.
#[derive(Debug, thiserror::Error)]
pub enum SiteError {
    /// The lawn folder cannot be used.
    #[error("the lawn folder {path} cannot be used: {why}")]
    Folder {
        /// The folder.
        path: String,
        /// What the system said.
        why: String,
    },
    /// A template is wrong.
    #[error("the pages cannot be laid out: {0}")]
    Template(#[from] tera::Error),
    /// A template of the note is wrong.
    #[error("the notes cannot be laid out: {0}")]
    Note(#[from] crate::note::NoteError),
}
