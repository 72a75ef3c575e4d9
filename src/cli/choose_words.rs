//! The answers of `ligule choose` in lines for people.
use ligule::choose::{Choice, Reason, Request, Treatable};
use ligule::knowledge::Knowledge;
use ligule::words::and_list;
use std::collections::BTreeMap;
use std::fmt::Write as _;

/// The answer in lines for people.
pub fn report(book: &Knowledge, request: &Request, choice: &Choice) -> String {
    let mut text = String::new();
    if choice.leave_it.advised {
        let _ = writeln!(text, "Leave it: {}", choice.leave_it.why);
    }
    let _ = writeln!(text, "\nWithout chemicals");
    for advice in choice.without_chemicals.iter().filter(|a| a.weed.is_some()) {
        let _ = writeln!(text, "  - {} [{}]", advice.text, word(advice.evidence));
    }
    if let Some(threshold) = &choice.threshold {
        let _ = writeln!(
            text,
            "  - {} [{}]",
            threshold.text,
            word(threshold.evidence)
        );
    }
    if choice.options.is_empty() {
        text.push_str(&nothing(book, choice));
    } else {
        let _ = writeln!(text, "\nClasses of treatment, best first");
        for (index, option) in choice.options.iter().take(8).enumerate() {
            text.push_str(&lines(book, index + 1, option));
        }
        if choice.options.len() > 8 {
            let _ = writeln!(
                text,
                "  and {} more (--format json lists all)",
                choice.options.len() - 8
            );
        }
    }
    if !choice.uncovered.is_empty() {
        let names: Vec<&str> = choice.uncovered.iter().map(|id| weed(book, id)).collect();
        let _ = writeln!(text, "\nNothing here deals with {}.", and_list(&names));
    }
    text.push_str(&besides(book, choice));
    text.push_str(&not_offered(book, choice));
    // Where nothing is offered nothing is sprayed, and the cautions of spraying stand in the JSON.
    if !choice.options.is_empty() {
        text.push_str(&cautions(choice));
    }
    if request.place.is_some() {
        let _ = writeln!(text, "\nLaw: ask before you treat");
        for line in &choice.law {
            let _ = writeln!(text, "  - {} ({})", line.text, line.place);
        }
    } else {
        let _ = writeln!(
            text,
            "\nLaw: no place was given (--place); check with your own authority. A place without rules here is unknown, not free."
        );
    }
    let _ = writeln!(
        text,
        "\nThe label of the product in your hand is the law and outranks all of this."
    );
    text
}

fn cautions(choice: &Choice) -> String {
    let mut text = String::from("\nCautions\n");
    let (stop, rest): (Vec<_>, Vec<_>) = choice
        .cautions
        .iter()
        .partition(|c| c.severity == ligule::knowledge::form::place::Severity::Stop);
    for caution in &stop {
        let _ = writeln!(text, "  ! {}", caution.text);
    }
    let _ = writeln!(
        text,
        "  and {} more for mixing, storing and the site (--format json lists all)",
        rest.len()
    );
    text
}

/// No option: what stopped the most, and whom to ask.
fn nothing(book: &Knowledge, choice: &Choice) -> String {
    let mut counts: BTreeMap<Reason, usize> = BTreeMap::new();
    for excluded in &choice.excluded {
        *counts.entry(excluded.reason).or_default() += 1;
    }
    let mut counts: Vec<(Reason, usize)> = counts.into_iter().collect();
    counts.sort_by_key(|(_, n)| std::cmp::Reverse(*n));
    let most: Vec<String> = counts
        .iter()
        .take(3)
        .map(|(reason, n)| format!("{} ({n})", heading(*reason)))
        .collect();
    let most = if most.is_empty() {
        "The book holds no class of treatment".to_owned()
    } else {
        format!("What stops most of it: {}", most.join(", "))
    };
    format!(
        "\nNothing in the book is proven safe and useful here. {most}.{}\n",
        ask(book)
    )
}

/// What stands beside the options: one active alone, each grass alone, the year.
fn besides(book: &Knowledge, choice: &Choice) -> String {
    let mut text = String::new();
    if !choice.if_only_one.is_empty() {
        let _ = writeln!(text, "\nIf only one is used");
        for alone in &choice.if_only_one {
            let _ = writeln!(text, "  - {}", alone.text);
        }
    }
    if !choice.by_grass.is_empty() {
        let _ = writeln!(text, "\nSeparate by area, where the grasses grow apart");
        for area in &choice.by_grass {
            let _ = writeln!(text, "  - {}", area.text);
        }
    }
    if let Some(programme) = &choice.programme {
        let _ = writeln!(text, "\nOver the year\n  {}", programme.why);
        for (index, step) in programme.steps.iter().enumerate() {
            let weeds: Vec<&str> = step.weeds.iter().map(|id| weed(book, id)).collect();
            let _ = writeln!(
                text,
                "  {}. {}: {} against {}",
                index + 1,
                step.when,
                names(book, &step.option.actives),
                and_list(&weeds)
            );
            if step.option.turf.standing.is_memory() {
                let _ = writeln!(text, "     {}", step.option.why[0]);
            }
            if let Some(again) = &step.again {
                let _ = writeln!(text, "     {again}");
            }
        }
        for caution in &programme.cautions {
            let _ = writeln!(text, "  {caution}");
        }
    }
    if !choice.grass_notes.is_empty() {
        let _ = writeln!(text, "\nOf this grass");
        for note in choice.grass_notes.iter().take(5) {
            let _ = writeln!(text, "  - {} [{}]", note.text, word(note.evidence));
        }
    }
    text
}

