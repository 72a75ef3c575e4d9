//! How fast pages are answered under a steady load: `cargo bench --bench pages`.
//!
//! So many requests a second go out at fixed times, whether or not the answers before them are there, so that a stall is
//! seen by every request behind it. Server and load share the machine. Bars: 15 ms at the 99th percentile at 200
//! requests a second for 30 s, and memory that does not grow.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::too_many_lines,
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a benchmark"
)]
#[path = "../web/served.rs"]
mod served_by;

use ligule::web::Patience;
use served_by::{encoded, pages, post_file, read, served, whole_job};
use std::io::Write;
use std::net::TcpStream;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

const RATE: u32 = 200;
const SECONDS: u32 = 30;
const PHONES: usize = 16;
const BAR_MS: f64 = 15.0;

/// Resident memory in kilobytes; 0 where the system does not tell.
fn resident() -> u64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find(|l| l.starts_with("VmRSS:"));
    line.and_then(|l| l.split_whitespace().nth(1)?.parse().ok())
        .unwrap_or(0)
}

fn main() {
    let web = served(false, Patience::default());
    let visit = whole_job(&web, "side");
    let at = web.at;
    // A forecast that begins on the day of the visit, and a record with a treatment and what was seen after it, so that no
    // page is lighter than in use.
    let forecast = include_str!("../data/weather/forecast.csv");
    let days = [
        ("07T", "12T"),
        ("06T", "11T"),
        ("05T", "10T"),
        ("04T", "09T"),
    ];
    let forecast = days.iter().fold(forecast.to_owned(), |csv, (from, to)| {
        csv.replace(&format!("2026-05-{from}"), &format!("2026-05-{to}"))
    });
    let sent = post_file(at, &format!("{visit}/day"), "f.csv", &forecast);
    assert_eq!(sent.status, 303, "{}", sent.body);
    web.sent(
        "/record/applied",
        &[
            ("date", "2025-05-02"),
            ("lawn", "side"),
            ("weeds", "ground ivy"),
            ("actives-1", "triclopyr = 0.5 lb/acre"),
        ],
    );
    web.sent(
        "/record/1/seen",
        &[("date", "2025-05-20"), ("control", "60")],
    );
    let heavy = web.page(&format!("{visit}/note/note.html"));
    assert!(heavy.contains("forecast"), "the note has its hours");
    let mut requests: Vec<(String, String)> = pages(&visit)
        .into_iter()
        .chain([
            format!("{visit}/note/note.html"),
            "/look.css".to_owned(),
            "/record/1/seen".to_owned(),
            "/record/1/correct".to_owned(),
            "/record/sown".to_owned(),
        ])
        .map(|page| {
            let bytes = format!("GET {page} HTTP/1.1\r\nHost: {at}\r\n\r\n");
            (page.trim_start_matches(&visit).to_owned(), bytes)
        })
        .collect();
    // An answer is kept on the disk before it is taken, so a few of them go along.
    for answer in ["square", "round"] {
        let body = encoded(&[("of", "stem_section"), ("answer", answer)]);
        requests.push((
            "an answer kept".to_owned(),
            format!(
                "POST {visit}/plant/1 HTTP/1.1\r\nHost: {at}\r\nOrigin: http://{at}\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: {}\r\n\r\n{body}",
                body.len()
            ),
        ));
    }
    let requests = Arc::new(requests);
    // Once round without a clock, as a server that has been up for a while.
    for (name, bytes) in requests.iter() {
        let mut stream = TcpStream::connect(at).unwrap();
        stream.write_all(bytes.as_bytes()).unwrap();
        let begun = Instant::now();
        let answer = read(&mut stream).unwrap();
        println!(
            "{:>8.2} ms  {} {name}",
            begun.elapsed().as_secs_f64() * 1e3,
            answer.status
        );
    }
    let times: Arc<Mutex<Vec<(Duration, usize)>>> = Arc::default();
    let next = Arc::new(AtomicUsize::new(0));
    let total = (RATE * SECONDS) as usize;
    let before = resident();
    let begun = Instant::now();
    let mut memory = Vec::new();
    std::thread::scope(|scope| {
        for _ in 0..PHONES {
            let (times, next, requests) =
                (Arc::clone(&times), Arc::clone(&next), Arc::clone(&requests));
            scope.spawn(move || {
                let mut stream = TcpStream::connect(at).unwrap();
                loop {
                    let n = next.fetch_add(1, Ordering::Relaxed);
                    if n >= total {
                        return;
                    }
                    let due = Duration::from_secs_f64(n as f64 / f64::from(RATE));
                    std::thread::sleep(due.saturating_sub(begun.elapsed()));
                    let which = n % requests.len();
                    stream.write_all(requests[which].1.as_bytes()).unwrap();
                    let answer = read(&mut stream).expect("an answer");
                    assert!(
                        [200, 303, 404].contains(&answer.status),
                        "{}",
                        requests[which].0
                    );
                    // From when it was due, not from when it could be sent.
                    let took = begun.elapsed().saturating_sub(due);
                    times.lock().unwrap().push((took, which));
                }
            });
        }
        for _ in 0..6 {
            std::thread::sleep(Duration::from_secs(u64::from(SECONDS) / 6));
            memory.push(resident());
        }
    });
    let mut times = times.lock().unwrap().clone();
    times.sort_unstable();
    let ms = |share: f64| {
        let at = ((times.len() - 1) as f64 * share) as usize;
        times[at].0.as_secs_f64() * 1e3
    };
    println!(
        "{} requests in {:.1} s: median {:.2} ms, 95 % {:.2} ms, 99 % {:.2} ms, slowest {:.2} ms",
        times.len(),
        begun.elapsed().as_secs_f64(),
        ms(0.5),
        ms(0.95),
        ms(0.99),
        ms(1.0)
    );
    for (took, which) in times.iter().rev().take(5) {
        println!(
            "  {:>8.2} ms  {}",
            took.as_secs_f64() * 1e3,
            requests[*which].0
        );
    }
    println!(
        "memory before {before} kB, then every {} s: {memory:?}",
        SECONDS / 6
    );
    let within = ms(0.99) <= BAR_MS;
    println!(
        "bar of {BAR_MS} ms at the 99th percentile: {}",
        if within { "kept" } else { "MISSED" }
    );
    assert!(within);
}
