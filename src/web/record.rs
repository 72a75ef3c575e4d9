//! The record: writing down what was applied, and what was written down before.
use super::ask::Ask;
use super::guard::POLICY_OF_NOTES;
use super::record_read::{MOST_PRODUCTS, Read, planned, product, whole};
use super::site::Site;
use super::trouble::Trouble;
use super::view::{Field, Frame, again, go, html};
use crate::knowledge::fact::{Named, one_line};
use crate::note;
use crate::records::doubts::doubts;
use crate::records::fields::missing;
use crate::records::limits::{History, in_force};
use crate::records::{
    ActiveUsed, Application, Entry, Filter, Product, Store, What, from_note, page as printed,
};
use crate::visit::Visit;
use crate::words::and_list;
use axum::http::HeaderValue;
use axum::http::header::CONTENT_SECURITY_POLICY;
use axum::response::Response;
use serde::Serialize;

#[derive(Serialize)]
struct Form {
    whole: Vec<Field>,
    products: Vec<(usize, bool, Vec<Field>)>,
    items: Vec<(String, String, String)>,
    faults: usize,
    treats: bool,
    headline: String,
}

#[allow(clippy::needless_pass_by_value, reason = "as `map_err` hands it on")]
fn broken(error: impl ToString) -> Trouble {
    Trouble::Broken(format!("The record: {}.", error.to_string()))
}

/// The treatment that the visit plans, with the products of the spray day.
fn plan(site: &Site, id: &str, visit: &Visit) -> Result<(Option<Application>, String), Trouble> {
    let (worked, _) = site.worked(id, visit)?;
    let treatment = worked.treatment;
    let headline = treatment.verdict.headline.clone();
    if treatment.chosen.is_none() {
        return Ok((None, headline));
    }
    let mut plan =
        from_note::application(&note::json(&treatment).map_err(broken)?).map_err(broken)?;
    let taken = treatment.spray_day.map_or(Vec::new(), |s| s.products);
    let products: Vec<Product> = taken
        .iter()
        .take(MOST_PRODUCTS)
        .filter_map(|line| {
            let label = visit.lawn.shelf.iter().find(|p| p.name == line.name)?;
            let actives = label.actives.iter().filter_map(|a| {
                let active = site
                    .book()
                    .find(crate::knowledge::Kind::Active, &a.active)
                    .ok()?;
                Some(ActiveUsed { active, rate: None })
            });
            Some(Product {
                name: Some(line.name.clone()),
                actives: actives.collect(),
                ..Product::default()
            })
        })
        .collect();
    if !products.is_empty() {
        plan.products = products;
    }
    plan.date = site.today();
    Ok((Some(plan), headline))
}

/// The form to write down what was applied.
pub fn form(site: &Site, ask: &Ask) -> Result<Response, Trouble> {
    let id = ask.part("id");
    let visit = site.folder.visit(id)?;
    if let Some((first, _)) = site.lacks(id, &visit) {
        return Ok(go(&first));
    }
    let (plan, headline) = plan(site, id, &visit)?;
    let value = |name: &str| match (&plan, name.strip_prefix("item-")) {
        (None, _) => String::new(),
        (Some(plan), Some(item)) => plan.items.get(item).cloned().unwrap_or_default(),
        (Some(plan), None) => planned(plan, name),
    };
    form_page(site, ask, &visit, &value, &[], headline, plan.is_some())
}

fn form_page(
    site: &Site,
    ask: &Ask,
    visit: &Visit,
    value: &dyn Fn(&str) -> String,
    faults: &[(String, String)],
    headline: String,
    treats: bool,
) -> Result<Response, Trouble> {
    let told = |mut fields: Vec<Field>| {
        for field in &mut fields {
            if let Some((_, fault)) = faults.iter().find(|(name, _)| name == field.name) {
                field.fault.clone_from(fault);
            }
        }
        fields
    };
    let products = (0..MOST_PRODUCTS)
        .map(|place| {
            let fields = told(product(place, value));
            let open = place == 0
                || fields
                    .iter()
                    .any(|f| !f.value.is_empty() || !f.fault.is_empty());
            (place + 1, open, fields)
        })
        .collect();
    // What has a field of its own above is not asked twice.
    let own = [
        "date",
        "start-time",
        "end-time",
        "area-treated",
        "weed-target",
        "product-name",
        "registration-number",
        "active-common-name",
        "rate-per-unit",
        "amount-product-total",
    ];
    let body = Form {
        whole: told(whole(value)),
        products,
        items: site
            .book()
            .record_fields
            .iter()
            .filter(|f| !own.contains(&f.id.as_str()))
            .map(|f| {
                (
                    f.id.clone(),
                    f.name.clone(),
                    value(&format!("item-{}", f.id)),
                )
            })
            .collect(),
        faults: faults.len(),
        treats,
        headline,
    };
    let frame = site.frame(ask.part("id"), visit, "record", "What was applied");
    site.page("write.html", &frame, &body)
}

