//! The field handbook: whole, well-formed, closed in itself, and harmless whatever stands in the knowledge.
//!
//! Well-formedness is judged by `roxmltree`, an XML parser from outside the project: every page is XHTML-like HTML.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::case_sensitive_file_extension_comparisons,
    reason = "tests"
)]
use ligule::handbook::put::{PutError, put};
use ligule::handbook::{File, Shelf, Templates};
use ligule::knowledge::folder::{TextFile, read_folder};
use ligule::knowledge::sketches::Sketches;
use ligule::knowledge::{Knowledge, Report};
use roxmltree::{Document, ParsingOptions};
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

fn files(book: &Knowledge, drawings: Sketches) -> Vec<File> {
    Shelf::new(book, drawings)
        .files(&Templates::built_in().unwrap())
        .unwrap()
}

fn parsed(text: &str) -> Document<'_> {
    let options = ParsingOptions {
        allow_dtd: true,
        ..ParsingOptions::default()
    };
    Document::parse_with_options(text, options).unwrap()
}

/// `to` as seen from the file `from`, and the name of the place in it.
fn resolved(from: &str, to: &str) -> (String, Option<String>) {
    let (path, anchor) = to
        .split_once('#')
        .map_or((to, None), |(p, a)| (p, Some(a.to_owned())));
    if path.is_empty() {
        return (from.to_owned(), anchor);
    }
    let mut parts: Vec<&str> = from.split('/').collect();
    parts.pop();
    for part in path.split('/') {
        if part == ".." {
            assert!(
                parts.pop().is_some(),
                "{from} leads out of the handbook: {to}"
            );
        } else {
            parts.push(part);
        }
    }
    (parts.join("/"), anchor)
}

/// Everything that a sound handbook holds to. Gives the links of each page.
fn sound(files: &[File]) -> BTreeMap<&str, BTreeSet<String>> {
    let paths: BTreeSet<&str> = files.iter().map(|f| f.path.as_str()).collect();
    assert_eq!(paths.len(), files.len(), "two pages share a file");
    let lower: BTreeSet<String> = files.iter().map(|f| f.path.to_lowercase()).collect();
    assert_eq!(
        lower.len(),
        files.len(),
        "two pages share a file where capitals do not count"
    );
    let pages: Vec<(&str, Document)> = files
        .iter()
        .filter(|f| f.path.ends_with(".html"))
        .map(|f| {
            (
                f.path.as_str(),
                parsed(f.text.strip_prefix("<!DOCTYPE html>").unwrap()),
            )
        })
        .collect();
    let anchors: BTreeMap<&str, BTreeSet<&str>> = pages
        .iter()
        .map(|(path, page)| {
            let ids: Vec<&str> = page
                .descendants()
                .filter_map(|n| n.attribute("id"))
                .collect();
            let set: BTreeSet<&str> = ids.iter().copied().collect();
            assert_eq!(set.len(), ids.len(), "{path}: an id stands twice");
            (*path, set)
        })
        .collect();
    let mut links: BTreeMap<&str, BTreeSet<String>> = BTreeMap::new();
    for (path, page) in &pages {
        for node in page.descendants().filter(roxmltree::Node::is_element) {
            let name = node.tag_name().name();
            assert!(
                ![
                    "script", "iframe", "object", "embed", "form", "base", "style"
                ]
                .contains(&name),
                "{path}: <{name}>"
            );
            for attribute in node.attributes() {
                let (key, value) = (attribute.name(), attribute.value());
                assert!(!key.starts_with("on") && key != "style", "{path}: {key}");
                if !["href", "src"].contains(&key) {
                    continue;
                }
                if value.starts_with("http://") || value.starts_with("https://") {
                    assert!(
                        name == "a" && path.starts_with("sources/"),
                        "{path}: {value}"
                    );
                    continue;
                }
                assert!(
                    !value.contains(':') && !value.starts_with('/'),
                    "{path}: {value}"
                );
                let (to, anchor) = resolved(path, value);
                assert!(paths.contains(to.as_str()), "{path}: {value} leads nowhere");
                if let Some(anchor) = anchor {
                    assert!(
                        anchors[to.as_str()].contains(anchor.as_str()),
                        "{path}: no place {anchor} in {to}"
                    );
                }
                links.entry(path).or_default().insert(to);
            }
        }
        let text: String = page.descendants().filter_map(|n| n.text()).collect();
        assert!(
            text.contains("The label is the law and outranks this page."),
            "{path}"
        );
        let treats = ["weeds/", "grasses/", "actives/", "groups/"]
            .iter()
            .any(|f| path.starts_with(f));
        assert_eq!(
            treats,
            anchors[path].contains("cautions"),
            "{path}: the usual cautions"
        );
    }
    let css = &files
        .iter()
        .find(|f| f.path == "handbook.css")
        .unwrap()
        .text;
    assert!(
        !css.contains("url(") && !css.contains("@import"),
        "the style sheet asks for other files"
    );
    links
}

