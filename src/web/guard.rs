//! What is refused before any page is made, and the headers that every answer carries.
use super::ask::session;
use super::site::Site;
use super::trouble::Trouble;
use super::view::{encoded, go};
use axum::extract::{Request, State};
use axum::http::header::{HOST, HeaderName, HeaderValue, ORIGIN};
use axum::http::{HeaderMap, Method, StatusCode};
use axum::middleware::Next;
use axum::response::Response;
use std::sync::Arc;

/// Nothing is loaded but our own style sheet and pictures, no script runs, and forms go nowhere else.
const POLICY: &str = "default-src 'none'; style-src 'self'; img-src 'self' data:; form-action 'self'; base-uri 'none'; frame-ancestors 'none'";
/// Notes carry their own style inside, so that they can be saved as one file; they still run no script and send nothing.
pub const POLICY_OF_NOTES: &str = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

// A browser says where a form comes from only if the page's policy lets it, so `no-referrer` would blind the check of
// the origin; `same-origin` tells nobody else either.
const HEADERS: [(&str, &str); 6] = [
    ("x-content-type-options", "nosniff"),
    ("referrer-policy", "same-origin"),
    ("x-frame-options", "DENY"),
    ("cross-origin-opener-policy", "same-origin"),
    ("cross-origin-resource-policy", "same-origin"),
    (
        "permissions-policy",
        "camera=(), microphone=(), geolocation=()",
    ),
];

/// Lets a request through, or answers it here.
pub async fn guard(State(site): State<Arc<Site>>, request: Request, next: Next) -> Response {
    let mut response = match refused(&site, &request) {
        Some(response) => response,
        None => next.run(request).await,
    };
    let headers = response.headers_mut();
    for (name, value) in HEADERS {
        headers.insert(
            HeaderName::from_static(name),
            HeaderValue::from_static(value),
        );
    }
    headers
        .entry("content-security-policy")
        .or_insert(HeaderValue::from_static(POLICY));
    headers
        .entry("cache-control")
        .or_insert(HeaderValue::from_static("no-store"));
    response
}

fn refused(site: &Site, request: &Request) -> Option<Response> {
    let headers = request.headers();
    let told = |status, words: &str| Some(Trouble::told(status, words).response(site));
    let host = only(headers, &HOST);
    if !host.is_some_and(|h| {
        site.options
            .hosts
            .iter()
            .any(|known| known.eq_ignore_ascii_case(h))
    }) {
        return told(
            StatusCode::MISDIRECTED_REQUEST,
            "This machine is not called by that name. Use the address that was printed when ligule was started.",
        );
    }
    let posts = request.method() == Method::POST;
    if !posts && request.method() != Method::GET && request.method() != Method::HEAD {
        return told(
            StatusCode::METHOD_NOT_ALLOWED,
            "Pages are only read and forms only sent here.",
        );
    }
    if posts && !from_here(headers, host.unwrap_or_default()) {
        return told(
            StatusCode::FORBIDDEN,
            "That form did not come from these pages, so nothing was changed.",
        );
    }
    let path = request.uri().path();
    let open = path == "/enter" || path == "/look.css";
    if site.options.word_needed && !open {
        let known = session(headers).is_some_and(|s| site.door.knows(&s));
        if !known {
            return if posts {
                told(
                    StatusCode::FORBIDDEN,
                    "This phone has not given the word yet, so nothing was changed. Open the first page and give it.",
                )
            } else {
                Some(go(&format!("/enter?to={}", encoded(path))))
            };
        }
    }
    None
}

/// The value of a header that must be there once.
fn only<'a>(headers: &'a HeaderMap, name: &HeaderName) -> Option<&'a str> {
    let mut all = headers.get_all(name).iter();
    let first = all.next()?.to_str().ok();
    if all.next().is_some() { None } else { first }
}

/// Whether a form was sent by a page of ours. Every browser of the last years says so in one header or the other.
fn from_here(headers: &HeaderMap, host: &str) -> bool {
    let site = headers.get("sec-fetch-site");
    if site.is_some_and(|s| s != "same-origin") {
        return false;
    }
    match headers.get(ORIGIN) {
        Some(origin) => origin
            .to_str()
            .ok()
            .and_then(|o| o.strip_prefix("http://"))
            .is_some_and(|o| o.eq_ignore_ascii_case(host)),
        None => site.is_some(),
    }
}
