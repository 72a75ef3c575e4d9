//! The pages in a real browser: the whole job by taps and by keys alone with script switched off, accessibility by
//! axe-core's rules for WCAG 2.2 AA, nothing wider than a phone of 320 pixels, and nothing fetched from elsewhere.
//!
//! These tests need Debian's packages `chromium` and `chromium-driver`, and axe-core from the npm registry in
//! `target/axe`; `.ci/run` installs both. Without them they fail.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::too_many_lines,
    reason = "tests"
)]
#[path = "web/browser.rs"]
mod browser_by;
#[path = "web/served.rs"]
mod served_by;

use browser_by::{Browser, axe};
use ligule::web::Patience;
use serde_json::json;
use served_by::{Served, pages, post_file, served, whole_job};

fn fresh() -> Served {
    served(false, Patience::default())
}

/// What is answered to the questions of the key; anything else is "not sure".
const SEEN: [(&str, &str); 7] = [
    ("group", "broadleaf"),
    ("stem_section", "square"),
    ("leaf_arrangement", "opposite"),
    ("leaf_shape", "kidney"),
    ("leaf_margin", "scalloped"),
    ("smell_when_crushed", "mint"),
    ("stem_rooting", "yes"),
];

/// The trait that the page asks about.
fn asked(browser: &Browser) -> String {
    let put = browser.run(
        "const of = document.querySelector('main form input[name=of]'); return of ? of.value : ''",
        &[],
    );
    put.as_str().unwrap_or_default().to_owned()
}

fn seen(of: &str) -> Option<&'static str> {
    SEEN.iter().find(|(t, _)| *t == of).map(|(_, a)| *a)
}

fn settled(browser: &Browser) -> bool {
    browser.text().contains("Take it as ground ivy")
}

#[test]
fn the_whole_job_by_taps_without_script() {
    let web = fresh();
    let phone = Browser::phone();
    phone.open(&format!("http://{}/", web.at));
    // That script is really off is seen from a page that would write with it.
    phone.open("data:text/html,<p id=p>off</p><script>p.textContent='on'</script>");
    assert_eq!(phone.text(), "off");
    phone.open(&format!("http://{}/", web.at));
    phone.tap_words("Begin a visit");
    phone.tap_words("Tall fescue");
    phone.tap_words("Take what is ticked");
    phone.tap_words("Established, growing grass");
    phone.tap_words("Near a garden");
    phone.tap_words("Children or pets");
    phone.tap_words("Take what is ticked");
    phone.tap_words("Ohio");
    phone.tap_words("I treat my own lawn");
    phone.fill("//input[@name='answer']", "72F");
    phone.tap_words("Take it");
    phone.tap_words("Midwest");
    phone.fill("//input[@name='answer']", "side");
    phone.tap_words("Take it");
    phone.tap("//a[contains(@href, '/area')]");
    phone.fill("//input[@name='name']", "front");
    phone.fill("//textarea[@name='shape']", "60 ft x 40 ft");
    phone.tap_words("Add this part");
    assert!(phone.text().contains("2400 sq ft"));
    phone.tap_words("Back to the lawn");
    phone.tap_words("On to the plant");
    phone.tap_words("Find it out by questions");
    let mut questions = 0;
    while !settled(&phone) {
        questions += 1;
        assert!(questions < 25, "never settled: {}", phone.text());
        match seen(&asked(&phone)) {
            Some(answer) => phone.tap(&format!(
                "//main//button[@name='answer'][@value='{answer}']"
            )),
            None => phone.tap_words("Not sure"),
        }
        if questions == 1 {
            phone.tap_words("Back");
            assert!(phone.text().contains("your answer"));
            phone.tap("//main//button[contains(@class, 'chosen')]");
        }
    }
    assert!(phone.text().contains("So far, after"), "{}", phone.text());
    phone.tap_words("Take it as ground ivy");
    phone.tap_words("What to do about it");
    phone.tap_words("Take this one: triclopyr (group 4)");
    phone.tap_words("Copy a label");
    phone.fill("//input[@name='name']", "clover spray A");
    phone.fill("//textarea[@name='actives']", "4 lb a.e./gal");
    phone.fill("//input[@name='formulation']", "EC");
    phone.fill("//input[@name='broadcast']", "0.4-0.6 fl oz/1000 sq ft");
    phone.fill("//input[@name='water']", "0.75-2 gal/1000 sq ft");
    phone.tap_words("It names tall fescue");
    phone.tap_words("It names ground ivy");
    phone.tap_words("Keep it on the shelf");
    assert!(
        phone.text().contains("No amounts are given"),
        "{}",
        phone.text()
    );
    phone.tap_words("Sprayer and measuring tools");
    phone.fill("//input[@name='tank']", "2 gal");
    phone.fill("//input[@name='output']", "1 gal/1000 sq ft");
    phone.fill("//textarea[@name='measuring']", "syringe 0.5 mL");
    phone.tap_words("Keep this");
    assert!(phone.text().contains("Load 1"), "{}", phone.text());
    phone.tap_words("On to the spray day");
    let forecast = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/tests/data/weather/forecast.csv"
    );
    phone.choose_file(forecast);
    phone.tap_words("Send the forecast");
    assert!(
        phone.text().contains("What these hours rest on"),
        "{}",
        phone.text()
    );
    phone.tap_words("On to the note");
    phone.tap_words("Open the note");
    assert!(phone.text().contains("Treatment note"), "{}", phone.text());
    phone.back();
    phone.tap_words("write it down");
    phone.tap_words("Write it down");
    assert!(
        phone.text().contains("Written down just now"),
        "{}",
        phone.text()
    );
}

