//! The traps of YAML, a test each: none becomes a wrong value, each is told in plain words at the right place.
//!
//! The list follows what other readers of YAML were bitten by: equal keys, words that look like truth values, numbers in
//! many spellings, bombs of aliases and brackets, and texts on which parsers have panicked or looped.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::float_cmp,
    reason = "tests"
)]
use ligule::knowledge::Report;
use ligule::knowledge::diagnostic::{Diagnostic, Severity};
use ligule::knowledge::folder::TextFile;
use std::fmt::Write as _;
use std::time::{Duration, Instant};

const TRAITS: &str = "- id: stem\n  question: What is the stem like?\n  help: Roll it.\n  kind: one\n  effort: glance\n  error: 0.1\n  source: memory\n  states: [{id: round}, {id: square}, {id: \"no\"}, {id: y}]\n";

fn file(path: &str, text: &str) -> TextFile {
    TextFile {
        path: path.to_owned(),
        shown: format!("k/{path}"),
        text: Ok(text.to_owned()),
    }
}

/// A book of one plant, with `text` in the place of, or beside, its files.
fn report(path: &str, text: &str) -> Report {
    let mut texts = vec![
        file(
            "sources.yaml",
            "memory: {evidence: memory, title: recalled}\n",
        ),
        file("traits.yaml", TRAITS),
        file("weeds/a.yaml", &weed("")),
    ];
    texts.retain(|t| t.path != path);
    texts.push(file(path, text));
    Report::of_texts(&texts)
}

/// A weed with more lines at its end; they begin at line 4.
fn weed(lines: &str) -> String {
    format!("names: [a plant]\nscientific_name: Planta una\nsource: memory\n{lines}\n")
}

fn errors(report: &Report) -> Vec<&Diagnostic> {
    report
        .found
        .iter()
        .filter(|f| f.severity == Severity::Error)
        .collect()
}

/// The lines are refused with this code on line 4.
fn refused(lines: &str, code: &str) {
    refused_at(lines, code, 4);
}

fn refused_at(lines: &str, code: &str, line: usize) {
    let report = report("weeds/a.yaml", &weed(lines));
    let all: String = report.found.iter().map(ToString::to_string).collect();
    let hit = errors(&report).into_iter().find(|f| f.code == code);
    let hit = hit.unwrap_or_else(|| panic!("{lines:?}: wanted {code}, got\n{all}"));
    assert_eq!(hit.spot.line, line, "{lines:?}: {hit}");
    assert!(
        hit.help.as_deref().is_some_and(|h| h.len() > 10),
        "{lines:?}: no remedy: {hit}"
    );
}

/// The lines are read without a fault.
fn taken(lines: &str) -> Report {
    let report = report("weeds/a.yaml", &weed(lines));
    let all: String = report.found.iter().map(ToString::to_string).collect();
    assert!(errors(&report).is_empty(), "{lines:?}: {all}");
    report
}

fn family(report: &Report) -> &str {
    report.files.weeds["a"].family.as_deref().expect("a family")
}

/// A number field with this in it.
fn number(written: &str) -> String {
    format!("seen: {{emerging_soil_f: {{range: [60, {written}], source: memory}}}}")
}

/// A whole-number field with this in it.
fn month(written: &str) -> String {
    format!("seen: {{growing: {{months: [{written}], source: memory}}}}")
}

#[test]
fn equal_keys_of_an_entry() {
    refused_at("family: A\nfamily: B", "duplicate-key", 5);
}

#[test]
fn equal_keys_of_a_map() {
    refused(
        "traits: {stem: {is: round, source: memory}, stem: {is: square, source: memory}}",
        "duplicate-key",
    );
}

#[test]
fn equal_keys_in_different_quotes() {
    refused(
        "traits: {stem: {is: round, source: memory}, \"stem\": {is: square, source: memory}}",
        "duplicate-key",
    );
}

#[test]
fn words_for_truth_are_no_truth() {
    for word in ["no", "off", "yes", "y", "on", "\"true\"", "1", "TRUE!", "~"] {
        let stage = format!("- {{id: new, name: new, young: {word}, help: Laid lately.}}\n");
        let report = report("stages.yaml", &stage);
        assert!(!errors(&report).is_empty(), "young: {word} was taken");
        assert!(report.files.stages.is_empty());
    }
    assert!(
        report(
            "stages.yaml",
            "- {id: new, name: new, young: true, help: Laid lately.}\n"
        )
        .files
        .stages[0]
            .young
    );
}

