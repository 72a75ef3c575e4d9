//! A label as a form: its fields, and from what was typed to a product or to the faults beside the fields.
use super::ask::Fields;
use super::figures::{self, Reader, Row, text, texts};
use super::view::Field;
use crate::knowledge::Knowledge;
use crate::knowledge::fact::one_line;
use crate::knowledge::form::common::Many;
use crate::lawn::label::label;
use crate::lawn::product::{Added, Droplets, Holds, Maximum, PackForm, Product, Rates};

/// Longest name of a product.
const LONGEST_NAME: usize = 60;
/// Fields that take one text, in the order of a label: name in the form, what to read, how to fill it in, several lines.
const TABLE: [Row; 23] = [
    (
        "name",
        "What you call it",
        "your own name for it, such as: sedge granule",
        false,
    ),
    (
        "actives",
        "Active ingredients and how much of each",
        "one a line, with its content as printed: the name = 4 lb a.e./gal, or = 75 %",
        true,
    ),
    (
        "formulation",
        "Kind of product",
        "the letters by the name, such as EC, SL, WG, GR; may stay empty",
        false,
    ),
    (
        "broadcast",
        "Rate on the whole area",
        "as printed: 0.4-0.6 fl oz/1000 sq ft",
        false,
    ),
    (
        "spot",
        "Rate on single plants",
        "as printed: 1 fl oz/gal; may stay empty",
        false,
    ),
    (
        "water",
        "Water (spray in all) per area",
        "as printed: 1-2 gal/1000 sq ft; not for granules",
        false,
    ),
    (
        "most",
        "Most in one treatment",
        "as printed: 0.6 fl oz/1000 sq ft",
        false,
    ),
    (
        "year",
        "Most in a year",
        "as printed: 1.2 fl oz/1000 sq ft",
        false,
    ),
    ("times", "Most treatments in a year", "a number", false),
    (
        "interval",
        "Least days between two treatments",
        "a number",
        false,
    ),
    (
        "adjuvant",
        "What must be added",
        "one a line: nonionic surfactant = 0.25 % v/v",
        true,
    ),
    (
        "finest",
        "Finest droplets allowed",
        "such as medium; may stay empty",
        false,
    ),
    (
        "coarsest",
        "Coarsest droplets allowed",
        "may stay empty",
        false,
    ),
    ("rain", "Dry hours after it", "as printed", false),
    (
        "again",
        "When people and pets may go on the lawn again",
        "as printed",
        false,
    ),
    ("mowing", "Mowing before and after", "as printed", false),
    (
        "other-grasses",
        "Other grasses that the label names",
        "one a line",
        true,
    ),
    (
        "other-weeds",
        "Other weeds that the label names",
        "one a line",
        true,
    ),
    ("pack", "Size of the pack", "8 fl oz", false),
    ("price", "What it costs", "a number", false),
    ("keeps", "Years that it keeps once open", "a number", false),
    (
        "shared",
        "Lawns of neighbours who share the pack",
        "one area a line: 4000 sq ft",
        true,
    ),
    (
        "used",
        "What went on this lawn this year already",
        "one amount a line: 2 fl oz",
        true,
    ),
];

/// The fields with what stands in them.
pub fn fields(value: impl Fn(&str) -> String) -> Vec<Field> {
    figures::fields(&TABLE, value)
}

/// What stands in a field of a product that is kept.
pub fn value(product: &Product, name: &str, named: &[String]) -> String {
    let plain = |one: &Option<String>| one.clone().unwrap_or_default();
    let number = |one: Option<u32>| one.map_or(String::new(), |n| n.to_string());
    let others = |all: &Many| -> String {
        let all: Vec<&str> = all
            .iter()
            .filter(|n| !named.contains(n))
            .map(String::as_str)
            .collect();
        all.join("\n")
    };
    let pack = product.pack.as_ref();
    let droplets = product.droplets.as_ref();
    match name {
        "name" => product.name.clone(),
        "actives" => {
            let all: Vec<String> = product
                .actives
                .iter()
                .map(|a| {
                    format!(
                        "{} = {}",
                        a.active,
                        a.content.as_deref().unwrap_or_default()
                    )
                })
                .collect();
            all.join("\n")
        }
        "formulation" => plain(&product.formulation),
        "broadcast" => text(product.rates.broadcast.as_ref()),
        "spot" => text(product.rates.spot.as_ref()),
        "water" => text(product.water.as_ref()),
        "most" => text(product.maximum.application.as_ref()),
        "year" => text(product.maximum.year.as_ref()),
        "times" => number(product.treatments_per_year),
        "interval" => number(product.interval_days),
        "adjuvant" => {
            let all: Vec<String> = product
                .adjuvant
                .iter()
                .map(|a| format!("{} = {}", a.name, a.rate.text()))
                .collect();
            all.join("\n")
        }
        "finest" => text(droplets.and_then(|d| d.finest.as_ref())),
        "coarsest" => text(droplets.and_then(|d| d.coarsest.as_ref())),
        "rain" => plain(&product.rain_free),
        "again" => plain(&product.re_entry),
        "mowing" => plain(&product.mowing),
        "other-grasses" => others(&product.grasses),
        "other-weeds" => others(&product.weeds),
        "pack" => pack.map_or(String::new(), |p| p.size.text().to_owned()),
        "price" => text(pack.and_then(|p| p.price.as_ref())),
        "keeps" => text(pack.and_then(|p| p.keeps_years.as_ref())),
        "shared" => pack.map_or(String::new(), |p| texts(&p.shared_with)),
        "used" => texts(&product.used_this_year),
        _ => String::new(),
    }
}

