//! `ligule amounts` as a person meets it: the sheet, what stops it, what is asked about, and bad input.
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "tests")]

use serde_json::Value;
use std::fs;
use std::path::Path;
use std::process::Command;

struct Run {
    code: i32,
    out: String,
    err: String,
}

fn ligule(dir: &Path, arguments: &[&str]) -> Run {
    let output = Command::new(env!("CARGO_BIN_EXE_ligule"))
        .args(arguments)
        .current_dir(dir)
        .env_clear()
        .output()
        .expect("the program starts");
    Run {
        code: output.status.code().expect("an exit code"),
        out: String::from_utf8(output.stdout).expect("text"),
        err: String::from_utf8(output.stderr).expect("text"),
    }
}

/// A lawn file; the product and all its figures are invented.
const LAWN: &str = "\
lawn:
  grass: tall-fescue
  areas:
    - {name: front, shape: 60 ft x 40 ft, minus: 20 ft x 10 ft}
    - {name: back, shape: [80 ft x 30 ft, triangle 20 ft x 10 ft]}
  sprayer: {tank: 3 gal, output: 1 gal/1000 sq ft}
  measuring: [scale 0.1 g, syringe 0.5 mL]
  shelf:
    - name: sedge granule A
      actives: [{active: halosulfuron-methyl, content: 75 %}]
      formulation: WG
      rates: {broadcast: 0.9 g/1000 sq ft}
      water: 1-2 gal/1000 sq ft
      adjuvant: [{name: nonionic surfactant, rate: 0.25 % v/v}]
      rain_free: none for 4 hours
      grasses: tall-fescue
      weeds: annual-sedge
";

fn with(changes: &[(&str, &str)]) -> String {
    changes.iter().fold(LAWN.to_owned(), |text, (from, to)| {
        assert!(text.contains(from), "{from}");
        text.replace(from, to)
    })
}

fn amounts(text: &str, more: &[&str]) -> Run {
    let dir = tempfile::tempdir().expect("a folder");
    fs::write(dir.path().join("lawn.yaml"), text).expect("written");
    let mut arguments = vec!["amounts", "--answers", "lawn.yaml"];
    arguments.extend(more);
    ligule(dir.path(), &arguments)
}

fn json(text: &str, more: &[&str]) -> (i32, Value) {
    let mut arguments = vec!["--format", "json"];
    arguments.extend(more);
    let run = amounts(text, &arguments);
    let value =
        serde_json::from_str(&run.out).unwrap_or_else(|e| panic!("{e}: {}{}", run.out, run.err));
    (run.code, value)
}

fn figure(answer: &Value, name: &str) -> String {
    let row = answer["results"]
        .as_array()
        .expect("results")
        .iter()
        .find(|row| row["name"] == name)
        .unwrap_or_else(|| panic!("no {name} in {answer}"));
    format!(
        "{} {}",
        row["value"].as_str().unwrap(),
        row["unit"].as_str().unwrap()
    )
}

fn codes(answer: &Value) -> Vec<String> {
    answer["findings"]
        .as_array()
        .unwrap()
        .iter()
        .map(|f| {
            format!(
                "{} {}",
                f["weight"].as_str().unwrap(),
                f["code"].as_str().unwrap()
            )
        })
        .collect()
}

