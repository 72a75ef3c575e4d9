//! The record by its library: what goes in comes out, nothing is overwritten, and what is wrong is told.
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "tests")]
use jiff::civil::{Date, Time, date};
use ligule::records::limits::{History, YEARS};
use ligule::records::portable::{from_json, portable, to_json};
use ligule::records::{
    ActiveUsed, Application, Entry, Filter, LONGEST_TEXT, Observation, Product, Rate, RecordError,
    Seeding, Store, Treated, Use, What, csv,
};
use proptest::prelude::*;
use rust_decimal::Decimal;
use std::collections::{BTreeMap, BTreeSet};
use std::path::PathBuf;
use tempfile::TempDir;

const TODAY: Date = date(2026, 11, 1);

fn new() -> (TempDir, PathBuf, Store) {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("r.db");
    let (store, made) = Store::open_or_create(&path).unwrap();
    assert!(made);
    (dir, path, store)
}

fn treated(day: Date, actives: &[(&str, Option<&str>)]) -> Application {
    Application {
        date: day,
        start_time: None,
        end_time: None,
        lawn: Some("Front lawn".into()),
        place: None,
        turf: vec!["tall-fescue".into()],
        weeds: vec!["dandelion".into()],
        area: None,
        products: vec![Product {
            actives: actives
                .iter()
                .map(|(id, rate)| ActiveUsed {
                    active: (*id).into(),
                    rate: rate.map(|r| r.parse().unwrap()),
                })
                .collect(),
            ..Product::default()
        }],
        items: BTreeMap::new(),
        remarks: None,
    }
}

fn seen(day: Date) -> Observation {
    Observation {
        date: day,
        weed: None,
        control_percent: Some(Decimal::from(85)),
        injury_percent: None,
        injury: None,
        resistance_suspected: false,
        remarks: None,
    }
}

fn application(day: Date, active: &str, rate: &str) -> What {
    What::Application(treated(day, &[(active, Some(rate))]))
}

fn all() -> Filter {
    Filter {
        superseded: true,
        ..Filter::default()
    }
}

#[test]
fn a_correction_leaves_what_it_corrects_and_can_be_corrected_itself() {
    let (_dir, _, mut store) = new();
    let day = date(2026, 5, 10);
    let first = store
        .add(&application(day, "triclopyr", "5 lb/acre"), TODAY)
        .unwrap();
    let second = store
        .correct(
            first.id,
            &application(day, "triclopyr", "0.5 lb/acre"),
            "a slip of the point",
            TODAY,
        )
        .unwrap();
    let third = store
        .correct(
            second.id,
            &application(date(2026, 5, 11), "triclopyr", "0.5 lb/acre"),
            "wrong day",
            TODAY,
        )
        .unwrap();
    assert_eq!(third.corrects, Some(second.id));
    let standing = store.list(&Filter::default()).unwrap();
    assert_eq!(standing, [store.entry(third.id).unwrap()]);
    assert_eq!(store.list(&all()).unwrap().len(), 3);
    assert_eq!(
        store.entry(first.id).unwrap().what,
        application(day, "triclopyr", "5 lb/acre"),
        "what was written stays"
    );
    assert_eq!(store.standing(first.id).unwrap().id, third.id);
    let (origin, corrections) = store.origin(third.id).unwrap();
    assert_eq!((origin.id, corrections), (first.id, 2));
    // A second correction of the first would leave two entries in its place.
    let error = store
        .correct(
            first.id,
            &application(day, "triclopyr", "1 lb/acre"),
            "again",
            TODAY,
        )
        .unwrap_err();
    assert!(
        matches!(error, RecordError::Superseded { id: 1, by: 2 }),
        "{error}"
    );
    assert_eq!(store.uses(None, date(2026, 1, 1)).unwrap().len(), 1);
    assert_eq!(store.verify(TODAY).unwrap(), vec![]);
}

#[test]
fn an_entry_taken_back_counts_no_more_and_stays() {
    let (_dir, _, mut store) = new();
    let entry = store
        .add(
            &application(date(2026, 5, 10), "triclopyr", "0.5 lb/acre"),
            TODAY,
        )
        .unwrap();
    let back = store.withdraw(entry.id, "entered twice", TODAY).unwrap();
    assert_eq!(store.list(&Filter::default()).unwrap(), []);
    assert_eq!(store.list(&all()).unwrap().len(), 2);
    assert_eq!(store.uses(None, date(2026, 1, 1)).unwrap(), []);
    assert_eq!(store.count().unwrap(), (2, 0));
    let error = store
        .correct(
            back.id,
            &application(TODAY, "triclopyr", "1 lb/acre"),
            "no",
            TODAY,
        )
        .unwrap_err();
    assert!(error.to_string().contains("withdrawal"), "{error}");
    assert_eq!(store.verify(TODAY).unwrap(), vec![]);
}

