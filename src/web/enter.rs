//! Giving the word.
use super::ask::Ask;
use super::door::COOKIE_NAME;
use super::site::Site;
use super::trouble::Trouble;
use super::view::{Frame, again, go};
use axum::http::HeaderValue;
use axum::http::header::SET_COOKIE;
use axum::response::Response;
use serde::Serialize;

/// Marks the answer to a wrong word. It is held back a while, so that guessing is slow.
#[derive(Debug, Clone, Copy)]
pub struct HeldBack;

#[derive(Serialize)]
struct Body {
    word: String,
    to: String,
    fault: &'static str,
}

/// Only a page of ours may be led to, never another machine.
fn inner(to: &str) -> String {
    let plain = to.starts_with('/')
        && !to.starts_with("//")
        && to
            .bytes()
            .all(|b| b.is_ascii_alphanumeric() || b"/-_.".contains(&b));
    if plain { to.to_owned() } else { "/".to_owned() }
}

fn page(site: &Site, word: &str, to: &str, fault: &'static str) -> Result<Response, Trouble> {
    let body = Body {
        word: word.chars().take(40).collect(),
        to: inner(to),
        fault,
    };
    site.page("enter.html", &Frame::plain("Say the word"), &body)
}

/// The form. A word in the address is filled in; it opens nothing before it is sent.
pub fn show(site: &Site, ask: &Ask) -> Result<Response, Trouble> {
    page(site, ask.query.get("word"), ask.query.get("to"), "")
}

/// Takes the word.
pub fn enter(site: &Site, ask: &Ask) -> Result<Response, Trouble> {
    if !site.options.word_needed {
        return Ok(go("/"));
    }
    let (word, to) = (ask.form.get("word"), ask.form.get("to"));
    let Some(session) = site.door.enter(word) else {
        let told = page(
            site,
            word,
            to,
            "That is not the word that counts now. Look at the machine again: every word is good for one phone only.",
        );
        return told.map(again).map(|mut told| {
            told.extensions_mut().insert(HeldBack);
            told
        });
    };
    let mut response = go(&inner(to));
    // Without `Secure`, because a home network has no certificates: the start of the program says who can read along.
    let cookie =
        format!("{COOKIE_NAME}={session}; Path=/; HttpOnly; SameSite=Strict; Max-Age=2592000");
    let value =
        HeaderValue::from_str(&cookie).map_err(|e| Trouble::Broken(format!("No session: {e}.")))?;
    response.headers_mut().insert(SET_COOKIE, value);
    Ok(response)
}