#[test]
fn the_sheet_in_the_order_of_doing() {
    let run = amounts(LAWN, &["--treat", "front"]);
    assert_eq!((run.code, run.err.as_str()), (0, ""));
    let expected = "\
sedge granule A: 1.9 g in all (rate 0.9 g/1000 sq ft)
2200 sq ft take 2.2 gal of spray in one load.

Before you mix
[ ] Use coarse droplets and low pressure for broadleaf sprays on lawns. [published]
[ ] Jar test first: a pint of the spray water, then 0.112 g of sedge granule A and 1.18 mL of nonionic surfactant, in the order of the loads. [memory]
[ ] Shake after each addition; shake when complete; stand 15 minutes; shake once more; observe. [published]
[ ] Compatible: cool to the touch, smooth. [published]
[ ] Shows physical compatibility only; not efficacy or turf safety. [memory]

The one load: 2.2 gal for 2200 sq ft
[ ] Half fill the tank: about 1.1 gal of clean water. Keep it moving. [published]
[ ] Add 1.9 g of sedge granule A (scale to 0.1 g; reckoned 1.98 g). Mix until it is even. [published]
[ ] Add 20.5 mL of nonionic surfactant (syringe to 0.5 mL; reckoned 0.704 fl oz (20.8 mL)). Mix until it is even. [published]
[ ] Fill up with water to 2.2 gal; keep it moving until it is sprayed out. [published]
[ ] Spray this load evenly on 2200 sq ft.

When it is sprayed
[ ] sedge granule A, rain and watering: none for 4 hours.

What is left
[ ] Spray left over: none of it on the same ground, which has the label's full amount. Only on other ground of a grass and against a weed that the label names.
[ ] Rinsate: spray on a site the label allows without exceeding the rate, or dilute the next compatible batch; never dump on ground or drain. [published]

Working:
  front: 60 ft x 40 ft = 2400 sq ft
  front: not treated: 20 ft x 10 ft = 200 sq ft
  front: left: 2400 sq ft - 200 sq ft = 2200 sq ft
  front: area to treat: 2200 sq ft
  sprayer: 1 gal/1000 sq ft as given
  spray: 1 gal/1000 sq ft on 2200 sq ft = 2.2 gal
  sedge granule A: 0.9 g/1000 sq ft on 2200 sq ft = 1.98 g
  nonionic surfactant: 2.2 gal = 281.6 fl oz; x 0.25 / 100 = 0.704 fl oz
  2.2 gal / 3 gal tank = 0.733333 tanks, so one load
  sedge granule A: 1.98 g / 1 = 1.98 g
  nonionic surfactant: 0.704 fl oz / 1 = 0.704 fl oz
  sedge granule A, each load: 1.98 g on a scale to 0.1 g: 1.9 g (down, to stay at or below the maximum)
  nonionic surfactant, each load: 20.8198 mL on a syringe to 0.5 mL: 20.5 mL (down, to stay at or below the maximum)
  jar test: sedge granule A: 1.98 g x 1 pt / 2.2 gal = 0.1125 g
  jar test: nonionic surfactant: 0.704 fl oz x 1 pt / 2.2 gal = 0.04 fl oz
  1.98 g is on the ground, 1.98 g is the most: no room for a second time over it

The label in your hand outranks all of this.
";
    assert_eq!(run.out, expected);
}

#[test]
fn all_areas_in_equal_loads_with_every_figure() {
    let (code, answer) = json(LAWN, &[]);
    assert_eq!(
        (code, answer["schema"].as_str()),
        (0, Some("ligule/amounts/1"))
    );
    // 2,200 + 2,500 sq ft at 1 gal and 0.9 g per 1,000 sq ft; 4.7 gal in a 3 gal tank are two loads of 2.35 gal.
    assert_eq!(figure(&answer, "area"), "4700 sq ft");
    assert_eq!(figure(&answer, "spray"), "4.7 gal");
    assert_eq!(figure(&answer, "loads"), "2 ");
    assert_eq!(figure(&answer, "sedge_granule_a"), "4.23 g");
    assert_eq!(figure(&answer, "load_1_spray"), "2.35 gal");
    assert_eq!(figure(&answer, "load_2_area"), "2350 sq ft");
    assert_eq!(figure(&answer, "load_2_sedge_granule_a_measure"), "2.1 g");
    assert_eq!(figure(&answer, "sedge_granule_a_measured"), "4.2 g");
    assert!(answer["steps"].as_array().unwrap().len() > 10);
    assert_eq!(codes(&answer), Vec::<String>::new());
}

