//! The program as a person meets it: what it prints, what it refuses, and its exit codes.
#![allow(
    clippy::unwrap_used,
    reason = "a test that cannot go on should stop where it is"
)]

use std::process::Command;

/// Runs `ligule measure …` and gives its exit code, output and talk.
fn run(arguments: &[&str]) -> (i32, String, String) {
    let output = Command::new(env!("CARGO_BIN_EXE_ligule"))
        .arg("measure")
        .args(arguments)
        .output()
        .unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    (
        output.status.code().unwrap(),
        text(output.stdout),
        text(output.stderr),
    )
}

#[test]
fn an_area_with_its_working() {
    let (code, out, talk) = run(&[
        "area",
        "80 ft x 60 ft",
        "triangle 20 ft x 10 ft",
        "--without",
        "40 x 30 ft",
    ]);
    assert_eq!(talk, "");
    assert_eq!(code, 0);
    assert_eq!(
        out,
        "3700 sq ft

Working:
  80 ft x 60 ft = 4800 sq ft
  20 ft x 10 ft / 2 = 100 sq ft
  together: 4800 sq ft + 100 sq ft = 4900 sq ft
  not treated: 40 ft x 30 ft = 1200 sq ft
  left: 4900 sq ft - 1200 sq ft = 3700 sq ft
  area to treat: 3700 sq ft
"
    );
}

#[test]
fn a_job_load_by_load_stays_at_or_below_the_rate() {
    let (code, out, _) = run(&[
        "mix",
        "--rate",
        "1.3 fl oz/1000 sq ft",
        "--area",
        "80 ft x 60 ft",
        "--volume",
        "2 gal/1000 sq ft",
        "--tank",
        "4 gal",
        "--tool",
        "syringe 1 mL",
    ]);
    assert_eq!(code, 0);
    assert_eq!(
        out,
        "product: 6.24 fl oz
spray: 9.6 gal
loads: 3
load 1 spray: 3.2 gal
load 1 product: 2.08 fl oz
load 2 spray: 3.2 gal
load 2 product: 2.08 fl oz
load 3 spray: 3.2 gal
load 3 product: 2.08 fl oz
measured total: 183 mL
load 1 measure: 61 mL
load 2 measure: 61 mL
load 3 measure: 61 mL

Working:
  80 ft x 60 ft = 4800 sq ft
  1.3 fl oz/1000 sq ft on 4800 sq ft = 6.24 fl oz
  2 gal/1000 sq ft on 4800 sq ft = 9.6 gal
  9.6 gal / 4 gal tank = 2.4 tanks, so 3 loads
  each load: 9.6 gal / 3 = 3.2 gal
  product: 6.24 fl oz / 3 = 2.08 fl oz
  load 1: 61.5129 mL on a syringe to 1 mL: 61 mL (down, to stay at or below the maximum)
  load 2: 61.5129 mL on a syringe to 1 mL: 61 mL (down, to stay at or below the maximum)
  load 3: 61.5129 mL on a syringe to 1 mL: 61 mL (down, to stay at or below the maximum)
  together: 183 mL of 184.539 mL reckoned
"
    );
}

#[test]
fn json_is_one_object_of_the_agreed_form() {
    let (code, out, talk) = run(&[
        "convert",
        "0.5-1 oz/1000 sq ft",
        "--to",
        "oz wt/A",
        "--format",
        "json",
    ]);
    assert_eq!((code, talk.as_str()), (0, ""));
    let answer: serde_json::Value = serde_json::from_str(&out).unwrap();
    assert_eq!(
        answer,
        serde_json::json!({
            "schema": "ligule/convert/1",
            "results": [
                {"name": "low", "value": "21.78", "unit": "oz wt/A"},
                {"name": "high", "value": "43.56", "unit": "oz wt/A"},
            ],
            "steps": ["0.5 to 1 oz/1000 sq ft = 21.78 to 43.56 oz wt/A"],
        })
    );
    let (_, out, _) = run(&["--format", "json", "area", "50 ft x 30 ft"]);
    let answer: serde_json::Value = serde_json::from_str(&out).unwrap();
    assert_eq!(
        answer,
        serde_json::json!({
            "schema": "ligule/area/1",
            "value": "1500",
            "unit": "sq ft",
            "steps": ["50 ft x 30 ft = 1500 sq ft"],
        })
    );
}

