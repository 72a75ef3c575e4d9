//! The registry of checks: each is explained, has examples that really are wrong and right, and keeps its code.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::format_collect,
    reason = "tests"
)]
use ligule::knowledge::Report;
use ligule::knowledge::check::{CHECKS, Check, Piece, find, page};
use ligule::knowledge::diagnostic::{Diagnostic, Severity};
use ligule::knowledge::folder::{TextFile, read_folder};
use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn small_book() -> Vec<TextFile> {
    read_folder(&root().join("tests/data/small-book")).expect("the small book")
}

/// The top-level pieces of a YAML text: each begins in the first column.
fn blocks(text: &str) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    for line in text.lines() {
        let begins = !line.starts_with([' ', '#']) && !line.is_empty();
        match all.last_mut() {
            Some(last) if !begins => {
                last.push('\n');
                last.push_str(line);
            }
            _ => all.push(line.to_owned()),
        }
    }
    all
}

/// What a top-level piece is called: its key, or the id of a list's entry.
fn name(block: &str) -> String {
    let entry = block
        .strip_prefix("- ")
        .map(|rest| rest.trim_start_matches('{'));
    let Some(entry) = entry else {
        return block.split(':').next().unwrap_or_default().to_owned();
    };
    let first = entry.split([',', '\n', '}']).next().unwrap_or_default();
    let named = first.starts_with("id:") || first.starts_with("number:");
    if named {
        first.trim().to_owned()
    } else {
        block.to_owned()
    }
}

/// An example laid over the small book: its keys and entries take the place of those of the same name, the rest stays.
fn laid_over(pieces: &[Piece]) -> Vec<TextFile> {
    let mut texts = small_book();
    for piece in pieces {
        let new = blocks(piece.yaml);
        let names: BTreeSet<String> = new.iter().map(|b| name(b)).collect();
        let old = texts.iter().position(|t| t.path == piece.file);
        let kept: Vec<String> = old
            .map(|at| blocks(texts[at].text.as_ref().unwrap()))
            .unwrap_or_default()
            .into_iter()
            .filter(|b| !names.contains(&name(b)))
            .collect();
        let text: String = kept.iter().chain(&new).map(|b| format!("{b}\n")).collect();
        let file = TextFile {
            path: piece.file.to_owned(),
            shown: format!("book/{}", piece.file),
            text: Ok(text),
        };
        match old {
            Some(at) => texts[at] = file,
            None => texts.push(file),
        }
    }
    texts.sort_by(|a, b| a.path.cmp(&b.path));
    texts
}

/// The wrong example of a check as texts; three kinds of file cannot be printed on a page.
fn wrong(check: &Check) -> Vec<TextFile> {
    let mut texts = laid_over(check.bad);
    let spoilt = match check.code {
        "unreadable-file" => Some(Err("this file is not UTF-8 text (byte 7)".to_owned())),
        "file-too-large" => Some(Ok(format!("names: [\"{}\"]", "x".repeat(5 * 1024 * 1024)))),
        // A page cannot show as many brackets as it takes.
        "too-deep" => Some(Ok(format!("names: {}", "[".repeat(10_000)))),
        _ => None,
    };
    if let Some(text) = spoilt {
        texts
            .iter_mut()
            .find(|t| t.path == check.bad[0].file)
            .unwrap()
            .text = text;
    }
    texts
}

fn shown(found: &[Diagnostic]) -> String {
    found.iter().map(ToString::to_string).collect()
}

