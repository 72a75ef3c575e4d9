//! Folding the lines of the plain text.

/// Marks that begin an item; what follows is folded under the words, not under the mark.
const BULLETS: [&str; 4] = ["- ", "[ ] ", "! ", "* "];

/// Folds every line longer than `columns` at spaces, keeps its indent, and leaves at most one empty line between others.
///
/// A word that is longer than a line stands on a line of its own.
pub fn wrap(text: &str, columns: usize) -> String {
    let mut out = String::with_capacity(text.len() + text.len() / 16);
    let mut empty = true;
    for line in text.lines() {
        let line = line.trim_end();
        if line.is_empty() {
            if !empty {
                out.push('\n');
            }
            empty = true;
            continue;
        }
        empty = false;
        fold(line, columns, &mut out);
    }
    let kept = out.trim_end().len();
    out.truncate(kept);
    out.push('\n');
    out
}

fn fold(line: &str, columns: usize, out: &mut String) {
    let body = line.trim_start_matches(' ');
    let indent = line.len() - body.len();
    let hang = indent
        + BULLETS
            .iter()
            .find(|b| body.starts_with(**b))
            .map_or(0, |b| b.len());
    if line.chars().count() <= columns {
        out.push_str(line);
        out.push('\n');
        return;
    }
    let mut row = " ".repeat(indent);
    let mut width = indent;
    let mut first = true;
    for word in body.split(' ') {
        let length = word.chars().count();
        if !first && width + 1 + length > columns {
            out.push_str(row.trim_end());
            out.push('\n');
            row = " ".repeat(hang);
            width = hang;
            first = true;
        }
        if !first {
            row.push(' ');
            width += 1;
        }
        row.push_str(word);
        width += length;
        first = false;
    }
    out.push_str(row.trim_end());
    out.push('\n');
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn long_lines_fold_under_their_words() {
        assert_eq!(wrap("  - aaa bbb ccc", 10), "  - aaa\n    bbb\n    ccc\n");
        assert_eq!(wrap("\n\na\n\n\n\nb  \n\n", 10), "a\n\nb\n");
        assert_eq!(wrap("[ ] aa bb cc", 9), "[ ] aa bb\n    cc\n");
    }

    proptest! {
        #[test]
        fn folding_keeps_the_words_and_the_columns(text in "[a-z ]{0,200}(\n[ ]{0,4}[a-z ]{0,200}){0,3}") {
            let folded = wrap(&text, 30);
            let words = |t: &str| t.split_whitespace().map(str::to_owned).collect::<Vec<_>>();
            prop_assert_eq!(words(&folded), words(&text));
            for line in folded.lines() {
                prop_assert!(line.len() <= 30 || line.split_whitespace().count() == 1, "{line}");
            }
        }
    }
}
