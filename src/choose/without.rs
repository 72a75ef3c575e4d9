//! The whole answer without chemicals: thresholds, hands, mowing, feeding, liming, drainage, shade, overseeding.
use super::advice::{Advice, LeaveIt, leave_it};
use super::request::Request;
use super::threshold::{Threshold, threshold};
use crate::knowledge::Knowledge;
use crate::knowledge::form::common::Remark;
use crate::knowledge::form::source::Evidence;
use serde::Serialize;

/// What can be done, weed by weed and for the lawn.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Plan {
    /// Whether to leave the weeds alone.
    pub leave_it: LeaveIt,
    /// From which cover on more than hands and spots is worth it.
    pub threshold: Option<Threshold>,
    /// What to expect of all this, from the book.
    pub expect: Vec<Advice>,
    /// Each weed in the order of the request.
    pub weeds: Vec<OfWeed>,
    /// What holds for any weed.
    pub lawn: Vec<Measure>,
}

/// One weed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct OfWeed {
    /// Id.
    pub weed: String,
    /// Name.
    pub name: String,
    /// What can be done, in the order of the work.
    pub measures: Vec<Measure>,
    /// Topics on which the book has nothing for this weed.
    pub nothing_on: Vec<String>,
}

/// Something to do.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Measure {
    /// One of the topics.
    pub topic: &'static str,
    /// What to do, or what is known.
    pub text: String,
    /// What to expect, where the book says so.
    pub expect: Option<String>,
    /// Kind of evidence.
    pub evidence: Evidence,
    /// Ids of sources.
    pub sources: Vec<String>,
}

/// The topics in the order of the work, and the words under which the book's remarks belong to each.
const TOPICS: [(&str, &[&str]); 9] = [
    (
        "threshold",
        &[
            "threshold",
            "when-not",
            "none-published",
            "use-class",
            "scouting",
            "percent-cover",
            "renovate",
        ],
    ),
    (
        "hand removal",
        &[
            "by hand",
            "hand-removal",
            "digging",
            "raking",
            "mechanical",
            "edging",
            "solarization",
            "sanitation",
        ],
    ),
    ("mowing", &["mowing", "clippings"]),
    ("feeding", &["nitrogen", "feeding", "fertility"]),
    ("liming", &["ph", "liming", "soil"]),
    (
        "drainage and water",
        &["drainage", "irrigation", "aeration"],
    ),
    ("shade", &["shade"]),
    ("overseeding", &["density", "overseeding", "seed"]),
    ("other", &[]),
];

fn topic(about: &str) -> &'static str {
    TOPICS
        .iter()
        .find(|(_, words)| words.contains(&about))
        .map_or("other", |(topic, _)| topic)
}

fn order(measure: &Measure) -> usize {
    TOPICS
        .iter()
        .position(|(topic, _)| *topic == measure.topic)
        .unwrap_or(TOPICS.len())
}

/// The plan for the weeds of a request.
#[must_use]
pub fn plan(book: &Knowledge, request: &Request) -> Plan {
    let care = book.care.as_ref();
    let mut lawn: Vec<Measure> = care
        .into_iter()
        .flat_map(|c| {
            let of = |list, kind| measures(book, list, kind);
            [
                of(&c.thresholds, "threshold"),
                of(&c.cultural, "cultural"),
                of(&c.mechanical, "mechanical"),
            ]
        })
        .flatten()
        .collect();
    lawn.sort_by_key(order);
    Plan {
        leave_it: leave_it(book, request),
        threshold: threshold(book, request),
        expect: expect(book),
        weeds: request
            .weeds
            .iter()
            .filter_map(|id| of_weed(book, id))
            .collect(),
        lawn,
    }
}

/// What the book says may be hoped for.
fn expect(book: &Knowledge) -> Vec<Advice> {
    let Some(care) = &book.care else {
        return Vec::new();
    };
    care.thresholds
        .iter()
        .chain(&care.cultural)
        .filter(|r| matches!(r.about.as_deref(), Some("goal" | "cause")))
        .map(|r| Advice {
            weed: None,
            about: r.about.clone().unwrap_or_default(),
            text: r.text.clone(),
            evidence: book.evidence(&r.source),
            sources: r.source.to_vec(),
        })
        .collect()
}

fn of_weed(book: &Knowledge, id: &str) -> Option<OfWeed> {
    let weed = book.weeds.get(id)?;
    let own = &weed.without_chemicals;
    let mut all: Vec<Measure> = own
        .by_hand
        .iter()
        .map(|hand| {
            let (text, expect) = by_hand(&hand.verdict);
            let note = hand
                .note
                .as_ref()
                .map_or(String::new(), |n| format!(" ({n})"));
            Measure {
                topic: "hand removal",
                text: format!("pulling or digging {text}{note}"),
                expect: Some(expect.to_owned()),
                evidence: book.evidence(&hand.source),
                sources: hand.source.to_vec(),
            }
        })
        .collect();
    all.extend(measures(book, &own.mechanical, "mechanical"));
    all.extend(measures(book, &own.cultural, "cultural"));
    all.extend(measures(book, &own.thresholds, "threshold"));
    all.sort_by_key(order);
    let nothing_on = TOPICS
        .iter()
        .map(|(topic, _)| *topic)
        .filter(|topic| *topic != "other" && !all.iter().any(|m| m.topic == *topic))
        .map(str::to_owned)
        .collect();
    Some(OfWeed {
        weed: id.to_owned(),
        name: weed.names.first().cloned().unwrap_or_else(|| id.to_owned()),
        measures: all,
        nothing_on,
    })
}

/// The book's verdict on pulling, and what it means for the one who pulls.
fn by_hand(verdict: &str) -> (String, &'static str) {
    match verdict {
        "works" => (
            "works".to_owned(),
            "gone where the whole plant comes out; look again in some weeks for what was missed",
        ),
        "works when young" => (
            "works while it is young".to_owned(),
            "gone where it is taken before it has roots or runners to grow again from; later it comes back",
        ),
        "poor" => (
            "works poorly".to_owned(),
            "it grows again from what stays in the ground: expect to repeat it for a long time, or choose another way",
        ),
        other => (other.to_owned(), "see the remarks"),
    }
}

fn measures(book: &Knowledge, remarks: &[Remark], kind: &str) -> Vec<Measure> {
    remarks
        .iter()
        .map(|remark| {
            let note = remark
                .note
                .as_ref()
                .map_or(String::new(), |n| format!(" ({n})"));
            Measure {
                topic: topic(remark.about.as_deref().unwrap_or(kind)),
                text: format!("{}{note}", remark.text),
                expect: None,
                evidence: book.evidence(&remark.source),
                sources: remark.source.to_vec(),
            }
        })
        .collect()
}
