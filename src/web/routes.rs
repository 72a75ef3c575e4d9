//! Which address leads to which page.
use super::ask::{Ask, LONGEST_FILE};
use super::server::Patience;
use super::site::Site;
use super::trouble::Trouble;
use super::view::STYLE;
use super::{
    after, amounts, applied, choice, day, enter, gear, grass, guard, home, label, lawn, mend,
    named, note, plant, plants, record, shelf, sown,
};
use axum::Router;
use axum::extract::{DefaultBodyLimit, RawPathParams, Request, State};
use axum::http::StatusCode;
use axum::http::header::{CACHE_CONTROL, CONTENT_TYPE};
use axum::response::{IntoResponse, Response};
use axum::routing::{MethodRouter, get};
use std::sync::Arc;

/// A page: a plain function that may read and change the lawn folder and nothing else.
pub type Page = fn(&Site, &Ask) -> Result<Response, Trouble>;

type Shared = Arc<Site>;

/// All pages.
pub fn router(site: Shared, patience: Patience) -> Router {
    let shown = |page: Page| -> MethodRouter<Shared> {
        get(move |state, params, request| made(state, params, request, page, patience))
    };
    let both = |page: Page, sent: Page| -> MethodRouter<Shared> {
        shown(page).post(move |state, params, request| made(state, params, request, sent, patience))
    };
    let sent = |page: Page| -> MethodRouter<Shared> {
        axum::routing::post(move |state, params, request| {
            made(state, params, request, page, patience)
        })
    };
    Router::new()
        .route("/", shown(home::home))
        .route("/look.css", get(style))
        .route("/enter", both(enter::show, enter::enter))
        .route("/visit", sent(home::begin))
        .route("/visit/{id}", shown(home::visit))
        .route("/visit/{id}/lawn", shown(lawn::summary))
        .route(
            "/visit/{id}/lawn/{question}",
            both(lawn::question, lawn::answer),
        )
        .route("/visit/{id}/area", both(lawn::areas, lawn::add_area))
        .route("/visit/{id}/grass", shown(grass::key))
        .route("/visit/{id}/plant", both(plants::list, plants::add))
        .route("/visit/{id}/plant/{n}", both(plant::next, plant::answer))
        .route("/visit/{id}/plant/{n}/seen", both(plant::seen, plant::back))
        .route("/visit/{id}/plant/{n}/about/{trait}", shown(plant::about))
        .route(
            "/visit/{id}/plant/{n}/name",
            both(named::show, named::settle),
        )
        .route("/visit/{id}/choice", both(choice::show, choice::take))
        .route("/visit/{id}/shelf", shown(shelf::list))
        .route("/visit/{id}/shelf/new", both(label::fresh, label::keep_new))
        .route(
            "/visit/{id}/shelf/{n}",
            both(label::show, label::keep_changed),
        )
        .route("/visit/{id}/gear", both(gear::show, gear::keep))
        .route("/visit/{id}/amounts", shown(amounts::show))
        .route("/visit/{id}/day", both(day::show, day::forecast))
        .route("/visit/{id}/note", both(note::show, note::remarks))
        .route("/visit/{id}/note/{file}", shown(note::file))
        .route("/visit/{id}/record", both(applied::show, applied::write))
        .route("/record", both(record::list, record::withdraw))
        .route("/record.html", shown(record::page))
        .route("/record.csv", shown(record::table))
        .route("/record.json", shown(record::portable))
        .route(
            "/record/applied",
            both(applied::show_without, applied::write_without),
        )
        .route("/record/sown", both(sown::show, sown::write))
        .route("/record/{n}/seen", both(after::show, after::write))
        .route("/record/{n}/correct", both(mend::show, mend::write))
        .fallback(nothing)
        .layer(DefaultBodyLimit::max(LONGEST_FILE))
        .layer(axum::middleware::from_fn_with_state(
            Arc::clone(&site),
            guard::guard,
        ))
        .with_state(site)
}

async fn made(
    State(site): State<Shared>,
    params: RawPathParams,
    request: Request,
    page: Page,
    patience: Patience,
) -> Response {
    let ask = match tokio::time::timeout(patience.body, Ask::read(&params, request)).await {
        Ok(Ok(ask)) => ask,
        Ok(Err(trouble)) => return trouble.response(&site),
        Err(_) => {
            let words = "The form took too long to arrive. Go back and send it again.";
            return Trouble::told(StatusCode::REQUEST_TIMEOUT, words).response(&site);
        }
    };
    let shared = Arc::clone(&site);
    let made = tokio::task::spawn_blocking(move || {
        page(&site, &ask).unwrap_or_else(|trouble| trouble.response(&site))
    });
    made.await.unwrap_or_else(|_| {
        Trouble::Broken("The page could not be made.".to_owned()).response(&shared)
    })
}

async fn style() -> Response {
    let kept = "public, max-age=600";
    (
        [
            (CONTENT_TYPE, "text/css; charset=utf-8"),
            (CACHE_CONTROL, kept),
        ],
        STYLE,
    )
        .into_response()
}

async fn nothing(State(site): State<Shared>) -> Response {
    Trouble::Missing.response(&site)
}