#[test]
#[allow(clippy::too_many_lines, reason = "a table of cases")]
fn what_cannot_be_true_is_refused_and_nothing_is_written() {
    let (_dir, _, mut store) = new();
    let good = store
        .add(
            &application(date(2026, 5, 10), "triclopyr", "0.5 lb/acre"),
            TODAY,
        )
        .unwrap();
    let change = |change: &dyn Fn(&mut Application)| {
        let mut treatment = treated(date(2026, 5, 10), &[("triclopyr", None)]);
        change(&mut treatment);
        What::Application(treatment)
    };
    let cases: Vec<(What, &str)> = vec![
        (change(&|t| t.date = date(2026, 11, 2)), "future"),
        (change(&|t| t.date = date(26, 5, 10)), "before 1930"),
        (change(&|t| t.products.clear()), "at least one product"),
        (change(&|t| t.products[0].actives.clear()), "no active"),
        (
            change(&|t| t.products[0].actives[0].active = "Tri Clopyr".into()),
            "it is no id",
        ),
        (change(&|t| t.area = Some("4000".into())), "unit is missing"),
        (
            change(&|t| t.area = Some("about 4000 sq ft".into())),
            "plain number",
        ),
        (
            change(&|t| t.products[0].rate = Some("1e3 oz".into())),
            "plain",
        ),
        (change(&|t| t.remarks = Some("  ".into())), "empty"),
        (
            change(&|t| t.remarks = Some("a\u{7}b".into())),
            "cannot be printed",
        ),
        (
            change(&|t| t.remarks = Some("x".repeat(LONGEST_TEXT + 1))),
            "longer",
        ),
        (
            change(&|t| drop(t.items.insert("date".into(), "2026-05-10".into()))),
            "place of its own",
        ),
        (
            change(&|t| drop(t.items.insert("=cmd".into(), "x".into()))),
            "it is no id",
        ),
        (
            change(&|t| {
                t.start_time = Some(Time::constant(9, 0, 0, 0));
                t.end_time = Some(Time::constant(8, 0, 0, 0));
            }),
            "before the time started",
        ),
        (
            What::Observation(seen(date(2026, 5, 20))),
            "about a treatment",
        ),
    ];
    for (what, word) in cases {
        let error = store.add(&what, TODAY).unwrap_err().to_string();
        assert!(error.contains(word), "{word}: {error}");
    }
    let observe = |change: &dyn Fn(&mut Observation)| {
        let mut seen = seen(date(2026, 5, 20));
        change(&mut seen);
        What::Observation(seen)
    };
    let cases: Vec<(i64, What, &str)> = vec![
        (
            good.id,
            observe(&|o| o.date = date(2026, 5, 9)),
            "older than the treatment",
        ),
        (
            good.id,
            observe(&|o| o.control_percent = Some(Decimal::from(101))),
            "between 0 and 100",
        ),
        (
            good.id,
            observe(&|o| o.control_percent = None),
            "nothing was seen",
        ),
        (77, observe(&|_| {}), "no entry 77"),
    ];
    for (about, what, word) in cases {
        let error = store.observe(about, &what, TODAY).unwrap_err().to_string();
        assert!(error.contains(word), "{word}: {error}");
    }
    let error = store
        .correct(
            good.id,
            &What::Seeding(Seeding {
                date: TODAY,
                lawn: None,
                turf: vec![],
                remarks: None,
            }),
            "x",
            TODAY,
        )
        .unwrap_err();
    assert!(error.to_string().contains("another kind"), "{error}");
    let error = store
        .correct(
            good.id,
            &application(TODAY, "mcpa", "1 lb/acre"),
            " ",
            TODAY,
        )
        .unwrap_err();
    assert!(error.to_string().contains("say why"), "{error}");
    assert_eq!(store.count().unwrap().0, 1);
    assert_eq!(store.verify(TODAY).unwrap(), vec![]);
}