#[test]
fn what_stops_the_sheet_gives_no_amount() {
    for (changes, code) in [
        (
            vec![("grasses: tall-fescue", "grasses: kentucky-bluegrass")],
            "stop grass-not-on-label",
        ),
        (
            vec![("      grasses: tall-fescue\n", "")],
            "stop grass-not-on-label",
        ),
        (
            vec![("halosulfuron-methyl", "halosulfuronn")],
            "stop active-not-known",
        ),
        (vec![("0.9 g/1000", "0.9 oz/1000")], "refused dose-refused"),
        (vec![("0.9 g/1000", "9 g/1000")], "refused dose-refused"),
        (vec![("water: 1-2", "water: 1.5-2")], "stop spray-volume"),
        (
            vec![("output: 1 gal", "output: 2.1 gal")],
            "stop spray-volume",
        ),
        (
            vec![("      rates: {broadcast: 0.9 g/1000 sq ft}\n", "")],
            "stop no-rate",
        ),
        (
            vec![("broadcast:", "spot:"), ("0.9 g/1000 sq ft", "1 g/gal")],
            "stop no-rate",
        ),
        (vec![("tank: 3 gal, ", "")], "stop tank-not-known"),
        (
            vec![(
                "      water: 1-2",
                "      maximum: {application: 0.8 g/1000 sq ft}\n      water: 1-2",
            )],
            "stop rate-over-maximum",
        ),
        (
            vec![(
                "      water: 1-2",
                "      maximum: {year: 0.8 g/1000 sq ft}\n      water: 1-2",
            )],
            "stop year-maximum",
        ),
        (
            vec![(
                "      water: 1-2",
                "      maximum: {year: 1 g/1000 sq ft}\n      used_this_year: 1 g\n      water: 1-2",
            )],
            "stop year-maximum",
        ),
        (vec![("scale 0.1 g", "scale 10 g")], "stop amount"),
    ] {
        let (exit, answer) = json(&with(&changes), &[]);
        assert_eq!(exit, 1, "{changes:?}");
        assert_eq!(
            codes(&answer).first().map(String::as_str),
            Some(code),
            "{changes:?}: {answer}"
        );
        for part in [
            "results", "loads", "products", "before", "after", "leftover", "buying",
        ] {
            assert_eq!(
                answer[part].as_array().map(Vec::len),
                Some(0),
                "{changes:?}: {part}"
            );
        }
    }
}

#[test]
fn a_slip_is_told_with_both_figures_and_what_it_may_be() {
    let (_, answer) = json(&with(&[("0.9 g/1000", "0.9 oz/1000")]), &[]);
    let finding = &answer["findings"][0];
    let text = finding["text"].as_str().unwrap();
    // 0.9 oz x 0.75 on 1,000 sq ft: 0.9 / 16 x 43.56 x 0.75 = 1.8377 lb on an acre; the book's top is 0.062.
    assert!(
        text.contains("1.84 lb a.i./A") && text.contains("0.031 to 0.062 lb a.i./A"),
        "{text}"
    );
    let slip = finding["slip"].as_str().unwrap();
    assert!(
        slip.contains("`0.9 g/1000 sq ft`") && slip.contains("`0.9 oz wt/A`"),
        "{slip}"
    );
    assert_eq!(finding["evidence"], "memory");
}

#[test]
fn twice_and_ten_times_the_range_are_the_bounds() {
    // The book's top for this active is 0.062 lb/A: in product of 75 % that is 0.062 / 0.75 lb/A.
    for (rate, code) in [
        ("0.0826 lb/A", None),
        ("0.1653 lb/A", None),
        ("0.1654 lb/A", Some("question dose-question")),
        ("0.8266 lb/A", Some("question dose-question")),
        ("0.8267 lb/A", Some("refused dose-refused")),
        // Half of the bottom, 0.031 / 0.75 / 2 = 0.020667.
        ("0.0207 lb/A", None),
        ("0.0206 lb/A", Some("question dose-question")),
        ("0.0001 lb/A", Some("question dose-question")),
    ] {
        let text = with(&[
            ("0.9 g/1000 sq ft", rate),
            ("scale 0.1 g, ", "scale 0.001 g, "),
        ]);
        let (exit, answer) = json(&text, &[]);
        assert_eq!(codes(&answer).first().map(String::as_str), code, "{rate}");
        assert_eq!(exit, i32::from(code.is_some()), "{rate}");
        let stopped = answer["results"].as_array().unwrap().is_empty();
        assert_eq!(
            stopped,
            code.is_some_and(|c| c.starts_with("refused")),
            "{rate}"
        );
    }
}

