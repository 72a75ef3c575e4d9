//! Books that are about other things than plants, and books that lack a part: nothing of lawns is said where there is none.
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "tests")]
use ligule::key::book::What;
use ligule::knowledge::Knowledge;
use ligule::knowledge::sketches::Sketches;
use ligule::paper::{Carried, For, page};
use std::fs;
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

fn data(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/data")
        .join(name)
}

/// A copy of a book without its list of contents, in which one file was changed.
fn changed(book: &str, file: &str, with: impl Fn(&str) -> String) -> Knowledge {
    let dir = tempfile::tempdir().unwrap();
    copy(&data(book), dir.path());
    fs::remove_file(dir.path().join("contents.yaml")).unwrap();
    let text = fs::read_to_string(dir.path().join(file)).unwrap();
    fs::write(dir.path().join(file), with(&text)).unwrap();
    Knowledge::from_folder(dir.path()).unwrap()
}

fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap() {
        let entry = entry.unwrap();
        let target = to.join(entry.file_name());
        if entry.file_type().unwrap().is_dir() {
            copy(&entry.path(), &target);
        } else {
            fs::copy(entry.path(), target).unwrap();
        }
    }
}

struct Run {
    out: String,
    err: String,
    code: i32,
}

/// Runs the program over a book, with what is typed and with variables of the environment.
fn run(book: &Path, line: &str, typed: &[u8], variables: &[(&str, &str)]) -> Run {
    let home = tempfile::tempdir().unwrap();
    let mut child = Command::new(env!("CARGO_BIN_EXE_ligule"))
        .args(line.split(' '))
        .current_dir(home.path())
        .env_clear()
        .env("HOME", home.path())
        .env("LIGULE_KNOWLEDGE", book)
        .envs(variables.iter().copied())
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    // The program may end before it has read everything.
    let _ = child.stdin.take().unwrap().write_all(typed);
    let ended = child.wait_with_output().unwrap();
    Run {
        out: String::from_utf8(ended.stdout).unwrap(),
        err: String::from_utf8(ended.stderr).unwrap(),
        code: ended.status.code().unwrap(),
    }
}

fn coin_run(line: &str, typed: &[u8]) -> Run {
    run(&data("coin-book"), line, typed, &[])
}

fn small_run(line: &str, typed: &[u8]) -> Run {
    run(&data("small-book"), line, typed, &[])
}

/// The words of a page without its marks.
fn words(html: &str) -> String {
    let body = html.split_once("<main>").unwrap().1;
    body.split('<')
        .filter_map(|part| part.split_once('>'))
        .map(|(_, text)| text)
        .collect::<Vec<_>>()
        .join(" ")
}

fn printed(book: &Knowledge) -> String {
    let drawings = Sketches::default();
    let (key, _) = Carried::of(book, What::Weeds, &For::default(), &drawings);
    words(&page::html(book, &key, &drawings).unwrap())
}

#[test]
fn a_key_of_coins_speaks_of_coins_in_every_form() {
    let html = coin_run("key --format html", b"");
    assert_eq!((html.code, html.err.as_str()), (0, ""));
    let told = words(&html.out);
    assert!(
        told.contains("Which coin is this?") && told.contains("All 4 coins by name"),
        "{told}"
    );
    let text = coin_run("key", b"").out;
    let measured = coin_run("key --measure", b"").out;
    assert!(measured.starts_with("4 coins,"), "{measured}");
    for told in [told, text, measured] {
        for other in [
            "plant", "weed", "grass", "chemical", "treat", "label of", "Drawings",
        ] {
            assert!(!told.contains(other), "{other}: {told}");
        }
    }
}

#[test]
fn what_a_book_without_treatments_advises_is_told_without_a_word_on_treatments() {
    let book = changed("coin-book", "weeds/hill-penny.yaml", |text| {
        format!(
            "{text}without_chemicals:\n  cultural:\n    - {{text: Keep it dry., source: catalogue}}\n"
        )
    });
    let told = printed(&book);
    assert!(
        told.contains("What to do") && told.contains("Keep it dry."),
        "{told}"
    );
    for other in ["chemical", "must be treated", "label of", "grass"] {
        assert!(!told.contains(other), "{other}: {told}");
    }
}

#[test]
fn a_key_without_cautions_has_a_page_too() {
    let book = Knowledge::from_folder(&data("small-book")).unwrap();
    let drawings = Sketches::default();
    let (mut key, _) = Carried::of(&book, What::Weeds, &For::default(), &drawings);
    let before = words(&page::html(&book, &key, &drawings).unwrap());
    key.cautions.clear();
    let told = words(&page::html(&book, &key, &drawings).unwrap());
    let label = "The label of the product in hand is the law and decides";
    assert!(before.contains(label) && before.contains("read this before any treatment"));
    assert!(
        told.contains(label) && !told.contains("before any treatment"),
        "{told}"
    );
}

#[test]
fn a_key_for_one_lawn_says_that_it_is() {
    let told = words(&small_run("key --format html --turf demo-cool-grass", b"").out);
    assert!(
        told.contains("Only what the book puts first on this grass.")
            && !told.contains("depends on the grass"),
        "{told}"
    );
}

#[test]
fn a_book_that_holds_nothing_of_the_kind_says_so() {
    let empty = tempfile::tempdir().unwrap();
    for file in ["book.yaml", "sources.yaml", "traits.yaml"] {
        fs::copy(data("coin-book").join(file), empty.path().join(file)).unwrap();
    }
    for line in [
        "identify",
        "identify --trait metal=silver",
        "key",
        "key --format html",
    ] {
        let ended = run(empty.path(), line, b"", &[]);
        assert_eq!((ended.code, ended.out.as_str()), (2, ""), "{line}");
        assert!(
            ended.err.contains("this book holds no coins"),
            "{}",
            ended.err
        );
        let ended = coin_run(&format!("{line} --what turf"), b"");
        assert_eq!((ended.code, ended.out.as_str()), (2, ""), "{line}");
        assert!(
            ended.err.contains("this book holds no lawn grasses"),
            "{}",
            ended.err
        );
    }
}

