//! What rules ask for, and what still holds of what was done.
use crate::cli::output::{Format, Outcome, print, print_json};
use anyhow::Result;
use ligule::knowledge::{Kind, Knowledge};
use ligule::records::limits::{History, InForce};
use ligule::words::and_list;
use std::fmt::Write as _;

/// The items of a record, and which of them a rule of a place names.
pub fn fields(book: &Knowledge, place: Option<&str>, format: Format) -> Result<Outcome> {
    let place = place.map(|p| book.find(Kind::Place, p)).transpose()?;
    let around = place.as_deref().map(|p| book.around(p)).unwrap_or_default();
    let rules: Vec<_> = around
        .iter()
        .filter_map(|id| book.places.get(*id))
        .flat_map(|p| p.records.iter().map(move |r| (p, r)))
        .collect();
    let mut rows = Vec::new();
    for field in &book.record_fields {
        let named: Vec<String> = rules
            .iter()
            .filter(|(_, r)| r.fields.contains(&field.id))
            .map(|(p, r)| format!("{}; check with {}", r.rule, p.authority))
            .collect();
        rows.push(serde_json::json!({"field": field.id, "name": field.name, "named_by": named}));
    }
    if format == Format::Json {
        print_json(
            &serde_json::json!({"schema": "ligule/record-fields/1", "place": place, "fields": rows}),
        )?;
        return Ok(Outcome::Fine);
    }
    let mut text = String::new();
    for field in &book.record_fields {
        let mark = if rules.iter().any(|(_, r)| r.fields.contains(&field.id)) {
            "*"
        } else {
            " "
        };
        let _ = writeln!(text, "{mark} {:<24} {}", field.id, field.name);
    }
    for (place, rule) in &rules {
        let keep = rule
            .keep
            .as_ref()
            .map_or(String::new(), |k| format!("; keep {k}"));
        let within = rule
            .write_within
            .as_ref()
            .map_or(String::new(), |w| format!("; write within {w}"));
        let _ = writeln!(
            text,
            "* {}: {} ({}){within}{keep}; check with {}",
            place.name, rule.rule, rule.scope, place.authority
        );
    }
    if rules.is_empty() {
        text.push_str("No rule is known here (--place names the place); an unknown rule is not the same as none. Ask the authority.\n");
    }
    print(&text)?;
    Ok(Outcome::Fine)
}

/// What the record says about the next treatment.
pub fn limits(
    book: &Knowledge,
    format: Format,
    history: &History,
    holding: &[InForce],
) -> Result<Outcome> {
    if format == Format::Json {
        print_json(
            &serde_json::json!({"schema": "ligule/record-limits/1", "history": history, "in_force": holding}),
        )?;
        return Ok(Outcome::Fine);
    }
    let mut text = format!("What the record says on {}\n", history.today);
    for one in holding {
        let name = book
            .actives
            .get(&one.active)
            .map_or(one.active.as_str(), |a| a.name.as_str());
        let _ = writeln!(
            text,
            "\n{name}: last used {} ({} days ago)",
            one.used.last_use, one.used.days_since
        );
        let so_far = one.used.this_year.lb_per_acre.round_dp(4).normalize();
        let unknown = match one.used.this_year.unknown {
            0 => String::new(),
            n => format!(" and {n} uses without an amount"),
        };
        let most = one
            .yearly_most
            .map_or("no yearly limit in the book".to_owned(), |m| {
                format!("at most {m} lb/acre a year")
            });
        let _ = writeln!(text, "  this year {so_far} lb/acre{unknown}; {most}");
        for (word, span) in [("again", one.repeat), ("seed", one.seeding)] {
            match span {
                None => {
                    let _ = writeln!(text, "  {word}: no figure in the book; the label says");
                }
                Some((from, to)) if from == to => {
                    let _ = writeln!(text, "  {word}: from {from}");
                }
                Some((from, to)) => {
                    let _ = writeln!(
                        text,
                        "  {word}: from {from} at the earliest, safely from {to}"
                    );
                }
            }
        }
        if let Some(mowing) = one.mowing {
            let _ = writeln!(text, "  mow: after {mowing}");
        }
        for clippings in &one.clippings {
            let _ = writeln!(text, "  clippings: {clippings}");
        }
        let _ = writeln!(text, "  rests on: {}", one.rests_on.join("; "));
    }
    if holding.is_empty() {
        text.push_str("Nothing was used in the last twelve months.\n");
    }
    for (group, counts) in &history.groups {
        let years: Vec<String> = counts
            .iter()
            .enumerate()
            .map(|(back, n)| {
                format!(
                    "{}: {n}",
                    usize::from(history.today.year().unsigned_abs()) - back
                )
            })
            .collect();
        let _ = writeln!(text, "\ngroup {group}: {}", years.join(", "));
    }
    for suspicion in &history.suspicions {
        let _ = writeln!(
            text,
            "\nresistance suspected on {}: {} against {}",
            suspicion.on,
            and_list(&suspicion.weeds),
            and_list(&suspicion.actives)
        );
    }
    text.push_str("\nThe label of the product in your hand is the law and outranks all of this.\n");
    print(&text)?;
    Ok(Outcome::Fine)
}
