//! Faulty knowledge folders: every fault is told with its place, all in one go, and none becomes a wrong value.
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "tests")]
use ligule::knowledge::diagnostic::Diagnostic;
use ligule::knowledge::folder::TextFile;
use ligule::knowledge::{Knowledge, LoadError, Report};
use std::fmt::Write as _;

const TRAITS: &str = "- id: stem\n  question: What is the stem like?\n  help: Roll it.\n  kind: one\n  effort: glance\n  error: 0.1\n  source: memory\n  states: [{id: round}, {id: square}]\n";
const SOURCES: &str = "memory: {evidence: memory, title: recalled}\n";

fn file(path: &str, text: &str) -> TextFile {
    TextFile {
        path: path.to_owned(),
        shown: format!("k/{path}"),
        text: Ok(text.to_owned()),
    }
}

/// What has to be mended; notes on so small a book are beside the point.
fn found(weed: &str) -> Vec<Diagnostic> {
    let report = Report::of_texts(&[
        file("sources.yaml", SOURCES),
        file("traits.yaml", TRAITS),
        file("weeds/a.yaml", weed),
    ]);
    let mend = |f: &Diagnostic| f.severity != ligule::knowledge::diagnostic::Severity::Note;
    report.found.into_iter().filter(mend).collect()
}

/// A weed file with one more line.
fn weed(line: &str) -> String {
    format!("names: [a plant]\nscientific_name: Planta una\nsource: memory\n{line}\n")
}

#[test]
fn a_sound_folder_has_no_findings() {
    assert_eq!(
        found(&weed("traits: {stem: {is: round, source: memory}}")),
        vec![]
    );
}

#[test]
fn dangling_ids_name_the_place_and_the_nearest() {
    let all = found(&weed("traits: {stem: {is: rond, source: memry}}"));
    let text: String = all.iter().map(ToString::to_string).collect();
    assert_eq!(all.len(), 2, "{text}");
    assert!(
        text.contains("k/weeds/a.yaml:4:21: error [unknown-id]: no state of stem has the id rond"),
        "{text}"
    );
    assert!(
        text.contains("did you mean round?") && text.contains("did you mean memory?"),
        "{text}"
    );
    assert!(
        text.contains("traits: {stem: {is: rond"),
        "the line is shown: {text}"
    );
}

#[test]
fn faults_of_all_files_come_together() {
    let report = Report::of_texts(&[
        file("sources.yaml", SOURCES),
        file("traits.yaml", "- id: [\n"),
        file("weeds/a.yaml", "names: 5: 6\n"),
        file("weeds/b.yaml", "names: [b]\nscientific_nam: B\n"),
        file("notes.txt", "x"),
    ]);
    let files: Vec<&str> = report.found.iter().map(|f| f.spot.file.as_str()).collect();
    assert_eq!(
        files,
        [
            "k/traits.yaml",
            "k/weeds/a.yaml",
            "k/weeds/b.yaml",
            "k/notes.txt"
        ],
        "{:?}",
        report.found
    );
}

#[test]
fn yaml_slips_never_become_values() {
    let traps = [
        ("names: [again]", "duplicate-key"),
        ("notes: [{text: ~, source: memory}]", "empty-value"),
        ("notes: [{text: , source: memory}]", "empty-value"),
        ("eppo_code: {a: 1}", "wrong-kind"),
        (
            "seen: {growing: {months: [no], source: memory}}",
            "wrong-kind",
        ),
        (
            "seen: {growing: {months: [13], source: memory}}",
            "bad-month",
        ),
        (
            "seen: {growing: {months: [1e400], source: memory}}",
            "wrong-kind",
        ),
        (
            "seen: {emerging_soil_f: {range: [60, .nan], source: memory}}",
            "wrong-kind",
        ),
        (
            "seen: {emerging_soil_f: {range: [60, 07], source: memory}}",
            "wrong-kind",
        ),
        (
            "seen: {emerging_soil_f: {range: [60, \"70\"], source: memory}}",
            "wrong-kind",
        ),
        (
            "seen: {emerging_soil_f: {range: [60, 1_000], source: memory}}",
            "wrong-kind",
        ),
        (
            "seen: {emerging_soil_f: {range: [60, 6,5], source: memory}}",
            "wrong-kind",
        ),
        (
            "seen: {emerging_soil_f: {range: [70, 60], source: memory}}",
            "bad-range",
        ),
        (
            "seen: {emerging_soil_f: {range: [60, 70], source: []}}",
            "no-evidence",
        ),
        ("traits: {stem: {source: memory}}", "trait-value"),
        (
            "traits: {stem: {is: [na, round], source: memory}}",
            "trait-value",
        ),
        (
            "traits: {stem: {range: [1, 2], source: memory}}",
            "trait-value",
        ),
        ("<<: {family: X}", "no-aliases"),
        ("family: &f X\neppo_code: *f", "no-aliases"),
        ("eppo_code: *nothing", "no-aliases"),
        ("familly: X", "unknown-key"),
        ("family: \"open", "bad-yaml"),
        ("family: a: b: c", "bad-yaml"),
        ("\tfamily: X", "bad-yaml"),
        ("---\nfamily: X", "bad-yaml"),
    ];
    for (line, code) in traps {
        let all = found(&weed(line));
        assert!(!all.is_empty(), "nothing found for {line:?}");
        assert!(
            all.iter().any(|f| f.code == code),
            "{line:?}: wanted {code}, got\n{}",
            all.iter().map(ToString::to_string).collect::<String>()
        );
        for f in &all {
            assert!(f.spot.line >= 1 && f.spot.line <= 6, "{line:?}: {f}");
        }
    }
}

