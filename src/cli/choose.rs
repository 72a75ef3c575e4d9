//! `ligule choose`: which class of treatment, if any.
pub use super::choose_words::{names, report};
use super::choose_words::{comparison, doubt_report, questions, trails, without};
use super::output::{Format, Outcome, load, print, print_json};
use anyhow::{Context, Result, bail};
use clap::{Args, ValueEnum};
use ligule::choose::{
    Applicator, Aspect, Choice, Chooser, Doubt, Plan, Request, Soil, Trail, Treatable, Unknown,
    WeedStage, compare, without_chemicals,
};
use ligule::identify::Key;
use ligule::key::Circumstances;
use ligule::key::book::What;
use ligule::knowledge::{Kind, Knowledge};
use ligule::treatment::lawn::air_range_f;
use ligule::words::plain;
use serde::Serialize;
use std::path::Path;

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
    weeds: Vec<String>,
    /// Choose while the plant is not certain: what was seen, as in `identify`
    #[arg(
        long = "trait",
        value_name = "NAME=VALUE",
        conflicts_with_all = ["weeds", "compare", "explain", "without_chemicals", "ask"]
    )]
    traits: Vec<String>,
    /// Region, for the chance of meeting a plant (with --trait)
    #[arg(long, value_name = "ID")]
    region: Option<String>,
    /// The grass of the lawn; several for a mixed lawn
    #[arg(long, value_name = "ID", required = true)]
    turf: Vec<String>,
    /// The cultivar of the grass
    #[arg(long, value_name = "NAME")]
    cultivar: Option<String>,
    /// Month of the treatment
    #[arg(long, value_parser = clap::value_parser!(u8).range(1..=12), value_name = "1..12")]
    month: Option<u8>,
    /// Stage of the grass
    #[arg(long, value_name = "ID", default_value = "established")]
    turf_stage: String,
    /// Weeks since the grass was seeded
    #[arg(long, value_name = "WEEKS")]
    weeks_since_seeding: Option<f64>,
    /// Weeks since sod, sprigs or plugs were laid
    #[arg(long, value_name = "WEEKS")]
    weeks_since_sodding: Option<f64>,
    /// How often the new grass has been mown
    #[arg(long, value_name = "N")]
    mowings: Option<u32>,
    /// Weeks until seed is to be sown or the lawn overseeded
    #[arg(long, value_name = "WEEKS")]
    seeding_in: Option<f64>,
    /// Moisture of the soil
    #[arg(long, value_enum)]
    soil: Option<Moisture>,
    /// How far the weeds have come: not-up, young, grown; `ID=STAGE` for one of them
    #[arg(long, value_name = "[ID=]STAGE")]
    weed_stage: Vec<String>,
    /// Air temperature of the day with its unit, or its range
    #[arg(long, value_name = "84F|29C|60F..84F")]
    air_temp: Option<String>,
    /// What is near: water, garden, trees, slope, neighbour, ...; `none` for nothing
    #[arg(long, value_name = "LIST", value_delimiter = ',')]
    near: Vec<String>,
    /// Use of the lawn, for the cover from which a treatment is worth it
    #[arg(long = "use", value_name = "USE")]
    lawn_use: Option<String>,
    /// The place whose law counts
    #[arg(long, value_name = "ID")]
    place: Option<String>,
    /// Who applies
    #[arg(long, value_enum)]
    applicator: Option<Who>,
    /// Follow options and exclusions down to the rows of the book; all of them, or those with one active
    #[arg(long, value_name = "ACTIVE", num_args = 0..=1, default_missing_value = "")]
    explain: Option<String>,
    /// Put two options side by side: numbers in the list, or actives joined by +
    #[arg(long, num_args = 2, value_names = ["A", "B"], conflicts_with = "explain")]
    compare: Option<Vec<String>>,
    /// Only what can be done without chemicals
    #[arg(long, conflicts_with_all = ["explain", "compare"])]
    without_chemicals: bool,
    /// Only list the unknown facts that would change the answer
    #[arg(long, conflicts_with_all = ["explain", "compare", "without_chemicals"])]
    ask: bool,
    /// How to print
    #[arg(long, value_enum, default_value_t)]
    format: Format,
}

/// The JSON of the answer.
#[derive(Serialize)]
struct Answer<'a> {
    schema: &'static str,
    #[serde(flatten)]
    choice: &'a Choice,
    #[serde(skip_serializing_if = "Option::is_none")]
    explain: Option<&'a [Trail]>,
}

#[derive(Serialize)]
struct Comparison<'a> {
    schema: &'static str,
    aspects: &'a [Aspect],
}

#[derive(Serialize)]
struct Without<'a> {
    schema: &'static str,
    #[serde(flatten)]
    plan: &'a Plan,
}

#[derive(Serialize)]
struct Questions<'a> {
    schema: &'static str,
    unknown: &'a [Unknown],
}

#[derive(Serialize)]
struct InDoubt<'a> {
    schema: &'static str,
    #[serde(flatten)]
    doubt: &'a Doubt,
}

