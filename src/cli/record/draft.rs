//! A treatment that is being put together from flags, a note or JSON, and brought to the names of the book.
use super::day;
use anyhow::{Context, Result, bail};
use clap::Args;
use jiff::civil::{Date, Time};
use ligule::knowledge::{Kind, Knowledge};
use ligule::records::doubts::doubts;
use ligule::records::portable::Portable;
use ligule::records::{ActiveUsed, Application, Product, Rate, What, from_note};
use ligule::words::{nearest, plain};
use std::collections::BTreeSet;
use std::path::Path;

/// A treatment of one product by flags. Treatments with several products come from a note or from JSON.
#[derive(Debug, Args)]
pub struct Flags {
    /// Day of the treatment; today where it is missing
    #[arg(long, value_name = "DATE", value_parser = day)]
    pub date: Option<Date>,
    /// When it began
    #[arg(long, value_name = "07:30")]
    start: Option<Time>,
    /// When it ended
    #[arg(long, value_name = "08:10")]
    end: Option<Time>,
    /// The lawn or the part of it
    #[arg(long, value_name = "NAME")]
    pub lawn: Option<String>,
    /// The place whose law counts
    #[arg(long, value_name = "ID")]
    place: Option<String>,
    /// The grass; may be given several times
    #[arg(long, value_name = "ID")]
    turf: Vec<String>,
    /// The weed; may be given several times
    #[arg(long, value_name = "ID")]
    weed: Vec<String>,
    /// Area treated, with its unit
    #[arg(long, value_name = "4000 sq ft")]
    area: Option<String>,
    /// Name of the product as on the label
    #[arg(long, value_name = "NAME")]
    product: Option<String>,
    /// Number under which the product is registered
    #[arg(long, value_name = "NUMBER")]
    registration: Option<String>,
    /// Product per area, with its units
    #[arg(long, value_name = "0.367 oz/1000 sq ft")]
    rate: Option<String>,
    /// Product in all, with its unit
    #[arg(long, value_name = "1.5 oz")]
    total: Option<String>,
    /// An active of the product and its amount per area; may be given several times
    #[arg(long, value_name = "ID=0.75 lb/acre")]
    active: Vec<String>,
    /// Any other item of `ligule record fields`; may be given several times
    #[arg(long, value_name = "ITEM=TEXT")]
    set: Vec<String>,
    /// Anything else
    #[arg(long, value_name = "TEXT")]
    pub remarks: Option<String>,
}

impl Flags {
    /// Whether none was given.
    pub fn is_empty(&self) -> bool {
        let texts = [
            &self.lawn,
            &self.place,
            &self.area,
            &self.product,
            &self.registration,
            &self.rate,
            &self.total,
            &self.remarks,
        ];
        let lists = [&self.turf, &self.weed, &self.active, &self.set];
        self.date.is_none()
            && self.start.is_none()
            && self.end.is_none()
            && texts.iter().all(|t| t.is_none())
            && lists.iter().all(|l| l.is_empty())
    }

    /// Lays the flags over a treatment: what is given replaces what was there.
    pub fn over(&self, treatment: &mut Application) {
        treatment.date = self.date.unwrap_or(treatment.date);
        treatment.start_time = self.start.or(treatment.start_time);
        treatment.end_time = self.end.or(treatment.end_time);
        let put = |from: &Option<String>, into: &mut Option<String>| {
            if from.is_some() {
                into.clone_from(from);
            }
        };
        put(&self.lawn, &mut treatment.lawn);
        put(&self.place, &mut treatment.place);
        put(&self.area, &mut treatment.area);
        put(&self.remarks, &mut treatment.remarks);
        if !self.turf.is_empty() {
            treatment.turf.clone_from(&self.turf);
        }
        if !self.weed.is_empty() {
            treatment.weeds.clone_from(&self.weed);
        }
        if treatment.products.is_empty() {
            treatment.products.push(Product::default());
        }
        let product = &mut treatment.products[0];
        put(&self.product, &mut product.name);
        put(&self.registration, &mut product.registration);
        put(&self.rate, &mut product.rate);
        put(&self.total, &mut product.total);
        for typed in &self.active {
            let (id, rate) = split(typed);
            // The rate is read when the names are settled, so that every fault is told in one way.
            product.actives.retain(|a| plain(&a.active) != plain(id));
            product.actives.push(ActiveUsed {
                active: typed.clone(),
                rate: None,
            });
            if rate.is_none() {
                id.clone_into(
                    &mut product
                        .actives
                        .last_mut()
                        .expect("one was just pushed")
                        .active,
                );
            }
        }
        for typed in &self.set {
            let (item, text) = split(typed);
            match text {
                Some("") => treatment.items.remove(item),
                _ => treatment
                    .items
                    .insert(item.to_owned(), text.unwrap_or_default().to_owned()),
            };
        }
    }
}

/// `a=b` in two; ids of actives never hold an equals sign.
fn split(typed: &str) -> (&str, Option<&str>) {
    typed
        .split_once('=')
        .map_or((typed.trim(), None), |(a, b)| (a.trim(), Some(b.trim())))
}

pub fn from_note(path: &Path) -> Result<Application> {
    let text = std::fs::read_to_string(path)
        .with_context(|| format!("cannot read the note {}", path.display()))?;
    from_note::application(&text)
        .with_context(|| format!("the note {} cannot be recorded", path.display()))
}

pub fn from_details(path: &Path) -> Result<Application> {
    let text = if path == Path::new("-") {
        std::io::read_to_string(std::io::stdin()).context("cannot read standard input")?
    } else {
        std::fs::read_to_string(path).with_context(|| format!("cannot read {}", path.display()))?
    };
    serde_json::from_str(&text).with_context(|| format!("{} is no treatment", path.display()))
}

/// Brings every name to the id of the book and reads the rates. Gives back what is odd but no fault.
pub fn settle(book: &Knowledge, treatment: &mut Application) -> Result<Vec<String>> {
    if let Some(place) = &mut treatment.place {
        *place = book.find(Kind::Place, place)?;
    }
    for turf in &mut treatment.turf {
        *turf = book.find(Kind::Turf, turf)?;
    }
    for weed in &mut treatment.weeds {
        *weed = book.find(Kind::Weed, weed)?;
    }
    for used in treatment.products.iter_mut().flat_map(|p| &mut p.actives) {
        let typed = used.active.clone();
        let (id, rate) = split(&typed);
        used.active = book.find(Kind::Active, id)?;
        if let Some(rate) = rate {
            used.rate = Some(rate.parse::<Rate>()?);
        }
    }
    for item in treatment.items.keys() {
        if !book.record_fields.iter().any(|f| f.id == *item) {
            let near = nearest(item, book.record_fields.iter().map(|f| f.id.as_str()));
            let meant = near.map_or(String::new(), |n| format!("; did you mean `{n}`?"));
            bail!("--set: there is no item `{item}`{meant} (`ligule record fields` lists them)");
        }
    }
    Ok(doubts(book, treatment))
}

/// Actives of imported treatments that the book does not have.
pub fn unknown_actives(book: &Knowledge, entries: &[Portable]) -> BTreeSet<String> {
    entries
        .iter()
        .filter_map(|e| match &e.what {
            What::Application(a) => Some(a),
            _ => None,
        })
        .flat_map(|a| a.products.iter().flat_map(|p| &p.actives))
        .map(|used| used.active.clone())
        .filter(|id| !book.actives.contains_key(id))
        .collect()
}
