//! The program as people meet it: what is typed, what is printed, how it ends.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::cast_precision_loss,
    clippy::too_many_lines,
    reason = "tests"
)]
use serde_json::Value;
use std::io::Write;
use std::path::Path;
use std::process::{Command, Output, Stdio};

struct Run {
    out: String,
    err: String,
    code: Option<i32>,
}

fn ligule_in(dir: &Path, arguments: &[&str], typed: &str) -> Run {
    let mut child = Command::new(env!("CARGO_BIN_EXE_ligule"))
        .args(arguments)
        .current_dir(dir)
        .env_clear()
        .env("HOME", dir)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    // The program may end before it has read everything; that is no fault of the test.
    let _ = child
        .stdin
        .take()
        .expect("piped")
        .write_all(typed.as_bytes());
    let Output {
        status,
        stdout,
        stderr,
    } = child.wait_with_output().expect("the program ends");
    Run {
        out: String::from_utf8(stdout).expect("text"),
        err: String::from_utf8(stderr).expect("text"),
        code: status.code(),
    }
}

fn ligule(arguments: &[&str]) -> Run {
    let dir = tempfile::tempdir().expect("a folder");
    ligule_in(dir.path(), arguments, "")
}

fn json(arguments: &[&str]) -> Value {
    let run = ligule(arguments);
    assert!(
        run.code.is_some_and(|c| c < 2),
        "{arguments:?}: {}",
        run.err
    );
    serde_json::from_str(&run.out).unwrap_or_else(|e| panic!("{e}: {}", run.out))
}

/// Every wrong command line: exit code 2, the fault named, nothing on standard output.
#[test]
fn wrong_words_are_told_with_the_nearest_right_one() {
    let cases: [(&[&str], &str); 18] = [
        (
            &["choose", "--weed", "dandilion", "--turf", "tall-fescue"],
            "did you mean `dandelion`?",
        ),
        (
            &["choose", "--weed", "dandelion", "--turf", "tall-fesque"],
            "did you mean `tall-fescue`?",
        ),
        (
            &[
                "choose",
                "--weed",
                "dandelion",
                "--turf",
                "tall-fescue",
                "--turf-stage",
                "seedlingg",
            ],
            "did you mean `seedling`?",
        ),
        (
            &[
                "choose",
                "--weed",
                "dandelion",
                "--turf",
                "tall-fescue",
                "--near",
                "watr",
            ],
            "did you mean `near-water`?",
        ),
        (
            &[
                "choose",
                "--weed",
                "dandelion",
                "--turf",
                "tall-fescue",
                "--place",
                "us-tz",
            ],
            "no place called `us-tz`",
        ),
        (
            &[
                "choose",
                "--weed",
                "dandelion",
                "--turf",
                "tall-fescue",
                "--month",
                "13",
            ],
            "13",
        ),
        (
            &[
                "choose",
                "--weed",
                "dandelion",
                "--turf",
                "tall-fescue",
                "--air-temp",
                "84",
            ],
            "such as 72F or 22C",
        ),
        (
            &[
                "choose",
                "--weed",
                "dandelion",
                "--turf",
                "tall-fescue",
                "--air-temp",
                "840F",
            ],
            "no temperature",
        ),
        (
            &[
                "identify",
                "--trait",
                "flower_color=yellow",
                "--format",
                "json",
            ],
            "did you mean `flower_colour`?",
        ),
        (
            &[
                "identify",
                "--trait",
                "flower_colour=yelow",
                "--format",
                "json",
            ],
            "did you mean `yellow`?",
        ),
        (
            &[
                "identify",
                "--trait",
                "leaf_width_mm=wide",
                "--format",
                "json",
            ],
            "takes a measure in mm above 0",
        ),
        (
            &[
                "identify",
                "--trait",
                "leaf_width_mm=-3",
                "--format",
                "json",
            ],
            "takes a measure in mm above 0",
        ),
        (
            &[
                "identify",
                "--trait",
                "leaf_width_mm=1e3",
                "--format",
                "json",
            ],
            "takes a measure in mm above 0",
        ),
        (
            &["identify", "--trait", "yellow", "--format", "json"],
            "NAME=VALUE",
        ),
        (&["identify", "--month", "0", "--format", "json"], "0"),
        (
            &["identify", "--region", "midwst", "--format", "json"],
            "did you mean `midwest`?",
        ),
        (
            &[
                "identify",
                "--knowledge",
                "no-such-folder",
                "--format",
                "json",
            ],
            "no-such-folder",
        ),
        (
            &["knowledge", "show", "weed", "dandelyon"],
            "did you mean `dandelion`?",
        ),
    ];
    for (arguments, told) in cases {
        let run = ligule(arguments);
        assert_eq!(run.code, Some(2), "{arguments:?}: {}{}", run.out, run.err);
        assert!(run.err.contains(told), "{arguments:?}: {}", run.err);
        assert_eq!(run.out, "", "{arguments:?}");
    }
}

