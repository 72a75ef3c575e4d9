//! Transcripts of every screen of the terminal: what is typed, what is printed, how it ends. They lie as text in
//! `tests/data/transcripts`, one file a command, made over the small invented book so that the real one may grow.
//!
//! After a change that was meant: `LIGULE_WRITE_TRANSCRIPTS=1 cargo test --test transcripts`, and read the difference.
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "tests")]
use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::fs;
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// A line that is typed, and what is typed after it.
type Step = (&'static str, &'static str);

/// Every command that does something, with what is typed. The first word of the name is the file.
const SCREENS: &[(&str, &[Step])] = &[
    (
        "treat",
        &[
            (
                "treat --today 2026-05-09 --out notes",
                "demo cool grass\nestablished\nnothing of these\nDemoland\n1\n72F\npeny creeper\npenny creeper\nn\n1\n",
            ),
            (
                "treat --today 2026-05-09 --out none",
                "demo cool grass\nestablished\nnothing of these\nDemoland\n1\n72F\nn\n",
            ),
            ("treat --today 2026-05-09 --out notes", "why\n?\nback\n"),
            ("treat --answers visit.yaml --out again", ""),
            ("treat --answers visit.yaml --out again", ""),
            ("treat --answers gone.yaml", ""),
            ("treat --answers slip.yaml", ""),
        ],
    ),
    (
        "identify",
        &[
            ("identify", "broadleaf\nwhy\nn\nback\ndone\n"),
            (
                "identify --trait kind=broadleaf --trait stem=square --month 5",
                "",
            ),
            ("identify --trait kind=bradleaf", ""),
            ("identify --trait kind=sedge --trait flower=blue", ""),
            ("identify --region nowhere", ""),
            (
                "identify --turf demo-cool-grass",
                "broadleaf\nwhat\nagain\nbroadleaf\ny\nscalloped\nback\nscalloped\nround\n",
            ),
            ("identify --what turf --month 5 --turf demo-cool-grass", ""),
            (
                "identify --knowledge coins",
                "silver\n?\nback\nsilver\nn\ndone\n",
            ),
            ("identify --knowledge coins --unsure metal", ""),
            (
                "identify --knowledge coins --trait metal=silver --unsure metal",
                "",
            ),
            ("identify --knowledge coins --region nowhere", ""),
            ("identify --knowledge coins --what turf", ""),
        ],
    ),
    (
        "choose",
        &[
            (
                "choose --weed penny-creeper --turf demo-cool-grass --month 5",
                "",
            ),
            (
                "choose --weed penny-creeper=8 --weed thread-sedge=3 --turf demo-warm-grass --use ordinary --without-chemicals",
                "",
            ),
            (
                "choose --weed penny-creeper --turf demo-cool-grass --explain",
                "",
            ),
            (
                "choose --weed penny-creeper --turf demo-cool-grass --ask",
                "",
            ),
            (
                "choose --weed thread-sedge --turf demo-cool-grass --place demoland --applicator for-hire",
                "",
            ),
            ("choose --weed peny-creeper --turf demo-cool-grass", ""),
        ],
    ),
    (
        "amounts",
        &[
            ("amounts --answers visit.yaml", ""),
            (
                "amounts --answers visit.yaml --product \"no such product\"",
                "",
            ),
        ],
    ),
    (
        "measure",
        &[
            ("measure convert \"2.5 pt/A\" --to \"fl oz/1000 sq ft\"", ""),
            (
                "measure convert \"2.5 pints per acer\" --to \"fl oz/1000 sq ft\"",
                "",
            ),
            (
                "measure area \"80 ft x 60 ft\" \"circle radius 30 ft\" --without \"40 ft x 30 ft\"",
                "",
            ),
            ("measure area \"80 ft x 60\"", ""),
        ],
    ),
    (
        "key",
        &[
            ("key", ""),
            ("key --format dot", ""),
            ("key --turf demo-cool-grass --month 5", ""),
            ("key --what turf --month 5 --region nowhere", ""),
            ("key --knowledge coins", ""),
            ("key --knowledge coins --measure", ""),
        ],
    ),
    (
        "season",
        &[
            ("season air --temperature 72F --humidity 55", ""),
            ("season degree-days --weather spring.csv --base 50F", ""),
            (
                "season windows --weather spring.csv --weed penny-creeper",
                "",
            ),
            ("season hours --weather forecast.csv --at 39.9,-83.0", ""),
            ("season hours --weather gone.csv", ""),
        ],
    ),
    (
        "rotate",
        &[
            (
                "record add --today 2026-05-09 --date 2025-05-02 --active \"demosulf=0.5 lb/acre\"",
                "",
            ),
            (
                "rotate plan --record lawn-record.db --weed thread-sedge --turf demo-warm-grass --months 5 --from 2027 --years 3 --today 2026-05-09",
                "",
            ),
            (
                "rotate compare --record lawn-record.db --area-m2 200 --weed thread-sedge --turf demo-warm-grass --months 5 --from 2027 --years 3 --today 2026-05-09",
                "",
            ),
            (
                "rotate share --start 0.0001 --pressure 10 --seed-years 4",
                "",
            ),
            ("rotate suspect --weed thread-sedge --group 2", ""),
        ],
    ),
    (
        "record",
        &[
            ("record list", ""),
            (
                "record add --today 2026-05-09 --date 2026-05-02 --lawn side --active \"fabricam=0.5 lb/acre\" --weed penny-creeper --place demoland",
                "",
            ),
            (
                "record add --today 2026-05-09 --date 2026-05-12 --active fabricam",
                "",
            ),
            (
                "record add --today 2026-05-09 --ask",
                "2026-05-03\nside\nDemoland\npenny creeper\n\ninventol\nlots\n0.4 lb/acre\n\ndone\n",
            ),
            (
                "record observe 1 --today 2026-05-09 --control 60 --remarks \"new leaves\"",
                "",
            ),
            ("record observe 1 --today 2026-05-09 --control 120", ""),
            (
                "record seeded --today 2026-05-09 --lawn side --turf demo-cool-grass",
                "",
            ),
            (
                "record correct 1 --today 2026-05-09 --why \"read from the wrong line\" --active \"fabricam=0.4 lb/acre\"",
                "",
            ),
            (
                "record correct 1 --today 2026-05-09 --why again --lawn front",
                "",
            ),
            (
                "record correct 4 --today 2026-05-09 --why \"never done\" --withdraw",
                "",
            ),
            ("record list --all", ""),
            ("record limits --today 2026-05-09", ""),
            ("record fields --place demoland", ""),
            ("record export --as csv --out record.csv", ""),
            ("record import record.csv --record other.db", ""),
            ("record backup copy.db", ""),
            ("record verify --today 2026-05-09", ""),
        ],
    ),
    (
        "serve",
        &[
            ("serve --listen 0.0.0.0", ""),
            ("serve --listen home.example", ""),
        ],
    ),
    (
        "knowledge",
        &[
            ("knowledge check book", ""),
            ("knowledge check gone", ""),
            ("knowledge explain unknown-id", ""),
            ("knowledge list weed", ""),
            ("knowledge show weed penny-creeper", ""),
            ("knowledge show active demosulf", ""),
            ("knowledge show weed peny", ""),
            ("knowledge book --out handbook", ""),
            ("knowledge cases book/cases", ""),
            ("knowledge new weed my-weed --dir fresh", ""),
            ("knowledge schema --out schema", ""),
        ],
    ),
    ("config", &[("config", "")]),
    ("completions", &[("completions --help", "")]),
    ("manual", &[("manual --help", "")]),
];

