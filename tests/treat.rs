//! The whole job through the program: replayed, asked for, broken off, taken up again, and with every kind of bad input.
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "tests")]
use serde_json::Value;
use std::fs;
use std::io::Write;
use std::path::Path;
use std::process::{Command, Stdio};

struct Run {
    out: String,
    err: String,
    code: Option<i32>,
}

fn ligule(dir: &Path, arguments: &[&str], typed: &str) -> Run {
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
    let output = child.wait_with_output().expect("the program ends");
    Run {
        out: String::from_utf8(output.stdout).expect("text"),
        err: String::from_utf8(output.stderr).expect("text"),
        code: output.status.code(),
    }
}

fn folder() -> tempfile::TempDir {
    tempfile::tempdir().expect("a folder")
}

fn note(dir: &Path, ending: &str) -> String {
    fs::read_to_string(dir.join(format!("treatment-note.{ending}"))).expect("the note")
}

const VISIT: &str = "date: 2026-05-09\nlawn:\n  grass: tall-fescue\n  place: us-oh\n  applicator: homeowner\nplants:\n  - weed: white-clover\n";

#[test]
fn the_example_makes_a_note_in_every_form() {
    let dir = folder();
    let run = ligule(dir.path(), &["treat", "--demo"], "");
    assert_eq!(run.code, Some(0), "{}", run.err);
    for name in [
        "treatment-note.html",
        "treatment-note.txt",
        "treatment-note.json",
        "treatment-answers.yaml",
        "treatment-days.ics",
    ] {
        assert!(run.out.contains(name), "{}", run.out);
    }
    let json: Value = serde_json::from_str(&note(dir.path(), "json")).expect("JSON");
    assert_eq!(json["schema"], "ligule/treatment/1");
    assert_eq!(json["plants"][0]["weed"], "ground-ivy");
    assert_eq!(json["plants"][1]["weed"], "white-clover");
    assert_eq!(
        json["spray_day"]["reckoned"]["loads"][1]["parts"][0]["measure"]["value"],
        "14"
    );
    let (html, text) = (note(dir.path(), "html"), note(dir.path(), "txt"));
    for page in [&html, &text] {
        for said in [
            "round ivy",
            "hite clover",
            "tall fescue",
            "from memory",
            "1-800-222-1222",
            "outranks",
            "Check with",
            "clover spray A (invented)",
            "Load 2 of 2",
        ] {
            assert!(page.contains(said), "{said}");
        }
    }
    assert!(
        !html.contains("<script") && !html.contains("http-equiv") && !html.contains("src=\"http"),
        "nothing from outside"
    );
    // The answers that were written make the same note again.
    let again = folder();
    fs::copy(
        dir.path().join("treatment-answers.yaml"),
        again.path().join("a.yaml"),
    )
    .expect("copied");
    let run = ligule(again.path(), &["treat", "--answers", "a.yaml"], "");
    assert_eq!(run.code, Some(0), "{}", run.err);
    assert_eq!(note(again.path(), "html"), html);
    assert_eq!(note(again.path(), "json"), note(dir.path(), "json"));
}

#[test]
fn an_older_note_is_not_written_over_unasked() {
    let dir = folder();
    fs::write(dir.path().join("v.yaml"), VISIT).expect("written");
    fs::write(dir.path().join("treatment-note.txt"), "mine").expect("written");
    let run = ligule(dir.path(), &["treat", "--answers", "v.yaml"], "");
    assert_eq!(run.code, Some(2));
    assert!(
        run.err.contains("--force") && run.err.contains("treatment-note.txt"),
        "{}",
        run.err
    );
    assert_eq!(note(dir.path(), "txt"), "mine");
    assert!(
        !dir.path().join("treatment-note.html").exists(),
        "all or nothing"
    );
    let run = ligule(dir.path(), &["treat", "--answers", "v.yaml", "--force"], "");
    assert_eq!(run.code, Some(0), "{}", run.err);
    assert!(note(dir.path(), "txt").contains("white clover"));
    let left: Vec<_> = fs::read_dir(dir.path())
        .unwrap()
        .map(|e| e.unwrap().file_name())
        .collect();
    assert_eq!(left.len(), 6, "no leftovers: {left:?}");
}

