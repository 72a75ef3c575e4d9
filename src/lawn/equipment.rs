//! What the owner's sprayer and spreader put out, from the figures of the lawn file.
use super::form::{Calibration, Sprayer, Spreader};
use super::{LawnError, Several, Written};
use crate::measure::sprayer;
use crate::measure::spreader::{self, Spread};
use crate::measure::{Base, Fault, FaultKind, Kind, Quantity, Worked};

/// Spray per area that the sprayer puts out, as given or from its calibration; nothing where neither is there.
///
/// # Errors
/// Figures of the wrong kind or of nought; both an output and a calibration.
pub fn output(form: &Sprayer) -> Result<Option<Worked<Quantity>>, LawnError> {
    match (&form.output, &form.calibration) {
        (None, None) => Ok(None),
        (Some(_), Some(_)) => {
            let fault = Fault::new(
                FaultKind::Figures,
                "both `output` and `calibration` are given",
            )
            .expected("one of them")
            .hint("keep the calibration: the output is reckoned from it");
            Err(LawnError::at("lawn: sprayer")(fault))
        }
        (Some(output), None) => {
            let rate = output
                .value()
                .clone()
                .must_be(Kind::rate(Base::Volume, Base::Area), "the output")
                .and_then(|q| q.positive("the output"))
                .map_err(LawnError::at("lawn: sprayer: output"))?;
            let step = format!("sprayer: {} as given", rate.short());
            Ok(Some(Worked::new(rate, vec![step])))
        }
        (None, Some(calibration)) => calibrated(calibration)
            .map(Some)
            .map_err(LawnError::at("lawn: sprayer: calibration")),
    }
}

fn calibrated(form: &Calibration) -> Result<Worked<Quantity>, Fault> {
    let mut steps = Vec::new();
    let caught = match (&form.caught_in, form.walked.0.as_slice()) {
        (None, []) => form.caught.value().clone(),
        (Some(caught_in), walked @ [_, ..]) => {
            let walked: Vec<Quantity> = walked.iter().map(|w| w.value().clone()).collect();
            let mean = sprayer::mean(&walked)?;
            steps.extend(mean.steps);
            let on_course =
                sprayer::on_course(form.caught.value(), caught_in.value(), &mean.value)?;
            steps.extend(on_course.steps);
            on_course.value
        }
        _ => {
            return Err(Fault::new(
                FaultKind::Figures,
                "a catch for a time needs both `caught_in` and `walked`",
            )
            .expected("how long it was caught and how long the course took, or neither"));
        }
    };
    let output = match (&form.width, &form.course, &form.area) {
        (Some(width), Some(course), None) => {
            sprayer::catch(&caught, width.value(), course.value())?
        }
        (None, None, Some(area)) => sprayer::over_area(&caught, area.value())?,
        _ => {
            return Err(Fault::new(
                FaultKind::Figures,
                "the calibration does not say over which ground",
            )
            .expected("`width` and `course`, or `area`"));
        }
    };
    steps.extend(output.steps);
    // The figure is shown in the units of the catch.
    let us = caught.unit.top.us;
    let rate = if us {
        output.value.per_thousand
    } else {
        output.value.per_hundred
    };
    let steps = steps.into_iter().map(|s| format!("sprayer: {s}")).collect();
    Ok(Worked::new(rate, steps))
}

/// The tank, where it is given.
///
/// # Errors
/// A tank of another kind than volume.
pub fn tank(form: &Sprayer) -> Result<Option<Quantity>, LawnError> {
    form.tank
        .as_ref()
        .map(|tank| {
            tank.value()
                .clone()
                .must_be(Base::Volume, "the tank")
                .and_then(|q| q.positive("the tank"))
                .map_err(LawnError::at("lawn: sprayer: tank"))
        })
        .transpose()
}

/// What the spreader put out in its test, where there was one.
///
/// # Errors
/// Figures of the wrong kind or of nought; half a test.
pub fn spread(form: &Spreader) -> Result<Option<Worked<Spread>>, LawnError> {
    let place = "lawn: spreader";
    match (&form.caught, &form.length) {
        (None, None) => Ok(None),
        (Some(caught), Some(length)) => {
            spreader::strip(caught.value(), form.width.value(), length.value(), 1)
                .map(Some)
                .map_err(LawnError::at(place))
        }
        _ => Err(LawnError::at(place)(
            Fault::new(FaultKind::Figures, "half a test is given")
                .expected("both `caught` and `length`, or neither"),
        )),
    }
}

/// The values of a list.
#[must_use]
pub fn values<T: Clone>(several: &Several<Written<T>>) -> Vec<T> {
    several.0.iter().map(|w| w.value().clone()).collect()
}
