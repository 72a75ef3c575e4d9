//! From labels, ground and sprayer to a job that can be reckoned, or to the findings that stop it.

use super::{ProductLine, Sheet};
use crate::amounts::leftover::both;
use crate::amounts::limit;
use crate::amounts::reckon::{self, Job as Parts, Spraying, Wanted};
use crate::amounts::tool::Tool;
use crate::knowledge::form::lists::Formulation;
use crate::lawn::equipment;
use crate::lawn::ground::Ground;
use crate::lawn::label::Label;
use crate::lawn::{Finding, Weight};
use crate::measure::{Base, Exact, Quantity, Span, Worked};
use crate::tank::order::Goes;
use crate::visit::Lawn;

/// A job that is ready to be reckoned.
pub struct Job<'a> {
    pub labels: Vec<&'a Label<'a>>,
    pub ground: Ground,
    /// Spray per area and tank; nothing where the product is spread dry.
    pub spraying: Option<(Quantity, Quantity)>,
    /// Products first, then adjuvants; `goes` says the same to the mixing order.
    pub wanted: Vec<Wanted>,
    pub goes: Vec<Goes<'a>>,
    pub tools: Vec<Tool>,
    pub rates: Vec<Span>,
}

/// Gathers the job; whatever stops it goes to the findings.
pub fn job<'a>(
    lawn: &'a Lawn,
    labels: &[&'a Label<'a>],
    ground: Option<Ground>,
    output: Option<Worked<Quantity>>,
    sheet: &mut Sheet,
) -> Option<Job<'a>> {
    let name = labels.first()?.product.name.clone();
    let Some(ground) = ground else {
        sheet.stop(
            "area-not-known",
            &name,
            "The lawn file does not say how large the ground is: write `area: 2400 sq ft`, or `areas` with names and shapes.",
        );
        return None;
    };
    sheet.steps.extend(ground.steps.iter().cloned());
    let dry = labels.iter().filter(|l| l.is_spread()).count();
    if dry > 0 && labels.len() > 1 {
        sheet.stop(
            "spread-and-sprayed",
            &name,
            "One of the products is spread dry: it does not go into a tank with the other.",
        );
        return None;
    }
    let mut rates = Vec::new();
    for label in labels {
        rates.push(rate(label, &ground, sheet)?);
    }
    let mut wanted: Vec<Wanted> = labels
        .iter()
        .zip(&rates)
        .map(|(label, rate)| product(label, rate))
        .collect();
    let mut goes: Vec<Goes<'a>> = labels
        .iter()
        .map(|l| Goes::Product(l.formulation as Option<&'a Formulation>))
        .collect();
    let spraying = if dry > 0 {
        None
    } else {
        adjuvants(labels, &mut wanted, &mut goes, sheet);
        Some(spraying(lawn, labels, output, sheet)?)
    };
    Some(Job {
        labels: labels.to_vec(),
        ground,
        spraying,
        wanted,
        goes,
        tools: equipment::values(&lawn.measuring),
        rates,
    })
}

/// The label's rate for this ground: for spots where it is nothing but spots, else for the whole area.
fn rate(label: &Label<'_>, ground: &Ground, sheet: &mut Sheet) -> Option<Span> {
    let name = &label.product.name;
    let found = if ground.spots {
        label.spot.clone().or_else(|| label.broadcast.clone())
    } else {
        label.broadcast.clone()
    };
    if found.is_none() {
        let text = if label.spot.is_some() {
            "The file gives the label's rate for single spots only, and the ground is a whole area: write the area as spots (`spots 120 x 4 in`), or copy the rate for whole areas if the label has one."
        } else {
            "The file gives no rate of its label: copy it to `rates`. Until then the blanks of the note stay blank."
        };
        sheet.stop("no-rate", name, text);
    }
    found
}

fn product(label: &Label<'_>, rate: &Span) -> Wanted {
    let per_area = rate.kind().per == Some(Base::Area);
    // A label that gives one rate allows no more than that rate.
    let most_on_area = label
        .most
        .clone()
        .or_else(|| per_area.then(|| rate.high.clone()));
    Wanted {
        name: label.product.name.clone(),
        rate: rate.low.clone(),
        most_on_area,
        most_in_spray: (!per_area).then(|| rate.high.clone()),
    }
}

/// The adjuvants of all labels, each once; two labels that ask for different amounts of one are asked about.
fn adjuvants<'a>(
    labels: &[&'a Label<'a>],
    wanted: &mut Vec<Wanted>,
    goes: &mut Vec<Goes<'a>>,
    sheet: &mut Sheet,
) {
    for label in labels {
        for added in label.adjuvants() {
            let rate = added.rate.value().clone();
            if let Some(same) = wanted.iter_mut().find(|w| w.name == added.name) {
                if same.rate != rate {
                    sheet.findings.push(Finding::new(
                        "adjuvant-differs",
                        Weight::Question,
                        &label.product.name,
                        format!(
                            "The labels ask for {} at {} and at {}: the smaller is taken.",
                            added.name,
                            same.rate.short(),
                            rate.short()
                        ),
                    ));
                    if rate.kind() == same.rate.kind() && rate.in_base() < same.rate.in_base() {
                        same.rate = rate;
                    }
                }
                continue;
            }
            let in_spray = rate.kind().per == Some(Base::Volume);
            wanted.push(Wanted {
                name: added.name.clone(),
                most_on_area: (!in_spray).then(|| rate.clone()),
                most_in_spray: in_spray.then(|| rate.clone()),
                rate,
            });
            goes.push(Goes::Adjuvant(&added.name));
        }
    }
}

