//! The key as numbered steps in plain text, by pages.
use super::sheets::Sheets;
use super::{Answer, Carried, End, Goal, Plant, Step};
use std::fmt::Write as _;

/// Lines above the steps on every page.
const HEAD: usize = 2;
/// Marks of a plant that are printed to confirm it.
const MARKS: usize = 3;
/// Columns of the text.
const COLUMNS: usize = 79;

/// The steps, then the plants with what confirms them. `lines` is the number of lines of a page; with 0 there are no
/// pages.
#[must_use]
pub fn text(key: &Carried, lines: usize) -> String {
    if lines == 0 {
        return format!("{}\n", blocks(key, |_| None).join("\n"));
    }
    // The pages are not known before the lines are counted; no key has more than 999.
    let heights: Vec<usize> = blocks(key, |_| Some(999))
        .iter()
        .map(|b| b.lines().count() + 1)
        .collect();
    let sheets = Sheets::pack(&heights, 1, lines.saturating_sub(HEAD).max(12));
    let pages = Pages {
        key,
        sheets: &sheets,
    };
    let blocks = self::blocks(key, |goal| pages.of(goal));
    let mut text = String::new();
    for (number, sheet) in sheets.sheets.iter().enumerate() {
        if number > 0 {
            text.push('\u{c}');
        }
        let _ = writeln!(
            text,
            "{:>COLUMNS$}\n",
            format!("page {} of {}", number + 1, sheets.sheets.len())
        );
        for &block in sheet.iter().flatten() {
            let _ = writeln!(text, "{}", blocks[block]);
        }
    }
    text
}

struct Pages<'a> {
    key: &'a Carried,
    sheets: &'a Sheets,
}

impl Pages<'_> {
    fn of(&self, goal: Goal) -> Option<usize> {
        let steps = self.key.steps.len();
        let block = match goal {
            Goal::Step(number) => number,
            Goal::End(end) => 1 + steps + end,
            Goal::Plant(plant) => 1 + steps + self.key.ends.len() + plant,
        };
        self.sheets.of(block).map(|sheet| sheet + 1)
    }
}

/// Head, steps, ends and plants, each as a block of lines.
fn blocks(key: &Carried, page: impl Fn(Goal) -> Option<usize>) -> Vec<String> {
    let mut all = vec![head(key)];
    all.extend(key.steps.iter().map(|s| step(key, s, &page)));
    all.extend(
        key.ends
            .iter()
            .enumerate()
            .map(|(n, e)| end(key, n, e, &page)),
    );
    all.extend(key.plants.iter().map(plant));
    all
}

fn head(key: &Carried) -> String {
    let mut text = wrapped("", &key.scope);
    text.push_str(&wrapped("", &format!(
        "Begin at 1. At each number take the answer that fits and go where it sends you; the numbers in brackets say where you came from. Hold the {} against its marks at the end: one wrong step leads astray, and some {} are in no book. `ligule identify` forgives a wrong step.",
        key.taxon_word, key.taxon_words
    )));
    if !key.ask.is_empty() {
        text.push_str(&wrapped(
            "",
            &format!("Where nothing fits, ask {}.", key.ask),
        ));
    }
    if key.steps.is_empty() {
        let names: Vec<&str> = key.plants.iter().map(|p| p.name.as_str()).collect();
        text.push_str(&wrapped(
            "",
            &format!(
                "Nothing need be asked: {}.",
                if names.is_empty() {
                    format!("no {} is left", key.taxon_word)
                } else {
                    names.join(", ")
                }
            ),
        ));
    }
    text
}

fn at(page: Option<usize>) -> String {
    page.map_or(String::new(), |p| format!(", page {p}"))
}

fn step(key: &Carried, step: &Step, page: &impl Fn(Goal) -> Option<usize>) -> String {
    let from: Vec<String> = step.from.iter().map(ToString::to_string).collect();
    let from = match &from[..] {
        [] => String::new(),
        [one] => format!(" (from {one})"),
        [first, ..] => format!(" (from {first} and {} more)", from.len() - 1),
    };
    let mut text = wrapped("", &format!("{}.{from} {}", step.number, step.question));
    for answer in &step.answers {
        let _ = writeln!(text, "{}", line(key, answer, page));
    }
    text
}

fn line(key: &Carried, answer: &Answer, page: &impl Fn(Goal) -> Option<usize>) -> String {
    let goal = match answer.goal {
        Goal::Step(number) => format!("go to {number}{}", at(page(answer.goal))),
        Goal::Plant(plant) => format!("{}{}", key.plants[plant].name, at(page(answer.goal))),
        Goal::End(end) => format!("end {}{}", letter(end), at(page(answer.goal))),
    };
    let label = format!("   {} ", answer.label);
    let used = label.chars().count() + goal.chars().count() + 1;
    if used + 3 <= COLUMNS {
        return format!("{label}{} {goal}", ".".repeat(COLUMNS - used));
    }
    let dots = COLUMNS.saturating_sub(6 + goal.chars().count() + 1).max(3);
    format!("{}\n      {} {goal}", label.trim_end(), ".".repeat(dots))
}

/// A, B ... Z, AA, AB ...
pub(super) fn letter(mut number: usize) -> String {
    let mut letters = Vec::new();
    loop {
        letters.push(char::from(b'A' + u8::try_from(number % 26).unwrap_or(0)));
        match (number / 26).checked_sub(1) {
            Some(rest) => number = rest,
            None => break,
        }
    }
    letters.iter().rev().collect()
}

fn end(key: &Carried, number: usize, end: &End, page: &impl Fn(Goal) -> Option<usize>) -> String {
    let names: Vec<String> = end
        .plants
        .iter()
        .map(|&p| format!("{}{}", key.plants[p].name, at(page(Goal::Plant(p)))))
        .collect();
    let parting = format!(
        "this key cannot part them; hold the {} against the marks of each",
        key.taxon_word
    );
    let why = if end.same {
        "whichever it is, the same is to be done"
    } else {
        &parting
    };
    wrapped(
        "",
        &format!("End {}: {}: {why}.", letter(number), names.join("; ")),
    )
}

fn plant(plant: &Plant) -> String {
    let mut text = wrapped("", &format!("{} ({})", plant.name, plant.scientific_name));
    for hazard in &plant.hazards {
        text.push_str(&wrapped("   ! ", &recalled(&hazard.text, hazard.memory)));
    }
    for mark in plant.marks.iter().take(MARKS) {
        text.push_str(&wrapped("   - ", &recalled(&mark.text, mark.memory)));
    }
    text
}

fn recalled(text: &str, memory: bool) -> String {
    if memory {
        format!("{text} (from memory)")
    } else {
        text.to_owned()
    }
}

/// A text in lines of at most [`COLUMNS`] columns, the first after `bullet`, the others under it; ends with a line end.
fn wrapped(bullet: &str, text: &str) -> String {
    let indent = " ".repeat(bullet.chars().count());
    let mut out = String::new();
    let mut line = bullet.to_owned();
    let mut empty = true;
    for word in text.split_whitespace() {
        if !empty && line.chars().count() + 1 + word.chars().count() > COLUMNS {
            let _ = writeln!(out, "{line}");
            line.clone_from(&indent);
            empty = true;
        }
        if !empty {
            line.push(' ');
        }
        line.push_str(word);
        empty = false;
    }
    let _ = writeln!(out, "{line}");
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ends_are_lettered_without_end() {
        assert_eq!(
            ["A", "Z", "AA", "AZ", "BA", "ZZ", "AAA"],
            [0, 25, 26, 51, 52, 701, 702].map(letter)[..]
        );
    }
}