#[test]
fn words_for_truth_stay_words_in_lists_of_states() {
    let report = taken("traits: {stem: {is: no, source: memory}}");
    assert_eq!(report.files.weeds["a"].traits["stem"].is.0, ["no"]);
    let report = taken("traits: {stem: {weights: {y: 3, no: 1}, source: memory}}");
    assert_eq!(
        report.files.weeds["a"].traits["stem"]
            .weights
            .keys()
            .collect::<Vec<_>>(),
        ["no", "y"]
    );
    refused("traits: {stem: {is: true, source: memory}}", "wrong-kind");
}

#[test]
fn words_for_truth_stay_words_in_texts() {
    for word in ["no", "off", "yes", "y", "Norway"] {
        assert_eq!(family(&taken(&format!("family: {word}"))), word);
    }
}

#[test]
fn nothing_is_no_text() {
    for nothing in ["~", "null", "", "Null"] {
        refused(
            &format!("marks: [{{text: {nothing}, source: memory}}]"),
            "empty-value",
        );
    }
    assert_eq!(
        taken("family: ~").files.weeds["a"].family,
        None,
        "an optional text without a value is a gap"
    );
}

#[test]
fn nothing_is_no_list() {
    let report = report(
        "weeds/a.yaml",
        "names:\nscientific_name: Planta una\nsource: memory\n",
    );
    assert!(!errors(&report).is_empty());
    assert!(report.files.weeds.is_empty());
    for empty in ["", "# only a remark\n", "---\n", "~\n", "null\n"] {
        let report = self::report("traits.yaml", empty);
        assert!(
            !errors(&report).is_empty(),
            "traits.yaml: {empty:?} was taken"
        );
        let report = self::report("weeds/a.yaml", empty);
        assert!(
            !errors(&report).is_empty(),
            "weeds/a.yaml: {empty:?} was taken"
        );
    }
}

#[test]
fn leading_zeros() {
    for written in ["07", "007", "-07", "00"] {
        refused(&number(written), "wrong-kind");
    }
    refused(&month("07"), "wrong-kind");
    refused("family: 07", "wrong-kind");
    assert_eq!(family(&taken("family: \"07\"")), "07");
}

#[test]
fn numbers_as_programs_write_them() {
    for written in ["0o7", "0x1F", "0b11", "0X1f", "-0x10"] {
        refused(&number(written), "wrong-kind");
        refused(&month(written), "wrong-kind");
    }
    assert_eq!(family(&taken("family: \"0x1F\"")), "0x1F");
    assert_eq!(family(&taken("family: box 0x1F of 3")), "box 0x1F of 3");
}

#[test]
fn powers_of_ten() {
    assert_eq!(
        taken(&number("1e2")).files.weeds["a"]
            .seen
            .emerging_soil_f
            .as_ref()
            .unwrap()
            .range[1]
            .0,
        100.0
    );
    refused(&month("1e0"), "wrong-kind");
}

#[test]
fn underscores_in_numbers() {
    refused(&number("1_000"), "wrong-kind");
    refused(&month("1_2"), "wrong-kind");
}

#[test]
fn quoted_numbers() {
    refused(&number("\"70\""), "wrong-kind");
    refused(&number("'70'"), "wrong-kind");
    refused(&month("\"5\""), "wrong-kind");
    refused(&month("'5'"), "wrong-kind");
}

#[test]
fn numbers_that_are_not_finite() {
    for written in [".nan", ".inf", "-.inf", ".NaN", "+.inf", "1e400", "-1e400"] {
        refused(&number(written), "wrong-kind");
    }
}

#[test]
fn numbers_that_are_too_large() {
    for written in ["99999999999999999999", "1e20", "-99999999999999999999"] {
        refused(&number(written), "wrong-kind");
    }
    for written in ["256", "-1", "99999999999999999999"] {
        refused(&month(written), "wrong-kind");
    }
}

#[test]
fn numbers_in_other_scripts_and_with_commas() {
    refused(&number("6,5"), "wrong-kind");
    refused(&number("\u{667}\u{660}"), "wrong-kind");
    refused(&number("7o"), "wrong-kind");
    refused(&number("70 F"), "wrong-kind");
    refused(&number("70F"), "wrong-kind");
}