#[test]
fn every_check_has_a_code_of_its_own_and_an_explanation() {
    let mut seen = BTreeSet::new();
    for check in CHECKS {
        let code = check.code;
        assert!(seen.insert(code), "{code} stands in the registry twice");
        assert!(
            code.chars().all(|c| c.is_ascii_lowercase() || c == '-')
                && !code.starts_with('-')
                && !code.ends_with('-'),
            "{code} is not written as a code"
        );
        assert!(
            (10..=90).contains(&check.title.len()),
            "{code}: the title is no sentence of one line"
        );
        assert!(check.explanation.len() >= 100, "{code} is hardly explained");
        assert!(
            check.explanation.ends_with('.') || check.explanation.ends_with(".)"),
            "{code}: the explanation breaks off"
        );
        assert!(
            !check.bad.is_empty() && !check.good.is_empty(),
            "{code} lacks an example"
        );
        for piece in check.bad.iter().chain(check.good) {
            assert!(
                !piece.yaml.trim().is_empty() && piece.file.contains(".y"),
                "{code}: an example is empty"
            );
        }
    }
}

#[test]
fn every_wrong_example_is_found_and_every_right_one_is_not() {
    for check in CHECKS {
        let texts = wrong(check);
        let report = Report::of_texts(&texts);
        let hit: Vec<&Diagnostic> = report
            .found
            .iter()
            .filter(|f| f.code == check.code)
            .collect();
        assert!(
            !hit.is_empty(),
            "{}: the wrong example is not found, but:\n{}",
            check.code,
            shown(&report.found)
        );
        for one in hit {
            assert_eq!(one.severity, check.severity, "{}", check.code);
            let told = one.to_string();
            assert!(
                one.help.is_some() || check.severity == Severity::Note,
                "{}: no remedy is told: {told}",
                check.code
            );
            assert!(
                one.message.len() > 10 && one.message.len() < 300,
                "{}: {told}",
                check.code
            );
        }
        let report = Report::of_texts(&laid_over(check.good));
        let hit: Vec<Diagnostic> = report
            .found
            .into_iter()
            .filter(|f| f.code == check.code)
            .collect();
        assert!(
            hit.is_empty(),
            "{}: the right example is found, too:\n{}",
            check.code,
            shown(&hit)
        );
    }
}

#[test]
fn right_examples_hold_no_other_error() {
    for check in CHECKS {
        let report = Report::of_texts(&laid_over(check.good));
        let errors: Vec<Diagnostic> = report
            .found
            .into_iter()
            .filter(|f| f.severity == Severity::Error)
            .collect();
        assert!(
            errors.is_empty(),
            "{}: the right example is wrong:\n{}",
            check.code,
            shown(&errors)
        );
    }
}

#[test]
fn codes_never_change() {
    // Acknowledgements and scripts name codes. A code that is gone breaks them, so the list only ever grows.
    let path = root().join("tests/data/checks/codes.txt");
    let stored = fs::read_to_string(&path).expect("the stored list");
    let here: BTreeSet<String> = CHECKS
        .iter()
        .map(|c| format!("{} {}", c.code, page::meaning(c.severity).0))
        .collect();
    let stored: BTreeSet<String> = stored.lines().map(str::to_owned).collect();
    let lost: Vec<_> = stored.difference(&here).collect();
    let new: Vec<_> = here.difference(&stored).collect();
    assert!(
        lost.is_empty() && new.is_empty(),
        "gone: {lost:?}; not stored in {}: {new:?}",
        path.display()
    );
}

#[test]
fn the_page_of_checks_is_made_from_the_registry() {
    let path = root().join("knowledge/CHECKS.md");
    let page = page::markdown();
    if std::env::var_os("LIGULE_WRITE_PAGES").is_some() {
        fs::write(&path, &page).expect("the page is written");
    }
    let stored = fs::read_to_string(&path).unwrap_or_default();
    assert!(
        stored == page,
        "knowledge/CHECKS.md is out of date; run this test once with LIGULE_WRITE_PAGES=1"
    );
    for check in CHECKS {
        assert!(
            stored.contains(check.title) && stored.contains(check.explanation),
            "{}",
            check.code
        );
    }
}