#[test]
fn the_whole_job_by_keys_alone_without_script() {
    let web = fresh();
    let desk = Browser::phone();
    desk.open(&format!("http://{}/", web.at));
    let press = |words: &str| {
        desk.tab_to(words);
        desk.enter();
    };
    let tick = |words: &str| {
        desk.tab_to(words);
        desk.key(" ");
    };
    let write = |label: &str, text: &str| {
        desk.tab_to(label);
        desk.write(text);
    };
    press("Begin a visit");
    tick("Tall fescue");
    press("Take what is ticked");
    press("Established, growing grass");
    tick("Nothing of these");
    press("Take what is ticked");
    press("Not in the list");
    press("I treat my own lawn");
    write("Your answer", "72F");
    desk.enter();
    press("Not sure");
    write("Your answer", "side");
    desk.enter();
    press("On to the plant");
    press("Find it out by questions");
    let mut questions = 0;
    while !settled(&desk) {
        questions += 1;
        assert!(questions < 25, "never settled: {}", desk.text());
        match seen(&asked(&desk)) {
            Some(answer) => press(answer),
            None => press("Not sure"),
        }
    }
    press("Take it as ground ivy");
    press("What to do about it");
    press("Take this one: triclopyr (group 4)");
    press("Copy a label");
    write("What you call it", "clover spray A");
    write("Active ingredients", "4 lb a.e./gal");
    write("Rate on the whole area", "0.4 fl oz/1000 sq ft");
    tick("It names tall fescue");
    press("Keep it on the shelf");
    press("Spray day");
    press("On to the note");
    press("When it is done");
    press("Write it down");
    assert!(
        desk.text().contains("Written down just now"),
        "{}",
        desk.text()
    );
}

#[test]
fn the_record_by_taps_and_by_keys_without_script() {
    let web = fresh();
    let visit = whole_job(&web, "side");
    let phone = Browser::phone();
    phone.open(&format!("http://{}{visit}/record", web.at));
    phone.tap_words("Write it down");
    assert!(phone.text().contains("Entry 1"), "{}", phone.text());
    phone.tap_words("Write what is seen now");
    phone.tap_words("Write it down");
    assert!(
        phone.text().contains("nothing was seen"),
        "{}",
        phone.text()
    );
    phone.fill("//input[@name='control']", "0");
    phone.fill("//input[@name='looks']", "yellow tips");
    phone.tap_words("The weed withstood it");
    phone.tap_words("Write it down");
    let seen = phone.text();
    assert!(
        seen.contains("0 % of the weed gone or dying") && seen.contains("yellow tips"),
        "{seen}"
    );
    phone.tap_words("Correct it");
    phone.fill("//textarea[@name='remarks']", "and new leaves");
    phone.fill("//input[@name='why']", "looked again");
    phone.tap_words("Put this in its place");
    assert!(
        phone.text().contains("replaces entry 2: looked again"),
        "{}",
        phone.text()
    );
    let desk = Browser::phone();
    desk.open(&format!("http://{}/record", web.at));
    desk.tab_to("Seed or sod");
    desk.enter();
    desk.tab_to("Grass");
    desk.write("tall fescue");
    desk.tab_to("Write it down");
    desk.enter();
    assert!(desk.text().contains("seeded or laid"), "{}", desk.text());
    desk.tab_to("Take it back");
    desk.key("Enter");
    desk.tab_to("Why?");
    desk.write("no seed was left");
    desk.tab_to("Take entry 4 back");
    desk.enter();
    assert!(!desk.text().contains("seeded or laid"), "{}", desk.text());
    desk.tab_to("Also what was corrected");
    desk.enter();
    assert!(
        desk.text().contains("no longer stands; see entry 5"),
        "{}",
        desk.text()
    );
}

