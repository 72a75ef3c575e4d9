//! Help for the keeper of the knowledge: fresh files, cases, entries in plain words. As a user runs it.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::format_push_string,
    reason = "tests"
)]
use ligule::keeper::cases;
use ligule::keeper::fresh::{FRESH, check_id, text};
use ligule::knowledge::diagnostic::Severity;
use ligule::knowledge::folder::{TextFile, read_folder};
use ligule::knowledge::{Kind, Knowledge, Report};
use serde_json::Value;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).to_owned()
}

fn ligule(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_ligule"))
        .args(arguments)
        .env("NO_COLOR", "1")
        .output()
        .unwrap()
}

fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn err(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

/// Does what the head of a fresh file says: takes the # from every example, and fills in every key that has no value.
fn filled(fresh: &str) -> String {
    let is_key = |line: &str| {
        let key = line.split(':').next().unwrap_or_default();
        line.contains(':')
            && !key.is_empty()
            && key
                .chars()
                .all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_')
    };
    let mut text = String::new();
    for line in fresh.lines() {
        let indent: String = line.chars().take_while(|c| *c == ' ').collect();
        let rest = line.trim_start();
        let example = rest
            .strip_prefix('#')
            .filter(|r| is_key(r) || r.strip_prefix("  ").is_some_and(is_key));
        if let Some(example) = example {
            text.push_str(&format!("{indent}{example}\n"));
        } else if let Some((key, example)) = rest.split_once(": # ")
            && is_key(&format!("{key}:"))
        {
            text.push_str(&format!("{indent}{key}: {example}\n"));
        } else {
            text.push_str(&format!("{line}\n"));
        }
    }
    text
}

#[test]
fn a_fresh_file_filled_in_as_it_says_has_no_errors() {
    let folder = root().join("knowledge");
    let texts = read_folder(&folder).unwrap();
    let book = Knowledge::embedded().expect("sound");
    for kind in FRESH {
        let fresh = text(&book, kind, "probe-thing");
        let path = format!("{}/probe-thing.yaml", kind.folder);
        let with = |text: &str| {
            let mut all = texts.clone();
            all.push(TextFile {
                path: path.clone(),
                shown: path.clone(),
                text: Ok(text.to_owned()),
            });
            Report::of_texts(&all).found
        };
        // As it is, it says what must be filled in, and nothing else is wrong.
        let first: Vec<String> = with(&fresh)
            .iter()
            .filter(|f| f.spot.file == path)
            .map(ToString::to_string)
            .collect();
        assert_eq!(first.len(), 1, "{}: {first:#?}", kind.word);
        assert!(
            first[0].contains("empty-value")
                || first[0].contains("wrong-kind")
                || first[0].contains("missing"),
            "{}",
            first[0]
        );
        let whole = filled(&fresh);
        assert!(
            whole.lines().count() > 20 && !whole.contains(": #"),
            "{whole}"
        );
        let wrong: Vec<String> = with(&whole)
            .iter()
            .filter(|f| f.spot.file == path && f.severity == Severity::Error)
            .map(ToString::to_string)
            .collect();
        assert!(
            wrong.is_empty(),
            "{}: {}\n{whole}",
            kind.word,
            wrong.join("\n")
        );
        // Every key of the form is in it, and every trait with each of its states.
        if kind.kind == Kind::Weed {
            // Long lists of states go on in the next line of the comment.
            let fresh = fresh.replace("\n  #", "");
            for of in &book.traits {
                assert!(fresh.contains(&format!("{}:", of.id)), "{}", of.id);
                assert!(of.states.iter().all(|s| fresh.contains(&s.id)), "{}", of.id);
            }
        }
        let form = ligule::keeper::schema::form(kind.word).unwrap();
        for key in form["properties"].as_object().unwrap().keys() {
            assert!(
                fresh
                    .lines()
                    .any(|l| l.trim_start_matches('#').starts_with(&format!("{key}:"))),
                "{}: {key}",
                kind.word
            );
        }
    }
}

#[test]
fn a_file_is_begun_once_under_a_good_id() {
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path().join("k");
    std::fs::create_dir(&folder).unwrap();
    for name in ["traits.yaml", "sources.yaml", "book.yaml"] {
        std::fs::copy(
            root().join("tests/data/small-book").join(name),
            folder.join(name),
        )
        .unwrap();
    }
    let dir_word = folder.to_str().unwrap();
    let run =
        |words: &[&str]| ligule(&[&["knowledge", "new"], words, &["--dir", dir_word]].concat());
    let good = run(&["weed", "new-weed"]);
    assert!(good.status.success(), "{}", err(&good));
    let path = folder.join("weeds/new-weed.yaml");
    let written = std::fs::read_to_string(&path).unwrap();
    assert!(
        written.starts_with("# yaml-language-server: $schema=../schema/weed.schema.json\n"),
        "{written}"
    );
    // Another may be begun while the first is not filled in yet.
    assert!(run(&["weed", "other-weed"]).status.success());
    let again = run(&["weed", "new-weed"]);
    assert_eq!(again.status.code(), Some(2));
    assert!(
        err(&again).contains("nothing was written"),
        "{}",
        err(&again)
    );
    assert_eq!(std::fs::read_to_string(&path).unwrap(), written);
    for (words, says) in [
        (["weed", "New Weed"], "such as `new-weed`"),
        (["weed", "../../x"], "is no id"),
        (["weed", "a--b"], "such as `a-b`"),
        (["weed", ""], "is no id"),
        (["wed", "x"], "did you mean `weed`?"),
    ] {
        let bad = run(&words);
        assert_eq!(bad.status.code(), Some(2), "{words:?}");
        assert!(err(&bad).contains(says), "{words:?}: {}", err(&bad));
    }
    assert_eq!(std::fs::read_dir(folder.join("weeds")).unwrap().count(), 2);
    let book = Knowledge::embedded().expect("sound");
    assert!(check_id(&book, FRESH[2], "2,4-d").is_err_and(|e| e.to_string().contains("already")));
    assert!(check_id(&book, FRESH[2], "2,4-db").is_ok());
}

#[test]
fn the_cases_beside_the_knowledge_hold() {
    let book = Knowledge::embedded().expect("sound");
    let texts = cases::texts(&root().join("knowledge/cases")).unwrap();
    let outcomes = cases::run(&book, &texts).unwrap_or_else(|faults| panic!("{faults:#?}"));
    let failing: Vec<String> = outcomes
        .iter()
        .filter(|o| !o.holds)
        .map(|o| format!("{} {}: {}", o.spot, o.case, o.instead.join("; ")))
        .collect();
    assert!(failing.is_empty(), "{}", failing.join("\n"));
    assert!(outcomes.len() >= 60, "{}", outcomes.len());
    let read = outcomes
        .iter()
        .filter(|o| o.evidence == ligule::knowledge::form::source::Evidence::Published)
        .count();
    println!(
        "{} cases, {read} of them from published statements",
        outcomes.len()
    );
    assert!(read >= 25, "{read}");
}

#[test]
fn a_case_that_does_not_hold_says_where_and_what_instead() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("mine.yaml");
    std::fs::write(
        &path,
        "choice:\n  - case: a wish\n    weeds: dandelion\n    turf: tall-fescue\n    offers: glyphosate\n    never: all\n    why: to see it fail\n    source: memory\nidentification:\n  - case: another wish\n    observed: {sap: milky}\n    expect: white-clover\n    keeps: moss\n    why: to see it fail\n    source: memory\n",
    )
    .unwrap();
    let word = path.to_str().unwrap();
    let human = ligule(&["knowledge", "cases", word]);
    assert_eq!(human.status.code(), Some(1), "{}", err(&human));
    let told = out(&human);
    for piece in [
        "mine.yaml:2:",
        "glyphosate is not offered: turf",
        "is offered (and ",
        "mine.yaml:10:",
        "not among the first 1",
        "moss is lost from sight",
        "2 cases: 0 hold, 2 not",
    ] {
        assert!(told.contains(piece), "{piece:?} is missing in\n{told}");
    }
    let json: Value = serde_json::from_str(&out(&ligule(&[
        "knowledge",
        "cases",
        word,
        "--format",
        "json",
    ])))
    .unwrap();
    assert_eq!(
        (json["schema"].as_str(), json["counts"]["failing"].as_u64()),
        (Some("ligule/cases/1"), Some(2))
    );
    assert_eq!(json["cases"][1]["line"].as_u64(), Some(2));
    // A case that names what the book does not have, or asks for nothing, is a fault of the file.
    std::fs::write(
        &path,
        "choice:\n  - {case: x, weeds: dandelon, turf: tall-fescue, why: x, source: memory}\n",
    )
    .unwrap();
    let faulty = ligule(&["knowledge", "cases", word]);
    assert_eq!(faulty.status.code(), Some(2));
    assert!(
        err(&faulty).contains("did you mean dandelion?")
            && err(&faulty).contains("asks for nothing"),
        "{}",
        err(&faulty)
    );
    assert_eq!(ligule(&["knowledge", "cases"]).status.code(), Some(2));
}

