//! The questions about the ground, the sprayer or spreader, and the measuring tools.
use super::super::super::ask::Ask;
use super::Question;
use super::label::is_spread;
use anyhow::Result;
use ligule::knowledge::Knowledge;
use ligule::lawn::form::{Calibration, Sprayer, Spreader, plain_area};
use ligule::lawn::{LawnError, Several, Written, equipment, ground};
use ligule::measure::{Fault, Quantity, area};
use ligule::visit::Lawn;
use std::str::FromStr;

fn read<T: FromStr<Err = Fault>>(typed: &str) -> Result<Written<T>, String> {
    typed.parse().map_err(|fault: Fault| fault.to_string())
}

/// Reads what is known of the sprayer so far; half a calibration is waited for.
fn sprayer_fits(sprayer: &Sprayer) -> Result<(), String> {
    let told = |e: LawnError| e.fault.to_string();
    equipment::tank(sprayer).map_err(told)?;
    let half = sprayer
        .calibration
        .as_ref()
        .is_some_and(|c| c.area.is_none() && (c.width.is_none() || c.course.is_none()));
    if !half {
        equipment::output(sprayer).map_err(told)?;
    }
    Ok(())
}

fn on_sprayer(
    lawn: &mut Lawn,
    change: impl FnOnce(&mut Sprayer) -> Result<(), String>,
) -> Result<(), String> {
    let sprayer = lawn.sprayer.get_or_insert_with(Sprayer::default);
    change(sprayer)?;
    sprayer_fits(sprayer)
}

fn of_sprayer(
    title: &str,
    help: &'static str,
    wanted: fn(&Knowledge, &Lawn) -> bool,
    answered: fn(&Sprayer) -> bool,
    take: fn(&mut Sprayer, &str) -> Result<(), String>,
    forget: fn(&mut Sprayer),
) -> Question {
    Question {
        title: title.to_owned(),
        help,
        wanted,
        answered: Box::new(move |lawn| lawn.sprayer.as_ref().is_some_and(answered)),
        take: Box::new(move |_, lawn, typed| on_sprayer(lawn, |s| take(s, typed))),
        clear: Box::new(move |lawn| {
            if let Some(sprayer) = &mut lawn.sprayer {
                forget(sprayer);
            }
        }),
    }
}

fn sprayed(_: &Knowledge, lawn: &Lawn) -> bool {
    !is_spread(lawn)
}

fn spread(_: &Knowledge, lawn: &Lawn) -> bool {
    is_spread(lawn)
}

/// A trial is asked for where the output is not known.
fn untried(book: &Knowledge, lawn: &Lawn) -> bool {
    sprayed(book, lawn) && lawn.sprayer.as_ref().is_none_or(|s| s.output.is_none())
}

fn tried(book: &Knowledge, lawn: &Lawn) -> bool {
    untried(book, lawn)
        && lawn
            .sprayer
            .as_ref()
            .and_then(|s| s.calibration.as_ref())
            .is_some_and(|c| c.area.is_none())
}

/// The questions in the order of the job.
pub fn questions() -> Vec<Question> {
    let mut all = vec![Question {
        title: "Ground to be treated (60 ft x 40 ft, 2400 sq ft, 220 m2)".to_owned(),
        help: "Length times width of a rectangle, or the area. `ligule measure area --help` helps with other shapes; house, drive and beds do not count.",
        wanted: |_, lawn| lawn.areas.is_empty(),
        answered: Box::new(|lawn| {
            lawn.area
                .as_deref()
                .is_some_and(|a| plain_area(a).is_some())
        }),
        take: Box::new(|_, lawn, typed| {
            area::shape(typed).map_err(|fault| fault.to_string())?;
            lawn.area = Some(typed.to_owned());
            match ground::of(&lawn.areas, lawn.area.as_deref(), &lawn.treat) {
                Ok(Some(_)) => Ok(()),
                Ok(None) => Err(format!(
                    "`{typed}` is no area; type 60 ft x 40 ft or 2400 sq ft"
                )),
                Err(e) => Err(e.fault.to_string()),
            }
        }),
        clear: Box::new(|lawn| lawn.area = None),
    }];
    all.extend(sprayer());
    all.extend(spreader());
    all.push(Question {
        title: "What you measure with, with commas (syringe 0.5 mL, scale 0.1 g, cup 1 fl oz, spoons)".to_owned(),
        help: "The tool and the smallest step that it shows. Amounts are rounded to it, and never above the label's most.",
        wanted: |_, _| true,
        answered: Box::new(|lawn| !lawn.measuring.is_empty()),
        take: Box::new(|_, lawn, typed| {
            let tools: Result<Vec<_>, String> = typed.split(',').map(|t| read(t.trim())).collect();
            lawn.measuring = Several(tools?);
            Ok(())
        }),
        clear: Box::new(|lawn| lawn.measuring = Several::default()),
    });
    all
}

