//! Reads the arguments of each calculation, calls the library, prints the answer.

mod equipment;
mod mixing;
mod money;
mod tank;

use super::super::output::{Format, Outcome, load};
use super::super::treat;
use super::{Arguments, Command};
use anyhow::Result;
use ligule::amounts::tool;
use ligule::lawn::ground;
use ligule::measure::area::{self, Shape};
use ligule::measure::{
    Answer, Base, Exact, Fault, FaultKind, Figure, Figures, Limit, Quantity, Worked, limit,
    quantity, quantity_of, span, sprayer, unit,
};
use std::io::Write;
use std::path::Path;

/// Runs one calculation.
///
/// # Errors
/// A [`Fault`] in the figures, or a failed write.
pub fn run(arguments: &Arguments, folder: Option<&Path>, out: &mut dyn Write) -> Result<Outcome> {
    let answer = match &arguments.command {
        // These few ask the book or a file; the others are arithmetic alone.
        Command::Area {
            shapes,
            answers: Some(path),
            unit,
            ..
        } => named_areas(path, shapes, unit.as_deref())?,
        Command::Conditioner { ion } => tank::conditioner(&load(folder)?, ion)?,
        Command::Droplets {
            class,
            finest,
            coarsest,
        } => {
            let answer = equipment::droplets(class, finest.as_deref(), coarsest.as_deref())?;
            tank::with_advice(&load(folder)?, answer)
        }
        command => answer(command)?,
    };
    match arguments.format {
        Format::Json => {
            serde_json::to_writer_pretty(&mut *out, &answer.answer)?;
            writeln!(out)?;
        }
        Format::Human => print(&answer, out)?,
    }
    Ok(if answer.no {
        Outcome::No
    } else {
        Outcome::Fine
    })
}

/// An answer, the figures behind it, and whether it is a "no".
struct Told {
    answer: Answer,
    figures: Vec<Figure>,
    no: bool,
}

fn told<T: Figures>(name: &str, worked: &Worked<T>) -> Told {
    Told {
        answer: worked.answer(name),
        figures: worked.value.figures(),
        no: false,
    }
}

fn print(told: &Told, out: &mut dyn Write) -> Result<()> {
    let alone = told.figures.len() == 1;
    for figure in &told.figures {
        let text = format!("{} {}", figure.short, figure.unit);
        let text = text.trim_end();
        if alone {
            writeln!(out, "{text}")?;
        } else {
            writeln!(out, "{}: {text}", figure.name.replace('_', " "))?;
        }
    }
    writeln!(out, "\nWorking:")?;
    for step in &told.answer.steps {
        writeln!(out, "  {step}")?;
    }
    for warning in &told.answer.warnings {
        writeln!(out, "Mind: {warning}")?;
    }
    Ok(())
}

fn answer(command: &Command) -> Result<Told, Fault> {
    match command {
        Command::Convert { figure, to } => convert(figure, to),
        Command::Area {
            shapes,
            without,
            unit,
            ..
        } => {
            let total = area::lawn(&all_shapes(shapes)?, &all_shapes(without)?)?;
            Ok(told("area", &in_unit(total, unit.as_deref())?))
        }
        Command::Course { width } => Ok(told(
            "course",
            &sprayer::course_length(&length(width, "the width")?)?,
        )),
        Command::Calibrate(arguments) => equipment::calibrate(arguments),
        Command::Speed { distance, time } => speed(distance, time),
        Command::Nozzle(arguments) => equipment::one_nozzle(arguments),
        Command::Pressure { flow, pressure, to } => equipment::pressure(flow, pressure, to),
        Command::Nozzles { catches, limit } => equipment::nozzles(catches, limit),
        Command::Tank { tank, volume } => Ok(told(
            "tank",
            &sprayer::tank_covers(&quantity(tank)?, &quantity(volume)?)?,
        )),
        Command::Spreader(arguments) => equipment::one_spreader(arguments),
        Command::Dilute(arguments) => mixing::dilute(arguments),
        Command::Mix(arguments) => mixing::mix(arguments),
        Command::Active(arguments) => mixing::active(arguments),
        Command::Cost(arguments) => money::cost(arguments),
        Command::Share { areas, price } => money::share(areas, price),
        Command::Droplets {
            class,
            finest,
            coarsest,
        } => equipment::droplets(class, finest.as_deref(), coarsest.as_deref()),
        Command::Expected { alone, together } => tank::expected(alone, together.as_deref()),
        Command::Jar { part, spray, jar } => tank::jar(part, spray, jar),
        Command::Conditioner { .. } => Err(Fault::new(
            FaultKind::Empty,
            "hardness is reckoned with the book",
        )),
    }
}