#[test]
fn questions_are_asked_and_amounts_given() {
    for (changes, more, code) in [
        (
            vec![(", output: 1 gal/1000 sq ft", "")],
            vec![],
            "question sprayer-not-calibrated",
        ),
        (
            vec![],
            vec!["--weed", "ground-ivy", "--product", "sedge granule A"],
            "question weed-not-on-label",
        ),
        (
            vec![("  grass: tall-fescue\n", "")],
            vec![],
            "question grass-not-said",
        ),
        (
            vec![("  areas:", "  area: 9000 sq ft\n  areas:")],
            vec![],
            "question areas-differ",
        ),
        (
            vec![(
                "      water: 1-2",
                "      maximum: {year: 1 g/1000 sq ft}\n      treatments_per_year: 2\n      water: 1-2",
            )],
            vec![],
            "question treatments-over-year",
        ),
    ] {
        let (exit, answer) = json(&with(&changes), &more);
        assert_eq!(exit, 1);
        assert_eq!(codes(&answer), [code]);
        assert!(!answer["loads"].as_array().unwrap().is_empty());
    }
}

#[test]
fn two_products_that_must_not_meet_stop_and_unknown_pairs_are_asked_about() {
    let second = |active: &str| {
        format!(
            "{LAWN}    - name: other B\n      actives: [{{active: {active}}}]\n      formulation: EC\n      rates: {{broadcast: 1 fl oz/1000 sq ft}}\n      grasses: tall-fescue\n"
        )
    };
    let both = ["--product", "sedge granule A", "--product", "other B"];
    let (_, answer) = json(&second("fenoxaprop-p-ethyl"), &both);
    assert!(
        codes(&answer).contains(&"stop do-not-mix".to_owned()),
        "{:?}",
        codes(&answer)
    );
    let (_, answer) = json(&second("prodiamine"), &both);
    assert!(
        codes(&answer).contains(&"question mix-not-known".to_owned()),
        "{:?}",
        codes(&answer)
    );
    // Dry before oil: the granule goes in first, whichever was named first.
    for named in [
        both,
        ["--product", "other B", "--product", "sedge granule A"],
    ] {
        let (_, answer) = json(&second("prodiamine"), &named);
        let ticks = answer["loads"][0]["ticks"].as_array().unwrap();
        let at = |name: &str| {
            ticks
                .iter()
                .position(|t| t["text"].as_str().unwrap().contains(name))
                .unwrap()
        };
        assert!(at("sedge granule A") < at("other B") && at("other B") < at("nonionic surfactant"));
    }
}

#[test]
fn what_is_spread_dry_has_no_tank() {
    let lawn = "lawn:\n  grass: tall-fescue\n  area: 3000 sq ft\n  spreader: {width: 5 ft, caught: 0.625 lb, length: 100 ft, tested_with: granule D}\n  measuring: scale 1 oz wt\n  shelf:\n    - name: granule D\n      actives: [{active: prodiamine, content: 0.5 %}]\n      formulation: GR\n      rates: {broadcast: 2.5-3 lb/1000 sq ft}\n      grasses: tall-fescue\n";
    let (code, answer) = json(lawn, &[]);
    assert_eq!((code, codes(&answer)), (0, vec![]));
    // 3 x 2.5 lb are 120 oz; 0.625 lb on 500 sq ft are 1.25 lb on 1,000 sq ft, just half the rate.
    assert_eq!(figure(&answer, "granule_d_measured"), "120 oz wt");
    assert!(
        answer["loads"]
            .to_string()
            .contains("0 % above half the rate"),
        "{answer}"
    );
    assert!(!answer["results"].to_string().contains("spray"));
    let (code, answer) = json(&lawn.replace("0.625 lb", "0.8 lb"), &[]);
    assert_eq!(
        (code, codes(&answer)),
        (1, vec!["question spreader-setting".to_owned()])
    );
    // Another product was tested: its figure says nothing here.
    let (code, answer) = json(
        &lawn.replace("tested_with: granule D", "tested_with: granule E"),
        &[],
    );
    assert_eq!(code, 0);
    assert!(
        answer["loads"]
            .to_string()
            .contains("Test the spreader with granule D itself")
    );
}