/// What is typed, and a piece of what is said.
const SLIPS: [(&[&str], &str); 16] = [
    (
        &["convert", "1.5 oz", "--to", "mL"],
        "`1.5 oz` is a weight; expected a volume",
    ),
    (
        &["convert", "12,5 oz", "--to", "g"],
        "a comma is no decimal point here (in `12,5 oz`, character 1)",
    ),
    (
        &["convert", "1/0", "--to", "g"],
        "nothing can be divided by nought",
    ),
    (
        &["convert", "-3 oz", "--to", "g"],
        "an amount cannot be below nought",
    ),
    (
        &["convert", "1e3 g", "--to", "oz"],
        "powers of ten are not taken",
    ),
    (
        &["convert", "5 galon", "--to", "L"],
        "did you mean `gallon`",
    ),
    (
        &["mix", "--rate", "1.5 oz/1000 sq ft", "--area", "1000 sq ft"],
        "an ounce may be a weight or a volume; expected `fl oz` for a volume or `oz wt` for a weight",
    ),
    (
        &[
            "mix",
            "--rate",
            "1.5 oz/1000 sq ft",
            "--area",
            "1000 sq ft",
            "--product",
            "liquid",
        ],
        "an ounce of a liquid may be a weight or a volume",
    ),
    (
        &["mix", "--rate", "1.5 fl oz/gal", "--area", "1000 sq ft"],
        "is an area; expected a volume",
    ),
    (
        &[
            "mix",
            "--rate",
            "65 fl oz/A",
            "--maximum",
            "1.3 fl oz/1000 sq ft",
            "--area",
            "1000 sq ft",
        ],
        "above the label's maximum 1.3 fl oz/1000 sq ft",
    ),
    (
        &[
            "mix",
            "--rate",
            "0.01 fl oz/1000 sq ft",
            "--area",
            "1000 sq ft",
            "--tool",
            "cup 1 fl oz",
        ],
        "too little for a measuring cup",
    ),
    (
        &[
            "mix",
            "--rate",
            "1 oz wt/1000 sq ft",
            "--area",
            "1000 sq ft",
            "--tool",
            "spoons",
        ],
        "is a weight",
    ),
    (
        &["area", "polygon 0,0 10,10 10,0 0,10 ft"],
        "the boundary crosses itself: side 1",
    ),
    (
        &["area", "20 ft x 10 ft", "--without", "20 ft x 10 ft"],
        "leaves 0 sq ft",
    ),
    (
        &["active", "1 lb a.e./A", "--strength", "4 lb a.i./gal"],
        "active ingredient and acid equivalent differ",
    ),
    (
        &["dilute", "0.25 %", "--spray", "3 gal"],
        "does not say of what",
    ),
];

/// Exit code 2, nothing on stdout, and a sentence that says what was read and what was expected.
#[test]
fn slips_are_refused_with_a_way_out() {
    for (arguments, says) in SLIPS {
        let (code, out, talk) = run(arguments);
        assert_eq!((code, out.as_str()), (2, ""), "{arguments:?}");
        assert!(talk.contains(says), "{arguments:?}: {talk}");
    }
}

#[test]
fn a_no_is_exit_code_one_with_the_answer_printed() {
    let no: [&[&str]; 3] = [
        &[
            "spreader",
            "--caught",
            "4 lb",
            "--width",
            "10 ft",
            "--length",
            "100 ft",
            "--rate",
            "3 lb/1000 sq ft",
        ],
        &["nozzles", "20 fl oz", "21 fl oz", "28 fl oz"],
        &["droplets", "medium", "--finest", "coarse"],
    ];
    for arguments in no {
        let (code, out, _) = run(arguments);
        assert_eq!(code, 1, "{arguments:?}");
        assert!(out.contains("Working:"), "{out}");
    }
    let (code, ..) = run(&[
        "spreader",
        "--caught",
        "3 lb",
        "--width",
        "10 ft",
        "--length",
        "100 ft",
        "--rate",
        "3 lb/1000 sq ft",
    ]);
    assert_eq!(code, 0);
}

#[test]
fn a_rate_in_plain_ounces_is_taken_for_a_dry_product() {
    let (code, out, _) = run(&[
        "mix",
        "--rate",
        "1.3 oz/1000 sq ft",
        "--product",
        "dry",
        "--area",
        "2000 sq ft",
        "--tool",
        "scale 0.1 g",
    ]);
    assert_eq!(code, 0);
    // 2.6 oz are 73.7088 g; 73.7 is the nearest tenth and below the rate.
    assert!(
        out.starts_with("measure: 73.7 g\nexact: 2.6 oz wt\n"),
        "{out}"
    );
}

#[test]
fn spoons_are_warned_of() {
    let (code, out, _) = run(&[
        "dilute",
        "0.5 % v/v",
        "--spray",
        "2 gal",
        "--tool",
        "spoons",
    ]);
    assert_eq!(code, 0);
    assert!(out.contains("2 tbsp + 1.75 tsp"), "{out}");
    assert!(
        out.contains("Mind: kitchen spoons are a last resort"),
        "{out}"
    );
}