/// Spray per area and tank.
fn spraying(
    lawn: &Lawn,
    labels: &[&Label<'_>],
    output: Option<Worked<Quantity>>,
    sheet: &mut Sheet,
) -> Option<(Quantity, Quantity)> {
    let name = labels.first()?.product.name.clone();
    let volume = match output {
        Some(output) => Some(sheet.takes(output)),
        None => labels.iter().find_map(|l| l.water.as_ref()).map(|water| {
            sheet.findings.push(Finding::new(
                "sprayer-not-calibrated",
                Weight::Question,
                &name,
                format!(
                    "The lawn file does not say what your sprayer puts out; {} is taken, the least that the label asks for. It is right only if your sprayer does put out so much: try it with plain water (`ligule measure calibrate`).",
                    water.low.short()
                ),
            ));
            water.low.clone()
        }),
    };
    let Some(volume) = volume else {
        sheet.stop(
            "spray-volume-not-known",
            &name,
            "Neither the label's water per area nor the output of the sprayer is given: copy the one to `water`, or write the other to `sprayer: output`.",
        );
        return None;
    };
    let tank = lawn
        .sprayer
        .as_ref()
        .and_then(|s| equipment::tank(s).ok().flatten());
    let Some(tank) = tank else {
        sheet.stop(
            "tank-not-known",
            &name,
            "The lawn file does not say what the tank holds: write `sprayer: {tank: 2 gal}`.",
        );
        return None;
    };
    Some((volume, tank))
}

impl Job<'_> {
    /// Reckons the job into the sheet; a fault in it becomes a finding.
    pub fn reckon(&self, sheet: &mut Sheet) {
        let parts = Parts {
            area: &self.ground.area,
            wanted: &self.wanted,
            tools: &self.tools,
        };
        let worked = match &self.spraying {
            Some((volume, tank)) => reckon::sprayed(&parts, &Spraying { volume, tank }),
            None => reckon::spread(&parts),
        };
        let names: Vec<&str> = self
            .labels
            .iter()
            .map(|l| l.product.name.as_str())
            .collect();
        match worked {
            Err(fault) => sheet.stop("amount", &crate::words::and_list(&names), fault.to_string()),
            Ok(worked) => {
                let reckoned = sheet.takes(worked);
                sheet.products = self
                    .labels
                    .iter()
                    .zip(&self.rates)
                    .zip(&reckoned.totals)
                    .map(|((label, rate), total)| ProductLine {
                        name: label.product.name.clone(),
                        rate: if rate.is_single() {
                            rate.to_string()
                        } else {
                            format!("{rate}, of which the lower is taken")
                        },
                        takes: both(total.put_on()),
                    })
                    .collect();
                sheet.reckoned = Some(reckoned);
                self.within_year(sheet);
            }
        }
    }

    fn within_year(&self, sheet: &mut Sheet) {
        let totals = sheet
            .reckoned
            .as_ref()
            .map_or(Vec::new(), |r| r.totals.clone());
        for (label, total) in self.labels.iter().zip(&totals) {
            let Some(most_year) = &label.most_year else {
                continue;
            };
            let used = equipment::values(&label.product.used_this_year);
            let amount = total.put_on();
            match limit::within_year(amount, most_year, &used, &self.ground.area) {
                Ok(left) => {
                    sheet.takes(left);
                    self.whole_year(label, amount, most_year, sheet);
                }
                Err(fault) => sheet.stop("year-maximum", &label.product.name, fault.to_string()),
            }
        }
    }

    /// As many treatments as the file plans must fit under the year's maximum too.
    fn whole_year(
        &self,
        label: &Label<'_>,
        amount: &Quantity,
        most_year: &Quantity,
        sheet: &mut Sheet,
    ) {
        let Some(treatments) = label.product.treatments_per_year.filter(|n| *n > 1) else {
            return;
        };
        let planned = amount.times(&Exact::from(i64::from(treatments)));
        let fits = most_year
            .on(&self.ground.area)
            .is_ok_and(|most| planned.in_base() <= most.in_base());
        if !fits {
            sheet.findings.push(Finding::new(
                "treatments-over-year",
                Weight::Question,
                &label.product.name,
                format!(
                    "{treatments} treatments a year would put on {}, more than the label's maximum of {} for a year.",
                    both(&planned),
                    most_year.short()
                ),
            ));
        }
    }
}
