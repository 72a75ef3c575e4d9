//! The line drawings of what can be seen: one SVG for a state of a trait, in `sketches/TRAIT/STATE.svg` of the knowledge.
use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

static DRAWN: &[(&str, &str)] = &include!(concat!(env!("OUT_DIR"), "/sketches.rs"));
/// A drawing larger than this is none of ours and would make pages slow.
const LARGEST: u64 = 64 * 1024;

/// Drawings by `TRAIT/STATE`.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Sketches(BTreeMap<String, String>);

impl Sketches {
    /// The drawings inside the program.
    #[must_use]
    pub fn embedded() -> Self {
        Self(
            DRAWN
                .iter()
                .map(|(name, svg)| ((*name).to_owned(), (*svg).to_owned()))
                .collect(),
        )
    }

    /// The drawings of a knowledge folder; none where it has none. A file that cannot be read is a missing drawing.
    #[must_use]
    pub fn of_folder(folder: &Path) -> Self {
        let mut all = BTreeMap::new();
        let list = |dir: &Path| -> Vec<std::path::PathBuf> {
            fs::read_dir(dir)
                .map(|entries| entries.flatten().map(|e| e.path()).collect())
                .unwrap_or_default()
        };
        for of in list(&folder.join("sketches")) {
            for file in list(&of) {
                let small = fs::metadata(&file).is_ok_and(|m| m.is_file() && m.len() <= LARGEST);
                if !small || file.extension().is_none_or(|e| e != "svg") {
                    continue;
                }
                if let (Some(of), Some(stem), Ok(svg)) = (
                    of.file_name().and_then(|n| n.to_str()),
                    file.file_stem().and_then(|n| n.to_str()),
                    fs::read_to_string(&file),
                ) {
                    all.insert(format!("{of}/{stem}"), svg);
                }
            }
        }
        Self(all)
    }

    /// The drawing of a state of a trait.
    #[must_use]
    pub fn of_state(&self, of: &str, state: &str) -> Option<&str> {
        let stem: String = state
            .chars()
            .map(|c| if c.is_ascii_alphanumeric() { c } else { '-' })
            .collect();
        self.0.get(&format!("{of}/{stem}")).map(String::as_str)
    }

    /// The drawing of a class of a number trait, counted from 0.
    #[must_use]
    pub fn of_class(&self, of: &str, class: usize) -> Option<&str> {
        self.0
            .get(&format!("{of}/class-{class}"))
            .map(String::as_str)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_folder_and_the_program_hold_the_same_drawings() {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("knowledge");
        let inside = Sketches::embedded();
        assert!(inside.0.len() >= 90);
        assert_eq!(inside, Sketches::of_folder(&folder));
        assert!(inside.of_state("leaf_margin", "scalloped").is_some());
        assert!(inside.of_class("finger_count", 0).is_some());
        assert_eq!(inside.of_state("leaf_margin", "../../book"), None);
    }
}
