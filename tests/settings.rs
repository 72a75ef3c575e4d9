//! The face around the commands: settings, bold type, completions, manual pages, help.
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "tests")]
use serde_json::Value;
use std::path::Path;
use std::process::Command;

struct Run {
    out: String,
    err: String,
    code: i32,
}

/// Runs in a folder that is also the home folder, with these variables and no others.
fn ligule(dir: &Path, variables: &[(&str, &str)], arguments: &[&str]) -> Run {
    let out = Command::new(env!("CARGO_BIN_EXE_ligule"))
        .args(arguments)
        .current_dir(dir)
        .env_clear()
        .env("HOME", dir)
        .envs(variables.iter().copied())
        .output()
        .unwrap();
    Run {
        out: String::from_utf8(out.stdout).unwrap(),
        err: String::from_utf8(out.stderr).unwrap(),
        code: out.status.code().unwrap(),
    }
}

fn setting(run: &Run, name: &str) -> (Value, String) {
    assert_eq!(run.code, 0, "{}", run.err);
    let all: Value = serde_json::from_str(&run.out).unwrap();
    let one = all["settings"]
        .as_array()
        .unwrap()
        .iter()
        .find(|s| s["name"] == name)
        .unwrap();
    (
        one["value"].clone(),
        one["from"].as_str().unwrap().to_owned(),
    )
}

#[test]
fn flags_outrank_the_environment_that_outranks_files() {
    let dir = tempfile::tempdir().unwrap();
    let at = dir.path();
    let json = ["config", "--format", "json"];
    assert_eq!(setting(&ligule(at, &[], &json), "region").0, Value::Null);

    std::fs::create_dir_all(at.join(".config/ligule")).unwrap();
    std::fs::write(
        at.join(".config/ligule/config.yaml"),
        "region: northeast\nplace: us-oh\n",
    )
    .unwrap();
    let (value, from) = setting(&ligule(at, &[], &json), "region");
    assert_eq!(value, "northeast");
    assert!(from.ends_with(".config/ligule/config.yaml"), "{from}");

    std::fs::write(at.join("ligule.yaml"), "region: midwest\n").unwrap();
    assert_eq!(
        setting(&ligule(at, &[], &json), "region"),
        ("midwest".into(), "ligule.yaml".to_owned())
    );
    assert_eq!(setting(&ligule(at, &[], &json), "place").0, "us-oh");

    let variable = [("LIGULE_REGION", "transition")];
    assert_eq!(
        setting(&ligule(at, &variable, &json), "region"),
        ("transition".into(), "LIGULE_REGION".to_owned())
    );

    // What is set takes part in an answer exactly as the flag does, and the flag outranks it.
    let seen = [
        "identify",
        "--trait",
        "leaf_type=three leaflets",
        "--format",
        "json",
    ];
    let flag = |region: &'static str| {
        let mut all = seen.to_vec();
        all.extend(["--region", region]);
        all
    };
    let bare = tempfile::tempdir().unwrap();
    let by_flag = ligule(bare.path(), &[], &flag("midwest")).out;
    assert_ne!(
        by_flag,
        ligule(bare.path(), &[], &seen).out,
        "the region changes nothing"
    );
    assert_eq!(ligule(at, &[], &seen).out, by_flag);
    assert_eq!(ligule(at, &variable, &flag("midwest")).out, by_flag);
}

#[test]
fn a_knowledge_folder_in_a_file_is_meant_from_where_the_file_lies() {
    let dir = tempfile::tempdir().unwrap();
    let small = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/small-book");
    std::fs::create_dir_all(dir.path().join(".config/ligule")).unwrap();
    std::fs::write(
        dir.path().join(".config/ligule/config.yaml"),
        format!("knowledge: {}\n", small.display()),
    )
    .unwrap();
    let run = ligule(dir.path(), &[], &["knowledge", "list", "weed"]);
    assert!(run.out.contains("penny-creeper"), "{}{}", run.out, run.err);
    std::fs::write(
        dir.path().join(".config/ligule/config.yaml"),
        "knowledge: mine\n",
    )
    .unwrap();
    let run = ligule(dir.path(), &[], &["config"]);
    assert!(run.out.contains(".config/ligule/mine"), "{}", run.out);
}

#[test]
fn a_fault_in_a_file_of_settings_is_shown_where_it_is() {
    let dir = tempfile::tempdir().unwrap();
    std::fs::write(
        dir.path().join("ligule.yaml"),
        "place: us-oh\nregoin: midwest\n",
    )
    .unwrap();
    let run = ligule(dir.path(), &[], &["knowledge", "list", "turf"]);
    assert_eq!(run.code, 2);
    for part in ["ligule.yaml:2:1", "regoin: midwest", "region"] {
        assert!(run.err.contains(part), "{part}: {}", run.err);
    }
    std::fs::write(dir.path().join("ligule.yaml"), "color: pink\n").unwrap();
    let run = ligule(dir.path(), &[], &["knowledge", "list", "turf"]);
    assert!(run.code == 2 && run.err.contains("pink"), "{}", run.err);
}

