//! What the reader tells of single files, explained. The reader finds these; `slips.rs` words them.
use super::prelude::*;

const fn fault(
    code: &'static str,
    title: &'static str,
    explanation: &'static str,
    bad: &'static [Piece],
    good: &'static [Piece],
) -> Check {
    Check {
        code,
        severity: Error,
        title,
        explanation,
        bad,
        good,
        run: by_reader,
        needs_all: false,
    }
}

const GOOD: &[Piece] = &[Piece {
    file: "weeds/winter-star.yaml",
    yaml: "names: [winter star]\nfamily: Fictaceae",
}];

pub const UNREADABLE_FILE: Check = fault(
    "unreadable-file",
    "A file cannot be read",
    "The system does not hand the file out, or it is not text in UTF-8. Old editors save in other encodings, and a picture or a \
     spreadsheet is no text at all. Save it as UTF-8, or take it away.",
    &[Piece {
        file: "weeds/winter-star.yaml",
        yaml: "(bytes that are no UTF-8 text)",
    }],
    GOOD,
);

pub const FILE_TOO_LARGE: Check = fault(
    "file-too-large",
    "A file is larger than any knowledge file",
    "A file of more than 4 MB is not read: the largest of the default book has less than a twentieth of that. Look whether \
     something was copied into it many times, or split it.",
    &[Piece {
        file: "weeds/winter-star.yaml",
        yaml: "(more than 4 MB of text)",
    }],
    GOOD,
);

pub const UNKNOWN_FILE: Check = fault(
    "unknown-file",
    "A file is not one that the book knows",
    "The book reads certain files at the top, and `.yaml` files in the folders weeds, turf, actives, places and sources. A file with \
     another name would be passed over in silence, so it is an error: most often the name or the ending is misspelt. Pages \
     for people (`.md`) and the folders sketches and cases may lie beside.",
    &[Piece {
        file: "weeds/silver-moss.yml",
        yaml: "names: [silver moss]",
    }],
    &[Piece {
        file: "weeds/silver-moss.yaml",
        yaml: "names: [silver moss]\nscientific_name: Muscus fictus\nsource: memory",
    }],
);

pub const BAD_YAML: Check = fault(
    "bad-yaml",
    "The text is not written as YAML asks",
    "The reader lost its way: a quote or bracket that never closes, a tab instead of spaces, an indentation that fits nothing, or \
     a colon with a blank inside a text that is not quoted. It points at where it noticed, which may be a line after the slip.",
    &[Piece {
        file: "weeds/winter-star.yaml",
        yaml: "names: [winter star\nfamily: Fictaceae",
    }],
    GOOD,
);

pub const DUPLICATE_KEY: Check = fault(
    "duplicate-key",
    "A key stands there twice",
    "With two equal keys one of the two values would get lost, and nobody could say which. Keep one; if both are true, join them in \
     one list.",
    &[Piece {
        file: "weeds/winter-star.yaml",
        yaml: "family: Fictaceae\nfamily: Inventaceae",
    }],
    GOOD,
);

pub const UNKNOWN_KEY: Check = fault(
    "unknown-key",
    "A key is misspelt, or stands in the wrong place",
    "The entry has no such key. Passed over, its value would be lost, so it is an error; the nearest key is suggested. Look at the \
     indentation, too: a key one step too far left belongs to something else.",
    &[Piece {
        file: "weeds/winter-star.yaml",
        yaml: "familly: Fictaceae",
    }],
    GOOD,
);

pub const UNKNOWN_VALUE: Check = fault(
    "unknown-value",
    "A fixed word is misspelt",
    "Ratings, timings, efforts and the like are one of a few fixed words. This one is none of them; the nearest is suggested.",
    &[Piece {
        file: "turf/demo-cool-grass.yaml",
        yaml: "season: cold",
    }],
    &[Piece {
        file: "turf/demo-cool-grass.yaml",
        yaml: "season: cool",
    }],
);

pub const MISSING_KEY: Check = fault(
    "missing-key",
    "A key that every such entry has is missing",
    "Some keys must be there: a weed's `names`, a value's `source`. Add it; where nothing was read, `source: memory` is honest.",
    &[Piece {
        file: "weeds/winter-star.yaml",
        yaml: "marks:\n  - {text: Stars in winter.}",
    }],
    &[Piece {
        file: "weeds/winter-star.yaml",
        yaml: "marks:\n  - {text: Stars in winter., source: memory}",
    }],
);

pub const EMPTY_VALUE: Check = fault(
    "empty-value",
    "A key has no value",
    "A key without a value, or with `~` or `null`, says nothing where something must be said. Leave the key out where nothing is known and \
     the key may be missing: a gap stays a gap.",
    &[Piece {
        file: "weeds/winter-star.yaml",
        yaml: "scientific_name:",
    }],
    &[Piece {
        file: "weeds/winter-star.yaml",
        yaml: "scientific_name: Fictum hibernum",
    }],
);

pub const WRONG_KIND: Check = fault(
    "wrong-kind",
    "A number, a word, a list or a group of keys stands where another was expected",
    "Numbers are written plainly: no quotes, no leading zero (07), no underscore, a point and no comma. Truth is `true` or `false`; yes \
     and no are words. A text that begins with a bracket or looks like a number needs quotes. A list is `[a, b]`.",
    &[Piece {
        file: "weeds/winter-star.yaml",
        yaml: "seen:\n  growing: {months: [\"1\", 2], source: memory}",
    }],
    &[Piece {
        file: "weeds/winter-star.yaml",
        yaml: "seen:\n  growing: {months: [1, 2], source: memory}",
    }],
);

pub const NO_ALIASES: Check = fault(
    "no-aliases",
    "A short form of YAML is not read here",
    "Anchors (`&name`), aliases (`*name`) and merge keys (`<<`) hide what an entry says from whoever reads it, and a few lines of them \
     can grow without end. Write the values out. A text that begins with a star or an ampersand needs quotes.",
    &[Piece {
        file: "weeds/winter-star.yaml",
        yaml: "family: &f Fictaceae",
    }],
    GOOD,
);

pub const TOO_DEEP: Check = fault(
    "too-deep",
    "Brackets nest deeper, or a file holds more, than any knowledge file",
    "Knowledge files nest a handful of steps deep. Dozens of open brackets are a slip, or a file that was made to hurt. Look for brackets \
     that never close.",
    &[Piece {
        file: "weeds/winter-star.yaml",
        yaml: "names: [[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[winter star]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]",
    }],
    GOOD,
);
