//! `serve --listen` as it is started at home: what it prints, who is let in, and that guessing is slow. The address is one
//! of this machine's own (RFC 1122, 3.2.1.3: all of 127/8 is this machine), so that no network is needed; that it asks for
//! the word there as anywhere is a part of what is tried.
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "tests")]
#[path = "web/served.rs"]
mod served_by;

use served_by::{Answer, encoded, raw};
use std::io::{BufRead, BufReader, Read};
use std::net::SocketAddr;
use std::process::{Child, Command, Stdio};
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

/// The program while it serves; it ends with the test.
struct Program {
    child: Child,
    told: Arc<Mutex<String>>,
    at: SocketAddr,
    _folder: tempfile::TempDir,
}

impl Drop for Program {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

impl Program {
    fn started(more: &[&str]) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let mut child = Command::new(env!("CARGO_BIN_EXE_ligule"))
            .args([
                "serve",
                "--port",
                "0",
                "--today",
                "2026-05-09",
                "--lawn-dir",
            ])
            .arg(folder.path().join("lawn"))
            .args(more)
            .stdout(Stdio::null())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let told: Arc<Mutex<String>> = Arc::default();
        let (said, from) = (Arc::clone(&told), child.stderr.take().unwrap());
        std::thread::spawn(move || {
            for line in BufReader::new(from).lines().map_while(Result::ok) {
                let mut said = said.lock().unwrap();
                said.push_str(&line);
                said.push('\n');
            }
        });
        let mut program = Self {
            child,
            told,
            at: SocketAddr::from(([127, 0, 0, 1], 0)),
            _folder: folder,
        };
        program.wait_for("Ctrl-C ends it");
        let text = program.told();
        let address = text.split("http://").nth(1).expect("an address");
        program.at = address.split('/').next().unwrap().parse().unwrap();
        program
    }

    fn told(&self) -> String {
        self.told.lock().unwrap().clone()
    }

    fn wait_for(&self, words: &str) {
        let begun = Instant::now();
        while !self.told().contains(words) {
            assert!(
                begun.elapsed() < Duration::from_secs(60),
                "never said {words}: {}",
                self.told()
            );
            std::thread::sleep(Duration::from_millis(20));
        }
    }

    /// The word that was said last.
    fn word(&self) -> String {
        let text = self.told();
        let line = text
            .lines()
            .rfind(|l| l.to_lowercase().contains("word") && l.contains(": "))
            .unwrap();
        line.rsplit(": ").next().unwrap().trim().to_owned()
    }

    fn get(&self, path: &str, host: &str, cookie: &str) -> Answer {
        let request =
            format!("GET {path} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n{cookie}\r\n");
        raw(self.at, request.as_bytes()).expect("an answer")
    }

    fn post(&self, path: &str, fields: &[(&str, &str)], cookie: &str) -> Answer {
        served_by::post(self.at, path, fields, cookie)
    }

    fn cookie(&self, word: &str) -> String {
        let came = self.post("/enter", &[("word", word)], "");
        assert_eq!(came.status, 303, "{}", came.body);
        let cookie = came
            .header("set-cookie")
            .split(';')
            .next()
            .unwrap()
            .to_owned();
        format!("Cookie: {cookie}\r\n")
    }
}

/// The code on the terminal, read by a decoder that is not the one that drew it: light on a dark screen, two dots a letter.
fn scanned(text: &str) -> String {
    let rows: Vec<Vec<char>> = text
        .lines()
        .filter(|l| l.contains('█') || l.contains('▄') || l.contains('▀'))
        .map(|l| l.chars().collect())
        .collect();
    let width = rows.iter().map(Vec::len).max().unwrap();
    let dot = 6;
    let light = |x: usize, y: usize| {
        let sign = rows
            .get(y / 2)
            .and_then(|r| r.get(x))
            .copied()
            .unwrap_or(' ');
        sign == '█' || sign == if y.is_multiple_of(2) { '▀' } else { '▄' }
    };
    let mut picture =
        rqrr::PreparedImage::prepare_from_greyscale(width * dot, rows.len() * 2 * dot, |x, y| {
            if light(x / dot, y / dot) { 255 } else { 0 }
        });
    let found = picture.detect_grids();
    assert_eq!(found.len(), 1, "one code");
    found[0].decode().expect("a whole code").1
}

