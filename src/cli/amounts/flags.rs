//! A label and a lawn from the command line, brought into the forms of the answers file.
use anyhow::{Context, Result, bail};
use clap::Args;
use ligule::knowledge::form::common::Many;
use ligule::lawn::form::{Hardness, Plain, Sprayer, Water};
use ligule::lawn::product::{Added, Holds, Maximum, PackForm, Product, Rates};
use ligule::lawn::{Several, Written};
use ligule::measure::Fault;
use ligule::visit;
use std::str::FromStr;

#[derive(Debug, Args)]
#[command(next_help_heading = "The label")]
pub struct Label {
    /// Rate on the whole area: `0.4-0.6 fl oz/1000 sq ft`
    #[arg(long)]
    rate: Option<String>,
    /// Rate on single plants: `1 fl oz/gal`
    #[arg(long)]
    spot_rate: Option<String>,
    /// An active with its content: `NAME=4 lb a.e./gal`; may be repeated
    #[arg(long, value_name = "NAME=CONTENT")]
    active: Vec<String>,
    /// Formulation code: EC, WG, SL, GR
    #[arg(long)]
    formulation: Option<String>,
    /// Spray per area: `1-2 gal/1000 sq ft`
    #[arg(long)]
    water: Option<String>,
    /// Most in one treatment, per area
    #[arg(long)]
    maximum: Option<String>,
    /// Most in a year, per area: `2 qt/A/year`
    #[arg(long)]
    per_year: Option<String>,
    /// Treatments a year
    #[arg(long)]
    treatments: Option<u32>,
    /// What went on this lawn this year already; may be repeated
    #[arg(long, value_name = "AMOUNT")]
    used: Vec<String>,
    /// An adjuvant with its rate: `nonionic surfactant=0.25 % v/v`; may be repeated
    #[arg(long, value_name = "NAME=RATE")]
    adjuvant: Vec<String>,
    /// A grass named on the label; may be repeated
    #[arg(long = "label-grass", value_name = "GRASS")]
    grasses: Vec<String>,
    /// A weed named on the label; may be repeated
    #[arg(long = "label-weed", value_name = "WEED")]
    weeds: Vec<String>,
    /// Size of a pack
    #[arg(long)]
    pack: Option<String>,
    /// Price of a pack
    #[arg(long, requires = "pack")]
    price: Option<String>,
    /// Years that an open pack keeps
    #[arg(long, requires = "pack")]
    keeps: Option<String>,
    /// Lawn of a neighbour who takes a share of the pack; may be repeated
    #[arg(long, value_name = "AREA", requires = "price")]
    share: Vec<String>,
}

#[derive(Debug, Args)]
#[command(next_help_heading = "The lawn")]
pub struct Lawn {
    /// Ground to treat: a figure or a shape
    #[arg(long)]
    area: Option<String>,
    /// The grass; may be repeated
    #[arg(long, value_name = "GRASS")]
    turf: Vec<String>,
    /// A weed to treat; may be repeated
    #[arg(long, value_name = "WEED")]
    weed: Vec<String>,
    /// Volume of the tank
    #[arg(long)]
    tank: Option<String>,
    /// Spray per area that the sprayer puts out
    #[arg(long, value_name = "VOLUME")]
    output: Option<String>,
    /// Measuring tool: `scale 0.1 g`, `syringe 0.5 mL`, `cup 1 fl oz`, `spoons`; may be repeated
    #[arg(long)]
    tool: Vec<String>,
    /// pH of the spray water
    #[arg(long)]
    ph: Option<String>,
    /// Hardness of the spray water: `250 ppm`
    #[arg(long)]
    hardness: Option<String>,
}

fn read<T: FromStr<Err = Fault>>(flag: &str, text: &str) -> Result<Written<T>> {
    text.parse().with_context(|| format!("--{flag}"))
}

fn maybe<T: FromStr<Err = Fault>>(flag: &str, text: Option<&String>) -> Result<Option<Written<T>>> {
    text.map(|t| read(flag, t)).transpose()
}

fn all<T: FromStr<Err = Fault>>(flag: &str, texts: &[String]) -> Result<Several<Written<T>>> {
    let read = texts.iter().map(|t| read(flag, t)).collect::<Result<_>>()?;
    Ok(Several(read))
}