#[test]
fn the_file_itself_refuses_to_be_rewritten_and_verify_sees_when_it_was() {
    let (_dir, path, mut store) = new();
    for day in 1..=3 {
        store
            .add(
                &application(date(2026, 5, day), "triclopyr", "0.5 lb/acre"),
                TODAY,
            )
            .unwrap();
    }
    drop(store);
    let raw = rusqlite::Connection::open(&path).unwrap();
    for statement in [
        "UPDATE entry SET day = '2020-01-01' WHERE id = 2",
        "DELETE FROM entry WHERE id = 2",
        "DELETE FROM entry",
        "UPDATE entry SET uses = 'mcpa='",
    ] {
        let error = raw.execute(statement, []).unwrap_err().to_string();
        assert!(error.contains("a record is never"), "{statement}: {error}");
    }
    raw.execute_batch("DROP TRIGGER entry_stays; DROP TRIGGER entry_is_kept;")
        .unwrap();
    for (statement, word) in [
        (
            "UPDATE entry SET body = replace(body, '0.5 lb', '0.6 lb') WHERE id = 2",
            "checksum",
        ),
        (
            "UPDATE entry SET uses = 'triclopyr=0.1' WHERE id = 2",
            "list of uses",
        ),
        (
            "UPDATE entry SET day = '2026-06-01' WHERE id = 2",
            "kind or day",
        ),
        (
            "UPDATE entry SET body = 'nothing' WHERE id = 2",
            "cannot be read",
        ),
        (
            "PRAGMA foreign_keys = 0; DELETE FROM entry WHERE id = 2",
            "are gone",
        ),
        (
            "PRAGMA foreign_keys = 0; DELETE FROM entry WHERE id = 3",
            "3 were written",
        ),
    ] {
        raw.execute_batch(statement).unwrap();
        let store = Store::open(&path).unwrap();
        let found = store.verify(TODAY).unwrap();
        assert!(
            found.iter().any(|f| f.text.contains(word)),
            "{word}: {found:?}"
        );
        if statement.contains("'nothing'") {
            // A single damaged entry is told by its number, and the others can still be read.
            assert!(
                store
                    .list(&Filter::default())
                    .unwrap_err()
                    .to_string()
                    .contains("entry 2")
            );
            assert!(store.entry(1).is_ok());
        }
    }
}

#[test]
fn other_and_newer_files_are_told_apart_and_left_alone() {
    let (dir, path, store) = new();
    drop(store);
    let raw = rusqlite::Connection::open(&path).unwrap();
    raw.pragma_update(None, "user_version", 7).unwrap();
    drop(raw);
    let before = std::fs::read(&path).unwrap();
    let error = Store::open(&path).unwrap_err();
    assert!(
        matches!(error, RecordError::Newer { found: 7, .. }),
        "{error}"
    );
    assert!(error.to_string().contains("newer program"), "{error}");
    assert_eq!(
        std::fs::read(&path).unwrap(),
        before,
        "a newer file is not touched"
    );

    let text = dir.path().join("notes.txt");
    std::fs::write(
        &text,
        "this is no database but a longer text about the lawn ".repeat(100),
    )
    .unwrap();
    assert!(
        Store::open(&text)
            .unwrap_err()
            .to_string()
            .contains("no SQLite file")
    );
    let other = dir.path().join("other.db");
    rusqlite::Connection::open(&other)
        .unwrap()
        .execute_batch("CREATE TABLE t (x)")
        .unwrap();
    assert!(
        Store::open(&other)
            .unwrap_err()
            .to_string()
            .contains("another program")
    );
    let empty = dir.path().join("empty.db");
    std::fs::write(&empty, "").unwrap();
    assert!(Store::open(&empty).is_err());
    assert!(matches!(
        Store::open(&dir.path().join("none.db")).unwrap_err(),
        RecordError::Missing { .. }
    ));
    assert!(Store::open_or_create(&dir.path().join("no/such/folder/r.db")).is_err());
    assert!(Store::open(dir.path()).is_err());
}

#[test]
fn a_backup_is_a_whole_record_and_replaces_nothing() {
    let (dir, _, mut store) = new();
    for day in 1..=20 {
        store
            .add(
                &application(date(2026, 5, day), "triclopyr", "0.5 lb/acre"),
                TODAY,
            )
            .unwrap();
    }
    let to = dir.path().join("backup.db");
    store.backup(&to).unwrap();
    let copy = Store::open(&to).unwrap();
    assert_eq!(copy.list(&all()).unwrap(), store.list(&all()).unwrap());
    assert_eq!(copy.verify(TODAY).unwrap(), vec![]);
    assert!(matches!(
        store.backup(&to).unwrap_err(),
        RecordError::Exists { .. }
    ));
    assert!(store.backup(&dir.path().join("no/such/folder.db")).is_err());
    // The copy can be written to like any record, and remembers its numbers.
    let mut copy = copy;
    assert_eq!(
        copy.add(&application(date(2026, 6, 1), "mcpa", "1 lb/acre"), TODAY)
            .unwrap()
            .id,
        21
    );
    assert_eq!(copy.verify(TODAY).unwrap(), vec![]);
}

