//! How many printed lines a card takes, a little generously, because a printer breaks lines where it likes.
use super::page::{Card, DRAWING, Drawing, MARKS, Plate, WIDTH, parts_of_cautions};
use super::sheets::lines_of;
use super::{Carried, Goal, Plant};
use std::collections::BTreeMap;

/// Printed lines of a card, a little generously.
pub(super) fn height(
    key: &Carried,
    plates: &[Plate],
    drawings: &BTreeMap<String, Drawing>,
    card: &Card,
) -> usize {
    let text = |t: &str| lines_of(t, WIDTH);
    1 + match card.kind {
        "step" => {
            let step = &key.steps[card.of];
            let goal = |g: Goal| match g {
                Goal::Step(_) => 16,
                Goal::End(_) => 14,
                Goal::Plant(p) => key.plants[p].name.chars().count() + 9,
            };
            let drawn = step.answers.iter().any(|a| a.drawing.is_some());
            let from: Vec<String> = step.from.iter().map(ToString::to_string).collect();
            lines_of(
                &format!(
                    "{}. (from {}) {}",
                    step.number,
                    from.join(", "),
                    step.question
                ),
                WIDTH - 4,
            ) + usize::from(drawn)
                + step
                    .answers
                    .iter()
                    .map(|a| {
                        lines_of(&format!("{}{}", a.label, "x".repeat(goal(a.goal))), WIDTH)
                            .max(usize::from(a.label.chars().count() + goal(a.goal) > WIDTH) + 1)
                    })
                    .sum::<usize>()
        }
        "end" => 3 + key.ends[card.of].plants.len(),
        "plant" => plant_height(key, &key.plants[card.of], text),
        "cautions" => {
            let part = &parts_of_cautions(key)[card.of];
            2 + part
                .iter()
                .map(|c| text(&format!("- {} m", key.cautions[*c].text)))
                .sum::<usize>()
        }
        _ => {
            let plate = &plates[card.of];
            let row = |pair: &[String]| {
                pair.iter()
                    .filter_map(|d| drawings.get(d))
                    .map(|d| lines_of(&d.words, WIDTH / 2 - 10) + 2)
                    .max()
                    .unwrap_or(0)
                    .max(DRAWING)
            };
            text(&plate.question) + 1 + plate.drawings.chunks(2).map(row).sum::<usize>()
        }
    }
}

fn plant_height(key: &Carried, plant: &Plant, text: impl Fn(&str) -> usize) -> usize {
    let recalled = |t: &str| text(&format!("- {t} (m)"));
    let mut lines = text(&format!("{} {}", plant.name, plant.scientific_name)) + 1;
    if !plant.also.is_empty() {
        lines += text(&plant.also.join(", ")) + 1;
    }
    lines += plant
        .hazards
        .iter()
        .map(|h| recalled(&h.text))
        .sum::<usize>();
    lines += plant
        .marks
        .iter()
        .take(MARKS)
        .map(|m| recalled(&m.text))
        .sum::<usize>();
    lines += plant
        .look_alikes
        .iter()
        .map(|l| recalled(&format!("{} {}", l.name, l.text)))
        .sum::<usize>();
    if let Some(todo) = &plant.to_do {
        lines += 2 + todo.leave.as_deref().map_or(0, &recalled);
        lines += todo
            .without
            .iter()
            .map(|m| recalled(&m.text))
            .sum::<usize>();
        if key.treats && key.one_lawn {
            lines += todo
                .classes
                .iter()
                .map(|c| {
                    let on: Vec<&str> = c.grasses.iter().map(|g| g.text.as_str()).collect();
                    recalled(&format!(
                        "Group {:?} {}, {}: on {} m",
                        c.groups,
                        c.actives.join(" + "),
                        c.timing,
                        on.join(" m, ")
                    ))
                })
                .sum::<usize>();
            lines += recalled(&format!(
                "Nothing proven safe and useful on {}",
                todo.none_on.join(", ")
            ));
        }
        if key.treats {
            // The sentence on the label.
            lines += 4;
        }
    }
    lines
}
