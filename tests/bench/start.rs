//! Start-up of the whole program: `cargo bench --bench start`.
//!
//! Figures are medians; machines are noisy, so each also stands as a ratio to `git --version` in the same run.
//! The memory bar is checked by running under a limit of address space, which is stricter than resident memory.
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

const RUNS: usize = 41;
/// 96 MiB in the kilobytes that `ulimit -v` takes.
const MEMORY_KB: usize = 96 * 1024;

fn median(mut run: impl FnMut() -> Duration) -> Duration {
    let mut all: Vec<Duration> = (0..RUNS).map(|_| run()).collect();
    all.sort_unstable();
    all[RUNS / 2]
}

fn time(program: &str, arguments: &[&str]) -> Duration {
    let start = Instant::now();
    let status = Command::new(program)
        .args(arguments)
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status();
    assert!(
        status.is_ok_and(|s| s.code().is_some_and(|c| c < 2)),
        "{program} {arguments:?} does not run"
    );
    start.elapsed()
}

fn main() {
    let ligule = env!("CARGO_BIN_EXE_ligule");
    let identify = [
        "identify",
        "--trait",
        "group=broadleaf",
        "--trait",
        "leaf_arrangement=opposite",
        "--trait",
        "flower_colour=purple",
        "--trait",
        "stem_section=square",
        "--month",
        "5",
        "--turf",
        "tall-fescue",
        "--format",
        "json",
    ];
    let choose = [
        "choose",
        "--weed",
        "ground-ivy",
        "--weed",
        "white-clover",
        "--turf",
        "tall-fescue",
        "--month",
        "5",
        "--format",
        "json",
    ];
    let git = median(|| time("git", &["--version"]));
    println!("git --version: {git:?}");
    for (name, arguments) in [("identify", &identify[..]), ("choose", &choose[..])] {
        let took = median(|| time(ligule, arguments));
        println!(
            "{name}: {took:?}, {:.1} times git --version (bar: 100 ms)",
            took.as_secs_f64() / git.as_secs_f64()
        );
        let quoted: Vec<String> = arguments.iter().map(|a| format!("'{a}'")).collect();
        let limited = format!("ulimit -v {MEMORY_KB}; '{ligule}' {}", quoted.join(" "));
        time("sh", &["-c", &limited]);
        println!("{name}: runs within 96 MiB of address space");
    }
}