#[test]
fn what_is_printed_lets_one_phone_in_and_nobody_else() {
    let home = Program::started(&["--listen", "127.0.0.2"]);
    let (at, text, word) = (home.at, home.told(), home.word());
    assert_eq!(at.ip().to_string(), "127.0.0.2");
    for words in [
        "scan this",
        "good for one phone",
        "unencrypted",
        "read along",
        "at home only",
    ] {
        assert!(text.contains(words), "{words}: {text}");
    }
    assert_eq!(scanned(&text), format!("http://{at}/enter?word={word}"));
    // Without the word.
    let host = at.to_string();
    for page in [
        "/",
        "/record",
        "/record.csv",
        "/record/1/seen",
        "/visit/2026-05-09-aaaaa",
        "/nowhere",
    ] {
        let answer = home.get(page, &host, "");
        assert_eq!(answer.status, 303, "{page}");
        assert!(answer.location().starts_with("/enter?to="), "{page}");
    }
    for form in ["/visit", "/record/sown", "/record/applied", "/record"] {
        assert_eq!(
            home.post(form, &[("date", "2026-05-09")], "").status,
            403,
            "{form}"
        );
    }
    // Under another name, with the word or without.
    let cookie = home.cookie(&word);
    for name in ["localhost", "evil.example", "127.0.0.1"] {
        let other = format!("{name}:{}", at.port());
        assert_eq!(home.get("/", &other, &cookie).status, 421, "{name}");
        assert_eq!(home.get("/enter", &other, "").status, 421, "{name}");
    }
    // With the word.
    assert!(home.get("/", &host, &cookie).body.contains("Begin a visit"));
    assert_eq!(home.post("/visit", &[], &cookie).status, 303);
    // The word is used up, and the next one was said.
    home.wait_for("Word for the next one");
    assert_ne!(home.word(), word);
    assert_eq!(home.post("/enter", &[("word", &word)], "").status, 422);
    let second = home.cookie(&home.word());
    assert_ne!(second, cookie);
    assert_eq!(home.get("/", &host, &second).status, 200);
    assert_eq!(
        home.get("/", &host, &cookie).status,
        200,
        "the first phone stays"
    );
}

#[test]
fn guessing_the_word_is_slow_and_uses_it_up_while_pages_stay_quick() {
    let home = Program::started(&["--listen", "127.0.0.3"]);
    let (host, first) = (home.at.to_string(), home.word());
    let cookie = home.cookie(&first);
    home.wait_for("Word for the next one");
    let word = home.word();
    let begun = Instant::now();
    std::thread::scope(|scope| {
        let guesses: Vec<_> = (0..4)
            .map(|_| scope.spawn(|| home.post("/enter", &[("word", "babababababa")], "")))
            .collect();
        // While they wait, whoever is known does not.
        std::thread::sleep(Duration::from_millis(60));
        let asked = Instant::now();
        assert_eq!(home.get("/", &host, &cookie).status, 200);
        let took = asked.elapsed();
        assert!(took < Duration::from_millis(400), "{took:?}");
        for guess in guesses {
            assert_eq!(guess.join().unwrap().status, 422);
        }
    });
    assert!(
        begun.elapsed() >= Duration::from_millis(500),
        "{:?}",
        begun.elapsed()
    );
    let begun = Instant::now();
    assert_eq!(
        home.post("/enter", &[("word", "babababababa")], "").status,
        422
    );
    assert!(
        begun.elapsed() >= Duration::from_millis(500),
        "{:?}",
        begun.elapsed()
    );
    home.wait_for("Too many wrong words");
    assert_eq!(
        home.post("/enter", &[("word", &word)], "").status,
        422,
        "used up"
    );
    let begun = Instant::now();
    home.cookie(&home.word());
    assert!(
        begun.elapsed() < Duration::from_millis(500),
        "the right word is not held back"
    );
}

#[test]
fn a_slow_guesser_is_let_go() {
    let home = Program::started(&["--listen", "127.0.0.4"]);
    let body = encoded(&[("word", "ba")]);
    let mut stream = std::net::TcpStream::connect(home.at).unwrap();
    stream
        .set_read_timeout(Some(Duration::from_secs(60)))
        .unwrap();
    let head = format!(
        "POST /enter HTTP/1.1\r\nHost: {}\r\nOrigin: http://{}\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: 5000\r\n\r\n{body}",
        home.at, home.at
    );
    std::io::Write::write_all(&mut stream, head.as_bytes()).unwrap();
    let begun = Instant::now();
    let mut all = Vec::new();
    let _ = stream.read_to_end(&mut all);
    assert!(
        begun.elapsed() < Duration::from_secs(45),
        "{:?}",
        begun.elapsed()
    );
    assert!(String::from_utf8_lossy(&all).starts_with("HTTP/1.1 408"));
}

#[test]
fn without_listen_only_this_machine_is_answered_and_no_word_is_asked() {
    let here = Program::started(&[]);
    assert_eq!(here.at.ip().to_string(), "127.0.0.1");
    assert!(here.told().contains("Nobody else can read it"));
    let port = here.at.port();
    assert_eq!(here.get("/", &format!("localhost:{port}"), "").status, 200);
    assert_eq!(here.get("/", &format!("127.0.0.2:{port}"), "").status, 421);
    assert!(std::net::TcpStream::connect(("127.0.0.2", port)).is_err());
}

#[test]
fn an_address_that_cannot_be_named_is_refused_with_the_remedy() {
    for (typed, words) in [
        ("0.0.0.0", "name one address"),
        ("home.example", "is no address of this machine"),
        ("192.0.2.1", "cannot listen at 192.0.2.1"),
    ] {
        let folder = tempfile::tempdir().unwrap();
        let out = Command::new(env!("CARGO_BIN_EXE_ligule"))
            .args(["serve", "--port", "0", "--listen", typed, "--lawn-dir"])
            .arg(folder.path().join("lawn"))
            .output()
            .unwrap();
        assert_eq!(out.status.code(), Some(2), "{typed}");
        let said = String::from_utf8_lossy(&out.stderr);
        assert!(said.contains(words), "{typed}: {said}");
        assert!(
            !folder.path().join("lawn").exists(),
            "{typed}: nothing was made"
        );
    }
}
