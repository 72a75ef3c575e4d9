//! A page as plain text for the terminal.
use super::page::{Block, Line, Page, Span};
use std::fmt::Write as _;

/// Columns of the text.
const COLUMNS: usize = 80;

/// The page as text of 80 columns.
#[must_use]
pub fn text(page: &Page) -> String {
    let mut out = page.title.clone();
    if let Some(latin) = &page.latin {
        let _ = write!(out, " ({latin})");
    }
    let _ = writeln!(out, "  [{}]", page.kind.to_lowercase());
    for line in &page.lead {
        put(&mut out, "", "", &words(line));
    }
    for line in &page.warnings {
        put(&mut out, "! ", "  ", &words(line));
    }
    for section in &page.sections {
        heading(&mut out, &section.heading);
        if let Some(note) = &section.note {
            put(&mut out, "", "", note);
        }
        for block in &section.blocks {
            self::block(&mut out, block);
        }
    }
    if page.sprays {
        heading(&mut out, "Before any treatment");
        put(
            &mut out,
            "- ",
            "  ",
            "The label of the product in hand is the law and outranks this.",
        );
        for line in &page.cautions {
            put(&mut out, "- ", "  ", &words(line));
        }
    }
    if !page.cited.is_empty() {
        heading(&mut out, "What it rests on");
        for source in &page.cited {
            let (number, read) = (source.number, &source.read);
            let number = number.map_or_else(|| "m/p".to_owned(), |n| n.to_string());
            let read = read
                .as_ref()
                .map_or(String::new(), |r| format!(" [read: {r}]"));
            put(
                &mut out,
                &format!("{number:>3}. "),
                "     ",
                &format!("{}{read}", source.span.text),
            );
        }
        put(
            &mut out,
            "",
            "",
            "[1] a source that was read; [m] from memory, nobody read a source: check it; [mm] two people recalled the same; [m?] two recollections differ, the more cautious is shown; [p] common practice.",
        );
    }
    out
}

fn heading(out: &mut String, heading: &str) {
    let _ = writeln!(
        out,
        "\n{heading}\n{}",
        "-".repeat(heading.chars().count().min(COLUMNS))
    );
}

fn block(out: &mut String, block: &Block) {
    match block {
        Block::Lines { lines } => {
            for line in lines {
                put(out, "- ", "  ", &words(line));
            }
        }
        Block::Pairs { pairs } => {
            for pair in pairs {
                put(
                    out,
                    "",
                    "    ",
                    &format!("{}: {}", pair.label.text, words(&pair.line)),
                );
            }
        }
        Block::Table { columns, rows } => table(out, columns, rows),
        Block::Year { strips } => {
            for strip in strips {
                let letters = "JFMAMJJASOND".chars().zip(&strip.months);
                let months: String = letters.map(|(c, on)| if *on { c } else { '.' }).collect();
                put(
                    out,
                    &format!("{:<10} {months}  ", strip.label),
                    &" ".repeat(25),
                    &words(&strip.line),
                );
            }
        }
        // Drawings have no place on a terminal; the values they belong to stand in words beside them.
        Block::Plates { .. } => {}
        Block::Links { lines } => {
            let all: Vec<String> = lines.iter().map(words).collect();
            put(out, "", "", &all.join(", "));
        }
    }
}

/// Rows whose cells are short stand in columns; a row with a long last cell goes on below it.
fn table(out: &mut String, columns: &[String], rows: &[Vec<Vec<Line>>]) {
    let cell = |cell: &Vec<Line>| cell.iter().map(words).collect::<Vec<_>>().join("; ");
    let rows: Vec<Vec<String>> = rows
        .iter()
        .map(|row| row.iter().map(cell).collect())
        .collect();
    let last = columns.len().saturating_sub(1);
    let mut widths: Vec<usize> = columns.iter().map(|c| c.chars().count()).collect();
    for row in &rows {
        for (width, text) in widths.iter_mut().zip(row) {
            *width = (*width).max(text.chars().count());
        }
    }
    let before: usize = widths.iter().take(last).map(|w| w + 2).sum();
    if before + 20 > COLUMNS {
        for row in &rows {
            put(out, "", "    ", row.first().map_or("", String::as_str));
            for (column, text) in columns
                .iter()
                .zip(row)
                .skip(1)
                .filter(|(_, text)| !text.is_empty())
            {
                put(out, "    ", "        ", &format!("{column}: {text}"));
            }
        }
        return;
    }
    for row in std::iter::once(columns).chain(rows.iter().map(Vec::as_slice)) {
        let mut head = String::new();
        for (width, text) in widths.iter().zip(row).take(last) {
            let _ = write!(head, "{text:<width$}  ");
        }
        let rest = row.last().map_or("", String::as_str);
        put(out, &head, &" ".repeat(before), rest);
    }
}

fn span(span: &Span) -> String {
    match &span.mark {
        Some(mark) => format!("{} [{}]", span.text, mark.text),
        None => span.text.clone(),
    }
}

fn words(line: &Line) -> String {
    let mut text: String = line.spans.iter().map(span).collect();
    if let Some(about) = &line.about {
        text = format!("{about}: {text}");
    }
    if !line.marks.is_empty() {
        let marks: Vec<&str> = line.marks.iter().map(|m| m.text.as_str()).collect();
        text = format!("{text} [{}]", marks.join(", "));
    }
    // What stands in a knowledge file must not move the cursor.
    text.replace(char::is_control, " ")
}

/// Writes words, broken at spaces, the first line after `first`, the others after `other`.
fn put(out: &mut String, first: &str, other: &str, text: &str) {
    let mut line = first.to_owned();
    let mut empty = true;
    for word in text.split_whitespace() {
        if !empty && line.chars().count() + 1 + word.chars().count() > COLUMNS {
            let _ = writeln!(out, "{}", line.trim_end());
            other.clone_into(&mut line);
            empty = true;
        }
        if !empty {
            line.push(' ');
        }
        line.push_str(word);
        empty = false;
    }
    let _ = writeln!(out, "{}", line.trim_end());
}
