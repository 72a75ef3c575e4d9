//! What goes with every choice: leaving it, doing without chemicals, cautions, and whom to ask.
use super::Treatable;
use super::request::Request;
use super::time;
use crate::knowledge::Knowledge;
use crate::knowledge::form::common::{Remark, Sources};
use crate::knowledge::form::place::Severity;
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

fn weed_name<'a>(book: &'a Knowledge, id: &'a str) -> &'a str {
    book.weeds
        .get(id)
        .and_then(|w| w.names.first())
        .map_or(id, String::as_str)
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
        match time::dying(weed, month) {
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
                    .any(|s| job.contains(&s.as_str()) || request.is_near(s));
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

/// What the book says of treating weeds in these grasses, the cultivar that was named first.
pub fn grass_notes(book: &Knowledge, request: &Request) -> Vec<Advice> {
    let mut found = Vec::new();
    for turf in request.turf.iter().filter_map(|id| book.turf.get(id)) {
        let named = |remark: &&Remark| {
            let text = remark.text.to_lowercase();
            request
                .cultivar
                .as_ref()
                .is_some_and(|c| !c.trim().is_empty() && text.contains(&c.trim().to_lowercase()))
        };
        let (own, other): (Vec<&Remark>, Vec<&Remark>) = turf.cultivars.iter().partition(named);
        for (about, remarks) in [
            ("your cultivar", own),
            ("this grass", turf.weed_control.iter().collect()),
            ("a cultivar", other),
        ] {
            for remark in remarks {
                let note = remark
                    .note
                    .as_ref()
                    .map_or(String::new(), |n| format!(" ({n})"));
                let text = format!("{}{note}", remark.text);
                found.push(advice(book, None, about, text, &remark.source));
            }
        }
    }
    found
}