pub fn ask(book: &Knowledge) -> String {
    book.book
        .as_ref()
        .filter(|b| !b.ask.is_empty())
        .map_or(String::new(), |b| format!(" Ask {}.", b.ask))
}

pub fn weed<'a>(book: &'a Knowledge, id: &'a str) -> &'a str {
    book.weeds
        .get(id)
        .and_then(|w| w.names.first())
        .map_or(id, String::as_str)
}

pub fn word(evidence: ligule::knowledge::form::source::Evidence) -> &'static str {
    use ligule::knowledge::form::source::Evidence;
    match evidence {
        Evidence::Published => "published",
        Evidence::Practice => "common practice",
        Evidence::Memory => "from memory",
    }
}

/// Names of actives as written.
pub fn names(book: &Knowledge, ids: &[String]) -> String {
    let names: Vec<&str> = ids
        .iter()
        .map(|id| {
            book.actives
                .get(id)
                .map_or(id.as_str(), |a| a.name.as_str())
        })
        .collect();
    names.join(" + ")
}

pub fn lines(book: &Knowledge, number: usize, option: &Treatable) -> String {
    let groups: Vec<String> = option.groups.iter().map(ToString::to_string).collect();
    let when = match option.timing {
        ligule::knowledge::form::active::Timing::Pre => "before the weed comes up",
        ligule::knowledge::form::active::Timing::EarlyPost => "on young weeds",
        ligule::knowledge::form::active::Timing::Post => "on the grown weed",
    };
    let mut text = format!(
        "  {number}. {} (group {}), {when}\n",
        names(book, &option.actives),
        groups.join(" and ")
    );
    for why in &option.why {
        let _ = writeln!(text, "     {why}");
    }
    for condition in option.turf.conditions.iter().take(3) {
        let _ = writeln!(text, "     on this grass: {condition}");
    }
    // The first ones are read, the rest looked up.
    if number <= 3 {
        for caution in option.cautions.iter().take(5) {
            let _ = writeln!(text, "     also: {caution}");
        }
    }
    text
}

/// Everything that is left out, by reason, each active once for a reason.
fn not_offered(book: &Knowledge, choice: &Choice) -> String {
    let mut by_reason: BTreeMap<Reason, Vec<String>> = BTreeMap::new();
    for excluded in &choice.excluded {
        let names = names(book, &excluded.actives);
        let known = by_reason.entry(excluded.reason).or_default();
        if !known.contains(&names) {
            known.push(names);
        }
    }
    let mut text = String::from("\nNot offered\n");
    for (reason, names) in by_reason {
        let line = format!("{}: {}", heading(reason), names.join(", "));
        text.push_str(&wrapped(&line, "  ", "      "));
    }
    text.push_str("  (`--explain` with the name of one says why, down to the sources)\n");
    text
}

/// Words in lines of at most about a hundred letters.
fn wrapped(words: &str, first: &str, rest: &str) -> String {
    let mut text = String::new();
    let mut line = first.to_owned();
    for word in words.split(' ') {
        if line.len() + word.len() >= 100 && !line.trim().is_empty() {
            let _ = writeln!(text, "{}", line.trim_end());
            rest.clone_into(&mut line);
        }
        line.push_str(word);
        line.push(' ');
    }
    let _ = writeln!(text, "{}", line.trim_end());
    text
}

/// A reason as a heading.
pub fn heading(reason: Reason) -> &'static str {
    match reason {
        Reason::TurfInjured => "injures the grass",
        Reason::TurfNotRegistered => "not registered on the grass",
        Reason::TurfNotProven => "not proven on the grass",
        Reason::TurfSeason => "the grass stands it in other months only",
        Reason::TurfTooYoung => "the grass is too new",
        Reason::SeedingPlanned => "seed is to be sown too soon",
        Reason::NotAvailable => "not to be had",
        Reason::Place => "the place",
        Reason::Site => "the site",
        Reason::TooHot => "too hot",
        Reason::TooCold => "too cold",
        Reason::PastEmergence => "too late, the weed has come too far",
        Reason::OutOfSeason => "not the season",
        Reason::WeedNotControlled => "too weak on the weed",
        Reason::ControlNotProven => "not proven on the weed",
        Reason::IntervalTooShort => "too soon after the last use",
        Reason::YearlyLimit => "the year's limit",
        Reason::ResistantHere => "resistance suspected here",
        Reason::TankConflict => "not in one tank",
        Reason::NotNeeded => "not needed",
    }
}
