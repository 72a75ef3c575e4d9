//! `ligule record` as it is typed: whole runs of the program.
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "tests")]
use icalendar::{Calendar, CalendarComponent, Component};
use std::collections::BTreeMap;
use std::io::Write;
use std::path::Path;
use std::process::{Command, Stdio};
use tempfile::TempDir;

const TODAY: &str = "2026-06-15";

/// One run: exit code, standard output, standard error.
fn run_with(dir: &Path, typed: &str, arguments: &[&str]) -> (i32, String, String) {
    let mut child = Command::new(env!("CARGO_BIN_EXE_ligule"))
        .args(arguments)
        .current_dir(dir)
        .env_clear()
        .env("TZ", "UTC")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    child
        .stdin
        .take()
        .unwrap()
        .write_all(typed.as_bytes())
        .unwrap();
    let out = child.wait_with_output().unwrap();
    (
        out.status.code().unwrap(),
        String::from_utf8(out.stdout).unwrap(),
        String::from_utf8(out.stderr).unwrap(),
    )
}

fn run(dir: &TempDir, arguments: &[&str]) -> (i32, String, String) {
    let mut all = vec!["record"];
    all.extend(arguments);
    if arguments[0] != "fields" {
        all.extend(["--today", TODAY]);
    }
    run_with(dir.path(), "", &all)
}

fn fine(dir: &TempDir, arguments: &[&str]) -> String {
    let (code, out, err) = run(dir, arguments);
    assert_eq!(code, 0, "{arguments:?}: {out}{err}");
    out
}

fn json(dir: &TempDir, arguments: &[&str]) -> serde_json::Value {
    let mut all = arguments.to_vec();
    all.extend(["--format", "json"]);
    serde_json::from_str(&fine(dir, &all)).unwrap()
}

fn folder() -> TempDir {
    tempfile::tempdir().unwrap()
}

/// Two treatments, an observation and a correction; weeds, grass and products are invented.
fn lived_in() -> TempDir {
    let dir = folder();
    fine(
        &dir,
        &[
            "add",
            "--date",
            "2026-04-02",
            "--lawn",
            "Front lawn",
            "--place",
            "Texas",
            "--turf",
            "tall fescue",
            "--weed",
            "dandelion",
            "--product",
            "broadleaf spray A",
            "--active",
            "triclopyr=0.5 lb/acre",
            "--area",
            "4000 sq ft",
            "--start",
            "07:30",
            "--set",
            "wind-speed=4 mph",
            "--remarks",
            "=2+3",
        ],
    );
    fine(
        &dir,
        &[
            "observe",
            "1",
            "--date",
            "2026-04-12",
            "--control",
            "60",
            "--injury",
            "5",
        ],
    );
    fine(
        &dir,
        &[
            "correct",
            "1",
            "--why",
            "read the scale wrongly",
            "--active",
            "triclopyr=0.75 lb/acre",
        ],
    );
    fine(
        &dir,
        &[
            "add",
            "--date",
            "2026-06-10",
            "--lawn",
            "front  LAWN",
            "--weed",
            "large-crabgrass",
            "--active",
            "quinclorac=0.75 lb/acre",
        ],
    );
    dir
}

#[test]
fn a_treatment_is_written_down_with_what_the_place_asks_for() {
    let dir = folder();
    let (code, out, err) = run(
        &dir,
        &[
            "add",
            "--date",
            "2026-06-14",
            "--place",
            "us-tx",
            "--weed",
            "dandelion",
            "--active",
            "triclopyr=0.5 lb/acre",
            "--start",
            "07:30",
        ],
    );
    assert_eq!(code, 0, "{err}");
    assert_eq!(err, "made a new record, lawn-record.db\n");
    assert!(
        out.starts_with(
            "written: entry 1 in lawn-record.db\n  2026-06-14 triclopyr 0.5 lb/acre on dandelion\n"
        ),
        "{out}"
    );
    assert!(out.contains("  - wind direction (--set wind-direction=...): check with the Texas Department of Agriculture\n"), "{out}");
    assert!(
        out.contains("  - product (as on label) (--product): check with"),
        "{out}"
    );
    assert!(!out.contains("time started"), "{out}");
    // Without a place no rule is known, and none is made up.
    let answer = json(
        &dir,
        &["add", "--date", "2026-06-14", "--active", "triclopyr"],
    );
    assert_eq!(answer["missing"], serde_json::json!([]));
    assert_eq!(answer["entry"]["id"], 2);
    assert!(
        answer["warnings"][0]
            .as_str()
            .unwrap()
            .contains("amount of triclopyr is not written down")
    );
    let answer = json(
        &dir,
        &[
            "add",
            "--date",
            "2026-06-14",
            "--active",
            "triclopyr=5 lb/1000 sq ft",
        ],
    );
    assert!(
        answer["warnings"][0]
            .as_str()
            .unwrap()
            .contains("is 217.8 lb/acre"),
        "5 times 43.56: {answer}"
    );
}

