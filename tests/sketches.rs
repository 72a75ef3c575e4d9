//! The line drawings of trait states: whole, alike in make, and each belonging to a state that can be answered.
//!
//! The form asked for here is that of Scalable Vector Graphics 2 (W3C): `role="img"` and a `title` as first child give
//! the text alternative, `currentColor` lets the page choose ink and paper.
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "tests")]
use ligule::knowledge::Knowledge;
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

/// Traits whose every state must have a drawing.
const DRAWN_WHOLE: &str = "stem_section leaf_arrangement leaf_type leaf_shape leaf_margin leaf_tip ligule auricles \
    vernation sheath sheath_hair habit root spread flower_form seedhead fruit";

/// Attributes of the outermost element, all of them and nothing else.
const FRAME: [(&str, &str); 8] = [
    ("xmlns", "http://www.w3.org/2000/svg"),
    ("viewBox", "0 0 96 96"),
    ("role", "img"),
    ("fill", "none"),
    ("stroke", "currentColor"),
    ("stroke-width", "2"),
    ("stroke-linecap", "round"),
    ("stroke-linejoin", "round"),
];

/// A state id as a file name: anything but letters, digits and hyphens becomes a hyphen.
fn file_stem(state: &str) -> String {
    state
        .chars()
        .map(|c| if c.is_ascii_alphanumeric() { c } else { '-' })
        .collect()
}

/// Trait id to the file stems that may stand in its folder; a number trait has `class-0`, `class-1` ... in ascending order.
fn allowed(book: &Knowledge) -> BTreeMap<String, BTreeSet<String>> {
    let stems = |one: &ligule::knowledge::form::plant::Trait| -> BTreeSet<String> {
        let all: Vec<String> = if one.states.is_empty() {
            (0..=one.cuts.len()).map(|n| format!("class-{n}")).collect()
        } else {
            one.states.iter().map(|s| file_stem(&s.id)).collect()
        };
        let set: BTreeSet<String> = all.iter().cloned().collect();
        assert_eq!(
            set.len(),
            all.len(),
            "{}: two states share a file name",
            one.id
        );
        set
    };
    book.traits
        .iter()
        .map(|one| (one.id.clone(), stems(one)))
        .collect()
}

/// Trait id, file stem and text of every drawing.
fn drawings() -> Vec<(String, String, String)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("knowledge/sketches");
    let mut all = Vec::new();
    for folder in fs::read_dir(&root).expect("the folder of drawings") {
        let folder = folder.unwrap().path();
        assert!(folder.is_dir(), "{} is no folder", folder.display());
        let one = folder.file_name().unwrap().to_str().unwrap().to_owned();
        for file in fs::read_dir(&folder).unwrap() {
            let file = file.unwrap().path();
            assert_eq!(
                file.extension().and_then(|e| e.to_str()),
                Some("svg"),
                "{}",
                file.display()
            );
            let stem = file.file_stem().unwrap().to_str().unwrap().to_owned();
            all.push((one.clone(), stem, fs::read_to_string(&file).unwrap()));
        }
    }
    all.sort();
    all
}

#[derive(Debug, PartialEq)]
enum Piece {
    Open(String, Vec<(String, String)>),
    Empty(String, Vec<(String, String)>),
    Close(String),
    Text(String),
}

/// Cuts the text into tags and the text between them. Stricter than XML: no comments, entities, declarations,
/// single quotes or namespaces, so that whatever passes is well-formed.
fn pieces(text: &str) -> Result<Vec<Piece>, String> {
    let mut out = Vec::new();
    let mut rest = text;
    while !rest.is_empty() {
        let Some(body) = rest.strip_prefix('<') else {
            let end = rest.find('<').unwrap_or(rest.len());
            let words = &rest[..end];
            if words.contains(['>', '&']) {
                return Err(format!(
                    "{words:?} holds a sign that means something in XML"
                ));
            }
            out.push(Piece::Text(words.to_owned()));
            rest = &rest[end..];
            continue;
        };
        let end = body.find('>').ok_or("a tag is never closed")?;
        let (tag, after) = (&body[..end], &body[end + 1..]);
        out.push(piece(tag)?);
        rest = after;
    }
    Ok(out)
}

