//! The part of the page for the spray day: load by load, in the order of doing.
use super::cite::{Citations, Line};
use super::page::Listed;
use super::phrase::sentence;
use crate::amounts::sheet::{LoadSheet, ProductLine, Tick};
use crate::lawn::Weight;
use crate::treatment::Treatment;
use serde::Serialize;

/// The sheet to print.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SprayDay {
    /// Whether no amounts are given.
    pub stopped: bool,
    /// What was found about the products.
    pub findings: Vec<Found>,
    /// The products.
    pub products: Vec<ProductLine>,
    /// The job in one line.
    pub summary: Option<String>,
    /// Before, every load, after, what is left.
    pub blocks: Vec<Block>,
    /// Packs and cost, and what the figures warn of.
    pub remarks: Vec<Line>,
}

/// A finding.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Found {
    /// How it is announced: `Stop:`.
    pub weight: &'static str,
    /// The product and the finding.
    pub line: Line,
}

/// A heading with boxes to tick.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Block {
    /// The heading.
    pub title: String,
    /// What to do.
    pub listed: Listed,
    /// Numbers of the loads that the block stands for, each with a box; empty where it stands for one.
    pub boxes: Vec<usize>,
}

/// Above so many equal loads one block stands for all of them, with a box for each.
const LOADS_ONE_BY_ONE: usize = 4;
/// Above so many loads not even the boxes fit the page.
const BOXES: usize = 60;
/// Notes on products that are printed; all are in the JSON.
const MOST_TICKS: usize = 12;

/// The spray day of a treatment.
pub fn spray_day(treatment: &Treatment, cite: &mut Citations<'_>) -> Option<SprayDay> {
    let sheet = treatment.spray_day.as_ref()?;
    let findings = sheet
        .findings
        .iter()
        .map(|f| {
            let text = format!("{}: {}", f.product, f.words());
            Found {
                weight: match f.weight {
                    Weight::Stop => "Stop:",
                    Weight::Refused => "Refused:",
                    Weight::Question => "Look again:",
                    Weight::Note => "Note:",
                },
                line: match f.evidence {
                    Some(evidence) => cite.line(sentence(&text), evidence, &f.sources),
                    None => Line::plain(sentence(&text)),
                },
            }
        })
        .collect();
    let mut blocks = Vec::new();
    blocks.extend(block("Before you mix", &sheet.before, cite));
    blocks.extend(loads(&sheet.loads, cite));
    blocks.extend(block("When it is sprayed", &sheet.after, cite));
    blocks.extend(block("What is left", &sheet.leftover, cite));
    let mut remarks: Vec<Line> = sheet.buying.iter().map(|t| line(t, cite)).collect();
    remarks.extend(sheet.warnings.iter().map(|w| Line::plain(sentence(w))));
    Some(SprayDay {
        stopped: sheet.stopped(),
        findings,
        products: sheet.products.clone(),
        summary: sheet.summary.clone(),
        blocks,
        remarks,
    })
}

fn line(tick: &Tick, cite: &mut Citations<'_>) -> Line {
    match tick.evidence {
        Some(evidence) => cite.line(sentence(&tick.text), evidence, &tick.sources),
        None => Line::plain(sentence(&tick.text)),
    }
}

fn block(title: &str, ticks: &[Tick], cite: &mut Citations<'_>) -> Option<Block> {
    (!ticks.is_empty()).then(|| Block {
        title: title.to_owned(),
        listed: Listed::of(ticks, MOST_TICKS, |t| line(&t, cite)),
        boxes: Vec::new(),
    })
}

fn loads(sheets: &[LoadSheet], cite: &mut Citations<'_>) -> Vec<Block> {
    let Some(first) = sheets.first().filter(|_| sheets.len() > LOADS_ONE_BY_ONE) else {
        return sheets
            .iter()
            .filter_map(|load| block(&load.title, &load.ticks, cite))
            .collect();
    };
    let what = first
        .title
        .split_once(": ")
        .map_or(first.title.as_str(), |(_, what)| what);
    let mut one = block(
        &format!("Each of {} loads: {what}", sheets.len()),
        &first.ticks,
        cite,
    );
    if let Some(one) = &mut one {
        one.boxes = (1..=sheets.len().min(BOXES)).collect();
    }
    one.into_iter().collect()
}
