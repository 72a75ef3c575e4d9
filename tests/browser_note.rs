//! The note through a real browser: printed to PDF on A4 and Letter, looked at page by page, and opened on small and large
//! screens. Needs `chromium` and poppler's `pdftotext`, `pdfinfo` and `pdftoppm`; without them these tests fail, they are not passed over.
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "tests")]
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;
use tempfile::TempDir;

/// Runs a program of the machine; its absence is a failure of the test.
fn run(program: &str, arguments: &[&str]) -> Vec<u8> {
    let out = Command::new(program)
        .args(arguments)
        .output()
        .unwrap_or_else(|e| panic!("{program} is needed for this test (Debian's packages chromium and poppler-utils): {e}"));
    assert!(
        out.status.success(),
        "{program} {arguments:?}: {}",
        String::from_utf8_lossy(&out.stderr)
    );
    out.stdout
}

fn chromium(dir: &Path, arguments: &[&str]) -> Vec<u8> {
    let profile = format!("--user-data-dir={}", dir.join("profile").display());
    let mut all = vec![
        "--headless",
        "--no-sandbox",
        "--disable-gpu",
        "--disable-quic",
        "--no-first-run",
        "--disable-background-networking",
        "--disable-component-update",
        "--disable-sync",
        &profile,
    ];
    all.extend(arguments);
    run("chromium", &all)
}

/// A record with four treatments on it, so that the note has its strip of years.
fn record(dir: &Path) -> PathBuf {
    let path = dir.join("record.db");
    for (day, active) in [
        ("2024-05-10", "2,4-d"),
        ("2024-10-02", "penoxsulam"),
        ("2025-05-08", "triclopyr"),
        ("2025-09-20", "quinclorac"),
    ] {
        run(
            env!("CARGO_BIN_EXE_ligule"),
            &[
                "record",
                "add",
                "--record",
                path.to_str().unwrap(),
                "--today",
                "2026-03-01",
                "--date",
                day,
                "--active",
                &format!("{active}=0.2 lb/acre"),
            ],
        );
    }
    path
}

/// The HTML note of some answers.
fn note(dir: &Path, answers: &str, with_record: bool) -> String {
    let file = dir.join("visit.yaml");
    fs::write(&file, answers).unwrap();
    let record = record(dir);
    let mut arguments = vec![
        "treat",
        "--answers",
        file.to_str().unwrap(),
        "--force",
        "--out",
        dir.to_str().unwrap(),
    ];
    if with_record {
        arguments.extend(["--record", record.to_str().unwrap()]);
    }
    run(env!("CARGO_BIN_EXE_ligule"), &arguments);
    fs::read_to_string(dir.join("treatment-note.html")).unwrap()
}

fn data(name: &str) -> String {
    format!("{}/tests/data/weather/{name}", env!("CARGO_MANIFEST_DIR"))
}

/// Notes that differ in what is on them: everything; much and many loads; a weed with degree days; nothing to spray.
fn notes(dir: &Path) -> Vec<(&'static str, String)> {
    let demo = include_str!("../src/cli/demo-visit.yaml");
    let full = demo
        .replace(
            "date: 2026-05-09\n",
            &format!(
                "date: 2026-05-04\nforecast: {}\nweather: {}\n",
                data("forecast.csv"),
                data("spring.csv")
            ),
        )
        .replace(
            "  air_temperature: 72F\n",
            "  air_temperature: 72F\n  position: 39.9, -83.0\n",
        );
    assert_ne!(full, demo);
    let many = demo.replace("area: 2400 sq ft", "area: 9000 sq ft");
    let spring = format!(
        "date: 2026-03-10\nweather: {}\nlawn:\n  grass: tall-fescue\n  place: us-oh\nplants:\n  - weed: large-crabgrass\n  - weed: dandelion\n  - weed: white-clover\n  - weed: ground-ivy\n",
        data("spring.csv")
    );
    let unknown = "date: 2026-05-09\nlawn: {grass: tall-fescue, place: us-oh}\nplants:\n  - observed: {group: sedge, stem_section: square, leaf_arrangement: opposite, flower_colour: red}\n";
    vec![
        ("everything", note(dir, &full, true)),
        ("many loads", note(dir, &many, false)),
        ("degree days", note(dir, &spring, false)),
        ("nothing to spray", note(dir, unknown, false)),
    ]
}

