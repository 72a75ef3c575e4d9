//! Why a visit does not become a treatment.
use crate::key::AnswerError;
use crate::knowledge::UnknownName;
use crate::lawn::LawnError;
use crate::words::or_list;

/// What is wrong with the visit, where, and how to mend it.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum TreatmentError {
    /// A name that leads nowhere.
    #[error("{place}: {unknown}")]
    Name {
        /// The spot in the answers (`lawn: grass`).
        place: String,
        /// The name and the nearest one.
        unknown: UnknownName,
    },
    /// A trait or an answer that the book does not have.
    #[error("plant {plant}, observed: {error}")]
    Answer {
        /// Which plant, counted from 1.
        plant: usize,
        /// What is wrong.
        error: AnswerError,
    },
    /// No plant at all.
    #[error(
        "no plant was named, and nothing was seen of one: name it or answer what you see on it (in a file: `plants: [{{weed: ...}}]`)"
    )]
    NoPlant,
    /// A plant without a name and without anything observed.
    #[error(
        "plant {plant} has neither a name nor anything observed: give `weed` or `observed` (or both)"
    )]
    EmptyPlant {
        /// Which plant, counted from 1.
        plant: usize,
    },
    /// No grass.
    #[error(
        "the visit does not say which grass the lawn is (`lawn: {{grass: ...}}`); without it nothing can be called safe"
    )]
    NoGrass,
    /// A figure of the lawn or its shelf that cannot be reckoned with.
    #[error("{0}")]
    Lawn(#[from] LawnError),
    /// An air temperature that is none.
    #[error(
        "lawn: air_temperature: `{typed}` is no temperature between -40F and 130F; write it with its unit, such as 72F or 22C"
    )]
    Temperature {
        /// What was typed.
        typed: String,
    },
    /// A position that is none.
    #[error("lawn: position: {why}")]
    Position {
        /// What is wrong and how to mend it.
        why: String,
    },
    /// A weather file that does not serve.
    #[error("{of}: {file}: {why}")]
    Weather {
        /// `forecast` or `weather`.
        of: &'static str,
        /// The file as typed.
        file: String,
        /// What is wrong and how to mend it.
        why: String,
    },
    /// Facts about the lawn that cannot both be true.
    #[error("lawn: {fault}")]
    Contradiction {
        /// Which, and how to mend it.
        fault: String,
    },
    /// An option that was chosen and is not on offer.
    #[error("choose: {} is not on offer here: {}; {}", .names.join(" + "), .why, offers(.offered))]
    NotOffered {
        /// Names of the actives that were chosen.
        names: Vec<String>,
        /// The first reason.
        why: String,
        /// What is on offer, best first, a few.
        offered: Vec<String>,
    },
}

fn offers(offered: &[String]) -> String {
    if offered.is_empty() {
        "nothing is on offer, so write `choose: none`".to_owned()
    } else {
        format!("on offer are {}", or_list(offered))
    }
}
