//! Words that the tool acts upon and that are misspelt.
use super::prelude::*;

pub const CHECK: Check = Check {
    code: "unknown-word",
    severity: Error,
    title: "A word is none of those that the tool knows here",
    explanation: "Some keys take one of a few words, and the tool acts upon them: `need: required` asks for an adjuvant, `kind: use` \
        makes a dose count. A word that it does not know would be passed over without a sound. (The reader tells the same \
        of ratings, timings and other fixed words.)",
    bad: &[Piece {
        file: "actives/inventol.yaml",
        yaml: "adjuvant:\n  - {need: requierd, source: memory}",
    }],
    good: &[Piece {
        file: "actives/inventol.yaml",
        yaml: "adjuvant:\n  - {need: required, source: memory}",
    }],
    run,
    needs_all: false,
};

/// Top of the path (empty for any), key above the word, key of the word, the words.
const WORDS: [(&str, &str, &str, &[&str]); 9] = [
    (
        "actives/",
        "adjuvant",
        "need",
        &["required", "optional", "none", "avoid", "see label"],
    ),
    ("actives/", "dose_bounds", "basis", &["ai", "ae"]),
    (
        "actives/",
        "dose_bounds",
        "confidence",
        &["sourced", "mixed", "memory", "low", "none"],
    ),
    ("actives/", "doses_read", "kind", &["use", "research"]),
    (
        "actives/",
        "spectrum",
        "is",
        &[
            "broadleaf",
            "grass",
            "sedge",
            "rush",
            "non-selective",
            "moss",
            "alga",
            "algae",
        ],
    ),
    (
        "weeds/",
        "by_hand",
        "verdict",
        &["works", "works when young", "poor"],
    ),
    ("groups.yaml", "", "on_turf", &["used", "rare", "none"]),
    ("timing.yaml", "degree_days", "unit", &["F", "C"]),
    (
        "resistance.yaml",
        "cases",
        "setting",
        &["turf", "elsewhere"],
    ),
];

fn run(book: &Book<'_>, found: &mut Findings) {
    for leaf in book.leaves {
        let words = WORDS.iter().find(|(file, above, key, _)| {
            &*leaf.key == *key
                && leaf.file.starts_with(file)
                && (above.is_empty() || &*leaf.parent == *above)
        });
        if let (Some((.., words)), Some(word)) = (words, leaf.value.as_str())
            && !words.contains(&word)
        {
            let all = format!("write one of: {}", words.join(", "));
            let help = found.meant(word, words.iter().copied(), "");
            found
                .add(leaf.at(), format!("{} cannot be `{word}`", leaf.key))
                .help(if help.is_empty() {
                    all
                } else {
                    format!("{help} {all}")
                });
        }
    }
}