#[test]
fn slips_are_told_with_their_remedy_and_write_nothing() {
    let dir = folder();
    for (arguments, word) in [
        (vec!["add"], "--active ID=RATE"),
        (
            vec!["add", "--active", "tryclopyr=1 lb/acre"],
            "did you mean `triclopyr`?",
        ),
        (
            vec!["add", "--active", "triclopyr=1 pint/acre"],
            "such as 0.75 lb/acre",
        ),
        (
            vec!["add", "--active", "triclopyr", "--weed", "dandilion"],
            "did you mean `dandelion`?",
        ),
        (
            vec!["add", "--active", "triclopyr", "--set", "wind-sped=4"],
            "did you mean `wind-speed`?",
        ),
        (
            vec!["add", "--active", "triclopyr", "--date", "2026-06-16"],
            "lies in the future",
        ),
        (
            vec!["add", "--active", "triclopyr", "--date", "20260610"],
            "2026-05-10",
        ),
        (
            vec!["add", "--active", "triclopyr", "--area", "big"],
            "12.5 fl oz",
        ),
        (vec!["list"], "there is no record lawn-record.db"),
        (vec!["correct", "1", "--why", "x"], "there is no record"),
    ] {
        let (code, out, err) = run(&dir, &arguments);
        assert_eq!((code, out.as_str()), (2, ""), "{arguments:?}: {err}");
        assert!(err.contains(word), "{arguments:?}: {err}");
    }
    assert_eq!(
        std::fs::read_dir(dir.path()).unwrap().count(),
        0,
        "nothing was made"
    );
}

#[test]
fn the_list_shows_what_stands_and_all_on_request() {
    let dir = lived_in();
    assert_eq!(
        fine(&dir, &["list"]),
        "    3  2026-04-02 Front lawn: triclopyr 0.75 lb/acre on dandelion (replaces 1: read the scale wrongly)\n    2  2026-04-12 seen after entry 1, 60 % control, 5 % injury to the grass\n    4  2026-06-10 front  LAWN: quinclorac 0.75 lb/acre on large-crabgrass\n"
    );
    assert!(fine(&dir, &["list", "--all"]).contains("    1  2026-04-02 Front lawn: triclopyr 0.5 lb/acre on dandelion (no longer stands: see 3)\n"));
    assert_eq!(fine(&dir, &["list", "--year", "2025"]), "no entries\n");
    assert_eq!(
        json(&dir, &["list", "--from", "2026-05-01"])["entries"]
            .as_array()
            .unwrap()
            .len(),
        1
    );
    assert_eq!(
        json(&dir, &["list", "--lawn", "FRONT lawn"])["entries"]
            .as_array()
            .unwrap()
            .len(),
        3
    );
    assert_eq!(
        fine(&dir, &["verify"]),
        "whole: 4 entries, 3 of them stand\n"
    );
}

#[test]
fn an_entry_is_corrected_once_and_taken_back_for_good() {
    let dir = lived_in();
    let (code, _, err) = run(
        &dir,
        &[
            "correct",
            "1",
            "--why",
            "again",
            "--active",
            "triclopyr=1 lb/acre",
        ],
    );
    assert_eq!(code, 2);
    assert!(err.contains("correct entry 3 instead"), "{err}");
    let (code, _, err) = run(&dir, &["correct", "3", "--why", "nothing"]);
    assert_eq!(code, 2);
    assert!(err.contains("nothing in entry 3 would change"), "{err}");
    fine(
        &dir,
        &["correct", "2", "--why", "counted again", "--control", "70"],
    );
    fine(
        &dir,
        &["correct", "3", "--why", "another lawn", "--withdraw"],
    );
    let left = fine(&dir, &["list"]);
    assert!(
        !left.contains("triclopyr") && left.contains("70 % control"),
        "{left}"
    );
    assert_eq!(json(&dir, &["verify"])["findings"], serde_json::json!([]));
}