#[test]
fn an_explanation_reads_well_in_a_terminal() {
    for check in CHECKS {
        let text = page::explain(check);
        assert!(
            text.starts_with(check.code) && text.contains("Wrong:") && text.contains("Right:"),
            "{text}"
        );
        let body: Vec<&str> = text.split("Wrong:").next().unwrap().lines().collect();
        assert!(
            body.iter().all(|l| l.chars().count() <= 110),
            "{}",
            check.code
        );
    }
    assert!(find("no-such-code").is_none());
    assert_eq!(
        ligule::knowledge::check::registry::near("inseperable"),
        Some("inseparable")
    );
}

#[test]
fn reader_faults_of_the_registry_are_those_that_the_reader_can_tell() {
    // Every code in the reader's sources must be explained, or `explain` would not know what `check` prints.
    let mut told = BTreeSet::new();
    for file in ["slips.rs", "read.rs", "files.rs"] {
        let text = fs::read_to_string(root().join("src/knowledge").join(file)).unwrap();
        for word in text.split('"').skip(1).step_by(2) {
            let like_a_code = word.trim_matches('-').contains('-')
                && word.chars().all(|c| c.is_ascii_lowercase() || c == '-');
            // Words that only look like codes.
            if like_a_code && !["non-finite", "kebab-case", "record-fields"].contains(&word) {
                told.insert(word.to_owned());
            }
        }
    }
    assert!(told.len() >= 10, "{told:?}");
    for code in told {
        assert!(
            find(&code).is_some(),
            "the reader tells {code}, which nothing explains"
        );
    }
}

#[test]
fn findings_name_both_ends_of_a_conflict() {
    let check = find("tolerance-conflict").unwrap();
    let report = Report::of_texts(&laid_over(check.bad));
    let one = report
        .found
        .iter()
        .find(|f| f.code == check.code)
        .expect("the conflict");
    assert_eq!(one.related.len(), 1);
    assert_ne!(one.spot.line, one.related[0].spot.line);
    assert!(
        one.spot.text.contains("tolerant") && one.related[0].spot.text.contains("sensitive"),
        "{one}"
    );
    assert!(
        one.message.ends_with("the cautious one counts: sensitive"),
        "{one}"
    );
    let told = one.to_string();
    assert_eq!(
        told.matches(" | ").count(),
        4,
        "both lines are shown with their marks: {told}"
    );
}

#[test]
fn a_pair_that_nothing_separates_is_told_with_the_trait_that_would_help() {
    let check = find("inseparable").unwrap();
    let report = Report::of_texts(&laid_over(check.bad));
    let all: Vec<_> = report
        .found
        .iter()
        .filter(|f| f.code == check.code)
        .collect();
    assert_eq!(all.len(), 1, "{}", shown(&report.found));
    assert_eq!(all[0].about, "false-penny and penny-creeper");
    // Of the traits that only penny creeper has, the stem has the smallest observer error.
    assert!(
        all[0]
            .help
            .as_deref()
            .unwrap()
            .starts_with("stem would help"),
        "{:?}",
        all[0].help
    );
}

#[test]
fn an_acknowledged_warning_is_a_note_with_its_reason_and_a_stale_one_is_told() {
    let check = find("bad-acknowledgement").unwrap();
    let report = Report::of_texts(&laid_over(check.good));
    let one = report
        .found
        .iter()
        .find(|f| f.code == "inseparable")
        .expect("the pair");
    assert_eq!(one.severity, Severity::Note);
    assert!(
        one.acknowledged.as_deref().unwrap().contains("seed"),
        "{one:?}"
    );
    assert!(
        report
            .found
            .iter()
            .all(|f| f.code != "stale-acknowledgement"),
        "{}",
        shown(&report.found)
    );
    let stale = Report::of_texts(&laid_over(find("stale-acknowledgement").unwrap().bad));
    let one = stale
        .found
        .iter()
        .find(|f| f.code == "stale-acknowledgement")
        .expect("the stale one");
    assert_eq!(one.spot.file, "book/acknowledged.yaml");
}