#[test]
fn what_tells_nothing_about_lawn_grasses_is_refused_unless_it_was_settled_for_all_runs() {
    for command in ["identify", "key"] {
        for (flags, told) in [
            ("--month 5", "--month has no effect"),
            ("--region midwest", "--region has no effect"),
            ("--turf demo-cool-grass", "--turf has no effect"),
            (
                "--month 5 --region x --turf y",
                "--month, --region and --turf have no effect",
            ),
        ] {
            let ended = small_run(&format!("{command} --what turf {flags}"), b"");
            assert_eq!(ended.code, 2, "{command} {flags}: {}", ended.out);
            assert!(ended.err.contains(told), "{}", ended.err);
        }
        let line = format!("{command} --what turf");
        let ended = run(
            &data("small-book"),
            &line,
            b"",
            &[("LIGULE_REGION", "nowhere")],
        );
        assert_eq!(ended.code, 0, "{command}: {}", ended.err);
        assert!(!ended.out.contains("nowhere"), "{}", ended.out);
    }
}

#[test]
fn a_trait_cannot_be_answered_and_unsure() {
    let ended = coin_run("identify --trait Metal=silver --unsure metal", b"");
    assert_eq!((ended.code, ended.out.as_str()), (2, ""));
    assert!(ended.err.contains("`metal` was answered"), "{}", ended.err);
    assert_eq!(
        coin_run("identify --unsure metal --unsure metal", b"").code,
        0
    );
}

#[test]
fn before_anything_was_seen_no_name_is_told() {
    for (line, typed) in [
        ("identify", &b""[..]),
        ("identify", b"n\ndone\n"),
        ("identify --unsure metal", b""),
    ] {
        let ended = coin_run(line, typed);
        assert_eq!(ended.code, 0);
        assert!(
            ended.out.contains("Nothing was seen yet")
                && ended.out.contains("The next question would be:")
                && !ended.out.contains("crown")
                && !ended.out.contains("still fit"),
            "{}",
            ended.out
        );
    }
    let seen = coin_run("identify --trait metal=silver --unsure edge", b"").out;
    assert!(seen.contains("answer: a number of mm"), "{seen}");
    assert!(
        seen.contains("tower crown") && !seen.contains("Nothing was seen"),
        "{seen}"
    );
}

#[test]
fn a_region_that_a_book_does_not_know_is_told_in_whole_sentences() {
    let ended = coin_run("identify --region nowhere", b"");
    assert_eq!(ended.code, 2);
    assert!(
        ended
            .err
            .contains("called `nowhere`; it names no regions at all"),
        "{}",
        ended.err
    );
}

#[test]
fn a_byte_that_is_no_text_ends_nothing() {
    let ended = coin_run("identify", b"silv\xe9r\nsilver\ndone\n");
    assert_eq!(ended.code, 0, "{}", ended.err);
    assert!(
        ended.out.contains("is not in the list") && ended.out.contains("tower crown"),
        "{}",
        ended.out
    );
}

/// How often the program asks whether to go on, over the small book on a lawn.
fn asked(typed: &str) -> (usize, String) {
    let out = small_run("identify --turf demo-cool-grass", typed.as_bytes()).out;
    (out.matches("Go on with questions?").count(), out)
}

#[test]
fn what_is_settled_is_asked_about_once() {
    let (times, out) = asked("broadleaf\ny\nn\nn\n");
    assert!(out.contains("Question 4:"), "{out}");
    assert_eq!(times, 1, "{out}");
    assert_eq!(
        out.matches("first option on this grass is the same")
            .count(),
        2,
        "{out}"
    );
}

#[test]
fn an_answer_can_be_taken_back_where_the_program_would_stop() {
    let (times, out) = asked("broadleaf\nback\nbroadleaf\n\n");
    assert_eq!((times, out.matches("Taken back.").count()), (2, 1), "{out}");
    assert_eq!(out.matches("Question 1: What kind").count(), 2, "{out}");
}

#[test]
fn the_answer_in_doubt_is_asked_anew() {
    for word in ["again", "look again"] {
        let (times, out) = asked(&format!("broadleaf\n{word}\nwhy\nsedge\ndone\n"));
        assert!(times >= 1 && out.contains("Taken back."), "{out}");
        assert_eq!(out.matches("Question 1: What kind").count(), 2, "{out}");
        assert!(
            out.contains("You wanted to look at this once more."),
            "{out}"
        );
        assert!(out.contains("So far: thread sedge"), "{out}");
    }
    let (_, out) = asked("broadleaf\nperhaps\n");
    assert!(out.contains("Type y or n, back to take"), "{out}");
}

#[test]
fn going_back_behind_an_answer_in_doubt_has_it_stand_again() {
    let (times, out) = asked("broadleaf\nagain\nback\ny\nscalloped\n");
    let asked_anew = "Question 1: What kind of plant is it? (you had said: broad-leaved plant)";
    assert!(out.contains(asked_anew), "{out}");
    assert!(out.contains("Your answer stands again."), "{out}");
    assert_eq!(times, 2, "{out}");
    assert_eq!(out.matches("Question 1: What kind").count(), 2, "{out}");
    assert!(out.contains("Question 3:"), "{out}");
}