fn pair<'a>(flag: &str, text: &'a str) -> Result<(&'a str, &'a str)> {
    match text.split_once('=') {
        Some((name, figure)) if !name.trim().is_empty() && !figure.trim().is_empty() => {
            Ok((name.trim(), figure.trim()))
        }
        _ => bail!("--{flag}: `{text}` is no pair; write NAME=FIGURE"),
    }
}

impl Label {
    /// The product that the flags describe; nothing where no rate is given.
    pub fn product(&self, names: &[String]) -> Result<Option<Product>> {
        if self.rate.is_none() && self.spot_rate.is_none() {
            return Ok(None);
        }
        let name = match names {
            [] => "the product".to_owned(),
            [one] => one.clone(),
            _ => bail!(
                "--rate and --spot-rate describe one product; give one --product, or an answers file with a shelf"
            ),
        };
        if self.active.is_empty() {
            bail!(
                "--active: name every active of the label with its content, such as --active \"NAME=4 lb a.e./gal\"; without it no slip in the rate could be seen"
            );
        }
        let actives = self
            .active
            .iter()
            .map(|text| {
                let (active, content) = pair("active", text)?;
                Ok(Holds {
                    active: active.to_owned(),
                    content: Some(content.to_owned()),
                })
            })
            .collect::<Result<_>>()?;
        let adjuvant = self
            .adjuvant
            .iter()
            .map(|text| {
                let (name, rate) = pair("adjuvant", text)?;
                Ok(Added {
                    name: name.to_owned(),
                    rate: read("adjuvant", rate)?,
                })
            })
            .collect::<Result<_>>()?;
        let pack = match &self.pack {
            None => None,
            Some(size) => Some(PackForm {
                size: read("pack", size)?,
                price: maybe::<Plain>("price", self.price.as_ref())?,
                keeps_years: maybe::<Plain>("keeps", self.keeps.as_ref())?,
                shared_with: all("share", &self.share)?,
            }),
        };
        Ok(Some(Product {
            name,
            actives,
            formulation: self.formulation.clone(),
            rates: Rates {
                broadcast: maybe("rate", self.rate.as_ref())?,
                spot: maybe("spot-rate", self.spot_rate.as_ref())?,
            },
            water: maybe("water", self.water.as_ref())?,
            maximum: Maximum {
                application: maybe("maximum", self.maximum.as_ref())?,
                year: maybe("per-year", self.per_year.as_ref())?,
            },
            treatments_per_year: self.treatments,
            interval_days: None,
            adjuvant,
            rain_free: None,
            re_entry: None,
            mowing: None,
            droplets: None,
            grasses: Many(self.grasses.clone()),
            weeds: Many(self.weeds.clone()),
            pack,
            used_this_year: all("used", &self.used)?,
        }))
    }
}

impl Lawn {
    /// Puts what the flags say in the place of what the file says.
    pub fn put(&self, lawn: &mut visit::Lawn) -> Result<()> {
        if let Some(area) = &self.area {
            if ligule::lawn::form::plain_area(area).is_none() {
                // Read once more for the reason.
                ligule::measure::area::shape(area).context("--area")?;
                bail!("--area: `{area}` is no area");
            }
            lawn.area = Some(area.clone());
            lawn.areas.clear();
        }
        if !self.turf.is_empty() {
            lawn.grass = Many(self.turf.clone());
        }
        let old = lawn.sprayer.take().unwrap_or_default();
        let output = maybe("output", self.output.as_ref())?;
        let sprayer = Sprayer {
            tank: maybe("tank", self.tank.as_ref())?.or(old.tank),
            calibration: if output.is_some() {
                None
            } else {
                old.calibration
            },
            output: output.or(old.output),
            droplets: old.droplets,
        };
        if sprayer != Sprayer::default() {
            lawn.sprayer = Some(sprayer);
        }
        if !self.tool.is_empty() {
            lawn.measuring = all("tool", &self.tool)?;
        }
        if self.ph.is_some() || self.hardness.is_some() {
            lawn.water = Some(Water {
                ph: maybe::<Plain>("ph", self.ph.as_ref())?,
                hardness: maybe::<Hardness>("hardness", self.hardness.as_ref())?,
            });
        }
        Ok(())
    }

    /// Weeds named on the command line.
    pub fn weeds(&self) -> &[String] {
        &self.weed
    }
}