#[test]
fn bad_answers_files_say_where_and_how_to_mend() {
    let cases = [
        ("", "holds no answers"),
        ("# nothing yet\n", "holds no answers"),
        ("lawn: {grass: tall-fescue}\n", "plants:"),
        ("plants: [{weed: white-clover}]\n", "grass: ID"),
        (
            "lawn: {gras: tall-fescue}\nplants: [{weed: white-clover}]\n",
            "did you mean grass?",
        ),
        (
            "lawn: {grass: tall-fescu}\nplants: [{weed: white-clover}]\n",
            "did you mean `tall-fescue`?",
        ),
        (
            "lawn: {grass: tall-fescue}\nplants: [{weed: white-clovr}]\n",
            "did you mean `white-clover`?",
        ),
        (
            "lawn: {grass: tall-fescue}\nplants: [{observed: {flower_colour: yelow}}]\n",
            "did you mean `yellow`?",
        ),
        (
            "lawn: {grass: tall-fescue}\nplants: [{observed: {leaf_width_mm: [3, 9]}}]\n",
            "leaf_width_mm",
        ),
        (
            "lawn: {grass: tall-fescue, air_temperature: warm}\nplants: [{weed: white-clover}]\n",
            "72F",
        ),
        (
            "lawn: {grass: tall-fescue}\nlawn: {grass: zoysia}\n",
            "stands here twice",
        ),
        (
            "date: 2026-13-01\nlawn: {grass: tall-fescue}\nplants: [{weed: white-clover}]\n",
            "2026-13-01",
        ),
        (
            "lawn: {grass: tall-fescue}\nplants: [{weed: white-clover}]\nchoose: atrazine\n",
            "not on offer",
        ),
        ("lawn: {grass: [tall-fescue\n", "v.yaml:"),
    ];
    for (text, told) in cases {
        let dir = folder();
        fs::write(dir.path().join("v.yaml"), text).expect("written");
        let run = ligule(dir.path(), &["treat", "--answers", "v.yaml"], "");
        assert_eq!(run.code, Some(2), "{text:?}: {}{}", run.out, run.err);
        assert!(run.err.contains(told), "{text:?}: {}", run.err);
        assert!(!dir.path().join("treatment-note.html").exists(), "{text:?}");
    }
}

#[test]
fn contradictory_traits_are_pointed_out_and_an_unknown_plant_gets_no_chemical() {
    let dir = folder();
    let visit = "date: 2026-05-09\nlawn: {grass: tall-fescue}\nplants:\n  - observed: {group: moss, flower_form: daisy-like head, leaf_width_mm: 200, sap: milky, stem_section: triangular, seedhead: tight globe, thorns_or_burs: \"yes\"}\n";
    fs::write(dir.path().join("v.yaml"), visit).expect("written");
    let run = ligule(dir.path(), &["treat", "--answers", "v.yaml"], "");
    assert_eq!(run.code, Some(0), "{}", run.err);
    let json: Value = serde_json::from_str(&note(dir.path(), "json")).expect("JSON");
    assert!(json["plants"][0]["weed"].is_null(), "{}", json["plants"][0]);
    assert!(json["chosen"].is_null());
    let text = note(dir.path(), "txt");
    assert!(text.contains("not known"), "{text}");
}

#[test]
fn folders_that_cannot_be_written_are_told_before_anything_is_asked() {
    let dir = folder();
    fs::write(dir.path().join("v.yaml"), VISIT).expect("written");
    fs::write(dir.path().join("file"), "").expect("written");
    let run = ligule(
        dir.path(),
        &["treat", "--answers", "v.yaml", "--out", "file/notes"],
        "",
    );
    assert_eq!(run.code, Some(2));
    assert!(run.err.contains("file/notes"), "{}", run.err);
    // A folder of the system that takes no files, whoever asks.
    let run = ligule(dir.path(), &["treat", "--out", "/proc/self"], "");
    assert_eq!(run.code, Some(2));
    assert!(
        run.err.contains("/proc/self")
            && run.err.contains("--out")
            && !run.out.contains("Which grass"),
        "{}{}",
        run.out,
        run.err
    );
    let run = ligule(dir.path(), &["treat", "--answers", "none.yaml"], "");
    assert_eq!(run.code, Some(2));
    assert!(run.err.contains("none.yaml"), "{}", run.err);
    let run = ligule(
        dir.path(),
        &["treat", "--answers", "v.yaml", "--today", "9 May"],
        "",
    );
    assert_eq!(run.code, Some(2));
    assert!(run.err.contains("2026-05-10"), "{}", run.err);
}