fn sprayer() -> Vec<Question> {
    vec![
        of_sprayer(
            "What the tank of your sprayer holds up to its mark (2 gal, 8 L)",
            "The whole job is cut into loads of this size.",
            sprayed,
            |s| s.tank.is_some(),
            |s, t| {
                s.tank = Some(read(t)?);
                Ok(())
            },
            |s| s.tank = None,
        ),
        of_sprayer(
            "What it puts out on an area, if you know (1 gal/1000 sq ft)",
            "Skip it if you never measured: three questions about a trial with plain water follow.",
            |book, lawn| {
                sprayed(book, lawn)
                    && lawn
                        .sprayer
                        .as_ref()
                        .is_none_or(|s| s.calibration.is_none())
            },
            |s| s.output.is_some(),
            |s, t| {
                s.output = Some(read(t)?);
                Ok(())
            },
            |s| s.output = None,
        ),
        of_sprayer(
            "Trial: water sprayed while walking a measured course (44 fl oz, 1.3 L)",
            "Fill with plain water, spray a course at your usual pace, and measure what it takes to fill up again.",
            untried,
            |s| s.calibration.is_some(),
            |s, t| {
                s.calibration = Some(Calibration {
                    caught: read::<Quantity>(t)?,
                    caught_in: None,
                    walked: Several::default(),
                    width: None,
                    course: None,
                    area: None,
                });
                Ok(())
            },
            |s| s.calibration = None,
        ),
        of_sprayer(
            "Trial: width of the spray on the ground (4 ft)",
            "How wide one pass wets the ground.",
            tried,
            |s| s.calibration.as_ref().is_none_or(|c| c.width.is_some()),
            |s, t| {
                if let Some(trial) = &mut s.calibration {
                    trial.width = Some(read(t)?);
                }
                Ok(())
            },
            |s| {
                if let Some(trial) = &mut s.calibration {
                    trial.width = None;
                }
            },
        ),
        of_sprayer(
            "Trial: length of the course (85 ft)",
            "How far you walked while spraying that water.",
            tried,
            |s| s.calibration.as_ref().is_none_or(|c| c.course.is_some()),
            |s, t| {
                if let Some(trial) = &mut s.calibration {
                    trial.course = Some(read(t)?);
                }
                Ok(())
            },
            |s| {
                if let Some(trial) = &mut s.calibration {
                    trial.course = None;
                }
            },
        ),
    ]
}

fn spreader() -> Vec<Question> {
    vec![Question {
        title: "Width that one pass of your spreader covers (5 ft)".to_owned(),
        help: "Half of the throw on either side, measured on a hard floor with this product. The test of what it puts out is told under `ligule measure --help`.",
        wanted: spread,
        answered: Box::new(|lawn| lawn.spreader.is_some()),
        take: Box::new(|_, lawn, typed| {
            let spreader = Spreader {
                width: read::<Quantity>(typed)?,
                caught: None,
                length: None,
                tested_with: None,
            };
            equipment::spread(&spreader).map_err(|e| e.fault.to_string())?;
            lawn.spreader = Some(spreader);
            Ok(())
        }),
        clear: Box::new(|lawn| lawn.spreader = None),
    }]
}

/// Half a trial says nothing and would stop the reckoning, so it is put aside, and said so.
pub fn whole(lawn: &mut Lawn, ask: &mut Ask<'_>) -> Result<()> {
    if let Some(sprayer) = &mut lawn.sprayer {
        if let Some(trial) = &sprayer.calibration
            && trial.area.is_none()
            && (trial.width.is_none() || trial.course.is_none())
        {
            sprayer.calibration = None;
            ask.say("The trial lacks its width or its course, so it does not count.\n")?;
        }
        if *sprayer == Sprayer::default() {
            lawn.sprayer = None;
        }
    }
    Ok(())
}
