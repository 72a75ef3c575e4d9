//! The parts of the page about deciding: the plants, doing without, the option taken, the others.
use super::cite::{Citations, Line};
use super::page::Listed;
use super::phrase::{sentence, some_of};
use crate::choose::Advice;
use crate::knowledge::sketches::Sketches;
use crate::picture;
use crate::treatment::{Deciding, Known, OptionLine, PlantLine, Rated, Treatment};
use serde::Serialize;

/// A plant.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Plant {
    /// Name.
    pub name: String,
    /// Scientific name.
    pub scientific_name: Option<String>,
    /// Marks of the names.
    pub marks: Vec<String>,
    /// How sure.
    pub sure: String,
    /// What was seen, in one line.
    pub seen: Option<String>,
    /// How the figures are announced: what decided, or what to look for.
    pub telling_title: &'static str,
    /// What tells it from others, with a drawing where there is one.
    pub telling: Vec<Telling>,
    /// What was seen and is not usual for the plant named.
    pub odd: Option<String>,
    /// What it could be instead.
    pub others: Vec<Other>,
    /// How it can hurt.
    pub hazards: Vec<Line>,
    /// Whom to ask.
    pub ask: Option<String>,
}

/// A trait that tells a plant from others.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Telling {
    /// Trait and state.
    pub line: Line,
    /// The drawing as an SVG inside the page.
    pub drawing: Option<String>,
}

/// What a plant could be instead.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Other {
    /// Name and chance.
    pub name: String,
    /// How to tell.
    pub tell: Option<Line>,
}

pub fn plants(treatment: &Treatment, sketches: &Sketches, cite: &mut Citations<'_>) -> Vec<Plant> {
    treatment
        .plants
        .iter()
        .map(|p| plant(p, sketches, cite))
        .collect()
}

/// The traits to print: a picture says more than a name, so what is drawn goes first; within that the weightiest.
fn telling(plant: &PlantLine, sketches: &Sketches, cite: &mut Citations<'_>) -> Vec<Telling> {
    let mut all: Vec<(&Deciding, Option<&str>)> = plant
        .deciding
        .iter()
        .map(|d| (d, sketches.of_state(&d.of, &d.drawing)))
        .collect();
    all.sort_by_key(|(_, drawing)| drawing.is_none());
    all.into_iter()
        .take(TELLING)
        .map(|(d, drawing)| Telling {
            line: cite.fact(&d.fact),
            drawing: drawing.map(picture::inline),
        })
        .collect()
}

/// Look-alikes printed for a plant that the user named.
const OTHERS_OF_NAMED: usize = 2;
/// Traits printed that tell a plant from others; more are in the JSON.
const TELLING: usize = 4;

fn plant(plant: &PlantLine, sketches: &Sketches, cite: &mut Citations<'_>) -> Plant {
    let list = |odd: bool| {
        let all: Vec<String> = plant
            .observed
            .iter()
            .filter(|s| (s.fits == Some(false)) == odd)
            .map(|s| format!("{} {}", s.label, s.seen))
            .collect();
        (!all.is_empty()).then(|| all.join("; "))
    };
    let names = plant.names_rest_on.as_ref();
    Plant {
        name: plant.name.clone(),
        scientific_name: plant.scientific_name.clone(),
        marks: names.map_or(Vec::new(), |f| cite.marks(f.evidence, &f.sources)),
        sure: plant.sure.clone(),
        seen: list(false),
        telling_title: if plant.deciding.iter().any(|d| d.seen) {
            "What told it from the others"
        } else {
            "Make sure of it by"
        },
        telling: telling(plant, sketches, cite),
        odd: list(true),
        others: plant
            .could_be
            .iter()
            .take(if plant.known == Known::NamedByYou {
                OTHERS_OF_NAMED
            } else {
                usize::MAX
            })
            .map(|other| Other {
                name: match (other.probability, &other.scientific_name) {
                    (Some(p), _) => format!("{} ({:.0} %)", other.name, p * 100.0),
                    (None, Some(latin)) => format!("{} ({latin})", other.name),
                    (None, None) => other.name.clone(),
                },
                tell: other.tell.as_ref().map(|t| {
                    let mut line = cite.fact(t);
                    line.text = sentence(without_name(&line.text, &other.name));
                    line
                }),
            })
            .collect(),
        hazards: plant.hazards.iter().map(|h| cite.fact(h)).collect(),
        ask: plant.ask.as_deref().map(sentence),
    }
}

/// `name: how to tell` without the name, which stands before it already.
fn without_name<'a>(tell: &'a str, name: &str) -> &'a str {
    match tell.split_once(": ") {
        Some((first, rest)) if first.eq_ignore_ascii_case(name) => rest,
        _ => tell,
    }
}

/// Measures without chemicals printed for one weed, and for lawns in general.
const MEASURES_A_WEED: usize = 3;
const MEASURES_IN_GENERAL: usize = 0;