#[test]
fn what_is_seen_is_held_against_what_should_be_seen() {
    let dir = lived_in();
    let answer = json(
        &dir,
        &["observe", "3", "--date", "2026-04-30", "--control", "80"],
    );
    assert_eq!(answer["expected"][0]["progress"], "completing");
    let text = answer["expected"][0]["text"].as_str().unwrap();
    assert!(
        text.contains("day 28")
            && text.contains("the effect may be complete")
            && text.contains("twist"),
        "{text}"
    );
    let (code, _, err) = run(
        &dir,
        &["observe", "3", "--date", "2026-04-01", "--control", "80"],
    );
    assert_eq!(code, 2);
    assert!(err.contains("cannot be older than the treatment"), "{err}");
    let (code, _, err) = run(&dir, &["observe", "2", "--control", "80"]);
    assert_eq!(code, 2);
    assert!(err.contains("only a treatment can be followed up"), "{err}");
}

#[test]
fn limits_and_the_choice_take_the_record_into_account() {
    let dir = lived_in();
    let text = fine(&dir, &["limits"]);
    assert!(text.contains("quinclorac: last used 2026-06-10 (5 days ago)\n  this year 0.75 lb/acre; at most 1.5 lb/acre a year\n"), "{text}");
    assert!(text.contains("group 4: 2026: 2, 2025: 0"), "{text}");
    let choose = |more: &[&str]| {
        let mut all = vec![
            "choose",
            "--weed",
            "large-crabgrass",
            "--turf",
            "kentucky-bluegrass",
            "--month",
            "6",
            "--today",
            TODAY,
            "--format",
            "json",
        ];
        all.extend(more);
        let (_, out, err) = run_with(dir.path(), "", &all);
        (
            serde_json::from_str::<serde_json::Value>(&out)
                .unwrap_or_else(|e| panic!("{e}: {out}{err}")),
            err,
        )
    };
    let stopped = |choice: &serde_json::Value, reason: &str| {
        choice["excluded"]
            .as_array()
            .unwrap()
            .iter()
            .any(|e| e["reason"] == reason && e["actives"][0] == "quinclorac")
    };
    let (without, _) = choose(&[]);
    assert!(!stopped(&without, "interval-too-short"));
    let (with, err) = choose(&["--record", "lawn-record.db"]);
    assert!(stopped(&with, "interval-too-short"), "{err}");
    assert_eq!(err, "");
    let (code, _, err) = run_with(
        dir.path(),
        "",
        &[
            "choose",
            "--weed",
            "dandelion",
            "--turf",
            "tall-fescue",
            "--record",
            "lawn-record.db",
            "--lawn",
            "front law",
        ],
    );
    assert_eq!(code, 2);
    assert!(err.contains("did you mean `front-lawn`?"), "{err}");
    fine(
        &dir,
        &["add", "--lawn", "back", "--active", "mcpa=1 lb/acre"],
    );
    let (_, err) = choose(&["--record", "lawn-record.db"]);
    assert!(err.contains("2 lawns and none was named"), "{err}");
    let (seeding, _) = choose(&["--seed-on", "2026-06-20"]);
    assert!(stopped(&seeding, "seeding-planned"));
}

