//! What is refused: foreign names and forms, guesses, tricks with paths, too much, too slow, too many; and markup in
//! anything that a user can type.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::too_many_lines,
    reason = "tests"
)]
#[path = "web/served.rs"]
mod served_by;

use ligule::web::Patience;
use served_by::{
    Answer, encoded, file_form, get, pages, post, post_file, raw, read, served, whole_job,
};
use std::fs;
use std::io::Write;
use std::net::TcpStream;
use std::time::{Duration, Instant};

fn fresh() -> served_by::Served {
    served(false, Patience::default())
}

fn visits(web: &served_by::Served) -> usize {
    let folder = fs::read_dir(web.folder.path().join("lawn/visits")).unwrap();
    folder
        .filter(|e| {
            let name = e.as_ref().unwrap().file_name();
            std::path::Path::new(&name)
                .extension()
                .is_some_and(|e| e == "yaml")
        })
        .count()
}

#[test]
fn a_foreign_name_for_this_machine_is_refused() {
    let web = fresh();
    let port = web.at.port();
    for host in [
        format!("Host: evil.example:{port}\r\n"),
        format!("Host: evil.example\r\nHost: {}\r\n", web.at),
        format!("Host: {}.evil.example\r\n", web.at),
        "Host: 127.0.0.1\r\n".to_owned(),
        String::new(),
    ] {
        let request = format!("GET / HTTP/1.1\r\n{host}Connection: close\r\n\r\n");
        let answer = raw(web.at, request.as_bytes()).expect("an answer");
        assert!(
            [400, 421].contains(&answer.status),
            "{host}: {}",
            answer.status
        );
        assert!(!answer.body.contains("Begin a visit"), "{host}");
    }
    let absolute = format!(
        "GET http://evil.example/ HTTP/1.1\r\nHost: {}\r\nConnection: close\r\n\r\n",
        web.at
    );
    assert!(
        !raw(web.at, absolute.as_bytes())
            .unwrap()
            .body
            .contains("evil.example")
    );
    assert_eq!(web.get("/").status, 200);
}

#[test]
fn a_form_that_does_not_come_from_these_pages_changes_nothing() {
    let web = fresh();
    let at = web.at;
    let send = |more: &str| -> Answer {
        let request = format!(
            "POST /visit HTTP/1.1\r\nHost: {at}\r\nConnection: close\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: 0\r\n{more}\r\n"
        );
        raw(at, request.as_bytes()).expect("an answer")
    };
    for foreign in [
        "Origin: http://evil.example\r\n".to_owned(),
        "Origin: null\r\n".to_owned(),
        format!("Origin: https://{at}\r\n"),
        format!("Origin: http://{at}.evil.example\r\n"),
        format!("Origin: http://{at}\r\nSec-Fetch-Site: cross-site\r\n"),
        "Sec-Fetch-Site: cross-site\r\n".to_owned(),
        "Sec-Fetch-Site: same-site\r\n".to_owned(),
        "Sec-Fetch-Site: none\r\n".to_owned(),
        format!("Referer: http://{at}/\r\n"),
        String::new(),
    ] {
        assert_eq!(send(&foreign).status, 403, "{foreign}");
    }
    assert_eq!(visits(&web), 0);
    for method in ["PUT", "DELETE", "PATCH", "OPTIONS", "TRACE"] {
        let request = format!(
            "{method} /visit HTTP/1.1\r\nHost: {at}\r\nConnection: close\r\nContent-Length: 0\r\n\r\n"
        );
        assert_eq!(raw(at, request.as_bytes()).unwrap().status, 405, "{method}");
    }
    assert_eq!(send(&format!("Origin: http://{at}\r\n")).status, 303);
    assert_eq!(send("Sec-Fetch-Site: same-origin\r\n").status, 303);
    assert_eq!(visits(&web), 2);
}