/// Puts a pair of links, which take no room and of which one lies within the page in any case, around every box, row and item, and around every heading with the first words below it.
const MARK: &str = "<script>(() => {
  let n = 0;
  const link = (to, back) => { const a = document.createElement('a'); a.href = 'http://box/' + to; a.textContent = '.'; a.style.cssText = 'position:absolute;margin-left:' + back + 'px;font:2px/1 serif;color:transparent'; return a; };
  const first = (e) => { const w = document.createTreeWalker(e, NodeFilter.SHOW_TEXT, (t) => t.data.trim() && !t.parentElement.closest('svg,style') ? 1 : 3); return w.nextNode(); };
  const begin = (e) => { n += 1; e.prepend(link('begin/' + n, 0), link('begin/' + n, 6)); };
  const end = (e) => e.append(link('end/' + n, 0), link('end/' + n, -6));
  for (const h of document.querySelectorAll('h2, h3')) {
    const below = h.nextElementSibling && first(h.nextElementSibling);
    if (!below) continue;
    begin(h); below.before(link('end/' + n, 0), link('end/' + n, 6));
  }
  for (const e of document.querySelectorAll('.keep, .first, .aid, .load, figure, li')) {
    if (e.matches('ul') ) continue;
    begin(e); end(e);
  }
  for (const row of document.querySelectorAll('tr')) { begin(row.cells[0]); end(row.cells[row.cells.length - 1]); }
})()</script></body>";

/// The printed note: the text of each page, and on which page every box begins and ends.
struct Printed {
    pages: Vec<String>,
    boxes: BTreeMap<usize, [BTreeSet<usize>; 2]>,
}

/// Prints a note with its boxes marked; `style` is added to that of the note.
fn printed(dir: &Path, html: &str, style: &str) -> Printed {
    let page = html
        .replacen("</style>", &format!("{style}</style>"), 1)
        .replacen("</body>", MARK, 1);
    fs::write(dir.join("note.html"), page).unwrap();
    let pdf = dir.join("note.pdf");
    let print = format!("--print-to-pdf={}", pdf.display());
    let address = format!("file://{}", dir.join("note.html").display());
    chromium(dir, &["--no-pdf-header-footer", &print, &address]);
    let pdf = pdf.to_str().unwrap();
    let pages = String::from_utf8(run("pdftotext", &["-raw", pdf, "-"]))
        .unwrap()
        .split('\u{c}')
        .filter(|p| !p.trim().is_empty())
        .map(str::to_owned)
        .collect();
    // Page, kind and address of every link.
    let links = String::from_utf8(run("pdfinfo", &["-url", pdf])).unwrap();
    let mut boxes: BTreeMap<usize, [BTreeSet<usize>; 2]> = BTreeMap::new();
    for line in links.lines() {
        for (place, kind) in ["http://box/begin/", "http://box/end/"]
            .into_iter()
            .enumerate()
        {
            if let Some((before, after)) = line.split_once(kind) {
                let page = before.split_whitespace().next().unwrap().parse().unwrap();
                let number = after.trim().parse().unwrap();
                boxes.entry(number).or_default()[place].insert(page);
            }
        }
    }
    Printed { pages, boxes }
}

/// Boxes that do not end on the page on which they begin.
fn split(printed: &Printed) -> Vec<usize> {
    let whole = |[begin, end]: &[BTreeSet<usize>; 2]| begin.len() == 1 && begin == end;
    let cut = printed.boxes.iter().filter(|(_, marks)| !whole(marks));
    cut.map(|(n, _)| *n).collect()
}

