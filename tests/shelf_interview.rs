//! The label asked for at the terminal, as whole-program transcripts: amounts for a person who has no file, faults told at
//! once, and nothing lost wherever the questions are broken off.
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "tests")]
use std::fs;
use std::io::Write;
use std::path::Path;
use std::process::{Command, Stdio};

fn treat(dir: &Path, arguments: &[&str], typed: &str) -> (Option<i32>, String) {
    let mut child = Command::new(env!("CARGO_BIN_EXE_ligule"))
        .arg("treat")
        .args(["--today", "2026-05-09"])
        .args(arguments)
        .current_dir(dir)
        .env_clear()
        .env("HOME", dir)
        .env("NO_COLOR", "1")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    // The program may end before it has read everything.
    let _ = child.stdin.take().unwrap().write_all(typed.as_bytes());
    let out = child.wait_with_output().unwrap();
    let told = String::from_utf8(out.stdout).unwrap() + &String::from_utf8(out.stderr).unwrap();
    (out.status.code(), told)
}

/// A file of the folder with every run of spaces and line ends as one space.
fn note(dir: &Path, name: &str) -> String {
    let text = fs::read_to_string(dir.join(name)).unwrap();
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Everything up to the choice: lawn, plant, option 3 (triclopyr).
const BEFORE: [&str; 10] = [
    "tall fescue",
    "established",
    "nothing of these",
    "Ohio",
    "1",
    "72F",
    "midwest",
    "white clover",
    "n",
    "triclopyr",
];

/// The label (every figure invented), the ground, the sprayer and the tool.
const LABEL: [&str; 25] = [
    "y",
    "clover spray B (invented)",
    "4 lb a.e./gal",
    "",
    "EC",
    "0.4-0.6 fl oz/1000 sq ft",
    "0.5 fl oz/gal",
    "0.75-2 gal/1000 sq ft",
    "0.6 fl oz/1000 sq ft",
    "1.2 fl oz/1000 sq ft",
    "2",
    "28",
    "none for 6 hours",
    "when the spray has dried",
    "none for 2 days before and after",
    "tall fescue, kentucky bluegrass",
    "white clover",
    "60 ft x 40 ft",
    "2 gal",
    "n",
    "44 fl oz",
    "4 ft",
    "85 ft",
    "syringe 0.5 mL",
    "",
];

fn lines(parts: &[&[&str]]) -> String {
    parts.concat().join("\n") + "\n"
}

#[test]
fn a_person_at_the_terminal_gets_amounts() {
    let dir = tempfile::tempdir().unwrap();
    let (code, told) = treat(dir.path(), &[], &lines(&[&BEFORE, &LABEL]));
    assert_eq!(code, Some(0), "{told}");
    // 44 fl oz over 4 ft x 85 ft are 1.011 gal/1000 sq ft; 2,400 sq ft take 2.42 gal in two loads of 1.21 gal;
    // 0.4 fl oz/1000 sq ft are 0.48 fl oz = 14.2 mL for each (worked by hand).
    let text = note(dir.path(), "treatment-note.txt");
    for said in [
        "Load 1 of 2: 1.21 gal for 1200 sq ft",
        "Add 14 mL of clover spray B (invented)",
        "when the spray has dried",
    ] {
        assert!(text.contains(said), "{said}\n{text}");
    }
    assert!(
        told.contains("clover spray B (invented): 28 mL in all."),
        "{told}"
    );
    // The answers made by questions are the answers of a file: replayed they give the same note.
    let again = tempfile::tempdir().unwrap();
    let file = dir.path().join("treatment-answers.yaml");
    let (code, told) = treat(again.path(), &["--answers", file.to_str().unwrap()], "");
    assert_eq!(code, Some(0), "{told}");
    assert_eq!(note(again.path(), "treatment-note.txt"), text);
}

#[test]
fn faults_are_told_at_once_with_their_remedy_and_the_question_comes_again() {
    let dir = tempfile::tempdir().unwrap();
    let mut label = LABEL.to_vec();
    let slips: [(&str, &str, &str); 8] = [
        ("4 lb a.e./gal", "41 %", "says"),
        (
            "0.4-0.6 fl oz/1000 sq ft",
            "0,4 fl oz/1000 sq ft",
            "a comma is no decimal point",
        ),
        ("0.75-2 gal/1000 sq ft", "2 gal", "the water"),
        ("2", "twice", "type a whole number such as 2"),
        (
            "tall fescue, kentucky bluegrass",
            "tal fescue",
            "did you mean `tall-fescue`",
        ),
        ("white clover", "wite clover", "did you mean `white-clover`"),
        ("60 ft x 40 ft", "60 ft by forty", "expected a number"),
        (
            "syringe 0.5 mL",
            "bucket",
            "`scale 0.1 g`, `syringe 0.5 mL`",
        ),
    ];
    for (right, slip, _) in slips {
        let at = label.iter().position(|l| *l == right).unwrap();
        label.insert(at, slip);
    }
    // `?` explains and asks again.
    let at = label.iter().position(|l| *l == "EC").unwrap();
    label.insert(at, "?");
    let (code, told) = treat(dir.path(), &[], &lines(&[&BEFORE, &label]));
    assert_eq!(code, Some(0), "{told}");
    for (_, slip, said) in slips {
        assert!(told.contains(said), "{slip}: {said}\n{told}");
    }
    assert!(told.contains("It decides the order of mixing"), "{told}");
    assert!(
        note(dir.path(), "treatment-note.txt").contains("Add 14 mL"),
        "{told}"
    );
}

#[test]
fn a_figure_far_off_is_told_with_the_label_and_can_be_typed_again() {
    let dir = tempfile::tempdir().unwrap();
    let mut label = LABEL.to_vec();
    let rate = label.iter().position(|l| l.starts_with("0.4-")).unwrap();
    let weeds = label.iter().position(|l| *l == "white clover").unwrap();
    // A pint where the label says fluid ounces, in the rate and in the limits alike: no figure alone looks odd.
    let again: Vec<&str> = label[rate..=weeds]
        .iter()
        .copied()
        .filter(|l| {
            !["2", "28"].contains(l)
                && !l.starts_with("none")
                && !l.starts_with("when")
                && !l.starts_with("0.75")
        })
        .collect();
    for at in [rate, rate + 3] {
        label[at] = "10-12 fl oz/1000 sq ft";
    }
    label[rate + 3] = "12 fl oz/1000 sq ft";
    label[rate + 4] = "24 fl oz/1000 sq ft";
    label[rate + 1] = "10 fl oz/gal";
    let mut typed = label[..=weeds].to_vec();
    typed.push("y");
    typed.extend(again);
    typed.extend(&label[weeds + 1..]);
    let (code, told) = treat(dir.path(), &[], &lines(&[&BEFORE, &typed]));
    assert_eq!(code, Some(0), "{told}");
    assert!(
        told.contains("Stop: ") && told.contains("No amount is given from this figure"),
        "{told}"
    );
    assert!(
        note(dir.path(), "treatment-note.txt").contains("Add 14 mL"),
        "{told}"
    );
}

#[test]
fn wherever_the_label_is_broken_off_it_can_be_taken_up_again() {
    let label: Vec<&str> = LABEL[..24].to_vec();
    // Broken off inside the label: from the first figure on, every line before the last.
    for stop in 2..label.len() - 1 {
        let dir = tempfile::tempdir().unwrap();
        let (before, _) = label.split_at(stop);
        let (code, told) = treat(dir.path(), &[], &lines(&[&BEFORE, before]));
        assert_eq!(code, Some(1), "{stop}: {told}");
        assert!(told.contains("ligule treat --resume"), "{stop}: {told}");
        let kept = note(dir.path(), ".local/state/ligule/unfinished-visit.yaml");
        for said in before.iter().skip(1).filter(|l| !["", "n"].contains(l)) {
            let first = said.split([',', ' ']).next().unwrap();
            assert!(
                kept.to_lowercase().contains(&first.to_lowercase()),
                "{stop}: {said} is lost\n{kept}"
            );
        }
        // What was skipped is asked once more; whatever is open is answered by a word that fits it.
        let rest: Vec<&str> = open(stop, &label);
        let (code, told) = treat(dir.path(), &["--resume"], &lines(&[&["n"], &rest]));
        assert_eq!(code, Some(0), "{stop}: {told}");
        assert!(
            note(dir.path(), "treatment-note.txt").contains("Add 14 mL"),
            "{stop}: {told}"
        );
    }
}

/// The answers still to be given after the first `stop`, with those skipped before that are asked again.
fn open<'a>(stop: usize, label: &[&'a str]) -> Vec<&'a str> {
    let again = match stop {
        // Other actives, as long as nothing behind them is answered.
        4 => vec![label[3]],
        // The output of the sprayer, as long as no trial has begun.
        20 => vec![label[19]],
        _ => Vec::new(),
    };
    [again, label[stop..].to_vec()].concat()
}