#[test]
fn an_import_is_all_or_nothing() {
    let (_dir, _, mut store) = new();
    let entries = from_json(r#"{"schema":"ligule/record/1","entries":[
        {"uid":"aaaaaaaa-1","recorded_on":"2026-05-10","what":{"kind":"seeding","details":{"date":"2026-05-10"}}},
        {"uid":"aaaaaaaa-2","recorded_on":"2026-05-10","corrects":"aaaaaaaa-9","why":"x","what":{"kind":"seeding","details":{"date":"2026-05-11"}}}]}"#).unwrap();
    let error = store.import(&entries, TODAY).unwrap_err().to_string();
    assert!(
        error.contains("entry 2 (uid aaaaaaaa-2)") && error.contains("aaaaaaaa-9"),
        "{error}"
    );
    assert_eq!(store.count().unwrap().0, 0);
    assert_eq!(store.import(&entries[..1], TODAY).unwrap(), (1, 0));
    assert_eq!(
        store.import(&entries[..1], TODAY).unwrap(),
        (0, 1),
        "twice is once"
    );
    let mut other = entries[0].clone();
    other.what = What::Seeding(Seeding {
        date: date(2026, 5, 12),
        lawn: None,
        turf: vec![],
        remarks: None,
    });
    assert!(
        store
            .import(&[other], TODAY)
            .unwrap_err()
            .to_string()
            .contains("something else")
    );
    let mut future = entries[0].clone();
    future.uid = "bbbbbbbb".into();
    future.what = What::Seeding(Seeding {
        date: date(2027, 1, 1),
        lawn: None,
        turf: vec![],
        remarks: None,
    });
    assert!(
        store
            .import(&[future], TODAY)
            .unwrap_err()
            .to_string()
            .contains("future")
    );
    for (text, word) in [
        ("{", "line 1"),
        (
            r#"{"schema":"ligule/record/9","entries":[]}"#,
            "ligule/record/9",
        ),
        (
            r#"{"schema":"ligule/record/1","entries":[{"uid":"x"}]}"#,
            "missing field",
        ),
    ] {
        assert!(
            from_json(text).unwrap_err().to_string().contains(word),
            "{text}"
        );
    }
}

#[test]
fn suspicions_follow_the_treatment_as_it_now_stands() {
    let book = ligule::knowledge::Knowledge::embedded().unwrap();
    let (_dir, _, mut store) = new();
    let entry = store
        .add(
            &application(date(2026, 5, 10), "triclopyr", "0.5 lb/acre"),
            TODAY,
        )
        .unwrap();
    let mut bad = seen(date(2026, 6, 10));
    bad.resistance_suspected = true;
    let observation = store
        .observe(entry.id, &What::Observation(bad), TODAY)
        .unwrap();
    store
        .correct(
            entry.id,
            &application(date(2026, 5, 10), "mcpa", "0.5 lb/acre"),
            "it was the other product",
            TODAY,
        )
        .unwrap();
    let history = History::of(&book, &store, Some("front  LAWN"), TODAY).unwrap();
    assert_eq!(history.suspicions.len(), 1);
    assert_eq!(history.suspicions[0].actives, ["mcpa"]);
    assert_eq!(history.suspicions[0].weeds, ["dandelion"]);
    assert_eq!(
        History::of(&book, &store, Some("back"), TODAY)
            .unwrap()
            .suspicions,
        []
    );
    store
        .withdraw(observation.id, "it was drought", TODAY)
        .unwrap();
    assert_eq!(
        History::of(&book, &store, None, TODAY).unwrap().suspicions,
        []
    );
}

// ---- properties ----

fn text() -> impl Strategy<Value = String> {
    // Text that trips tables, calendars and pages: quotes, commas, line ends, formulas, tags, other scripts.
    prop_oneof![
        "[ -~]{1,30}",
        "['=+@\\-]{1,4}[a-z]{0,3}",
        "\\PC{1,20}",
        "[a\"',;<>&\n]{1,12}"
    ]
    .prop_filter("not blank", |t: &String| {
        !t.trim().is_empty() && !t.chars().any(|c| c.is_control() && c != '\n')
    })
}

fn id() -> impl Strategy<Value = String> {
    prop_oneof![
        Just("2,4-d".to_owned()),
        Just("triclopyr".to_owned()),
        "[a-z]{1,6}(-[a-z0-9]{1,4})?"
    ]
}

fn day() -> impl Strategy<Value = Date> {
    (2020_i16..=2026, 1_i8..=10, 1_i8..=28).prop_map(|(y, m, d)| date(y, m, d))
}

