//! What a browser asks: the parts of the address, the query, and the fields of a form.
use super::trouble::Trouble;
use axum::body::Bytes;
use axum::extract::{FromRequest, Multipart, RawPathParams, Request};
use axum::http::header::{CONTENT_LENGTH, CONTENT_TYPE, COOKIE};
use axum::http::{HeaderMap, StatusCode};

/// Most bytes of a form; the longest label copied by hand is a tenth of it.
pub const LONGEST_FORM: usize = 64 * 1024;
/// Most bytes of a forecast: a year of hours fits.
pub const LONGEST_FILE: usize = 1024 * 1024;
/// Most fields of a form or a query.
const MOST_FIELDS: usize = 400;

/// Names and values in the order in which they were sent.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Fields(Vec<(String, String)>);

impl Fields {
    /// Fields as a form sends them, for tests.
    #[cfg(test)]
    pub fn of(encoded: &str) -> Self {
        Self::parse(encoded.as_bytes())
    }

    fn parse(encoded: &[u8]) -> Self {
        Self(
            form_urlencoded::parse(encoded)
                .take(MOST_FIELDS)
                .map(|(name, value)| (name.into_owned(), tidy(&value)))
                .collect(),
        )
    }

    /// The first value of a name, trimmed; empty where there is none.
    pub fn get(&self, name: &str) -> &str {
        self.0
            .iter()
            .find(|(n, _)| n == name)
            .map_or("", |(_, v)| v.trim())
    }

    /// Whether the form asks this at all.
    pub fn has(&self, name: &str) -> bool {
        self.0.iter().any(|(n, _)| n == name)
    }

    /// The first value, where it is not empty.
    pub fn given(&self, name: &str) -> Option<&str> {
        Some(self.get(name)).filter(|v| !v.is_empty())
    }

    /// The same, as a text of its own.
    pub fn text(&self, name: &str) -> Option<String> {
        self.given(name).map(str::to_owned)
    }

    /// Every value of a name that is not empty.
    pub fn all(&self, name: &str) -> Vec<String> {
        self.0
            .iter()
            .filter(|(n, v)| n == name && !v.trim().is_empty())
            .map(|(_, v)| v.trim().to_owned())
            .collect()
    }

    /// All pairs.
    pub fn pairs(&self) -> &[(String, String)] {
        &self.0
    }
}

/// Control signs have no place in any answer and would only hide text; line ends and tabs stay.
fn tidy(value: &str) -> String {
    value
        .replace("\r\n", "\n")
        .chars()
        .filter(|c| !c.is_control() || *c == '\n' || *c == '\t')
        .collect()
}

/// One request, read whole.
#[derive(Debug, Clone, Default)]
pub struct Ask {
    path: Vec<(String, String)>,
    /// The query of the address.
    pub query: Fields,
    /// The fields of a form that was sent.
    pub form: Fields,
}

impl Ask {
    /// Reads a request. At most [`LONGEST_FORM`] bytes of a form and [`LONGEST_FILE`] of a file are taken.
    pub async fn read(params: &RawPathParams, request: Request) -> Result<Self, Trouble> {
        let mut ask = Self {
            path: params
                .iter()
                .map(|(n, v)| (n.to_owned(), v.to_owned()))
                .collect(),
            query: Fields::parse(request.uri().query().unwrap_or_default().as_bytes()),
            form: Fields::default(),
        };
        if request.method() != axum::http::Method::POST {
            return Ok(ask);
        }
        let kind = request
            .headers()
            .get(CONTENT_TYPE)
            .and_then(|v| v.to_str().ok())
            .unwrap_or_default()
            .to_owned();
        let most = if kind.starts_with("multipart/form-data") {
            LONGEST_FILE
        } else {
            LONGEST_FORM
        };
        let told: Option<usize> = request
            .headers()
            .get(CONTENT_LENGTH)
            .and_then(|v| v.to_str().ok()?.parse().ok());
        if told.is_some_and(|n| n > most) {
            return Err(too_large(most));
        }
        ask.form = if kind.starts_with("multipart/form-data") {
            parts(request).await?
        } else if kind.starts_with("application/x-www-form-urlencoded") || told == Some(0) {
            let bytes = Bytes::from_request(request, &())
                .await
                .map_err(|_| too_large(most))?;
            if bytes.len() > most {
                return Err(too_large(most));
            }
            Fields::parse(&bytes)
        } else {
            return Err(Trouble::told(
                StatusCode::UNSUPPORTED_MEDIA_TYPE,
                "Only the forms of these pages are read here.",
            ));
        };
        Ok(ask)
    }

    /// A part of the address.
    pub fn part(&self, name: &str) -> &str {
        self.path
            .iter()
            .find(|(n, _)| n == name)
            .map_or("", |(_, v)| v)
    }

    /// A part of the address that is a number from 1, as an index from 0.
    pub fn index(&self, name: &str) -> Result<usize, Trouble> {
        let part = self.part(name);
        part.parse::<usize>()
            .ok()
            .filter(|_| part.len() <= 3)
            .and_then(|n| n.checked_sub(1))
            .ok_or(Trouble::Missing)
    }
}

fn too_large(most: usize) -> Trouble {
    Trouble::told(
        StatusCode::PAYLOAD_TOO_LARGE,
        format!(
            "That is too large: at most {} kilobytes are read here.",
            most / 1024
        ),
    )
}

/// The value of the session's cookie.
pub fn session(headers: &HeaderMap) -> Option<String> {
    headers
        .get_all(COOKIE)
        .iter()
        .filter_map(|v| v.to_str().ok())
        .flat_map(|v| v.split(';'))
        .filter_map(|pair| pair.trim().split_once('='))
        .find(|(name, _)| *name == super::door::COOKIE_NAME)
        .map(|(_, value)| value.to_owned())
}

async fn parts(request: Request) -> Result<Fields, Trouble> {
    let unreadable = |_| {
        Trouble::told(
            StatusCode::BAD_REQUEST,
            "The file did not arrive whole. Go back and send it again.",
        )
    };
    let mut form = Multipart::from_request(request, &())
        .await
        .map_err(|_| Trouble::told(StatusCode::BAD_REQUEST, "This is no form with a file."))?;
    let mut fields = Vec::new();
    let mut room = LONGEST_FILE;
    while let Some(mut part) = form.next_field().await.map_err(unreadable)? {
        let name = part.name().unwrap_or_default().to_owned();
        if let Some(file) = part.file_name() {
            fields.push((format!("{name}-name"), tidy(file)));
        }
        let mut bytes = Vec::new();
        while let Some(piece) = part.chunk().await.map_err(unreadable)? {
            room = room
                .checked_sub(piece.len())
                .ok_or_else(|| too_large(LONGEST_FILE))?;
            bytes.extend_from_slice(&piece);
        }
        fields.push((name, tidy(&String::from_utf8_lossy(&bytes))));
        if fields.len() > MOST_FIELDS {
            break;
        }
    }
    Ok(Fields(fields))
}
