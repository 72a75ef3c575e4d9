//! `ligule season …`: moist air, degree days, windows of the year, hours fit for treating.
use super::output::{Format, Outcome, load, print, print_json};
use super::save::{save, text};
use anyhow::{Result, anyhow, bail};
use clap::{Args, Subcommand, ValueEnum};
use jiff::civil::{Date, DateTime};
use ligule::knowledge::{Kind, Knowledge};
use ligule::picture;
use ligule::season::air;
use ligule::season::days::days;
use ligule::season::degree::{Count, METHODS, Method, sum};
use ligule::season::hours::{self, Form, Hours, Label};
use ligule::season::strip;
use ligule::season::sun::Spot;
use ligule::season::table::{Finding, Table, mapped, read};
use ligule::season::units::{Unit, figure};
use ligule::season::windows::{self, State};
use serde::Serialize;
use serde_json::json;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

#[derive(Debug, Subcommand)]
pub enum Command {
    /// Wet bulb, Delta T, dew point and vapour pressure of the air
    Air(AirArguments),
    /// Sum degree days from a weather file
    DegreeDays(DegreeArguments),
    /// Find when weeds come up and when treatments are due
    Windows(WindowArguments),
    /// Find the hours of a forecast that are fit for treating
    Hours(HourArguments),
}

#[derive(Debug, Args)]
pub struct AirArguments {
    /// Air temperature with its unit
    #[arg(long, value_name = "68F|20C", allow_hyphen_values = true)]
    temperature: String,
    /// Relative humidity in percent
    #[arg(long, value_name = "0..100")]
    humidity: f64,
    /// Height above the sea in metres
    #[arg(
        long,
        value_name = "METRES",
        default_value_t = 0.0,
        allow_hyphen_values = true
    )]
    altitude: f64,
    /// How to print
    #[arg(long, value_enum, default_value_t)]
    format: Format,
}

/// A weather file, and how to read it.
#[derive(Debug, Args)]
pub struct FileArguments {
    /// The file: CSV, columns named with their units (tmax_F, soil_C, wind_mph); `-` for the standard input
    #[arg(long, visible_alias = "forecast", value_name = "FILE")]
    weather: PathBuf,
    /// Map a column by hand: quantity=column name:unit
    #[arg(long, value_name = "tmax=MaxT:F")]
    column: Vec<String>,
}

impl FileArguments {
    fn read(&self) -> Result<Table> {
        let columns = self
            .column
            .iter()
            .map(|c| mapped(c))
            .collect::<Result<Vec<_>, String>>()
            .map_err(|e| anyhow!(e))?;
        Ok(read(
            &self.weather.display().to_string(),
            &text(&self.weather)?,
            &columns,
        )?)
    }
}

/// Where a picture goes.
#[derive(Debug, Args)]
pub struct PictureArguments {
    /// Draw it as SVG into this file
    #[arg(long, value_name = "FILE.svg")]
    picture: Option<PathBuf>,
    /// Write over a picture that is there already
    #[arg(long, requires = "picture")]
    force: bool,
}

impl PictureArguments {
    pub fn save(
        &self,
        draw: impl FnOnce() -> Result<picture::Picture, picture::PictureError>,
    ) -> Result<()> {
        match &self.picture {
            Some(path) => save(path, &draw()?.svg, self.force),
            None => Ok(()),
        }
    }
}

#[derive(Debug, Args)]
pub struct DegreeArguments {
    #[command(flatten)]
    file: FileArguments,
    /// Base temperature with its unit; the sum has the same unit
    #[arg(long, value_name = "50F|10C", allow_hyphen_values = true)]
    base: String,
    /// Upper threshold in the same unit
    #[arg(long, value_name = "86F|30C")]
    upper: Option<String>,
    /// Way of reckoning: simple, modified, modified-lower, substitution or single-sine
    #[arg(long, default_value = "simple")]
    method: String,
    /// First day that counts; the first of the file if it is not given
    #[arg(long, value_name = "DATE")]
    start: Option<Date>,
    /// Soil instead of air
    #[arg(long)]
    soil: bool,
    #[command(flatten)]
    picture: PictureArguments,
    /// How to print
    #[arg(long, value_enum, default_value_t)]
    format: Format,
}

