//! The line drawings of trait states that lie beside the knowledge (`sketches/TRAIT/STATE.svg`).
use super::form::plant::Trait;
use std::collections::BTreeMap;
use std::path::Path;

static INSIDE: &[(&str, &str, &str)] = &include!(concat!(env!("OUT_DIR"), "/drawings.rs"));

/// Largest drawing that is read, in bytes; the largest of the default knowledge has a tenth of it.
const MOST_BYTES: u64 = 64 * 1024;
/// The elements that a line drawing is made of. Nothing else is taken over: no scripts, no links, no foreign content.
const ELEMENTS: [&str; 10] = [
    "svg", "title", "g", "path", "line", "circle", "ellipse", "rect", "polyline", "polygon",
];

/// Drawings by trait and file stem.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Drawings(BTreeMap<(String, String), String>);

impl Drawings {
    /// The drawings inside the program.
    #[must_use]
    pub fn embedded() -> Self {
        Self::of(
            INSIDE
                .iter()
                .map(|(folder, stem, text)| (*folder, *stem, *text)),
        )
    }

    /// The drawings beside the knowledge in `dir`; none where there are none. What is no plain line drawing is left out.
    #[must_use]
    pub fn of_folder(dir: &Path) -> Self {
        let mut all = Self::default();
        let folders = std::fs::read_dir(dir.join("sketches"));
        for folder in folders.into_iter().flatten().flatten() {
            let of = folder.file_name().to_string_lossy().into_owned();
            for file in std::fs::read_dir(folder.path())
                .into_iter()
                .flatten()
                .flatten()
            {
                let path = file.path();
                let small = file
                    .metadata()
                    .is_ok_and(|m| m.is_file() && m.len() <= MOST_BYTES);
                let drawn = path.extension().is_some_and(|e| e == "svg");
                if let (true, true, Some(stem), Ok(text)) = (
                    small,
                    drawn,
                    path.file_stem(),
                    std::fs::read_to_string(&path),
                ) && is_line_drawing(&text)
                {
                    let stem = stem.to_string_lossy().into_owned();
                    all.0.insert((of.clone(), stem), text);
                }
            }
        }
        all
    }

    fn of<'t>(all: impl Iterator<Item = (&'t str, &'t str, &'t str)>) -> Self {
        Self(
            all.filter(|(_, _, text)| is_line_drawing(text))
                .map(|(folder, stem, text)| ((folder.to_owned(), stem.to_owned()), text.to_owned()))
                .collect(),
        )
    }

    /// The drawing of a state.
    #[must_use]
    pub fn state(&self, of: &str, state: &str) -> Option<&str> {
        self.get(of, &file_stem(state))
    }

    /// The drawing of a class of a number trait, counted from the smallest.
    #[must_use]
    pub fn class(&self, of: &str, class: usize) -> Option<&str> {
        self.get(of, &format!("class-{class}"))
    }

    fn get(&self, of: &str, stem: &str) -> Option<&str> {
        self.0
            .get(&(of.to_owned(), stem.to_owned()))
            .map(String::as_str)
    }

    /// Every drawing that belongs to an answer of these traits: trait, state and text.
    #[must_use]
    pub fn belonging<'a>(&'a self, traits: &'a [Trait]) -> Vec<(&'a str, String, &'a str)> {
        let mut found = Vec::new();
        for one in traits {
            for state in &one.states {
                if let Some(text) = self.state(&one.id, &state.id) {
                    found.push((one.id.as_str(), state.id.clone(), text));
                }
            }
            for class in 0..=one.cuts.len() {
                if let Some(text) = self.class(&one.id, class).filter(|_| one.states.is_empty()) {
                    found.push((one.id.as_str(), format!("class-{class}"), text));
                }
            }
        }
        found
    }
}

/// A state as a file name: anything but letters, digits and hyphens becomes a hyphen.
fn file_stem(state: &str) -> String {
    state
        .chars()
        .map(|c| if c.is_ascii_alphanumeric() { c } else { '-' })
        .collect()
}

/// Whether a text is made of nothing but drawn lines: no other elements, no instructions, no events, no addresses.
fn is_line_drawing(text: &str) -> bool {
    let tags = text.split('<').skip(1).all(|tag| {
        let name: String = tag
            .trim_start_matches('/')
            .chars()
            .take_while(char::is_ascii_alphanumeric)
            .collect();
        let inside = tag.split('>').next().unwrap_or_default();
        ELEMENTS.contains(&name.as_str())
            && inside
                .split([' ', '\t', '\n', '\r'])
                .all(|word| !word.starts_with("on") && !word.contains("href"))
    });
    text.trim_start().starts_with("<svg ") && tags
}

/// What a drawing shows, from its `title`.
#[must_use]
pub fn title(drawing: &str) -> &str {
    drawing
        .split_once("<title>")
        .and_then(|(_, rest)| rest.split_once("</title>"))
        .map_or("", |(title, _)| title.trim())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_lines_are_taken_over() {
        assert!(is_line_drawing(
            "<svg xmlns=\"x\"><title>a</title><path d=\"M0 0\"/></svg>"
        ));
        for bad in [
            "<svg ><script>1</script></svg>",
            "<svg ><path onload=\"x\"/></svg>",
            "<svg ><a href=\"x\"/></svg>",
            "<!DOCTYPE svg><svg ></svg>",
            "<svg ><image xlink:href=\"x\"/></svg>",
            "nothing",
        ] {
            assert!(!is_line_drawing(bad), "{bad}");
        }
        assert_eq!(title("<svg ><title> a leaf </title></svg>"), "a leaf");
    }

    #[test]
    fn every_drawing_inside_the_program_is_taken_over() {
        assert_eq!(Drawings::embedded().0.len(), INSIDE.len());
        assert!(INSIDE.len() > 100);
    }
}