#[test]
fn without_the_word_nothing_is_read_or_changed() {
    let web = served(true, Patience::default());
    let at = web.at;
    for page in [
        "/",
        "/record",
        "/record.html",
        "/visit/2026-05-09-aaaaa",
        "/nowhere",
    ] {
        let answer = web.get(page);
        assert_eq!(answer.status, 303, "{page}");
        assert!(answer.location().starts_with("/enter?to="), "{page}");
    }
    assert_eq!(web.post("/visit", &[]).status, 403);
    assert_eq!(visits(&web), 0);
    let forged = format!("Cookie: ligule={}\r\n", "0".repeat(64));
    assert_eq!(get(at, "/", &forged).status, 303);
    assert_eq!(web.post("/enter", &[("word", "guess")]).status, 422);
    let word = web.site.word().expect("a word");
    let came = web.post("/enter", &[("word", &word), ("to", "//evil.example/")]);
    assert_eq!((came.status, came.location()), (303, "/"));
    let cookie = came.header("set-cookie").to_owned();
    for wanted in ["HttpOnly", "SameSite=Strict", "Path=/"] {
        assert!(cookie.contains(wanted), "{cookie}");
    }
    let session = cookie.split(';').next().unwrap();
    let own = format!("Cookie: {session}\r\n");
    assert_eq!(get(at, "/", &own).status, 200);
    assert_eq!(post(at, "/visit", &[], &own).status, 303);
    // One word, one phone.
    assert_eq!(web.post("/enter", &[("word", &word)]).status, 422);
    let next = web.site.word().expect("a word");
    assert_ne!(next, word);
    assert!(web.told.lock().unwrap().iter().any(|t| t.contains(&next)));
    for _ in 0..5 {
        web.post("/enter", &[("word", "babababababa")]);
    }
    assert_eq!(
        web.post("/enter", &[("word", &next)]).status,
        422,
        "guessing used it up"
    );
    // The word in the address opens nothing by itself.
    let now = web.site.word().unwrap();
    let shown = web.get(&format!("/enter?word={now}"));
    assert_eq!((shown.status, shown.header("set-cookie")), (200, ""));
}

#[test]
fn no_address_leads_out_of_the_lawn_folder() {
    let web = fresh();
    let outside = web.folder.path().join("secret.yaml");
    let secret = "date: 2026-01-01\nremarks: the secret\n";
    fs::write(&outside, secret).unwrap();
    let visit = whole_job(&web, "side");
    for id in [
        "..",
        "%2e%2e",
        "../secret",
        "..%2fsecret",
        "..%2F..%2Fsecret",
        "%2e%2e%2f%2e%2e%2fsecret",
        "..%5csecret",
        "secret%00",
        "x%00.yaml",
        "%2fetc%2fpasswd",
        "....//secret",
        "%c0%ae%c0%ae%2fsecret",
        ".lock",
        "A",
        "2026-05-09-aaaaa%2f..%2f..%2fsecret",
        "%252e%252e%252fsecret",
    ] {
        for end in ["", "/lawn", "/note/answers.yaml", "/day"] {
            let answer = web.get(&format!("/visit/{id}{end}"));
            assert!(
                [400, 404].contains(&answer.status),
                "{id}{end}: {}",
                answer.status
            );
            assert!(!answer.body.contains("the secret"), "{id}{end}");
        }
        let answer = web.post(&format!("/visit/{id}/lawn/name"), &[("answer", "evil")]);
        assert!(
            [400, 404, 405].contains(&answer.status),
            "{id}: {}",
            answer.status
        );
        let copied = web.post(
            "/visit",
            &[("lawn-of", &id.replace("%2f", "/").replace("%2e", "."))],
        );
        assert_eq!(copied.status, 404, "{id}");
    }
    for file in [
        "..%2f..%2fsecret.yaml",
        "%2e%2e",
        "answers.yaml%00",
        "answers.yaml/",
        "../../secret.yaml",
    ] {
        let answer = web.get(&format!("{visit}/note/{file}"));
        assert!(
            [400, 404].contains(&answer.status),
            "{file}: {}",
            answer.status
        );
    }
    let long = format!("/visit/{}", "a".repeat(5000));
    assert_eq!(web.get(&long).status, 404);
    assert_eq!(fs::read_to_string(&outside).unwrap(), secret);
}