#[test]
fn identify_answers_in_the_agreed_shape() {
    let answer = json(&[
        "identify",
        "--trait",
        "stem_section=SQUARE",
        "--trait",
        "leaf_arrangement=\"opposite\"",
        "--trait",
        "leaf_margin=scalloped",
        "--trait",
        "smell_when_crushed=mint",
        "--unsure",
        "root",
        "--month",
        "5",
        "--turf",
        "tall-fescue",
        "--format",
        "json",
    ]);
    assert_eq!(answer["schema"], "ligule/identify/1");
    assert_eq!(answer["candidates"][0]["weed"], "ground-ivy");
    let listed: f64 = answer["candidates"]
        .as_array()
        .unwrap()
        .iter()
        .map(|c| c["probability"].as_f64().unwrap())
        .sum();
    let none = answer["none_of_these"].as_f64().unwrap();
    assert!(
        (listed + none - 1.0).abs() < 0.05,
        "chances sum to 1 but for the cut: {}",
        listed + none
    );
    assert!(
        answer["candidates"]
            .as_array()
            .unwrap()
            .windows(2)
            .all(|w| w[0]["probability"].as_f64() >= w[1]["probability"].as_f64())
    );
    assert!(answer["settled"]["why"].is_string() && answer["settled"]["treatment"].is_boolean());
    let next = &answer["next"];
    assert!(
        next.is_null()
            || (next["trait"] != "root"
                && next["answers"].as_array().is_some_and(|a| a.len() >= 2))
    );
}

#[test]
fn two_states_of_one_trait_mean_either_and_order_does_not_matter() {
    let one = json(&[
        "identify",
        "--trait",
        "flower_colour=white",
        "--trait",
        "flower_colour=pink",
        "--trait",
        "group=broadleaf",
        "--format",
        "json",
    ]);
    let two = json(&[
        "identify",
        "--trait",
        "group=broadleaf",
        "--trait",
        "flower_colour=pink",
        "--trait",
        "flower_colour=white",
        "--format",
        "json",
    ]);
    assert_eq!(one, two);
    let sure = json(&[
        "identify",
        "--trait",
        "flower_colour=white",
        "--trait",
        "group=broadleaf",
        "--format",
        "json",
    ]);
    let unsure = json(&[
        "identify",
        "--trait",
        "flower_colour=white",
        "--trait",
        "group=broadleaf",
        "--unsure",
        "sap",
        "--format",
        "json",
    ]);
    assert_eq!(
        sure["candidates"], unsure["candidates"],
        "not sure changes no belief"
    );
}

#[test]
fn choose_answers_in_the_agreed_shape() {
    let answer = json(&[
        "choose",
        "--weed",
        "white clover",
        "--weed",
        "ground-ivy",
        "--turf",
        "tall fescue",
        "--month",
        "5",
        "--near",
        "trees,garden",
        "--place",
        "us-oh",
        "--applicator",
        "homeowner",
        "--air-temp",
        "72F",
        "--format",
        "json",
    ]);
    assert_eq!(answer["schema"], "ligule/choose/1");
    let option = &answer["options"][0];
    assert!(["tolerant", "intermediate"].contains(&option["turf"]["rating"].as_str().unwrap()));
    assert_eq!(option["controls"].as_array().unwrap().len(), 2);
    for key in ["actives", "groups", "cautions", "why"] {
        assert!(option[key].is_array(), "{key}");
    }
    assert!(
        answer["excluded"]
            .as_array()
            .unwrap()
            .iter()
            .all(|e| e["reason"].is_string() && e["detail"].is_string())
    );
    assert!(
        answer["excluded"]
            .as_array()
            .unwrap()
            .iter()
            .any(|e| e["reason"] == "site" && e["actives"][0] == "dicamba"),
        "dicamba over tree roots"
    );
    assert!(
        answer["without_chemicals"]
            .as_array()
            .is_some_and(|a| !a.is_empty())
    );
    assert!(
        answer["cautions"]
            .as_array()
            .unwrap()
            .iter()
            .any(|c| c["id"] == "label-rules")
    );
    assert!(answer["leave_it"]["advised"].is_boolean());
}

