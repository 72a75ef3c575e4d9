//! The line drawings that stand beside the knowledge: `sketches/TRAIT/STATE.svg`, one for each state that was drawn.
//!
//! Pages put a drawing into their own text, so a drawing from a folder is taken only if it can do nothing but draw:
//! shapes and words, no links, no scripts, no styles.
use super::form::plant::{Trait, TraitKind};
use std::borrow::Cow;
use std::collections::BTreeMap;
use std::path::Path;

static EMBEDDED: &[(&str, &str)] = &include!(concat!(env!("OUT_DIR"), "/sketches.rs"));

/// Elements that only draw or describe.
const ELEMENTS: [&str; 10] = [
    "svg", "title", "desc", "g", "path", "circle", "ellipse", "line", "polyline", "polygon",
];
/// Attributes that only draw or describe.
const ATTRIBUTES: [&str; 24] = [
    "viewBox",
    "role",
    "fill",
    "stroke",
    "stroke-width",
    "stroke-linecap",
    "stroke-linejoin",
    "stroke-dasharray",
    "d",
    "transform",
    "points",
    "x",
    "y",
    "x1",
    "y1",
    "x2",
    "y2",
    "cx",
    "cy",
    "r",
    "rx",
    "ry",
    "width",
    "height",
];
/// The largest drawing that is read.
const MAX_BYTES: u64 = 64 * 1024;

/// All drawings of a knowledge folder, as SVG texts.
#[derive(Debug, Clone, Default)]
pub struct Sketches {
    /// By `TRAIT/STEM`.
    drawings: BTreeMap<String, Cow<'static, str>>,
}

/// A file that is no drawing which a page may show.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{path}: {why}; the drawing is left out")]
pub struct SketchFault {
    /// The file, with the folder as typed.
    pub path: String,
    /// What is wrong.
    pub why: String,
}

impl Sketches {
    /// The drawings inside the program.
    #[must_use]
    pub fn embedded() -> Self {
        Self {
            drawings: EMBEDDED
                .iter()
                .map(|(name, text)| ((*name).to_owned(), Cow::Borrowed(*text)))
                .collect(),
        }
    }

    /// The drawings in `DIR/sketches`, none where there is no such folder; and what was left out, with why.
    #[must_use]
    pub fn from_folder(dir: &Path) -> (Self, Vec<SketchFault>) {
        let (mut all, mut faults) = (Self::default(), Vec::new());
        let folders = std::fs::read_dir(dir.join("sketches"))
            .into_iter()
            .flatten()
            .flatten();
        for folder in folders.filter(|f| f.path().is_dir()) {
            let of = folder.file_name().to_string_lossy().into_owned();
            for file in std::fs::read_dir(folder.path())
                .into_iter()
                .flatten()
                .flatten()
            {
                let path = file.path();
                let Some(stem) = path
                    .file_stem()
                    .filter(|_| path.extension().is_some_and(|e| e == "svg"))
                else {
                    continue;
                };
                match drawing(&path) {
                    Ok(text) => {
                        all.drawings
                            .insert(format!("{of}/{}", stem.to_string_lossy()), Cow::Owned(text));
                    }
                    Err(why) => faults.push(SketchFault {
                        path: path.display().to_string(),
                        why,
                    }),
                }
            }
        }
        faults.sort_by(|a, b| a.path.cmp(&b.path));
        (all, faults)
    }

    /// The drawing of an answer to a trait: `class` counts its states, or the classes of a measure from the smallest.
    #[must_use]
    pub fn of_answer(&self, of: &Trait, class: usize) -> Option<&str> {
        let stem = match of.kind {
            TraitKind::Number => format!("class-{class}"),
            _ => file_stem(&of.states.get(class)?.id),
        };
        self.drawings
            .get(&format!("{}/{stem}", of.id))
            .map(AsRef::as_ref)
    }

    /// The drawing of a state by the ids of trait and state.
    #[must_use]
    pub fn of_state(&self, trait_id: &str, state: &str) -> Option<&str> {
        self.drawings
            .get(&format!("{trait_id}/{}", file_stem(state)))
            .map(AsRef::as_ref)
    }

    /// Whether a trait is drawn at all.
    #[must_use]
    pub fn draws(&self, trait_id: &str) -> bool {
        let first = format!("{trait_id}/");
        self.drawings
            .range(first.clone()..)
            .next()
            .is_some_and(|(name, _)| name.starts_with(&first))
    }

    /// How many drawings there are.
    #[must_use]
    pub fn len(&self) -> usize {
        self.drawings.len()
    }

    /// Whether there is none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.drawings.is_empty()
    }
}

