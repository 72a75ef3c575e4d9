//! What the record holds: treatments, what was seen afterwards, seedings, and entries taken back.
use super::RecordError;
use super::rate::{Rate, number};
use jiff::civil::{Date, Time, date};
use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// Longest text of one item, in characters.
pub const LONGEST_TEXT: usize = 2000;
/// Most products of one treatment, actives of one product, and further items.
const MOST: usize = 60;
/// No treatment of a lawn is older than the first organic herbicides.
const FIRST_DAY: Date = date(1930, 1, 1);

/// One entry as it stands in the file.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Entry {
    /// Number in this file, from 1 without gaps.
    pub id: i64,
    /// Name that stays the same in every copy of the record.
    pub uid: String,
    /// Day on which it was written.
    pub recorded_on: Date,
    /// The entry that this one replaces.
    pub corrects: Option<i64>,
    /// The entry that replaces this one.
    pub corrected_by: Option<i64>,
    /// The treatment that an observation is about.
    pub about: Option<i64>,
    /// Why something was corrected.
    pub why: Option<String>,
    /// What happened.
    pub what: What,
}

/// What an entry tells.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", tag = "kind", content = "details")]
pub enum What {
    /// Something was applied.
    Application(Application),
    /// Somebody looked at the result.
    Observation(Observation),
    /// The lawn was seeded or laid.
    Seeding(Seeding),
    /// The corrected entry should not have been written at all.
    Withdrawal(Withdrawal),
}

/// A treatment.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Application {
    /// Day of the treatment.
    pub date: Date,
    /// When it began.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub start_time: Option<Time>,
    /// When it ended.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub end_time: Option<Time>,
    /// The lawn or the part of it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lawn: Option<String>,
    /// Id of the place whose law counts.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub place: Option<String>,
    /// Ids of the grasses.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub turf: Vec<String>,
    /// Ids of the weeds that were meant.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub weeds: Vec<String>,
    /// Area treated, a number and a unit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub area: Option<String>,
    /// The products, in the order of mixing.
    pub products: Vec<Product>,
    /// Everything else that was written down, by the ids of `record-fields.yaml`: weather, operator, licence, customer.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub items: BTreeMap<String, String>,
    /// Anything else.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub remarks: Option<String>,
}

/// A product as it was used.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Product {
    /// Name as on the label.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// Number under which it is registered.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub registration: Option<String>,
    /// Product per area, a number and a unit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rate: Option<String>,
    /// Product in all, a number and a unit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub total: Option<String>,
    /// What it holds that acts on weeds.
    pub actives: Vec<ActiveUsed>,
}

/// An active as it was used.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ActiveUsed {
    /// Id of the active.
    pub active: String,
    /// Active per area; missing where it is not known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rate: Option<Rate>,
}

/// What was seen some days after a treatment.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Observation {
    /// Day of looking.
    pub date: Date,
    /// Id of the weed that was looked at; missing for all weeds of the treatment.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub weed: Option<String>,
    /// Percent of the weed that is gone or dying, 0 to 100.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub control_percent: Option<Decimal>,
    /// Percent of the grass that is injured, 0 to 100.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub injury_percent: Option<Decimal>,
    /// What the injury looks like.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub injury: Option<String>,
    /// Whether the weed is suspected to withstand the treatment, other causes having been ruled out.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub resistance_suspected: bool,
    /// Anything else.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub remarks: Option<String>,
}

/// A seeding, overseeding or laying of sod.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Seeding {
    /// Day of seeding.
    pub date: Date,
    /// The lawn or the part of it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lawn: Option<String>,
    /// Ids of the grasses.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub turf: Vec<String>,
    /// Anything else.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub remarks: Option<String>,
}

/// An entry that takes another one back. It has the day of the entry that it takes back.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Withdrawal {
    /// Day of the entry that is taken back.
    pub date: Date,
    /// The lawn of the entry that is taken back.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lawn: Option<String>,
}

impl What {
    /// Day on which it happened.
    #[must_use]
    pub fn date(&self) -> Date {
        match self {
            Self::Application(a) => a.date,
            Self::Observation(o) => o.date,
            Self::Seeding(s) => s.date,
            Self::Withdrawal(w) => w.date,
        }
    }