fn rate() -> impl Strategy<Value = Rate> {
    (
        1_u32..99_999,
        0_u32..5,
        prop_oneof![
            Just("lb/acre"),
            Just("oz/1000 sq ft"),
            Just("g/ha"),
            Just("kg/ha"),
            Just("g/m2")
        ],
    )
        .prop_map(|(value, scale, unit)| {
            format!("{} {unit}", Decimal::new(i64::from(value), scale))
                .parse()
                .unwrap()
        })
}

fn product() -> impl Strategy<Value = Product> {
    let amount =
        || prop::option::of((1_u32..999).prop_map(|n| format!("{}.{} fl oz", n / 10, n % 10)));
    let used =
        (id(), prop::option::of(rate())).prop_map(|(active, rate)| ActiveUsed { active, rate });
    (
        prop::option::of(text()),
        prop::option::of(text()),
        amount(),
        amount(),
        prop::collection::vec(used, 1..4),
    )
        .prop_map(|(name, registration, rate, total, actives)| Product {
            name,
            registration,
            rate,
            total,
            actives,
        })
}

fn treatment() -> impl Strategy<Value = Application> {
    let items = prop::collection::btree_map(
        prop_oneof![
            Just("wind-speed".to_owned()),
            Just("customer-name".to_owned())
        ],
        text(),
        0..3,
    );
    let times = prop::option::of((0_i8..12, 12_i8..24));
    (
        day(),
        times,
        prop::option::of(text()),
        prop::collection::vec(id(), 0..3),
        prop::collection::vec(product(), 1..4),
        items,
        prop::option::of(text()),
    )
        .prop_map(
            |(date, times, lawn, weeds, products, items, remarks)| Application {
                date,
                start_time: times.map(|t| Time::constant(t.0, 30, 0, 0)),
                end_time: times.map(|t| Time::constant(t.1, 5, 7, 0)),
                lawn,
                place: Some("us-tx".into()),
                turf: vec![],
                weeds,
                area: Some("4000 sq ft".into()),
                products,
                items,
                remarks,
            },
        )
}

/// One step of a life of a record.
#[derive(Debug, Clone)]
enum Step {
    Add(Application),
    Seed(Date),
    Correct(usize, Application),
    Withdraw(usize),
    Observe(usize, u8, bool),
}

fn step() -> impl Strategy<Value = Step> {
    prop_oneof![
        3 => treatment().prop_map(Step::Add),
        1 => day().prop_map(Step::Seed),
        2 => (any::<usize>(), treatment()).prop_map(|(n, t)| Step::Correct(n, t)),
        1 => any::<usize>().prop_map(Step::Withdraw),
        1 => (any::<usize>(), 0_u8..=100, any::<bool>()).prop_map(|(n, p, r)| Step::Observe(n, p, r)),
    ]
}

/// Does the steps as far as they are possible.
fn live(store: &mut Store, steps: &[Step]) {
    for step in steps {
        let count = i64::try_from(store.count().unwrap().0).unwrap();
        let pick =
            |n: usize| i64::try_from(n % usize::try_from(count.max(1)).unwrap()).unwrap() + 1;
        let result = match step {
            Step::Add(t) => store.add(&What::Application(t.clone()), TODAY),
            Step::Seed(date) => store.add(
                &What::Seeding(Seeding {
                    date: *date,
                    lawn: None,
                    turf: vec!["tall-fescue".into()],
                    remarks: None,
                }),
                TODAY,
            ),
            Step::Correct(n, t) => {
                store.correct(pick(*n), &What::Application(t.clone()), "it was so", TODAY)
            }
            Step::Withdraw(n) => store.withdraw(pick(*n), "=never was", TODAY),
            Step::Observe(n, percent, resistant) => {
                let seen = Observation {
                    control_percent: Some(Decimal::from(*percent)),
                    resistance_suspected: *resistant,
                    ..seen(TODAY)
                };
                store.observe(pick(*n), &What::Observation(seen), TODAY)
            }
        };
        let grew = i64::from(result.is_ok());
        assert_eq!(
            i64::try_from(store.count().unwrap().0).unwrap(),
            count + grew,
            "{result:?}"
        );
    }
}

