//! The choice: whether to treat, and with which class of treatment on this grass.
//!
//! Every active of the book is either part of an option or excluded with its reasons; nothing that a gate stops is
//! ever offered. [`index`] weighs the book once, the gates are in [`gates`], the search for the fewest actives in
//! [`cover`], the order in [`rank`]; [`decide`] joins them into a decision in numbers, and what is shown of it is put into
//! words by [`option`] and [`say`].
mod advice;
mod alone;
mod areas;
mod asking;
mod cautions;
mod compare;
mod cover;
mod decide;
mod doubt;
mod effect;
mod emergence;
mod explain;
#[cfg(test)]
mod faults;
mod gates;
mod index;
mod law;
mod limits;
mod option;
mod past;
mod programme;
mod rank;
mod reason;
mod request;
mod rests;
mod say;
mod tank;
mod threshold;
mod time;
mod without;

use crate::knowledge::Knowledge;
use crate::knowledge::form::active::{Control, Timing, Tolerance};
use crate::knowledge::form::source::Evidence;
use crate::knowledge::verdict::Standing;
use serde::Serialize;

pub(crate) use advice::cautions;
pub use advice::{Advice, CautionLine, LeaveIt};
pub use alone::Alone;
pub use areas::Area;
pub use asking::{Fact, Unknown};
pub use compare::{Aspect, compare};
pub use decide::Decision;
pub use doubt::{Doubt, Likely, Weighted};
pub use explain::{Outcome, Row, Step, Trail};
pub use index::Chooser;
pub use law::LawLine;
pub(crate) use law::law;
pub use programme::{Programme, ProgrammeStep};
pub use rank::{OnWeed, Picked, Worth};
pub use reason::Reason;
pub use request::{Applicator, MOST_WEEDS, Request, RequestFault, Soil, WeedStage};
pub(crate) use say::{control_word, tolerance_word};
pub(crate) use tank::meets;
pub use threshold::Threshold;
pub use time::{Again, Window};
pub(crate) use time::{LIFE_TRAIT, month_name};
pub use without::{Measure, OfWeed, Plan, plan as without_chemicals};

/// One way to treat, with its reasons.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Treatable {
    /// Ids of the actives, in alphabetical order.
    pub actives: Vec<String>,
    /// Their site-of-action groups, ascending, each once.
    pub groups: Vec<u16>,
    /// When it is applied.
    pub timing: Timing,
    /// What it does on each weed asked about.
    pub controls: Vec<Controlled>,
    /// How the grass stands it: the most cautious of all partners and grasses.
    pub turf: OnTurf,
    /// What this site calls for, cautions of these actives, and limits that go with the ratings.
    pub cautions: Vec<String>,
    /// Why this option, and why in this place of the order.
    pub why: Vec<String>,
    /// Whether the partners are known to be sold or used together.
    pub known_mixture: bool,
    /// Second treatments that the book calls for.
    pub again: Vec<Again>,
    /// For use before the weeds come up: when that is.
    pub windows: Vec<Window>,
}

/// What an option does on one weed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Controlled {
    /// Id of the weed.
    pub weed: String,
    /// How well.
    pub rating: Control,
    /// Kind of evidence.
    pub evidence: Evidence,
    /// How firmly that stands.
    pub standing: Standing,
    /// Whether no statement that decides gives a grade: it is then named as controlling the weed, and `fair` is the least
    /// that this can mean.
    pub ungraded: bool,
    /// The partner that does it; the whole mixture where a statement is about the mixture.
    pub by: Vec<String>,
    /// Limits.
    pub conditions: Vec<String>,
    /// Ids of sources.
    pub sources: Vec<String>,
}

/// How the grass stands an option.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct OnTurf {
    /// The rating: tolerant or intermediate, nothing else is offered.
    pub rating: Tolerance,
    /// Kind of evidence.
    pub evidence: Evidence,
    /// How firmly that stands.
    pub standing: Standing,
    /// Limits.
    pub conditions: Vec<String>,
    /// Ids of sources.
    pub sources: Vec<String>,
}

/// A reason why an active, or actives together, are not offered.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Excluded {
    /// Ids of the actives.
    pub actives: Vec<String>,
    /// The gate that stopped them.
    pub reason: Reason,
    /// One sentence.
    pub detail: String,
}

