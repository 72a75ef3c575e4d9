//! Which option is taken, and what stands beside it.
use super::fact::Named;
use super::option::{self, OptionLine};
use super::verdict::Decision;
use super::{TreatmentError, exclusions};
use crate::choose::{Choice, Request, Treatable};
use crate::knowledge::{Kind, Knowledge};
use crate::visit::Visit;

/// How many alternatives are given.
const ALTERNATIVES: usize = 3;
/// The word for "no chemical" in a visit's `choose`.
const NO_CHEMICAL: &str = "none";

/// What the user wants applied.
pub enum Wish<'a> {
    /// Nothing was said.
    Open,
    /// No chemical.
    Nothing,
    /// This option.
    This(&'a Treatable),
}

/// The wish of a visit.
///
/// # Errors
/// Names that are no actives, and actives that are not on offer together, with the reason.
pub fn wish<'a>(
    book: &Knowledge,
    visit: &Visit,
    request: &Request,
    choice: &'a Choice,
) -> Result<Wish<'a>, TreatmentError> {
    match visit.choose.as_ref() as &[String] {
        [] => return Ok(Wish::Open),
        [word] if word.trim() == NO_CHEMICAL => return Ok(Wish::Nothing),
        _ => {}
    }
    let mut wanted = Vec::new();
    for typed in visit.choose.iter() {
        let found = book.find(Kind::Active, typed);
        wanted.push(found.map_err(|unknown| TreatmentError::Name {
            place: "choose".to_owned(),
            unknown,
        })?);
    }
    wanted.sort();
    wanted.dedup();
    if let Some(option) = choice.options.iter().find(|o| o.actives == wanted) {
        return Ok(Wish::This(option));
    }
    let why = exclusions::first_reason(&choice.excluded, &wanted).unwrap_or_else(|| {
        if request.weeds.is_empty() {
            "the plant is not known".to_owned()
        } else {
            "it is not the smallest set of actives that deals with these weeds".to_owned()
        }
    });
    Err(TreatmentError::NotOffered {
        names: wanted
            .iter()
            .map(|id| Named::active(book, id).name)
            .collect(),
        why,
        offered: choice
            .options
            .iter()
            .take(ALTERNATIVES)
            .map(|o| o.actives.join(" + "))
            .collect(),
    })
}

/// What is to be done, and the option that is taken.
pub fn decide<'a>(
    request: &Request,
    choice: &'a Choice,
    wish: &Wish<'a>,
) -> (Decision, Option<&'a Treatable>) {
    match wish {
        Wish::This(option) => (Decision::Treat, Some(option)),
        Wish::Nothing => (Decision::WithoutChemicals, None),
        Wish::Open if request.weeds.is_empty() => (Decision::PlantNotKnown, None),
        Wish::Open if choice.leave_it.advised => (Decision::LeaveIt, None),
        Wish::Open => choice
            .options
            .first()
            .map_or((Decision::NothingSafe, None), |first| {
                (Decision::Treat, Some(first))
            }),
    }
}

/// The options after (or, where another one was taken, besides) the one taken.
pub fn alternatives(
    book: &Knowledge,
    choice: &Choice,
    taken: Option<&Treatable>,
    grass: &str,
) -> Vec<OptionLine> {
    let mut above = taken;
    let mut lines = Vec::new();
    for other in choice
        .options
        .iter()
        .filter(|o| taken.is_none_or(|t| t != *o))
        .take(ALTERNATIVES)
    {
        let mut line = option::line(book, other, grass);
        if let Some(above) = above {
            line.behind = option::behind(above, other);
        }
        // Each is measured against the one taken: "behind the second" tells a reader little.
        above = taken.or(above).or(Some(other));
        lines.push(line);
    }
    lines
}
