//! Keys that were begun and never filled in.
use super::prelude::*;
use crate::knowledge::folder::TextFile;
use crate::knowledge::locate::{Places, Step};

pub const CHECK: Check = Check {
    code: "empty-key",
    severity: Warning,
    title: "A key that may be missing stands there without a value",
    explanation: "The key was begun and not filled in, so the entry has a gap where its keeper may believe that something stands. It is \
        read as if the key were not there. Write the value, or take the key away: a gap stays a gap. (A key that must have a \
        value gives the error `empty-value`.)",
    bad: &[Piece {
        file: "weeds/winter-star.yaml",
        yaml: "family:",
    }],
    good: &[Piece {
        file: "weeds/winter-star.yaml",
        yaml: "family: Fictaceae",
    }],
    // The structs no longer know whether a key was empty or missing, so the texts are looked at: `in_texts`.
    run: super::prelude::by_reader,
    needs_all: false,
};

/// Every empty key of every text.
pub fn in_texts(texts: &[TextFile], found: &mut Findings) {
    found.begin(&CHECK);
    for file in texts {
        let Ok(text) = &file.text else { continue };
        if !may_hold_one(text) {
            continue;
        }
        for steps in Places::of(text).empty_keys() {
            let key = steps.iter().rev().find_map(|step| match step {
                Step::Key(key) => Some(key.clone()),
                Step::Index(_) => None,
            });
            let at = At {
                file: file.path.clone(),
                steps,
            };
            found
                .add(at, format!("`{}` has no value", key.unwrap_or_default()))
                .help("write the value, or take the key away");
        }
    }
}

/// Whether a text is worth a closer look, told from its lines alone: nearly none is, and a closer look takes its time.
fn may_hold_one(text: &str) -> bool {
    let mut open: Option<usize> = None;
    for line in text.lines() {
        let rest = line.trim_start();
        if rest.is_empty() || rest.starts_with('#') {
            continue;
        }
        let value = rest.trim_start_matches("- ").trim_start();
        let indent = line.len() - value.len();
        // The line before ended in a colon: what follows must stand further in, or be its list.
        let listed = rest.starts_with("- ") && open == Some(line.len() - rest.len());
        if open.is_some_and(|before| indent <= before) && !listed || value.starts_with([',', '}']) {
            return true;
        }
        let end = value.split(" #").next().unwrap_or_default().trim_end();
        open = end.ends_with(':').then_some(indent);
        if nothing_inside(end) {
            return true;
        }
    }
    open.is_some()
}

/// Whether a line holds `: ~`, `: null` or a colon right before the end of a value.
fn nothing_inside(line: &str) -> bool {
    line.match_indices(':').any(|(at, _)| {
        let value = line[at + 1..].trim_start();
        value.starts_with([',', '}'])
            || value.starts_with('~')
            || value
                .get(..4)
                .is_some_and(|word| word.eq_ignore_ascii_case("null"))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn keys(text: &str) -> Vec<String> {
        let file = TextFile {
            path: "weeds/a.yaml".to_owned(),
            shown: "weeds/a.yaml".to_owned(),
            text: Ok(text.to_owned()),
        };
        let mut found = Findings::default();
        in_texts(&[file], &mut found);
        found.into_list().into_iter().map(|f| f.about).collect()
    }

    #[test]
    fn every_way_to_leave_a_key_empty_is_seen() {
        for text in [
            "family:\n",
            "family:",
            "family:   # to do\nnames: [a]\n",
            "family: ~\n",
            "family: null\nnames: [a]",
            "family: Null\n",
            "family:\n# to do\nnames: [a]\n",
        ] {
            assert_eq!(keys(text), ["weeds/a.yaml family"], "{text}");
        }
        assert_eq!(
            keys(
                "marks:\n  - {text: a, about: , source: b}\n  - text: c\n    about:\n    source: d\n"
            ),
            ["weeds/a.yaml marks.about", "weeds/a.yaml marks.about"]
        );
        assert_eq!(keys("rows:\n  - {about: ~}\n"), ["weeds/a.yaml rows.about"]);
        assert_eq!(keys("rows: {about:}\n"), ["weeds/a.yaml rows.about"]);
    }

    #[test]
    fn values_lists_and_words_that_look_empty_are_left_alone() {
        for text in [
            "family: Fictaceae\n",
            "family: \"\"\n",
            "family: '~'\n",
            "names:\n- a\n- b\n",
            "names:\n  - a\n",
            "traits:\n  sap: {is: clear}\n",
            "note: >\n  a: \n  b\n",
            "note: null and void\n",
        ] {
            assert!(keys(text).is_empty(), "{text}: {:?}", keys(text));
        }
    }
}