/// A lawn folder with a visit that has something on every page.
fn full(web: &Served) -> Vec<String> {
    let visit = whole_job(
        web,
        "the side lawn with a long name that has to be broken somewhere",
    );
    let csv = include_str!("data/weather/forecast.csv");
    assert_eq!(
        post_file(web.at, &format!("{visit}/day"), "f.csv", csv).status,
        303
    );
    web.sent(
        &format!("{visit}/record"),
        &[
            ("date", "2026-05-09"),
            ("lawn", "side"),
            ("actives-1", "triclopyr"),
        ],
    );
    web.sent(&format!("{visit}/plant"), &[]);
    web.sent(
        &format!("{visit}/plant/2"),
        &[("of", "group"), ("answer", "grass")],
    );
    web.sent(
        "/record/1/seen",
        &[
            ("date", "2026-05-09"),
            ("control", "60"),
            ("looks", "yellow tips"),
        ],
    );
    web.sent(
        "/record/sown",
        &[("date", "2025-09-10"), ("turf", "tall fescue")],
    );
    web.sent(
        "/record/2/correct",
        &[("date", "2026-05-09"), ("control", "70"), ("why", "a slip")],
    );
    let mut all = pages(&visit);
    all.extend([
        "/enter".to_owned(),
        "/record?all=yes".to_owned(),
        "/record?written=4".to_owned(),
        "/record/applied".to_owned(),
        "/record/sown".to_owned(),
        "/record/1/seen".to_owned(),
        "/record/1/correct".to_owned(),
        "/record/3/correct".to_owned(),
        "/record/4/correct".to_owned(),
        "/record?written=1".to_owned(),
        "/record.html".to_owned(),
        format!("{visit}/plant/2"),
        format!("{visit}/plant/2/name"),
        format!("{visit}/note/note.html"),
    ]);
    all
}

/// What is wider than the window, what is too small to touch, and what was fetched. Links within a sentence are as large
/// as their words (WCAG 2.5.8 excepts them).
const MEASURE: &str = "const folded = e => { for (let d = e.parentElement.closest('details'); d; d = d.parentElement.closest('details')) if (!d.open && !(e.matches('summary') && e.parentElement === d)) return true; return false; };
    const small = [...document.querySelectorAll('main button, a.stake, a.plain, a.change, a.tag, nav a, summary, input:not([type=hidden]), textarea')]
      .filter(e => !folded(e))
      .filter(e => { const b = (e.closest('label') || e).getBoundingClientRect(); return b.height > 0 && (b.height < 43.5 || b.width < 24); })
      .map(e => e.outerHTML.slice(0, 120));
    return [document.documentElement.scrollWidth, small, performance.getEntriesByType('resource').map(r => r.name)];";

/// Runs the checker for some of its rules and gives its findings in lines.
fn axe_run(only: &str) -> String {
    format!(
        "const done = arguments[arguments.length - 1];
        axe.run(document, {{runOnly: {only}, resultTypes: ['violations']}})
          .then(r => done(r.violations.map(v => v.id + ': ' + v.help + ' ' + v.nodes.slice(0, 3).map(n => n.html.slice(0, 160) + ' ' + n.failureSummary).join(' | '))))
          .catch(e => done(['axe failed: ' + e]))"
    )
}

#[test]
fn every_page_keeps_the_rules_of_accessibility_fits_its_window_and_fetches_nothing_from_elsewhere()
{
    let web = fresh();
    let pages = full(&web);
    let window = Browser::window();
    // The checker is brought in from outside the page, which itself allows no script.
    window.own_command("Page.setBypassCSP", &json!({"enabled": true}));
    let axe = axe();
    let whole =
        axe_run("['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice']");
    let contrast = axe_run("{type: 'rule', values: ['color-contrast']}");
    let mut found = Vec::new();
    for page in &pages {
        window.scheme("light");
        window.width(390);
        window.open(&format!("http://{}{page}", web.at));
        window.run(&format!("{axe}\nwindow.axe = axe; return 1"), &[]);
        let light = window.run_later(&whole);
        window.scheme("dark");
        let dark = window.run_later(&contrast);
        for (scheme, faults) in [("light", light), ("dark", dark)] {
            for fault in faults.as_array().expect("a list") {
                found.push(format!(
                    "{page} ({scheme}): {}",
                    fault.as_str().unwrap_or_default()
                ));
            }
        }
        for width in [320_u32, 1280] {
            window.width(width);
            let measured = window.run(MEASURE, &[]);
            if measured[0].as_u64() > Some(u64::from(width)) {
                found.push(format!("{page} at {width}: {} wide", measured[0]));
            }
            // Notes are read and printed, and have nothing to touch.
            let small = measured[1].as_array().filter(|s| !s.is_empty());
            found.extend(small.map(|s| format!("{page} at {width}: too small to touch: {s:?}")));
            for from in measured[2].as_array().expect("a list") {
                let from = from.as_str().unwrap_or_default();
                if !from.starts_with(&format!("http://{}/", web.at)) && !from.starts_with("data:") {
                    found.push(format!("{page}: fetched {from}"));
                }
            }
        }
    }
    assert!(
        found.is_empty(),
        "{} faults\n{}",
        found.len(),
        found.join("\n")
    );
}
