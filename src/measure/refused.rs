//! Words that look like units and are refused, and short forms that stand for a whole rate.

/// Words that look like units and are not taken, each with the reason and the way out.
pub static REFUSED: &[(&str, &str)] = &[
    (
        "M",
        "`M` is read as 1,000 sq ft by some and as metre by others: write `1000 sq ft` or `m`",
    ),
    (
        "T",
        "`T` may be tablespoon or ton: write `tbsp` or `short ton`",
    ),
    ("t", "`t` may be teaspoon or tonne: write `tsp` or `tonne`"),
    ("c", "`c` may be cup or Celsius: write `cup` or `C`"),
    (
        "G",
        "`G` may be gallon, gram or a granule: write `gal` or `g`",
    ),
    ("MG", "write `mg` for milligram"),
    ("gr", "`gr` is grain to some and gram to others: write `g`"),
    ("#", "write `lb` for pounds"),
    (
        "ton",
        "`ton` has three meanings: write `short ton` (2,000 lb) or `tonne` (1,000 kg)",
    ),
    (
        "tons",
        "`ton` has three meanings: write `short ton` (2,000 lb) or `tonne` (1,000 kg)",
    ),
    (
        "drop",
        "a drop is no fixed amount: use a syringe and write `mL`",
    ),
    (
        "drops",
        "a drop is no fixed amount: use a syringe and write `mL`",
    ),
    (
        "capful",
        "a capful is no fixed amount: measure what the cap holds and write it in `fl oz` or `mL`",
    ),
    (
        "capfuls",
        "a capful is no fixed amount: measure what the cap holds and write it in `fl oz` or `mL`",
    ),
    (
        "scoop",
        "a scoop differs from product to product: weigh it and write it in `g`",
    ),
    (
        "scoops",
        "a scoop differs from product to product: weigh it and write it in `g`",
    ),
    ("spoon", "say which spoon: `tsp` or `tbsp`"),
    ("spoons", "say which spoon: `tsp` or `tbsp`"),
    ("handful", "a handful is no fixed amount: weigh it"),
    ("bag", "a bag is no fixed amount: write what it weighs"),
    ("bags", "a bag is no fixed amount: write what they weigh"),
    (
        "ppm",
        "say of what: `mg/L` in water, or a percentage `% w/w`",
    ),
    ("deg", "say which degrees: `F` or `C`"),
    ("°", "say which degrees: `F` or `C`"),
    ("fl", "`fl` alone is no unit: write `fl oz`"),
    ("sq", "`sq` alone is no unit: write `sq ft` or `m2`"),
    ("square", "`square` alone is no unit: write `sq ft` or `m2`"),
    ("a", "write `A` or `acre` for acre"),
    (
        "year",
        "a rate is for one treatment; an amount per year is a limit of its own, as in `maximum: {year: 2 qt/A}`",
    ),
    (
        "yr",
        "a rate is for one treatment; an amount per year is a limit of its own, as in `maximum: {year: 2 qt/A}`",
    ),
    (
        "application",
        "a rate is for one treatment anyway: leave `per application` out",
    ),
    (
        "tank",
        "a tank is no fixed amount: write its volume, such as `per 4 gal`",
    ),
    (
        "tankful",
        "a tank is no fixed amount: write its volume, such as `per 4 gal`",
    ),
    ("lawn", "a lawn is no fixed area: write it in `sq ft`"),
];

/// Short forms that stand for a whole rate.
pub static RATE_WORDS: &[(&str, &str, &str)] = &[
    ("gpa", "gal", "A"),
    ("gpm", "gal", "min"),
    ("mph", "mi", "h"),
    ("kph", "km", "h"),
    ("kmh", "km", "h"),
    ("lpm", "L", "min"),
];

/// Why a word that looks like a unit is not taken.
#[must_use]
pub fn refusal(name: &str) -> Option<&'static str> {
    REFUSED
        .iter()
        .find(|(word, _)| *word == name)
        .map(|(_, reason)| *reason)
}