#[test]
fn exports_can_be_taken_in_elsewhere() {
    let dir = lived_in();
    fine(&dir, &["export", "--as", "csv", "--out", "r.csv"]);
    fine(&dir, &["export", "--as", "json", "--out", "r.json"]);
    let table = std::fs::read_to_string(dir.path().join("r.csv")).unwrap();
    assert!(
        table.contains(",'=2+3,"),
        "a formula is made harmless: {table}"
    );
    let (code, _, err) = run(&dir, &["export", "--as", "csv", "--out", "r.csv"]);
    assert_eq!(code, 2);
    assert!(err.contains("--force"), "{err}");
    let before = fine(&dir, &["export", "--as", "json"]);
    for file in ["r.csv", "r.json"] {
        let other = format!("from-{file}.db");
        assert_eq!(
            fine(&dir, &["import", file, "--record", &other]),
            "4 entries added, 0 were there already\n"
        );
        assert_eq!(
            fine(&dir, &["import", file, "--record", &other]),
            "0 entries added, 4 were there already\n"
        );
        assert_eq!(
            fine(&dir, &["export", "--as", "json", "--record", &other]),
            before
        );
    }
    fine(&dir, &["backup", "b.db"]);
    assert_eq!(
        fine(&dir, &["export", "--as", "json", "--record", "b.db"]),
        before
    );
    let (code, _, err) = run(&dir, &["backup", "b.db"]);
    assert_eq!(code, 2);
    assert!(err.contains("not written over"), "{err}");
    std::fs::write(
        dir.path().join("bad.csv"),
        "kind,date,active-common-name\napplication,2026-05-01,mcpa\napplication,2027-05-01,mcpa\n",
    )
    .unwrap();
    let (code, _, err) = run(&dir, &["import", "bad.csv", "--record", "new.db"]);
    assert_eq!(code, 2);
    assert!(
        err.contains("entry 2") && err.contains("future") && err.contains("Nothing was imported"),
        "{err}"
    );
}

#[test]
fn the_page_escapes_what_was_typed() {
    let dir = folder();
    fine(
        &dir,
        &[
            "add",
            "--lawn",
            "<script>alert(1)</script>",
            "--place",
            "us-tx",
            "--active",
            "triclopyr=0.5 lb/acre",
            "--remarks",
            "a \"b\" & 'c'",
        ],
    );
    let page = fine(&dir, &["export", "--as", "page"]);
    assert!(
        !page.contains("<script>") && page.contains("&lt;script&gt;"),
        "{page}"
    );
    assert!(page.contains("a &quot;b&quot; &amp; "), "{page}");
    assert!(
        page.contains("name of the applicator (check with the Texas Department of Agriculture"),
        "{page}"
    );
}

#[test]
fn the_questions_write_the_same_entry_as_the_flags() {
    let dir = folder();
    let typed = "2026-06-31\n2026-06-14\nFront\nTexass\nus-tx\ndandelion\n\nno such\ntriclopyr\nplenty\n0.5 lb/acre\n\nbroadleaf spray A\n\n\n\n4000 sq ft\nA. Person\ndone\n";
    let (code, out, err) = run_with(
        dir.path(),
        typed,
        &[
            "record", "add", "--ask", "--today", TODAY, "--format", "json",
        ],
    );
    assert_eq!(code, 0, "{out}{err}");
    let answer: serde_json::Value = serde_json::from_str(&out).unwrap();
    let details = &answer["entry"]["what"]["details"];
    assert_eq!(details["date"], "2026-06-14");
    assert_eq!(details["place"], "us-tx");
    assert_eq!(details["weeds"], serde_json::json!(["dandelion"]));
    assert_eq!(
        details["products"][0]["actives"],
        serde_json::json!([{"active": "triclopyr", "rate": "0.5 lb/acre"}])
    );
    assert_eq!(details["area"], "4000 sq ft");
    assert_eq!(
        details["items"]
            .as_object()
            .unwrap()
            .values()
            .next()
            .unwrap(),
        "A. Person"
    );
    assert!(
        err.contains("`2026-06-31` is no day") && err.contains("`plenty` is no rate"),
        "{err}"
    );
    // The end of input writes nothing.
    let (code, _, err) = run_with(
        dir.path(),
        "2026-06-14\nFront\n",
        &["record", "add", "--ask", "--today", TODAY],
    );
    assert_eq!(code, 1);
    assert!(err.contains("Nothing was written."), "{err}");
    assert_eq!(
        json(&dir, &["list"])["entries"].as_array().unwrap().len(),
        1
    );
}

/// Events by name, as an independent parser reads them.
fn events(text: &str) -> BTreeMap<String, icalendar::Event> {
    let calendar: Calendar = text.parse().unwrap();
    calendar
        .components
        .into_iter()
        .map(|c| match c {
            CalendarComponent::Event(event) => (event.get_uid().unwrap().to_owned(), event),
            other => panic!("{other:?}"),
        })
        .collect()
}