/// The whole answer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Choice {
    /// Options, best first.
    pub options: Vec<Treatable>,
    /// Everything not offered, by reason.
    pub excluded: Vec<Excluded>,
    /// What helps without chemicals.
    pub without_chemicals: Vec<Advice>,
    /// Whether to leave the weeds alone.
    pub leave_it: LeaveIt,
    /// Cautions that go with any treatment here.
    pub cautions: Vec<CautionLine>,
    /// What to ask whom.
    pub law: Vec<LawLine>,
    /// Weeds that no option controls.
    pub uncovered: Vec<String>,
    /// What a single active would leave, where no single one deals with all; the best three.
    pub if_only_one: Vec<Alone>,
    /// Options on each grass alone, where the lawn has several and that opens more.
    pub by_grass: Vec<Area>,
    /// The year: before the weeds come up, and on what is there.
    pub programme: Option<Programme>,
    /// From which cover on a treatment of the whole lawn is worth it.
    pub threshold: Option<Threshold>,
    /// What to know of this grass and its cultivars before treating.
    pub grass_notes: Vec<Advice>,
}

/// What a request leads to.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub enum LeadsTo {
    /// The first option.
    Spray {
        /// Its actives.
        actives: Vec<String>,
        /// When it is used, the earliest where that differs by weed.
        timing: Option<Timing>,
    },
    /// The weeds are better left alone.
    Leave,
    /// Nothing that the book knows is both safe on this grass and of use.
    NoOption,
}

/// Chooses. Whoever chooses more than once builds a [`Chooser`] and keeps it.
///
/// The request must name entries of the book (see [`Request::check`]); ids that the book does not know lead to no option.
#[must_use]
pub fn choose(book: &Knowledge, request: &Request) -> Choice {
    Chooser::new(book).choose(request)
}

impl Chooser<'_> {
    /// Chooses, in words.
    #[must_use]
    pub fn choose(&self, request: &Request) -> Choice {
        let decision = self.decide(request);
        let mut options: Vec<Treatable> = decision
            .options
            .iter()
            .map(|picked| option::treatable(self, request, picked))
            .collect();
        for (place, both) in decision.options.windows(2).enumerate() {
            let behind = both[1].worth.behind(&both[0].worth);
            let line = format!("stands behind the one before it: {behind}");
            options[place + 1].why.push(line);
        }
        Choice {
            excluded: excluded(self, request, &decision),
            without_chemicals: advice::without_chemicals(self.book, request),
            leave_it: advice::leave_it(self.book, request),
            cautions: advice::cautions(self.book, request, &options),
            law: law::law(self.book, request, &options),
            uncovered: decision
                .uncovered(request.weeds.len())
                .map(|w| request.weeds[w].clone())
                .collect(),
            if_only_one: alone::alone(self, request, &decision),
            by_grass: areas::by_grass(self, request, &decision),
            programme: programme::programme(self, request, &decision),
            threshold: threshold::threshold(self.book, request),
            grass_notes: advice::grass_notes(self.book, request),
            options,
        }
    }
}

impl Chooser<'_> {
    /// What a request leads to, without words.
    #[must_use]
    pub fn outcome(&self, request: &Request) -> LeadsTo {
        if advice::leave_it(self.book, request).advised {
            return LeadsTo::Leave;
        }
        let Some(first) = self.decide(request).options.into_iter().next() else {
            return LeadsTo::NoOption;
        };
        LeadsTo::Spray {
            actives: first
                .actives
                .iter()
                .map(|&a| self.id(a).to_owned())
                .collect(),
            timing: first.on.into_iter().flatten().map(|on| on.timing).min(),
        }
    }
}

fn excluded(chooser: &Chooser<'_>, request: &Request, decision: &Decision) -> Vec<Excluded> {
    let ids = |set: &[usize]| set.iter().map(|&a| chooser.id(a).to_owned()).collect();
    let mut all: Vec<Excluded> = decision
        .stopped
        .iter()
        .map(|&(active, stop)| Excluded {
            actives: ids(&[active]),
            reason: stop.reason(),
            detail: say::sentence(chooser, request, active, stop),
        })
        .collect();
    all.extend(decision.apart.iter().map(|(set, why)| Excluded {
        actives: ids(set),
        reason: why.reason(),
        detail: say::apart(chooser, request, set, *why),
    }));
    all.extend(decision.not_needed.iter().map(|&(active, deals)| Excluded {
        actives: ids(&[active]),
        reason: Reason::NotNeeded,
        detail: say::not_needed(chooser, request, active, deals),
    }));
    all.sort_by(|a, b| (a.reason, &a.actives).cmp(&(b.reason, &b.actives)));
    all
}