fn piece(tag: &str) -> Result<Piece, String> {
    let named = |name: &str| -> Result<String, String> {
        let good = !name.is_empty() && name.chars().all(|c| c.is_ascii_alphabetic() || c == '-');
        good.then(|| name.to_owned())
            .ok_or_else(|| format!("{name:?} is no name"))
    };
    if let Some(name) = tag.strip_prefix('/') {
        return Ok(Piece::Close(named(name)?));
    }
    let (tag, empty) = tag.strip_suffix('/').map_or((tag, false), |t| (t, true));
    let (name, mut rest) = tag.split_once(' ').unwrap_or((tag, ""));
    let mut attributes: Vec<(String, String)> = Vec::new();
    while !rest.is_empty() {
        let (key, after) = rest.split_once("=\"").ok_or("an attribute has no value")?;
        let (value, after) = after.split_once('"').ok_or("a value is never closed")?;
        let key = named(key)?;
        if value.contains(['<', '&']) || attributes.iter().any(|(k, _)| *k == key) {
            return Err(format!("attribute {key} is wrong or stands twice"));
        }
        attributes.push((key, value.to_owned()));
        rest = match after.strip_prefix(' ') {
            Some(more) if !more.is_empty() => more,
            None if after.is_empty() => after,
            _ => return Err(format!("{after:?} does not follow a value")),
        };
    }
    let name = named(name)?;
    Ok(if empty {
        Piece::Empty(name, attributes)
    } else {
        Piece::Open(name, attributes)
    })
}

/// What is wrong with a drawing; its title when nothing is.
fn inspect(text: &str) -> Result<String, String> {
    let mut found = pieces(text)?;
    found.retain(|p| !matches!(p, Piece::Text(t) if t.trim().is_empty()));
    let [
        Piece::Open(svg, frame),
        Piece::Open(title, plain),
        Piece::Text(words),
        Piece::Close(shut),
        paths @ ..,
        Piece::Close(end),
    ] = &found[..]
    else {
        return Err("it is not a frame with a title and paths".to_owned());
    };
    if (svg.as_str(), end.as_str()) != ("svg", "svg")
        || (title.as_str(), shut.as_str()) != ("title", "title")
        || !plain.is_empty()
    {
        return Err("frame or title is wrong".to_owned());
    }
    let frame: Vec<(&str, &str)> = frame.iter().map(|(k, v)| (&**k, &**v)).collect();
    if frame != FRAME {
        return Err(format!("the frame says {frame:?}"));
    }
    if words.trim() != words || words.len() < 20 || !words.ends_with('.') {
        return Err(format!("{words:?} is no sentence"));
    }
    if paths.is_empty() {
        return Err("nothing is drawn".to_owned());
    }
    for path in paths {
        match path {
            Piece::Empty(name, one) if name == "path" && one.len() == 1 && one[0].0 == "d" => {
                inspect_path(&one[0].1)?;
            }
            other => return Err(format!("{other:?} is no path")),
        }
    }
    Ok(words.clone())
}

/// A path may only move once, draw lines and curves inside the frame (ink included), and close.
fn inspect_path(d: &str) -> Result<(), String> {
    let body = d.strip_suffix('Z').unwrap_or(d);
    let body = body.strip_suffix("h0").unwrap_or(body); // a dot
    let mut starts: Vec<usize> = body
        .char_indices()
        .filter(|(_, c)| c.is_ascii_alphabetic())
        .map(|(at, _)| at)
        .collect();
    if starts.first() != Some(&0) {
        return Err(format!("{d:?} does not begin with a move"));
    }
    starts.push(body.len());
    for (nth, ends) in starts.windows(2).enumerate() {
        let (letter, numbers) = body[ends[0]..ends[1]].split_at(1);
        let numbers: Vec<f64> = numbers
            .split(' ')
            .map(|n| n.parse().map_err(|e| format!("{n:?} in {d:?}: {e}")))
            .collect::<Result<_, String>>()?;
        let right = match letter {
            "M" => nth == 0 && numbers.len() == 2,
            "L" => nth > 0 && numbers.len() == 2,
            "C" => nth > 0 && numbers.len() == 6,
            _ => false,
        };
        // The last point is on the line; the two before it in a curve only pull at it.
        let seen = &numbers[numbers.len().saturating_sub(2)..];
        if !right || seen.iter().any(|n| !(1.0..=95.0).contains(n)) {
            return Err(format!("{letter} with {numbers:?} in {d:?}"));
        }
    }
    Ok(())
}