#[cfg(unix)]
#[test]
fn links_out_of_the_lawn_folder_are_not_followed() {
    use std::os::unix::fs::symlink;
    let web = fresh();
    let lawn = web.folder.path().join("lawn");
    let outside = web.folder.path().join("secret.yaml");
    let secret = "date: 2026-01-01\nremarks: the secret\n";
    fs::write(&outside, secret).unwrap();
    symlink(&outside, lawn.join("visits/2026-05-09-aaaaa.yaml")).unwrap();
    for end in ["", "/lawn", "/note/answers.yaml"] {
        let answer = web.get(&format!("/visit/2026-05-09-aaaaa{end}"));
        assert_eq!(answer.status, 404, "{end}");
    }
    assert_eq!(
        web.post("/visit/2026-05-09-aaaaa/lawn/name", &[("answer", "evil")])
            .status,
        404
    );
    assert!(!web.page("/").contains("2026-05-09-aaaaa"));
    let visit = whole_job(&web, "side");
    let id = visit.trim_start_matches("/visit/");
    symlink(&outside, lawn.join(format!("visits/{id}.forecast.csv"))).unwrap();
    let csv = include_str!("data/weather/forecast.csv");
    assert_eq!(
        post_file(web.at, &format!("{visit}/day"), "f.csv", csv).status,
        404
    );
    // The record is a link to a database of another program.
    let other = web.folder.path().join("other.db");
    fs::write(&other, "not ours").unwrap();
    symlink(&other, lawn.join("lawn-record.db")).unwrap();
    assert_eq!(web.get("/record").status, 404);
    assert_eq!(fs::read_to_string(&outside).unwrap(), secret);
    assert_eq!(fs::read_to_string(&other).unwrap(), "not ours");
    // The folder of the visits itself is swapped for a link.
    let (visits, aside) = (lawn.join("visits"), web.folder.path().join("aside"));
    fs::rename(&visits, &aside).unwrap();
    symlink(&aside, &visits).unwrap();
    assert_eq!(web.get(&visit).status, 404);
    assert_eq!(web.post("/visit", &[]).status, 404);
}

#[test]
fn ten_megabytes_are_refused_and_not_kept() {
    let web = fresh();
    let visit = whole_job(&web, "side");
    let big = "x".repeat(10 * 1024 * 1024);
    let at = web.at;
    let head = |path: &str, kind: &str, more: &str| {
        format!(
            "POST {path} HTTP/1.1\r\nHost: {at}\r\nOrigin: http://{at}\r\nConnection: close\r\nContent-Type: {kind}\r\n{more}\r\n"
        )
    };
    let form = "application/x-www-form-urlencoded";
    let whole = format!(
        "{}answer={big}",
        head(
            &format!("{visit}/lawn/name"),
            form,
            &format!("Content-Length: {}\r\n", big.len() + 7)
        )
    );
    let chunked = format!(
        "{}{:x}\r\nanswer={big}\r\n0\r\n\r\n",
        head(
            &format!("{visit}/lawn/name"),
            form,
            "Transfer-Encoding: chunked\r\n"
        ),
        big.len() + 7
    );
    let (kind, body) = file_form("forecast", "f.csv", &big);
    let file = format!(
        "{}{body}",
        head(
            &format!("{visit}/day"),
            &kind,
            &format!("Content-Length: {}\r\n", body.len())
        )
    );
    let chunked_file = format!(
        "{}{:x}\r\n{body}\r\n0\r\n\r\n",
        head(
            &format!("{visit}/day"),
            &kind,
            "Transfer-Encoding: chunked\r\n"
        ),
        body.len()
    );
    for (what, request) in [
        ("whole", whole),
        ("chunked", chunked),
        ("file", file),
        ("chunked file", chunked_file),
    ] {
        // The server may close before all was sent; then the refusal is the closed connection.
        if let Some(answer) = raw(at, request.as_bytes()) {
            assert!(
                [400, 413].contains(&answer.status),
                "{what}: {}",
                answer.status
            );
        }
        assert!(
            web.page(&format!("{visit}/note/answers.yaml")).len() < 4000,
            "{what}"
        );
        assert!(
            !web.page(&format!("{visit}/day")).contains("Strip of hours"),
            "{what}"
        );
    }
    let address = format!(
        "GET /?{} HTTP/1.1\r\nHost: {at}\r\n\r\n",
        "x".repeat(200_000)
    );
    if let Some(answer) = raw(at, address.as_bytes()) {
        assert!(
            [400, 414, 431].contains(&answer.status),
            "{}",
            answer.status
        );
    }
    let many: Vec<(&str, &str)> = (0..3000).map(|_| ("answer", "near-garden")).collect();
    assert_ne!(web.post(&format!("{visit}/lawn/near"), &many).status, 500);
}

