//! What was applied, as a form: filled in from the note, and from what was typed to an entry or to its faults.
use super::ask::Fields;
use super::view::Field;
use crate::knowledge::Knowledge;
use crate::records::{ActiveUsed, Application, Product, Rate, RecordError, What};
use jiff::civil::{Date, Time};

/// A product with an active is one block of fields; so many blocks at most.
pub const MOST_PRODUCTS: usize = 3;

/// Fields of the whole treatment.
const TABLE: [(&str, &str, &str); 6] = [
    ("date", "Day", "2026-05-09"),
    ("start", "Begun at", "07:30; may stay empty"),
    ("end", "Ended at", "08:10; may stay empty"),
    ("lawn", "Lawn", "the name that you always use for it"),
    ("area", "Area treated", "2400 sq ft"),
    (
        "remarks",
        "Remarks",
        "anything else worth knowing next year",
    ),
];
const NAMES: [&str; MOST_PRODUCTS] = ["product-1", "product-2", "product-3"];
const NUMBERS: [&str; MOST_PRODUCTS] = ["registration-1", "registration-2", "registration-3"];
const TOTALS: [&str; MOST_PRODUCTS] = ["total-1", "total-2", "total-3"];
const RATES: [&str; MOST_PRODUCTS] = ["rate-1", "rate-2", "rate-3"];
const ACTIVES: [&str; MOST_PRODUCTS] = ["actives-1", "actives-2", "actives-3"];

fn field(name: &'static str, label: &'static str, hint: &'static str, value: String) -> Field {
    Field {
        name,
        label,
        hint,
        value,
        fault: String::new(),
        long: name.starts_with("actives") || name == "remarks",
    }
}

/// Fields of the treatment as a whole.
pub fn whole(value: impl Fn(&str) -> String) -> Vec<Field> {
    TABLE
        .iter()
        .map(|(name, label, hint)| field(name, label, hint, value(name)))
        .collect()
}

/// Fields of the product at a place.
pub fn product(place: usize, value: impl Fn(&str) -> String) -> Vec<Field> {
    let one = |name: &'static str, label, hint| field(name, label, hint, value(name));
    vec![
        one(NAMES[place], "Product (as on the label)", ""),
        one(
            NUMBERS[place],
            "Registration number",
            "as on the label; may stay empty",
        ),
        one(RATES[place], "Product per area", "0.4 fl oz/1000 sq ft"),
        one(TOTALS[place], "Product in all", "1 fl oz"),
        one(
            ACTIVES[place],
            "Actives, each with what went on per area",
            "one a line: triclopyr = 0.5 lb/acre. Without the amount its yearly limit cannot be kept.",
        ),
    ]
}

/// What stands in a field of a treatment that a note plans.
pub fn planned(plan: &Application, name: &str) -> String {
    if let Some(place) = NAMES.iter().position(|n| *n == name) {
        return plan
            .products
            .get(place)
            .and_then(|p| p.name.clone())
            .unwrap_or_default();
    }
    if let Some(place) = TOTALS.iter().position(|n| *n == name) {
        return plan
            .products
            .get(place)
            .and_then(|p| p.total.clone())
            .unwrap_or_default();
    }
    if let Some(place) = ACTIVES.iter().position(|n| *n == name) {
        let lines = plan.products.get(place).map(|p| {
            let lines: Vec<String> = p
                .actives
                .iter()
                .map(|a| format!("{} = ", a.active))
                .collect();
            lines.join("\n")
        });
        return lines.unwrap_or_default();
    }
    match name {
        "date" => plan.date.to_string(),
        "lawn" => plan.lawn.clone().unwrap_or_default(),
        "area" => plan.area.clone().unwrap_or_default(),
        _ => String::new(),
    }
}

/// The entry that a form describes. Faults are told by field.
pub struct Read<'a> {
    /// The form.
    pub form: &'a Fields,
    /// Field and what is wrong with it.
    pub faults: Vec<(String, String)>,
}

impl Read<'_> {
    fn fault(&mut self, name: &str, words: &impl ToString) {
        self.faults.push((name.to_owned(), words.to_string()));
    }

    fn time(&mut self, name: &str) -> Option<Time> {
        let typed = self.form.given(name)?;
        let time = typed.parse().ok();
        if time.is_none() {
            self.fault(name, &format!("`{typed}` is no time; write it as 07:30"));
        }
        time
    }

    fn actives(&mut self, book: &Knowledge, name: &str) -> Vec<ActiveUsed> {
        let mut all = Vec::new();
        for line in self.form.get(name).lines().map(str::trim) {
            if line.is_empty() {
                continue;
            }
            let (active, rate) = line.split_once('=').unwrap_or((line, ""));
            let active = match book.find(crate::knowledge::Kind::Active, active.trim()) {
                Ok(id) => id,
                Err(unknown) => {
                    let near = unknown
                        .suggestion
                        .map_or(String::new(), |n| format!(" Did you mean {n}?"));
                    self.fault(
                        name,
                        &format!("The book has no active `{}`.{near}", active.trim()),
                    );
                    continue;
                }
            };
            let rate = match rate.trim() {
                "" => None,
                typed => match typed.parse::<Rate>() {
                    Ok(rate) => Some(rate),
                    Err(error) => {
                        self.fault(name, &error);
                        None
                    }
                },
            };
            all.push(ActiveUsed { active, rate });
        }
        all
    }

    /// Reads the form over what the note planned.
    pub fn entry(&mut self, book: &Knowledge, plan: &Application, today: Date) -> Application {
        let form = self.form;
        let typed = form.get("date");
        let date = match typed.parse::<Date>() {
            Ok(date) if date.to_string() == typed => date,
            _ => {
                self.fault(
                    "date",
                    &format!("`{typed}` is no date; write year, month and day as 2026-05-10"),
                );
                today
            }
        };
        let mut products = Vec::new();
        for place in 0..MOST_PRODUCTS {
            let actives = self.actives(book, ACTIVES[place]);
            let product = Product {
                name: form.text(NAMES[place]),
                registration: form.text(NUMBERS[place]),
                rate: form.text(RATES[place]),
                total: form.text(TOTALS[place]),
                actives,
            };
            if product != Product::default() {
                products.push(product);
            }
        }
        let items = book
            .record_fields
            .iter()
            .filter_map(|f| Some((f.id.clone(), form.text(&format!("item-{}", f.id))?)))
            .collect();
        let entry = Application {
            date,
            start_time: self.time("start"),
            end_time: self.time("end"),
            lawn: form.text("lawn"),
            area: form.text("area"),
            products,
            items,
            remarks: form.text("remarks"),
            ..plan.clone()
        };
        if self.faults.is_empty() {
            if entry.products.iter().all(|p| p.actives.is_empty()) {
                self.fault(ACTIVES[0], &"What was applied? Name at least one active.");
            } else if let Err(error) = What::Application(entry.clone()).check(today) {
                self.told(&error);
            }
        }
        entry
    }

    /// A fault that the record itself finds goes to the field that it names.
    fn told(&mut self, error: &RecordError) {
        let name = match error {
            RecordError::Item { item, .. } => match item.as_str() {
                "end-time" => "end",
                "lawn" => "lawn",
                "area-treated" => "area",
                "product-name" => NAMES[0],
                "registration-number" => NUMBERS[0],
                "rate-per-unit" => RATES[0],
                "amount-product-total" => TOTALS[0],
                "remarks" => "remarks",
                _ => "date",
            },
            _ => "date",
        };
        self.fault(name, &error);
    }
}
