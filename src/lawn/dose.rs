//! A label's figures against the range of doses in the book. The book's range never gives an amount: it only catches a
//! slip in what was copied.
use super::finding::{Finding, Weight};
use super::label::Label;
use super::put::{Put, put};
use super::slip;
use crate::knowledge::Knowledge;
use crate::knowledge::form::active::Active;
use crate::knowledge::form::common::{Number, Sources};
use crate::measure::{Exact, Of, Quantity, Span, Strength};

/// Above so many times the book's top a figure is refused, above so many it is questioned; below the book's bottom the
/// second counts alone, since too little hurts nobody.
const REFUSED: i64 = 10;
const QUESTION: i64 = 2;
/// A figure that a slip would explain must come so near the book's range: a quarter more or less.
const NEAR: [i64; 2] = [4, 5];

/// The book's range in lb/A, and of what (` a.e.`).
struct Known {
    range: [Number; 2],
    of: &'static str,
}

/// Findings for one active of a product. `id` is its id in the book, `output` what the sprayer puts on an area.
pub fn check(
    book: &Knowledge,
    label: &Label<'_>,
    id: &str,
    strength: Option<&Strength>,
    output: Option<&Quantity>,
) -> Vec<Finding> {
    let Some(active) = book.actives.get(id) else {
        return Vec::new();
    };
    let name = &label.product.name;
    let Some(strength) = strength else {
        return vec![unchecked(name, active, "its content is not given")];
    };
    // What the sprayer puts out is surer than the range that the label allows.
    let water = output
        .map(|output| Span {
            low: output.clone(),
            high: output.clone(),
        })
        .or_else(|| label.water.clone());
    let mut found = Vec::new();
    let bounds = active.dose_bounds.as_ref().and_then(|b| {
        let range = b.lb_per_acre?;
        let of = match b.basis.as_str() {
            "ae" => Of::Acid,
            _ => Of::Active,
        };
        Some((
            Known {
                range,
                of: of.suffix(),
            },
            &b.source,
        ))
    });
    match bounds {
        None => found.push(unchecked(name, active, "the book has no range for it")),
        Some((known, sources)) => {
            for (words, span) in rates(label) {
                match put(&span, water.as_ref(), strength) {
                    Ok(put) => found.extend(against(
                        book, name, active, words, &span, &put, &known, sources,
                    )),
                    Err(why) => found.push(unchecked(name, active, &why)),
                }
            }
        }
    }
    if let (Some(year), Some(most)) = (&active.yearly_max_lb_per_acre, &label.most_year) {
        let span = Span {
            low: most.clone(),
            high: most.clone(),
        };
        if let Ok(put) = put(&span, None, strength) {
            // A year's figure has a top only.
            let known = Known {
                range: [Number(0.0), year.range[1]],
                of: "",
            };
            found.extend(against(
                book,
                name,
                active,
                "maximum for a year",
                &span,
                &put,
                &known,
                &year.source,
            ));
        }
    }
    // Rate and maximum with the same slip tell one thing.
    let mut told: Vec<String> = Vec::new();
    found.retain(|f| {
        let key = format!("{}{}", f.code, f.text);
        let new = !told.contains(&key);
        told.push(key);
        new
    });
    found
}

fn unchecked(product: &str, active: &Active, why: &str) -> Finding {
    Finding::new(
        "dose-not-checked",
        Weight::Note,
        product,
        format!(
            "The amount of {} could not be held against the book for slips: {why}.",
            active.name
        ),
    )
}

/// Every rate of the label with its name.
fn rates(label: &Label<'_>) -> Vec<(&'static str, Span)> {
    let most = label.most.as_ref().map(|most| Span {
        low: most.clone(),
        high: most.clone(),
    });
    [
        ("rate", label.broadcast.clone()),
        ("rate for spots", label.spot.clone()),
        ("maximum for a treatment", most),
    ]
    .into_iter()
    .filter_map(|(words, span)| Some((words, span?)))
    .collect()
}

#[allow(
    clippy::too_many_arguments,
    reason = "one call carries the book's side and the label's side of one comparison"
)]
fn against(
    book: &Knowledge,
    product: &str,
    active: &Active,
    words: &str,
    span: &Span,
    put: &Put,
    known: &Known,
    sources: &Sources,
) -> Option<Finding> {
    let (bottom, top) = (exact(known.range[0])?, exact(known.range[1])?);
    let over = put.high.over(&top)?;
    let times = |n: i64| Exact::from(n);
    let low = !bottom.is_zero() && &put.low * &times(QUESTION) < bottom;
    let (code, weight) = if over > times(REFUSED) {
        ("dose-refused", Weight::Refused)
    } else if over > times(QUESTION) || low {
        ("dose-question", Weight::Question)
    } else {
        return None;
    };
    let near = |factor: &Exact| {
        let slack = |n: i64, d: i64| Exact::ratio(n.into(), d.into()).unwrap_or_else(Exact::one);
        let (least, most) = (
            &bottom * &slack(NEAR[0], NEAR[1]),
            &top * &slack(NEAR[1], NEAR[0]),
        );
        &put.low * factor >= least && &put.high * factor <= most
    };
    let slips = slip::likely(&span.high, near);
    let evidence = book.evidence(sources);
    let mut finding = Finding::new(
        code,
        weight,
        product,
        tell(words, span, active, put, known, &bottom, &top, weight),
    );
    if !slips.is_empty() {
        finding.slip = Some(format!(
            "A likely slip: does the label say {}?",
            crate::words::or_list(&slips)
        ));
    }
    finding.evidence = Some(evidence);
    finding.sources = sources.to_vec();
    Some(finding)
}

#[allow(
    clippy::too_many_arguments,
    reason = "every part of the sentence comes from another side of the comparison"
)]
fn tell(
    words: &str,
    span: &Span,
    active: &Active,
    put: &Put,
    bounds: &Known,
    bottom: &Exact,
    top: &Exact,
    weight: Weight,
) -> String {
    let unit = format!("lb{}/A", put.of.suffix());
    let dose = if put.low == put.high {
        put.high.to_digits(3)
    } else {
        format!("{} to {}", put.low.to_digits(3), put.high.to_digits(3))
    };
    let known = if bottom.is_zero() {
        format!("at most {}", top.to_digits(3))
    } else {
        format!("{} to {}", bottom.to_digits(3), top.to_digits(3))
    };
    let (side, bound) = if put.high > *top {
        ("the top of it", put.high.over(top))
    } else {
        ("the bottom of it", put.low.over(bottom))
    };
    let times = bound.map_or_else(String::new, |b| {
        format!(", {} times {side}", b.to_digits(2))
    });
    let ask = match weight {
        Weight::Refused => "No amount is given from this figure: read the label again.",
        _ => "Read the label again before you mix.",
    };
    format!(
        "The {words} {span} puts {dose} {unit} of {} on the ground; the book knows {known} lb{}/A{times}. {ask}",
        active.name, bounds.of
    )
}

/// A number of the book, exactly as it is written there.
fn exact(number: Number) -> Option<Exact> {
    Exact::from_digits(&number.0.to_string())
}
