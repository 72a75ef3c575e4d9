//! The sheet on the terminal and as JSON.
use ligule::amounts::sheet::{Sheet, Tick};
use ligule::knowledge::form::source::Evidence;
use ligule::lawn::Weight;
use ligule::measure::Figures;
use serde_json::{Value, json};
use std::fmt::Write as _;

/// One object: `results` and `steps` as every calculation gives them, and the sheet in its parts.
pub fn json(sheet: &Sheet) -> Value {
    json!({
        "schema": "ligule/amounts/1",
        "results": sheet.figures(),
        "steps": sheet.steps,
        "warnings": sheet.warnings,
        "findings": sheet.findings,
        "products": sheet.products,
        "meetings": sheet.meetings,
        "before": sheet.before,
        "loads": sheet.loads,
        "after": sheet.after,
        "leftover": sheet.leftover,
        "buying": sheet.buying,
    })
}

/// The sheet as lines.
pub fn human(sheet: &Sheet) -> String {
    let mut text = String::new();
    if sheet.stopped() {
        text.push_str("No amounts are given.\n");
    }
    for finding in &sheet.findings {
        let weight = match finding.weight {
            Weight::Stop => "Stop",
            Weight::Refused => "Refused",
            Weight::Question => "Look again",
            Weight::Note => "Note",
        };
        let _ = writeln!(
            text,
            "{weight}: {}: {}{}",
            finding.product,
            finding.words(),
            rests(finding.evidence)
        );
    }
    for product in &sheet.products {
        let _ = writeln!(
            text,
            "{}: {} in all (rate {})",
            product.name, product.takes, product.rate
        );
    }
    if let Some(line) = &sheet.summary {
        let _ = writeln!(text, "{line}");
    }
    part(&mut text, "Before you mix", &sheet.before);
    for load in &sheet.loads {
        part(&mut text, &load.title, &load.ticks);
    }
    part(&mut text, "When it is sprayed", &sheet.after);
    part(&mut text, "What is left", &sheet.leftover);
    part(&mut text, "Packs and cost", &sheet.buying);
    if !sheet.steps.is_empty() {
        text.push_str("\nWorking:\n");
        for step in &sheet.steps {
            let _ = writeln!(text, "  {step}");
        }
    }
    for warning in &sheet.warnings {
        let _ = writeln!(text, "Mind: {warning}");
    }
    text.push_str("\nThe label in your hand outranks all of this.\n");
    text
}

fn part(text: &mut String, title: &str, ticks: &[Tick]) {
    if ticks.is_empty() {
        return;
    }
    let _ = writeln!(text, "\n{title}");
    for tick in ticks {
        let _ = writeln!(text, "[ ] {}{}", tick.text, rests(tick.evidence));
    }
}

/// What the book's side of a line rests on.
fn rests(evidence: Option<Evidence>) -> &'static str {
    match evidence {
        Some(Evidence::Published) => " [published]",
        Some(Evidence::Practice) => " [common practice]",
        Some(Evidence::Memory) => " [memory]",
        None => "",
    }
}
