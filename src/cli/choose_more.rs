//! The other answers of `ligule choose` in lines for people: trails, comparisons, questions, without chemicals, doubt.
use super::choose_words::{ask, lines, names, weed, word};
use ligule::choose::{Aspect, Doubt, Measure, Outcome, Plan, Trail, Unknown};
use ligule::identify::percent;
use ligule::knowledge::Knowledge;
use std::fmt::Write as _;

/// Trails down to the rows of the book.
pub fn trails(book: &Knowledge, trails: &[Trail]) -> String {
    let mut text = String::new();
    for trail in trails {
        let outcome = match trail.outcome {
            Outcome::Offered => "offered",
            Outcome::Excluded => "not offered",
        };
        let _ = writeln!(text, "{}: {outcome}", names(book, &trail.actives));
        for step in &trail.steps {
            let _ = writeln!(text, "  {}: {}", step.about, step.says);
            if step.rows.is_empty() {
                let _ = writeln!(text, "    no row of the book");
            }
            for row in &step.rows {
                let sources: Vec<String> = row
                    .sources
                    .iter()
                    .map(|(id, title)| format!("{id} ({title})"))
                    .collect();
                let at = if row.at.is_empty() {
                    String::new()
                } else {
                    format!("{}: ", row.at)
                };
                let _ = writeln!(
                    text,
                    "    {at}{} [{}; {}]",
                    row.says,
                    word(row.evidence),
                    sources.join("; ")
                );
            }
        }
    }
    if trails.is_empty() {
        text.push_str("Nothing of that name was decided on.\n");
    }
    text
}

/// Two options side by side.
pub fn comparison(aspects: &[Aspect]) -> String {
    let mut text = String::new();
    for aspect in aspects {
        let better = match aspect.better {
            "" => "",
            "equal" => " (equal)",
            "first" => " (the first is better)",
            _ => " (the second is better)",
        };
        let _ = writeln!(text, "{}{better}", aspect.about);
        let _ = writeln!(text, "  1: {}\n  2: {}", aspect.first, aspect.second);
    }
    text
}

/// The unknown facts that decide.
pub fn questions(unknown: &[Unknown]) -> String {
    if unknown.is_empty() {
        return "Nothing that is not known would change the answer.\n".to_owned();
    }
    let mut text = String::new();
    for (first, heading) in [
        (true, "These can change what stands first"),
        (false, "These can change what stands behind it"),
    ] {
        let of: Vec<&Unknown> = unknown
            .iter()
            .filter(|u| u.changes_first == first)
            .collect();
        if of.is_empty() {
            continue;
        }
        let _ = writeln!(text, "{heading}");
        for one in of {
            let _ = writeln!(text, "  - {}", one.question);
        }
    }
    text
}

fn measure(text: &mut String, measure: &Measure) {
    let _ = writeln!(
        text,
        "  {}: {} [{}]",
        measure.topic,
        measure.text,
        word(measure.evidence)
    );
    if let Some(expect) = &measure.expect {
        let _ = writeln!(text, "      expect: {expect}");
    }
}

/// The whole answer without chemicals.
pub fn without(plan: &Plan) -> String {
    let mut text = String::new();
    if plan.leave_it.advised {
        let _ = writeln!(text, "Leave it: {}", plan.leave_it.why);
    }
    if let Some(threshold) = &plan.threshold {
        let _ = writeln!(
            text,
            "How much is too much: {} [{}]",
            threshold.text,
            word(threshold.evidence)
        );
    }
    let _ = writeln!(text, "What to expect");
    for advice in &plan.expect {
        let _ = writeln!(text, "  {} [{}]", advice.text, word(advice.evidence));
    }
    for weed in &plan.weeds {
        let _ = writeln!(text, "\n{}", weed.name);
        for one in &weed.measures {
            measure(&mut text, one);
        }
        if !weed.nothing_on.is_empty() {
            let _ = writeln!(
                text,
                "  the book has nothing on: {}",
                weed.nothing_on.join(", ")
            );
        }
    }
    let _ = writeln!(text, "\nAny weed");
    for one in &plan.lawn {
        measure(&mut text, one);
    }
    text
}

/// The answer for a plant that is not certain.
pub fn doubt_report(book: &Knowledge, doubt: &Doubt) -> String {
    let mut text = String::from("The plant is not certain. It may be\n");
    for likely in &doubt.likely {
        let leave = if likely.leave_it.advised {
            "; leave it alone if it is this"
        } else {
            ""
        };
        let _ = writeln!(
            text,
            "  - {} ({}){leave}",
            weed(book, &likely.weed),
            percent(likely.probability)
        );
    }
    let _ = writeln!(text, "  - something else ({})", percent(doubt.rest));
    if doubt.options.is_empty() {
        let _ = writeln!(
            text,
            "\nNothing in the book is proven safe and useful against any of these here.{}",
            ask(book)
        );
        return text;
    }
    let _ = writeln!(text, "\nClasses of treatment, best first");
    for (index, weighted) in doubt.options.iter().take(8).enumerate() {
        let mut option = weighted.option.clone();
        // What it does not control stands in the sentence on the risk.
        option
            .why
            .retain(|line| !line.starts_with("does not deal with"));
        text.push_str(&lines(book, index + 1, &option));
        let _ = writeln!(
            text,
            "     chance that it controls the plant: {}\n     {}",
            percent(weighted.expected),
            weighted.risk
        );
    }
    let _ = writeln!(
        text,
        "\nBetter than any of these: make sure of the name first (`ligule identify`).\nThe label of the product in your hand is the law and outranks all of this."
    );
    text
}
