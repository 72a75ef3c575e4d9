//! Reads the arguments of each calculation, calls the library, prints the answer.

use super::super::output::{Format, Outcome};
use super::{Active, Arguments, Calibrate, Command, Mix, Nozzle, Spreader};
use anyhow::Result;
use ligule::amounts::loads::{self, Part};
use ligule::amounts::tool::{self, Tool};
use ligule::amounts::{content, cost, limit, product, solution};
use ligule::measure::area::{self, Shape};
use ligule::measure::droplet::{Droplet, Fit};
use ligule::measure::{
    Answer, Base, Exact, Fault, FaultKind, Figure, Of, Quantity, State, Worked, nozzle, quantity,
    quantity_of, span, sprayer, spreader, strength, unit,
};
use std::io::Write;

/// Runs one calculation.
///
/// # Errors
/// A [`Fault`] in the figures, or a failed write.
pub fn run(arguments: &Arguments, out: &mut dyn Write) -> Result<Outcome> {
    let answer = answer(&arguments.command)?;
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

fn told<T: ligule::measure::Figures>(name: &str, worked: &Worked<T>) -> Told {
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
        } => {
            let total = area::lawn(&all_shapes(shapes)?, &all_shapes(without)?)?;
            Ok(told("area", &in_unit(total, unit.as_deref())?))
        }
        Command::Course { width } => Ok(told(
            "course",
            &sprayer::course_length(&length(width, "the width")?)?,
        )),
        Command::Calibrate(arguments) => calibrate(arguments),
        Command::Speed { distance, time } => {
            let mean = mean_of(time, Base::Time, "the time")?;
            let mut speed = sprayer::speed(&length(distance, "the distance")?, &mean.value)?;
            speed.steps.splice(0..0, mean.steps);
            Ok(told("speed", &speed))
        }
        Command::Nozzle(arguments) => one_nozzle(arguments),
        Command::Pressure { flow, pressure, to } => {
            let (flow, pressure, to) = (quantity(flow)?, quantity(pressure)?, quantity(to)?);
            if to.kind() == Base::Pressure.into() {
                return Ok(told("pressure", &nozzle::flow_at(&flow, &pressure, &to)?));
            }
            Ok(told(
                "pressure",
                &nozzle::pressure_for(&flow, &pressure, &to)?,
            ))
        }
        Command::Nozzles { catches, limit } => {
            let catches = catches
                .iter()
                .map(|text| quantity(text))
                .collect::<Result<Vec<_>, _>>()?;
            let checked = sprayer::compare_nozzles(&catches, &number(limit, "the limit")?)?;
            let no = checked.value.nozzles.iter().any(|(_, beyond)| *beyond);
            Ok(Told {
                no,
                ..told("nozzles", &checked)
            })
        }
        Command::Tank { tank, volume } => Ok(told(
            "tank",
            &sprayer::tank_covers(&quantity(tank)?, &quantity(volume)?)?,
        )),
        Command::Spreader(arguments) => one_spreader(arguments),
        Command::Dilute {
            rate,
            spray,
            strength: active,
            product,
            tool,
        } => {
            let rate = quantity(rate)?.with_plain_ounces(product.map(State::from))?;
            let spray = quantity_of(spray, Base::Volume, "the spray")?;
            let amount = match active {
                Some(text) => solution::for_active(&rate, &strength(text)?, &spray)?,
                None => solution::into(&rate, &spray)?,
            };
            measured("dilute", amount, tool.as_deref(), None)
        }
        Command::Mix(arguments) => mix(arguments),
        Command::Active(arguments) => active(arguments),
        Command::Cost {
            amount,
            pack,
            price,
            treatments,
            keeps,
        } => {
            let (amount, pack, price) = (
                quantity(amount)?,
                quantity(pack)?,
                number(price, "the price")?,
            );
            let cost = cost::of(
                &amount,
                &cost::Pack {
                    size: pack.clone(),
                    price,
                },
            )?;
            let Some(treatments) = treatments else {
                return Ok(told("cost", &cost));
            };
            let keeps = keeps
                .as_deref()
                .map(|text| number(text, "the years"))
                .transpose()?;
            let year = cost::per_year(&amount, *treatments, &pack, keeps.as_ref())?;
            Ok(told("cost", &joined(&cost, &year)))
        }
        Command::Share { areas, price } => {
            let areas = areas
                .iter()
                .map(|text| shape_area(text))
                .collect::<Result<Vec<_>, _>>()?;
            let shares = cost::split(&number(price, "the price")?, &areas)?.then(|shares| {
                let named = |(i, share): (usize, &Exact)| {
                    Figure::plain(&format!("share_{}", i + 1), share.to_places(2))
                };
                Ok(shares.iter().enumerate().map(named).collect::<Vec<_>>())
            })?;
            Ok(told("share", &shares))
        }
        Command::Droplets {
            class,
            finest,
            coarsest,
        } => droplets(class, finest.as_deref(), coarsest.as_deref()),
    }
}