#[test]
fn slow_clients_are_let_go() {
    let web = served(
        false,
        Patience {
            head: Duration::from_millis(300),
            body: Duration::from_millis(300),
        },
    );
    let closed = |first: &str| -> (Duration, Option<Answer>) {
        let begun = Instant::now();
        let mut stream = TcpStream::connect(web.at).unwrap();
        stream
            .set_read_timeout(Some(Duration::from_secs(10)))
            .unwrap();
        stream.write_all(first.as_bytes()).unwrap();
        let answer = read(&mut stream);
        (begun.elapsed(), answer)
    };
    let at = web.at;
    let (took, answer) = closed("GET / HTTP/1.1\r\nHost: ");
    assert!(took < Duration::from_secs(3), "half a head: {took:?}");
    assert!(
        answer.is_none_or(|a| a.status == 408),
        "no page for half a head"
    );
    let (took, _) = closed("");
    assert!(took < Duration::from_secs(3), "nothing at all: {took:?}");
    let (took, answer) = closed(&format!(
        "POST /visit HTTP/1.1\r\nHost: {at}\r\nOrigin: http://{at}\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: 100\r\n\r\nlawn"
    ));
    assert!(took < Duration::from_secs(3), "half a body: {took:?}");
    assert_eq!(answer.expect("told").status, 408);
    assert_eq!(visits(&web), 0);
    // A kept connection that asks nothing more is let go as well.
    let mut kept = TcpStream::connect(at).unwrap();
    kept.set_read_timeout(Some(Duration::from_secs(10)))
        .unwrap();
    write!(kept, "GET / HTTP/1.1\r\nHost: {at}\r\n\r\n").unwrap();
    assert_eq!(read(&mut kept).unwrap().status, 200);
    let begun = Instant::now();
    assert!(read(&mut kept).is_none());
    assert!(begun.elapsed() < Duration::from_secs(3));
}

#[test]
fn a_thousand_open_connections_keep_nobody_out() {
    let web = fresh();
    let mut open = Vec::new();
    for n in 0..1000 {
        let mut stream = TcpStream::connect(web.at).expect("the server listens");
        // A third says nothing, a third half a head, a third stays after a page.
        match n % 3 {
            0 => {}
            1 => write!(stream, "GET / HTTP/1.1\r\nHost: ").unwrap(),
            _ => write!(stream, "GET /look.css HTTP/1.1\r\nHost: {}\r\n\r\n", web.at).unwrap(),
        }
        open.push(stream);
        if n % 250 == 249 {
            let begun = Instant::now();
            assert_eq!(web.get("/").status, 200, "after {n}");
            assert!(
                begun.elapsed() < Duration::from_secs(2),
                "after {n}: {:?}",
                begun.elapsed()
            );
        }
    }
    let visit = web.begun();
    assert_eq!(web.get(&visit).status, 200);
    drop(open);
    assert_eq!(web.get(&visit).status, 200);
}

/// Markup that would be seen at once were it taken for markup.
const EVIL: &str = "<i id=evil onx=1>\"'&</i>";

