//! The lawn, the weeds and the occasions, as typed.
use crate::cli::choose_args::Who;
use anyhow::{Context, Result, anyhow, bail};
use clap::Args;
use jiff::civil::Date;
use ligule::choose::{Applicator, Request};
use ligule::knowledge::{Kind, Knowledge};
use ligule::records::Store;
use ligule::records::limits::past;
use ligule::rotate::{Ask, Occasion, Resistant, Used};
use std::path::{Path, PathBuf};

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
    /// The record: its treatments and suspicions of resistance count
    #[arg(long, value_name = "FILE")]
    record: Option<PathBuf>,
    /// Name of the lawn in the record; all its lawns count together where this is missing
    #[arg(long, value_name = "NAME", requires = "record")]
    lawn: Option<String>,
    /// The day that counts as today, for the record
    #[arg(long, value_name = "DATE", value_parser = crate::cli::record::day, requires = "record")]
    today: Option<Date>,
    /// A treatment that is not in the record: year-month=groups or actives joined by +
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
        let mut ask = Ask {
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
        };
        if let Some(record) = &self.record {
            self.remember(book, record, &mut ask)?;
        }
        Ok(ask)
    }

    /// Adds what the record holds.
    fn remember(&self, book: &Knowledge, record: &Path, ask: &mut Ask) -> Result<()> {
        let today = self
            .today
            .unwrap_or_else(|| jiff::ZonedDateTime::now().date());
        let lawn = self.lawn.as_deref();
        // Also refuses a lawn that the record does not have.
        let history = crate::cli::record::history(book, record, lawn, today)?;
        let store = Store::open(record)?;
        ask.used
            .extend(past(book, &store, lawn, today)?.into_iter().map(|p| Used {
                when: Occasion {
                    year: p.day.year(),
                    month: u8::try_from(p.day.month()).unwrap_or_default(),
                },
                actives: p.actives,
                groups: p.groups,
            }));
        ask.used.sort_by_key(|u| (u.when.year, u.when.month));
        for suspicion in &history.suspicions {
            for weed in &suspicion.weeds {
                for &group in &suspicion.groups {
                    let one = Resistant {
                        weed: weed.clone(),
                        group,
                    };
                    if !ask.resistant.contains(&one) {
                        ask.resistant.push(one);
                    }
                }
            }
        }
        Ok(())
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
