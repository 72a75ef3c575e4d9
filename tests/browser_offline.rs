//! The handbook and the key for the phone in a real browser, by the browser's own log of what pages ask for: nothing but the
//! machine's own files. Every link of the pages looked at leads somewhere.
//!
//! Needs Debian's packages `chromium` and `chromium-driver`, and fails without them.
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "tests")]
#[path = "web/browser.rs"]
mod browser_by;

use browser_by::Browser;
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

/// What pages asked of others than the machine's own files.
fn outside(browser: &Browser) -> Vec<String> {
    let asked = browser.requested();
    assert!(!asked.is_empty(), "the log tells of the pages themselves");
    // The browser's own first page is no page of ours.
    let own = |a: &String| {
        ["file://", "data:", "chrome"]
            .iter()
            .any(|b| a.starts_with(b))
    };
    asked.into_iter().filter(|a| !own(a)).collect()
}

fn ligule(arguments: &[&str]) -> Vec<u8> {
    let out = Command::new(env!("CARGO_BIN_EXE_ligule"))
        .args(arguments)
        .output()
        .unwrap();
    assert!(
        out.status.success(),
        "{arguments:?}: {}",
        String::from_utf8_lossy(&out.stderr)
    );
    out.stdout
}

/// Where everything on the page leads, as the browser resolves it, and what it fetched.
const LINKS: &str = "const to = [...document.querySelectorAll('a[href], area[href], link[href], use')].map(e => e.href.baseVal === undefined ? e.href : new URL(e.href.baseVal, document.baseURI).href);
    const from = [...document.querySelectorAll('img, iframe, script, source, object, embed')].map(e => e.currentSrc || e.src || e.data || 'inline ' + e.tagName);
    return [to, from, performance.getEntriesByType('resource').map(r => r.name), document.styleSheets.length];";

fn texts(of: &Value) -> Vec<String> {
    of.as_array()
        .expect("a list")
        .iter()
        .map(|t| t.as_str().unwrap_or_default().to_owned())
        .collect()
}

/// The file and the place in it that a link leads to.
fn parted(link: &str) -> Option<(PathBuf, Option<String>)> {
    let rest = link.strip_prefix("file://")?;
    let (path, place) = match rest.split_once('#') {
        Some((path, place)) => (path, Some(place.to_owned())),
        None => (rest, None),
    };
    Some((
        PathBuf::from(path.replace("%20", " ").replace("%2C", ",")),
        place,
    ))
}

/// Looks at pages; gives what is wrong with their links.
fn broken(browser: &Browser, pages: &[PathBuf]) -> Vec<String> {
    let mut wrong = Vec::new();
    let mut read: BTreeMap<PathBuf, String> = BTreeMap::new();
    for page in pages {
        browser.open(&format!("file://{}", page.display()));
        let found = browser.run(LINKS, &[]);
        let shown = page.display();
        for file in texts(&found[1]).iter().chain(&texts(&found[2])) {
            if !parted(file).is_some_and(|(path, _)| path.exists()) {
                wrong.push(format!("{shown} fetches {file}"));
            }
        }
        for link in texts(&found[0]).into_iter().collect::<BTreeSet<_>>() {
            let Some((path, place)) = parted(&link) else {
                // A source names where it was read; that is followed only by whoever taps it.
                if link.starts_with("https://")
                    && page.parent().is_some_and(|f| f.ends_with("sources"))
                {
                    continue;
                }
                wrong.push(format!("{shown} leads out, to {link}"));
                continue;
            };
            if !path.is_file() {
                wrong.push(format!("{shown}: there is no {link}"));
                continue;
            }
            let Some(place) = place else { continue };
            let text = read
                .entry(path)
                .or_insert_with_key(|p| fs::read_to_string(p).unwrap_or_default());
            if !text.contains(&format!("id=\"{place}\"")) {
                wrong.push(format!("{shown}: there is no place {link}"));
            }
        }
    }
    wrong
}