#[test]
fn every_drawing_is_whole_and_alike_in_make() {
    for (one, stem, text) in drawings() {
        inspect(&text).unwrap_or_else(|e| panic!("{one}/{stem}: {e}"));
    }
}

#[test]
fn every_drawing_belongs_to_a_state_or_a_number_class() {
    let allowed = allowed(&Knowledge::embedded().unwrap());
    for (one, stem, _) in drawings() {
        let states = allowed
            .get(&one)
            .unwrap_or_else(|| panic!("no trait {one}"));
        assert!(states.contains(&stem), "{one} has no state {stem}");
    }
}

#[test]
fn a_trait_is_drawn_in_all_its_states_or_not_at_all() {
    let allowed = allowed(&Knowledge::embedded().unwrap());
    let all = drawings();
    assert!(all.len() >= 90, "{} drawings", all.len());
    let mut drawn: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for (one, stem, _) in all {
        drawn.entry(one).or_default().insert(stem);
    }
    for (one, stems) in &drawn {
        assert_eq!(stems, &allowed[one], "{one}");
    }
    for one in DRAWN_WHOLE.split_whitespace() {
        assert!(drawn.contains_key(one), "{one} is not drawn");
    }
}

#[test]
fn states_of_a_trait_differ_in_line_and_in_words() {
    let mut lines: BTreeMap<(String, String), String> = BTreeMap::new();
    let mut words: BTreeMap<(String, String), String> = BTreeMap::new();
    for (one, stem, text) in drawings() {
        let title = inspect(&text).unwrap();
        let drawn = text.replace(&title, "");
        let other = lines.insert((one.clone(), drawn), stem.clone());
        assert_eq!(other, None, "{one}/{stem} is drawn like another state");
        let other = words.insert((one.clone(), title), stem.clone());
        assert_eq!(other, None, "{one}/{stem} is described like another state");
    }
}

#[test]
fn a_drawing_with_a_fault_is_refused() {
    let (_, _, good) = drawings().swap_remove(0);
    inspect(&good).unwrap();
    let d = good.split(" d=\"").nth(1).unwrap();
    let d = d.split('"').next().unwrap();
    for (from, to) in [
        ("</title>", ""),
        ("</svg>", ""),
        ("stroke-width=\"2\"", "stroke-width=\"3\""),
        ("<path ", "<path stroke-width=\"1\" "),
        ("<path ", "<path fill=\"black\" "),
        ("0 0 96 96", "0 0 48 48"),
        (" role=\"img\"", ""),
        ("</title>", " & more</title>"),
        ("</svg>", "<text>x</text></svg>"),
        ("</svg>", "<script>x</script></svg>"),
        ("</svg>", "<image href=\"http://example.org/x\"/></svg>"),
        ("</title>", "</title><style>path{fill:red}</style>"),
        ("</title>", "</title><!-- note -->"),
        (d, "M-20 0L200 0"),
        (d, "M20 20L30"),
        (d, "L20 20"),
        (d, "M20 20LNaN 4"),
        (d, "M20 20Q30 30 40 40"),
    ] {
        let bad = good.replacen(from, to, 1);
        assert_ne!(bad, good, "{from} does not occur");
        assert!(inspect(&bad).is_err(), "{from} -> {to} passes");
    }
}