#[test]
fn nothing_safe_is_said_plainly_and_ends_with_1() {
    let run = ligule(&[
        "choose",
        "--weed",
        "dandelion",
        "--turf",
        "tall-fescue",
        "--turf-stage",
        "stressed",
    ]);
    assert_eq!(run.code, Some(1));
    assert!(
        run.out
            .contains("Nothing in the book is proven safe and useful here."),
        "{}",
        run.out
    );
    assert!(
        run.out.contains("pulling or digging by hand"),
        "{}",
        run.out
    );
}

#[test]
fn questions_work_over_a_pipe() {
    let dir = tempfile::tempdir().expect("a folder");
    let run = ligule_in(
        dir.path(),
        &["identify", "--month", "5"],
        "?\nwhy\nbroadleaf\nback\nbrodleaf\n4\nn\n",
    );
    assert_eq!(run.code.map(|c| c < 2), Some(true), "{}", run.err);
    assert!(
        run.out.contains("Question 1:") && run.out.contains("Question 2:"),
        "{}",
        run.out
    );
    assert!(
        run.out.contains("Taken back.") && run.out.contains("Did you mean `broadleaf`?"),
        "{}",
        run.out
    );
    assert!(
        run.out.contains("questions depend on this one"),
        "{}",
        run.out
    );
    assert!(
        run.out.contains("So far: ") && run.out.contains("What it may be:"),
        "{}",
        run.out
    );
}

#[test]
fn a_reader_that_goes_away_is_no_fault() {
    let mut child = Command::new(env!("CARGO_BIN_EXE_ligule"))
        .args([
            "knowledge",
            "show",
            "active",
            "glyphosate",
            "--format",
            "json",
        ])
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    drop(child.stdout.take());
    let output = child.wait_with_output().expect("the program ends");
    assert_eq!(output.status.code(), Some(0));
    assert_eq!(String::from_utf8_lossy(&output.stderr), "");
}

#[test]
fn knowledge_lists_and_shows_in_the_agreed_shape() {
    let list = json(&["knowledge", "list", "turf", "--format", "json"]);
    assert_eq!(list["schema"], "ligule/list/1");
    assert!(
        list["ids"]
            .as_array()
            .unwrap()
            .contains(&Value::from("kentucky-bluegrass"))
    );
    let active = json(&["knowledge", "show", "active", "MCPP-P", "--format", "json"]);
    assert_eq!(active["id"], "mecoprop-p");
    let row = &active["turf"][0];
    for key in ["turf", "stage", "rating", "evidence"] {
        assert!(row[key].is_string(), "{key}: {row}");
    }
    assert!(row["conditions"].is_array() && row["sources"].is_array());
    let row = &active["controls"][0];
    for key in ["weed", "timing", "rating", "evidence"] {
        assert!(row[key].is_string(), "{key}: {row}");
    }
    for kind in [
        "weed",
        "turf",
        "active",
        "group",
        "place",
        "trait",
        "source",
        "stage",
        "situation",
    ] {
        let ids = json(&["knowledge", "list", kind, "--format", "json"]);
        let first = ids["ids"][0]
            .as_str()
            .unwrap_or_else(|| panic!("no {kind}"))
            .to_owned();
        let shown = json(&["knowledge", "show", kind, &first, "--format", "json"]);
        assert_eq!(shown["id"], Value::from(first.as_str()), "{kind}");
        assert_eq!(ligule(&["knowledge", "show", kind, &first]).code, Some(0));
    }
}

