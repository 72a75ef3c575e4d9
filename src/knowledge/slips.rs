//! What the YAML reader says, in the words of the people who write the files.
use crate::words::nearest;

/// A fault in plain words.
pub struct Plain {
    /// Stable code.
    pub code: &'static str,
    /// What is wrong.
    pub message: String,
    /// How to mend it.
    pub help: String,
}

/// Faults by a piece of the reader's sentence, with code, our sentence and our advice. The first that fits counts.
const SLIPS: [(&str, &str, &str, &str); 23] = [
    (
        "null into string",
        "empty-value",
        "this key has no value",
        "leave the key out where nothing is known; a gap stays a gap",
    ),
    (
        "expected string scalar",
        "wrong-kind",
        "a word or a sentence was expected here, not a list or a group of keys",
        "write one text; quote it if it holds `: ` or begins with a bracket",
    ),
    (
        "invalid u8",
        "wrong-kind",
        "a whole number was expected here",
        "write a plain number without quotes",
    ),
    (
        "invalid u16",
        "wrong-kind",
        "a whole number was expected here",
        "write a plain number without quotes",
    ),
    (
        "invalid bool",
        "wrong-kind",
        "true or false was expected here",
        "write true or false; yes, no, on and off are words, not truth values",
    ),
    (
        "boolean",
        "wrong-kind",
        "true or false was expected here",
        "write true or false; yes, no, on and off are words, not truth values",
    ),
    (
        "not finite",
        "wrong-kind",
        "this number is not finite, or far too large",
        "write a plain number such as 5 or 0.25",
    ),
    (
        "non-finite",
        "wrong-kind",
        "this is no finite number",
        "write a plain number such as 5 or 0.25",
    ),
    (
        "expected a tuple of size 2",
        "wrong-kind",
        "two numbers were expected here",
        "write `[from, to]`; a decimal has a point, not a comma",
    ),
    (
        "merge key",
        "no-aliases",
        "merge keys (<<) are not read here",
        "write the values out",
    ),
    (
        "anchors",
        "no-aliases",
        "anchors (&name) are not read here",
        "write the value out wherever it is needed",
    ),
    (
        "aliases",
        "no-aliases",
        "aliases (*name) are not read here",
        "write the value out wherever it is needed",
    ),
    (
        "alias",
        "no-aliases",
        "aliases (*name) are not read here",
        "write the value out; quote a text that begins with a star",
    ),
    (
        "documents",
        "bad-yaml",
        "a second document begins here",
        "take the line `---` away: one file is one document",
    ),
    (
        "depth",
        "too-deep",
        "this nests deeper than any knowledge file does",
        "look for brackets that never close",
    ),
    (
        "flow_nesting",
        "too-deep",
        "this nests deeper than any knowledge file does",
        "look for brackets that never close",
    ),
    (
        "recursion",
        "too-deep",
        "this nests deeper than any knowledge file does",
        "look for brackets that never close",
    ),
    (
        "budget",
        "too-deep",
        "this is larger than any knowledge file",
        "look for brackets that never close",
    ),
    (
        "mapping values are not allowed",
        "bad-yaml",
        "there is a second `: ` where none can be",
        "quote a text that holds `: `",
    ),
    (
        "tab",
        "bad-yaml",
        "there is a tab",
        "indent with spaces, never with tabs",
    ),
    (
        "unclosed quote",
        "bad-yaml",
        "this quote is never closed",
        "close it, or take it away",
    ),
    (
        "expected sequence start",
        "wrong-kind",
        "a list was expected here",
        "write `[a, b]`, or one entry a line beginning with `- `",
    ),
    (
        "expected mapping start",
        "wrong-kind",
        "a group of keys was expected here",
        "write `key: value` lines, or `{key: value}`",
    ),
];

/// Turns a sentence of the reader into ours. A sentence that we do not know is passed on.
pub fn in_plain_words(told: &str) -> Plain {
    let told = trim_place(told);
    let low = told.to_lowercase();
    if let Some(key) = low
        .starts_with("duplicate")
        .then(|| told.split_once(": "))
        .flatten()
    {
        let key = key.1.split(',').next().unwrap_or_default();
        return plain(
            "duplicate-key",
            format!("the key {key} stands here twice"),
            "keep one of the two; if both values are true, join them in one list",
        );
    }
    if let Some((kind, name, names)) = unknown(told) {
        let near = nearest(name, names.iter().copied())
            .map_or(String::new(), |n| format!("did you mean {n}? "));
        let known = names.join(", ");
        return plain(
            if kind == "key" {
                "unknown-key"
            } else {
                "unknown-value"
            },
            format!("no {kind} is called {name} here"),
            &format!("{near}known are: {known}"),
        );
    }
    if let Some(name) = low
        .strip_prefix("missing field `")
        .and_then(|rest| rest.split('`').next())
    {
        return plain(
            "missing-key",
            format!("the key {name} is missing"),
            "add it; `ligule knowledge show` prints a whole entry of the same kind as a pattern",
        );
    }
    if let Some((_, code, message, help)) = SLIPS.iter().find(|(piece, ..)| low.contains(piece)) {
        return plain(code, (*message).to_owned(), help);
    }
    if low.contains("invalid type") || low.contains("expected") || low.contains("invalid value") {
        return plain(
            "wrong-kind",
            told.to_owned(),
            "text that looks like a number or like true/false needs quotes; a number has none",
        );
    }
    plain(
        "bad-yaml",
        told.to_owned(),
        "look at the indentation, at unclosed quotes or brackets, and at a `: ` inside unquoted text (quote such text)",
    )
}

fn plain(code: &'static str, message: String, help: &str) -> Plain {
    Plain {
        code,
        message,
        help: help.to_owned(),
    }
}

/// Kind, name and known names of "unknown field `a`, expected one of `b`, `c`".
fn unknown(told: &str) -> Option<(&'static str, &str, Vec<&str>)> {
    let rest = told.strip_prefix("unknown ")?;
    let kind = if rest.starts_with("field") {
        "key"
    } else {
        "word"
    };
    let (name, known) = rest.split_once('`')?.1.split_once('`')?;
    let known = known
        .trim_start_matches([',', ' '])
        .trim_start_matches("expected ")
        .trim_start_matches("one of ");
    let names = known
        .split([',', ' '])
        .map(|n| n.trim_matches('`'))
        .filter(|n| !n.is_empty() && *n != "or")
        .collect();
    Some((kind, name, names))
}

/// Cuts the reader's own "at line 3, column 5" from the end of its sentence; we print the place ourselves.
fn trim_place(told: &str) -> &str {
    let end = told
        .find(" at line ")
        .or_else(|| told.find(" (line "))
        .unwrap_or(told.len());
    told[..end].trim_end_matches([':', ',', ' '])
}
