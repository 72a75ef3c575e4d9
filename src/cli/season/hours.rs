//! Hours fit for treating.
use super::{FileArguments, PictureArguments, celsius, told, word};
use crate::cli::output::{Format, Outcome, print, print_json};
use anyhow::{Result, anyhow, bail};
use clap::{Args, ValueEnum};
use jiff::civil::{Date, DateTime};
use ligule::knowledge::{Kind, Knowledge};
use ligule::picture;
use ligule::season::hours::{self, Form, Hours, Label};
use ligule::season::strip;
use ligule::season::sun::Spot;
use ligule::season::table::Finding;
use ligule::season::units::{Unit, figure};
use serde_json::json;
use std::fmt::Write as _;

/// How the product is put out, as typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, ValueEnum)]
pub enum FormWord {
    /// Sprayed
    #[default]
    Spray,
    /// Strewn
    Granule,
}

#[derive(Debug, Args)]
pub struct Arguments {
    #[command(flatten)]
    file: FileArguments,
    /// An active of the product; may be given several times
    #[arg(long = "active", value_name = "ID")]
    actives: Vec<String>,
    /// The grass of the lawn
    #[arg(long, value_name = "ID")]
    turf: Vec<String>,
    /// Stage of the grass
    #[arg(long, value_name = "ID", default_value = "established")]
    turf_stage: String,
    /// How the product is put out
    #[arg(long, value_enum, default_value_t)]
    form: FormWord,
    /// Where the lawn is, for sunrise and sunset
    #[arg(long, value_name = "LATITUDE,LONGITUDE", allow_hyphen_values = true)]
    at: Option<String>,
    /// Hours east of universal time, where the file does not say
    #[arg(long, value_name = "HOURS", allow_hyphen_values = true)]
    offset: Option<f64>,
    /// A day on which the lawn was or will be mown
    #[arg(long, value_name = "DATE")]
    mowing: Vec<Date>,
    /// A time at which the lawn was or will be watered
    #[arg(long, value_name = "DATE-TIME")]
    irrigation: Vec<DateTime>,
    /// Highest wind on the label
    #[arg(long, value_name = "10mph")]
    label_wind: Option<String>,
    /// Hours that must stay dry by the label
    #[arg(long, value_name = "HOURS")]
    label_rain_free: Option<f64>,
    /// Highest temperature on the label
    #[arg(long, value_name = "85F|29C")]
    label_hottest: Option<String>,
    /// Lowest temperature on the label
    #[arg(long, value_name = "50F|10C", allow_hyphen_values = true)]
    label_coldest: Option<String>,
    /// List every hour with its reasons
    #[arg(long)]
    all: bool,
    #[command(flatten)]
    picture: PictureArguments,
    /// How to print
    #[arg(long, value_enum, default_value_t)]
    format: Format,
}

const WIND: [Unit; 4] = [
    Unit::MilesPerHour,
    Unit::KilometresPerHour,
    Unit::MetresPerSecond,
    Unit::Knots,
];

pub fn run(own: &Arguments, book: &Knowledge) -> Result<Outcome> {
    let table = own.file.read()?;
    let wind = own
        .label_wind
        .as_deref()
        .map(|w| {
            figure(w, &WIND)
                .map(|(v, u)| u.inside(v))
                .map_err(|e| anyhow!(e))
        })
        .transpose()?;
    if own
        .label_rain_free
        .is_some_and(|h| !(0.0..=240.0).contains(&h))
    {
        bail!("--label-rain-free takes hours from 0 to 240");
    }
    if own.offset.is_some_and(|h| !(-14.0..=14.0).contains(&h)) {
        bail!("--offset takes hours east of universal time, from -14 to 14");
    }
    let ask = hours::Ask {
        actives: own
            .actives
            .iter()
            .map(|a| book.find(Kind::Active, a))
            .collect::<Result<Vec<_>, _>>()?,
        turf: own
            .turf
            .iter()
            .map(|t| book.find(Kind::Turf, t))
            .collect::<Result<Vec<_>, _>>()?,
        // Without a grass the stage says nothing, and a book of other plants may have none.
        stage: if own.turf.is_empty() {
            String::new()
        } else {
            book.find(Kind::Stage, &own.turf_stage)?
        },
        form: match own.form {
            FormWord::Spray => Form::Spray,
            FormWord::Granule => Form::Granule,
        },
        spot: own
            .at
            .as_deref()
            .map(|at| at.parse::<Spot>().map_err(|e| anyhow!(e)))
            .transpose()?,
        offset_hours: own.offset,
        mowing: own.mowing.clone(),
        irrigation: own.irrigation.clone(),
        label: Label {
            wind,
            rain_free_hours: own.label_rain_free,
            hottest_c: own.label_hottest.as_deref().map(celsius).transpose()?,
            coldest_c: own.label_coldest.as_deref().map(celsius).transpose()?,
        },
    };
    let found = hours::judge(book, &table, &ask)?;
    own.picture
        .save(|| picture::hours("Hours fit for treating", &found))?;
    match own.format {
        Format::Json => {
            let steps: Vec<String> = found
                .hours
                .iter()
                .map(|h| {
                    let why: Vec<&str> = h.reasons.iter().map(|r| r.text.as_str()).collect();
                    format!("{}: {} ({})", h.at, h.fitness.words(), why.join("; "))
                })
                .collect();
            print_json(&json!({
                "schema": "ligule/season-hours/1", "results": found.hours, "runs": found.runs, "notes": found.notes,
                "strip": strip::text(&found), "findings": table.findings, "steps": steps,
            }))?;
        }
        Format::Human => print(&report(&found, &table.findings, own.all))?,
    }
    Ok(if found.runs.is_empty() {
        Outcome::No
    } else {
        Outcome::Fine
    })
}

fn report(found: &Hours, findings: &[Finding], all: bool) -> String {
    let mut text = told(findings);
    text.push_str(&strip::text(found));
    if found.runs.is_empty() {
        let _ = writeln!(text, "\nNo hour of this forecast is fit.");
        let mut counted: Vec<(usize, &str)> = Vec::new();
        for reason in found.hours.iter().filter_map(|h| h.reasons.first()) {
            match counted.iter_mut().find(|(_, from)| *from == reason.from) {
                Some((n, _)) => *n += 1,
                None => counted.push((1, &reason.from)),
            }
        }
        counted.sort_by_key(|(n, _)| std::cmp::Reverse(*n));
        for (n, from) in counted.iter().take(4) {
            let first = found
                .hours
                .iter()
                .filter_map(|h| h.reasons.first())
                .find(|r| r.from == **from);
            let _ = writeln!(
                text,
                "  {n} hours: {}",
                first.map_or("", |r| r.text.as_str())
            );
        }
    } else {
        let _ = writeln!(text, "\nFit hours, best first");
        for run in found.runs.iter().take(6) {
            let best = if run.best > 0 {
                format!(", {} of them best", run.best)
            } else {
                String::new()
            };
            let _ = writeln!(text, "  from {} for {} h{best}", run.from, run.hours);
        }
    }
    if all {
        let _ = writeln!(text);
        for hour in &found.hours {
            let _ = writeln!(text, "{}  {}", hour.at, hour.fitness.words());
            for reason in &hour.reasons {
                let evidence = reason
                    .evidence
                    .map_or(String::new(), |e| format!(" [{}]", word(e)));
                let _ = writeln!(text, "    {}{evidence}", reason.text);
            }
        }
    }
    let _ = writeln!(text);
    for note in &found.notes {
        let _ = writeln!(text, "- {note}");
    }
    text
}
