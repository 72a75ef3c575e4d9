//! The record on the phone: what is seen, sown and corrected, with the words and the checks of the terminal.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::too_many_lines,
    reason = "tests"
)]
#[path = "web/served.rs"]
mod served_by;

use ligule::records::{Entry, Filter, Store, What};
use ligule::web::Patience;
use served_by::{Served, encoded, raw, served, whole_job};
use std::process::Command;

fn fresh() -> Served {
    served(false, Patience::default())
}

fn store(web: &Served) -> Store {
    Store::open(&web.folder.path().join("lawn/lawn-record.db")).expect("a record")
}

fn entry(web: &Served, id: i64) -> Entry {
    store(web).entry(id).expect("an entry")
}

fn count(web: &Served) -> u64 {
    store(web).count().expect("whole").0
}

/// What the terminal says when it is asked the same of the same record.
fn terminal(web: &Served, words: &[&str]) -> (bool, String) {
    let record = web.folder.path().join("lawn/lawn-record.db");
    let out = Command::new(env!("CARGO_BIN_EXE_ligule"))
        .args(words)
        .args(["--today", "2026-05-30", "--record"])
        .arg(record)
        .output()
        .expect("the program");
    let text = [out.stdout, out.stderr].concat();
    (
        out.status.success(),
        String::from_utf8_lossy(&text).into_owned(),
    )
}

/// The value of a field as the page has it.
fn field(page: &str, name: &str) -> String {
    let line = format!("name=\"{name}\"");
    let from = page
        .find(&line)
        .unwrap_or_else(|| panic!("no field {name}"));
    let rest = &page[from..];
    let value = if page[..from].ends_with("<textarea id=\"f-")
        || rest[..rest.find('>').unwrap()].contains("rows=")
    {
        let begin = rest.find(">\n").unwrap() + 2;
        &rest[begin..rest.find("</textarea>").unwrap()]
    } else {
        let begin = rest.find("value=\"").unwrap() + 7;
        &rest[begin..begin + rest[begin..].find('"').unwrap()]
    };
    value.replace("&#x2F;", "/").replace("&amp;", "&")
}

const APPLIED: [(&str, &str); 5] = [
    ("date", "2026-05-02"),
    ("lawn", "side"),
    ("weeds", "ground ivy\nwhite clover"),
    ("product-1", "clover spray A"),
    ("actives-1", "triclopyr = 0.5 lb/acre"),
];

/// A record with one treatment, written without a visit.
fn applied() -> Served {
    let web = fresh();
    assert_eq!(web.sent("/record/applied", &APPLIED), "/record?written=1");
    web
}

#[test]
fn what_the_label_says_goes_on_is_filled_in() {
    let web = fresh();
    let visit = whole_job(&web, "side");
    let form = web.page(&format!("{visit}/record"));
    // Invented label: 4 lb a.e./gal at 0.4 fl oz/1000 sq ft. 0.4 fl oz are 0.4/128 gal, so 0.0125 lb on 1000 sq ft; an acre
    // is 43 560 sq ft (NIST SP 811, appendix B): 0.5445 lb/acre.
    let rate = field(&form, "actives-1");
    let (name, amount) = rate.split_once(" = ").expect("a rate");
    assert_eq!(name, "triclopyr");
    let pounds = amount
        .parse::<ligule::records::Rate>()
        .unwrap()
        .lb_per_acre();
    let wanted: rust_decimal::Decimal = "0.5445".parse().unwrap();
    assert!(
        (pounds - wanted).abs() < "0.02".parse().unwrap(),
        "{amount}"
    );
    assert!(field(&form, "rate-1").contains("/1000 sq ft"));
    assert!(!field(&form, "total-1").is_empty());
    assert_eq!(field(&form, "weeds"), "ground ivy");
    assert_eq!(field(&form, "turf"), "tall fescue");
    assert_eq!(field(&form, "place"), "Ohio");
    // Sent as it stands, it is the entry that the terminal makes of the same note.
    let names = [
        "date",
        "lawn",
        "area",
        "product-1",
        "rate-1",
        "total-1",
        "actives-1",
        "weeds",
        "turf",
        "place",
        "item-air-temperature",
    ];
    let values: Vec<String> = names.iter().map(|n| field(&form, n)).collect();
    let fields: Vec<(&str, &str)> = names
        .iter()
        .copied()
        .zip(values.iter().map(String::as_str))
        .collect();
    web.sent(&format!("{visit}/record"), &fields);
    let note = web.page(&format!("{visit}/note/note.json"));
    let wanted = ligule::records::from_note::application(&note).unwrap();
    assert_eq!(entry(&web, 1).what, What::Application(wanted));
}