#[test]
fn times_and_dates_are_texts() {
    assert_eq!(family(&taken("family: 1:30")), "1:30");
    assert_eq!(family(&taken("family: 2024-01-01")), "2024-01-01");
    refused(&number("1:30"), "wrong-kind");
    refused(&number("2024-01-01"), "wrong-kind");
}

#[test]
fn merge_keys() {
    refused("<<: {family: A}", "no-aliases");
    refused(
        "seen: {<<: {growing: {months: [1], source: memory}}}",
        "no-aliases",
    );
}

#[test]
fn anchors_and_aliases() {
    refused("family: &f A", "no-aliases");
    refused("family: &f A\neppo_code: *f", "no-aliases");
    refused("eppo_code: *nothing", "no-aliases");
}

#[test]
fn byte_order_marks_and_windows_lines_move_no_place() {
    let plain = weed("traits: {stem: {is: rond, source: memory}}");
    for text in [
        plain.clone(),
        format!("\u{feff}{plain}"),
        plain.replace('\n', "\r\n"),
        format!("\u{feff}{}", plain.replace('\n', "\r\n")),
    ] {
        let report = report("weeds/a.yaml", &text);
        let all = errors(&report);
        assert_eq!(all.len(), 1, "{all:?}");
        assert_eq!((all[0].spot.line, all[0].spot.column), (4, 21), "{text:?}");
    }
}

#[test]
fn columns_count_characters() {
    let report = report(
        "weeds/a.yaml",
        &weed("traits: {stem: {note: \"\u{e9}\u{1f33f}\u{e9}\", is: rond, source: memory}}"),
    );
    let all = errors(&report);
    assert_eq!((all[0].spot.line, all[0].spot.column), (4, 34), "{all:?}");
}

#[test]
fn tabs() {
    refused("\tfamily: A", "bad-yaml");
    let report = report(
        "weeds/a.yaml",
        &weed("seen:\n\tgrowing: {months: [1], source: memory}"),
    );
    assert!(!errors(&report).is_empty());
}

#[test]
fn quotes_and_brackets_that_never_close() {
    for lines in [
        "family: \"open",
        "family: 'open",
        "traits: {stem: {is: round",
        "look_alikes: [",
        "family: A\nnotes: [{text: \"x\", source: memory}",
    ] {
        let report = report("weeds/a.yaml", &weed(lines));
        let all = errors(&report);
        assert_eq!(all.len(), 1, "{lines:?}: {all:?}");
        assert!(report.files.weeds.is_empty());
    }
}

#[test]
fn colons_in_texts() {
    refused("family: a: b: c", "bad-yaml");
    assert_eq!(family(&taken("family: \"a: b: c\"")), "a: b: c");
}

#[test]
fn texts_that_begin_with_a_sign_of_yaml() {
    for lines in [
        "family: @here",
        "family: `here`",
        "family: %here",
        "family: !here A",
        "family: {here}",
        "family: [here]",
        "family: | here",
        "family: &",
    ] {
        let report = report("weeds/a.yaml", &weed(lines));
        assert!(
            !errors(&report).is_empty(),
            "{lines:?} was taken: {:?}",
            report.files.weeds["a"].family
        );
    }
}

#[test]
fn tags() {
    for lines in [
        "family: !!binary aGVsbG8=",
        "family: !secret A",
        "family: !!str 5",
        "seen: !!map {}",
        "names: !!seq [a]",
    ] {
        let report = report("weeds/a.yaml", &weed(lines));
        let all = errors(&report);
        assert_eq!(all.len(), 1, "{lines}: {all:?}");
        assert!(report.files.weeds.is_empty());
    }
    assert_eq!(family(&taken("family: \"!here\"")), "!here");
    assert_eq!(family(&taken("family: look here!")), "look here!");
}

#[test]
fn second_documents_and_directives() {
    for lines in ["---\nfamily: A", "...\nfamily: A", "...\n---\nfamily: A"] {
        let report = report("weeds/a.yaml", &weed(lines));
        assert!(!errors(&report).is_empty(), "{lines:?} was taken");
    }
    let report = report("weeds/a.yaml", &format!("%YAML 9.9\n---\n{}", weed("")));
    assert!(report.found.iter().all(|f| f.spot.line <= 6));
}

#[test]
fn signs_that_cannot_be_seen() {
    for sign in ['\0', '\u{7}', '\u{1b}', '\u{202e}', '\u{200b}'] {
        let report = report("weeds/a.yaml", &weed(&format!("family: A{sign}B")));
        assert!(!errors(&report).is_empty(), "{sign:?} was taken");
    }
}

