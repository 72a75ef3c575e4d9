//! A server of the pages inside the test, and a client so plain that it can send what no browser would.
#![allow(dead_code, reason = "each test binary uses a part")]
use ligule::knowledge::Knowledge;
use ligule::knowledge::sketches::Sketches;
use ligule::web::{Options, Patience, Site, serve};
use std::io::{Read, Write};
use std::net::{SocketAddr, TcpListener, TcpStream};
use std::path::Path;
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Arc, Mutex, OnceLock};
use std::time::Duration;
use tempfile::TempDir;

pub fn book() -> &'static Knowledge {
    static BOOK: OnceLock<Knowledge> = OnceLock::new();
    BOOK.get_or_init(|| Knowledge::embedded().expect("sound"))
}

pub struct Served {
    pub at: SocketAddr,
    pub folder: TempDir,
    pub told: Arc<Mutex<Vec<String>>>,
    pub site: Arc<Site>,
}

/// Serves a fresh lawn folder. The thread ends with the test process.
pub fn served(word_needed: bool, patience: Patience) -> Served {
    let folder = tempfile::tempdir().expect("a folder");
    let (at, site, told) = over(&folder.path().join("lawn"), word_needed, patience);
    Served {
        at,
        folder,
        told,
        site,
    }
}

type Told = Arc<Mutex<Vec<String>>>;

// Secrets are repeatable, yet never twice the same.
static SEED: AtomicU64 = AtomicU64::new(1);

/// Serves a lawn folder.
pub fn over(lawn: &Path, word_needed: bool, patience: Patience) -> (SocketAddr, Arc<Site>, Told) {
    let listener = TcpListener::bind("127.0.0.1:0").expect("a port");
    let at = listener.local_addr().expect("an address");
    let told: Told = Arc::default();
    let tell = Arc::clone(&told);
    let options = Options {
        folder: lawn.to_owned(),
        hosts: vec![at.to_string()],
        word_needed,
        today: Arc::new(|| jiff::civil::date(2026, 5, 9)),
        chance: Arc::new(|| {
            let n = SEED.fetch_add(1, Ordering::Relaxed);
            let a = n.wrapping_mul(0x9e37_79b9_7f4a_7c15);
            let b = a.rotate_left(29).wrapping_mul(0xbf58_476d_1ce4_e5b9);
            let mut all = [0; 16];
            all[..8].copy_from_slice(&(a ^ (a >> 31)).to_le_bytes());
            all[8..].copy_from_slice(&(b ^ (b >> 27)).to_le_bytes());
            all
        }),
        tell: Arc::new(move |words| tell.lock().expect("whole").push(words.to_owned())),
    };
    let site = Site::new(book(), Sketches::embedded(), options).expect("a lawn folder");
    let shared = Arc::clone(&site);
    std::thread::spawn(move || serve(listener, &shared, patience));
    (at, site, told)
}

#[derive(Debug, Clone)]
pub struct Answer {
    pub status: u16,
    pub headers: Vec<(String, String)>,
    pub body: String,
}

impl Answer {
    pub fn header(&self, name: &str) -> &str {
        self.headers
            .iter()
            .find(|(n, _)| n.eq_ignore_ascii_case(name))
            .map_or("", |(_, v)| v)
    }

    pub fn location(&self) -> &str {
        self.header("location")
    }
}

/// Sends bytes as they are and reads until the server closes or the answer is whole.
pub fn raw(at: SocketAddr, bytes: &[u8]) -> Option<Answer> {
    let mut stream = TcpStream::connect(at).expect("the server listens");
    stream
        .set_read_timeout(Some(Duration::from_secs(20)))
        .expect("a time-out");
    // A server that refuses early may close while bytes are still on their way.
    let _ = stream.write_all(bytes);
    read(&mut stream)
}

