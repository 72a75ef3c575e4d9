//! Shapes as one writes them down: `80 ft x 60 ft`, `triangle 200 ft x 40 ft`, `circle diameter 40 ft`,
//! `half circle radius 10 ft`, `trapezoid 30 ft, 50 ft x 20 ft`, `oval 60 ft x 40 ft`,
//! `triangle sides 3, 4, 5 ft`, `offsets 32, 50, 45, 17 ft every 10 ft`,
//! `polygon 0,0 300,0 300,200 ft`, `spots 120 x 4 in`, `strip 90 ft x 3 ft`, or a known `1500 sq ft`.

use super::super::exact::Exact;
use super::super::fault::{Fault, FaultKind};
use super::super::kind::Base;
use super::super::lex::LONGEST;
use super::super::quantity::Quantity;
use super::super::read::{quantity, quantity_of, unit};
use super::{Corner, Rule, Shape, half, quarter};

const NAMES: [&str; 10] = [
    "rectangle",
    "strip",
    "triangle",
    "trapezoid",
    "circle",
    "oval",
    "offsets",
    "polygon",
    "spots",
    "square",
];
/// A polygon of many corners is longer than a label's figure.
const LONGEST_SHAPE: usize = 20 * LONGEST;

/// Reads one shape.
///
/// # Errors
/// A [`Fault`] that names the part that was not understood.
///
/// ```
/// use ligule::measure::area::{area, shape};
/// let bed = area(&shape("80 ft x 60 ft").unwrap()).unwrap();
/// assert_eq!(bed.value.to_string(), "4800 sq ft");
/// ```
pub fn shape(text: &str) -> Result<Shape, Fault> {
    let trimmed = text.trim();
    if trimmed.is_empty() {
        return Err(Fault::new(FaultKind::Empty, "no shape was given")
            .expected("a shape such as `80 ft x 60 ft`"));
    }
    if trimmed.len() > LONGEST_SHAPE {
        return Err(Fault::new(FaultKind::TooLong, "the shape is too long")
            .expected(format!("at most {LONGEST_SHAPE} characters")));
    }
    if !trimmed.starts_with(char::is_alphabetic) {
        return if by(trimmed).len() > 1 {
            rectangle(trimmed)
        } else {
            known(trimmed)
        };
    }
    let (name, rest) = trimmed
        .split_once(char::is_whitespace)
        .unwrap_or((trimmed, ""));
    let rest = rest.trim();
    match name.to_lowercase().as_str() {
        "rectangle" | "strip" => rectangle(rest),
        "square" => {
            let side = length(rest, "the side")?;
            Ok(Shape::Rectangle {
                length: side.clone(),
                width: side,
            })
        }
        "triangle" => triangle(rest),
        "trapezoid" => trapezoid(rest),
        "circle" => circle(rest, Exact::one()),
        "half" => circle(after(rest, "circle", trimmed)?, half()),
        "quarter" => circle(after(rest, "circle", trimmed)?, quarter()),
        "oval" => {
            let [length, width] = two(rest, "an oval", "length x width")?;
            Ok(Shape::Oval { length, width })
        }
        "offsets" => offsets(rest),
        "polygon" => polygon(rest),
        "spots" => spots(rest),
        _ => Err(unknown(trimmed, name)),
    }
}

/// `name` is how `text` begins.
fn unknown(text: &str, name: &str) -> Fault {
    let lower = name.to_lowercase();
    let near = NAMES
        .iter()
        .map(|n| (strsim::damerau_levenshtein(&lower, n), *n))
        .min()
        .filter(|(distance, _)| *distance <= 3);
    let message = format!("`{name}` is no shape that is known");
    let fault = Fault::at(FaultKind::Shape, text, 0..name.len(), message)
        .expected(format!("one of {}", NAMES.join(", ")));
    match near {
        Some((_, name)) => fault.hint(format!("did you mean `{name}`?")),
        None => fault,
    }
}

fn rectangle(rest: &str) -> Result<Shape, Fault> {
    let [length, width] = two(rest, "a rectangle", "length x width")?;
    Ok(Shape::Rectangle { length, width })
}

fn known(text: &str) -> Result<Shape, Fault> {
    let area = quantity(text)?;
    if area.kind() == Base::Length.into() {
        return Err(Fault::at(
            FaultKind::Shape,
            text,
            0..text.len(),
            "one length is no area",
        )
        .expected("two lengths, such as 80 ft x 60 ft, or an area, such as 4800 sq ft"));
    }
    Ok(Shape::Known {
        area: area.must_be(Base::Area, "the area")?,
    })
}

fn triangle(rest: &str) -> Result<Shape, Fault> {
    if let Some(rest) = strip_word(rest, "sides") {
        let sides: [Quantity; 3] = lengths(&rest.split(',').collect::<Vec<_>>(), "a side")?
            .try_into()
            .map_err(|_| {
                wrong_count(
                    rest,
                    "a triangle by its sides",
                    "three sides, such as `sides 30, 40, 50 ft`",
                )
            })?;
        return Ok(Shape::Sides { sides });
    }
    let [base, height] = two(rest, "a triangle", "base x height")?;
    Ok(Shape::Triangle { base, height })
}

fn trapezoid(rest: &str) -> Result<Shape, Fault> {
    let wanted = || {
        wrong_count(
            rest,
            "a trapezoid",
            "the two parallel sides x their distance, such as `30 ft, 50 ft x 20 ft`",
        )
    };
    let parts = by(rest);
    let [sides, height] = parts[..] else {
        return Err(wanted());
    };
    let (a, b) = sides
        .split_once(',')
        .or_else(|| sides.split_once(" and "))
        .ok_or_else(wanted)?;
    let [a, b, height]: [Quantity; 3] = lengths(&[a, b, height], "a side")?
        .try_into()
        .map_err(|_| wanted())?;
    Ok(Shape::Trapezoid {
        sides: [a, b],
        height,
    })
}

