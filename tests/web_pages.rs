//! The pages: the whole job over plain HTTP, faults told at the field, nothing lost, nothing of the trade decided here.
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "tests")]
#[path = "web/served.rs"]
mod served_by;

use jiff::civil::date;
use ligule::knowledge::read::read;
use ligule::note;
use ligule::treatment::Treatment;
use ligule::visit::Visit;
use ligule::web::Patience;
use served_by::{book, over, pages, post_file, served, whole_job};

fn fresh() -> served_by::Served {
    served(false, Patience::default())
}

#[test]
fn the_whole_job_ends_in_the_note_that_the_library_makes_of_the_same_answers() {
    let web = fresh();
    let visit = whole_job(&web, "the side lawn");
    let answers = web.page(&format!("{visit}/note/answers.yaml"));
    let told: Visit = read("answers.yaml", &answers).expect("a good answers file");
    let treatment = Treatment::of(book(), &told, date(2026, 5, 9)).expect("a treatment");
    assert_eq!(
        web.page(&format!("{visit}/note/note.html")),
        note::html(&treatment).unwrap()
    );
    assert_eq!(
        web.page(&format!("{visit}/note/note.txt")),
        note::text(&treatment).unwrap()
    );
    let sheet = treatment.spray_day.expect("a sheet");
    let amounts = web.page(&format!("{visit}/amounts"));
    assert!(
        !sheet.stopped() && amounts.contains(&sheet.products[0].takes),
        "{amounts}"
    );
    assert!(
        web.page(&format!("{visit}/note/days.ics"))
            .contains("BEGIN:VEVENT")
    );
    // Everything that is excluded stands on the page with its sentence.
    let choice = web.page(&format!("{visit}/choice"));
    for group in &treatment.excluded {
        for one in &group.all {
            let escaped = one.detail.replace('&', "&amp;").replace('\'', "&#x27;");
            let plain = one
                .detail
                .chars()
                .take_while(|c| c.is_alphanumeric() || *c == ' ');
            let plain: String = plain.collect();
            assert!(
                choice.contains(&escaped) || choice.contains(&plain),
                "{}",
                one.detail
            );
        }
    }
    for page in pages(&visit).iter().filter(|p| !p.contains("nowhere")) {
        web.page(page);
    }
}

#[test]
fn what_was_applied_is_written_once_and_counts_for_the_next_visit_but_not_against_its_own_note() {
    let web = fresh();
    let visit = whole_job(&web, "side");
    let before = web.page(&format!("{visit}/note/note.html"));
    let form = [
        ("date", "2026-05-09"),
        ("lawn", "side"),
        ("area", "2200 sq ft"),
        ("product-1", "clover spray A"),
        ("actives-1", "triclopyr = 0.5 lb/acre"),
    ];
    let mut wrong = form;
    wrong[4].1 = "triclopir = half";
    let told = web.post(&format!("{visit}/record"), &wrong);
    assert_eq!(told.status, 422);
    assert!(
        told.body.contains("Did you mean triclopyr?") && told.body.contains("triclopir = half")
    );
    assert!(web.page("/record").contains("Nothing is written down yet"));
    wrong[4].1 = form[4].1;
    wrong[0].1 = "2026-05-10";
    assert!(
        web.post(&format!("{visit}/record"), &wrong)
            .body
            .contains("lies in the future")
    );
    assert_eq!(
        web.sent(&format!("{visit}/record"), &form),
        "/record?written=1"
    );
    assert_eq!(
        web.sent(&format!("{visit}/record"), &form),
        "/record?written=1"
    );
    let record = web.page("/record");
    assert_eq!(record.matches("<article").count(), 1, "{record}");
    assert!(record.contains("What still holds") && record.contains("triclopyr 0.5 lb/acre"));
    assert_eq!(web.page(&format!("{visit}/note/note.html")), before);
    let next = whole_job_without_choice(&web);
    let choice = web.page(&format!("{next}/choice"));
    assert!(
        choice.contains("triclopyr was used here 0 days ago"),
        "{choice}"
    );
    assert_eq!(web.post("/record", &[("entry", "1")]).status, 422);
    web.sent(
        "/record",
        &[
            ("entry", "1"),
            ("why", "the wind came up and nothing was done"),
        ],
    );
    assert!(
        !web.page(&format!("{next}/choice"))
            .contains("was used here")
    );
}