#[test]
fn the_questions_lead_to_the_note_over_a_pipe() {
    let dir = folder();
    // grass, stage, near, place, who, air, region, plant by name, no other, first option
    let typed =
        "tall fescue\nestablished\nnothing of these\nOhio\n1\n72F\nmidwest\nwhite clover\nn\n1\n";
    let run = ligule(dir.path(), &["treat", "--today", "2026-05-09"], typed);
    assert_eq!(run.code, Some(0), "{}{}", run.out, run.err);
    assert!(note(dir.path(), "txt").contains("white clover"));
    assert!(
        !dir.path()
            .join(".local/state/ligule/unfinished-visit.yaml")
            .exists(),
        "a finished visit is not kept as unfinished"
    );
}

#[test]
fn whatever_is_broken_off_can_be_taken_up_again() {
    let typed =
        "tall fescue\nestablished\nnothing of these\nOhio\n1\n72F\nmidwest\nwhite clover\nn\n1\n";
    let lines: Vec<&str> = typed.lines().collect();
    for stop in 1..lines.len() {
        let dir = folder();
        let (before, after) = lines.split_at(stop);
        // Whether there is another weed is asked anew: there may be one by now.
        let after: Vec<&str> = if stop == lines.len() - 1 {
            [&["n"][..], after].concat()
        } else {
            after.to_vec()
        };
        let run = ligule(
            dir.path(),
            &["treat", "--today", "2026-05-09"],
            &(before.join("\n") + "\n"),
        );
        assert_eq!(run.code, Some(1), "{stop}: {}{}", run.out, run.err);
        assert!(
            run.out.contains("ligule treat --resume"),
            "{stop}: {}",
            run.out
        );
        let run = ligule(
            dir.path(),
            &["treat", "--resume", "--today", "2026-05-09"],
            &(after.join("\n") + "\n"),
        );
        assert_eq!(run.code, Some(0), "{stop}: {}{}", run.out, run.err);
        assert!(note(dir.path(), "txt").contains("Ohio"), "{stop}");
    }
}

#[test]
fn an_interview_that_is_broken_off_keeps_its_answers() {
    let dir = folder();
    let typed = "tall fescue\nestablished\nnothing of these\nOhio\n1\n72F\nmidwest\n\nbroadleaf\n";
    let run = ligule(dir.path(), &["treat", "--today", "2026-05-09"], typed);
    assert_eq!(run.code, Some(1), "{}{}", run.out, run.err);
    let kept = fs::read_to_string(dir.path().join(".local/state/ligule/unfinished-visit.yaml"))
        .expect("kept");
    assert!(
        kept.contains("group: broadleaf") && kept.contains("tall-fescue"),
        "{kept}"
    );
    // Beginning anew sets the old visit aside and loses nothing.
    let run = ligule(dir.path(), &["treat", "--today", "2026-05-09"], "");
    assert_eq!(run.code, Some(1), "{}", run.err);
    let aside = fs::read_to_string(
        dir.path()
            .join(".local/state/ligule/unfinished-visit-1.yaml"),
    )
    .expect("set aside");
    assert_eq!(aside, kept);
}

#[test]
fn what_people_type_is_never_markup() {
    let dir = folder();
    let visit = format!("{VISIT}remarks: \"<script>alert(1)</script> & \\\"quoted\\\"\"\n")
        .replace(
            "  grass:",
            "  name: \"<b>back</b>\"\n  area: \"<i>2</i>\"\n  grass:",
        );
    fs::write(dir.path().join("v.yaml"), visit).expect("written");
    let run = ligule(dir.path(), &["treat", "--answers", "v.yaml"], "");
    assert_eq!(run.code, Some(0), "{}", run.err);
    let html = note(dir.path(), "html");
    assert!(!html.contains("<script") && !html.contains("<b>back") && !html.contains("<i>2"));
    assert!(html.contains("&lt;script&gt;"));
}