#[test]
fn what_is_no_longer_on_offer_is_told_and_nothing_else_is_filled_in_for_it() {
    let web = fresh();
    let visit = whole_job(&web, "side");
    web.sent("/record/applied", &APPLIED);
    for page in ["choice", "amounts", "day", "note"] {
        let text = web.page(&format!("{visit}/{page}"));
        assert!(text.contains("no longer on offer"), "{page}: {text}");
    }
    let form = web.page(&format!("{visit}/record"));
    assert!(form.contains("no longer on offer"));
    assert_eq!(field(&form, "actives-1"), "triclopyr = ");
}

#[test]
fn what_is_seen_is_written_down_with_the_checks_of_the_terminal() {
    let web = applied();
    let page = web.page("/record/1/seen");
    assert!(
        page.contains("What it should look like by now") && page.contains("day 7"),
        "{page}"
    );
    assert!(page.contains("All weeds of the treatment") && page.contains("white clover"));
    let form = [
        ("date", "2026-05-09"),
        ("weed", "white-clover"),
        ("control", "60"),
        ("injury", "5 %"),
        ("looks", "yellow tips"),
        ("remarks", "new leaves from the runners"),
    ];
    for (name, typed, words) in [
        ("control", "120", "a percentage lies between 0 and 100"),
        ("control", "most", "is no percentage"),
        ("injury", "-1", "a percentage lies between 0 and 100"),
        ("date", "2026-05-10", "lies in the future"),
        ("date", "2026-05-01", "cannot be older than the treatment"),
        ("date", "9 May", "is no date"),
    ] {
        let mut wrong = form;
        wrong.iter_mut().find(|(n, _)| *n == name).unwrap().1 = typed;
        let told = web.post("/record/1/seen", &wrong);
        assert_eq!(told.status, 422, "{name} {typed}");
        assert!(told.body.contains(words), "{name} {typed}: {}", told.body);
        assert!(told.body.contains(typed) && told.body.contains("yellow tips"));
    }
    let (fine, said) = terminal(&web, &["record", "observe", "1", "--control", "120"]);
    let told = web.post(
        "/record/1/seen",
        &[("date", "2026-05-09"), ("control", "120")],
    );
    let words = said
        .trim()
        .trim_start_matches("ligule: ")
        .lines()
        .next()
        .unwrap_or_default();
    assert!(!words.is_empty());
    assert!(!fine && told.body.contains(words), "{said}\n{}", told.body);
    let nothing = web.post("/record/1/seen", &[("date", "2026-05-09"), ("control", "")]);
    assert!(
        nothing.body.contains("nothing was seen"),
        "{}",
        nothing.body
    );
    assert_eq!(count(&web), 1);
    assert_eq!(web.sent("/record/1/seen", &form), "/record?written=2");
    assert_eq!(web.sent("/record/1/seen", &form), "/record?written=2");
    let record = web.page("/record?written=2");
    for words in [
        "60 % of the weed gone or dying",
        "5 % of the grass injured",
        "white clover",
        "What it should look like by then",
    ] {
        assert!(record.contains(words), "{words}: {record}");
    }
    let (_, said) = terminal(&web, &["record", "list"]);
    assert!(
        said.contains("seen after entry 1, 60 % control, 5 % injury"),
        "{said}"
    );
    // A weed that was not treated is not taken from a forged form.
    web.sent(
        "/record/1/seen",
        &[
            ("date", "2026-05-09"),
            ("weed", "dandelion"),
            ("control", "10"),
            ("suspected", "yes"),
        ],
    );
    let What::Observation(seen) = entry(&web, 3).what else {
        panic!("an observation")
    };
    assert_eq!((seen.weed, seen.resistance_suspected), (None, true));
    assert!(
        web.page("/record")
            .contains("it may withstand the treatment")
    );
    for gone in [
        "/record/9/seen",
        "/record/0/seen",
        "/record/x/seen",
        "/record/99999999999999999999/seen",
    ] {
        assert_eq!(web.get(gone).status, 404, "{gone}");
        assert_eq!(web.post(gone, &form).status, 404, "{gone}");
    }
    assert_eq!(
        web.get("/record/2/seen").status,
        422,
        "an observation is no treatment"
    );
}