pub fn run(arguments: &Arguments, folder: Option<&Path>) -> Result<Outcome> {
    let book = load(folder)?;
    let request = request(arguments)?.check(&book)?;
    let json = arguments.format == Format::Json;
    if !arguments.traits.is_empty() {
        return in_doubt(arguments, &book, &request);
    }
    if arguments.without_chemicals {
        let plan = without_chemicals(&book, &request);
        if json {
            print_json(&Without {
                schema: "ligule/without-chemicals/1",
                plan: &plan,
            })?;
        } else {
            print(&without(&plan))?;
        }
        return Ok(Outcome::Fine);
    }
    let chooser = Chooser::new(&book);
    if arguments.ask {
        let unknown = chooser.deciding(&request);
        if json {
            print_json(&Questions {
                schema: "ligule/choose-questions/1",
                unknown: &unknown,
            })?;
        } else {
            print(&questions(&unknown))?;
        }
        return Ok(Outcome::Fine);
    }
    let choice = chooser.choose(&request);
    if let Some(wanted) = &arguments.compare {
        let (a, b) = (
            pick(&book, &choice, &wanted[0])?,
            pick(&book, &choice, &wanted[1])?,
        );
        let aspects = compare(a, b, &|id| names(&book, &[id.to_owned()]));
        if json {
            print_json(&Comparison {
                schema: "ligule/choose-compare/1",
                aspects: &aspects,
            })?;
        } else {
            print(&comparison(&aspects))?;
        }
        return Ok(Outcome::Fine);
    }
    let explained = arguments
        .explain
        .as_deref()
        .map(|active| {
            let only = match active {
                "" => None,
                typed => Some(book.find(Kind::Active, typed)?),
            };
            let decision = chooser.decide(&request);
            anyhow::Ok(chooser.explain(&request, &decision, only.as_deref()))
        })
        .transpose()?;
    if json {
        print_json(&Answer {
            schema: "ligule/choose/1",
            choice: &choice,
            explain: explained.as_deref(),
        })?;
    } else {
        match &explained {
            Some(explained) => print(&trails(&book, explained))?,
            None => print(&report(&book, &request, &choice))?,
        }
    }
    Ok(if choice.options.is_empty() {
        Outcome::No
    } else {
        Outcome::Fine
    })
}

fn request(arguments: &Arguments) -> Result<Request> {
    let air = arguments.air_temp.as_deref().map(air_range_f).transpose()?;
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
            request.cover_percent.insert(weed.to_owned(), cover);
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
            other => bail!(
                "--weed-stage: `{other}` is no stage of a weed; write not-up, young or grown"
            ),
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

/// The option that a number or actives joined by `+` mean.
fn pick<'c>(book: &Knowledge, choice: &'c Choice, typed: &str) -> Result<&'c Treatable> {
    if let Ok(number) = typed.parse::<usize>() {
        return choice
            .options
            .get(number.wrapping_sub(1))
            .with_context(|| {
                format!(
                    "--compare: there is no option {number}; there are {}",
                    choice.options.len()
                )
            });
    }
    let mut ids = typed
        .split('+')
        .map(|one| book.find(Kind::Active, one))
        .collect::<Result<Vec<_>, _>>()?;
    ids.sort();
    if let Some(option) = choice.options.iter().find(|o| o.actives == ids) {
        return Ok(option);
    }
    let why = choice
        .excluded
        .iter()
        .find(|e| e.actives.iter().all(|a| ids.contains(a)))
        .map_or_else(
            || "it is not the smallest set of actives that deals with these weeds".to_owned(),
            |e| e.detail.clone(),
        );
    bail!("--compare: {typed} is not on offer here: {why}")
}

/// Least chance of a plant that is reckoned with.
const RECKONED: f64 = 0.02;
/// At most so many plants are reckoned with.
const MOST_PLANTS: usize = 12;

fn in_doubt(arguments: &Arguments, book: &Knowledge, request: &Request) -> Result<Outcome> {
    let region = arguments
        .region
        .as_deref()
        .map(|typed| super::identify::region(book, typed))
        .transpose()?;
    let at = Circumstances {
        month: arguments.month,
        region,
    };
    let mut key = Key::new(book, What::Weeds, at, None);
    let mut given: Vec<(&str, Vec<&str>)> = Vec::new();
    for typed in &arguments.traits {
        let (name, value) = typed
            .split_once('=')
            .with_context(|| format!("--trait {typed}: write NAME=VALUE"))?;
        match given.iter_mut().find(|(n, _)| plain(n) == plain(name)) {
            Some((_, values)) => values.push(value),
            None => given.push((name, vec![value])),
        }
    }
    for (name, values) in given {
        key.answer(name, &values)?;
    }
    let belief: Vec<(String, f64)> = key
        .belief()
        .ranking()
        .into_iter()
        .filter(|(_, p)| *p >= RECKONED)
        .take(MOST_PLANTS)
        .map(|(taxon, p)| (key.book.taxa()[taxon].id.clone(), p))
        .collect();
    let doubt = Chooser::new(book).choose_in_doubt(request, &belief);
    if arguments.format == Format::Json {
        print_json(&InDoubt {
            schema: "ligule/choose-in-doubt/1",
            doubt: &doubt,
        })?;
    } else {
        print(&doubt_report(book, &doubt))?;
    }
    Ok(if doubt.options.is_empty() {
        Outcome::No
    } else {
        Outcome::Fine
    })
}
