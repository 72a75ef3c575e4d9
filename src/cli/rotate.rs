//! `ligule rotate …`: a plan over years, the model of resistance, and suspected resistance.
use super::choose::Who;
use super::output::{Format, Outcome, load, print, print_json};
use super::season::PictureArguments;
use anyhow::{Context, Result, anyhow, bail};
use clap::{Args, Subcommand};
use ligule::choose::{Applicator, Request};
use ligule::knowledge::form::season::CostKind;
use ligule::knowledge::{Kind, Knowledge};
use ligule::picture::{self, Mark};
use ligule::rotate::curve::{Comparison, Curve, Inheritance, assumptions, curve, given, model};
use ligule::rotate::share::{Selection, after_uses, uses_until};
use ligule::rotate::suspect::{Answer, Suspicion, suspect};
use ligule::rotate::{Ask, Occasion, Plan, Resistant, Rotation, Used, plan, same_again};
use serde_json::json;
use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::path::Path;

#[derive(Debug, Subcommand)]
pub enum Command {
    /// Plan which group to use on the coming occasions
    Plan(PlanArguments),
    /// Compare the same again with the plan, as an illustration
    Compare(CompareArguments),
    /// The classic reckoning of the share of resistant plants
    Share(ShareArguments),
    /// Go through other causes before resistance is suspected
    Suspect(SuspectArguments),
}

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
    from: i16,
    /// Number of years
    #[arg(long, default_value_t = 4, value_parser = clap::value_parser!(u8).range(1..=12))]
    years: u8,
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

#[derive(Debug, Args)]
pub struct PlanArguments {
    #[command(flatten)]
    lawn: LawnArguments,
    #[command(flatten)]
    picture: PictureArguments,
    /// How to print
    #[arg(long, value_enum, default_value_t)]
    format: Format,
}

#[derive(Debug, Args)]
pub struct CompareArguments {
    #[command(flatten)]
    lawn: LawnArguments,
    /// Size of the lawn in square metres
    #[arg(long, value_name = "M2")]
    area_m2: f64,
    /// Years to run; the plan is repeated
    #[arg(long, default_value_t = 20, value_parser = clap::value_parser!(u16).range(1..=200))]
    horizon: u16,
    /// Number of runs
    #[arg(long, default_value_t = 100, value_parser = clap::value_parser!(u32).range(1..=2000))]
    runs: u32,
    /// Number that sets the chance, so that a run can be repeated
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// 1: one resistant allele is enough; 0: both are needed
    #[arg(long, default_value_t = 1.0)]
    dominance: f64,
    /// Share of plants that are selfed
    #[arg(long, default_value_t = 0.0)]
    selfed: f64,
    /// A value in place of the one in the knowledge
    #[arg(long, value_name = "ID=NUMBER")]
    value: Vec<String>,
    #[command(flatten)]
    picture: PictureArguments,
    /// How to print
    #[arg(long, value_enum, default_value_t)]
    format: Format,
}

#[derive(Debug, Args)]
pub struct ShareArguments {
    /// Share of resistant plants at the start
    #[arg(long)]
    start: f64,
    /// Survival of resistant over that of susceptible plants
    #[arg(long)]
    pressure: f64,
    /// Mean life of a seed in the soil, years
    #[arg(long)]
    seed_years: f64,
    /// Fitness of resistant plants without the herbicide
    #[arg(long, default_value_t = 1.0)]
    fitness: f64,
    /// Share that is asked about
    #[arg(long, default_value_t = 0.3)]
    threshold: f64,
    /// How to print
    #[arg(long, value_enum, default_value_t)]
    format: Format,
}

#[derive(Debug, Args)]
pub struct SuspectArguments {
    /// The weed that lived
    #[arg(long, value_name = "ID")]
    weed: String,
    /// The group that was used
    #[arg(long)]
    group: u16,
    /// An answer to a question of the list: id=yes, id=no or id=unsure
    #[arg(long, value_name = "ID=YES|NO")]
    answer: Vec<String>,
    /// How to print
    #[arg(long, value_enum, default_value_t)]
    format: Format,
}

pub fn run(command: &Command, folder: Option<&Path>) -> Result<Outcome> {
    match command {
        Command::Plan(own) => show_plan(own, &load(folder)?),
        Command::Compare(own) => compare(own, &load(folder)?),
        Command::Share(own) => share(own),
        Command::Suspect(own) => suspected(own, &load(folder)?),
    }
}