/// Entries without what is peculiar to one file.
fn lasting(entries: &[Entry]) -> Vec<ligule::records::portable::Portable> {
    portable(entries)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]

    #[test]
    fn exports_taken_in_elsewhere_are_the_same_record(steps in prop::collection::vec(step(), 0..12)) {
        let (_dir, _, mut store) = new();
        live(&mut store, &steps);
        prop_assert_eq!(store.verify(TODAY).unwrap(), vec![]);
        let ours = store.list(&all()).unwrap();
        let json = to_json(&ours).unwrap();
        let table = csv::to_csv(&ours).unwrap();
        for read in [from_json(&json).unwrap(), csv::from_csv(&table).unwrap()] {
            let (_dir, _, mut other) = new();
            prop_assert_eq!(other.import(&read, TODAY).unwrap(), (ours.len(), 0));
            let theirs = other.list(&all()).unwrap();
            prop_assert_eq!(lasting(&theirs), lasting(&ours));
            prop_assert_eq!(to_json(&theirs).unwrap(), json.clone());
            prop_assert_eq!(csv::to_csv(&theirs).unwrap(), table.clone());
            prop_assert_eq!(other.verify(TODAY).unwrap(), vec![]);
            prop_assert_eq!(other.import(&read, TODAY).unwrap(), (0, ours.len()));
        }
        // No cell of the table is a formula.
        for record in ::csv::Reader::from_reader(table.as_bytes()).records() {
            for cell in &record.unwrap() {
                prop_assert!(!cell.trim_start().starts_with(['=', '+', '-', '@']), "{}", cell);
            }
        }
    }

    /// The limits by a second, plain way of counting: go through the whole list and follow every correction by hand.
    #[test]
    fn limits_are_those_of_a_naive_count(steps in prop::collection::vec(step(), 0..14)) {
        let (_dir, _, mut store) = new();
        live(&mut store, &steps);
        let group = |id: &str| Some(u16::try_from(id.len() % 4).unwrap());
        let uses = store.uses(None, date(2022, 1, 1)).unwrap();
        let ours = History::of_uses(&uses, group, TODAY);
        let entries = store.list(&all()).unwrap();
        let corrected: BTreeSet<i64> = entries.iter().filter_map(|e| e.corrects).collect();
        let standing: Vec<(&Entry, &Application)> = entries.iter().filter(|e| !corrected.contains(&e.id)).filter_map(|e| match &e.what {
            What::Application(a) => Some((e, a)),
            _ => None,
        }).filter(|(_, a)| a.date.year() >= 2022).collect();
        let names: BTreeSet<&str> = standing.iter().flat_map(|(_, a)| a.products.iter().flat_map(|p| p.actives.iter().map(|u| u.active.as_str()))).collect();
        prop_assert_eq!(ours.actives.keys().map(String::as_str).collect::<BTreeSet<_>>(), names.clone());
        for name in names {
            let of = |year: Option<i16>| -> (Vec<Date>, Decimal, u32) {
                let mut days = Vec::new();
                let (mut sum, mut unknown) = (Decimal::ZERO, 0);
                for (_, a) in standing.iter().filter(|(_, a)| year.is_none_or(|y| a.date.year() == y)) {
                    let used: Vec<&ActiveUsed> = a.products.iter().flat_map(|p| &p.actives).filter(|u| u.active == name).collect();
                    if !used.is_empty() {
                        days.push(a.date);
                    }
                    for u in used {
                        match u.rate {
                            Some(rate) => sum += rate.lb_per_acre(),
                            None => unknown += 1,
                        }
                    }
                }
                (days, sum, unknown)
            };
            let found = &ours.actives[name];
            let last = *of(None).0.iter().max().unwrap();
            prop_assert_eq!(found.last_use, last);
            // Julian day numbers of both days, by another formula (Fliegel and Van Flandern 1968).
            prop_assert_eq!(found.days_since, julian(TODAY) - julian(last));
            let (days, sum, unknown) = of(Some(2026));
            prop_assert_eq!(found.uses_this_year as usize, days.len());
            // Sums in another order may differ in the last of 28 digits.
            prop_assert!((found.this_year.lb_per_acre - sum).abs() < Decimal::new(1, 18));
            prop_assert_eq!(found.this_year.unknown, unknown);
        }
        for number in 1..4_u16 {
            let mut counts = vec![0; YEARS];
            for (_, a) in &standing {
                if a.products.iter().flat_map(|p| &p.actives).any(|u| group(&u.active) == Some(number)) {
                    counts[usize::try_from(2026 - a.date.year()).unwrap()] += 1;
                }
            }
            prop_assert_eq!(ours.groups.get(&number).cloned().unwrap_or_else(|| vec![0; YEARS]), counts);
        }
        let latest = standing.iter().max_by_key(|(e, a)| (a.date, e.id));
        let mut groups: Vec<u16> = latest.map_or(vec![], |(_, a)| a.products.iter().flat_map(|p| &p.actives).filter_map(|u| group(&u.active)).filter(|g| *g != 0).collect());
        groups.sort_unstable();
        groups.dedup();
        prop_assert_eq!(ours.last_groups, groups);
    }

    #[test]
    fn no_table_and_no_json_makes_it_panic(text in "\\PC{0,80}|(uid|kind|date|[,\n\"]){0,20}") {
        let _ = csv::from_csv(&text);
        let _ = from_json(&text);
    }
}