pub fn read(stream: &mut TcpStream) -> Option<Answer> {
    let mut all = Vec::new();
    let mut piece = [0; 16 * 1024];
    loop {
        if let Some(answer) = whole(&all) {
            return Some(answer);
        }
        match stream.read(&mut piece) {
            Ok(0) | Err(_) => return whole(&all),
            Ok(n) => all.extend_from_slice(&piece[..n]),
        }
    }
}

fn whole(all: &[u8]) -> Option<Answer> {
    let end = all.windows(4).position(|w| w == b"\r\n\r\n")?;
    let head = String::from_utf8_lossy(&all[..end]).into_owned();
    let mut lines = head.lines();
    let status = lines.next()?.split(' ').nth(1)?.parse().ok()?;
    let headers: Vec<(String, String)> = lines
        .filter_map(|l| l.split_once(": "))
        .map(|(n, v)| (n.to_owned(), v.to_owned()))
        .collect();
    let length: usize = headers
        .iter()
        .find(|(n, _)| n.eq_ignore_ascii_case("content-length"))
        .and_then(|(_, v)| v.parse().ok())
        .unwrap_or(0);
    let body = all.get(end + 4..end + 4 + length)?;
    Some(Answer {
        status,
        headers,
        body: String::from_utf8_lossy(body).into_owned(),
    })
}

pub fn encoded(fields: &[(&str, &str)]) -> String {
    let pair = |t: &str| -> String {
        t.bytes()
            .map(|b| match b {
                b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'-' | b'_' | b'.' => {
                    char::from(b).to_string()
                }
                other => format!("%{other:02X}"),
            })
            .collect()
    };
    let all: Vec<String> = fields
        .iter()
        .map(|(n, v)| format!("{}={}", pair(n), pair(v)))
        .collect();
    all.join("&")
}

impl Served {
    pub fn get(&self, path: &str) -> Answer {
        get(self.at, path, "")
    }

    pub fn post(&self, path: &str, fields: &[(&str, &str)]) -> Answer {
        post(self.at, path, fields, "")
    }

    /// A page that has to be there.
    pub fn page(&self, path: &str) -> String {
        let answer = self.get(path);
        assert_eq!(answer.status, 200, "{path}: {}", answer.body);
        answer.body
    }

    /// A form that has to be taken; gives where it leads.
    pub fn sent(&self, path: &str, fields: &[(&str, &str)]) -> String {
        let answer = self.post(path, fields);
        assert_eq!(answer.status, 303, "{path}: {}", answer.body);
        answer.location().to_owned()
    }

    /// A visit that has just begun: the beginning of its addresses.
    pub fn begun(&self) -> String {
        let first = self.sent("/visit", &[]);
        first.trim_end_matches("/lawn/grass").to_owned()
    }
}

pub fn get(at: SocketAddr, path: &str, more: &str) -> Answer {
    let request = format!("GET {path} HTTP/1.1\r\nHost: {at}\r\nConnection: close\r\n{more}\r\n");
    raw(at, request.as_bytes()).expect("an answer")
}

pub fn post(at: SocketAddr, path: &str, fields: &[(&str, &str)], more: &str) -> Answer {
    let body = encoded(fields);
    let request = format!(
        "POST {path} HTTP/1.1\r\nHost: {at}\r\nOrigin: http://{at}\r\nConnection: close\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: {}\r\n{more}\r\n{body}",
        body.len()
    );
    raw(at, request.as_bytes()).expect("an answer")
}

/// A form with a file, as browsers send it.
pub fn file_form(name: &str, file: &str, text: &str) -> (String, String) {
    let line = "----------------------------ligule";
    let body = format!(
        "--{line}\r\nContent-Disposition: form-data; name=\"{name}\"; filename=\"{file}\"\r\nContent-Type: text/csv\r\n\r\n{text}\r\n--{line}--\r\n"
    );
    (format!("multipart/form-data; boundary={line}"), body)
}

