//! Numbers as people type them: with a unit, in inches and fractions, as a range.
//!
//! Who measures a leaf says "a quarter inch" or "5 to 10 mm"; whoever has to reckon that into one number of millimetres
//! makes slips. What could mean two things is refused and never guessed.

/// What a typed number comes to.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Measured {
    /// A number of the trait's unit.
    Number(f64),
    /// It can be read in two ways; how to write each.
    Unclear(String),
    /// No number that is taken.
    No,
}

/// The unit for which inches and centimetres are reckoned too.
pub(super) const MM: &str = "mm";
/// Units of length, each with the millimetres it is long. An inch sign comes out of a phone in several shapes.
const LENGTHS: [(&str, f64); 9] = [
    (MM, 1.0),
    ("cm", 10.0),
    ("inches", 25.4),
    ("inch", 25.4),
    ("in", 25.4),
    ("in.", 25.4),
    ("\"", 25.4),
    ("″", 25.4),
    ("”", 25.4),
];

/// One number as it was typed.
struct Part {
    value: f64,
    fraction: bool,
    /// What one of its unit is in the unit of the trait; nothing where no unit was typed.
    unit: Option<f64>,
}

/// Reads a number above 0 and up to `most`, in `unit` where none is typed.
pub(super) fn read(typed: &str, unit: &str, most: f64) -> Measured {
    let text = typed.trim().to_lowercase();
    if let Some((before, after)) = decimal_comma(&text) {
        return Measured::Unclear(format!("{before}.{after}, or {before} to {after}"));
    }
    let ends: Option<Vec<Part>> = range(&text).into_iter().map(|p| part(p, unit)).collect();
    let Some(mut ends) = ends else {
        return Measured::No;
    };
    if let [low, high] = ends.as_mut_slice() {
        match (low.unit, high.unit) {
            (None, of) => low.unit = of,
            (Some(1.0), None) => high.unit = Some(1.0),
            // "1 cm to 12" may go on in either unit.
            (Some(_), None) => return Measured::No,
            (Some(_), Some(_)) => {}
        }
    }
    if ends.iter().any(|e| e.fraction && e.unit.is_none()) {
        // Nobody has a ruler with quarters of a millimetre, but nobody said inches either.
        return Measured::Unclear(format!("{text} in, or {text} {unit}"));
    }
    let sizes: Vec<f64> = ends
        .iter()
        .map(|e| e.value * e.unit.unwrap_or(1.0))
        .collect();
    if !sizes.iter().all(|x| *x > 0.0 && *x <= most) {
        return Measured::No;
    }
    match sizes.as_slice() {
        [one] if matches!(ends[0].unit, None | Some(1.0)) && !ends[0].fraction => {
            Measured::Number(*one)
        }
        [one] => Measured::Number(tidy(*one)),
        // A range backwards is a slip or a mixed number ("1-1/2"). Sizes are compared by their ratio, so the middle is
        // the geometric one.
        [low, high] if low <= high => Measured::Number(tidy(low.sqrt() * high.sqrt())),
        _ => Measured::No,
    }
}

/// Four figures: more than any eye can measure, and no tail of a division by binary fractions.
fn tidy(size: f64) -> f64 {
    format!("{size:.3e}").parse().unwrap_or(size)
}

/// Both sides of a comma between digits.
fn decimal_comma(text: &str) -> Option<(&str, &str)> {
    let (before, after) = text.split_once(',')?;
    let (before, after) = (before.trim(), after.trim());
    let digits = before.ends_with(|c: char| c.is_ascii_digit())
        && after.starts_with(|c: char| c.is_ascii_digit())
        && !after.contains(',');
    digits.then_some((before, after))
}

/// The two ends of a range, or the whole. A dash at the beginning is the sign of a number and parts nothing.
fn range(text: &str) -> Vec<&str> {
    let parted = text
        .split_once(" to ")
        .or_else(|| text.split_once(['-', '–', '—']))
        .filter(|(low, _)| !low.trim().is_empty());
    parted.map_or_else(|| vec![text], |(low, high)| vec![low, high])
}

/// A number with or without a unit behind it.
fn part(text: &str, unit: &str) -> Option<Part> {
    let text = text.trim();
    let end = text
        .rfind(|c: char| c.is_ascii_digit())
        .map(|last| last + 1)?;
    // "5." is a number; the point belongs to it.
    let end = end + usize::from(text[end..].starts_with('.'));
    let (number, named) = text.split_at(end);
    let named = named.trim();
    let of = match named {
        "" => None,
        _ if named == unit.to_lowercase() => Some(1.0),
        _ if unit == MM => Some(LENGTHS.iter().find(|(name, _)| *name == named)?.1),
        _ => return None,
    };
    let (value, fraction) = match plain_number(number) {
        Some(value) => (value, false),
        None if unit == MM => (mixed(number)?, true),
        None => return None,
    };
    Some(Part {
        value,
        fraction,
        unit: of,
    })
}

