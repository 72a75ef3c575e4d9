//! What goes with every choice: leaving it, doing without chemicals, cautions, and whom to ask.
use super::Treatable;
use super::gates::{touches, weed_name};
use super::request::Request;
use crate::knowledge::Knowledge;
use crate::knowledge::form::common::{Remark, Sources};
use crate::knowledge::form::place::Severity;
use crate::knowledge::form::plant::Weed;
use crate::knowledge::form::source::Evidence;
use crate::words::and_list;
use serde::Serialize;

/// A piece of advice with what it rests on.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Advice {
    /// The weed it is about; none for lawns in general.
    pub weed: Option<String>,
    /// What kind of measure (`by hand`, `mowing`).
    pub about: String,
    /// The sentence.
    pub text: String,
    /// Kind of evidence.
    pub evidence: Evidence,
    /// Ids of sources.
    pub sources: Vec<String>,
}

/// Whether the weeds are better left alone.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct LeaveIt {
    /// Yes or no.
    pub advised: bool,
    /// Why.
    pub why: String,
}

/// A caution to print.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct CautionLine {
    /// Id in the book.
    pub id: String,
    /// What it is about.
    pub about: String,
    /// The sentence.
    pub text: String,
    /// How much it weighs.
    pub severity: Severity,
    /// Kind of evidence.
    pub evidence: Evidence,
    /// Ids of sources.
    pub sources: Vec<String>,
}

/// Something to ask an authority.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct LawLine {
    /// The place.
    pub place: String,
    /// What it is about.
    pub topic: String,
    /// The sentence, worded as a question to the authority.
    pub text: String,
    /// How much it weighs.
    pub severity: Severity,
    /// Kind of evidence.
    pub evidence: Evidence,
    /// Ids of sources.
    pub sources: Vec<String>,
}

fn advice(
    book: &Knowledge,
    weed: Option<&str>,
    about: &str,
    text: String,
    source: &Sources,
) -> Advice {
    Advice {
        weed: weed.map(str::to_owned),
        about: about.to_owned(),
        text,
        evidence: book.evidence(source),
        sources: source.to_vec(),
    }
}

/// What helps without chemicals: by hand, then what takes the weed's advantage away, then when to leave it.
pub fn without_chemicals(book: &Knowledge, request: &Request) -> Vec<Advice> {
    let mut found = Vec::new();
    for id in &request.weeds {
        let Some(weed) = book.weeds.get(id) else {
            continue;
        };
        let own = &weed.without_chemicals;
        if let Some(hand) = &own.by_hand {
            let note = hand
                .note
                .as_ref()
                .map_or(String::new(), |n| format!(" ({n})"));
            let text = format!(
                "{}: pulling or digging by hand {}{note}",
                weed_name(book, id),
                verdict(&hand.verdict)
            );
            found.push(advice(book, Some(id), "by hand", text, &hand.source));
        }
        for (kind, remarks) in [
            ("mechanical", &own.mechanical),
            ("cultural", &own.cultural),
            ("threshold", &own.thresholds),
        ] {
            for remark in remarks {
                found.push(remark_line(book, Some(id), kind, remark));
            }
        }
    }
    if let Some(care) = &book.care {
        for (kind, remarks) in [
            ("threshold", &care.thresholds),
            ("cultural", &care.cultural),
            ("mechanical", &care.mechanical),
        ] {
            found.extend(remarks.iter().map(|r| remark_line(book, None, kind, r)));
        }
    }
    found
}

fn verdict(words: &str) -> String {
    match words {
        "poor" => "works poorly".to_owned(),
        other => other.to_owned(),
    }
}

fn remark_line(book: &Knowledge, weed: Option<&str>, kind: &str, remark: &Remark) -> Advice {
    let about = remark.about.as_deref().unwrap_or(kind);
    let note = remark
        .note
        .as_ref()
        .map_or(String::new(), |n| format!(" ({n})"));
    advice(
        book,
        weed,
        about,
        format!("{}{note}", remark.text),
        &remark.source,
    )
}

/// States of a trait that mean a plant dies within the year.
const DIES_WITHIN_A_YEAR: &str = "annual";
/// The trait that says how long a plant lives. A book without it gives no advice on dying plants.
pub(crate) const LIFE_TRAIT: &str = "life_cycle";