/// Commands that are seen only by their help here; each with where it is tried.
const ELSEWHERE: [(&str, &str); 2] = [
    ("measure", "tests/measure_program.rs runs every calculation"),
    ("completions", "tests/settings.rs"),
];

fn data(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/data")
        .join(name)
}

/// Words parted by spaces; quotes hold words together.
fn words(line: &str) -> Vec<String> {
    let mut all = vec![String::new()];
    let mut quoted = false;
    for c in line.chars() {
        match c {
            '"' => quoted = !quoted,
            ' ' if !quoted => all.push(String::new()),
            c => all.last_mut().unwrap().push(c),
        }
    }
    all
}

/// The screen of one line.
fn screen(dir: &Path, line: &str, typed: &str) -> String {
    let mut child = Command::new(env!("CARGO_BIN_EXE_ligule"))
        .args(words(line))
        .current_dir(dir)
        .env_clear()
        .env("HOME", dir.join("home"))
        .env("LIGULE_KNOWLEDGE", dir.join("book"))
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    // The program may end before it has read everything.
    let _ = child.stdin.take().unwrap().write_all(typed.as_bytes());
    let ended = child.wait_with_output().unwrap();
    let mut text = format!("$ ligule {line}\n");
    for answer in typed.lines() {
        let _ = writeln!(text, "< {answer}");
    }
    for (mark, part) in [("", ended.stdout), ("! ", ended.stderr)] {
        for line in String::from_utf8(part).expect("text").lines() {
            let _ = writeln!(text, "{}", format!("{mark}{line}").trim_end());
        }
    }
    let _ = writeln!(
        text,
        "= {}",
        ended.status.code().expect("it ends by itself")
    );
    // The folder of the test is named differently every time.
    text.replace(&dir.display().to_string(), "HERE")
}