#[test]
fn a_seeding_is_written_down_and_counts_in_the_next_choice() {
    let web = fresh();
    assert!(web.page("/record").contains("/record/sown"));
    let told = web.post(
        "/record/sown",
        &[("date", "2026-05-02"), ("turf", "tall fescu")],
    );
    assert_eq!(told.status, 422);
    assert!(
        told.body.contains("Did you mean tall-fescue?")
            && told.body.contains("tall fescu</textarea>")
    );
    assert!(web.page("/record").contains("Nothing is written down yet"));
    let visit = whole_job(&web, "side");
    let before = web.page(&format!("{visit}/choice"));
    let form = [
        ("date", "2026-05-02"),
        ("lawn", "side"),
        ("turf", "Tall fescue\nred-fescue"),
        ("remarks", "overseeded by hand"),
    ];
    let red = ligule::knowledge::Kind::Turf;
    let form: Vec<(&str, &str)> = match served_by::book().find(red, "red-fescue") {
        Ok(_) => form.to_vec(),
        Err(_) => vec![form[0], form[1], ("turf", "Tall fescue"), form[3]],
    };
    assert_eq!(web.sent("/record/sown", &form), "/record?written=1");
    assert_eq!(web.sent("/record/sown", &form), "/record?written=1");
    let (_, said) = terminal(&web, &["record", "list"]);
    assert!(said.contains("seeded tall-fescue"), "{said}");
    let after = web.page(&format!("{visit}/choice"));
    assert_ne!(before, after);
    assert!(
        after.contains("2026-05-02") || after.to_lowercase().contains("seeded"),
        "{after}"
    );
}

#[test]
fn an_entry_is_corrected_with_its_reason_and_the_old_one_stays() {
    let web = applied();
    web.sent(
        "/record/1/seen",
        &[("date", "2026-05-09"), ("control", "60")],
    );
    web.sent(
        "/record/sown",
        &[("date", "2026-05-03"), ("turf", "tall fescue")],
    );
    // What stands in the forms is what was written, so that sending one as it is changes nothing.
    for (id, names) in [
        (1, vec!["date", "lawn", "weeds", "product-1", "actives-1"]),
        (2, vec!["date", "control"]),
        (3, vec!["date", "turf"]),
    ] {
        let path = format!("/record/{id}/correct");
        let page = web.page(&path);
        let values: Vec<String> = names.iter().map(|n| field(&page, n)).collect();
        let mut same: Vec<(&str, &str)> = names
            .iter()
            .copied()
            .zip(values.iter().map(String::as_str))
            .collect();
        let told = web.post(&path, &same);
        assert_eq!(told.status, 422);
        assert!(told.body.contains("x-why"), "{}", told.body);
        same.push(("why", "a slip"));
        let told = web.post(&path, &same);
        assert!(
            told.status == 422 && told.body.contains("would change"),
            "{}",
            told.body
        );
    }
    assert_eq!(count(&web), 3);
    let mut better = APPLIED.to_vec();
    better[4].1 = "triclopyr = 0.4 lb/acre";
    better.push(("why", "read from the wrong <b>line</b>"));
    assert_eq!(web.sent("/record/1/correct", &better), "/record?written=4");
    assert_eq!(
        web.sent("/record/1/correct", &better),
        "/record?written=4",
        "sent twice, written once"
    );
    assert_eq!(entry(&web, 1).corrected_by, Some(4));
    assert_eq!(web.get("/record/1/correct").location(), "/record/4/correct");
    better[4].1 = "triclopyr = 0.3 lb/acre";
    let late = web.post("/record/1/correct", &better);
    assert!(
        late.status == 422 && late.body.contains("corrected already, by entry 4"),
        "{}",
        late.body
    );
    assert_eq!(
        web.sent(
            "/record/2/correct",
            &[
                ("date", "2026-05-09"),
                ("control", "80"),
                ("why", "looked again")
            ]
        ),
        "/record?written=5"
    );
    assert_eq!(entry(&web, 5).about, Some(1));
    assert_eq!(
        web.sent(
            "/record/3/correct",
            &[("date", "2026-05-04"), ("why", "a day later")]
        ),
        "/record?written=6"
    );
    let What::Seeding(sown) = entry(&web, 6).what else {
        panic!("a seeding")
    };
    assert_eq!(sown.turf, ["tall-fescue"], "what a form does not ask stays");
    // What is seen later is about the treatment that stands.
    web.sent(
        "/record/1/seen",
        &[("date", "2026-05-09"), ("control", "90")],
    );
    assert_eq!(entry(&web, 7).about, Some(4));
    let record = web.page("/record");
    assert!(
        record.contains("replaces entry 1: read from the wrong &lt;b&gt;line"),
        "{record}"
    );
    assert!(!record.contains("no longer stands"));
    assert!(
        web.page("/record?all=yes")
            .contains("no longer stands; see entry 4")
    );
    web.sent("/record", &[("entry", "4"), ("why", "it was never done")]);
    let gone = web.post("/record", &[("entry", "4"), ("why", "again")]);
    assert!(
        gone.status == 422 && gone.body.contains("corrected already"),
        "{}",
        gone.body
    );
    assert_eq!(
        web.post("/record", &[("entry", "77"), ("why", "x")]).status,
        404
    );
    assert_eq!(
        web.get("/record/4/seen").status,
        422,
        "what was taken back has no after"
    );
    assert_eq!(
        web.get("/record/8/correct").status,
        422,
        "a withdrawal stays"
    );
    assert_eq!(
        store(&web).verify(jiff::civil::date(2026, 5, 30)).unwrap(),
        vec![]
    );
}