/// Julian day number of a Gregorian day: Fliegel and Van Flandern, Communications of the ACM 11 (1968), 657.
fn julian(day: Date) -> i64 {
    let (i, j, k) = (
        i64::from(day.year()),
        i64::from(day.month()),
        i64::from(day.day()),
    );
    k - 32075 + 1461 * (i + 4800 + (j - 14) / 12) / 4 + 367 * (j - 2 - (j - 14) / 12 * 12) / 12
        - 3 * ((i + 4900 + (j - 14) / 12) / 100) / 4
}

#[test]
fn twelve_months_and_this_year_are_different_spans() {
    let one = |day: Date, pounds: i64| Treated {
        entry: julian(day),
        day,
        uses: [Use {
            active: "a".into(),
            lb_per_acre: Some(Decimal::from(pounds)),
        }]
        .into(),
    };
    let uses = [
        one(date(2025, 11, 1), 1),
        one(date(2025, 11, 2), 2),
        one(date(2026, 1, 1), 4),
        one(date(2026, 11, 1), 8),
    ];
    let found = History::of_uses(&uses, |_| Some(4), TODAY);
    let a = &found.actives["a"];
    assert_eq!(a.this_year.lb_per_acre, Decimal::from(12));
    assert_eq!(
        a.twelve_months.lb_per_acre,
        Decimal::from(14),
        "the day a year ago is outside"
    );
    assert_eq!((a.days_since, a.uses_this_year), (0, 2));
    assert_eq!(found.groups[&4], [2, 2, 0, 0, 0]);
    assert_eq!(found.uses_of_group(4, 1), 2);
}

/// 100,000 entries over twenty years: a year's list and the limits of one lawn. Prints figures; it has no time limit, because
/// a machine that does other work besides proves nothing.
#[test]
#[ignore = "prints figures; run in release"]
fn a_large_record_prints_its_times() {
    let book = ligule::knowledge::Knowledge::embedded().unwrap();
    for (years, lawns) in [(20_i64, 200_i64), (20, 1), (6, 1)] {
        let (_dir, _, mut store) = new();
        let entries: Vec<_> = (0..100_000_i64)
            .map(|n| {
                let back = n * years * 365 / 100_000;
                let day = TODAY.checked_sub(jiff::Span::new().days(back)).unwrap();
                let mut t = treated(
                    day,
                    &[
                        ("triclopyr", Some("0.01 lb/acre")),
                        ("2,4-d", Some("5 g/ha")),
                        ("quinclorac", None),
                    ],
                );
                t.lawn = Some(format!("lawn {}", n % lawns));
                t.items.insert("wind-speed".into(), "4 mph".into());
                t.items.insert("applicator-name".into(), "A. Person".into());
                ligule::records::portable::Portable {
                    uid: format!("bench-{n:06}"),
                    recorded_on: day,
                    corrects: None,
                    about: None,
                    why: None,
                    what: What::Application(t),
                }
            })
            .collect();
        let start = std::time::Instant::now();
        assert_eq!(store.import(&entries, TODAY).unwrap().0, 100_000);
        eprintln!("{years} years, {lawns} lawns: import {:?}", start.elapsed());
        let mut best = [std::time::Duration::MAX; 3];
        for _ in 0..9 {
            let start = std::time::Instant::now();
            let list = store
                .list(&Filter {
                    from: Some(date(2025, 1, 1)),
                    to: Some(date(2025, 12, 31)),
                    ..Filter::default()
                })
                .unwrap();
            best[0] = best[0].min(start.elapsed());
            assert!(!list.is_empty());
            let start = std::time::Instant::now();
            let history = History::of(&book, &store, Some("lawn 0"), TODAY).unwrap();
            best[1] = best[1].min(start.elapsed());
            assert_eq!(history.actives.len(), 3);
            let start = std::time::Instant::now();
            History::of(&book, &store, None, TODAY).unwrap();
            best[2] = best[2].min(start.elapsed());
        }
        let listed = store
            .list(&Filter {
                from: Some(date(2025, 1, 1)),
                to: Some(date(2025, 12, 31)),
                ..Filter::default()
            })
            .unwrap()
            .len();
        eprintln!(
            "  list of 2025 ({listed} entries) {:?}, limits of one lawn {:?}, limits of all lawns {:?}",
            best[0], best[1], best[2]
        );
        let start = std::time::Instant::now();
        assert_eq!(store.verify(TODAY).unwrap(), vec![]);
        eprintln!("  verify {:?}", start.elapsed());
    }
}