impl LawnArguments {
    fn ask(&self, book: &Knowledge) -> Result<Ask> {
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

fn marks(ask: &Ask, plan: &Plan) -> Vec<Mark> {
    let done = ask.used.iter().map(|u| Mark {
        year: u.when.year,
        month: u.when.month,
        groups: u.groups.clone(),
        planned: false,
    });
    let ahead = plan.steps.iter().map(|s| Mark {
        year: s.when.year,
        month: s.when.month,
        groups: s.groups.clone(),
        planned: true,
    });
    done.chain(ahead).collect()
}

fn show_plan(own: &PlanArguments, book: &Knowledge) -> Result<Outcome> {
    let ask = own.lawn.ask(book)?;
    let found = plan(book, &ask);
    own.picture.save(|| {
        picture::year_strip("Groups used and planned (* planned)", &marks(&ask, &found))
    })?;
    let steps: Vec<String> = found.steps.iter().map(step_words).collect();
    match own.format {
        Format::Json => print_json(&json!({
            "schema": "ligule/rotate-plan/1", "value": found.points.to_string(), "unit": "points", "results": found.steps,
            "rotation": found.rotation, "why": found.why, "instead": found.instead, "guidance": found.guidance, "steps": steps,
        }))?,
        Format::Human => {
            let mut text = format!("{}\n\n", found.why);
            for step in &steps {
                let _ = writeln!(text, "  {step}");
            }
            if found.rotation != Rotation::Possible {
                let _ = writeln!(text, "\nInstead");
                for advice in found.instead.iter().take(10) {
                    let _ = writeln!(text, "  - {}", advice.text);
                }
            }
            let _ = writeln!(
                text,
                "\nThe points only set an order. They follow this advice:"
            );
            for advice in &found.guidance {
                let _ = writeln!(text, "  - {}", advice.text);
            }
            let _ = writeln!(
                text,
                "\nEach occasion is chosen anew when it comes: `ligule choose` and the label decide."
            );
            print(&text)?;
        }
    }
    Ok(if found.rotation == Rotation::Possible {
        Outcome::Fine
    } else {
        Outcome::No
    })
}

fn step_words(step: &ligule::rotate::Planned) -> String {
    let what = if step.groups.is_empty() {
        "without chemicals".to_owned()
    } else {
        let groups: Vec<String> = step.groups.iter().map(u16::to_string).collect();
        format!("group {} ({})", groups.join("+"), step.actives.join(", "))
    };
    let why: Vec<String> = step
        .charges
        .iter()
        .map(|c| format!("{} {}", charge_words(c.kind), c.points))
        .collect();
    let leaves = if step.leaves.is_empty() || step.groups.is_empty() {
        String::new()
    } else {
        format!("; leaves {}", step.leaves.join(", "))
    };
    format!(
        "{}-{:02}  {what}, {} points: {}{leaves}",
        step.when.year,
        step.when.month,
        step.points,
        why.join(", ")
    )
}

fn charge_words(kind: CostKind) -> &'static str {
    match kind {
        CostKind::SameGroupAgain => "same group again",
        CostKind::SameGroupOtherFamily => "same group, other family",
        CostKind::ThirdInARow => "third time in a row",
        CostKind::SameAsLastYear => "same as last year",
        CostKind::HighRiskTwiceAYear => "high-risk group twice a year",
        CostKind::HighRiskGroup => "high-risk group",
        CostKind::ModerateRiskGroup => "moderate risk",
        CostKind::ResistanceHere => "resistance on record here",
        CostKind::ResistanceElsewhere => "resistance on record elsewhere",
        CostKind::FairControl => "fair control",
        CostKind::RankStep => "place in the choice",
        CostKind::Rest => "weeds left",
    }
}

/// Splits `id=number`.
fn valued(typed: &str) -> Result<(String, f64)> {
    let (id, number) = typed
        .split_once('=')
        .ok_or_else(|| anyhow!("`{typed}` is no value; write id=number"))?;
    let number: f64 = number
        .parse()
        .ok()
        .filter(|n: &f64| n.is_finite())
        .ok_or_else(|| anyhow!("`{number}` is no number"))?;
    Ok((id.to_owned(), number))
}

fn compare(own: &CompareArguments, book: &Knowledge) -> Result<Outcome> {
    for (name, share) in [("--dominance", own.dominance), ("--selfed", own.selfed)] {
        if !(0.0..=1.0).contains(&share) {
            bail!("{name} is a share from 0 to 1");
        }
    }
    if !(1.0..=10_000_000.0).contains(&own.area_m2) {
        bail!("--area-m2 takes 1 to 10000000 square metres");
    }
    let ask = own.lawn.ask(book)?;
    let found = plan(book, &ask);
    let same = same_again(&ask, &found);
    if same.is_empty() {
        bail!(
            "there is nothing to compare: the plan does without chemicals and no treatment is on record"
        );
    }
    let typed = own
        .value
        .iter()
        .map(|v| valued(v))
        .collect::<Result<Vec<_>>>()?;
    let known = given(book, &typed)?;
    if let Some((wrong, _)) = typed
        .iter()
        .find(|(id, _)| known.iter().all(|g| g.id != *id))
    {
        let near = ligule::words::nearest(wrong, known.iter().map(|g| g.id.as_str()));
        bail!(
            "there is no value `{wrong}`{}",
            near.map_or(String::new(), |n| format!("; did you mean `{n}`?"))
        );
    }
    let how = Inheritance {
        dominance: own.dominance,
        selfed: own.selfed,
    };
    let model = model(&known, own.area_m2, how);
    let threshold = known
        .iter()
        .find(|g| g.id == "threshold")
        .map_or(0.2, |g| g.value);
    let by_year: Vec<Vec<Vec<u16>>> = (0..own.horizon)
        .map(|year| {
            let year = own.lawn.from + i16::try_from(year % u16::from(own.lawn.years)).unwrap_or(0);
            found
                .steps
                .iter()
                .filter(|s| s.when.year == year)
                .map(|s| s.groups.clone())
                .collect()
        })
        .collect();
    let again: Vec<Vec<Vec<u16>>> = by_year
        .iter()
        .map(|year| year.iter().map(|_| same.clone()).collect())
        .collect();
    let comparison = Comparison {
        curves: vec![
            curve(
                "the same again",
                &model,
                &again,
                threshold,
                own.runs,
                own.seed,
            ),
            curve("the plan", &model, &by_year, threshold, own.runs, own.seed),
        ],
        threshold,
        runs: own.runs,
        seed: own.seed,
        assumptions: assumptions(&model, how),
        given: known,
    };
    own.picture.save(|| {
        picture::resistance(
            "Resistance: the same again and the plan (illustration)",
            &comparison,
        )
    })?;
    let steps: Vec<String> = comparison
        .curves
        .iter()
        .map(|c| curve_words(c, &comparison))
        .collect();
    match own.format {
        Format::Json => print_json(
            &json!({"schema": "ligule/rotate-compare/1", "results": comparison, "plan": found.steps, "steps": steps}),
        )?,
        Format::Human => {
            let mut text = format!("An illustration, not a forecast. {}\n\n", found.why);
            for step in &steps {
                let _ = writeln!(text, "  {step}");
            }
            let _ = writeln!(text, "\nAssumed");
            for line in &comparison.assumptions {
                let _ = writeln!(text, "  - {line}");
            }
            for value in &comparison.given {
                let rests = value.evidence.map_or("given", |e| match e {
                    ligule::knowledge::form::source::Evidence::Published => "published",
                    ligule::knowledge::form::source::Evidence::Practice => "practice",
                    ligule::knowledge::form::source::Evidence::Memory => "memory",
                });
                let _ = writeln!(
                    text,
                    "  - {} = {} {} [{rests}] {}",
                    value.id, value.value, value.unit, value.text
                );
            }
            print(&text)?;
        }
    }
    Ok(Outcome::Fine)
}

fn curve_words(curve: &Curve, all: &Comparison) -> String {
    let end = curve.median.last().unwrap_or(&0.0) * 100.0;
    let year = curve
        .expected_year
        .map_or("never within these years".to_owned(), |y| {
            format!("in year {y}")
        });
    format!(
        "{} (group {}): {end:.1} percent resistant at the end in the middle run; {:.0} percent of {} runs pass {:.0} percent; in a population without end {year}",
        curve.name,
        curve.group,
        curve.failing * 100.0,
        all.runs,
        all.threshold * 100.0
    )
}

fn share(own: &ShareArguments) -> Result<Outcome> {
    let good = |x: f64| x > 0.0 && x.is_finite();
    if !(good(own.start)
        && own.start < 1.0
        && good(own.threshold)
        && own.threshold <= 1.0
        && own.threshold >= own.start)
    {
        bail!("start and threshold are shares above 0 and at most 1, the start the smaller one");
    }
    if !(good(own.pressure) && good(own.seed_years) && good(own.fitness) && own.fitness <= 1.0) {
        bail!(
            "pressure and seed years are numbers above 0, the fitness a share above 0 and at most 1"
        );
    }
    let selection = Selection {
        fitness: own.fitness,
        pressure: own.pressure,
        seed_years: own.seed_years,
    };
    let uses = uses_until(own.start, selection, own.threshold);
    let mut steps = vec![
        "N_n = N_0 (1 + f a / b)^n; the equation is recalled, not read, and knows neither dominance nor mating".to_owned(),
        format!("f a / b = {} x {} / {} = {:.3}", own.fitness, own.pressure, own.seed_years, own.fitness * own.pressure / own.seed_years),
        format!("n = ln({} / {}) / ln(1 + f a / b) = {uses:.2}", own.threshold, own.start),
    ];
    for n in [1, 2, 5, 10] {
        steps.push(format!(
            "after {n} uses: {:.3e}",
            after_uses(own.start, selection, n)
        ));
    }
    match own.format {
        Format::Json => print_json(&json!({
            "schema": "ligule/rotate-share/1", "value": format!("{uses:.2}"), "unit": "uses", "evidence": "memory", "steps": steps,
        }))?,
        Format::Human => {
            let mut text =
                format!("{uses:.2} uses (illustration; the equation is recalled, not read)\n");
            for step in &steps {
                let _ = writeln!(text, "  {step}");
            }
            print(&text)?;
        }
    }
    Ok(Outcome::Fine)
}

fn suspected(own: &SuspectArguments, book: &Knowledge) -> Result<Outcome> {
    let weed = book.find(Kind::Weed, &own.weed)?;
    book.find(Kind::Group, &own.group.to_string())?;
    let known: Vec<&str> = book
        .resistance
        .iter()
        .flat_map(|r| &r.other_causes)
        .map(|c| c.id.as_str())
        .collect();
    let mut answers = BTreeMap::new();
    for typed in &own.answer {
        let (id, answer) = typed
            .split_once('=')
            .ok_or_else(|| anyhow!("`{typed}` is no answer; write id=yes or id=no"))?;
        if !known.contains(&id) {
            let near = ligule::words::nearest(id, known.iter().copied());
            bail!(
                "there is no question `{id}`{}; the questions are {}",
                near.map_or(String::new(), |n| format!(" (did you mean `{n}`?)")),
                known.join(", ")
            );
        }
        let answer = match answer.to_lowercase().as_str() {
            "yes" | "y" => Answer::Yes,
            "no" | "n" => Answer::No,
            "unsure" => Answer::Unsure,
            other => bail!("`{other}` is no answer; write yes, no or unsure"),
        };
        answers.insert(id.to_owned(), answer);
    }
    let found = suspect(book, &weed, own.group, &answers);
    match own.format {
        Format::Json => {
            let steps: Vec<&str> = found
                .questions
                .iter()
                .map(|q| q.question.as_str())
                .collect();
            print_json(
                &json!({"schema": "ligule/rotate-suspect/1", "results": found, "steps": steps}),
            )?;
        }
        Format::Human => {
            let mut text = format!("{}\n\n", found.next);
            for question in &found.questions {
                let answer = match question.answer {
                    Answer::Yes => "yes",
                    Answer::No => "no",
                    Answer::Unsure => "?",
                };
                let _ = writeln!(
                    text,
                    "  {answer:<4} {} ({})",
                    question.question, question.id
                );
            }
            if !found.cases.is_empty() {
                let _ = writeln!(text, "\nOn record");
                for case in &found.cases {
                    let works = case
                        .still_works
                        .as_ref()
                        .map_or(String::new(), |w| format!("; still worked: {w}"));
                    let _ = writeln!(
                        text,
                        "  - {}, {} ({}){works}",
                        case.plant, case.place, case.status
                    );
                }
            }
            print(&text)?;
        }
    }
    Ok(if found.suspicion == Suspicion::Suspected {
        Outcome::No
    } else {
        Outcome::Fine
    })
}