/// Leave annuals alone that are about to die by themselves, or that are not up at all in this month.
pub fn leave_it(book: &Knowledge, request: &Request) -> LeaveIt {
    let nothing = |why: &str| LeaveIt {
        advised: false,
        why: why.to_owned(),
    };
    let Some(month) = request.month else {
        return nothing("without the month nothing can be said about dying plants");
    };
    let mut dying = Vec::new();
    for id in &request.weeds {
        let Some(weed) = book.weeds.get(id) else {
            continue;
        };
        match ending(weed, month) {
            Some(true) => dying.push(weed_name(book, id)),
            _ if request.weeds.len() == 1 => return nothing("this plant goes on growing for now"),
            _ => return nothing("at least one of these plants goes on growing for now"),
        }
    }
    if dying.is_empty() {
        return nothing("no weed was named");
    }
    LeaveIt {
        advised: true,
        why: format!(
            "{} {} annual and at the end of the season: dying by itself, so a treatment now gains little. Keep it from seeding, close the gaps in the grass, and think of the months before it comes up again.",
            and_list(&dying),
            if dying.len() == 1 { "is" } else { "are" },
        ),
    }
}

/// Whether the plant is annual and ends its season in this month or the next; `None` where the book does not say.
fn ending(weed: &Weed, month: u8) -> Option<bool> {
    let life = weed.traits.get(LIFE_TRAIT)?;
    let annual = !life.is.is_empty()
        && life.is.iter().all(|s| s.contains(DIES_WITHIN_A_YEAR))
        && life.sometimes.is_empty();
    let months = &weed.seen.growing.as_ref()?.months;
    if months.len() >= 11 || !months.contains(&month) {
        return Some(false);
    }
    let next = |m: u8| if m == 12 { 1 } else { m + 1 };
    Some(annual && !(months.contains(&next(month)) && months.contains(&next(next(month)))))
}

/// Cautions of the site and the job, and those of the actives on offer.
pub fn cautions(book: &Knowledge, request: &Request, options: &[Treatable]) -> Vec<CautionLine> {
    let offered = |id: &String| options.iter().any(|o| o.actives.contains(id));
    let group = |g: &u16| options.iter().any(|o| o.groups.contains(g));
    // The job brings these along whatever the site is like.
    let job = [
        "always",
        "mixing",
        "leftover-mix",
        "empty-container",
        "storage",
        "exposure-incident",
    ];
    let mut lines: Vec<CautionLine> = book
        .cautions
        .iter()
        .filter(|c| {
            let named = c.when.actives.is_empty() && c.when.groups.is_empty();
            let active =
                named || c.when.actives.iter().any(offered) || c.when.groups.iter().any(group);
            let here = c.when.situations.is_empty()
                || c.when
                    .situations
                    .iter()
                    .any(|s| job.contains(&s.as_str()) || request.near.contains(s));
            active && here
        })
        .map(|c| CautionLine {
            id: c.id.clone(),
            about: c.about.clone(),
            text: c.text.clone(),
            severity: c.severity,
            evidence: book.evidence(&c.source),
            sources: c.source.to_vec(),
        })
        .collect();
    lines.sort_by_key(|c| std::cmp::Reverse(c.severity));
    lines
}

/// What to ask the authorities of the place and the places around it.
pub fn law(book: &Knowledge, request: &Request, options: &[Treatable]) -> Vec<LawLine> {
    let mut lines = Vec::new();
    for place in request
        .places(book)
        .into_iter()
        .filter_map(|id| book.places.get(id))
    {
        for rule in place
            .rules
            .iter()
            .filter(|r| touches(r.applies_to, request.applicator))
        {
            let touched = rule.actives.is_empty()
                || options
                    .iter()
                    .any(|o| o.actives.iter().any(|a| rule.actives.contains(a)));
            if touched {
                lines.push(line(
                    book,
                    &place.name,
                    &rule.topic,
                    &rule.says,
                    rule.note.as_ref(),
                    &rule.verify_with,
                    rule.severity,
                    &rule.source,
                ));
            }
        }
        for limit in place
            .active_limits
            .iter()
            .filter(|l| touches(l.applies_to, request.applicator))
        {
            let touched = limit
                .actives
                .iter()
                .any(|a| a == "all" || options.iter().any(|o| o.actives.contains(a)));
            if touched {
                lines.push(line(
                    book,
                    &place.name,
                    "active limits",
                    &limit.says,
                    limit.site.as_ref(),
                    &limit.verify_with,
                    limit.severity,
                    &limit.source,
                ));
            }
        }
    }
    lines.sort_by_key(|l| std::cmp::Reverse(l.severity));
    lines
}

#[expect(
    clippy::too_many_arguments,
    reason = "the fields of a row, named at the only two calls"
)]
fn line(
    book: &Knowledge,
    place: &str,
    topic: &str,
    says: &str,
    note: Option<&String>,
    ask: &str,
    severity: Severity,
    source: &Sources,
) -> LawLine {
    let note = note.map_or(String::new(), |n| format!(" ({n})"));
    LawLine {
        place: place.to_owned(),
        topic: topic.to_owned(),
        text: format!("Check with {ask}: {}{note}", says.trim_end_matches('.')),
        severity,
        evidence: book.evidence(source),
        sources: source.to_vec(),
    }
}