#[test]
fn a_treatment_that_was_written_down_counts_in_the_next_choice() {
    let dir = folder();
    let run = ligule(dir.path(), &["treat", "--demo"], "");
    assert_eq!(run.code, Some(0), "{}", run.err);
    let first: Value = serde_json::from_str(&note(dir.path(), "json")).expect("JSON");
    let used = first["chosen"]["actives"][0]["id"]
        .as_str()
        .or_else(|| first["chosen"]["actives"][0].as_str())
        .expect("an active")
        .to_owned();
    let rate = format!("{used}=0.5 lb/acre");
    let run = ligule(
        dir.path(),
        &[
            "record",
            "add",
            "--note",
            "treatment-note.json",
            "--active",
            &rate,
            "--today",
            "2026-05-09",
        ],
        "",
    );
    assert_eq!(run.code, Some(0), "{}", run.err);
    let again = [
        "treat",
        "--demo",
        "--force",
        "--record",
        "lawn-record.db",
        "--today",
        "2026-05-16",
    ];
    let run = ligule(dir.path(), &again, "");
    assert_eq!(run.code, Some(0), "{}", run.err);
    let second: Value = serde_json::from_str(&note(dir.path(), "json")).expect("JSON");
    assert_ne!(
        first["chosen"]["actives"], second["chosen"]["actives"],
        "a week is too soon for the same active"
    );
    assert!(note(dir.path(), "txt").contains("too soon after the last use here"));
}

fn weather(name: &str) -> String {
    format!("{}/tests/data/weather/{name}", env!("CARGO_MANIFEST_DIR"))
}

#[test]
fn a_forecast_and_the_weather_make_a_strip_and_a_curve() {
    let dir = folder();
    let visit = format!(
        "date: 2026-05-05\nforecast: {}\nweather: {}\nlawn: {{grass: tall-fescue, position: \"40, -83\"}}\nplants: [{{weed: large-crabgrass}}]\nchoose: quinclorac\n",
        weather("forecast.csv"),
        weather("spring.csv")
    );
    fs::write(dir.path().join("v.yaml"), &visit).expect("written");
    let run = ligule(dir.path(), &["treat", "--answers", "v.yaml"], "");
    assert_eq!(run.code, Some(0), "{}", run.err);
    let json: Value = serde_json::from_str(&note(dir.path(), "json")).expect("json");
    // The strip begins on the day of the visit: three of the four days of the forecast.
    assert_eq!(
        json["hours"]["hours"]["hours"].as_array().map(Vec::len),
        Some(72)
    );
    assert_eq!(json["season"]["curve"]["unit"], "F");
    let html = note(dir.path(), "html");
    assert!(html.contains("id=\"hours-title\"") && html.contains("id=\"curve-title\""));
    let text = note(dir.path(), "txt");
    for said in [
        "WHICH HOURS ARE FIT",
        "2026-05-05  ",
        "THE SEASON",
        "Degree days since 15 February",
    ] {
        assert!(text.contains(said), "{said}\n{text}");
    }
    // Each limit counts once among the statements, however many hours it touched.
    let limits = json["hours"]["limits"].as_array().expect("limits").len();
    let statements = json["rests"]["statements"].as_u64().expect("a count");
    assert!(limits > 1 && statements < 400, "{limits} {statements}");
    // Flags outrank the answers.
    let run = ligule(
        dir.path(),
        &[
            "treat",
            "--answers",
            "v.yaml",
            "--force",
            "--forecast",
            "none.csv",
        ],
        "",
    );
    assert_eq!(run.code, Some(2));
    assert!(
        run.err.contains("cannot read the forecast file none.csv"),
        "{}",
        run.err
    );
}

#[test]
fn weather_that_does_not_serve_is_told_with_the_remedy() {
    let dir = folder();
    let daily = weather("spring.csv");
    let hourly = weather("forecast.csv");
    for (forecast, date, position, said) in [
        (&daily, "2026-05-05", "40, -83", "one row a day"),
        (
            &hourly,
            "2026-06-01",
            "40, -83",
            "ends on 2026-05-07 and the visit is on 2026-06-01",
        ),
        (
            &hourly,
            "2026-05-05",
            "forty",
            "latitude,longitude in degrees",
        ),
        (
            &hourly,
            "2026-05-05",
            "95, 0",
            "latitude,longitude in degrees",
        ),
    ] {
        let visit = format!(
            "date: {date}\nforecast: {forecast}\nlawn: {{grass: tall-fescue, position: \"{position}\"}}\nplants: [{{weed: dandelion}}]\n"
        );
        fs::write(dir.path().join("v.yaml"), &visit).expect("written");
        let run = ligule(dir.path(), &["treat", "--answers", "v.yaml"], "");
        assert_eq!(run.code, Some(2), "{said}");
        assert!(run.err.contains(said), "{said}: {}", run.err);
        assert!(!dir.path().join("treatment-note.html").exists());
    }
}