/// Writes an entry. The same form sent twice is written once.
pub fn write(site: &Site, ask: &Ask) -> Result<Response, Trouble> {
    let id = ask.part("id");
    let visit = site.folder.visit(id)?;
    let (plan, headline) = plan(site, id, &visit)?;
    let Some(plan) = plan else {
        return Err(Trouble::wrong(
            "The note of this visit says not to spray, so there is nothing to write down.",
        ));
    };
    let today = site.today();
    let mut read = Read {
        form: &ask.form,
        faults: Vec::new(),
    };
    let entry = read.entry(site.book(), &plan, today);
    if !read.faults.is_empty() {
        let value = |name: &str| ask.form.get(name).to_owned();
        return form_page(site, ask, &visit, &value, &read.faults, headline, true).map(again);
    }
    let path = site.folder.record()?;
    let (mut store, _) = Store::open_or_create(&path).map_err(broken)?;
    let what = What::Application(entry);
    let there = store.list(&Filter::default()).map_err(broken)?;
    let number = match there.iter().find(|e| e.what == what) {
        Some(same) => same.id,
        None => store.add(&what, today).map_err(broken)?.id,
    };
    site.folder.note_written(id, number)?;
    Ok(go(&format!("/record?written={number}")))
}

#[derive(Serialize)]
struct Line {
    id: i64,
    date: String,
    title: String,
    facts: Vec<String>,
    doubts: Vec<String>,
    missing: Vec<String>,
    new: bool,
    removable: bool,
}

#[derive(Serialize)]
struct Holding {
    active: String,
    last: String,
    lines: Vec<String>,
}

#[derive(Serialize)]
struct List {
    lines: Vec<Line>,
    holding: Vec<Holding>,
    fault: String,
}

/// What was written down.
pub fn list(site: &Site, ask: &Ask) -> Result<Response, Trouble> {
    listed(site, ask, "")
}

fn listed(site: &Site, ask: &Ask, fault: &str) -> Result<Response, Trouble> {
    let path = site.folder.record()?;
    let mut body = List {
        lines: Vec::new(),
        holding: Vec::new(),
        fault: fault.to_owned(),
    };
    if path.exists() {
        let store = Store::open(&path).map_err(broken)?;
        let written: Option<i64> = ask.query.given("written").and_then(|w| w.parse().ok());
        let mut entries = store.list(&Filter::default()).map_err(broken)?;
        entries.reverse();
        body.lines = entries.iter().map(|e| line(site, e, written)).collect();
        let history = History::of(site.book(), &store, None, site.today()).map_err(broken)?;
        body.holding = in_force(site.book(), &history)
            .iter()
            .map(|one| Holding {
                active: Named::active(site.book(), &one.active).name,
                last: one.used.last_use.to_string(),
                lines: holds(one),
            })
            .collect();
    }
    site.page("record.html", &Frame::plain("The record"), &body)
}

/// What still holds of an active, in sentences.
fn holds(one: &crate::records::limits::InForce) -> Vec<String> {
    let span = |what: &str, (from, to): (jiff::civil::Date, jiff::civil::Date)| {
        if from == to {
            format!("{what}: not before {from}")
        } else {
            format!("{what}: not before {from}, and rather not before {to}")
        }
    };
    let mut lines = Vec::new();
    lines.extend(one.repeat.map(|r| span("Next treatment with it", r)));
    lines.extend(one.seeding.map(|s| span("Seeding", s)));
    lines.extend(one.mowing.map(|m| format!("Mowing: not before {m}")));
    match (one.left_this_year, one.yearly_most) {
        (Some(left), Some(most)) => lines.push(format!(
            "{} of {} lb/acre are left this year",
            left.normalize(),
            most.normalize()
        )),
        (None, Some(most)) => lines.push(format!(
            "what is left of {} lb/acre this year is not known: an amount was not written down",
            most.normalize()
        )),
        _ => {}
    }
    lines.extend(one.clippings.iter().cloned());
    lines
}