#[test]
fn entries_are_shown_in_words_with_their_evidence() {
    for (kind, id, pieces) in [
        (
            "weed",
            "ground ivy",
            &[
                "Glechoma hederacea",
                "Look-alikes",
                "Without chemicals",
                "What controls it, by grass",
                "Before any treatment",
                "[m]",
            ][..],
        ),
        (
            "turf",
            "tall-fescue",
            &["How it stands each active", "cool-season"],
        ),
        (
            "active",
            "triclopyr",
            &["What it does to weeds", "Site of action: group 4"],
        ),
        (
            "group",
            "4",
            &["Active ingredients of this book", "triclopyr"],
        ),
        ("place", "us-oh", &["Check with", "Rules that were read"]),
        ("trait", "leaf_shape", &["kidney", "ground ivy"]),
        (
            "source",
            "purdue-ground-ivy",
            &["What rests on it", "ground ivy"],
        ),
        ("stage", "dormant", &["straw-coloured"]),
        ("situation", "near-water", &["Cautions"]),
    ] {
        let shown = ligule(&["knowledge", "show", kind, id]);
        assert!(shown.status.success(), "{kind}: {}", err(&shown));
        let text = out(&shown);
        for piece in pieces {
            assert!(
                text.contains(piece),
                "{kind} {id}: {piece:?} is missing in\n{text}"
            );
        }
        assert!(
            text.lines().all(|l| l.chars().count() <= 110),
            "{kind}: a line is too long"
        );
        let json: Value = serde_json::from_str(&out(&ligule(&[
            "knowledge",
            "show",
            kind,
            id,
            "--format",
            "json",
        ])))
        .unwrap();
        assert!(
            json["schema"]
                .as_str()
                .is_some_and(|s| s.starts_with("ligule/")),
            "{kind}"
        );
    }
    let slip = ligule(&["knowledge", "show", "weed", "grond ivy"]);
    assert_eq!(slip.status.code(), Some(2));
    assert!(err(&slip).contains("ground-ivy"), "{}", err(&slip));
}