/// The named areas of an answers file.
fn named_areas(path: &Path, names: &[String], wanted: Option<&str>) -> Result<Told> {
    let visit = treat::answers(path)?;
    let ground = ground::of(&visit.lawn.areas, visit.lawn.area.as_deref(), names)?
        .ok_or_else(|| anyhow::anyhow!("{} gives no area that can be reckoned", path.display()))?;
    let mut steps = ground.steps.clone();
    let mut figures = ground.figures();
    if let Some(wanted) = wanted {
        let result = ground.area.to(&unit(wanted)?)?;
        steps.push(format!("{} = {}", ground.area.short(), result.short()));
        figures[0] = Figure::new("area", &result);
    }
    Ok(told("area", &Worked::new(figures, steps)))
}

/// The amount as it is, or as the tool shows it.
fn measured(
    name: &str,
    amount: Worked<Quantity>,
    tool: Option<&str>,
    most: Option<&Quantity>,
) -> Result<Told, Fault> {
    let Some(tool) = tool else {
        return Ok(told(name, &amount));
    };
    let mut measured = tool::measure_out(&amount.value, &tool.parse()?, most)?;
    measured.steps.splice(0..0, amount.steps);
    measured.warnings.splice(0..0, amount.warnings);
    Ok(told(name, &measured))
}

fn in_unit(worked: Worked<Quantity>, wanted: Option<&str>) -> Result<Worked<Quantity>, Fault> {
    let Some(wanted) = wanted else {
        return Ok(worked);
    };
    let result = worked.value.to(&unit(wanted)?)?;
    let step = format!("{} = {}", worked.value.short(), result.short());
    let mut changed = worked.then(|_| Ok(result))?;
    changed.steps.push(step);
    Ok(changed)
}

fn convert(figure: &str, to: &str) -> Result<Told, Fault> {
    if let Ok(Limit {
        amount,
        each: Some(each),
    }) = limit(figure)
    {
        // `per year` goes along unchanged, on either side or on the figure alone.
        let wanted = match limit(&format!("1 {to}")) {
            Ok(wanted) if wanted.each == Some(each) => wanted.amount.unit,
            _ => unit(to)?,
        };
        let result = amount.to(&wanted)?;
        let shown = format!("{}/{}", result.unit, each.word());
        let step = format!("{amount}/{} = {} {shown}", each.word(), result.value);
        let figure = Figure::number("result", &result.value, &shown);
        return Ok(told("convert", &Worked::new(vec![figure], vec![step])));
    }
    let (from, to) = (span(figure)?, unit(to)?);
    let range = !from.is_single();
    let shown = from.to_string();
    let result = from.each(|one| one.to(&to))?;
    if range {
        let figures = vec![
            Figure::new("low", &result.low),
            Figure::new("high", &result.high),
        ];
        return Ok(told(
            "convert",
            &Worked::new(figures, vec![format!("{shown} = {result}")]),
        ));
    }
    Ok(told(
        "convert",
        &Worked::new(
            result.low.clone(),
            vec![format!("{shown} = {}", result.low)],
        ),
    ))
}

fn speed(distance: &str, time: &[String]) -> Result<Told, Fault> {
    let mean = mean_of(time, Base::Time, "the time")?;
    let mut speed = sprayer::speed(&length(distance, "the distance")?, &mean.value)?;
    speed.steps.splice(0..0, mean.steps);
    Ok(told("speed", &speed))
}

fn all_shapes(texts: &[String]) -> Result<Vec<Shape>, Fault> {
    texts.iter().map(|text| area::shape(text)).collect()
}

fn shape_area(text: &str) -> Result<Quantity, Fault> {
    Ok(area::area(&area::shape(text)?)?.value)
}

fn length(text: &str, figure: &str) -> Result<Quantity, Fault> {
    quantity_of(text, Base::Length, figure)
}

fn mean_of(texts: &[String], kind: Base, figure: &str) -> Result<Worked<Quantity>, Fault> {
    let runs = texts
        .iter()
        .map(|text| quantity_of(text, kind, figure))
        .collect::<Result<Vec<_>, _>>()?;
    sprayer::mean(&runs)
}

fn number(text: &str, figure: &str) -> Result<Exact, Fault> {
    Exact::from_digits(text.trim())
        .filter(|_| text.len() <= 20)
        .ok_or_else(|| {
            Fault::new(
                FaultKind::Number,
                format!("{figure}: `{text}` is no plain number"),
            )
            .expected("figures such as 10 or 12.50")
        })
}