#[test]
fn no_page_ends_within_a_box_a_row_an_item_or_behind_a_heading() {
    let dir = TempDir::new().unwrap();
    for (name, html) in notes(dir.path()) {
        for size in ["A4", "Letter"] {
            let printed = printed(dir.path(), &html, &format!("@page {{ size: {size}; }}"));
            let count = printed.boxes.len();
            assert!(count > 15, "{name}, {size}: only {count} boxes were marked");
            let split = split(&printed);
            assert!(
                split.is_empty(),
                "{name}, {size}: cut are {:?} of {count}",
                split
                    .iter()
                    .map(|n| (n, &printed.boxes[n]))
                    .collect::<Vec<_>>()
            );
            let most = match name {
                "nothing to spray" => 3,
                // Four weeds, each with its drawings and look-alikes.
                "degree days" => 8,
                _ => 7,
            };
            let pages = printed.pages;
            assert!(pages.len() <= most, "{name}, {size}: {} pages", pages.len());
            for page in &pages {
                assert!(page.len() > 100, "{name}, {size}: an empty page");
                assert!(
                    page.contains("The label outranks this page"),
                    "{name}, {size}"
                );
            }
        }
    }
}

#[test]
fn a_box_that_is_cut_would_be_seen() {
    let dir = TempDir::new().unwrap();
    let html = note(
        dir.path(),
        include_str!("../src/cli/demo-visit.yaml"),
        false,
    );
    // On a slip of paper a box cannot be kept whole.
    let printed = printed(
        dir.path(),
        &html,
        "@page { size: 100mm 60mm; margin: 5mm; }",
    );
    assert!(!split(&printed).is_empty(), "{} pages", printed.pages.len());
}

#[test]
fn the_spray_day_has_a_sheet_of_its_own() {
    let dir = TempDir::new().unwrap();
    let html = note(
        dir.path(),
        include_str!("../src/cli/demo-visit.yaml"),
        false,
    );
    let pages = printed(dir.path(), &html, "@page { size: A4; }").pages;
    let sheet: Vec<&String> = pages.iter().filter(|p| p.contains("Load 1 of 2")).collect();
    let [sheet] = sheet[..] else {
        panic!("one sheet, not {}", sheet.len())
    };
    for said in ["The spray day", "Load 2 of 2", "What is left"] {
        assert!(sheet.contains(said), "{said} is on the sheet: {sheet}");
    }
    for elsewhere in ["Why not", "Sources", "What was"] {
        assert!(
            !sheet.contains(elsewhere),
            "{elsewhere} is not on the sheet: {sheet}"
        );
    }
}

#[test]
fn it_prints_in_black_white_and_grey() {
    let dir = TempDir::new().unwrap();
    for (name, html) in notes(dir.path()) {
        printed(dir.path(), &html, "");
        let (pdf, out) = (dir.path().join("note.pdf"), dir.path().join("page"));
        run(
            "pdftoppm",
            &["-r", "40", pdf.to_str().unwrap(), out.to_str().unwrap()],
        );
        let mut dark = 0_usize;
        for file in fs::read_dir(dir.path()).unwrap() {
            let path = file.unwrap().path();
            if path.extension().is_some_and(|e| e == "ppm") {
                let bytes = fs::read(&path).unwrap();
                // P6, width and height, 255, then three bytes a point.
                let head = bytes
                    .iter()
                    .enumerate()
                    .filter(|(_, b)| **b == b'\n')
                    .nth(2)
                    .unwrap()
                    .0;
                for point in bytes[head + 1..].chunks_exact(3) {
                    assert!(
                        point[0] == point[1] && point[1] == point[2],
                        "{name}: {point:?} is a colour"
                    );
                    dark += usize::from(point[0] < 128);
                }
                fs::remove_file(path).unwrap();
            }
        }
        assert!(dark > 1000, "{name}: the pages are not empty ({dark})");
    }
}