/// A record that is named but not begun yet holds nothing up, and `record add` begins it there.
#[test]
fn a_record_in_the_settings_may_be_missing_until_it_is_begun() {
    let dir = tempfile::tempdir().unwrap();
    std::fs::write(dir.path().join("ligule.yaml"), "record: mine.db\n").unwrap();
    let choose = ["choose", "--weed", "dandelion", "--turf", "tall-fescue"];
    let run = ligule(dir.path(), &[], &choose);
    assert_eq!(run.code, 0, "{}", run.err);
    let run = ligule(
        dir.path(),
        &[],
        &[
            "record",
            "seeded",
            "--date",
            "2026-04-01",
            "--lawn",
            "the side lawn",
        ],
    );
    assert_eq!(run.code, 0, "{}", run.err);
    assert!(dir.path().join("mine.db").exists());
    let run = ligule(dir.path(), &[], &choose);
    assert_eq!(run.code, 0, "{}", run.err);
}

#[test]
fn bold_type_is_for_terminals_and_changes_no_word() {
    let dir = tempfile::tempdir().unwrap();
    let seen = [
        "identify",
        "--trait",
        "sap=milky",
        "--trait",
        "flower_colour=yellow",
    ];
    let with = |more: &[&str], variables: &[(&str, &str)]| {
        let mut all = seen.to_vec();
        all.extend(more);
        ligule(dir.path(), variables, &all).out
    };
    let plain = with(&[], &[("TERM", "xterm")]);
    assert!(!plain.contains('\u{1b}'), "a pipe is no terminal");
    let bold = with(&["--color", "always"], &[("NO_COLOR", "1")]);
    assert!(bold.contains("\u{1b}[1m"));
    assert_eq!(
        bold.replace("\u{1b}[1m", "").replace("\u{1b}[0m", ""),
        plain
    );
    assert_eq!(with(&["--color", "never"], &[]), plain);
    // What other programs read is never touched.
    for form in [
        &["key", "--what", "turf", "--format", "html"][..],
        &["key", "--what", "turf", "--format", "dot"],
        &["knowledge", "list", "turf", "--format", "json"],
    ] {
        let mut all = form.to_vec();
        all.extend(["--color", "always"]);
        assert_eq!(
            ligule(dir.path(), &[], &all).out,
            ligule(dir.path(), &[], form).out
        );
        assert!(!ligule(dir.path(), &[], &all).out.contains('\u{1b}'));
    }
}

/// `script` gives the program a terminal to write to.
#[test]
fn a_terminal_gets_bold_type_unless_it_asks_for_none() {
    let dir = tempfile::tempdir().unwrap();
    let on_a_terminal = |variables: &[(&str, &str)]| {
        let line = format!(
            "{} identify --trait sap=milky",
            env!("CARGO_BIN_EXE_ligule")
        );
        let out = Command::new("script")
            .args(["-qec", &line, "/dev/null"])
            .current_dir(dir.path())
            .env_remove("NO_COLOR")
            .env("TERM", "xterm")
            .envs(variables.iter().copied())
            .output()
            .expect("`script` of util-linux");
        String::from_utf8_lossy(&out.stdout).into_owned()
    };
    assert!(on_a_terminal(&[]).contains("\u{1b}[1mWhat it may be:"));
    for none in [
        ("NO_COLOR", "1"),
        ("TERM", "dumb"),
        ("LIGULE_COLOR", "never"),
    ] {
        let out = on_a_terminal(&[none]);
        assert!(
            out.contains("What it may be:") && !out.contains("\u{1b}[1m"),
            "{none:?}"
        );
    }
}

#[test]
fn shells_and_man_get_what_they_want() {
    let dir = tempfile::tempdir().unwrap();
    for (shell, sign) in [
        ("bash", "complete -F"),
        ("zsh", "#compdef ligule"),
        ("fish", "complete -c ligule"),
        ("powershell", "Register-ArgumentCompleter"),
    ] {
        let run = ligule(dir.path(), &[], &["completions", shell]);
        assert!(
            run.code == 0 && run.out.contains(sign) && run.out.contains("identify"),
            "{shell}"
        );
    }
    assert!(ligule(dir.path(), &[], &["manual"]).out.starts_with(".ie"));
    let run = ligule(dir.path(), &[], &["manual", "--out", "man"]);
    assert_eq!(run.code, 0, "{}", run.err);
    for page in ["ligule.1", "ligule-choose.1", "ligule-record-add.1"] {
        let text = std::fs::read_to_string(dir.path().join("man").join(page)).unwrap();
        assert!(
            text.contains(".SH EXAMPLES") && text.contains("ligule "),
            "{page}"
        );
    }
    let again = ligule(dir.path(), &[], &["manual", "--out", "man"]);
    assert!(
        again.code == 2 && again.err.contains("--force"),
        "{}",
        again.err
    );
}

#[test]
fn help_begins_with_examples() {
    let dir = tempfile::tempdir().unwrap();
    for command in [
        "treat",
        "identify",
        "choose",
        "amounts",
        "measure",
        "key",
        "season",
        "rotate",
        "record",
        "knowledge",
        "config",
    ] {
        for flag in ["-h", "--help"] {
            let run = ligule(dir.path(), &[], &[command, flag]);
            assert!(
                run.code == 0 && run.out.starts_with("Examples:"),
                "{command} {flag}: {}",
                run.out
            );
        }
    }
    let run = ligule(dir.path(), &[], &[]);
    assert!(run.code == 2 && run.err.starts_with("Examples:"));
    assert!(
        ligule(dir.path(), &[], &["--version"])
            .out
            .starts_with("ligule ")
    );
}