#[test]
fn the_whole_book_is_sound_and_every_entry_is_reached_from_the_start() {
    let book = Knowledge::embedded().expect("sound");
    let files = files(&book, Sketches::embedded());
    let links = sound(&files);
    let mut reached: BTreeSet<&str> = BTreeSet::from(["index.html"]);
    let mut steps = vec!["index.html"];
    while let Some(here) = steps.pop() {
        for to in links.get(here).into_iter().flatten() {
            if reached.insert(to) {
                steps.push(to);
            }
        }
    }
    for file in &files {
        assert!(
            reached.contains(file.path.as_str()),
            "{} is not reached",
            file.path
        );
    }
    // By name, by kind and by what is seen, a weed is two steps from the start.
    for way in ["names.html", "kinds.html"] {
        for id in book.weeds.keys() {
            assert!(
                links[way].contains(&format!("weeds/{id}.html")),
                "{id} is missing in {way}"
            );
        }
    }
    let seen: BTreeSet<&String> = links["seen.html"]
        .iter()
        .filter_map(|mark| links.get(mark.as_str()))
        .flatten()
        .collect();
    for id in book.weeds.keys() {
        assert!(
            seen.contains(&format!("weeds/{id}.html")),
            "{id} is behind no answer"
        );
    }
    let bytes: usize = files.iter().map(|f| f.text.len()).sum();
    println!("{} files, {} kB", files.len(), bytes / 1024);
    assert!(bytes < 20 * 1024 * 1024, "{bytes}");
    assert_eq!(
        links.len(),
        7 + book.weeds.len()
            + book.turf.len()
            + book.actives.len()
            + book.groups.len()
            + book.places.len()
            + book.traits.len()
            + book.sources.len()
    );
}

/// Ids of sources are for the keeper: on the pages of plants sources have numbers, in notes too.
#[test]
fn notes_on_pages_name_sources_by_number() {
    let book = Knowledge::embedded().unwrap();
    let ids: BTreeSet<&str> = book
        .sources
        .keys()
        .map(String::as_str)
        .filter(|id| id.contains(|c: char| c == '-' || c.is_ascii_digit()))
        .collect();
    let (mut pages, mut named) = (0, 0);
    for file in files(&book, Sketches::default()) {
        if !(file.path.starts_with("weeds/") || file.path.starts_with("grasses/"))
            || !file.path.ends_with(".html")
        {
            continue;
        }
        pages += 1;
        let page = parsed(&file.text);
        for text in page.descendants().filter_map(|n| n.text()) {
            for word in text.split_whitespace() {
                let id = word.trim_matches(|c: char| !c.is_alphanumeric());
                assert!(!ids.contains(id), "{}: {text}", file.path);
            }
            named += text.matches(": source ").count();
        }
    }
    assert!(pages > 190 && named > 100, "{pages} pages, {named} notes");
}

/// Every option of the choice on established grass stands in the table of the weed, and nothing else.
#[test]
fn the_table_of_a_weed_is_what_the_choice_offers() {
    use ligule::choose::{Request, choose};
    use ligule::handbook::page::Block;
    use ligule::knowledge::Kind;
    let book = Knowledge::embedded().expect("sound");
    let shelf = Shelf::new(&book, Sketches::default());
    for weed in ["ground-ivy", "yellow-nutsedge", "wild-violet", "goosegrass"] {
        let page = shelf.page(Kind::Weed, weed).unwrap();
        let section = page
            .sections
            .iter()
            .find(|s| s.heading == "What controls it, by grass")
            .unwrap();
        let Block::Table { rows, .. } = &section.blocks[0] else {
            panic!("no table")
        };
        for (row, (turf, _)) in rows.iter().zip(&book.turf) {
            let shown: BTreeSet<String> = row[1..]
                .iter()
                .flatten()
                .flat_map(|l| &l.spans)
                .filter_map(|s| s.to.clone())
                .filter(|to| to.contains("actives/"))
                .collect();
            let offered: BTreeSet<String> = choose(&book, &Request::new(&[weed], turf))
                .options
                .iter()
                .flat_map(|o| &o.actives)
                .map(|a| format!("../actives/{a}.html"))
                .collect();
            assert_eq!(shown, offered, "{weed} on {turf}");
        }
    }
}

