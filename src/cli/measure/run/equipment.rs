//! Sprayers, nozzles, spreaders, droplets.

use super::super::{Calibrate, Nozzle, Spreader};
use super::{Told, length, mean_of, number, shape_area, told};
use ligule::measure::droplet::{Droplet, Fit};
use ligule::measure::{
    Base, Fault, FaultKind, Figure, Worked, nozzle, quantity, quantity_of, sprayer, spreader,
};

pub fn calibrate(arguments: &Calibrate) -> Result<Told, Fault> {
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
            let time = quantity_of(time, Base::Time, "the time of the catch")?;
            let on_course = sprayer::on_course(&caught, &time, &walked.value)?;
            steps.extend(walked.steps);
            steps.extend(on_course.steps);
            on_course.value
        }
    };
    let mut output = sprayer::over_area(&caught, &ground)?;
    output.steps.splice(0..0, steps);
    Ok(told("calibrate", &output))
}

pub fn one_nozzle(arguments: &Nozzle) -> Result<Told, Fault> {
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

pub fn one_spreader(arguments: &Spreader) -> Result<Told, Fault> {
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

pub fn droplets(class: &str, finest: Option<&str>, coarsest: Option<&str>) -> Result<Told, Fault> {
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

pub fn pressure(flow: &str, pressure: &str, to: &str) -> Result<Told, Fault> {
    let (flow, pressure, to) = (quantity(flow)?, quantity(pressure)?, quantity(to)?);
    if to.kind() == Base::Pressure.into() {
        return Ok(told("pressure", &nozzle::flow_at(&flow, &pressure, &to)?));
    }
    Ok(told(
        "pressure",
        &nozzle::pressure_for(&flow, &pressure, &to)?,
    ))
}

pub fn nozzles(catches: &[String], limit: &str) -> Result<Told, Fault> {
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