/// Digits with at most one point.
fn plain_number(text: &str) -> Option<f64> {
    let digits = text.chars().all(|c| c.is_ascii_digit() || c == '.');
    digits.then(|| text.parse().ok()).flatten()
}

/// `1/4` or `1 1/2`.
fn mixed(text: &str) -> Option<f64> {
    let (above, below) = text.split_once('/')?;
    let (whole, above) = match above.trim().split_once(char::is_whitespace) {
        Some((whole, above)) => (Some(figure(whole)?), figure(above)?),
        None => (None, figure(above)?),
    };
    let below = figure(below)?;
    if above == 0 || below == 0 || (whole.is_some() && above >= below) {
        return None;
    }
    Some(f64::from(whole.unwrap_or(0)) + f64::from(above) / f64::from(below))
}

fn figure(text: &str) -> Option<u16> {
    let text = text.trim();
    let digits = text.chars().all(|c| c.is_ascii_digit());
    digits.then(|| text.parse().ok()).flatten()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const MOST: f64 = 5000.0;

    fn mm(typed: &str) -> Measured {
        read(typed, MM, MOST)
    }

    #[test]
    fn measures_of_a_ruler_come_out_in_millimetres() {
        for (typed, size) in [
            ("6", 6.0),
            (" 2.5 mm ", 2.5),
            ("6MM", 6.0),
            (".5", 0.5),
            ("5.", 5.0),
            ("2 cm", 20.0),
            ("1/4 in", 6.35),
            ("0.25 inch", 6.35),
            ("3/8\"", 9.525),
            ("3/8”", 9.525),
            ("1 1/2 in", 38.1),
            ("1 1/2 inches", 38.1),
            ("2 in.", 50.8),
            ("1/2 mm", 0.5),
            ("5-10", 7.071),
            ("5 to 10", 7.071),
            ("5 – 10 mm", 7.071),
            ("5 mm to 10", 7.071),
            ("5 mm - 1 cm", 7.071),
            ("1/4 to 1 in", 12.7),
            ("1/4-1\"", 12.7),
            ("4-4", 4.0),
            ("5000", 5000.0),
        ] {
            assert_eq!(mm(typed), Measured::Number(size), "{typed}");
        }
    }

    #[test]
    fn what_can_be_read_in_two_ways_is_not_guessed() {
        for (typed, write) in [
            ("1,5", "1.5, or 1 to 5"),
            ("1,5 mm", "1.5 mm, or 1 to 5 mm"),
            ("1/4", "1/4 in, or 1/4 mm"),
            ("1 1/2", "1 1/2 in, or 1 1/2 mm"),
        ] {
            assert_eq!(mm(typed), Measured::Unclear(write.to_owned()), "{typed}");
        }
    }

    #[test]
    fn everything_else_is_refused() {
        for typed in [
            "",
            " ",
            "0",
            "0 mm",
            "-3",
            "- 3",
            "nan",
            "inf",
            "1e3",
            "1e-3 mm",
            "5001",
            "501 cm",
            "0-5",
            "5-",
            "5 to",
            "10-5",
            "1-1/2 in",
            "1/0 in",
            "0/4 in",
            "1 5/4 in",
            "1 cm to 12",
            "5 10",
            "1.2.3",
            ".",
            "mm",
            "\"",
            "6 m",
            "6 ft",
            "5-6-7",
            "5 to 6 to 7",
            "1,2,3",
            "+5",
            "٣",
            "1/99999 in",
            "6 mm mm",
            "wide",
            "5..",
        ] {
            assert_eq!(mm(typed), Measured::No, "{typed}");
        }
    }

    #[test]
    fn what_is_counted_has_ranges_and_no_inches() {
        let of = |typed| read(typed, "flowers", MOST);
        assert_eq!(of("3 flowers"), Measured::Number(3.0));
        assert_eq!(of("4 to 9 Flowers"), Measured::Number(6.0));
        assert_eq!(read("4-9", "", MOST), Measured::Number(6.0));
        for typed in ["3 in", "3 mm", "1/4", "1/4 flowers"] {
            assert_eq!(of(typed), Measured::No, "{typed}");
        }
    }

    proptest! {
        #[test]
        fn no_words_are_the_end_of_the_program(
            typed in "[0-9./ ,–\"”a-z-]{0,14}|\\PC{0,20}",
            unit in "(mm|flowers|)",
        ) {
            if let Measured::Number(x) = read(&typed, &unit, MOST) {
                prop_assert!(x > 0.0 && x <= MOST, "{typed}: {x}");
            }
        }

        #[test]
        fn a_number_of_digits_is_itself_and_a_range_lies_between(a in 1_u32..2000, more in 0_u32..2000) {
            let (low, high) = (f64::from(a), f64::from(a + more));
            prop_assert_eq!(mm(&a.to_string()), Measured::Number(low));
            let Measured::Number(middle) = mm(&format!("{a} to {}", a + more)) else {
                return Err(TestCaseError::fail("a range"));
            };
            prop_assert!(middle >= low * 0.999 && middle <= high * 1.001);
        }
    }
}