/// The name of the drawing of an answer, `TRAIT/STEM`, whether it is there or not.
#[must_use]
pub fn name(of: &Trait, class: usize) -> Option<String> {
    let stem = match of.kind {
        TraitKind::Number => format!("class-{class}"),
        _ => file_stem(&of.states.get(class)?.id),
    };
    Some(format!("{}/{stem}", of.id))
}

/// A state id as the name of its file: anything but letters, digits and hyphens becomes a hyphen.
#[must_use]
pub fn file_stem(state: &str) -> String {
    state
        .chars()
        .map(|c| if c.is_ascii_alphanumeric() { c } else { '-' })
        .collect()
}

/// The words of a drawing: its title, for those who do not see it.
#[must_use]
pub fn title(svg: &str) -> Option<&str> {
    let (_, after) = svg.split_once("<title>")?;
    after.split_once("</title>").map(|(words, _)| words)
}

fn drawing(path: &Path) -> Result<String, String> {
    if std::fs::metadata(path).map_err(|e| e.to_string())?.len() > MAX_BYTES {
        return Err(format!("it is larger than {MAX_BYTES} bytes"));
    }
    let text = std::fs::read_to_string(path).map_err(|e| e.to_string())?;
    only_draws(&text)?;
    Ok(text)
}

/// Whether a text is an SVG that only draws.
///
/// # Errors
/// Says what in it could do more, or that it is no SVG.
pub fn only_draws(text: &str) -> Result<(), String> {
    let document = roxmltree::Document::parse(text).map_err(|e| format!("it is no SVG ({e})"))?;
    if !text.starts_with("<svg ") {
        return Err("it does not begin with <svg".to_owned());
    }
    for node in document.descendants().filter(roxmltree::Node::is_element) {
        let name = node.tag_name().name();
        if node.tag_name().namespace() != Some("http://www.w3.org/2000/svg") {
            return Err(format!("<{name}> is not of the SVG namespace"));
        }
        if !ELEMENTS.contains(&name) {
            return Err(format!(
                "<{name}> is more than drawing; take {}",
                ELEMENTS.join(", ")
            ));
        }
        for attribute in node.attributes() {
            let name = attribute.name();
            if attribute.namespace().is_some() || !ATTRIBUTES.contains(&name) {
                return Err(format!("the attribute {name} is more than drawing"));
            }
            if attribute.value().contains("url(") {
                return Err(format!("{name} points elsewhere"));
            }
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests")]
    use super::*;

    #[test]
    fn drawings_inside_the_program_only_draw_and_say_what_they_show() {
        let all = Sketches::embedded();
        assert!(all.len() >= 90, "{}", all.len());
        for (name, text) in &all.drawings {
            only_draws(text).unwrap_or_else(|e| panic!("{name}: {e}"));
            assert!(title(text).is_some_and(|t| t.ends_with('.')), "{name}");
        }
    }

    #[test]
    fn the_folder_gives_the_same_and_leaves_out_what_does_more() {
        let dir = tempfile::tempdir().unwrap();
        let of = dir.path().join("sketches/ligule");
        std::fs::create_dir_all(&of).unwrap();
        let good = Sketches::embedded()
            .of_state("ligule", "absent")
            .unwrap()
            .to_owned();
        std::fs::write(of.join("absent.svg"), &good).unwrap();
        for (n, (from, to)) in [
            ("<path ", "<path onclick=\"x()\" "),
            ("</svg>", "<script>x</script></svg>"),
            ("</svg>", "<a href=\"http://example.org/\"><path d=\"M1 1L2 2\"/></a></svg>"),
            ("fill=\"none\"", "fill=\"url(http://example.org/#x)\""),
            ("</svg>", "<foreignObject><p xmlns=\"http://www.w3.org/1999/xhtml\">x</p></foreignObject></svg>"),
            ("</svg>", ""),
            ("<svg ", "<?xml-stylesheet href=\"x\"?><svg "),
        ]
        .into_iter()
        .enumerate()
        {
            let bad = good.replacen(from, to, 1);
            assert_ne!(bad, good);
            std::fs::write(of.join(format!("bad-{n}.svg")), bad).unwrap();
        }
        let (all, faults) = Sketches::from_folder(dir.path());
        assert_eq!(all.len(), 1);
        assert_eq!(faults.len(), 7, "{faults:?}");
        assert_eq!(all.of_state("ligule", "absent"), Some(good.as_str()));
        assert!(all.draws("ligule") && !all.draws("auricles"));
        let (none, faults) = Sketches::from_folder(&dir.path().join("sketches"));
        assert!(none.is_empty() && faults.is_empty());
    }
}