fn convert(figure: &str, to: &str) -> Result<Told, Fault> {
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

fn calibrate(arguments: &Calibrate) -> Result<Told, Fault> {
    let caught = quantity_of(&arguments.caught, Base::Volume, "the water caught")?;
    let (ground, mut steps) = match (&arguments.area, &arguments.width, &arguments.course) {
        (Some(area), ..) => (shape_area(area)?, Vec::new()),
        (None, Some(width), Some(course)) => {
            let course =
                sprayer::course_area(&length(width, "the width")?, &length(course, "the course")?)?;
            (
                course.value,
                course
                    .steps
                    .into_iter()
                    .map(|step| format!("course: {step}"))
                    .collect(),
            )
        }
        _ => {
            return Err(Fault::new(
                FaultKind::Empty,
                "neither an area nor a course was given",
            ));
        }
    };
    let caught = match &arguments.caught_in {
        None => caught,
        Some(time) => {
            let walked = mean_of(&arguments.walked, Base::Time, "the time of the course")?;
            let time = quantity_of(time, Base::Time, "the time of the catch")?
                .positive("the time of the catch")?;
            let on_course = caught.times(&walked.value.in_units_of(&time)?);
            steps.extend(walked.steps);
            let (caught, walked) = (caught.short(), walked.value.short());
            steps.push(format!(
                "on the course: {caught} x {walked} / {} = {}",
                time.short(),
                on_course.short()
            ));
            on_course
        }
    };
    let mut output = sprayer::over_area(&caught, &ground)?;
    output.steps.splice(0..0, steps);
    Ok(told("calibrate", &output))
}

fn one_nozzle(arguments: &Nozzle) -> Result<Told, Fault> {
    let read = |text: &Option<String>| text.as_deref().map(quantity).transpose();
    let (flow, speed, volume) = (
        read(&arguments.flow)?,
        read(&arguments.speed)?,
        read(&arguments.volume)?,
    );
    let (pressure, lowest, highest) = (
        read(&arguments.pressure)?,
        read(&arguments.lowest)?,
        read(&arguments.highest)?,
    );
    let width = length(&arguments.width, "the width")?;
    match (flow, speed, volume, pressure) {
        (Some(flow), Some(speed), Some(volume), Some(pressure)) => {
            let pressures = lowest.zip(highest);
            let setting = nozzle::Setting { flow, pressure, speed, width, pressures };
            Ok(told("nozzle", &nozzle::ways(&setting, &volume)?))
        }
        (Some(flow), Some(speed), None, _) => Ok(told("nozzle", &nozzle::output(&flow, &speed, &width)?)),
        (None, Some(speed), Some(volume), _) => Ok(told("nozzle", &nozzle::flow_needed(&volume, &speed, &width)?)),
        (Some(flow), None, Some(volume), _) => Ok(told("nozzle", &nozzle::speed_needed(&volume, &flow, &width)?)),
        _ => Err(Fault::new(FaultKind::Empty, "two of flow, speed and volume are needed")
            .expected("--flow and --speed, --volume and --speed, --volume and --flow, or all three with --pressure")),
    }
}

fn one_spreader(arguments: &Spreader) -> Result<Told, Fault> {
    let mut steps = Vec::new();
    let weight = match (&arguments.caught, &arguments.before, &arguments.after) {
        (Some(caught), ..) => quantity_of(caught, Base::Weight, "the product caught")?,
        (None, Some(before), Some(after)) => {
            let used = spreader::weighed_out(&quantity(before)?, &quantity(after)?)?;
            steps = used.steps;
            used.value
        }
        _ => {
            return Err(Fault::new(FaultKind::Empty, "no weight was given")
                .expected("--caught, or --before and --after"));
        }
    };
    let mut rate = match (&arguments.area, &arguments.width, &arguments.length) {
        (None, Some(width), Some(run)) => spreader::strip(
            &weight,
            &length(width, "the width")?,
            &length(run, "the length")?,
            arguments.passes,
        )?,
        (Some(area), ..) => spreader::over_area(&weight, &shape_area(area)?)?,
        _ => {
            return Err(Fault::new(FaultKind::Empty, "no area was given")
                .expected("--area, or --width and --length"));
        }
    };
    rate.steps.splice(0..0, steps);
    let Some(label) = &arguments.rate else {
        return Ok(told("spreader", &rate));
    };
    let limit = number(&arguments.limit, "the limit")?;
    let compared = spreader::compare(rate, &quantity(label)?, arguments.twice, &limit)?;
    let no = compared.value.off_percent.abs() > limit;
    Ok(Told {
        no,
        ..told("spreader", &compared)
    })
}

fn mix(arguments: &Mix) -> Result<Told, Fault> {
    let state = arguments.product.map(State::from);
    let settle = |one: Quantity| one.with_plain_ounces(state);
    let rate = span(&arguments.rate)?.each(settle)?;
    // A label that gives one rate allows no more than that rate.
    let maximum = match &arguments.maximum {
        Some(text) => settle(quantity(text)?)?,
        None => rate.high.clone(),
    };
    limit::check_rate(&rate.high, Some(&maximum))?;
    let ground = area::area(&area::shape(&arguments.area)?)?;
    let mut product = product::for_area(&rate.low, &ground.value, Some(&maximum))?;
    product.steps.splice(0..0, ground.steps);
    let most = maximum.on(&ground.value)?;
    let (Some(volume), Some(tank)) = (&arguments.volume, &arguments.tank) else {
        return measured("mix", product, arguments.tool.as_deref(), Some(&most));
    };
    let spray = product::spray_for_area(&quantity(volume)?, &ground.value)?;
    let mut parts = vec![Part {
        name: "product".to_owned(),
        amount: product.value.clone(),
    }];
    let mut steps = product.steps;
    steps.extend(spray.steps);
    for (i, text) in arguments.adjuvant.iter().enumerate() {
        let amount = solution::into(&quantity(text)?, &spray.value)?;
        steps.extend(
            amount
                .steps
                .into_iter()
                .map(|step| format!("adjuvant: {step}")),
        );
        let name = if i == 0 {
            "adjuvant".to_owned()
        } else {
            format!("adjuvant_{}", i + 1)
        };
        parts.push(Part {
            name,
            amount: amount.value,
        });
    }
    let cut = if arguments.full_tanks {
        loads::full_and_rest
    } else {
        loads::equal
    };
    let cut = cut(&spray.value, &quantity(tank)?, &parts)?;
    let mut figures = vec![
        Figure::new("product", &product.value),
        Figure::new("spray", &spray.value),
    ];
    figures.extend(ligule::measure::Figures::figures(&cut.value));
    steps.extend(cut.steps);
    let mut worked = Worked {
        value: figures,
        steps,
        warnings: product.warnings,
    };
    if let Some(tool) = &arguments.tool {
        let tool: Tool = tool.parse()?;
        let amounts: Vec<Quantity> = cut
            .value
            .loads
            .iter()
            .filter_map(|load| load.parts.first())
            .map(|part| part.amount.clone())
            .collect();
        let portions = loads::portions(&amounts, &tool, Some(&most))?;
        worked
            .value
            .push(Figure::new("measured_total", &portions.value.total));
        let named = |(i, one): (usize, &tool::Measured)| {
            Figure::new(&format!("load_{}_measure", i + 1), &one.measure)
        };
        worked
            .value
            .extend(portions.value.portions.iter().enumerate().map(named));
        worked.steps.extend(portions.steps);
        worked.warnings.extend(portions.warnings);
    }
    Ok(told("mix", &worked))
}

fn active(arguments: &Active) -> Result<Told, Fault> {
    let figure =
        quantity(&arguments.figure)?.with_plain_ounces(arguments.product.map(State::from))?;
    let mut content = Worked::new(strength(&arguments.strength)?, Vec::new());
    if let Some(density) = &arguments.density {
        content = content::by_volume(&content.value, &quantity(density)?)?;
    }
    let result = if let Some(acid) = &arguments.acid {
        let share = content::acid_share(&strength(acid)?, &content.value)?;
        content.steps.extend(share.steps);
        content::other_form(&figure, &share.value)?
    } else if figure.kind().of == Of::Product {
        content::active_in(&figure, &content.value)?
    } else {
        content::product_for(&figure, &content.value)?
    };
    let steps = content.steps.into_iter().chain(result.steps).collect();
    let result = Worked {
        value: result.value,
        steps,
        warnings: result.warnings,
    };
    Ok(told("active", &in_unit(result, arguments.unit.as_deref())?))
}

fn droplets(class: &str, finest: Option<&str>, coarsest: Option<&str>) -> Result<Told, Fault> {
    let class: Droplet = class.parse()?;
    let finest = finest.map(str::parse::<Droplet>).transpose()?;
    let coarsest = coarsest.map(str::parse::<Droplet>).transpose()?;
    let fit = class.against(finest, coarsest);
    let (word, step) = match fit {
        Fit::TooFine => (
            "too fine",
            "finer than the label allows: it drifts; take a coarser nozzle or less pressure",
        ),
        Fit::TooCoarse => (
            "too coarse",
            "coarser than the label allows: it covers poorly; take a finer nozzle",
        ),
        Fit::Fits => ("fits", "within what was given of the label"),
    };
    let figures = vec![
        Figure::plain("class", class.code()),
        Figure::plain("fit", word),
    ];
    Ok(Told {
        no: fit != Fit::Fits,
        ..told(
            "droplets",
            &Worked::new(figures, vec![format!("{class}: {step}")]),
        )
    })
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

fn joined<A: ligule::measure::Figures, B: ligule::measure::Figures>(
    a: &Worked<A>,
    b: &Worked<B>,
) -> Worked<Vec<Figure>> {
    let figures = a
        .value
        .figures()
        .into_iter()
        .chain(b.value.figures())
        .collect();
    let steps = a.steps.iter().chain(&b.steps).cloned().collect();
    Worked {
        value: figures,
        steps,
        warnings: a.warnings.iter().chain(&b.warnings).cloned().collect(),
    }
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