fn whole_job_without_choice(web: &served_by::Served) -> String {
    let visit = web.begun();
    web.sent(&format!("{visit}/lawn/grass"), &[("answer", "tall-fescue")]);
    web.sent(&format!("{visit}/plant"), &[("by", "name")]);
    web.sent(&format!("{visit}/plant/1/name"), &[("weed", "ground ivy")]);
    visit
}

#[test]
fn faults_are_told_at_the_field_and_what_was_typed_stays() {
    let web = fresh();
    let visit = whole_job(&web, "front");
    web.sent(&format!("{visit}/plant"), &[("by", "name")]);
    for (page, fields, field, kept, words) in [
        (
            "/lawn/air",
            vec![("answer", "warm & wet")],
            "fault",
            "warm &amp; wet",
            "no temperature",
        ),
        (
            "/area",
            vec![("name", "back"), ("shape", "60 fot x 40")],
            "x-shape",
            "60 fot x 40",
            "unit",
        ),
        (
            "/shelf/new",
            vec![
                ("name", "B"),
                ("actives", "triclopyr = 4 lb a.e./gal"),
                ("broadcast", "0.4 fl oz"),
            ],
            "x-broadcast",
            "0.4 fl oz",
            "per area",
        ),
        (
            "/shelf/new",
            vec![("name", "B"), ("broadcast", "1 fl oz/1000 sq ft")],
            "x-actives",
            "1 fl oz/1000 sq ft",
            "active ingredient",
        ),
        (
            "/shelf/new",
            vec![
                ("name", "clover spray A"),
                ("actives", "triclopyr = 4 lb a.e./gal"),
            ],
            "x-name",
            "triclopyr = 4 lb a.e./gal",
            "this name already",
        ),
        (
            "/gear",
            vec![("tank", "two gallons")],
            "x-tank",
            "two gallons",
            "number",
        ),
        (
            "/plant/1",
            vec![("of", "leaf_width_mm"), ("measure", "broad")],
            "role=\"alert\"",
            "leaf_width",
            "takes a measure in mm",
        ),
        (
            "/plant/2/name",
            vec![("weed", "grond ivy")],
            "x-weed",
            "grond ivy",
            "ground ivy",
        ),
    ] {
        let answer = web.post(&format!("{visit}{page}"), &fields);
        assert_eq!(answer.status, 422, "{page} {fields:?}");
        for wanted in [field, kept, words] {
            assert!(
                answer.body.contains(wanted),
                "{page}: {wanted}\n{}",
                answer.body
            );
        }
    }
    let after = web.page(&format!("{visit}/note/answers.yaml"));
    assert!(
        after.contains("72F") && after.contains("clover spray A") && !after.contains("name: B")
    );
}

#[test]
fn two_phones_on_one_visit_lose_nothing_and_two_visits_never_mix() {
    let web = fresh();
    let one = web.begun();
    let other = web.begun();
    assert_ne!(one, other);
    web.sent(&format!("{one}/plant"), &[]);
    let answers = [
        ("group", "broadleaf"),
        ("stem_section", "square"),
        ("leaf_arrangement", "opposite"),
        ("leaf_margin", "scalloped"),
        ("smell_when_crushed", "mint"),
        ("stem_rooting", "yes"),
        ("leaf_shape", "kidney"),
        ("root", "unsure"),
    ];
    std::thread::scope(|scope| {
        for (of, answer) in answers {
            let (web, one, other) = (&web, &one, &other);
            scope.spawn(move || {
                let fields = if answer == "unsure" {
                    [("of", of), ("act", "unsure")]
                } else {
                    [("of", of), ("answer", answer)]
                };
                web.sent(&format!("{one}/plant/1"), &fields);
            });
            scope.spawn(move || web.sent(&format!("{other}/lawn/name"), &[("answer", "other")]));
            scope.spawn(move || {
                web.sent(&format!("{one}/lawn/stage"), &[("answer", "established")])
            });
        }
    });
    let kept = web.page(&format!("{one}/note/answers.yaml"));
    for (of, _) in answers {
        assert!(kept.contains(of), "{of}: {kept}");
    }
    assert!(kept.contains("established") && !kept.contains("other"));
    // The last answer to a question wins, and a plant keeps its number when another one is taken out.
    web.sent(
        &format!("{one}/plant/1"),
        &[("of", "stem_section"), ("answer", "round")],
    );
    web.sent(&format!("{one}/plant"), &[]);
    web.sent(&format!("{one}/plant/1/seen"), &[("act", "remove")]);
    web.sent(
        &format!("{one}/plant/2"),
        &[("of", "group"), ("answer", "grass")],
    );
    let kept = web.page(&format!("{one}/note/answers.yaml"));
    assert!(
        kept.contains("group: grass") && !kept.contains("scalloped"),
        "{kept}"
    );
}