#[test]
fn a_correction_loses_nothing_that_its_form_does_not_show() {
    let web = applied();
    let five = r#"{"date":"2026-05-08","products":[
        {"name":"A","actives":[{"active":"triclopyr"}]},{"name":"B","actives":[{"active":"dicamba"}]},
        {"name":"C","actives":[{"active":"fluroxypyr"}]},{"name":"D","actives":[{"active":"quinclorac"}]},
        {"name":"E","actives":[{"active":"2,4-D"}]}],"items":{"of-another-book":"kept"}}"#;
    let what = What::Application(serde_json::from_str(&five.replace("2,4-D", "mcpp")).unwrap());
    store(&web)
        .add(&what, jiff::civil::date(2026, 5, 9))
        .unwrap();
    let page = web.page("/record/2/correct");
    let mut fields = vec![("date", "2026-05-07"), ("why", "the day before")];
    let values: Vec<String> = (1..=3)
        .flat_map(|n| {
            [
                field(&page, &format!("product-{n}")),
                field(&page, &format!("actives-{n}")),
            ]
        })
        .collect();
    let names = [
        "product-1",
        "actives-1",
        "product-2",
        "actives-2",
        "product-3",
        "actives-3",
    ];
    fields.extend(names.iter().copied().zip(values.iter().map(String::as_str)));
    web.sent("/record/2/correct", &fields);
    let What::Application(now) = entry(&web, 3).what else {
        panic!("a treatment")
    };
    let names: Vec<&str> = now
        .products
        .iter()
        .filter_map(|p| p.name.as_deref())
        .collect();
    assert_eq!(names, ["A", "B", "C", "D", "E"]);
    assert_eq!(now.items["of-another-book"], "kept");
}

#[test]
fn forms_of_the_record_from_elsewhere_change_nothing_and_markup_stays_text() {
    let web = applied();
    web.sent(
        "/record/1/seen",
        &[("date", "2026-05-09"), ("remarks", "<script>a()</script>")],
    );
    web.sent(
        "/record/sown",
        &[
            ("date", "2026-05-03"),
            ("lawn", "<img src=x>"),
            ("remarks", "\"><svg onload=b()>"),
        ],
    );
    for page in [
        "/record",
        "/record?all=yes",
        "/record.html",
        "/record/2/correct",
        "/record/3/correct",
        "/record/1/seen",
    ] {
        let text = web.page(page);
        for bad in ["<script>a", "<img src=x", "<svg onload"] {
            assert!(!text.contains(bad), "{page}: {bad}");
        }
    }
    let before = count(&web);
    for path in [
        "/record/applied",
        "/record/sown",
        "/record/1/seen",
        "/record/1/correct",
        "/record",
    ] {
        let body = encoded(&[
            ("date", "2026-05-09"),
            ("control", "1"),
            ("actives-1", "triclopyr"),
            ("entry", "1"),
            ("why", "x"),
        ]);
        for origin in [
            "Origin: http://evil.example\r\n",
            "Sec-Fetch-Site: cross-site\r\n",
            "",
        ] {
            let request = format!(
                "POST {path} HTTP/1.1\r\nHost: {}\r\n{origin}Connection: close\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: {}\r\n\r\n{body}",
                web.at,
                body.len()
            );
            assert_eq!(
                raw(web.at, request.as_bytes()).unwrap().status,
                403,
                "{path} {origin}"
            );
        }
    }
    assert_eq!(count(&web), before);
}

#[test]
fn the_record_is_carried_away_whole() {
    let web = applied();
    web.sent("/record", &[("entry", "1"), ("why", "never done")]);
    let all = store(&web)
        .list(&Filter {
            superseded: true,
            ..Filter::default()
        })
        .unwrap();
    assert_eq!(
        web.page("/record.csv"),
        ligule::records::csv::to_csv(&all).unwrap()
    );
    let json = web.page("/record.json");
    let read = ligule::records::portable::from_json(&json).unwrap();
    assert_eq!(read.len(), 2);
    let fresh = fresh();
    for none in [
        "/record.csv",
        "/record.json",
        "/record.html",
        "/record/1/correct",
    ] {
        assert_eq!(fresh.get(none).status, 404, "{none}");
    }
}
