//! What was applied, as a form: filled in from the note or from an entry, and from what was typed to an entry or to its
//! faults.
use super::entry::Part;
use super::typed::{Typed, shown};
use super::view::Field;
use crate::knowledge::{Kind, Knowledge};
use crate::records::{ActiveUsed, Application, Product, Rate};
use jiff::civil::Date;
use std::slice::from_ref;

/// A product with an active is one block of fields; so many blocks are shown at most. What an entry has beyond them stays.
pub const MOST_PRODUCTS: usize = 3;

/// What has a field of its own is not asked twice.
const OWN: [&str; 10] = [
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

/// A field of a product, such as `rate-1`, taken apart.
fn of_product(name: &str) -> Option<(&str, usize)> {
    let (what, place) = name.rsplit_once('-')?;
    let place = place.parse::<usize>().ok()?.checked_sub(1)?;
    (what != "item" && place < MOST_PRODUCTS).then_some((what, place))
}

/// The parts of the form.
pub fn parts(book: &Knowledge, value: &dyn Fn(&str) -> String) -> Vec<Part> {
    let one =
        |name: &'static str, label: &'static str, hint| Field::new(name, label, hint, value(name));
    let mut all = vec![Part {
        fields: vec![
            one("date", "Day", "2026-05-09"),
            one("start", "Begun at", "07:30; may stay empty"),
            one("end", "Ended at", "08:10; may stay empty"),
            one("lawn", "Lawn", "the name that you always use for it"),
            one("area", "Area treated", "2400 sq ft"),
        ],
        ..Part::default()
    }];
    all.extend((0..MOST_PRODUCTS).map(|place| {
        let fields = product(place, value);
        Part {
            heading: match place {
                0 => "The product".to_owned(),
                more => format!("Product {}", more + 1),
            },
            folded: place > 0,
            open: fields.iter().any(|f| !f.value.is_empty()),
            fields,
            ..Part::default()
        }
    }));
    all.push(Part {
        fields: vec![
            one(
                "remarks",
                "Remarks",
                "anything else worth knowing next year",
            )
            .long(),
        ],
        ..Part::default()
    });
    all.push(Part {
        heading: "Weeds, grass and place".to_owned(),
        folded: true,
        fields: vec![
            one("weeds", "Weeds", "one a line").long(),
            one("turf", "Grass", "one a line").long(),
            one(
                "place",
                "Place whose law counts",
                "a state, as on the page of the lawn",
            ),
        ],
        ..Part::default()
    });
    all.push(Part {
        heading: "Weather, person and other items".to_owned(),
        folded: true,
        fields: items(book)
            .map(|(id, label)| {
                let name = format!("item-{id}");
                let typed = value(&name);
                Field::new(name, label.to_owned(), "", typed)
            })
            .collect(),
        ..Part::default()
    });
    all
}

fn items(book: &Knowledge) -> impl Iterator<Item = (&str, &str)> {
    book.record_fields
        .iter()
        .filter(|f| !OWN.contains(&f.id.as_str()))
        .map(|f| (f.id.as_str(), f.name.as_str()))
}

fn product(place: usize, value: &dyn Fn(&str) -> String) -> Vec<Field> {
    let one = |what: &str, label: &'static str, hint| {
        let name = format!("{what}-{}", place + 1);
        let typed = value(&name);
        Field::new(name, label, hint, typed)
    };
    vec![
        one("product", "Product (as on the label)", ""),
        one(
            "registration",
            "Registration number",
            "as on the label; may stay empty",
        ),
        one("rate", "Product per area", "0.4 fl oz/1000 sq ft"),
        one("total", "Product in all", "1 fl oz"),
        one(
            "actives",
            "Actives, each with what went on per area",
            "one a line, the name, then = and the amount, such as 0.5 lb/acre. Without the amount its yearly limit cannot be kept.",
        )
        .long(),
    ]
}