fn line(site: &Site, entry: &Entry, written: Option<i64>) -> Line {
    let book = site.book();
    let mut facts = Vec::new();
    let (mut doubt, mut gaps) = (Vec::new(), Vec::new());
    let title = match &entry.what {
        What::Application(a) => {
            let names: Vec<String> = a
                .products
                .iter()
                .flat_map(|p| &p.actives)
                .map(|used| {
                    let name = Named::active(book, &used.active).name;
                    match &used.rate {
                        Some(rate) => format!("{name} {rate}"),
                        None => name,
                    }
                })
                .collect();
            let weeds: Vec<String> = a.weeds.iter().map(|w| Named::weed(book, w).name).collect();
            let weeds: Vec<&str> = weeds.iter().map(String::as_str).collect();
            if !weeds.is_empty() {
                facts.push(format!("on {}", and_list(&weeds)));
            }
            facts.extend(a.lawn.iter().map(|l| one_line(l, 120)));
            facts.extend(a.area.iter().cloned());
            facts.extend(
                a.products
                    .iter()
                    .filter_map(|p| p.name.as_ref())
                    .map(|n| one_line(n, 120)),
            );
            facts.extend(a.remarks.iter().map(|r| one_line(r, 600)));
            if written == Some(entry.id) {
                doubt = doubts(book, a);
            }
            gaps = missing(book, a)
                .into_iter()
                .map(|m| {
                    let ask: Vec<&str> = m.check_with.iter().map(String::as_str).collect();
                    format!("{}: check with {}", m.name, and_list(&ask))
                })
                .collect();
            names.join(" + ")
        }
        What::Observation(o) => {
            facts.extend(o.control_percent.map(|c| format!("{c} % of the weed gone")));
            facts.extend(
                o.injury_percent
                    .map(|c| format!("{c} % of the grass injured")),
            );
            format!("looked at after entry {}", entry.about.unwrap_or(0))
        }
        What::Seeding(s) => {
            facts.extend(s.lawn.iter().map(|l| one_line(l, 120)));
            "seeded".to_owned()
        }
        What::Withdrawal(_) => "taken back".to_owned(),
    };
    Line {
        id: entry.id,
        date: entry.what.date().to_string(),
        title,
        facts,
        doubts: doubt,
        missing: gaps,
        new: written == Some(entry.id),
        removable: !matches!(entry.what, What::Withdrawal(_)),
    }
}

/// Takes an entry back, with the reason; the record keeps both.
pub fn withdraw(site: &Site, ask: &Ask) -> Result<Response, Trouble> {
    let number: i64 = ask
        .form
        .get("entry")
        .parse()
        .map_err(|_| Trouble::Missing)?;
    let why = ask.form.get("why");
    if why.is_empty() {
        let fault = format!("Say why entry {number} is taken back; the record keeps the reason.");
        return listed(site, ask, &fault).map(again);
    }
    let path = site.folder.record()?;
    let mut store = Store::open(&path).map_err(|_| Trouble::Missing)?;
    match store.withdraw(number, why, site.today()) {
        Ok(_) => Ok(go("/record")),
        Err(error) => listed(site, ask, &error.to_string()).map(again),
    }
}

/// The record as a page to print.
pub fn page(site: &Site, _: &Ask) -> Result<Response, Trouble> {
    let path = site.folder.record()?;
    let store = Store::open(&path).map_err(|_| Trouble::Missing)?;
    let all = Filter {
        superseded: true,
        ..Filter::default()
    };
    let entries = store.list(&all).map_err(broken)?;
    let text = printed::html(site.book(), &entries, "Record of treatments", site.today())
        .map_err(broken)?;
    let mut page = html(text);
    page.headers_mut().insert(
        CONTENT_SECURITY_POLICY,
        HeaderValue::from_static(POLICY_OF_NOTES),
    );
    Ok(page)
}