/// Keys whose values are words for people, not ids or words of the trade that something is looked up by.
const WORDS: [&str; 24] = [
    "about",
    "text",
    "note",
    "title",
    "by",
    "publication",
    "year",
    "address",
    "read",
    "names",
    "scientific_name",
    "help",
    "question",
    "label",
    "tell",
    "says",
    "verify_with",
    "authority",
    "symptoms",
    "site_of_action",
    "condition",
    "family",
    "gaps",
    "name",
];

fn poison(value: &mut Value, key: &str) {
    match value {
        Value::String(text) if WORDS.contains(&key) => {
            text.push_str("<script>alert(1)</script>\"'&</title><img src=x onerror=y>");
        }
        Value::Array(list) => list.iter_mut().for_each(|v| poison(v, key)),
        Value::Object(map) => map.iter_mut().for_each(|(k, v)| poison(v, k)),
        _ => {}
    }
}

#[test]
fn whatever_stands_in_the_knowledge_stays_text() {
    let dir = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/small-book");
    let texts: Vec<TextFile> = read_folder(&dir)
        .unwrap()
        .into_iter()
        .map(|mut file| {
            let mut value: Value = serde_yaml::from_str(file.text.as_ref().unwrap()).unwrap();
            poison(&mut value, "");
            file.text = Ok(serde_json::to_string(&value).unwrap());
            file
        })
        .collect();
    let book = Knowledge::as_far_as_read(Report::of_texts(&texts));
    assert_eq!(book.weeds.len(), 6);
    let files = files(&book, Sketches::default());
    sound(&files);
    let shown = files
        .iter()
        .filter(|f| f.text.contains("&lt;script&gt;"))
        .count();
    assert!(shown > 20, "the words are shown on {shown} pages");
    for file in files.iter().filter(|f| f.path.ends_with(".html")) {
        assert!(
            !file.text.contains("<script") && !file.text.contains("<img src=x"),
            "{}",
            file.path
        );
    }
}

fn names(dir: &Path) -> Vec<String> {
    let mut all: Vec<String> = std::fs::read_dir(dir)
        .unwrap()
        .map(|e| e.unwrap().file_name().to_string_lossy().into_owned())
        .collect();
    all.sort();
    all
}

#[test]
fn a_handbook_is_written_whole_or_not_at_all() {
    let one = |path: &str, text: &str| File {
        path: path.to_owned(),
        text: text.to_owned(),
    };
    let first = [one("index.html", "1"), one("weeds/a.html", "1")];
    let second = [one("index.html", "2")];
    let there = tempfile::tempdir().unwrap();
    let out: PathBuf = there.path().join("deep/book");
    put(&out, &first, false).unwrap();
    assert_eq!(names(&out), ["handbook-files.txt", "index.html", "weeds"]);
    assert!(matches!(
        put(&out, &second, false),
        Err(PutError::NotEmpty(_))
    ));
    put(&out, &second, true).unwrap();
    assert_eq!(names(&out), ["handbook-files.txt", "index.html"]);
    assert_eq!(
        std::fs::read_to_string(out.join("index.html")).unwrap(),
        "2"
    );
    // Somebody's own file is never taken away.
    std::fs::write(out.join("mine.txt"), "mine").unwrap();
    let error = put(&out, &first, true).unwrap_err();
    assert!(error.to_string().contains("mine.txt"), "{error}");
    assert_eq!(
        names(&out),
        ["handbook-files.txt", "index.html", "mine.txt"]
    );
    // A file that cannot be written leaves nothing behind, in a new folder and in an old one.
    let broken = [one("index.html", "3"), one("index.html/x.html", "3")];
    let fresh = there.path().join("fresh");
    assert!(matches!(
        put(&fresh, &broken, false),
        Err(PutError::System { .. })
    ));
    assert!(!fresh.exists());
    std::fs::remove_file(out.join("mine.txt")).unwrap();
    assert!(put(&out, &broken, true).is_err());
    assert_eq!(
        std::fs::read_to_string(out.join("index.html")).unwrap(),
        "2"
    );
    assert_eq!(names(&out), ["handbook-files.txt", "index.html"]);
    assert_eq!(names(there.path()), ["deep"]);
    // An empty folder that is there already is filled.
    let empty = there.path().join("empty");
    std::fs::create_dir(&empty).unwrap();
    put(&empty, &first, false).unwrap();
    assert_eq!(names(&empty), ["handbook-files.txt", "index.html", "weeds"]);
}