pub fn post_file(at: SocketAddr, path: &str, file: &str, text: &str) -> Answer {
    let (kind, body) = file_form("forecast", file, text);
    let request = format!(
        "POST {path} HTTP/1.1\r\nHost: {at}\r\nOrigin: http://{at}\r\nConnection: close\r\nContent-Type: {kind}\r\nContent-Length: {}\r\n\r\n{body}",
        body.len()
    );
    raw(at, request.as_bytes()).expect("an answer")
}

/// Takes a visit through the whole job up to a product on the shelf. All figures of the product are invented.
pub fn whole_job(served: &Served, name: &str) -> String {
    let visit = served.begun();
    for (question, answers) in [
        ("grass", vec!["tall-fescue"]),
        ("stage", vec!["established"]),
        ("near", vec!["near-garden", "children-or-pets"]),
        ("place", vec!["us-oh"]),
        ("who", vec!["homeowner"]),
        ("air", vec!["72F"]),
        ("region", vec!["midwest"]),
        ("name", vec![name]),
    ] {
        let fields: Vec<(&str, &str)> = answers.iter().map(|a| ("answer", *a)).collect();
        served.sent(&format!("{visit}/lawn/{question}"), &fields);
    }
    served.sent(
        &format!("{visit}/area"),
        &[
            ("name", "front"),
            ("shape", "60 ft x 40 ft"),
            ("minus", "20 ft x 10 ft"),
        ],
    );
    served.sent(&format!("{visit}/plant"), &[]);
    for (of, answer) in [
        ("group", "broadleaf"),
        ("stem_section", "square"),
        ("leaf_arrangement", "opposite"),
        ("leaf_shape", "kidney"),
        ("leaf_margin", "scalloped"),
        ("smell_when_crushed", "mint"),
        ("stem_rooting", "yes"),
    ] {
        served.sent(
            &format!("{visit}/plant/1"),
            &[("of", of), ("answer", answer)],
        );
    }
    served.sent(&format!("{visit}/plant/1/name"), &[("weed", "ground-ivy")]);
    served.sent(&format!("{visit}/choice"), &[("take", "triclopyr")]);
    served.sent(
        &format!("{visit}/shelf/new"),
        &[
            ("name", "clover spray A"),
            ("actives", "triclopyr = 4 lb a.e./gal"),
            ("formulation", "EC"),
            ("broadcast", "0.4-0.6 fl oz/1000 sq ft"),
            ("water", "0.75-2 gal/1000 sq ft"),
            ("most", "0.6 fl oz/1000 sq ft"),
            ("year", "1.2 fl oz/1000 sq ft"),
            ("grasses", "tall-fescue"),
            ("weeds", "ground-ivy"),
        ],
    );
    served.sent(
        &format!("{visit}/gear"),
        &[
            ("tank", "2 gal"),
            ("output", "1 gal/1000 sq ft"),
            ("droplets", "coarse"),
            ("measuring", "syringe 0.5 mL"),
        ],
    );
    visit
}

/// Every page of a visit, and those outside it.
pub fn pages(visit: &str) -> Vec<String> {
    let own = [
        "",
        "/lawn",
        "/lawn/grass",
        "/lawn/stage",
        "/lawn/near",
        "/lawn/place",
        "/lawn/who",
        "/lawn/air",
        "/lawn/region",
        "/lawn/name",
        "/area",
        "/grass",
        "/grass?t.group=grass&t.vernation=folded",
        "/plant",
        "/plant/1",
        "/plant/1?several=yes",
        "/plant/1/seen",
        "/plant/1/name",
        "/plant/1/about/leaf_margin",
        "/plant/1/about/leaf_margin?several=yes",
        "/plant/1/about/leaf_width_mm",
        "/choice",
        "/shelf",
        "/shelf/1",
        "/shelf/new",
        "/gear",
        "/amounts",
        "/day",
        "/note",
        "/record",
    ];
    let mut all: Vec<String> = own.iter().map(|p| format!("{visit}{p}")).collect();
    all.extend(["/".to_owned(), "/record".to_owned(), "/nowhere".to_owned()]);
    all
}