/// What stands in a field of a treatment.
pub fn value(book: &Knowledge, plan: &Application, name: &str) -> String {
    let time =
        |t: Option<jiff::civil::Time>| t.map_or(String::new(), |t| t.strftime("%H:%M").to_string());
    if let Some((what, place)) = of_product(name) {
        let Some(product) = plan.products.get(place) else {
            return String::new();
        };
        return match what {
            "product" => product.name.clone().unwrap_or_default(),
            "registration" => product.registration.clone().unwrap_or_default(),
            "rate" => product.rate.clone().unwrap_or_default(),
            "total" => product.total.clone().unwrap_or_default(),
            "actives" => actives_shown(product),
            _ => String::new(),
        };
    }
    if let Some(item) = name.strip_prefix("item-") {
        return plan.items.get(item).cloned().unwrap_or_default();
    }
    match name {
        "date" => plan.date.to_string(),
        "start" => time(plan.start_time),
        "end" => time(plan.end_time),
        "lawn" => plan.lawn.clone().unwrap_or_default(),
        "area" => plan.area.clone().unwrap_or_default(),
        "remarks" => plan.remarks.clone().unwrap_or_default(),
        "weeds" => shown(book, Kind::Weed, &plan.weeds),
        "turf" => shown(book, Kind::Turf, &plan.turf),
        "place" => plan
            .place
            .as_ref()
            .map_or(String::new(), |p| shown(book, Kind::Place, from_ref(p))),
        _ => String::new(),
    }
}

fn actives_shown(product: &Product) -> String {
    let lines: Vec<String> = product
        .actives
        .iter()
        .map(|a| match &a.rate {
            Some(rate) => format!("{} = {rate}", a.active),
            None => format!("{} = ", a.active),
        })
        .collect();
    lines.join("\n")
}

fn actives(typed: &mut Typed<'_>, book: &Knowledge, field: &str) -> Vec<ActiveUsed> {
    let mut all = Vec::new();
    let form = typed.form;
    for line in form.get(field).lines().map(str::trim) {
        if line.is_empty() {
            continue;
        }
        let (active, rate) = line.split_once('=').unwrap_or((line, ""));
        let Some(active) = typed.name(book, field, Kind::Active, active.trim()) else {
            continue;
        };
        let rate = match rate.trim() {
            "" => None,
            text => match text.parse::<Rate>() {
                Ok(rate) => Some(rate),
                Err(error) => {
                    typed.fault(field, &error);
                    None
                }
            },
        };
        all.push(ActiveUsed { active, rate });
    }
    all
}

/// Reads the form over what the note planned, or what the entry said.
pub fn read(
    typed: &mut Typed<'_>,
    book: &Knowledge,
    plan: &Application,
    today: Date,
) -> Application {
    let form = typed.form;
    let date = typed.date(today);
    let mut products = Vec::new();
    for place in 1..=MOST_PRODUCTS {
        let text = |what: &str| form.text(&format!("{what}-{place}"));
        let product = Product {
            name: text("product"),
            registration: text("registration"),
            rate: text("rate"),
            total: text("total"),
            actives: actives(typed, book, &format!("actives-{place}")),
        };
        if product != Product::default() {
            products.push(product);
        }
    }
    products.extend(plan.products.iter().skip(MOST_PRODUCTS).cloned());
    let asked: Vec<&str> = items(book).map(|(id, _)| id).collect();
    let mut written = plan.items.clone();
    written.retain(|id, _| !asked.contains(&id.as_str()));
    for id in asked {
        if let Some(text) = form.text(&format!("item-{id}")) {
            written.insert(id.to_owned(), text);
        }
    }
    let place = match form.given("place") {
        Some(text) => typed.name(book, "place", Kind::Place, text),
        None if form.has("place") => None,
        None => plan.place.clone(),
    };
    let entry = Application {
        date,
        start_time: typed.time("start"),
        end_time: typed.time("end"),
        lawn: typed.text("lawn", None),
        place,
        turf: typed.names(book, "turf", Kind::Turf, &plan.turf),
        weeds: typed.names(book, "weeds", Kind::Weed, &plan.weeds),
        area: typed.text("area", None),
        products,
        items: written,
        remarks: typed.text("remarks", None),
    };
    if typed.faults.is_empty() && entry.products.iter().all(|p| p.actives.is_empty()) {
        typed.fault("actives-1", &"What was applied? Name at least one active.");
    }
    entry
}

/// The field of an item of the record.
pub fn field_of(item: &str) -> String {
    match item {
        "start-time" => "start",
        "end-time" => "end",
        "area-treated" => "area",
        "weed-target" => "weeds",
        "product-name" => "product-1",
        "registration-number" => "registration-1",
        "rate-per-unit" => "rate-1",
        "amount-product-total" => "total-1",
        "active-common-name" => "actives-1",
        own @ ("date" | "lawn" | "turf" | "place" | "remarks") => own,
        other => return format!("item-{other}"),
    }
    .to_owned()
}