/// A folder with the small book, the book of coins, answers, a slip, weather.
fn folder() -> tempfile::TempDir {
    let dir = tempfile::tempdir().unwrap();
    let book = dir.path().join("book");
    copy(&data("small-book"), &book);
    copy(&data("coin-book"), &dir.path().join("coins"));
    for file in ["forecast.csv", "spring.csv"] {
        fs::copy(data("weather").join(file), dir.path().join(file)).unwrap();
    }
    let visit = fs::read_to_string(data("transcripts/visit.yaml")).unwrap();
    fs::write(dir.path().join("visit.yaml"), &visit).unwrap();
    fs::write(
        dir.path().join("slip.yaml"),
        visit.replace("area:", "aera:"),
    )
    .unwrap();
    fs::create_dir(dir.path().join("fresh")).unwrap();
    dir
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

/// Holds a transcript against its file, or writes it.
fn held(name: &str, now: &str) -> Result<(), String> {
    let path = data("transcripts").join(format!("{name}.txt"));
    if std::env::var_os("LIGULE_WRITE_TRANSCRIPTS").is_some() {
        fs::write(path, now).unwrap();
        return Ok(());
    }
    let then = fs::read_to_string(&path).map_err(|e| format!("{}: {e}", path.display()))?;
    if then == now {
        return Ok(());
    }
    let differs = then.lines().zip(now.lines()).position(|(a, b)| a != b);
    let line = differs.unwrap_or_else(|| then.lines().count().min(now.lines().count()));
    Err(format!(
        "{}:{}: was\n  {}\nand is\n  {}",
        path.display(),
        line + 1,
        then.lines().nth(line).unwrap_or("(nothing)"),
        now.lines().nth(line).unwrap_or("(nothing)")
    ))
}

#[test]
fn every_screen_is_as_it_was() {
    let mut wrong = Vec::new();
    for (name, steps) in SCREENS {
        let dir = folder();
        let all: Vec<String> = steps
            .iter()
            .map(|(line, typed)| screen(dir.path(), line, typed))
            .collect();
        wrong.extend(held(name, &all.join("\n")).err());
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n\n"));
}

/// Every command and its parts, as the program's own help lists them.
fn commands(dir: &Path, of: &str, all: &mut Vec<(String, String)>) {
    let help = screen(dir, format!("{of} --help").trim(), "");
    let listed: Vec<String> = help
        .lines()
        .skip_while(|l| *l != "Commands:")
        .skip(1)
        .take_while(|l| !l.is_empty())
        // A line that goes on is set in deeper.
        .filter(|l| l.starts_with("  ") && !l.starts_with("   "))
        .filter_map(|l| l.split_whitespace().next().map(str::to_owned))
        .filter(|c| c != "help")
        .collect();
    all.push((of.to_owned(), help));
    for command in listed {
        commands(dir, format!("{of} {command}").trim(), all);
    }
}

#[test]
fn every_help_is_as_it_was_and_every_command_has_its_screen() {
    let dir = folder();
    let mut all = Vec::new();
    commands(dir.path(), "", &mut all);
    assert!(all.len() > 40, "{}", all.len());
    let text: Vec<&str> = all.iter().map(|(_, help)| help.as_str()).collect();
    held("help", &text.join("\n")).unwrap_or_else(|e| panic!("{e}"));
    let parents: BTreeSet<&str> = all
        .iter()
        .filter_map(|(c, _)| c.rsplit_once(' '))
        .map(|(p, _)| p)
        .collect();
    let leaves = all
        .iter()
        .map(|(c, _)| c.as_str())
        .filter(|c| !c.is_empty() && !parents.contains(c));
    let shown = |command: &str| {
        let begins = |line: &str| line == command || line.starts_with(&format!("{command} "));
        SCREENS
            .iter()
            .any(|(_, steps)| steps.iter().any(|(line, _)| begins(line)))
            || ELSEWHERE.iter().any(|(of, _)| command.starts_with(of))
    };
    let missing: Vec<&str> = leaves.filter(|c| !shown(c)).collect();
    assert!(missing.is_empty(), "without a transcript: {missing:?}");
}