/// The pages at the top, and of every folder the first, the last and the longest.
fn sample(root: &Path) -> Vec<PathBuf> {
    let mut all = Vec::new();
    let mut folders = vec![root.to_owned()];
    folders.extend(
        fs::read_dir(root)
            .unwrap()
            .map(|e| e.unwrap().path())
            .filter(|p| p.is_dir()),
    );
    for folder in folders {
        let mut pages: Vec<PathBuf> = fs::read_dir(&folder)
            .unwrap()
            .map(|e| e.unwrap().path())
            .filter(|p| p.extension().is_some_and(|e| e == "html"))
            .collect();
        pages.sort();
        if folder != root && pages.len() > 3 {
            let longest = pages
                .iter()
                .max_by_key(|p| fs::metadata(p).unwrap().len())
                .unwrap()
                .clone();
            pages = vec![pages[0].clone(), longest, pages[pages.len() - 1].clone()];
        }
        all.extend(pages);
    }
    all
}

#[test]
fn the_handbook_asks_nobody_and_no_link_is_broken() {
    let browser = Browser::window();
    let dir = tempfile::tempdir().unwrap();
    let book = dir.path().join("handbook");
    ligule(&["knowledge", "book", "--out", &book.display().to_string()]);
    let pages = sample(&book);
    assert!(pages.len() >= 20, "{pages:?}");
    let kinds: BTreeSet<&Path> = pages.iter().filter_map(|p| p.parent()).collect();
    assert!(kinds.len() >= 6, "every kind of page: {kinds:?}");
    let wrong = broken(&browser, &pages);
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert_eq!(outside(&browser), Vec::<String>::new());
    // That a broken link and a request would be seen.
    let bad = dir.path().join("bad.html");
    fs::write(
        &bad,
        "<!DOCTYPE html><title>x</title><a href=\"gone.html\">a</a><a href=\"#gone\">b</a><a href=\"http://outside.example/\">c</a><img src=\"http://outside.example/x.png\" alt=\"\">",
    )
    .unwrap();
    let wrong = broken(&browser, &[bad]);
    for words in [
        "there is no file",
        "there is no place",
        "leads out",
        "fetches http",
    ] {
        assert!(
            wrong.iter().any(|w| w.contains(words)),
            "{words}: {wrong:?}"
        );
    }
    let asked = outside(&browser);
    assert!(
        asked.iter().any(|a| a.contains("outside.example/x.png")),
        "{asked:?}"
    );
}

#[test]
fn the_key_for_the_phone_asks_nobody_and_every_way_through_it_ends() {
    let dir = tempfile::tempdir().unwrap();
    let file = dir.path().join("key.html");
    fs::write(&file, ligule(&["key", "--format", "html"])).unwrap();
    let browser = Browser::window();
    let wrong = broken(&browser, std::slice::from_ref(&file));
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    let inside = browser.run(
        "return document.querySelectorAll('link, script, img, iframe').length",
        &[],
    );
    assert_eq!(inside.as_u64(), Some(0), "one file with everything in it");
    // From the first question to a plant: along the first answers, the last ones, and those in the middle.
    let here = "const card = document.querySelector(location.hash || '#start');
        const ways = [...card.querySelectorAll('.answers a')].map(a => a.getAttribute('href'));
        return [card.className, ways.length ? ways[Math.floor(arguments[0] * (ways.length - 1))] : '', getComputedStyle(card).display, card.textContent.replace(/\\s+/g, ' ')]";
    for share in ["0", "0.3", "0.5", "0.7", "1"] {
        browser.open(&format!("file://{}#step-1", file.display()));
        let mut steps = 0;
        loop {
            let card = browser.run(here, &[share.parse::<f64>().unwrap().into()]);
            assert_ne!(card[2], "none", "the card is shown");
            let way = card[1].as_str().unwrap_or_default();
            if way.is_empty() {
                let words = card[3].as_str().unwrap_or_default().to_lowercase();
                assert!(steps >= 1, "{card}");
                assert!(
                    words.contains("label") || words.contains("extension office"),
                    "what to do, or whom to ask: {words}"
                );
                break;
            }
            steps += 1;
            assert!(steps < 40, "a circle");
            browser.run("location.hash = arguments[0]; return 1", &[way.into()]);
        }
    }
    assert_eq!(outside(&browser), Vec::<String>::new());
}
