//! What can be written down, and what is refused with its reason.
use super::entry::{Application, LONGEST_TEXT, Observation, What};
use super::error::RecordError;
use super::rate::number;
use jiff::civil::{Date, date};
use rust_decimal::Decimal;

/// Most products of one treatment, actives of one product, and further items.
const MOST: usize = 60;
/// No treatment of a lawn is older than the first organic herbicides.
const FIRST_DAY: Date = date(1930, 1, 1);

impl What {
    /// Whether it can be written down on `today`.
    ///
    /// # Errors
    /// The first thing that is wrong, by name.
    pub fn check(&self, today: Date) -> Result<(), RecordError> {
        let day = self.date();
        if day > today {
            return Err(RecordError::Future { day, today });
        }
        if day < FIRST_DAY {
            return Err(wrong(
                "date",
                &day.to_string(),
                "it lies before 1930; check the year",
            ));
        }
        match self {
            Self::Application(a) => application(a),
            Self::Observation(o) => observation(o),
            Self::Seeding(s) => {
                optional("lawn", s.lawn.as_deref())?;
                optional("remarks", s.remarks.as_deref())?;
                s.turf.iter().try_for_each(|t| id("turf", t))
            }
            Self::Withdrawal(w) => optional("lawn", w.lawn.as_deref()),
        }
    }
}

fn wrong(item: &str, typed: &str, why: &str) -> RecordError {
    RecordError::Item {
        item: item.to_owned(),
        typed: typed.chars().take(60).collect(),
        why: why.to_owned(),
    }
}

fn application(a: &Application) -> Result<(), RecordError> {
    if let (Some(from), Some(to)) = (a.start_time, a.end_time)
        && to < from
    {
        return Err(wrong(
            "end-time",
            &to.to_string(),
            "it lies before the time started",
        ));
    }
    optional("lawn", a.lawn.as_deref())?;
    optional("remarks", a.remarks.as_deref())?;
    a.place.iter().try_for_each(|p| id("place", p))?;
    a.turf.iter().try_for_each(|t| id("turf", t))?;
    a.weeds.iter().try_for_each(|w| id("weed-target", w))?;
    amount("area-treated", a.area.as_deref())?;
    if a.products.is_empty() {
        return Err(wrong(
            "product-name",
            "",
            "a treatment has at least one product; name it or its active",
        ));
    }
    let many = [a.products.len(), a.items.len(), a.weeds.len(), a.turf.len()];
    if many
        .into_iter()
        .chain(a.products.iter().map(|p| p.actives.len()))
        .any(|n| n > MOST)
    {
        return Err(wrong(
            "products",
            "",
            "there are more than sixty of one kind in one treatment",
        ));
    }
    for product in &a.products {
        optional("product-name", product.name.as_deref())?;
        optional("registration-number", product.registration.as_deref())?;
        amount("rate-per-unit", product.rate.as_deref())?;
        amount("amount-product-total", product.total.as_deref())?;
        if product.actives.is_empty() {
            let name = product
                .name
                .as_deref()
                .unwrap_or("a product without a name");
            return Err(wrong(
                "active-common-name",
                name,
                "this product has no active; the label names it, and without it no yearly limit can be kept",
            ));
        }
        product
            .actives
            .iter()
            .try_for_each(|used| id("active-common-name", &used.active))?;
    }
    for (name, value) in &a.items {
        id("name of an item", name)?;
        if super::csv::COLUMNS.contains(&name.as_str()) {
            return Err(wrong(
                name,
                value,
                "this item has a place of its own in the treatment",
            ));
        }
        text(name, value)?;
    }
    Ok(())
}

fn observation(o: &Observation) -> Result<(), RecordError> {
    for (item, percent) in [
        ("control-percent", o.control_percent),
        ("injury-percent", o.injury_percent),
    ] {
        if let Some(percent) = percent
            && !(Decimal::ZERO..=Decimal::ONE_HUNDRED).contains(&percent)
        {
            return Err(wrong(
                item,
                &percent.to_string(),
                "a percentage lies between 0 and 100",
            ));
        }
    }
    o.weed.iter().try_for_each(|w| id("weed", w))?;
    optional("injury", o.injury.as_deref())?;
    optional("remarks", o.remarks.as_deref())?;
    let seen = o.control_percent.is_some()
        || o.injury_percent.is_some()
        || o.injury.is_some()
        || o.remarks.is_some();
    if seen || o.resistance_suspected {
        Ok(())
    } else {
        Err(wrong(
            "observation",
            "",
            "nothing was seen; give the control, the injury or a remark",
        ))
    }
}

fn optional(item: &str, given: Option<&str>) -> Result<(), RecordError> {
    given.map_or(Ok(()), |typed| text(item, typed))
}

fn text(item: &str, typed: &str) -> Result<(), RecordError> {
    if typed.trim().is_empty() {
        return Err(wrong(item, typed, "it is empty; leave it out instead"));
    }
    if typed.chars().count() > LONGEST_TEXT {
        return Err(wrong(item, typed, "it is longer than 2000 characters"));
    }
    if typed.chars().any(|c| c.is_control() && c != '\n') {
        return Err(wrong(
            item,
            &typed.escape_debug().to_string(),
            "it holds characters that cannot be printed",
        ));
    }
    Ok(())
}

/// Names of the book are plain lower-case words; whether the book knows them is not for the record to say.
fn id(item: &str, typed: &str) -> Result<(), RecordError> {
    let plain = |c: char| {
        c.is_ascii_lowercase() || c.is_ascii_digit() || matches!(c, '-' | ',' | '.' | '_')
    };
    if typed.is_empty() || typed.len() > 80 || !typed.chars().all(plain) {
        return Err(wrong(
            item,
            typed,
            "it is no id; ids are lower-case words joined by hyphens",
        ));
    }
    Ok(())
}

/// A number with a unit, kept as it was written.
fn amount(item: &str, given: Option<&str>) -> Result<(), RecordError> {
    let Some(typed) = given else { return Ok(()) };
    text(item, typed)?;
    match number(typed) {
        Ok((_, unit))
            if unit.starts_with(|c: char| c.is_alphabetic() || c == '%') && unit.len() <= 60 =>
        {
            Ok(())
        }
        Ok(_) => Err(wrong(
            item,
            typed,
            "its unit is missing; write it as 12.5 fl oz",
        )),
        Err(why) => Err(wrong(
            item,
            typed,
            &format!("{why}; write it as 12.5 fl oz"),
        )),
    }
}