#[test]
fn markup_in_anything_that_is_typed_is_shown_as_text() {
    let web = fresh();
    let visit = whole_job(&web, EVIL);
    let sends: [(&str, Vec<(&str, &str)>); 12] = [
        ("/area", vec![("name", EVIL), ("shape", "10 ft x 10 ft")]),
        (
            "/area",
            vec![("name", "bad"), ("shape", EVIL), ("minus", EVIL)],
        ),
        ("/lawn/air", vec![("answer", EVIL)]),
        ("/lawn/grass", vec![("answer", EVIL)]),
        ("/plant/1/name", vec![("weed", EVIL)]),
        (
            "/plant/1",
            vec![("of", EVIL), ("answer", EVIL), ("trail", EVIL)],
        ),
        ("/plant/1/name", vec![("act", "much"), ("cover", EVIL)]),
        ("/choice", vec![("take", EVIL)]),
        (
            "/shelf/new",
            vec![
                ("name", EVIL),
                ("actives", "triclopyr = 4 lb a.e./gal"),
                ("rain", EVIL),
                ("again", EVIL),
                ("mowing", EVIL),
                ("formulation", EVIL),
                ("other-grasses", EVIL),
                ("other-weeds", EVIL),
            ],
        ),
        (
            "/shelf/new",
            vec![
                ("name", "<b id=evil>x</b>"),
                ("actives", "triclopyr = 4 lb a.e./gal"),
                ("broadcast", "0.4 fl oz/1000 sq ft"),
                ("rain", EVIL),
                ("again", EVIL),
                ("mowing", EVIL),
                ("other-grasses", EVIL),
                ("other-weeds", EVIL),
            ],
        ),
        (
            "/gear",
            vec![("tank", EVIL), ("spread-with", EVIL), ("measuring", EVIL)],
        ),
        ("/note", vec![("remarks", EVIL)]),
    ];
    for (page, fields) in sends {
        let answer = web.post(&format!("{visit}{page}"), &fields);
        assert!(
            [303, 404, 422].contains(&answer.status),
            "{page}: {} {}",
            answer.status,
            answer.body
        );
        assert!(
            !answer.body.contains("<i id=evil") && !answer.body.contains("<b id=evil"),
            "{page}: {}",
            answer.body
        );
    }
    let bad = post_file(web.at, &format!("{visit}/day"), EVIL, EVIL);
    assert_eq!(bad.status, 422);
    assert!(!bad.body.contains("<i id=evil"), "{}", bad.body);
    web.sent(
        &format!("{visit}/record"),
        &[
            ("date", "2026-05-09"),
            ("lawn", EVIL),
            ("product-1", EVIL),
            ("registration-1", EVIL),
            ("actives-1", "triclopyr = 0.5 lb/acre"),
            ("remarks", EVIL),
            ("item-applicator-name", EVIL),
        ],
    );
    assert!(
        web.post("/record", &[("entry", EVIL), ("why", EVIL)])
            .status
            == 404
    );
    let mut all = pages(&visit);
    all.extend([
        format!("{visit}/note/note.html"),
        "/record.html".to_owned(),
        format!("{visit}/plant/1?trail={}", encoded(&[("x", EVIL)])),
        format!("{visit}/day?{}", encoded(&[("wind", EVIL), ("rain", EVIL)])),
        format!(
            "{visit}/grass?{}",
            encoded(&[
                ("t.group", EVIL),
                ("of", EVIL),
                ("answer", EVIL),
                ("about", EVIL)
            ])
        ),
        format!("/enter?{}", encoded(&[("word", EVIL), ("to", EVIL)])),
        format!("/record?{}", encoded(&[("written", EVIL)])),
        format!(
            "{visit}/plant/1/about/{}",
            encoded(&[(EVIL, "")]).trim_end_matches('=')
        ),
    ]);
    let mut shown = 0;
    for page in all {
        let body = web.get(&page).body;
        let folded = body.to_lowercase().replace(' ', "");
        assert!(
            !folded.contains("<iid=evil") && !folded.contains("<bid=evil"),
            "{page}: {body}"
        );
        shown += usize::from(body.contains("&lt;i id=evil") || body.contains("&lt;i id&#x3D;evil"));
    }
    assert!(
        shown >= 20,
        "the lawn's name is shown as text on its pages: {shown}"
    );
}

#[test]
fn every_answer_carries_the_headers_that_keep_it_shut() {
    let web = fresh();
    let visit = whole_job(&web, "side");
    let mut all = pages(&visit);
    all.extend([
        "/look.css".to_owned(),
        "/enter".to_owned(),
        format!("{visit}/note/note.html"),
        format!("{visit}/note/note.json"),
    ]);
    for page in all {
        let answer = web.get(&page);
        let policy = answer.header("content-security-policy");
        assert!(policy.starts_with("default-src 'none'"), "{page}: {policy}");
        assert!(
            policy.contains("frame-ancestors 'none'") && policy.contains("base-uri 'none'"),
            "{page}"
        );
        assert!(
            policy.contains("form-action 'self'") || policy.contains("form-action 'none'"),
            "{page}"
        );
        assert!(!policy.contains("script-src"), "{page}");
        // Notes are whole files with their style inside; no page of forms may have it.
        assert_eq!(
            policy.contains("unsafe-inline"),
            page.ends_with("note.html"),
            "{page}"
        );
        assert_eq!(answer.header("x-content-type-options"), "nosniff", "{page}");
        assert_eq!(answer.header("referrer-policy"), "same-origin", "{page}");
        assert!(
            !answer.body.contains("<script") && !answer.body.contains("style=\""),
            "{page}"
        );
    }
}