#[test]
fn keys_that_are_lists_or_groups() {
    for lines in [
        "? [a, b]\n: c",
        "? {a: b}\n: c",
        "[a]: b",
        "{a: b}: c",
        "? a",
    ] {
        let report = report("weeds/a.yaml", &weed(lines));
        assert!(!errors(&report).is_empty(), "{lines:?} was taken");
    }
}

/// Runs the reader over a text as every kind of file, holds every place against the text, and watches the clock.
fn survives(text: &str) {
    // A debug build is some ten times slower than the program that people run.
    let most = Duration::from_secs(if cfg!(debug_assertions) { 20 } else { 1 });
    for path in [
        "weeds/a.yaml",
        "traits.yaml",
        "sources.yaml",
        "acknowledged.yaml",
    ] {
        let start = Instant::now();
        let report = report(path, text);
        assert!(
            start.elapsed() < most,
            "{path}: {:?} for {:.60?}",
            start.elapsed(),
            text
        );
        let lines: Vec<&str> = text.lines().collect();
        for f in report.found.iter().filter(|f| f.spot.file.ends_with(path)) {
            assert!(f.spot.line >= 1 && f.spot.line <= lines.len().max(1), "{f}");
            let long = lines.get(f.spot.line - 1).map_or(0, |l| l.chars().count());
            assert!(f.spot.column >= 1 && f.spot.column <= long + 1, "{f}");
        }
    }
}

#[test]
fn bombs_of_aliases() {
    let mut bomb = String::from("a0: &a0 [x, x]\n");
    for level in 1..30 {
        writeln!(bomb, "a{level}: &a{level} [*a{0}, *a{0}]", level - 1).unwrap();
    }
    survives(&bomb);
    let nine = "*a,".repeat(9);
    survives(&format!("a: &a [x]\nb: [{nine}]\n"));
}

#[test]
fn deep_nesting_in_brackets() {
    for depth in [100, 200, 10_000, 100_000] {
        survives(&format!("names: {}", "[".repeat(depth)));
        survives(&format!(
            "names: {}{}",
            "[".repeat(depth),
            "]".repeat(depth)
        ));
    }
    for depth in [10_000, 80_000] {
        survives(&"{a: ".repeat(depth));
        survives(&"[{a: ".repeat(depth));
    }
}

#[test]
fn deep_nesting_in_blocks() {
    survives(&"- ".repeat(100_000));
    survives(&"? ".repeat(20_000));
    let stairs: String = (0..1_500).fold(String::new(), |mut text, depth| {
        let _ = writeln!(text, "{}a:", " ".repeat(depth));
        text
    });
    survives(&stairs);
}

#[test]
fn texts_on_which_readers_have_panicked_or_looped() {
    for text in [
        ">\n@",
        "{---",
        "[---",
        "\"a\n\n  b\\\n   c\n\"",
        "\"a\n---\n",
        "'a\n...\n'",
        "a: |\n\tb\n",
        "a: >-\n",
        "a: |9\n b",
        "? ",
        "- \t- a",
        "!",
        "!!",
        "!<",
        "%",
        "&",
        "*",
        "|",
        "\u{feff}",
        "\u{feff}\u{feff}a: b",
        "a:\u{85}b: c",
        "a:\u{2028}b: c",
        "\"\\x\"",
        "\"\\ud800\"",
        "\"\\U00110000\"",
        "a: [b, c: {d: e}]",
        "a: {b, c}",
        "{a: b, a: c}: d",
        "- - - a\n   - b",
        "a:\n- b\n c: d",
        "# only a remark",
        "a: b # c: d: e",
        "a:b",
        ":",
        ": :",
        "-",
        "---\n---\n---",
        "...",
        "\r\r\r",
        "a: 'b''",
    ] {
        survives(text);
    }
}

#[test]
fn large_files() {
    let word = format!("names: [\"{}\"]\n", "x".repeat(3_900_000));
    let lines = "- {id: a, text: b}\n".repeat(200_000);
    let remarks = "# nothing\n".repeat(390_000);
    let keys: String = (0..200_000).fold(String::new(), |mut text, n| {
        let _ = writeln!(text, "key{n}: value");
        text
    });
    for text in [word, lines, remarks, keys] {
        assert!(text.len() < 4 * 1024 * 1024, "{}", text.len());
        survives(&text);
    }
    survives(&"names: [a]\n".repeat(500_000));
}