#[test]
fn a_dead_battery_loses_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let (first, _, _) = over(folder.path(), false, Patience::default());
    let begun = served_by::post(first, "/visit", &[], "");
    let visit = begun.location().trim_end_matches("/lawn/grass").to_owned();
    served_by::post(
        first,
        &format!("{visit}/lawn/grass"),
        &[("answer", "tall-fescue")],
        "",
    );
    served_by::post(first, &format!("{visit}/plant"), &[], "");
    served_by::post(
        first,
        &format!("{visit}/plant/1"),
        &[("of", "group"), ("answer", "broadleaf")],
        "",
    );
    // Another process begins on the same folder, as after a restart; the first one is never told.
    let (second, _, _) = over(folder.path(), false, Patience::default());
    let seen = served_by::get(second, &format!("{visit}/plant/1/seen"), "");
    assert!(seen.body.contains("Broad-leaved plant"), "{}", seen.body);
    assert!(served_by::get(second, "/", "").body.contains(&visit));
}

#[test]
fn every_state_of_the_traits_that_are_asked_most_has_its_drawing_on_the_page() {
    let web = fresh();
    let visit = web.begun();
    web.sent(&format!("{visit}/plant"), &[]);
    let asked = [
        "stem_section",
        "leaf_arrangement",
        "leaf_type",
        "leaf_shape",
        "leaf_margin",
        "leaf_tip",
        "ligule",
        "auricles",
        "vernation",
        "sheath",
        "habit",
        "root",
        "spread",
        "flower_form",
        "seedhead",
        "fruit",
    ];
    let mut drawings = 0;
    for of in asked {
        let page = web.page(&format!("{visit}/plant/1/about/{of}"));
        let states = book()
            .traits
            .iter()
            .find(|t| t.id == of)
            .unwrap()
            .states
            .len();
        assert!(states > 1, "{of}");
        assert_eq!(page.matches("<button class=\"card").count(), states, "{of}");
        assert_eq!(
            page.matches("<span class=\"drawing\"").count(),
            states,
            "{of}"
        );
        drawings += states;
    }
    assert!(drawings >= 90, "{drawings}");
}

#[test]
fn back_why_not_sure_and_several_are_there_and_back_leads_back() {
    let web = fresh();
    let visit = web.begun();
    web.sent(&format!("{visit}/lawn/grass"), &[("answer", "tall-fescue")]);
    web.sent(&format!("{visit}/plant"), &[]);
    let first = web.page(&format!("{visit}/plant/1"));
    assert!(first.contains("Why this question?") && first.contains("questions depend on this one"));
    assert!(first.contains("Not sure") && first.contains("never counts against"));
    let next = web.sent(
        &format!("{visit}/plant/1"),
        &[("of", "group"), ("answer", "broadleaf")],
    );
    let again = web.sent(
        &next,
        &[
            ("of", "leaf_type"),
            ("answer", "simple"),
            ("trail", "group"),
        ],
    );
    let page = web.page(&again);
    assert!(
        page.contains(&format!(
            "href=\"{visit}/plant/1/about/leaf_type?trail=group\""
        )),
        "{page}"
    );
    let back = web.page(&format!("{visit}/plant/1/about/leaf_type?trail=group"));
    assert!(back.contains("your answer") && back.contains("Take my answer back"));
    assert!(back.contains(&format!("href=\"{visit}/plant/1/about/group\"")));
    web.sent(
        &format!("{visit}/plant/1"),
        &[("of", "leaf_type"), ("act", "take-back")],
    );
    web.sent(
        &format!("{visit}/plant/1"),
        &[
            ("of", "leaf_shape"),
            ("answer", "round"),
            ("answer", "kidney"),
        ],
    );
    let seen = web.page(&format!("{visit}/plant/1/seen"));
    assert!(
        seen.contains("Round or Kidney") && !seen.contains("leaf_type"),
        "{seen}"
    );
}

#[test]
fn a_plant_that_is_none_of_these_gets_no_chemical() {
    let web = fresh();
    let visit = web.begun();
    web.sent(&format!("{visit}/lawn/grass"), &[("answer", "tall-fescue")]);
    web.sent(&format!("{visit}/plant"), &[]);
    web.sent(
        &format!("{visit}/plant/1"),
        &[("of", "group"), ("answer", "broadleaf")],
    );
    web.sent(&format!("{visit}/plant/1/name"), &[("act", "none")]);
    let choice = web.page(&format!("{visit}/choice"));
    assert!(
        choice.contains("the plant is not known") && !choice.contains("Take this one"),
        "{choice}"
    );
    assert!(
        web.page(&format!("{visit}/plant/1/name"))
            .contains("whole one with root")
    );
}