#[test]
fn single_spots_take_the_rate_for_spots() {
    let spots = with(&[
        (
            "{name: back, shape: [80 ft x 30 ft, triangle 20 ft x 10 ft]}",
            "{name: back, shape: spots 120 x 2 ft}",
        ),
        (
            "{broadcast: 0.9 g/1000 sq ft}",
            "{broadcast: 0.9 g/1000 sq ft, spot: 0.8-0.9 g/gal}",
        ),
        (
            "water: 1-2",
            "maximum: {application: 0.9 g/1000 sq ft}\n      water: 1-2",
        ),
        ("scale 0.1 g", "scale 0.01 g"),
        ("syringe 0.5 mL", "syringe 0.1 mL"),
    ]);
    let (code, answer) = json(&spots, &["--treat", "back"]);
    assert_eq!((code, codes(&answer)), (0, vec![]), "{answer}");
    // 120 circles of 1 ft radius: 376.991 sq ft, 0.376991 gal, at 0.8 g a gallon 0.301593 g.
    assert!(figure(&answer, "area").starts_with("376.99"));
    assert_eq!(figure(&answer, "sedge_granule_a_measured"), "0.3 g");
}

#[test]
fn bad_input_is_told_with_its_place() {
    for (changes, says) in [
        (
            vec![("formulation:", "formulatoin:")],
            vec!["lawn.yaml:11:7", "formulation"],
        ),
        (
            vec![(
                "rates: {broadcast: 0.9 g/1000 sq ft}",
                "rates:\n        broadcast: 12,5 g/A",
            )],
            vec!["lawn.yaml:13:20", "12.5"],
        ),
        (
            vec![("0.9 g/1000 sq ft", "1/0 g/A")],
            vec!["lawn.yaml:12:26", "nought"],
        ),
        (
            vec![("0.9 g/1000 sq ft", "-2 g/A")],
            vec!["lawn.yaml:12:26", "below nought"],
        ),
        (
            vec![("0.9 g/1000 sq ft", "1e3 g/A")],
            vec!["lawn.yaml:12:26", "powers of ten"],
        ),
        (
            vec![("0.9 g/1000 sq ft", "2")],
            vec!["lawn.yaml:12:26", "unit"],
        ),
        (
            vec![("60 ft x 40 ft", "\"polygon 0,0 60,40 60,0 0,40 ft\"")],
            vec!["front", "cross"],
        ),
        (vec![("60 ft x 40 ft", "sixty ft")], vec!["lawn.yaml:4:28"]),
        (
            vec![("tank: 3 gal", "tank: 3 lb")],
            vec!["lawn: sprayer: tank", "volume"],
        ),
        (
            vec![("0.9 g/1000 sq ft", "2 psi")],
            vec!["rates: broadcast", "pressure"],
        ),
        (
            vec![("0.9 g/1000 sq ft", "0.9 fl oz/1000 sq ft")],
            vec!["dry", "weight"],
        ),
        (vec![("formulation: WG", "formulation: wg")], vec!["`WG`"]),
        (vec![("formulation: WG", "formulation: QQ")], vec!["`QQ`"]),
        (vec![("content: 75 %", "content: 120 %")], vec!["100 %"]),
        (
            vec![("formulation: WG", "formulation: EC"), ("0.9 g", "0.9 oz")],
            vec!["pounds per gallon"],
        ),
        (
            vec![
                (
                    "{active: halosulfuron-methyl, content: 75 %}",
                    "{active: halosulfuron-methyl, content: 4 lb/gal}",
                ),
                ("WG", "EC"),
                ("0.9 g", "1.5 oz"),
            ],
            vec!["fl oz", "oz wt"],
        ),
        (vec![("name: back", "name: front")], vec!["two areas"]),
        (
            vec![("minus: 20 ft x 10 ft", "minus: 200 ft x 100 ft")],
            vec!["front"],
        ),
        (
            vec![(
                "output: 1 gal/1000 sq ft",
                "output: 1 gal/1000 sq ft, calibration: {caught: 40 fl oz, area: 300 sq ft}",
            )],
            vec!["both"],
        ),
    ] {
        let run = amounts(&with(&changes), &[]);
        assert_eq!(run.code, 2, "{changes:?}: {}{}", run.out, run.err);
        for words in says {
            assert!(run.err.contains(words), "{changes:?}: {words}: {}", run.err);
        }
        assert_eq!(run.out, "");
    }
    let run = amounts(LAWN, &["--treat", "frnt"]);
    assert!(
        run.code == 2 && run.err.contains("did you mean `front`"),
        "{}",
        run.err
    );
    let run = amounts(LAWN, &["--product", "sedge granul A"]);
    assert!(
        run.code == 2 && run.err.contains("did you mean `sedge granule A`"),
        "{}",
        run.err
    );
}

