//! The key as one HTML file: cards that lead from one to the next on a phone, and sheets of numbered steps on paper.
//!
//! There is no script and nothing is fetched. On the screen the card that the address names is shown; on paper all of
//! them are, packed into sheets so that a step can say on which page it goes on. Drawings stand once in the file.
use super::Carried;
use super::height::height;
use super::sheets::{Sheets, lines_of};
use super::text::letter;
use crate::knowledge::Knowledge;
use crate::knowledge::sketches::{Sketches, name, title};
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};
use tera::{Context, Tera};

/// Lines of a printed column, at the size of the style sheet, on the shorter of the two usual papers.
const LINES: usize = 62;
/// Signs in a line of a printed column.
pub(super) const WIDTH: usize = 50;
/// Columns of a printed sheet.
const COLUMNS: usize = 2;
/// Lines that a drawing with its words takes on a sheet of drawings.
pub(super) const DRAWING: usize = 7;
/// Marks of a plant that are printed to confirm it.
pub(super) const MARKS: usize = 6;

/// Why there is no page.
#[derive(Debug, thiserror::Error)]
#[error("the template of the key does not work: {0}")]
pub struct PageError(#[from] tera::Error);

#[derive(Serialize)]
pub(super) struct Card {
    /// `step`, `end`, `plant`, `drawings` or `cautions`.
    pub kind: &'static str,
    /// Place in the list of its kind.
    pub of: usize,
    /// Name in the address.
    pub id: String,
}

#[derive(Serialize)]
pub(super) struct Drawing {
    pub id: String,
    pub label: String,
    pub words: String,
    pub view: String,
    pub inner: String,
}

#[derive(Serialize)]
pub(super) struct Plate {
    pub trait_id: String,
    pub question: String,
    pub drawings: Vec<String>,
    pub page: usize,
}

/// The page.
///
/// # Errors
/// Only if the program was built with a broken template.
pub fn html(book: &Knowledge, key: &Carried, sketches: &Sketches) -> Result<String, PageError> {
    let drawings = drawings(book, key, sketches);
    let plates = plates(key, &drawings);
    let cards = cards(key, &plates);
    let heights: Vec<usize> = cards
        .iter()
        .map(|c| height(key, &plates, &drawings, c))
        .collect();
    let sheets = Sheets::pack(&heights, COLUMNS, LINES);
    // The first printed page holds the head alone.
    let pages: BTreeMap<String, usize> = cards
        .iter()
        .enumerate()
        .filter_map(|(n, c)| Some((c.id.clone(), sheets.of(n)? + 2)))
        .collect();
    let plates: Vec<Plate> = plates
        .into_iter()
        .map(|p| Plate {
            page: pages
                .get(&format!("drawings-{}", p.trait_id))
                .copied()
                .unwrap_or(0),
            ..p
        })
        .collect();
    let drawn: BTreeMap<&str, usize> = plates
        .iter()
        .map(|p| (p.trait_id.as_str(), p.page))
        .collect();
    let letters: Vec<String> = (0..key.ends.len()).map(letter).collect();
    let mut context = Context::new();
    context.insert("key", key);
    context.insert("cards", &cards);
    context.insert("sheets", &sheets.sheets);
    context.insert("pages", &pages);
    context.insert("drawings", &drawings);
    // The template engine keeps no order in a map.
    context.insert("symbols", &drawings.values().collect::<Vec<_>>());
    context.insert("plates", &plates);
    context.insert("drawn", &drawn);
    context.insert("letters", &letters);
    context.insert("marks", &MARKS);
    context.insert("cautions", &parts_of_cautions(key));
    let mut engine = Tera::default();
    engine.add_raw_template("key.html", include_str!("../../templates/key.html"))?;
    Ok(engine.render("key.html", &context)?)
}

/// The drawings that the steps use, by name.
fn drawings(book: &Knowledge, key: &Carried, sketches: &Sketches) -> BTreeMap<String, Drawing> {
    let used: BTreeSet<&String> = key
        .steps
        .iter()
        .flat_map(|s| &s.answers)
        .filter_map(|a| a.drawing.as_ref())
        .collect();
    let asked: BTreeSet<&str> = key.steps.iter().map(|s| s.trait_id.as_str()).collect();
    let mut all = BTreeMap::new();
    for one in book.traits.iter().filter(|t| asked.contains(t.id.as_str())) {
        for (class, answer) in crate::identify::answers_of(one).into_iter().enumerate() {
            let Some(name) = name(one, class).filter(|name| used.contains(name)) else {
                continue;
            };
            let Some(svg) = sketches.of_answer(one, class) else {
                continue;
            };
            if let Some((view, inner)) = parts(svg) {
                all.insert(
                    name.clone(),
                    Drawing {
                        id: format!("d-{}", name.replace(['/', '_'], "-")),
                        label: answer.label,
                        words: title(svg).unwrap_or_default().to_owned(),
                        view,
                        inner,
                    },
                );
            }
        }
    }
    all
}

/// View box and shapes of an SVG text, without its title.
fn parts(svg: &str) -> Option<(String, String)> {
    let document = roxmltree::Document::parse(svg).ok()?;
    let root = document.root_element();
    let inner: String = root
        .children()
        .filter(|c| c.is_element() && !c.has_tag_name(("http://www.w3.org/2000/svg", "title")))
        .map(|c| &svg[c.range()])
        .collect();
    Some((root.attribute("viewBox")?.to_owned(), inner))
}

fn plates(key: &Carried, drawings: &BTreeMap<String, Drawing>) -> Vec<Plate> {
    let mut plates: BTreeMap<&str, Plate> = BTreeMap::new();
    for step in &key.steps {
        plates.entry(&step.trait_id).or_insert_with(|| Plate {
            trait_id: step.trait_id.clone(),
            question: step.question.clone(),
            drawings: drawings
                .keys()
                .filter(|name| name.split('/').next() == Some(&step.trait_id))
                .cloned()
                .collect(),
            page: 0,
        });
    }
    plates
        .into_values()
        .filter(|p| !p.drawings.is_empty())
        .collect()
}

fn cards(key: &Carried, plates: &[Plate]) -> Vec<Card> {
    let card = |kind, of, id| Card { kind, of, id };
    let mut all: Vec<Card> = (0..key.steps.len())
        .map(|n| card("step", n, format!("step-{}", n + 1)))
        .collect();
    all.extend((0..key.ends.len()).map(|n| card("end", n, format!("end-{}", letter(n)))));
    all.extend(
        key.plants
            .iter()
            .enumerate()
            .map(|(n, p)| card("plant", n, format!("plant-{}", p.id))),
    );
    all.extend(
        parts_of_cautions(key)
            .into_iter()
            .enumerate()
            .map(|(n, _)| {
                let id = if n == 0 {
                    "cautions".to_owned()
                } else {
                    format!("cautions-{}", n + 1)
                };
                card("cautions", n, id)
            }),
    );
    all.extend(
        plates
            .iter()
            .enumerate()
            .map(|(n, p)| card("drawings", n, format!("drawings-{}", p.trait_id))),
    );
    all
}

/// The cautions in parts that each fit into a printed column, as places in their list.
pub(super) fn parts_of_cautions(key: &Carried) -> Vec<Vec<usize>> {
    let heights: Vec<usize> = key
        .cautions
        .iter()
        .map(|c| lines_of(&format!("- {} m", c.text), WIDTH))
        .collect();
    let columns = Sheets::pack(&heights, 1, LINES - 4);
    columns.sheets.into_iter().flatten().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_fault_of_the_template_shows_its_line_and_not_the_whole_template() {
        let template = format!("first line\n{{{{ gone }}}}\n{}", "more\n".repeat(50));
        let mut engine = Tera::default();
        engine
            .add_raw_template("key.html", &template)
            .expect("it parses");
        let fault = engine
            .render("key.html", &Context::new())
            .expect_err("there is no such value");
        let told = PageError::from(fault).to_string();
        assert!(
            told.contains("gone") && !told.contains("first line"),
            "{told}"
        );
        assert!(told.lines().count() < 10, "{told}");
    }
}