fn circle(rest: &str, share: Exact) -> Result<Shape, Fault> {
    if let Some(radius) = strip_word(rest, "radius") {
        let diameter = length(radius, "the radius")?.times(&Exact::from(2));
        return Ok(Shape::Circle { diameter, share });
    }
    if let Some(across) = strip_word(rest, "diameter").or_else(|| rest.strip_suffix("across")) {
        return Ok(Shape::Circle {
            diameter: length(across, "the diameter")?,
            share,
        });
    }
    Err(Fault::new(
        FaultKind::Ambiguous,
        format!("`circle {rest}` does not say what was measured"),
    )
    .expected("`circle diameter 40 ft` or `circle radius 20 ft`"))
}

fn offsets(rest: &str) -> Result<Shape, Fault> {
    let (rule, rest) = match (strip_word(rest, "ends"), strip_word(rest, "simpson")) {
        (Some(rest), _) => (Rule::Ends, rest),
        (_, Some(rest)) => (Rule::Simpson, rest),
        _ => (Rule::Strips, rest),
    };
    let (widths, spacing) = rest.split_once(" every ").ok_or_else(|| {
        wrong_count(
            rest,
            "offsets",
            "widths and their spacing, such as `32, 50, 45 ft every 10 ft`",
        )
    })?;
    let widths = lengths(&widths.split(',').collect::<Vec<_>>(), "a width")?;
    Ok(Shape::Offsets {
        widths,
        spacing: length(spacing, "the spacing")?,
        rule,
    })
}

fn spots(rest: &str) -> Result<Shape, Fault> {
    let wanted = || {
        wrong_count(
            rest,
            "spots",
            "how many x how far across, such as `120 x 4 in`",
        )
    };
    let parts = by(rest);
    let [count, across] = parts[..] else {
        return Err(wanted());
    };
    let count = count.trim().parse().map_err(|_| wanted())?;
    Ok(Shape::Spots {
        count,
        across: length(across, "the spot")?,
    })
}

fn polygon(rest: &str) -> Result<Shape, Fault> {
    let example = "corners and their unit, such as `0,0 300,0 300,200 ft`";
    let Some((pairs, name)) = rest.rsplit_once(char::is_whitespace) else {
        return Err(wrong_count(rest, "a polygon", example));
    };
    let unit = unit(name).map_err(|fault| fault.of("the unit of the corners"))?;
    let corners = pairs
        .split_whitespace()
        .map(|pair| corner(rest, pair))
        .collect::<Result<Vec<_>, _>>()?;
    Ok(Shape::Polygon { corners, unit })
}

fn corner(text: &str, pair: &str) -> Result<Corner, Fault> {
    let figure = |raw: &str| match raw.strip_prefix('-') {
        Some(digits) => Exact::from_digits(digits).map(|n| -n),
        None => Exact::from_digits(raw),
    };
    let inner = pair
        .strip_prefix('(')
        .and_then(|p| p.strip_suffix(')'))
        .unwrap_or(pair);
    let both = inner.split_once(',').and_then(|(x, y)| {
        Some(Corner {
            x: figure(x)?,
            y: figure(y)?,
        })
    });
    both.filter(|_| inner.len() <= 40).ok_or_else(|| {
        let start = text.find(pair).unwrap_or(0);
        Fault::at(
            FaultKind::Shape,
            text,
            start..start + pair.len(),
            format!("`{pair}` is no corner"),
        )
        .expected("two figures with a comma and no space between, such as `12.5,30`")
    })
}

/// Cuts at `x`, `×` and ` by `. No unit of length has an x in its name.
fn by(text: &str) -> Vec<&str> {
    if text.contains(" by ") {
        return text.split(" by ").collect();
    }
    text.split(['x', 'X', '×']).collect()
}

fn two(rest: &str, what: &str, form: &str) -> Result<[Quantity; 2], Fault> {
    let parts = by(rest);
    lengths(&parts, "a side")?
        .try_into()
        .map_err(|_| wrong_count(rest, what, form))
}

/// Lengths, where the unit of the last stands for those without one: `32, 50, 45 ft`.
fn lengths(parts: &[&str], figure: &str) -> Result<Vec<Quantity>, Fault> {
    let shared = parts
        .last()
        .and_then(|last| quantity(last.trim()).ok())
        .map(|q| q.unit);
    parts
        .iter()
        .map(|part| {
            let bare =
                !part.contains(|c: char| c.is_alphabetic() || matches!(c, '\'' | '"' | '′' | '″'));
            match &shared {
                Some(unit) if bare && !part.trim().is_empty() => {
                    length(&format!("{} {unit}", part.trim()), figure)
                }
                _ => length(part, figure),
            }
        })
        .collect()
}

fn length(text: &str, figure: &str) -> Result<Quantity, Fault> {
    quantity_of(text.trim(), Base::Length, figure)
}

fn strip_word<'t>(text: &'t str, word: &str) -> Option<&'t str> {
    text.strip_prefix(word)
        .filter(|rest| rest.starts_with(char::is_whitespace))
        .map(str::trim)
}

fn after<'t>(text: &'t str, word: &str, whole: &str) -> Result<&'t str, Fault> {
    strip_word(text, word).ok_or_else(|| unknown(whole, whole))
}

fn wrong_count(text: &str, what: &str, form: &str) -> Fault {
    Fault::new(FaultKind::Shape, format!("`{text}` does not give {what}")).expected(form)
}
