//! The unit table. Every factor is exact: it follows from definitions printed in NIST SP 811 (2008)
//! Appendix B and NIST Handbook 44 Appendix C: inch = 25.4 mm, gallon = 231 cubic inches,
//! avoirdupois pound = 0.453 592 37 kg, standard gravity 9.806 65 m/s2, acre = 43 560 square feet (of
//! the international foot; the survey foot is retired), imperial gallon = 4.546 09 L.
//!
//! Factors take one unit to the base of its kind: metre, square metre, litre, gram, second, pascal,
//! kelvin, one, and one hundredth for a percentage.

use super::kind::Base;

/// One unit.
#[derive(Debug, PartialEq, Eq)]
pub struct UnitRow {
    /// How it is printed.
    pub symbol: &'static str,
    /// Other ways of writing it, in lower case and without full stops.
    pub names: &'static [&'static str],
    /// Its kind.
    pub base: Base,
    /// Numerator of the factor to the base unit.
    pub num: i128,
    /// Denominator of the factor to the base unit.
    pub den: i128,
    /// Is it a US customary unit? Those are written with thousands commas; metric ones may meet a
    /// decimal comma.
    pub us: bool,
}

const fn us(
    symbol: &'static str,
    names: &'static [&'static str],
    base: Base,
    num: i128,
    den: i128,
) -> UnitRow {
    UnitRow {
        symbol,
        names,
        base,
        num,
        den,
        us: true,
    }
}

const fn si(
    symbol: &'static str,
    names: &'static [&'static str],
    base: Base,
    num: i128,
    den: i128,
) -> UnitRow {
    UnitRow {
        symbol,
        names,
        base,
        num,
        den,
        us: false,
    }
}

use Base::{Area, Count, Length, Pressure, Share, Temperature, Time, Volume, Weight};

/// One US fluid ounce in litres is this over [`FL_OZ_DEN`]: 231 x 0.0254^3 x 1000 / 128 = 0.029 573 529 562 5.
const FL_OZ: i128 = 295_735_295_625;
const FL_OZ_DEN: i128 = 10_000_000_000_000;
/// One square foot in square metres is this over [`SQ_FT_DEN`]: 0.3048^2.
const SQ_FT: i128 = 9_290_304;
const SQ_FT_DEN: i128 = 100_000_000;
/// One avoirdupois pound in grams is this over [`LB_DEN`].
const LB: i128 = 45_359_237;
const LB_DEN: i128 = 100_000;

