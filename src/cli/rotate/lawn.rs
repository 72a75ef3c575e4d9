//! The lawn, the weeds and the occasions, as typed.
use crate::cli::choose_args::Who;
use anyhow::{Context, Result, anyhow, bail};
use clap::Args;
use ligule::choose::{Applicator, Request};
use ligule::knowledge::{Kind, Knowledge};
use ligule::rotate::{Ask, Occasion, Resistant, Used};

/// The lawn, the weeds and the occasions.
#[derive(Debug, Args)]
pub struct LawnArguments {
    /// A weed, by id or name; may be given several times
    #[arg(long = "weed", value_name = "ID", required = true)]
    weeds: Vec<String>,
    /// The grass of the lawn; several for a mixed lawn
    #[arg(long, value_name = "ID", required = true)]
    turf: Vec<String>,
    /// Stage of the grass
    #[arg(long, value_name = "ID", default_value = "established")]
    turf_stage: String,
    /// Months of each year in which the weeds may be treated
    #[arg(long, value_name = "4,9", value_delimiter = ',', required = true, value_parser = clap::value_parser!(u8).range(1..=12))]
    months: Vec<u8>,
    /// First year of the plan
    #[arg(long, value_name = "YEAR", value_parser = clap::value_parser!(i16).range(1900..=9000))]
    pub from: i16,
    /// Number of years
    #[arg(long, default_value_t = 4, value_parser = clap::value_parser!(u8).range(1..=12))]
    pub years: u8,
    /// A treatment on record: year-month=groups or actives joined by +
    #[arg(long, value_name = "2026-05=2+4")]
    used: Vec<String>,
    /// Resistance on this lawn: weed=group
    #[arg(long, value_name = "WEED=GROUP")]
    resistant: Vec<String>,
    /// What is near: water, garden, trees, slope, neighbour, ...
    #[arg(long, value_name = "LIST", value_delimiter = ',')]
    near: Vec<String>,
    /// The place whose law counts
    #[arg(long, value_name = "ID")]
    place: Option<String>,
    /// Who applies
    #[arg(long, value_enum)]
    applicator: Option<Who>,
}

impl LawnArguments {
    pub fn ask(&self, book: &Knowledge) -> Result<Ask> {
        let request = Request {
            weeds: self.weeds.clone(),
            turf: self.turf.clone(),
            stage: self.turf_stage.clone(),
            near: self
                .near
                .iter()
                .filter(|n| !n.trim().is_empty())
                .cloned()
                .collect(),
            place: self.place.clone(),
            applicator: self.applicator.map(Applicator::from),
            ..Request::default()
        }
        .check(book)?;
        let mut months = self.months.clone();
        months.sort_unstable();
        months.dedup();
        if months.len() > 4 {
            bail!(
                "a plan takes at most four months a year; nobody should treat a lawn more often for the same weeds"
            );
        }
        let years = self.from..self.from.saturating_add(i16::from(self.years));
        let occasions = years
            .flat_map(|year| months.iter().map(move |&month| Occasion { year, month }))
            .collect();
        Ok(Ask {
            request,
            occasions,
            used: self
                .used
                .iter()
                .map(|u| used(book, u))
                .collect::<Result<_>>()?,
            resistant: self
                .resistant
                .iter()
                .map(|r| resistant(book, r))
                .collect::<Result<_>>()?,
        })
    }
}

fn used(book: &Knowledge, typed: &str) -> Result<Used> {
    let wrong = || {
        anyhow!("`{typed}` is no treatment on record; write year-month=groups, such as 2026-05=2+4")
    };
    let (when, what) = typed.split_once('=').ok_or_else(wrong)?;
    let (year, month) = when.split_once('-').ok_or_else(wrong)?;
    let when = Occasion {
        year: year.parse().map_err(|_| wrong())?,
        month: month.parse().map_err(|_| wrong())?,
    };
    if !(1..=12).contains(&when.month) {
        return Err(wrong());
    }
    let mut found = Used {
        when,
        actives: Vec::new(),
        groups: Vec::new(),
    };
    for part in what.split('+').map(str::trim) {
        if let Ok(group) = part.parse::<u16>() {
            book.find(Kind::Group, part)?;
            found.groups.push(group);
        } else {
            let id = book.find(Kind::Active, part)?;
            found
                .groups
                .extend(book.actives.get(&id).map(|a| a.group.is));
            found.actives.push(id);
        }
    }
    found.groups.sort_unstable();
    found.groups.dedup();
    Ok(found)
}

fn resistant(book: &Knowledge, typed: &str) -> Result<Resistant> {
    let (weed, group) = typed
        .rsplit_once('=')
        .ok_or_else(|| anyhow!("`{typed}` names no group; write weed=group"))?;
    let group_id = book.find(Kind::Group, group)?;
    Ok(Resistant {
        weed: book.find(Kind::Weed, weed)?,
        group: group_id.parse().context("a group is a number")?,
    })
}