#[test]
fn a_clock_that_was_set_back_is_noticed_and_frees_nothing() {
    let book = ligule::knowledge::Knowledge::embedded().unwrap();
    let (_dir, _, mut store) = new();
    let day = date(2026, 10, 20);
    store
        .add(&application(day, "quinclorac", "0.75 lb/acre"), TODAY)
        .unwrap();
    let earlier = date(2026, 10, 1);
    let found = store.verify(earlier).unwrap();
    assert!(found[0].text.contains("lies in the future"), "{found:?}");
    let history = History::of(&book, &store, None, earlier).unwrap();
    assert_eq!(history.actives["quinclorac"].days_since, 0);
    assert_eq!(store.list(&Filter::default()).unwrap().len(), 1);
}

#[test]
fn the_last_of_february_is_a_day_like_any_other() {
    let (_dir, _, mut store) = new();
    let leap = date(2024, 2, 29);
    store
        .add(&application(leap, "triclopyr", "1 lb/acre"), TODAY)
        .unwrap();
    let uses = store.uses(None, date(2024, 2, 29)).unwrap();
    // A year back from 28 February 2025 is 28 February 2024: the leap day lies within the twelve months. From 1 March it lies
    // before them.
    for (today, inside) in [(date(2025, 2, 28), true), (date(2025, 3, 1), false)] {
        let found = History::of_uses(&uses, |_| None, today);
        let amount = found.actives["triclopyr"].twelve_months.lb_per_acre;
        assert_eq!(!amount.is_zero(), inside, "{today}");
    }
}

/// Bytes of the file are changed at random: whatever happens is told and nothing panics, and where `verify` finds the file
/// whole, the entries are those that were written.
#[test]
fn a_file_that_was_damaged_is_never_taken_for_whole() {
    let (dir, path, mut store) = new();
    for day in 1..=25 {
        let mut treatment = treated(date(2026, 5, day), &[("triclopyr", Some("0.5 lb/acre"))]);
        treatment.remarks = Some("a remark of some length ".repeat(12));
        store.add(&What::Application(treatment), TODAY).unwrap();
    }
    let good = store.list(&all()).unwrap();
    drop(store);
    let bytes = std::fs::read(&path).unwrap();
    let mut seed = 20_261_101_u64;
    let mut draw = |most: usize| {
        seed = seed
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        usize::try_from(seed >> 33).unwrap() % most
    };
    let (mut told, mut harmless) = (0, 0);
    for round in 0..150 {
        let mut damaged = bytes.clone();
        let at = draw(damaged.len());
        let length = 1 + draw(8);
        for byte in damaged.iter_mut().skip(at).take(length) {
            *byte ^= 1 << draw(8);
        }
        if round % 10 == 0 {
            damaged.truncate(at.max(100));
        }
        let copy = dir.path().join(format!("damaged-{round}.db"));
        std::fs::write(&copy, &damaged).unwrap();
        let result = Store::open(&copy).and_then(|store| {
            let found = store.verify(TODAY)?;
            Ok((store.list(&all()), found))
        });
        match result {
            Ok((list, found)) if found.is_empty() => {
                harmless += 1;
                assert_eq!(list.unwrap(), good, "round {round}, byte {at}");
            }
            _ => told += 1,
        }
    }
    assert!(
        told >= 50 && harmless >= 1,
        "{told} told, {harmless} harmless"
    );
}

#[test]
fn what_a_class_should_look_like_follows_the_days_of_the_book() {
    use ligule::records::expect::{Progress, expected, follow_ups};
    let book = ligule::knowledge::Knowledge::embedded().unwrap();
    // The book: first signs of quinclorac from day 4 to 10, full effect from day 14 to 28.
    let treatment = treated(date(2026, 5, 10), &[("quinclorac", None)]);
    for (days, wanted) in [
        (0..=3, Progress::TooEarly),
        (4..=10, Progress::FirstSigns),
        (11..=13, Progress::Developing),
        (14..=27, Progress::Completing),
        (28..=400, Progress::Complete),
    ] {
        for day in days {
            assert_eq!(
                expected(&book, &treatment, day)[0].progress,
                wanted,
                "{day}"
            );
        }
    }
    let looks = follow_ups(&book, &treatment);
    let days: Vec<Date> = looks.iter().map(|l| l.date).collect();
    assert_eq!(days, [date(2026, 5, 20), date(2026, 6, 7)]);
    // An active that the book does not have is no reason to say anything.
    let unknown = treated(date(2026, 5, 10), &[("no-such", None)]);
    assert!(expected(&book, &unknown, 10).is_empty() && follow_ups(&book, &unknown).is_empty());
}
