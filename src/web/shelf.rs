//! The products in hand.
use super::ask::Ask;
use super::site::Site;
use super::trouble::Trouble;
use axum::response::Response;
use serde::Serialize;

#[derive(Serialize)]
struct Line {
    number: usize,
    name: String,
    actives: String,
    rate: String,
}

#[derive(Serialize)]
struct Page {
    lines: Vec<Line>,
}

/// The shelf.
pub fn list(site: &Site, ask: &Ask) -> Result<Response, Trouble> {
    let id = ask.part("id");
    let visit = site.folder.visit(id)?;
    let lines = visit
        .lawn
        .shelf
        .iter()
        .enumerate()
        .map(|(index, product)| {
            let actives: Vec<String> = product
                .actives
                .iter()
                .map(|a| match &a.content {
                    Some(content) => format!("{} {content}", a.active),
                    None => a.active.clone(),
                })
                .collect();
            let rate = product
                .rates
                .broadcast
                .as_ref()
                .or(product.rates.spot.as_ref());
            Line {
                number: index + 1,
                name: product.name.clone(),
                actives: actives.join(", "),
                rate: rate.map_or(String::new(), |r| r.text().to_owned()),
            }
        })
        .collect();
    let frame = site.frame(id, &visit, "amounts", "On the shelf");
    site.page("shelf.html", &frame, &Page { lines })
}