/// Every unit that is read and printed.
pub static UNITS: &[UnitRow] = &[
    us("in", &["inch", "inches", "\"", "″"], Length, 254, 10_000),
    us("ft", &["foot", "feet", "'", "′"], Length, 3048, 10_000),
    us("yd", &["yard", "yards"], Length, 9144, 10_000),
    us("mi", &["mile", "miles"], Length, 1_609_344, 1000),
    us("hand", &["hands"], Length, 4 * 254, 10_000),
    si(
        "mm",
        &["millimetre", "millimetres", "millimeter", "millimeters"],
        Length,
        1,
        1000,
    ),
    si(
        "cm",
        &["centimetre", "centimetres", "centimeter", "centimeters"],
        Length,
        1,
        100,
    ),
    si("m", &["metre", "metres", "meter", "meters"], Length, 1, 1),
    si(
        "km",
        &["kilometre", "kilometres", "kilometer", "kilometers"],
        Length,
        1000,
        1,
    ),
    us(
        "sq in",
        &["in2", "in²", "sqin", "square inch", "square inches"],
        Area,
        64_516,
        100_000_000,
    ),
    us(
        "sq ft",
        &[
            "ft2",
            "ft²",
            "sqft",
            "sq feet",
            "square foot",
            "square feet",
            "square ft",
            "ft sq",
        ],
        Area,
        SQ_FT,
        SQ_FT_DEN,
    ),
    us(
        "sq yd",
        &["yd2", "yd²", "sqyd", "square yard", "square yards"],
        Area,
        9 * SQ_FT,
        SQ_FT_DEN,
    ),
    us(
        "A",
        &["ac", "acre", "acres"],
        Area,
        43_560 * SQ_FT,
        SQ_FT_DEN,
    ),
    si(
        "cm2",
        &["cm²", "sq cm", "square centimetres", "square centimeters"],
        Area,
        1,
        10_000,
    ),
    si(
        "m2",
        &[
            "m²",
            "sq m",
            "sqm",
            "square metre",
            "square metres",
            "square meter",
            "square meters",
        ],
        Area,
        1,
        1,
    ),
    si("ha", &["hectare", "hectares"], Area, 10_000, 1),
    us(
        "fl oz",
        &["floz", "fluid ounce", "fluid ounces", "fluid oz", "oz fl"],
        Volume,
        FL_OZ,
        FL_OZ_DEN,
    ),
    us(
        "tsp",
        &["teaspoon", "teaspoons", "tsps"],
        Volume,
        FL_OZ,
        6 * FL_OZ_DEN,
    ),
    us(
        "tbsp",
        &["tablespoon", "tablespoons", "tbsps", "tbs", "tbl"],
        Volume,
        FL_OZ,
        2 * FL_OZ_DEN,
    ),
    us("cup", &["cups"], Volume, 8 * FL_OZ, FL_OZ_DEN),
    us(
        "pt",
        &["pint", "pints", "pts"],
        Volume,
        16 * FL_OZ,
        FL_OZ_DEN,
    ),
    us(
        "qt",
        &["quart", "quarts", "qts"],
        Volume,
        32 * FL_OZ,
        FL_OZ_DEN,
    ),
    us(
        "gal",
        &["gallon", "gallons", "gals", "us gal"],
        Volume,
        128 * FL_OZ,
        FL_OZ_DEN,
    ),
    us(
        "cu in",
        &["in3", "in³", "cubic inch", "cubic inches"],
        Volume,
        16_387_064,
        1_000_000_000,
    ),
    us(
        "cu ft",
        &["ft3", "ft³", "cubic foot", "cubic feet"],
        Volume,
        1728 * 16_387_064,
        1_000_000_000,
    ),
    us(
        "imp gal",
        &["imperial gallon", "imperial gallons"],
        Volume,
        454_609,
        100_000,
    ),
    us(
        "imp pt",
        &["imperial pint", "imperial pints"],
        Volume,
        454_609,
        800_000,
    ),
    us(
        "imp fl oz",
        &["imperial fluid ounce", "imperial fluid ounces"],
        Volume,
        454_609,
        16_000_000,
    ),
    si(
        "mL",
        &[
            "ml",
            "millilitre",
            "millilitres",
            "milliliter",
            "milliliters",
            "cc",
            "cm3",
            "cm³",
        ],
        Volume,
        1,
        1000,
    ),
    si(
        "L",
        &["l", "litre", "litres", "liter", "liters"],
        Volume,
        1,
        1,
    ),
    si(
        "m3",
        &[
            "m³",
            "cubic metre",
            "cubic metres",
            "cubic meter",
            "cubic meters",
        ],
        Volume,
        1000,
        1,
    ),
    us(BARE_OUNCE, &["ounce", "ounces"], Weight, LB, 16 * LB_DEN),
    us(
        "oz wt",
        &[
            "wt oz",
            "oz av",
            "oz avdp",
            "oz weight",
            "oz by weight",
            "oz dry wt",
            "dry oz",
            "dry ounce",
            "dry ounces",
        ],
        Weight,
        LB,
        16 * LB_DEN,
    ),
    us("lb", &["lbs", "pound", "pounds"], Weight, LB, LB_DEN),
    us("short ton", &["short tons"], Weight, 2000 * LB, LB_DEN),
    si("mg", &["milligram", "milligrams"], Weight, 1, 1000),
    si("g", &["gram", "grams", "gm", "gms"], Weight, 1, 1),
    si("kg", &["kilogram", "kilograms"], Weight, 1000, 1),
    si(
        "tonne",
        &["tonnes", "metric ton", "metric tons"],
        Weight,
        1_000_000,
        1,
    ),
    si("s", &["sec", "secs", "second", "seconds"], Time, 1, 1),
    si("min", &["mins", "minute", "minutes"], Time, 60, 1),
    si("h", &["hr", "hrs", "hour", "hours"], Time, 3600, 1),
    si("d", &["day", "days"], Time, 86_400, 1),
    // 1 lbf = 0.453 592 37 kg x 9.806 65 m/s2, over 0.0254^2 m2
    us("psi", &[], Pressure, 45_359_237 * 980_665, 100_000 * 64_516),
    si("Pa", &["pascal", "pascals"], Pressure, 1, 1),
    si("kPa", &["kilopascal", "kilopascals"], Pressure, 1000, 1),
    si("bar", &["bars"], Pressure, 100_000, 1),
    us(
        "F",
        &[
            "°f",
            "° f",
            "deg f",
            "degf",
            "degrees f",
            "degrees fahrenheit",
            "fahrenheit",
        ],
        Temperature,
        5,
        9,
    ),
    si(
        "C",
        &[
            "°c",
            "° c",
            "deg c",
            "degc",
            "degrees c",
            "degrees celsius",
            "celsius",
        ],
        Temperature,
        1,
        1,
    ),
    si("each", &["item", "items"], Count, 1, 1),
    si("plant", &["plants"], Count, 1, 1),
    si("spot", &["spots"], Count, 1, 1),
    si("tree", &["trees"], Count, 1, 1),
    si("nozzle", &["nozzles"], Count, 1, 1),
    si("%", &["percent", "per cent", "pct"], Share, 1, 100),
];

/// The ounce that says neither weight nor volume. It is a weight in the table, and is refused wherever
/// the thing measured may be a liquid.
pub const BARE_OUNCE: &str = "oz";

/// What must be added to a temperature before its factor gives kelvin: 459.67 for F, 273.15 for C.
#[must_use]
pub fn zero_offset(symbol: &str) -> (i128, i128) {
    match symbol {
        "F" => (45_967, 100),
        "C" => (27_315, 100),
        _ => (0, 1),
    }
}