pub fn measures(treatment: &Treatment, cite: &mut Citations<'_>) -> Listed {
    let mut weeds: Vec<Option<&String>> = Vec::new();
    for advice in &treatment.without_chemicals {
        if !weeds.contains(&advice.weed.as_ref()) {
            weeds.push(advice.weed.as_ref());
        }
    }
    let mut listed = Listed::default();
    for weed in weeds {
        let of: Vec<&Advice> = treatment
            .without_chemicals
            .iter()
            .filter(|a| a.weed.as_ref() == weed)
            .collect();
        let most = if weed.is_some() {
            MEASURES_A_WEED
        } else {
            MEASURES_IN_GENERAL
        };
        let name = weed.and_then(|id| {
            treatment
                .plants
                .iter()
                .find(|p| p.weed.as_ref() == Some(id))
                .map(|p| p.name.clone())
        });
        let some = Listed::of(&of, most, |a| {
            let text = match &name {
                Some(name) if !a.text.starts_with(name.as_str()) => {
                    format!("{name}: {}", a.text)
                }
                _ => a.text.clone(),
            };
            cite.line(sentence(&text), a.evidence, &a.sources)
        });
        listed.lines.extend(some.lines);
        listed.more += some.more;
    }
    listed
}

/// The option taken.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Chosen {
    /// Actives and groups.
    pub title: String,
    /// When it is applied.
    pub timing: String,
    /// Rows: the grass, then the weeds.
    pub rows: Vec<Row>,
    /// What each group does.
    pub groups: Vec<Line>,
    /// What goes with it.
    pub remarks: Vec<String>,
}

/// A rating in the table.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Row {
    /// What is rated.
    pub of: String,
    /// The rating.
    pub rating: String,
    /// What it rests on, in words.
    pub rests: String,
    /// Marks.
    pub marks: Vec<String>,
    /// Limits.
    pub limits: String,
}

pub fn chosen(treatment: &Treatment, cite: &mut Citations<'_>) -> Option<Chosen> {
    let option = treatment.chosen.as_ref()?;
    let rows = std::iter::once(&option.turf)
        .chain(&option.controls)
        .map(|rated| row(rated, cite))
        .collect();
    let mut remarks = Vec::new();
    if option.actives.len() > 1 {
        remarks.push(if option.known_mixture {
            "These partners are commonly sold as one product.".to_owned()
        } else {
            "No product with just these partners is known to this book: both labels must allow the mix, and a jar test comes first.".to_owned()
        });
    }
    if treatment.options_in_all > 1 {
        remarks.push(format!(
            "The first of {} that pass every gate, by safety on the grass, then control of the weed, each with its evidence.",
            treatment.options_in_all
        ));
    }
    let groups = treatment
        .groups
        .iter()
        .map(|g| {
            let number = if g.number == 0 {
                "Not classified".to_owned()
            } else {
                format!("Group {}", g.number)
            };
            let mut sources = g.does.sources.clone();
            sources.extend(g.number_rests_on.sources.clone());
            sources.dedup();
            let evidence = g.does.evidence.max(g.number_rests_on.evidence);
            cite.line(
                sentence(&format!(
                    "{number} ({}): {}",
                    g.actives.join(", "),
                    g.does.text
                )),
                evidence,
                &sources,
            )
        })
        .collect();
    Some(Chosen {
        title: option.title.clone(),
        timing: option.timing_words.clone(),
        rows,
        groups,
        remarks,
    })
}

fn row(rated: &Rated, cite: &mut Citations<'_>) -> Row {
    let by = if rated.by.is_empty() {
        String::new()
    } else {
        format!(" by {}", rated.by.join(" + "))
    };
    Row {
        of: rated.of.clone(),
        rating: format!("{}{by}", rated.rating),
        rests: rated.rests.clone(),
        marks: cite.marks(rated.evidence, &rated.sources),
        limits: rated.conditions.join("; "),
    }
}

/// Another option, in one row.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Alternative {
    /// Actives and groups.
    pub title: String,
    /// Why it stands behind.
    pub behind: String,
    /// What its safety on the grass and its effect rest on.
    pub marks: Vec<String>,
}

pub fn alternatives(treatment: &Treatment, cite: &mut Citations<'_>) -> Vec<Alternative> {
    let mut one = |option: &OptionLine| {
        let rated = || std::iter::once(&option.turf).chain(&option.controls);
        let evidence = rated().map(|r| r.evidence).max();
        let mut sources: Vec<String> = rated().flat_map(|r| r.sources.clone()).collect();
        sources.dedup();
        Alternative {
            title: option.title.clone(),
            behind: option.behind.clone(),
            marks: evidence.map_or(Vec::new(), |e| cite.marks(e, &sources)),
        }
    };
    treatment.alternatives.iter().map(&mut one).collect()
}

/// What one reason stopped.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Exclusion {
    /// The reason.
    pub words: String,
    /// How many.
    pub count: usize,
    /// Some names.
    pub names: String,
    /// How many names were left out.
    pub more: usize,
    /// An example.
    pub example: String,
}

const NAMES: usize = 2;

pub fn exclusions(treatment: &Treatment) -> Vec<Exclusion> {
    treatment
        .excluded
        .iter()
        .map(|group| {
            let (names, more) = some_of(&group.names, NAMES);
            Exclusion {
                words: group.words.clone(),
                count: group.names.len(),
                names: names.join(", "),
                more,
                example: sentence(&group.example),
            }
        })
        .collect()
}