#[test]
fn flags_alone_do_as_well() {
    let dir = tempfile::tempdir().unwrap();
    let flags = [
        "amounts",
        "--product",
        "spray B",
        "--rate",
        "0.5 fl oz/1000 sq ft",
        "--active",
        "triclopyr=4 lb a.e./gal",
        "--formulation",
        "EC",
        "--water",
        "1-2 gal/1000 sq ft",
        "--area",
        "50 ft x 40 ft",
        "--tank",
        "2 gal",
        "--output",
        "1 gal/1000 sq ft",
        "--turf",
        "tall-fescue",
        "--label-grass",
        "tall-fescue",
        "--per-year",
        "1 qt/A/year",
        "--pack",
        "8 fl oz",
        "--price",
        "20",
        "--share",
        "6000 sq ft",
        "--format",
        "json",
    ];
    let run = ligule(dir.path(), &flags);
    assert_eq!(run.code, 0, "{}{}", run.out, run.err);
    let answer: Value = serde_json::from_str(&run.out).unwrap();
    assert_eq!(figure(&answer, "spray_b"), "1 fl oz");
    assert_eq!(figure(&answer, "cost_of_amount"), "2.5 ");
    // 2,000 and 6,000 sq ft share 20.
    assert_eq!(figure(&answer, "share_1"), "5 ");
    assert_eq!(figure(&answer, "share_2"), "15 ");
    assert!(answer["buying"].to_string().contains("licence"));
    let without = ligule(
        dir.path(),
        &["amounts", "--rate", "1 fl oz/A", "--area", "2 A"],
    );
    assert!(
        without.code == 2 && without.err.contains("--active"),
        "{}",
        without.err
    );
    let nothing = ligule(dir.path(), &["amounts"]);
    assert!(
        nothing.code == 2 && nothing.err.contains("shelf"),
        "{}",
        nothing.err
    );
}

#[test]
fn limits_a_year_and_named_areas_in_measure() {
    let dir = tempfile::tempdir().unwrap();
    fs::write(dir.path().join("lawn.yaml"), LAWN).unwrap();
    let value = |arguments: &[&str]| -> Value {
        let run = ligule(dir.path(), arguments);
        assert_eq!(run.code, 0, "{}", run.err);
        serde_json::from_str(&run.out).unwrap()
    };
    // Oklahoma State University - Oklahoma City prints 3.6 pt/A as 1.3 fl oz/1000 sq ft; a year changes nothing in it.
    let year = value(&[
        "measure",
        "convert",
        "3.6 pt/A/year",
        "--to",
        "fl oz/1000 sq ft",
        "--format",
        "json",
    ]);
    assert!(
        year["value"].as_str().unwrap().starts_with("1.32"),
        "{year}"
    );
    assert_eq!(year["unit"], "fl oz/1000 sq ft/year");
    let areas = value(&[
        "measure",
        "area",
        "--answers",
        "lawn.yaml",
        "--format",
        "json",
    ]);
    assert_eq!(figure(&areas, "area"), "4700 sq ft");
    assert_eq!(figure(&areas, "back"), "2500 sq ft");
    let back = value(&[
        "measure",
        "area",
        "back",
        "--answers",
        "lawn.yaml",
        "--format",
        "json",
    ]);
    assert_eq!(back["value"], "2500");
    let over = ligule(
        dir.path(),
        &[
            "measure",
            "mix",
            "--rate",
            "2 pt/A",
            "--area",
            "1 A",
            "--per-year",
            "2 qt/A/year",
            "--used",
            "3 pt",
        ],
    );
    assert!(
        over.code == 2 && over.err.contains("year's maximum"),
        "{}",
        over.err
    );
    let within = ligule(
        dir.path(),
        &[
            "measure",
            "mix",
            "--rate",
            "2 pt/A",
            "--area",
            "1 A",
            "--per-year",
            "2 qt/A/year",
            "--used",
            "2 pt",
        ],
    );
    assert_eq!(within.code, 0, "{}", within.err);
}