#[test]
fn a_note_with_amounts_is_recorded_with_them() {
    let dir = folder();
    let run = ligule(dir.path(), &["treat", "--demo"], "");
    assert_eq!(run.code, Some(0), "{}", run.err);
    let run = ligule(
        dir.path(),
        &[
            "record",
            "add",
            "--note",
            "treatment-note.json",
            "--today",
            "2026-05-09",
        ],
        "",
    );
    assert_eq!(run.code, Some(0), "{}", run.err);
    assert!(
        !run.out.contains("not written down, so its yearly limit"),
        "{}",
        run.out
    );
    let run = ligule(dir.path(), &["record", "export", "--as", "json"], "");
    let json: Value = serde_json::from_str(&run.out).expect("json");
    let product = &json["entries"][0]["what"]["details"]["products"][0];
    assert_eq!(product["name"], "clover spray A (invented)");
    assert_eq!(product["total"], "28 mL");
    // By hand: 28 mL are 0.0073968 gal; times 4 lb a.e./gal are 0.029587 lb; over 2,400 of 43,560 sq ft are 0.537009 lb/acre,
    // rounded up to 0.53701.
    assert_eq!(product["actives"][0]["rate"], "0.53701 lb/acre");
    assert_eq!(product["rate"], "11.6667 mL/1000 sq ft");
}

#[test]
fn the_interview_offers_nothing_that_the_record_forbids() {
    let dir = folder();
    let add = [
        "record",
        "add",
        "--today",
        "2026-05-08",
        "--active",
        "triclopyr=0.5 lb/acre",
    ];
    let run = ligule(dir.path(), &add, "");
    assert_eq!(run.code, Some(0), "{}", run.err);
    let typed = "tall fescue\nestablished\nnothing of these\nOhio\n1\n72F\nmidwest\nwhite clover\nn\ntriclopyr\n1\n";
    let run = ligule(
        dir.path(),
        &[
            "treat",
            "--today",
            "2026-05-09",
            "--record",
            "lawn-record.db",
        ],
        typed,
    );
    assert_eq!(run.code, Some(0), "{}{}", run.out, run.err);
    assert!(
        run.out.contains("`triclopyr` is not in the list"),
        "{}",
        run.out
    );
    // A record that cannot be read is told before the first question.
    let run = ligule(dir.path(), &["treat", "--record", "none.db"], typed);
    assert_eq!(run.code, Some(2), "{}", run.out);
    assert!(!run.out.contains("Which grass"), "{}", run.out);
}

#[test]
fn rotation_remembers_the_record() {
    let dir = folder();
    let plan = |more: &[&str]| {
        let mut arguments = vec![
            "rotate",
            "plan",
            "--weed",
            "dandelion",
            "--turf",
            "tall-fescue",
            "--months",
            "5",
            "--from",
            "2026",
            "--years",
            "1",
            "--format",
            "json",
        ];
        arguments.extend(more);
        let run = ligule(dir.path(), &arguments, "");
        assert!(run.code == Some(0) || run.code == Some(1), "{}", run.err);
        run.out
    };
    // What would be taken on a lawn without a past was used twice.
    let fresh: Value = serde_json::from_str(&plan(&[])).expect("JSON");
    let active = fresh["results"][0]["actives"][0]
        .as_str()
        .expect("an active");
    for day in ["2025-05-08", "2025-10-02"] {
        let run = ligule(
            dir.path(),
            &[
                "record",
                "add",
                "--today",
                "2026-05-01",
                "--date",
                day,
                "--active",
                &format!("{active}=0.1 lb/acre"),
                "--lawn",
                "front",
            ],
            "",
        );
        assert_eq!(run.code, Some(0), "{}", run.err);
    }
    let record = ["--record", "lawn-record.db", "--today", "2026-05-01"];
    // The record says the same as the flags that repeat it.
    let used = ["2025-05", "2025-10"].map(|when| format!("{when}={active}"));
    let by_hand = plan(&["--used", &used[0], "--used", &used[1]]);
    assert_eq!(plan(&record), by_hand);
    assert_ne!(plan(&[]), by_hand, "the record matters here");
    let run = ligule(
        dir.path(),
        &[
            "rotate",
            "plan",
            "--weed",
            "dandelion",
            "--turf",
            "tall-fescue",
            "--months",
            "5",
            "--from",
            "2026",
            "--record",
            "lawn-record.db",
            "--lawn",
            "frnt",
        ],
        "",
    );
    assert_eq!(run.code, Some(2));
    assert!(run.err.contains("did you mean `front`"), "{}", run.err);
}
