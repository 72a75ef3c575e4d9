//! The plan over years.
use super::lawn::LawnArguments;
use crate::cli::output::{Format, Outcome, print, print_json};
use crate::cli::season::PictureArguments;
use anyhow::Result;
use clap::Args;
use ligule::knowledge::Knowledge;
use ligule::knowledge::form::season::CostKind;
use ligule::picture::{self, Mark};
use ligule::rotate::{Ask, Plan, Rotation, plan};
use serde_json::json;
use std::fmt::Write as _;

#[derive(Debug, Args)]
pub struct Arguments {
    #[command(flatten)]
    lawn: LawnArguments,
    #[command(flatten)]
    picture: PictureArguments,
    /// How to print
    #[arg(long, value_enum, default_value_t)]
    format: Format,
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

pub fn run(own: &Arguments, book: &Knowledge) -> Result<Outcome> {
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