#[test]
fn a_new_answer_opens_the_name_again_and_the_same_answer_does_not() {
    let web = fresh();
    let visit = web.begun();
    web.sent(&format!("{visit}/lawn/grass"), &[("answer", "tall-fescue")]);
    web.sent(&format!("{visit}/plant"), &[]);
    let plant = format!("{visit}/plant/1");
    let seen = [("of", "group"), ("answer", "broadleaf")];
    let unsure = [("of", "group"), ("act", "unsure")];
    let back = [("of", "group"), ("act", "take-back")];
    let named = || {
        web.page(&format!("{plant}/name"))
            .contains("It is another plant after all")
    };
    for name in [("weed", "ground ivy"), ("act", "none")] {
        for (answer, opens) in [
            (&seen, true),
            (&seen, false),
            (&unsure, true),
            (&back, true),
        ] {
            web.sent(&format!("{plant}/name"), &[name]);
            assert!(named());
            web.sent(&plant, answer);
            assert_eq!(named(), !opens, "{name:?} {answer:?}");
        }
    }
}

#[test]
fn which_grass_is_it_lives_in_the_address_alone() {
    let web = fresh();
    let visit = web.begun();
    let kept = std::fs::read_dir(web.folder.path().join("lawn/visits"))
        .unwrap()
        .count();
    let page = web.page(&format!(
        "{visit}/grass?of=vernation&answer=folded&t.leaf_tip=boat-shaped&t.spread=~"
    ));
    assert!(
        page.contains("name=\"t.vernation\" value=\"folded\""),
        "{page}"
    );
    assert!(
        page.contains("name=\"t.leaf_tip\" value=\"boat-shaped\""),
        "{page}"
    );
    assert!(page.contains("So far, after 3 answers"), "{page}");
    assert_eq!(
        std::fs::read_dir(web.folder.path().join("lawn/visits"))
            .unwrap()
            .count(),
        kept
    );
}

#[test]
fn a_forecast_is_judged_hour_by_hour_and_a_bad_one_is_not_kept() {
    let web = fresh();
    let visit = whole_job(&web, "side");
    let day = format!("{visit}/day");
    let csv = include_str!("data/weather/forecast.csv");
    assert_eq!(post_file(web.at, &day, "forecast.csv", csv).status, 303);
    let page = web.page(&day);
    assert!(
        page.contains("Strip of hours") && page.contains("<svg"),
        "{page}"
    );
    let bad = post_file(web.at, &day, "notes.csv", "time,temp\n2026-05-09,12\n");
    assert_eq!(bad.status, 422);
    assert!(bad.body.contains("notes.csv"), "{}", bad.body);
    assert!(web.page(&day).contains("Strip of hours"));
    assert!(web.page(&format!("{day}?wind=fast")).contains("Mend this"));
}

#[test]
fn the_note_has_the_hours_of_the_forecast_and_the_years_on_record() {
    let web = fresh();
    let visit = whole_job(&web, "side");
    let note = format!("{visit}/note/note.html");
    let before = web.page(&note);
    assert!(!before.contains("Which hours are fit") && !before.contains("The years"));
    let csv = include_str!("data/weather/forecast.csv");
    let day = format!("{visit}/day");
    // This one ends two days before the visit: it helps the note no more, and is no fault of it.
    assert_eq!(post_file(web.at, &day, "f.csv", csv).status, 303);
    assert_eq!(web.page(&note), before);
    let later = csv
        .replace("2026-05-07T", "2026-05-10T")
        .replace("2026-05-06T", "2026-05-09T");
    let later: Vec<&str> = later
        .lines()
        .filter(|l| !l.starts_with("2026-05-04") && !l.starts_with("2026-05-05"))
        .collect();
    assert_eq!(
        post_file(web.at, &day, "f.csv", &later.join("\n")).status,
        303
    );
    assert!(web.page(&note).contains("Which hours are fit"));
    web.sent(
        "/record/applied",
        &[
            ("date", "2025-05-02"),
            ("lawn", "side"),
            ("actives-1", "triclopyr = 0.5 lb/acre"),
        ],
    );
    let after = web.page(&note);
    assert!(
        after.contains("The years") && after.contains("May 2025"),
        "{after}"
    );
}