    /// The lawn, where the entry itself names it.
    #[must_use]
    pub fn lawn(&self) -> Option<&str> {
        match self {
            Self::Application(a) => a.lawn.as_deref(),
            Self::Seeding(s) => s.lawn.as_deref(),
            Self::Withdrawal(w) => w.lawn.as_deref(),
            Self::Observation(_) => None,
        }
    }

    /// The word for it, as it stands in the file.
    #[must_use]
    pub fn kind(&self) -> &'static str {
        match self {
            Self::Application(_) => "application",
            Self::Observation(_) => "observation",
            Self::Seeding(_) => "seeding",
            Self::Withdrawal(_) => "withdrawal",
        }
    }

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
            return Err(wrong("date", &day.to_string(), "it lies before 1930; check the year"));
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
        return Err(wrong("end-time", &to.to_string(), "it lies before the time started"));
    }
    optional("lawn", a.lawn.as_deref())?;
    optional("remarks", a.remarks.as_deref())?;
    a.place.iter().try_for_each(|p| id("place", p))?;
    a.turf.iter().try_for_each(|t| id("turf", t))?;
    a.weeds.iter().try_for_each(|w| id("weed-target", w))?;
    amount("area-treated", a.area.as_deref())?;
    if a.products.is_empty() {
        return Err(wrong("product-name", "", "a treatment has at least one product; name it or its active"));
    }
    let many = [a.products.len(), a.items.len(), a.weeds.len(), a.turf.len()];
    if many.into_iter().chain(a.products.iter().map(|p| p.actives.len())).any(|n| n > MOST) {
        return Err(wrong("products", "", "there are more than sixty of one kind in one treatment"));
    }
    for product in &a.products {
        optional("product-name", product.name.as_deref())?;
        optional("registration-number", product.registration.as_deref())?;
        amount("rate-per-unit", product.rate.as_deref())?;
        amount("amount-product-total", product.total.as_deref())?;
        if product.actives.is_empty() {
            let name = product.name.as_deref().unwrap_or("a product without a name");
            return Err(wrong(
                "active-common-name",
                name,
                "this product has no active; the label names it, and without it no yearly limit can be kept",
            ));
        }
        product.actives.iter().try_for_each(|used| id("active-common-name", &used.active))?;
    }
    for (name, value) in &a.items {
        id("name of an item", name)?;
        if super::csv::COLUMNS.contains(&name.as_str()) {
            return Err(wrong(name, value, "this item has a place of its own in the treatment"));
        }
        text(name, value)?;
    }
    Ok(())
}

fn observation(o: &Observation) -> Result<(), RecordError> {
    for (item, percent) in [("control-percent", o.control_percent), ("injury-percent", o.injury_percent)] {
        if let Some(percent) = percent
            && !(Decimal::ZERO..=Decimal::ONE_HUNDRED).contains(&percent)
        {
            return Err(wrong(item, &percent.to_string(), "a percentage lies between 0 and 100"));
        }
    }
    o.weed.iter().try_for_each(|w| id("weed", w))?;
    optional("injury", o.injury.as_deref())?;
    optional("remarks", o.remarks.as_deref())?;
    let seen = o.control_percent.is_some() || o.injury_percent.is_some() || o.injury.is_some() || o.remarks.is_some();
    if seen || o.resistance_suspected {
        Ok(())
    } else {
        Err(wrong("observation", "", "nothing was seen; give the control, the injury or a remark"))
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
        return Err(wrong(item, &typed.escape_debug().to_string(), "it holds characters that cannot be printed"));
    }
    Ok(())
}

/// Names of the book are plain lower-case words; whether the book knows them is not for the record to say.
fn id(item: &str, typed: &str) -> Result<(), RecordError> {
    let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || matches!(c, '-' | ',' | '.' | '_');
    if typed.is_empty() || typed.len() > 80 || !typed.chars().all(plain) {
        return Err(wrong(item, typed, "it is no id; ids are lower-case words joined by hyphens"));
    }
    Ok(())
}

/// A number with a unit, kept as it was written.
fn amount(item: &str, given: Option<&str>) -> Result<(), RecordError> {
    let Some(typed) = given else { return Ok(()) };
    text(item, typed)?;
    match number(typed) {
        Ok((_, unit)) if unit.starts_with(|c: char| c.is_alphabetic() || c == '%') && unit.len() <= 60 => Ok(()),
        Ok(_) => Err(wrong(item, typed, "its unit is missing; write it as 12.5 fl oz")),
        Err(why) => Err(wrong(item, typed, &format!("{why}; write it as 12.5 fl oz"))),
    }
}