#[derive(Debug, Args)]
pub struct WindowArguments {
    #[command(flatten)]
    file: FileArguments,
    /// A weed, by id or name; may be given several times
    #[arg(long = "weed", value_name = "ID", required = true)]
    weeds: Vec<String>,
    /// The day to look from; the last day of the file if it is not given
    #[arg(long, value_name = "DATE")]
    today: Option<Date>,
    /// Day on which degree days start where a source names none
    #[arg(long, value_name = "DATE")]
    start: Option<Date>,
    /// Way of reckoning where a source names none
    #[arg(long)]
    method: Option<String>,
    /// An active that was or will be used, to compare with the seeding
    #[arg(long = "active", value_name = "ID", requires = "seeding")]
    actives: Vec<String>,
    /// Day of a treatment
    #[arg(long = "treated", value_name = "DATE", requires = "seeding")]
    treated: Vec<Date>,
    /// Day on which grass is to be sown
    #[arg(long, value_name = "DATE")]
    seeding: Option<Date>,
    #[command(flatten)]
    picture: PictureArguments,
    /// How to print
    #[arg(long, value_enum, default_value_t)]
    format: Format,
}

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
pub struct HourArguments {
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

pub fn run(command: &Command, folder: Option<&Path>) -> Result<Outcome> {
    match command {
        Command::Air(own) => moist_air(own),
        Command::DegreeDays(own) => degree_days(own),
        Command::Windows(own) => windows_of_year(own, &load(folder)?),
        Command::Hours(own) => fit_hours(own, &load(folder)?),
    }
}

const TEMPERATURE: [Unit; 2] = [Unit::Fahrenheit, Unit::Celsius];
const WIND: [Unit; 4] = [
    Unit::MilesPerHour,
    Unit::KilometresPerHour,
    Unit::MetresPerSecond,
    Unit::Knots,
];

fn celsius(typed: &str) -> Result<f64> {
    figure(typed, &TEMPERATURE)
        .map(|(v, u)| u.inside(v))
        .map_err(|e| anyhow!(e))
}

/// One figure of a list of results.
#[derive(Serialize)]
struct Figure {
    name: &'static str,
    value: String,
    unit: &'static str,
}

fn moist_air(own: &AirArguments) -> Result<Outcome> {
    let t = celsius(&own.temperature)?;
    let rh = own.humidity;
    if !(0.0..=100.0).contains(&rh) {
        bail!("a relative humidity of {rh} percent cannot be; it lies between 0 and 100");
    }
    if !(-60.0..=60.0).contains(&t) {
        bail!("{} is no air temperature on a lawn", own.temperature);
    }
    if !(-500.0..=6000.0).contains(&own.altitude) {
        bail!(
            "an altitude of {} m is outside what the formula for pressure holds for (-500 to 6000 m)",
            own.altitude
        );
    }
    let pressure = if own.altitude == 0.0 {
        air::SEA_LEVEL_KPA
    } else {
        air::pressure_kpa(own.altitude)
    };
    let saturation = air::saturation_kpa(t);
    let vapour = air::vapour_kpa(t, rh);
    let psychrometric = air::wet_bulb_psychrometric(t, rh, pressure);
    let mut steps = vec![
        format!(
            "saturation vapour pressure = 0.6108 exp(17.27 T / (T + 237.3)) with T = {t:.2} C: {saturation:.3} kPa"
        ),
        format!("vapour pressure = {saturation:.3} x {rh} / 100 = {vapour:.3} kPa"),
        format!("air pressure at {} m: {pressure:.1} kPa", own.altitude),
        format!("wet bulb of a ventilated psychrometer: {psychrometric:.2} C"),
    ];
    let mut results = vec![
        Figure {
            name: "saturation vapour pressure",
            value: format!("{saturation:.3}"),
            unit: "kPa",
        },
        Figure {
            name: "vapour pressure",
            value: format!("{vapour:.3}"),
            unit: "kPa",
        },
        Figure {
            name: "wet bulb, psychrometer",
            value: format!("{psychrometric:.1}"),
            unit: "C",
        },
    ];
    if let Some(dew) = air::dew_point_c(vapour) {
        results.push(Figure {
            name: "dew point",
            value: format!("{dew:.1}"),
            unit: "C",
        });
    }
    if air::stull_holds(t, rh) {
        let wet = air::wet_bulb_stull(t, rh);
        steps.push(format!(
            "wet bulb by Stull (2011), for sea level: {wet:.2} C"
        ));
        results.push(Figure {
            name: "wet bulb, Stull 2011",
            value: format!("{wet:.1}"),
            unit: "C",
        });
    } else {
        steps.push(
            "Stull's short formula does not hold at this temperature and humidity".to_owned(),
        );
    }
    let delta = air::delta_t(t, rh);
    steps.push(format!("Delta T = T - wet bulb = {delta:.2} C"));
    results.push(Figure {
        name: "Delta T",
        value: format!("{delta:.1}"),
        unit: "C",
    });
    show_figures("ligule/season-air/1", &results, &steps, own.format)
}

fn show_figures(
    schema: &str,
    results: &[Figure],
    steps: &[String],
    format: Format,
) -> Result<Outcome> {
    match format {
        Format::Json => print_json(&json!({"schema": schema, "results": results, "steps": steps}))?,
        Format::Human => {
            let mut text = String::new();
            for figure in results {
                let _ = writeln!(
                    text,
                    "{:<28} {:>8} {}",
                    figure.name, figure.value, figure.unit
                );
            }
            for step in steps {
                let _ = writeln!(text, "  {step}");
            }
            print(&text)?;
        }
    }
    Ok(Outcome::Fine)
}

fn method(id: &str) -> Result<Method> {
    Method::of(id).ok_or_else(|| {
        let ids: Vec<&str> = METHODS.iter().map(|(id, _)| *id).collect();
        anyhow!(
            "there is no method `{id}`; the methods are {}",
            ids.join(", ")
        )
    })
}

/// What was doubtful in a file, for people.
fn told(findings: &[Finding]) -> String {
    let mut text = String::new();
    for finding in findings.iter().take(12) {
        let line = if finding.line > 0 {
            format!("line {}: ", finding.line)
        } else {
            String::new()
        };
        let _ = writeln!(text, "! {line}{} [{}]", finding.message, finding.code);
    }
    if findings.len() > 12 {
        let _ = writeln!(
            text,
            "! and {} more (--format json lists all)",
            findings.len() - 12
        );
    }
    text
}

fn degree_days(own: &DegreeArguments) -> Result<Outcome> {
    let table = own.file.read()?;
    let (days, more) = days(&table);
    let mut findings = table.findings.clone();
    findings.extend(more);
    let (base, unit) = figure(&own.base, &TEMPERATURE).map_err(|e| anyhow!(e))?;
    let upper = own
        .upper
        .as_deref()
        .map(|u| figure(u, &TEMPERATURE))
        .transpose()
        .map_err(|e| anyhow!(e))?;
    if let Some((_, other)) = upper
        && other != unit
    {
        bail!(
            "base and upper threshold are in different units; write both in {}",
            unit.word()
        );
    }
    let upper = upper.map(|(v, _)| v);
    if upper.is_some_and(|u| u <= base) {
        bail!("the upper threshold must lie above the base");
    }
    let method = method(&own.method)?;
    let start = own
        .start
        .or(days.first().map(|d| d.date))
        .ok_or_else(|| anyhow!("the weather file has no days"))?;
    let count = Count {
        method,
        base,
        upper,
        fahrenheit: unit == Unit::Fahrenheit,
        start,
        soil: own.soil,
    };
    let running = sum(&days, &count);
    let place = if own.soil { "soil" } else { "air" };
    let Some(last) = running.last() else {
        bail!("the weather file has no day from {start} on");
    };
    if running.iter().all(|r| r.of_day.is_none()) {
        bail!("the weather file has no {place} temperatures for this method from {start} on");
    }
    own.picture.save(|| {
        picture::degree_days(
            &format!("Degree days from {start}"),
            unit.word(),
            &running,
            &[],
        )
    })?;
    let upper_words = upper.map_or(String::new(), |u| format!(", upper threshold {u}"));
    let mut steps = vec![format!(
        "method {}, base {base} {}{upper_words}, {place}, from {start}",
        method.id(),
        unit.word()
    )];
    steps.extend(running.iter().map(|r| match r.of_day {
        Some(dd) => format!("{}: {dd:.1}, sum {:.1}", r.date, r.total),
        None => format!("{}: no temperatures, sum stays {:.1}", r.date, r.total),
    }));
    let unit_words = format!("degree days {}", unit.word());
    match own.format {
        Format::Json => print_json(&json!({
            "schema": "ligule/season-degree-days/1", "value": format!("{:.1}", last.total), "unit": unit_words,
            "complete": last.missing == 0, "missing_days": last.missing, "days": running, "findings": findings, "steps": steps,
        }))?,
        Format::Human => {
            let mut text = told(&findings);
            let _ = writeln!(
                text,
                "{:.1} {unit_words} to {} ({})",
                last.total, last.date, steps[0]
            );
            if last.missing > 0 {
                let _ = writeln!(
                    text,
                    "{} days are missing: the true sum may be larger.",
                    last.missing
                );
            }
            print(&text)?;
        }
    }
    Ok(Outcome::Fine)
}

fn windows_of_year(own: &WindowArguments, book: &Knowledge) -> Result<Outcome> {
    let table = own.file.read()?;
    let (days, more) = days(&table);
    let mut findings = table.findings.clone();
    findings.extend(more);
    let weeds = own
        .weeds
        .iter()
        .map(|w| book.find(Kind::Weed, w))
        .collect::<Result<Vec<_>, _>>()?;
    let actives = own
        .actives
        .iter()
        .map(|a| book.find(Kind::Active, a))
        .collect::<Result<Vec<_>, _>>()?;
    let today = own
        .today
        .or(days.last().map(|d| d.date))
        .ok_or_else(|| anyhow!("the weather file has no days; name one with --today"))?;
    let ask = windows::Ask {
        weeds,
        today,
        start: own.start,
        method: own.method.as_deref().map(method).transpose()?,
    };
    let found = windows::windows(book, &days, &ask);
    let seeding = own.seeding.map_or(Vec::new(), |day| {
        windows::overseeding(book, &actives, &own.treated, day)
    });
    if own.picture.picture.is_some() {
        // The picture shows the sum of the first window that is reckoned by degree days.
        let events = book.timing.iter().flat_map(|t| &t.events);
        let here =
            events.filter(|e| e.weeds.is_empty() || e.weeds.iter().any(|w| ask.weeds.contains(w)));
        let count = here
            .filter_map(|e| windows::count_of(e.degree_days.as_ref()?, &ask).ok())
            .next();
        let count = count.ok_or_else(|| {
            anyhow!(
                "no window of these weeds can be reckoned by degree days; try --method and --start"
            )
        })?;
        let unit = if count.fahrenheit { "F" } else { "C" };
        let running = sum(&days, &count);
        let title = format!(
            "Degree days from {} (base {} {unit}, {}) and windows",
            count.start,
            count.base,
            count.method.id()
        );
        own.picture
            .save(|| picture::degree_days(&title, unit, &running, &found))?;
    }
    let steps: Vec<String> = found
        .iter()
        .map(|w| format!("{}: {}", w.event, w.how))
        .collect();
    match own.format {
        Format::Json => print_json(&json!({
            "schema": "ligule/season-windows/1", "today": today, "results": found, "overseeding": seeding, "findings": findings, "steps": steps,
        }))?,
        Format::Human => {
            let mut text = told(&findings);
            let _ = writeln!(text, "Seen from {today}");
            for (state, title) in [
                (State::Open, "Open"),
                (State::Ahead, "Ahead"),
                (State::Past, "Past"),
                (State::CannotTell, "Cannot be told"),
            ] {
                let here: Vec<_> = found.iter().filter(|w| w.state == state).collect();
                if here.is_empty() {
                    continue;
                }
                let _ = writeln!(text, "\n{title}");
                for window in here {
                    let days = match (window.from, window.to) {
                        (Some(from), Some(to)) => format!("{from} to {to}: "),
                        (Some(from), None) => format!("from {from}: "),
                        _ => String::new(),
                    };
                    let _ = writeln!(
                        text,
                        "  - {days}{} [{}]",
                        window.text,
                        word(window.evidence)
                    );
                    let _ = writeln!(text, "      {}", window.how);
                    if let Some((first, last)) = window.second.filter(|_| state != State::Past) {
                        let _ = writeln!(
                            text,
                            "      second half of a split treatment: {first} to {last}"
                        );
                    }
                }
            }
            if !seeding.is_empty() {
                let _ = writeln!(text, "\nSeeding");
                for line in &seeding {
                    let _ = writeln!(text, "  - {}", line.text);
                }
            }
            print(&text)?;
        }
    }
    let clash = seeding.iter().any(|s| s.clash != Some(false));
    Ok(if clash { Outcome::No } else { Outcome::Fine })
}

fn word(evidence: ligule::knowledge::form::source::Evidence) -> &'static str {
    use ligule::knowledge::form::source::Evidence;
    match evidence {
        Evidence::Published => "published",
        Evidence::Practice => "practice",
        Evidence::Memory => "memory",
    }
}

