//! What is typed after `ligule choose`, and the request that it means.
use super::output::Format;
use anyhow::{Context, Result, bail};
use clap::{Args, ValueEnum};
use jiff::civil::Date;
use ligule::choose::{Applicator, Request, Soil, WeedStage};
use ligule::treatment::lawn::air_range_f;
use std::path::PathBuf;

/// Who applies, as typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Who {
    /// On one's own lawn
    Homeowner,
    /// For pay
    ForHire,
}

impl From<Who> for Applicator {
    fn from(who: Who) -> Self {
        match who {
            Who::Homeowner => Self::Homeowner,
            Who::ForHire => Self::ForHire,
        }
    }
}

/// Moisture of the soil, as typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Moisture {
    /// Dry to a finger's depth
    Dry,
    /// Moist
    Moist,
    /// Waterlogged
    Waterlogged,
    /// Frozen
    Frozen,
}

impl From<Moisture> for Soil {
    fn from(soil: Moisture) -> Self {
        match soil {
            Moisture::Dry => Self::Dry,
            Moisture::Moist => Self::Moist,
            Moisture::Waterlogged => Self::Waterlogged,
            Moisture::Frozen => Self::Frozen,
        }
    }
}

#[derive(Debug, Args)]
pub struct Arguments {
    /// A weed, by id or name, if known with the percent of the ground that it covers; may be given several times
    #[arg(
        long = "weed",
        value_name = "ID[=PERCENT]",
        required_unless_present = "traits"
    )]
    pub weeds: Vec<String>,
    /// Choose while the plant is not certain: what was seen, as in `identify`
    #[arg(
        long = "trait",
        value_name = "NAME=VALUE",
        conflicts_with_all = ["weeds", "compare", "explain", "without_chemicals", "ask"]
    )]
    pub traits: Vec<String>,
    /// Region, for the chance of meeting a plant (with --trait)
    #[arg(long, value_name = "ID")]
    pub region: Option<String>,
    /// The grass of the lawn; several for a mixed lawn
    #[arg(long, value_name = "ID", required = true)]
    pub turf: Vec<String>,
    /// The cultivar of the grass
    #[arg(long, value_name = "NAME")]
    pub cultivar: Option<String>,
    /// Month of the treatment
    #[arg(long, value_parser = clap::value_parser!(u8).range(1..=12), value_name = "1..12")]
    pub month: Option<u8>,
    /// Stage of the grass
    #[arg(long, value_name = "ID", default_value = "established")]
    pub turf_stage: String,
    /// Weeks since the grass was seeded
    #[arg(long, value_name = "WEEKS", allow_negative_numbers = true)]
    pub weeks_since_seeding: Option<f64>,
    /// Weeks since sod, sprigs or plugs were laid
    #[arg(long, value_name = "WEEKS", allow_negative_numbers = true)]
    pub weeks_since_sodding: Option<f64>,
    /// How often the new grass has been mown
    #[arg(long, value_name = "N")]
    pub mowings: Option<u32>,
    /// Weeks until seed is to be sown or the lawn overseeded
    #[arg(long, value_name = "WEEKS", allow_negative_numbers = true)]
    pub seeding_in: Option<f64>,
    /// Moisture of the soil
    #[arg(long, value_enum)]
    pub soil: Option<Moisture>,
    /// How far the weeds have come: not-up, young, grown; `ID=STAGE` for one of them
    #[arg(long, value_name = "[ID=]STAGE")]
    pub weed_stage: Vec<String>,
    /// Air temperature of the day with its unit, or its range
    #[arg(long, value_name = "84F|29C|60F..84F")]
    pub air_temp: Option<String>,
    /// What is near: water, garden, trees, slope, neighbour, ...; `none` for nothing
    #[arg(long, value_name = "LIST", value_delimiter = ',')]
    pub near: Vec<String>,
    /// Use of the lawn, for the cover from which a treatment is worth it
    #[arg(long = "use", value_name = "USE")]
    pub lawn_use: Option<String>,
    /// The place whose law counts
    #[arg(long, value_name = "ID")]
    pub place: Option<String>,
    /// Who applies
    #[arg(long, value_enum)]
    pub applicator: Option<Who>,
    /// The record of this lawn; its intervals, yearly limits and groups then count
    #[arg(long, value_name = "FILE")]
    pub record: Option<PathBuf>,
    /// The lawn in the record
    #[arg(long, value_name = "NAME", requires = "record")]
    pub lawn: Option<String>,
    /// Day on which the lawn is to be seeded
    #[arg(long, value_name = "DATE", value_parser = super::record::day)]
    pub seed_on: Option<Date>,
    /// The day that counts as today
    #[arg(long, value_name = "DATE", value_parser = super::record::day)]
    pub today: Option<Date>,
    /// Follow options and exclusions down to the rows of the book; all of them, or those with one active
    #[arg(long, value_name = "ACTIVE", num_args = 0..=1, default_missing_value = "")]
    pub explain: Option<String>,
    /// Put two options side by side: numbers in the list, or actives joined by +
    #[arg(long, num_args = 2, value_names = ["A", "B"], conflicts_with = "explain")]
    pub compare: Option<Vec<String>>,
    /// Only what can be done without chemicals
    #[arg(long, conflicts_with_all = ["explain", "compare"])]
    pub without_chemicals: bool,
    /// Only list the unknown facts that would change the answer
    #[arg(long, conflicts_with_all = ["explain", "compare", "without_chemicals"])]
    pub ask: bool,
    /// How to print
    #[arg(long, value_enum, default_value_t)]
    pub format: Format,
}