#[test]
fn it_fits_a_phone_and_a_large_screen_without_scrolling_sideways() {
    let dir = TempDir::new().unwrap();
    for (name, html) in notes(dir.path()) {
        for width in [320, 1280] {
            let inside = html.replace('&', "&amp;").replace('"', "&quot;");
            let frame = format!(
                "<!DOCTYPE html><body><iframe width={width} height=900 style=\"border:0\" srcdoc=\"{inside}\" onload=\"const d = this.contentDocument.documentElement; document.body.replaceChildren('wide ' + d.scrollWidth + ' of ' + d.clientWidth)\"></iframe></body>"
            );
            let path = dir.path().join("frame.html");
            fs::write(&path, frame).unwrap();
            let dom = chromium(
                dir.path(),
                &["--dump-dom", &format!("file://{}", path.display())],
            );
            let dom = String::from_utf8(dom).unwrap();
            let told = dom
                .split_once("wide ")
                .unwrap_or_else(|| panic!("{name}: {dom:.300}"))
                .1;
            let numbers: Vec<u32> = told
                .split(|c: char| !c.is_ascii_digit())
                .filter_map(|n| n.parse().ok())
                .collect();
            assert!(
                numbers[0] <= numbers[1],
                "{name} at {width}: {} wide",
                numbers[0]
            );
            assert_eq!(numbers[1].min(width), numbers[1]);
            assert!(
                numbers[1] + 20 >= width,
                "the frame is as wide as asked: {}",
                numbers[1]
            );
        }
    }
}

#[test]
fn every_picture_says_what_it_shows() {
    let dir = TempDir::new().unwrap();
    for (name, html) in notes(dir.path()) {
        let pictures: Vec<&str> = html.split("<svg ").skip(1).collect();
        let least = match name {
            // Eight drawings of traits, hours, years and the mark of the page.
            "everything" => 11,
            "degree days" => 14,
            "many loads" => 9,
            _ => 1,
        };
        assert!(
            pictures.len() >= least,
            "{name}: {} pictures",
            pictures.len()
        );
        for picture in pictures {
            let tag = picture.split('>').next().unwrap();
            assert!(tag.contains("role=\"img\""), "{name}: {tag}");
            let titled = picture
                .split_once("<title")
                .is_some_and(|(before, _)| !before.contains("</svg>"));
            assert!(titled || tag.contains("aria-label=\""), "{name}: {tag}");
        }
        // Names are used once on a page.
        let mut ids: Vec<&str> = html
            .split(" id=\"")
            .skip(1)
            .filter_map(|rest| rest.split('"').next())
            .collect();
        let all = ids.len();
        ids.sort_unstable();
        ids.dedup();
        assert_eq!(ids.len(), all, "{name}: a name is used twice");
    }
}

/// The carried key says of every step on which page it goes on. That is only true if each sheet fills one page, on either
/// paper: the browser must need exactly as many pages as the key has numbered.
#[test]
fn every_sheet_of_the_carried_key_is_one_page() {
    let dir = tempfile::tempdir().unwrap();
    for scope in [
        &["--what", "turf"][..],
        &["--turf", "tall-fescue", "--month", "5"],
    ] {
        let mut arguments = vec!["key", "--format", "html"];
        arguments.extend(scope);
        let html = String::from_utf8(run(env!("CARGO_BIN_EXE_ligule"), &arguments)).unwrap();
        let numbered = html.matches("<div class=\"sheet\">").count() + 1;
        for paper in ["A4", "Letter"] {
            let page = dir.path().join("key.html");
            let sized = html.replacen(
                "@page { margin",
                &format!("@page {{ size: {paper}; margin"),
                1,
            );
            assert_ne!(sized, html);
            fs::write(&page, sized).unwrap();
            let pdf = dir.path().join("key.pdf");
            chromium(
                dir.path(),
                &[
                    "--no-pdf-header-footer",
                    &format!("--print-to-pdf={}", pdf.display()),
                    &format!("file://{}", page.display()),
                ],
            );
            let told = String::from_utf8(run("pdfinfo", &[pdf.to_str().unwrap()])).unwrap();
            let pages: usize = told
                .lines()
                .find_map(|l| l.strip_prefix("Pages:"))
                .unwrap()
                .trim()
                .parse()
                .unwrap();
            assert_eq!(pages, numbered, "{scope:?} on {paper}");
        }
    }
}