fn spot(typed: &str) -> Result<Spot> {
    let wrong = || {
        anyhow!(
            "`{typed}` is no place; write latitude,longitude in degrees, north and east positive, such as 35.9,-84.0"
        )
    };
    let (latitude, longitude) = typed.split_once(',').ok_or_else(wrong)?;
    let number = |t: &str| ligule::season::units::number(t).ok_or_else(wrong);
    let spot = Spot {
        latitude: number(latitude)?,
        longitude: number(longitude)?,
    };
    if spot.latitude.abs() > 90.0 || spot.longitude.abs() > 180.0 {
        return Err(wrong());
    }
    Ok(spot)
}

fn fit_hours(own: &HourArguments, book: &Knowledge) -> Result<Outcome> {
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
        stage: book.find(Kind::Stage, &own.turf_stage)?,
        form: match own.form {
            FormWord::Spray => Form::Spray,
            FormWord::Granule => Form::Granule,
        },
        spot: own.at.as_deref().map(spot).transpose()?,
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
                    format!(
                        "{}: {}{}",
                        h.at,
                        h.fitness.words(),
                        h.reasons
                            .iter()
                            .map(|r| format!("; {}", r.text))
                            .collect::<String>()
                    )
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
        counted.sort_by(|a, b| b.0.cmp(&a.0));
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