/// Where the label is read, and the field in which that part of it is typed.
const PARTS: [(&str, &str); 8] = [
    ("formulation", "formulation"),
    ("actives", "actives"),
    ("rates: broadcast", "broadcast"),
    ("rates: spot", "spot"),
    ("water", "water"),
    ("maximum: application", "most"),
    ("maximum: year", "year"),
    ("", "name"),
];

/// The product that a form describes, or the form with what is wrong beside its fields and everything typed kept.
pub fn read(book: &Knowledge, form: &Fields) -> Result<Product, Vec<Field>> {
    let mut reader = Reader::new(form, &TABLE);
    let r = &mut reader;
    let name = form.get("name").to_owned();
    if crate::words::plain(&name).is_empty() {
        r.fault(
            "name",
            &"Give it a name, so that it can be found on the shelf.",
        );
    }
    if one_line(&name, LONGEST_NAME) != name {
        r.fault(
            "name",
            &format!("One line of at most {LONGEST_NAME} letters, please."),
        );
    }
    let actives: Vec<Holds> = r
        .pairs("actives")
        .into_iter()
        .map(|(active, content)| Holds {
            active,
            content: Some(content).filter(|c| !c.is_empty()),
        })
        .collect();
    if actives.is_empty() && r.fields[1].fault.is_empty() {
        r.fault("actives", &"Name every active ingredient with its content; without them no slip in a rate could be seen.");
    }
    let mut adjuvant = Vec::new();
    for (name, rate) in r.pairs("adjuvant") {
        match rate.parse() {
            Ok(rate) => adjuvant.push(Added { name, rate }),
            Err(fault) => r.fault("adjuvant", &fault),
        }
    }
    let droplets = Droplets {
        finest: r.figure("finest"),
        coarsest: r.figure("coarsest"),
    };
    let size = r.figure("pack");
    let (price, keeps_years, shared_with) =
        (r.figure("price"), r.figure("keeps"), r.figures("shared"));
    if size.is_none() && (price.is_some() || keeps_years.is_some() || !shared_with.is_empty()) {
        r.fault(
            "pack",
            &"Price, keeping and sharing need the size of the pack.",
        );
    }
    let named = |name: &str, r: &Reader<'_>| {
        let mut all = form.all(name);
        all.extend(r.words(&format!("other-{name}")));
        Many(all)
    };
    let product = Product {
        name,
        actives,
        formulation: form.text("formulation"),
        rates: Rates {
            broadcast: r.figure("broadcast"),
            spot: r.figure("spot"),
        },
        water: r.figure("water"),
        maximum: Maximum {
            application: r.figure("most"),
            year: r.figure("year"),
        },
        treatments_per_year: r.number("times"),
        interval_days: r.number("interval"),
        adjuvant,
        rain_free: form.text("rain"),
        re_entry: form.text("again"),
        mowing: form.text("mowing"),
        droplets: (droplets.finest.is_some() || droplets.coarsest.is_some()).then_some(droplets),
        grasses: named("grasses", r),
        weeds: named("weeds", r),
        pack: size.map(|size| PackForm {
            size,
            price,
            keeps_years,
            shared_with,
        }),
        used_this_year: r.figures("used"),
    };
    // Figures that are fine one by one may not go together.
    if reader.is_fine()
        && let Err(error) = label(book.mixing.as_ref(), &product)
    {
        let field = PARTS.iter().find(|(part, _)| error.place.ends_with(part));
        reader.fault(field.map_or("name", |(_, name)| name), &error.fault);
    }
    if reader.is_fine() {
        Ok(product)
    } else {
        Err(reader.fields)
    }
}
