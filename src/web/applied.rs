//! Writing down what was applied: by the note of a visit, or without one.
use super::applied_read::{MOST_PRODUCTS, field_of, parts, read, value};
use super::ask::Ask;
use super::entry::{Form, Place, broken, put};
use super::site::Site;
use super::trouble::Trouble;
use super::typed::Typed;
use super::view::{Frame, go};
use crate::note;
use crate::records::{ActiveUsed, Application, Product, What, from_note};
use crate::visit::Visit;
use axum::response::Response;
use serde::Serialize;

const TITLE: &str = "What was applied";
const BUTTON: &str = "Write it down";
const WITHOUT: &str = "/record/applied";

#[derive(Serialize)]
struct Nothing {
    headline: String,
}

/// What was to be done by the visit.
struct Plan {
    treatment: Application,
    lead: &'static str,
}

/// The treatment that the visit plans. Where the spray day has amounts, what goes on per area is reckoned from the labels on
/// the shelf; where it has none, the products are named and their amounts are open.
fn plan(site: &Site, id: &str, visit: &Visit) -> Result<Result<Plan, String>, Trouble> {
    let made = site.worked(id, visit)?;
    let treatment = &made.worked.treatment;
    if treatment.chosen.is_none() {
        return Ok(Err(treatment.verdict.headline.clone()));
    }
    let mut plan =
        from_note::application(&note::json(treatment).map_err(broken)?).map_err(broken)?;
    let reckoned = treatment
        .spray_day
        .as_ref()
        .is_some_and(|s| !s.recorded.is_empty());
    let taken = treatment.spray_day.as_ref();
    let named: Vec<Product> = taken
        .iter()
        .flat_map(|s| &s.products)
        .take(MOST_PRODUCTS)
        .filter_map(|line| {
            let label = visit.lawn.shelf.iter().find(|p| p.name == line.name)?;
            let actives = label.actives.iter().filter_map(|a| {
                let active = site
                    .book()
                    .find(crate::knowledge::Kind::Active, &a.active)
                    .ok()?;
                Some(open(&active))
            });
            Some(Product {
                name: Some(line.name.clone()),
                actives: actives.collect(),
                ..Product::default()
            })
        })
        .collect();
    let mut lead = WITH_AMOUNTS;
    if made.gone.is_some() {
        // The note fell back on another option, which nobody chose: what was chosen is what may have been done.
        lead = GONE;
        plan.products = vec![Product {
            actives: visit.choose.iter().map(|a| open(a)).collect(),
            ..Product::default()
        }];
    } else if !reckoned {
        lead = WITHOUT_AMOUNTS;
        if !named.is_empty() {
            plan.products = named;
        }
    }
    plan.date = site.today();
    Ok(Ok(Plan {
        treatment: plan,
        lead,
    }))
}

const WITH_AMOUNTS: &str = "What the note planned is filled in, with the amounts reckoned from the label. Change it to what was really done: the next choice counts it.";
const WITHOUT_AMOUNTS: &str = "What the note planned is filled in. Change it to what was really done: the next choice counts it.";
const GONE: &str = "What was chosen at this visit is filled in, though it is no longer on offer for a next treatment. Change it to what was really done: the next choice counts it.";

/// An active of which the amount is open.
fn open(active: &str) -> ActiveUsed {
    ActiveUsed {
        active: active.to_owned(),
        rate: None,
    }
}

fn form(site: &Site, action: String, lead: &str, value: &dyn Fn(&str) -> String) -> Form {
    Form {
        lead: lead.to_owned(),
        action,
        parts: parts(site.book(), value),
        button: BUTTON,
        ..Form::default()
    }
}

/// The form to write down what was applied by the note of a visit.
pub fn show(site: &Site, ask: &Ask) -> Result<Response, Trouble> {
    let id = ask.part("id");
    let visit = site.folder.visit(id)?;
    if let Some((first, _)) = site.lacks(id, &visit) {
        return Ok(go(&first));
    }
    let frame = site.frame(id, &visit, "record", TITLE);
    match plan(site, id, &visit)? {
        Err(headline) => site.page("nothing.html", &frame, &Nothing { headline }),
        Ok(plan) => {
            let of = |name: &str| value(site.book(), &plan.treatment, name);
            form(site, action(id), plan.lead, &of).page(site, &frame)
        }
    }
}

fn action(id: &str) -> String {
    format!("/visit/{id}/record")
}

/// Writes an entry by the note of a visit.
pub fn write(site: &Site, ask: &Ask) -> Result<Response, Trouble> {
    let id = ask.part("id");
    let visit = site.folder.visit(id)?;
    let Ok(plan) = plan(site, id, &visit)? else {
        return Err(Trouble::wrong(
            "The note of this visit says not to spray, so there is nothing to write down.",
        ));
    };
    match written(site, ask, &plan.treatment)? {
        Ok(number) => {
            site.folder.note_written(id, number)?;
            Ok(go(&format!("/record?written={number}")))
        }
        Err(faults) => {
            let frame = site.frame(id, &visit, "record", TITLE);
            let sent = |name: &str| ask.form.get(name).to_owned();
            form(site, action(id), plan.lead, &sent)
                .with_faults(&faults)
                .page(site, &frame)
        }
    }
}

type Faults = Vec<(String, String)>;

fn written(site: &Site, ask: &Ask, plan: &Application) -> Result<Result<i64, Faults>, Trouble> {
    let mut typed = Typed::new(&ask.form);
    let entry = read(&mut typed, site.book(), plan, site.today());
    if typed.faults.is_empty() {
        match put(site, &What::Application(entry), Place::New, "") {
            Ok(number) => return Ok(Ok(number)),
            Err(error) => typed.faults.push(error.fault(&field_of)?),
        }
    }
    Ok(Err(typed.faults))
}

const LEAD: &str =
    "For what was put on without a visit here. What is written down counts in every later choice.";

/// The form to write down what was applied without a note.
pub fn show_without(site: &Site, _: &Ask) -> Result<Response, Trouble> {
    let plan = Application::on(site.today());
    let of = |name: &str| value(site.book(), &plan, name);
    form(site, WITHOUT.to_owned(), LEAD, &of).page(site, &Frame::plain(TITLE))
}

/// Writes an entry without a note.
pub fn write_without(site: &Site, ask: &Ask) -> Result<Response, Trouble> {
    match written(site, ask, &Application::on(site.today()))? {
        Ok(number) => Ok(go(&format!("/record?written={number}"))),
        Err(faults) => {
            let sent = |name: &str| ask.form.get(name).to_owned();
            form(site, WITHOUT.to_owned(), LEAD, &sent)
                .with_faults(&faults)
                .page(site, &Frame::plain(TITLE))
        }
    }
}