#[test]
fn without_a_product_the_note_is_made_all_the_same() {
    let dir = tempfile::tempdir().unwrap();
    let (code, told) = treat(dir.path(), &[], &lines(&[&BEFORE, &["n"]]));
    assert_eq!(code, Some(0), "{told}");
    assert!(!note(dir.path(), "treatment-note.txt").contains("SPRAY DAY"));
    // `done` in the middle of a label leaves the rest out; the note says what is missing instead of an amount.
    let dir = tempfile::tempdir().unwrap();
    let (code, told) = treat(
        dir.path(),
        &[],
        &lines(&[&BEFORE, &["y", "clover spray C", "done", "done"]]),
    );
    assert_eq!(code, Some(0), "{told}");
    assert!(note(dir.path(), "treatment-note.txt").contains("No amounts are given"));
}

#[test]
fn back_takes_the_last_figure_back() {
    let dir = tempfile::tempdir().unwrap();
    let mut label = LABEL.to_vec();
    let at = label.iter().position(|l| l.starts_with("0.75-")).unwrap();
    // The spot rate was typed wrongly; `back` from the water asks for it again.
    label[at - 1] = "0.9 fl oz/gal";
    label.splice(at..at, ["back", "0.5 fl oz/gal"]);
    let (code, told) = treat(dir.path(), &[], &lines(&[&BEFORE, &label]));
    assert_eq!(code, Some(0), "{told}");
    let answers = note(dir.path(), "treatment-answers.yaml");
    assert!(
        answers.contains("spot: 0.5 fl oz/gal") && !answers.contains("0.9 fl oz"),
        "{answers}"
    );
}