/// Months and temperatures that a statement carries are kept for single actives only, so a mixture may not carry them.
#[test]
fn a_limit_that_would_not_be_kept_is_refused() {
    let row =
        "turf: [{turf: t, stage: s, rating: tolerant, months: [3], below_f: 80, source: memory}]";
    let text = format!("- id: a+b\n  actives: [a, b]\n  {row}\n");
    let report = Report::of_texts(&[file("sources.yaml", SOURCES), file("mixtures.yaml", &text)]);
    let limits = report.found.iter().filter(|f| f.code == "limit-on-mixture");
    assert_eq!(limits.count(), 2, "{:?}", report.found);
}

#[test]
fn bombs_and_deep_nesting_end_quickly_with_an_error() {
    let mut bomb = String::from("a0: &a0 [x, x]\n");
    for level in 1..30 {
        writeln!(bomb, "a{level}: &a{level} [*a{0}, *a{0}]", level - 1).unwrap();
    }
    let nested = format!("names: {}", "[".repeat(10_000));
    let mapped = "{a: ".repeat(20_000);
    let large = format!("names: [\"{}\"]", "x".repeat(5 * 1024 * 1024));
    for text in [bomb, nested, mapped, large] {
        let all = found(&text);
        assert_eq!(
            all.len(),
            1,
            "{:.300}",
            all.iter().map(ToString::to_string).collect::<String>()
        );
        assert_eq!(
            all[0].severity,
            ligule::knowledge::diagnostic::Severity::Error
        );
    }
}

#[test]
fn byte_order_marks_and_windows_line_ends_change_nothing() {
    let text = format!(
        "\u{feff}{}",
        weed("traits: {stem: {is: rond, source: memory}}").replace('\n', "\r\n")
    );
    let all = found(&text);
    assert_eq!(all.len(), 1, "{all:?}");
    assert_eq!((all[0].spot.line, all[0].spot.column), (4, 21));
}

#[test]
fn a_folder_that_cannot_be_read_or_is_empty_says_so() {
    let missing =
        Knowledge::from_folder(std::path::Path::new("/no/such/folder")).expect_err("missing");
    assert!(missing.to_string().contains("/no/such/folder"), "{missing}");
    let empty = tempfile::tempdir().expect("a folder");
    let error = Knowledge::from_folder(empty.path()).expect_err("empty");
    assert!(matches!(error, LoadError::Folder { .. }), "{error}");
}

#[test]
fn both_readers_give_the_same_default_knowledge() {
    // The program starts from JSON that another YAML reader made at build time; the strict reader must agree with it.
    let strict = Report::of_embedded();
    let faults: Vec<&Diagnostic> = strict
        .found
        .iter()
        .filter(|f| f.severity == ligule::knowledge::diagnostic::Severity::Error)
        .collect();
    assert!(faults.is_empty(), "{faults:?}");
    let fast = Knowledge::embedded().expect("the copy inside the program");
    assert_eq!(*fast, *strict.files);
}

#[test]
fn a_name_of_two_plants_is_asked_back() {
    let plant = |names: &str, scientific: &str| {
        format!("names: [{names}]\nscientific_name: {scientific}\nsource: memory\n")
    };
    let book = Knowledge::from_texts(&[
        file("sources.yaml", SOURCES),
        file("traits.yaml", TRAITS),
        file(
            "weeds/a.yaml",
            &plant("star weed, Creeping Jill", "Planta una"),
        ),
        file(
            "weeds/b.yaml",
            &plant("creeping jill (b), creeping-jill", "Planta altera"),
        ),
        file("weeds/c.yaml", &plant("moon weed", "Planta tertia")),
        file(
            "weeds/d.yaml",
            &plant("round weed, moon weed", "Planta quarta"),
        ),
    ])
    .unwrap();
    let find = |typed: &str| book.find(ligule::knowledge::Kind::Weed, typed);
    let shared = find("creeping jill").unwrap_err();
    assert_eq!(shared.shared, ["a", "b"]);
    assert_eq!(
        shared.to_string(),
        "`creeping jill` is a name of more than one weed; write the id of the one that is meant: `a` or `b`"
    );
    // The first name is a plant's own, an id before all names.
    assert_eq!(find("Moon weed").unwrap(), "c");
    assert_eq!(find("star weed").unwrap(), "a");
    assert_eq!(find("b").unwrap(), "b");
    assert!(find("sun weed").unwrap_err().shared.is_empty());
}

#[test]
fn names_that_the_shipped_book_shares_are_asked_back() {
    let book = Knowledge::embedded().unwrap();
    for (name, ids) in [
        ("creeping Jenny", vec!["field-bindweed", "moneywort"]),
        ("wiregrass", vec!["bermudagrass", "goosegrass", "path-rush"]),
    ] {
        let shared = book
            .find(ligule::knowledge::Kind::Weed, name)
            .unwrap_err()
            .shared;
        assert_eq!(shared, ids);
    }
}