#[test]
fn the_calendar_keeps_its_names_when_a_treatment_is_corrected() {
    let dir = folder();
    fine(
        &dir,
        &[
            "add",
            "--date",
            "2026-04-02",
            "--lawn",
            "front",
            "--weed",
            "large-crabgrass",
            "--active",
            "prodiamine=0.5 lb/acre",
        ],
    );
    let first = events(&fine(&dir, &["export", "--as", "calendar"]));
    let starts = |all: &BTreeMap<String, icalendar::Event>, name: &str| -> String {
        let (_, event) = all
            .iter()
            .find(|(uid, _)| uid.contains(name))
            .unwrap_or_else(|| panic!("no {name}"));
        event.property_value("DTSTART").unwrap().to_owned()
    };
    assert_eq!(starts(&first, "-treat@"), "20260402");
    assert_eq!(starts(&first, "-water-in@"), "20260402");
    // The later end of the book's wait, in weeks.
    let book = ligule::knowledge::Knowledge::embedded().unwrap();
    let weeks = book.actives["prodiamine"]
        .seeding_wait_weeks
        .as_ref()
        .unwrap()
        .range[1]
        .0;
    assert!(
        (weeks - 28.0).abs() < 1e-9,
        "the book's wait has changed: reckon the day below anew"
    );
    // 28 weeks are 196 days: 28 are left of April, then 31 + 30 + 31 + 31 + 30 make 181, and 15 more of October.
    assert_eq!(starts(&first, "-seed@"), "20261015");
    assert!(
        first
            .keys()
            .any(|uid| uid.contains("-next-large-crabgrass-")),
        "{:?}",
        first.keys()
    );
    fine(
        &dir,
        &[
            "correct",
            "1",
            "--why",
            "a day later",
            "--date",
            "2026-04-03",
        ],
    );
    let second = events(&fine(&dir, &["export", "--as", "calendar"]));
    assert_eq!(
        first.keys().collect::<Vec<_>>(),
        second.keys().collect::<Vec<_>>(),
        "a second import moves the days"
    );
    assert_eq!(starts(&second, "-treat@"), "20260403");
    let sequence = |all: &BTreeMap<String, icalendar::Event>| {
        all.values()
            .map(|e| e.property_value("SEQUENCE").unwrap().to_owned())
            .collect::<Vec<_>>()
    };
    assert!(
        sequence(&first).iter().all(|s| s == "0") && sequence(&second).iter().all(|s| s == "1")
    );
    fine(&dir, &["correct", "2", "--why", "it rained", "--withdraw"]);
    let third = events(&fine(&dir, &["export", "--as", "calendar"]));
    assert_eq!(
        third.keys().collect::<Vec<_>>(),
        second.keys().collect::<Vec<_>>()
    );
    assert!(
        third
            .values()
            .all(|e| e.property_value("STATUS") == Some("CANCELLED")),
        "what was taken back is taken away"
    );
    // The same command gives the same bytes.
    assert_eq!(
        fine(&dir, &["export", "--as", "calendar"]),
        fine(&dir, &["export", "--as", "calendar"])
    );
}

#[test]
fn a_note_can_be_recorded() {
    let dir = folder();
    let note = r#"{"schema":"ligule/treatment/1","date":"2026-06-12","lawn":{"name":"front","area":"4000 sq ft","grasses":[{"id":"tall-fescue"}],"place":null},
        "plants":[{"weed":"dandelion"}],"chosen":{"actives":[{"id":"triclopyr"}]}}"#;
    std::fs::write(dir.path().join("treatment-note.json"), note).unwrap();
    fine(
        &dir,
        &[
            "add",
            "--note",
            "treatment-note.json",
            "--active",
            "triclopyr=0.5 lb/acre",
            "--product",
            "broadleaf spray A",
        ],
    );
    assert_eq!(
        fine(&dir, &["list"]),
        "    1  2026-06-12 front: triclopyr 0.5 lb/acre on dandelion\n"
    );
}

#[test]
fn the_items_are_listed_with_who_asks_for_them() {
    let dir = folder();
    let text = fine(&dir, &["fields", "--place", "us-tx"]);
    assert!(
        text.contains("* wind-speed               wind speed\n")
            && text.contains("  notice-given             notice given\n"),
        "{text}"
    );
    assert!(
        text.contains("check with the Texas Department of Agriculture"),
        "{text}"
    );
    assert!(fine(&dir, &["fields"]).contains("an unknown rule is not the same as none"));
}