/// The request, with names as typed.
pub fn request(arguments: &Arguments) -> Result<Request> {
    let air = arguments
        .air_temp
        .as_deref()
        .map(|typed| {
            air_range_f(typed).ok().with_context(|| {
                format!(
                    "--air-temp {typed}: this is no temperature between -40F and 130F; write it with its unit, such as 72F or 22C, or a range such as 60F..84F"
                )
            })
        })
        .transpose()?;
    let mut request = Request {
        turf: arguments.turf.clone(),
        cultivar: arguments.cultivar.clone(),
        stage: arguments.turf_stage.clone(),
        weeks_since_seeding: arguments.weeks_since_seeding,
        weeks_since_sodding: arguments.weeks_since_sodding,
        mowings: arguments.mowings,
        seeding_in_weeks: arguments.seeding_in,
        soil: arguments.soil.map(Soil::from),
        month: arguments.month,
        air_temp_f: air.map(|(low, _)| low),
        air_temp_high_f: air.map(|(_, high)| high),
        near: arguments
            .near
            .iter()
            .filter(|n| !n.trim().is_empty() && n.trim() != "none")
            .cloned()
            .collect(),
        near_told: !arguments.near.is_empty(),
        lawn_use: arguments.lawn_use.clone(),
        place: arguments.place.clone(),
        applicator: arguments.applicator.map(Applicator::from),
        ..Request::default()
    };
    if request.near.len() < arguments.near.len() && !request.near.is_empty() {
        bail!("--near names something and `none` or an empty word as well: keep one");
    }
    for typed in &arguments.weeds {
        let (weed, percent) = match typed.split_once('=') {
            Some((weed, percent)) => (weed, Some(percent)),
            None => (typed.as_str(), None),
        };
        request.weeds.push(weed.to_owned());
        if let Some(percent) = percent {
            let cover = percent
                .trim()
                .trim_end_matches('%')
                .parse()
                .with_context(|| {
                    format!("--weed {typed}: `{percent}` is no percent; write {weed}=15")
                })?;
            if request
                .cover_percent
                .insert(weed.to_owned(), cover)
                .is_some_and(|before| before.total_cmp(&cover) != std::cmp::Ordering::Equal)
            {
                bail!("--weed {weed} is given twice with different percents: keep one");
            }
        }
    }
    for typed in &arguments.weed_stage {
        let (weed, stage) = match typed.split_once('=') {
            Some((weed, stage)) => (Some(weed), stage),
            None => (None, typed.as_str()),
        };
        let stage = match stage.trim().to_lowercase().as_str() {
            "not-up" => WeedStage::NotUp,
            "young" => WeedStage::Young,
            "grown" => WeedStage::Grown,
            other => {
                bail!("--weed-stage: `{other}` is no stage of a weed; write not-up, young or grown")
            }
        };
        match weed {
            Some(weed) => {
                request.weed_stages.insert(weed.to_owned(), stage);
            }
            None => {
                for weed in request.weeds.clone() {
                    request.weed_stages.entry(weed).or_insert(stage);
                }
            }
        }
    }
    Ok(request)
}
