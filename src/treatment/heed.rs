//! What to heed before anything is applied: whether to leave the weeds alone, and the cautions by weight.
use super::LeaveLine;
use super::fact::Fact;
use crate::choose::{self, CautionLine, Choice, Request, Treatable};
use crate::knowledge::Knowledge;
use crate::knowledge::form::common::Sources;

/// The advice to leave weeds alone rests on how long they live and when they are seen.
pub fn leave(book: &Knowledge, request: &Request, choice: &Choice) -> LeaveLine {
    let sources: Vec<&Sources> = request
        .weeds
        .iter()
        .filter_map(|id| book.weeds.get(id))
        .flat_map(|w| {
            let life = w.traits.get(choose::LIFE_TRAIT).map(|s| &s.source);
            let seen = w.seen.growing.as_ref().map(|m| &m.source);
            [life, seen]
        })
        .flatten()
        .collect();
    LeaveLine {
        advised: choice.leave_it.advised,
        why: Fact::of_several(book, choice.leave_it.why.clone(), sources),
    }
}

/// Cautions by weight; among equals those that this site or these actives call for come before those of every job.
pub fn cautions(book: &Knowledge, request: &Request, offered: &[Treatable]) -> Vec<CautionLine> {
    let request = with_applicator(book, request);
    let mut lines = choose::cautions(book, &request, offered);
    lines.sort_by_key(|line| {
        let when = book
            .cautions
            .iter()
            .find(|c| c.id == line.id)
            .map(|c| &c.when);
        let special = when.is_some_and(|w| {
            !w.actives.is_empty()
                || !w.groups.is_empty()
                || w.situations.iter().any(|s| request.near.contains(s))
        });
        (std::cmp::Reverse(line.severity), !special)
    });
    lines
}

/// The request with the situation that goes with who applies, where the book has one of that name.
fn with_applicator(book: &Knowledge, request: &Request) -> Request {
    let mut request = request.clone();
    let word = match request.applicator {
        Some(choose::Applicator::ForHire) => "for-hire",
        Some(choose::Applicator::Homeowner) => "homeowner",
        None => return request,
    };
    if book.situations.iter().any(|s| s.id == word) && !request.near.iter().any(|n| n == word) {
        request.near.push(word.to_owned());
    }
    request
}
