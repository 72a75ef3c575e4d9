//! Which items the rules of a place ask to be written down, and which of them are missing.
use super::entry::Application;
use crate::knowledge::Knowledge;
use serde::Serialize;

/// An item that a rule names and the entry does not have.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Missing {
    /// Id of the item.
    pub field: String,
    /// Its name.
    pub name: String,
    /// The rules that name it.
    pub rules: Vec<String>,
    /// The authorities to check with.
    pub check_with: Vec<String>,
}

/// What the entry says about an item.
#[must_use]
pub fn value(application: &Application, field: &str) -> Option<String> {
    let products = &application.products;
    // An item of products counts only where every product has it.
    let every = |of: &dyn Fn(&super::Product) -> Option<String>| -> Option<String> {
        let all: Option<Vec<String>> = products.iter().map(of).collect();
        all.filter(|all| !all.is_empty()).map(|all| all.join("; "))
    };
    let ids = |ids: &[String]| (!ids.is_empty()).then(|| ids.join(", "));
    match field {
        "date" => Some(application.date.to_string()),
        "start-time" => application
            .start_time
            .map(|t| t.strftime("%H:%M").to_string()),
        "end-time" => application
            .end_time
            .map(|t| t.strftime("%H:%M").to_string()),
        "area-treated" => application.area.clone(),
        "weed-target" => ids(&application.weeds),
        "product-name" => every(&|p| p.name.clone()),
        "registration-number" => every(&|p| p.registration.clone()),
        "rate-per-unit" => every(&|p| p.rate.clone()),
        "amount-product-total" => every(&|p| p.total.clone()),
        "active-common-name" => every(&|p| {
            ids(&p
                .actives
                .iter()
                .map(|a| a.active.clone())
                .collect::<Vec<_>>())
        }),
        "site-treated" => application
            .items
            .get(field)
            .cloned()
            .or_else(|| ids(&application.turf)),
        other => application.items.get(other).cloned(),
    }
}

/// Items that rules of the place of the treatment, or of the places around it, name and that are not there. In the order
/// of the book.
#[must_use]
pub fn missing(book: &Knowledge, application: &Application) -> Vec<Missing> {
    let mut all: Vec<Missing> = Vec::new();
    let places = application
        .place
        .as_deref()
        .map(|p| book.around(p))
        .unwrap_or_default();
    for field in &book.record_fields {
        if value(application, &field.id).is_some() {
            continue;
        }
        let mut found = Missing {
            field: field.id.clone(),
            name: field.name.clone(),
            rules: Vec::new(),
            check_with: Vec::new(),
        };
        for place in places.iter().filter_map(|id| book.places.get(*id)) {
            for rule in place
                .records
                .iter()
                .filter(|r| r.fields.contains(&field.id))
            {
                found.rules.push(format!("{} ({})", rule.rule, rule.scope));
                if !found.check_with.contains(&place.authority) {
                    found.check_with.push(place.authority.clone());
                }
            }
        }
        if !found.rules.is_empty() {
            all.push(found);
        }
    }
    all
}
