//! `ligule amounts`: how much of the product in hand, load by load.
mod flags;
mod told;

use super::output::{Format, Outcome, load, print, print_json};
use super::treat;
use anyhow::{Result, bail};
use clap::Args;
use ligule::amounts::sheet::{self, Sheet, Wish};
use ligule::knowledge::form::common::Many;
use ligule::knowledge::{Kind, Knowledge};
use ligule::treatment::Treatment;
use ligule::visit::{Plant, Visit};
use std::path::{Path, PathBuf};

/// From the figures of the label to what is weighed, poured and done. Every figure is typed as it stands on the label.
#[derive(Debug, Args)]
pub struct Arguments {
    /// Lawn, sprayer and shelf from this answers file (- for standard input)
    #[arg(long, value_name = "FILE")]
    answers: Option<PathBuf>,
    /// Product of the shelf to take; may be repeated. With --rate: a name for the product
    #[arg(long, value_name = "NAME")]
    product: Vec<String>,
    /// Only this named area of the answers file; may be repeated
    #[arg(long, value_name = "NAME")]
    treat: Vec<String>,
    #[command(flatten)]
    label: flags::Label,
    #[command(flatten)]
    lawn: flags::Lawn,
    /// Day of the visit, 2026-05-10; today where it is missing
    #[arg(long, value_name = "DATE")]
    today: Option<String>,
    /// How to print the answer
    #[arg(long, value_enum, default_value_t)]
    format: Format,
}

pub fn run(arguments: &Arguments, folder: Option<&Path>) -> Result<Outcome> {
    let book = load(folder)?;
    let mut visit = match &arguments.answers {
        Some(path) => treat::answers(path)?,
        None => Visit::default(),
    };
    arguments.lawn.put(&mut visit.lawn)?;
    let mut products = Many(arguments.product.clone());
    if let Some(product) = arguments.label.product(&arguments.product)? {
        products = Many(vec![product.name.clone()]);
        visit.lawn.shelf = vec![product];
    }
    if !arguments.treat.is_empty() {
        visit.lawn.treat = Many(arguments.treat.clone());
    }
    if visit.lawn.shelf.is_empty() {
        bail!(
            "there is no product: give --answers FILE with a `shelf`, or --product NAME --rate RATE (`ligule amounts --help` shows more)"
        );
    }
    visit
        .plants
        .extend(arguments.lawn.weeds().iter().map(|weed| Plant {
            weed: Some(weed.clone()),
            ..Plant::default()
        }));
    let sheet = if products.is_empty() && !visit.plants.is_empty() {
        chosen(&book, &visit, arguments.today.as_deref())?
    } else {
        alone(&book, &visit, products)?
    };
    let Some(sheet) = sheet else {
        eprintln!(
            "Nothing on the shelf goes with what is chosen for this visit; `--product NAME` reckons a product all the same."
        );
        return Ok(Outcome::No);
    };
    match arguments.format {
        Format::Json => print_json(&told::json(&sheet))?,
        Format::Human => print(&told::human(&sheet))?,
    }
    Ok(if sheet.stopped() || sheet.has_findings() {
        Outcome::No
    } else {
        Outcome::Fine
    })
}

/// The sheet of the option that the visit leads to.
fn chosen(book: &Knowledge, visit: &Visit, today: Option<&str>) -> Result<Option<Sheet>> {
    let today = match today {
        Some(typed) => treat::parse_date(typed)?,
        None => jiff::ZonedDateTime::now().date(),
    };
    let treatment = Treatment::of(book, visit, today)?;
    if treatment.spray_day.is_none() {
        eprintln!("{}", treatment.verdict.headline);
    }
    Ok(treatment.spray_day)
}

/// The sheet of a product by itself: its label is held against the grass and the weeds that are named, but whether it
/// is the right treatment is not asked.
fn alone(book: &Knowledge, visit: &Visit, products: Many) -> Result<Option<Sheet>> {
    let find = |kind: Kind, typed: &str| book.find(kind, typed).map_err(anyhow::Error::from);
    let turf = visit
        .lawn
        .grass
        .iter()
        .map(|g| find(Kind::Turf, g))
        .collect::<Result<Vec<_>>>()?;
    let weeds = visit
        .plants
        .iter()
        .filter_map(|p| p.weed.as_deref())
        .map(|w| find(Kind::Weed, w))
        .collect::<Result<Vec<_>>>()?;
    let wish = Wish {
        turf: &turf,
        weeds: &weeds,
        chosen: &[],
        products,
    };
    Ok(sheet::reckon(book, &visit.lawn, &wish)?)
}
