//! Copying a label: the page with its form, and keeping the product.
use super::ask::Ask;
use super::label_read::{fields, read, value};
use super::site::Site;
use super::trouble::Trouble;
use super::view::{Field, again, go};
use super::work::blank;
use crate::knowledge::fact::Named;
use crate::lawn::product::Product;
use crate::visit::Visit;
use axum::response::Response;
use serde::Serialize;

/// Products on one shelf.
const MOST: usize = 40;

#[derive(Serialize)]
struct Tick {
    value: String,
    label: String,
    chosen: bool,
}

#[derive(Serialize)]
struct Page {
    action: String,
    was: String,
    groups: Vec<(&'static str, bool, Vec<Field>)>,
    grasses: Vec<Tick>,
    weeds: Vec<Tick>,
    faults: usize,
    change: bool,
}

/// Names that the visit itself has, to be ticked where the label has them too.
fn own(site: &Site, id: &str, visit: &Visit) -> (Vec<String>, Vec<String>) {
    let weeds = visit
        .plants
        .iter()
        .filter(|p| !blank(p))
        .filter_map(|p| p.weed.clone());
    let mut weeds: Vec<String> = weeds.collect();
    // Plants that are not named by the user are known to the treatment alone.
    if let Ok(made) = site.worked(id, visit) {
        let plants = &made.worked.treatment.plants;
        weeds.extend(plants.iter().filter_map(|p| p.weed.clone()));
    }
    weeds.sort();
    weeds.dedup();
    (visit.lawn.grass.to_vec(), weeds)
}

fn page(
    site: &Site,
    ask: &Ask,
    visit: &Visit,
    all: Vec<Field>,
    named: (&[String], &[String]),
    was: &str,
) -> Result<Response, Trouble> {
    let id = ask.part("id");
    let (grasses, weeds) = own(site, id, visit);
    let faults = all.iter().filter(|f| !f.fault.is_empty()).count();
    let mut all = all;
    let mut group = |title, names: &[&str], open: bool| {
        let (own, rest): (Vec<Field>, Vec<Field>) = std::mem::take(&mut all)
            .into_iter()
            .partition(|f| names.contains(&&*f.name));
        all = rest;
        // A folded part with something in it, or something wrong in it, is shown open.
        let open = open
            || own
                .iter()
                .any(|f| !f.fault.is_empty() || !f.value.is_empty());
        (title, open, own)
    };
    let groups = vec![
        (group)("The product", &["name", "actives", "formulation"], true),
        (group)(
            "Its rates",
            &["broadcast", "spot", "water", "most", "year"],
            true,
        ),
        (group)(
            "How often, and what goes with it",
            &[
                "times", "interval", "adjuvant", "finest", "coarsest", "rain", "again", "mowing",
            ],
            false,
        ),
        (group)(
            "Grasses and weeds on the label",
            &["other-grasses", "other-weeds"],
            false,
        ),
        (group)(
            "The pack, and what was used",
            &["pack", "price", "keeps", "shared", "used"],
            false,
        ),
    ];
    let number = ask.part("n");
    let body = Page {
        action: if number.is_empty() {
            format!("/visit/{id}/shelf/new")
        } else {
            format!("/visit/{id}/shelf/{}", ask.index("n")? + 1)
        },
        was: was.to_owned(),
        groups,
        grasses: grasses
            .iter()
            .map(|g| Tick {
                label: Named::or_id(g, site.book().turf.get(g).and_then(|t| t.names.first())).name,
                chosen: named.0.contains(g),
                value: g.clone(),
            })
            .collect(),
        weeds: weeds
            .iter()
            .map(|w| Tick {
                label: Named::weed(site.book(), w).name,
                chosen: named.1.contains(w),
                value: w.clone(),
            })
            .collect(),
        faults,
        change: !number.is_empty(),
    };
    let frame = site.frame(id, visit, "amounts", "Copy the label");
    site.page("label.html", &frame, &body)
}

/// An empty label, with the actives of the choice.
pub fn fresh(site: &Site, ask: &Ask) -> Result<Response, Trouble> {
    let visit = site.folder.visit(ask.part("id"))?;
    let chosen: Vec<String> = visit
        .choose
        .iter()
        .filter(|a| *a != "none")
        .map(|a| format!("{} = ", Named::active(site.book(), a).name))
        .collect();
    let all = fields(|name| match name {
        "actives" => chosen.join("\n"),
        _ => String::new(),
    });
    page(site, ask, &visit, all, (&[], &[]), "")
}

/// A label that was copied before.
pub fn show(site: &Site, ask: &Ask) -> Result<Response, Trouble> {
    let visit = site.folder.visit(ask.part("id"))?;
    let product = visit
        .lawn
        .shelf
        .get(ask.index("n")?)
        .ok_or(Trouble::Missing)?;
    let (grasses, weeds) = own(site, ask.part("id"), &visit);
    let all: Vec<String> = grasses.into_iter().chain(weeds).collect();
    let all = fields(|name| value(product, name, &all));
    let named = (
        product.grasses.as_ref() as &[String],
        product.weeds.as_ref() as &[String],
    );
    page(site, ask, &visit, all, named, &product.name)
}

/// Keeps a new product.
pub fn keep_new(site: &Site, ask: &Ask) -> Result<Response, Trouble> {
    keep(site, ask)
}

/// Keeps a changed product, or takes it off the shelf.
pub fn keep_changed(site: &Site, ask: &Ask) -> Result<Response, Trouble> {
    let id = ask.part("id");
    if ask.form.get("act") == "remove" {
        let was = ask.form.get("was").to_owned();
        site.folder.change(id, |visit| {
            visit.lawn.shelf.retain(|p| p.name != was);
            Ok(())
        })?;
        return Ok(go(&format!("/visit/{id}/shelf")));
    }
    keep(site, ask)
}

fn keep(site: &Site, ask: &Ask) -> Result<Response, Trouble> {
    let id = ask.part("id");
    let was = ask.form.get("was").to_owned();
    let faulty = match read(site.book(), &ask.form) {
        Ok(product) => site.folder.change(id, |visit| {
            let mut tried = visit.lawn.shelf.clone();
            if let Err(fault) = put(&mut tried, &was, product) {
                return Ok(Some(fault));
            }
            visit.lawn.shelf = tried;
            Ok(None)
        })?,
        Err(fields) => Some(fields),
    };
    match faulty {
        None => Ok(go(&format!("/visit/{id}/amounts"))),
        Some(mut all) => {
            if all.iter().all(|f| f.value.is_empty()) {
                let kept = fields(|name| ask.form.get(name).to_owned());
                for (field, old) in all.iter_mut().zip(kept) {
                    field.value = old.value;
                }
            }
            let visit = site.folder.visit(id)?;
            let named = (ask.form.all("grasses"), ask.form.all("weeds"));
            page(site, ask, &visit, all, (&named.0, &named.1), &was).map(again)
        }
    }
}

/// Puts a product on the shelf in the place of the one that it was; the name finds it, since numbers shift when another
/// phone takes a product away.
fn put(shelf: &mut Vec<Product>, was: &str, product: Product) -> Result<(), Vec<Field>> {
    let same = |a: &str, b: &str| crate::words::plain(a) == crate::words::plain(b);
    let fault = |words: &str| {
        let mut all = fields(|_| String::new());
        words.clone_into(&mut all[0].fault);
        Err(all)
    };
    let place = (!was.is_empty())
        .then(|| shelf.iter().position(|p| same(&p.name, was)))
        .flatten();
    let taken = shelf
        .iter()
        .enumerate()
        .any(|(i, p)| Some(i) != place && same(&p.name, &product.name));
    if taken {
        return fault("Another product on the shelf has this name already.");
    }
    match place {
        Some(place) => shelf[place] = product,
        None if shelf.len() >= MOST => {
            return fault("The shelf is full; take a product off it first.");
        }
        None => shelf.push(product),
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_copied_stands_in_the_form_again() {
        let text = include_str!("../cli/demo-visit.yaml");
        let visit: Visit = crate::knowledge::read::read("visit.yaml", text).expect("a good file");
        let product = &visit.lawn.shelf[0];
        let mut encoded = form_urlencoded::Serializer::new(String::new());
        for field in fields(|name| value(product, name, &[])) {
            encoded.append_pair(&field.name, &field.value);
        }
        let form = super::super::ask::Fields::of(&encoded.finish());
        let book = crate::knowledge::Knowledge::embedded().expect("sound");
        assert_eq!(
            read(&book, &form).as_ref().map_err(|f| format!("{f:?}")),
            Ok(product)
        );
        assert!(!product.grasses.is_empty());
    }
}