#[test]
fn check_counts_and_finds() {
    let fine = json(&["knowledge", "check", "--format", "json"]);
    assert_eq!(fine["schema"], "ligule/check/1");
    let notes = fine["findings"].as_array().expect("a list");
    assert!(!notes.is_empty() && notes.iter().all(|f| f["severity"] == "note"));
    for key in [
        "weeds",
        "turf",
        "actives",
        "traits",
        "tolerance",
        "control",
        "sources",
    ] {
        assert!(fine["counts"][key].as_u64().is_some_and(|n| n > 0), "{key}");
    }
    let dir = tempfile::tempdir().expect("a folder");
    std::fs::write(dir.path().join("traits.yaml"), "- id: [\n").expect("written");
    let run = ligule_in(
        dir.path(),
        &["knowledge", "check", ".", "--format", "json"],
        "",
    );
    assert_eq!(run.code, Some(1));
    let found: Value = serde_json::from_str(&run.out).expect("JSON");
    let finding = &found["findings"][0];
    assert!(
        finding["file"].as_str().unwrap().ends_with("traits.yaml")
            && finding["line"].is_u64()
            && finding["column"].is_u64(),
        "{finding}"
    );
}

#[test]
fn every_face_of_the_choice_answers() {
    let base = ["choose", "--turf", "kentucky-bluegrass", "--month", "4"];
    let with = |more: &[&str]| -> Vec<String> {
        base.iter().chain(more).map(|s| (*s).to_owned()).collect()
    };
    let run = |more: &[&str]| {
        let arguments = with(more);
        ligule(&arguments.iter().map(String::as_str).collect::<Vec<_>>())
    };
    for (more, part) in [
        (
            &[
                "--weed",
                "white-clover=20",
                "--use",
                "ordinary",
                "--without-chemicals",
            ][..],
            "How much is too much: the weeds cover 20 percent",
        ),
        (
            &["--weed", "white-clover", "--ask"],
            "How warm does the air get",
        ),
        (
            &["--weed", "white-clover", "--explain", "quinclorac"],
            "actives/quinclorac.yaml: controls, white-clover",
        ),
        (
            &["--weed", "white-clover", "--compare", "1", "2"],
            "the grass",
        ),
        (
            &[
                "--trait",
                "leaf_type=three leaflets",
                "--trait",
                "flower_colour=white",
            ],
            "chance that it controls the plant",
        ),
        (
            &["--weed", "large-crabgrass", "--weed-stage", "not-up"],
            "in time from February on",
        ),
        (
            &["--weed", "large-crabgrass", "--weed", "henbit"],
            "Over the year",
        ),
    ] {
        let run = run(more);
        assert_eq!(run.code, Some(0), "{more:?}: {}", run.err);
        assert!(run.out.contains(part), "{more:?}: {}", run.out);
    }
    for (more, part) in [
        (&["--weed", "white-clover=much"][..], "is no percent"),
        (&["--weed", "white-clover=120"], "give 0 to 100"),
        (
            &["--weed", "white-clover", "--weed-stage", "tall"],
            "not-up, young or grown",
        ),
        (
            &["--weed", "white-clover", "--compare", "1", "99"],
            "there is no option 99",
        ),
        (
            &["--weed", "white-clover", "--compare", "1", "msma"],
            "not on offer here",
        ),
        (
            &["--weed", "white-clover", "--explain", "quinclorak"],
            "did you mean `quinclorac`?",
        ),
        (
            &["--weed", "white-clover", "--weeks-since-seeding", "2"],
            "name another stage",
        ),
        (
            &["--weed", "white-clover", "--air-temp", "80F..60F"],
            "lower figure first",
        ),
        (
            &["--weed", "white-clover", "--near", "none,water"],
            "keep one",
        ),
        (
            &["--weed", "white-clover", "--use", "golf"],
            "is no use of a lawn",
        ),
        (&["--trait", "leaf_type"], "write NAME=VALUE"),
        (
            &["--weed", "white-clover=10", "--weed", "white-clover=20"],
            "given twice with different percents",
        ),
        (
            &["--weed", "white-clover", "--air-temp", "84"],
            "--air-temp 84: this is no temperature",
        ),
        (
            &["--weed", "white-clover", "--weeks-since-seeding", "-3"],
            "must be 0 or more",
        ),
        (
            &["--weed", "white-clover", "--turf-stage", "sleepy"],
            "does not know nothing is proven safe. Ask",
        ),
        (
            &["--weed", "white-clover", "--turf", "bluegras"],
            "did you mean",
        ),
    ] {
        let run = run(more);
        assert_eq!(run.code, Some(2), "{more:?}: {}", run.out);
        assert!(run.err.contains(part), "{more:?}: {}", run.err);
    }
}
